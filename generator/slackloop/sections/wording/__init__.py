"""Plain wording: words with one meaning, short sentences, one instruction each, the condition first."""
