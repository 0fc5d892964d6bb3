"""Computed drawings: each module makes one kind of drawing as a finished SVG."""
