"""Boxes and runs as a network."""
