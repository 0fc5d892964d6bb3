"""What each reader gets, as typed blocks and tables that no renderer has to read back."""
