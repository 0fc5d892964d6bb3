"""The path as an electric circuit."""
