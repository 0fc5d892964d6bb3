"""From surveyed points and trench lines to the boxes and runs of a job file."""
