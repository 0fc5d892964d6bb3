"""The one error that reading the program's own tables can give."""

from __future__ import annotations


class TableRefused(ValueError):
    """A table is missing or broken; the message names the file, the row and the mend."""
