"""From a job file to a handbook in its folder: read, compute, document, render."""
