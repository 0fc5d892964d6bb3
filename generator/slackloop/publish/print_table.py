"""Widths of table columns on paper, chosen from what stands in the cells.

A table is set at the largest of the stated sizes at which its longest words fit across the page;
when none does, the page is turned. Widths of text are estimated from rough widths of characters
in the text face, on the wide side, so that a word does not run out of its column.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

PORTRAIT_SIZES_PT = (9.5, 9.0, 8.5, 8.0)
COMPACT_SIZES_PT = (8.5, 8.0, 7.5)
"""On the sheet of a box, which is to stay on one leaf."""
LANDSCAPE_SIZES_PT = (9.0, 8.5, 8.0, 7.5, 7.0)
MOST_PORTRAIT_COLUMNS = 8
"""A table of more columns than this is set on a turned page, whatever its words."""

CELL_INSET_PT = 4.0
_COMFORT_EM = 5.5
"""A column of prose is not squeezed under this width while another way is open."""

_SMALL_TABLE_SHARE = 0.62
_NATURAL_EASE = 1.06

_NARROW = frozenset("iIjlrtf.,;:'|!()[]{}/\\ -·")
_WIDE = frozenset("mwMWQOGD@%&—Ω")


@dataclass(frozen=True, slots=True)
class Cell:
    """What the widths are chosen from: a cell's text, and how many columns it spans."""

    text: str
    span: int = 1


@dataclass(frozen=True, slots=True)
class ColumnPlan:
    """How a table is set: widths in points, text size, and whether its page is turned."""

    widths_pt: tuple[float, ...]
    size_pt: float
    landscape: bool
    fills_page: bool
    """Whether the widths add up to the page's width, so that they may be taken as shares of it."""


def text_width_em(text: str) -> float:
    """Estimated width of one line of text, in ems of its size."""
    return sum(_character_em(mark) for mark in text)


def _character_em(mark: str) -> float:
    if mark in _NARROW:
        return 0.33
    if mark in _WIDE:
        return 0.82
    if mark.isascii():
        return 0.6 if mark.isupper() else 0.52
    if mark == "\u200b":
        return 0.0
    return 1.05 if ord(mark) >= 0x2E80 else 0.6


def plan_columns(
    rows: Sequence[Sequence[Cell]], columns: int, portrait_pt: float, landscape_pt: float,
    sizes_pt: Sequence[float] = PORTRAIT_SIZES_PT,
) -> ColumnPlan:  # fmt: skip
    """Choose widths for ``columns`` columns on a page of the given text widths (points).

    ``sizes_pt`` are the sizes to try on an upright page, the largest first.

    A table of no columns is refused with ``ValueError``.
    """
    if columns < 1:
        raise ValueError("a table needs at least one column")
    need = _needs(rows, columns)
    if columns <= MOST_PORTRAIT_COLUMNS:
        for size in sizes_pt:
            if _total(need.least, size) <= portrait_pt:
                return _plan(need, size, portrait_pt, False)
    for size in LANDSCAPE_SIZES_PT:
        if _total(need.least, size) <= landscape_pt:
            return _plan(need, size, landscape_pt, True)
    squeezed = tuple(round(landscape_pt * width / sum(need.least), 1) for width in need.least)
    return ColumnPlan(squeezed, LANDSCAPE_SIZES_PT[-1], True, True)


@dataclass(frozen=True, slots=True)
class _Needs:
    """Widths in ems, by column."""

    least: tuple[float, ...]
    """Its longest word, or its longest cell up to a comfortable width."""
    longest: tuple[float, ...]
    """Its longest cell on one line."""
    usual: tuple[float, ...]
    """The width that four cells in five stay under, so that one very long cell does not rule the table."""


def _plan(need: _Needs, size_pt: float, page_pt: float, landscape: bool) -> ColumnPlan:
    """Natural widths for a small table, else the whole width of the page shared out."""
    natural = [_points(width, size_pt) * _NATURAL_EASE for width in need.longest]
    if sum(natural) <= _SMALL_TABLE_SHARE * page_pt:
        return ColumnPlan(tuple(round(width, 1) for width in natural), size_pt, landscape, False)
    widths = _share(need, size_pt, page_pt)
    spare = (page_pt - sum(widths)) / sum(widths)
    return ColumnPlan(tuple(round(width * (1 + spare), 1) for width in widths), size_pt, landscape, True)


def _share(need: _Needs, size_pt: float, page_pt: float) -> list[float]:
    """Widths at which the usual cells of all columns take the same number of lines, the fewest that fit.

    Found by halving to 1/1000 of a line; a column never falls under its least.
    """
    if _total(need.longest, size_pt) <= page_pt:
        return [_points(width, size_pt) for width in need.longest]

    def at(lines: float) -> list[float]:
        return [
            _points(max(low, min(usual / lines, longest)), size_pt)
            for low, usual, longest in zip(need.least, need.usual, need.longest, strict=True)
        ]

    few, many = 0.01, 1.0
    while sum(at(many)) > page_pt and many < 1e6:
        many *= 2
    while many - few > 0.001:
        middle = (few + many) / 2
        few, many = (middle, many) if sum(at(middle)) > page_pt else (few, middle)
    return at(many)


def _needs(rows: Sequence[Sequence[Cell]], columns: int) -> _Needs:
    """What each column asks for; cells over several columns ask for nothing."""
    words = [1.0] * columns
    cells: list[list[float]] = [[1.0] for _ in range(columns)]
    for row in rows:
        place = 0
        for cell in row:
            if cell.span == 1 and place < columns:
                cells[place].append(text_width_em(cell.text))
                words[place] = max(words[place], max(map(text_width_em, _pieces(cell.text)), default=0.0))
            place += cell.span
    longest = tuple(max(widths) for widths in cells)
    usual = tuple(sorted(widths)[math.ceil(0.8 * len(widths)) - 1] for widths in cells)
    least = tuple(max(word, min(cell, _COMFORT_EM)) for word, cell in zip(words, longest, strict=True))
    return _Needs(least, longest, usual)


def _pieces(text: str) -> list[str]:
    """The parts of a text that a line is never broken inside."""
    return text.replace("\u200b", " ").split(" ")


def _points(ems: float, size_pt: float) -> float:
    return ems * size_pt + 2 * CELL_INSET_PT


def _total(ems: Sequence[float], size_pt: float) -> float:
    return sum(_points(width, size_pt) for width in ems)
