"""What a revision of the handbook says, taken from its blocks, tables and cards, so that two can be compared."""
