"""Typed blocks as HTML, and the only place that imports mkdocs."""
