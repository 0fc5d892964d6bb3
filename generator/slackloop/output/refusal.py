"""Why a folder may not be written."""

from __future__ import annotations


class OutputRefused(Exception):
    """The output folder may not be written; the message says why and what to do."""
