"""Typed blocks as data for Typst, and the only place that imports typst."""
