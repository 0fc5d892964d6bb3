"""Quantities: units and exact factors, reading what a person wrote, and telling a figure in either unit system."""
