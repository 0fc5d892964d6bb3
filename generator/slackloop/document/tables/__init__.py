"""Every table, one definition each."""
