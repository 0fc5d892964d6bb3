"""Sections, steps, checks, requirements, figures and pages."""
