"""What a handbook that is built with records shows besides: how far the work is, and the part for the owner."""
