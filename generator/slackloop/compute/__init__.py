"""One module a table: pure functions on plain SI numbers."""
