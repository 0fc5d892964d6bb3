"""Widths of table columns on paper, chosen from what stands in the cells.

A table is set at the largest of the stated sizes at which its longest words fit across the page;
when none does, the page is turned. Widths of text are estimated from the widths of characters
in the text face, on the wide side, so that a word does not run out of its column.
"""

from __future__ import annotations

import functools
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

_WASTE_EM = 1.3
"""What a broken line leaves empty at its end: about half a word of five letters and its space."""
_PARTS = (0.5, 0.65, 0.8, 0.9, 1.0)
"""Which cell of a column, from short to long, stands for the column when the page is shared out."""
_SMALL_TABLE_SHARE = 0.62
_NATURAL_EASE = 1.06

_ADVANCES = {
    200: " ", 260: "',.:;ijl|·", 280: "I", 300: "!f", 320: "()-[]{}", 340: "t°", 360: "/\\r", 380: "²³",
    420: "*s", 440: "\"?z", 460: "cx", 480: "JYvy–", 500: "#$+0123456789<=>FL^_ek~×≤≥", 520: "VXag",
    540: "ESTZ", 560: "A`bdhnopqu", 580: "CKPR", 600: "B", 620: "&DG→", 660: "HNU", 680: "OQΩ", 720: "w",
    740: "M", 800: "W—", 820: "½", 840: "%m", 860: "@",
}  # fmt: skip
"""Widths of characters in the text face, in thousandths of an em, measured by Typst and rounded up to 20."""
_WIDTHS_EM = {mark: width / 1000 for width, marks in _ADVANCES.items() for mark in marks}
_WIDTHS_EM["\u00a0"] = _WIDTHS_EM[" "]
_OTHER_EM, _FULL_EM = 0.66, 1.05

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


@functools.lru_cache(maxsize=65536)
def text_width_em(text: str) -> float:
    """Estimated width of one line of text, in ems of its size."""
    return sum(map(_character_em, text))


@functools.cache
def _character_em(mark: str) -> float:
    if mark == "\u200b":
        return 0.0
    return _WIDTHS_EM.get(mark, _FULL_EM if ord(mark) >= 0x2E80 else _OTHER_EM)


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
    """Widths in ems."""

    least: tuple[float, ...]
    """By column: its longest word, or its longest cell up to a comfortable width."""
    longest: tuple[float, ...]
    """By column: its longest cell on one line."""
    rows: tuple[tuple[float, ...], ...]
    """Every row's cells on one line; 0 where a cell reaches over several columns."""


def _plan(need: _Needs, size_pt: float, page_pt: float, landscape: bool) -> ColumnPlan:
    """Natural widths for a small table, else the whole width of the page shared out."""
    natural = [_points(width, size_pt) * _NATURAL_EASE for width in need.longest]
    if sum(natural) <= _SMALL_TABLE_SHARE * page_pt:
        return ColumnPlan(tuple(round(width, 1) for width in natural), size_pt, landscape, False)
    widths = _share(need, size_pt, page_pt)
    spare = page_pt / sum(widths)
    return ColumnPlan(tuple(round(width * spare, 1) for width in widths), size_pt, landscape, True)


def _share(need: _Needs, size_pt: float, page_pt: float) -> list[float]:
    """The shares, of a few ways to weigh the columns, at which the table takes the fewest lines."""
    if _total(need.longest, size_pt) <= page_pt:
        return [_points(width, size_pt) for width in need.longest]
    columns = [sorted(widths) for widths in zip(*need.rows, strict=True)]
    ways = [
        _even_lines(need, [widths[math.ceil(part * len(widths)) - 1] for widths in columns], size_pt, page_pt)
        for part in _PARTS
    ]
    return min(ways, key=lambda widths: _lines(need, widths, size_pt))


def _even_lines(need: _Needs, usual: Sequence[float], size_pt: float, page_pt: float) -> list[float]:
    """Widths at which the usual cells of all columns take the same number of lines, the fewest that fit.

    Found by halving to 1/1000 of a line; a column never falls under its least.
    """

    def at(lines: float) -> list[float]:
        return [
            _points(max(low, min(width / lines + _WASTE_EM, longest)), size_pt)
            for low, width, longest in zip(need.least, usual, need.longest, strict=True)
        ]

    few, many = 0.01, 1.0
    while sum(at(many)) > page_pt and many < 1e6:
        many *= 2
    while many - few > 0.001:
        middle = (few + many) / 2
        few, many = (middle, many) if sum(at(middle)) > page_pt else (few, middle)
    return at(many)


def _lines(need: _Needs, widths: Sequence[float], size_pt: float) -> float:
    """Lines that the whole table takes at these widths, about half a word being lost at each break."""
    room = [max(width - 2 * CELL_INSET_PT, 1.0) / size_pt for width in widths]
    filled = [max(width - _WASTE_EM, 0.6 * width) for width in room]
    return sum(
        max(1 if cell <= width else math.ceil(cell / full) for cell, width, full in zip(row, room, filled, strict=True))
        for row in need.rows
    )


def _needs(rows: Sequence[Sequence[Cell]], columns: int) -> _Needs:
    """What each column asks for; cells over several columns ask for nothing."""
    words = [1.0] * columns
    lengths: list[tuple[float, ...]] = []
    for row in rows:
        place = 0
        line = [0.0] * columns
        for cell in row:
            if cell.span == 1 and place < columns:
                line[place] = text_width_em(cell.text)
                words[place] = max(words[place], max(map(text_width_em, _pieces(cell.text)), default=0.0))
            place += cell.span
        lengths.append(tuple(line))
    longest = tuple(max([1.0, *widths]) for widths in zip(*lengths, strict=True)) or (1.0,) * columns
    least = tuple(max(word, min(cell, _COMFORT_EM)) for word, cell in zip(words, longest, strict=True))
    return _Needs(least, longest, tuple(lengths))


def _pieces(text: str) -> list[str]:
    """The parts of a text that a line is never broken inside."""
    return text.replace("\u200b", " ").split(" ")


def _points(ems: float, size_pt: float) -> float:
    return ems * size_pt + 2 * CELL_INSET_PT


def _total(ems: Sequence[float], size_pt: float) -> float:
    return sum(_points(width, size_pt) for width in ems)
