"""What is known of each box, its page and its card."""
