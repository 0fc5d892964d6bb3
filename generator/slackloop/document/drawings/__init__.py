"""Drawings, computed."""
