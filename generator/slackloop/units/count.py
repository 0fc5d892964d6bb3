"""Whole numbers as text: with thousands set apart, and with their noun in the singular or the plural."""

from __future__ import annotations

from slackloop.language.messages import noun


def grouped(number: int) -> str:
    """A whole number with thousands set apart by a comma."""
    return f"{number:,}"


def count(number: int, one: str, many: str) -> str:
    """A number with its noun, as ``1 box`` or ``12 boxes``."""
    return f"{grouped(number)} {noun(number, one, many)}"
