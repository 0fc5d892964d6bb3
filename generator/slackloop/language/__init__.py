"""The language that a reader is spoken to in: what the program says, looked up by its English words."""
