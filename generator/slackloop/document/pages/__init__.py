"""Pages: what each says, as blocks."""
