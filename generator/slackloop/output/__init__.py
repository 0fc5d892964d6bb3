"""Safe folders: a handbook is written aside, put in place whole, and never over what somebody else made."""
