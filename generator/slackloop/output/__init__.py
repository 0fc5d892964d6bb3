"""Lock, swap and safe folders."""
