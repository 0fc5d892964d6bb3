"""Slackloop: one job file in, a site-specific installation handbook out."""

__version__ = "0.1.0"
