"""Widths of table columns on paper, chosen from what stands in the cells.

A table is set at the largest of the stated sizes at which its longest words fit across the page;
when none does, the page is turned. Widths of text are estimated from rough widths of characters
in the text face, on the wide side, so that a word does not run out of its column.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

PORTRAIT_SIZES_PT = (9.5, 9.0, 8.5, 8.0)
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


def plan_columns(rows: Sequence[Sequence[Cell]], columns: int, portrait_pt: float, landscape_pt: float) -> ColumnPlan:
    """Choose widths for ``columns`` columns on a page of the given text widths (points).

    A table of no columns is refused with ``ValueError``.
    """
    if columns < 1:
        raise ValueError("a table needs at least one column")
    least, wanted = _needs(rows, columns)
    if columns <= MOST_PORTRAIT_COLUMNS:
        for size in PORTRAIT_SIZES_PT:
            if _total(least, size) <= portrait_pt:
                return _plan(least, wanted, size, portrait_pt, False)
    for size in LANDSCAPE_SIZES_PT:
        if _total(least, size) <= landscape_pt:
            return _plan(least, wanted, size, landscape_pt, True)
    squeezed = tuple(round(landscape_pt * need / sum(least), 1) for need in least)
    return ColumnPlan(squeezed, LANDSCAPE_SIZES_PT[-1], True, True)


def _plan(least: list[float], wanted: list[float], size_pt: float, page_pt: float, landscape: bool) -> ColumnPlan:
    """Natural widths for a small table, else the whole width of the page shared out."""
    natural = [(want * size_pt + 2 * CELL_INSET_PT) * _NATURAL_EASE for want in wanted]
    if sum(natural) <= _SMALL_TABLE_SHARE * page_pt:
        return ColumnPlan(tuple(round(width, 1) for width in natural), size_pt, landscape, False)
    return ColumnPlan(_share(least, wanted, size_pt, page_pt), size_pt, landscape, True)


def _needs(rows: Sequence[Sequence[Cell]], columns: int) -> tuple[list[float], list[float]]:
    """Least and wanted width of each column in ems: its longest word, and its longest cell."""
    words = [1.0] * columns
    cells = [1.0] * columns
    for row in rows:
        place = 0
        for cell in row:
            if cell.span == 1 and place < columns:
                cells[place] = max(cells[place], text_width_em(cell.text))
                words[place] = max(words[place], max(map(text_width_em, _pieces(cell.text)), default=0.0))
            place += cell.span
    least = [max(word, min(cell, _COMFORT_EM)) for word, cell in zip(words, cells, strict=True)]
    return least, cells


def _pieces(text: str) -> list[str]:
    return text.replace("\u200b", " ").replace("-", "- ").split(" ")


def _total(ems: Sequence[float], size_pt: float) -> float:
    return sum(ems) * size_pt + 2 * CELL_INSET_PT * len(ems)


def _share(least: Sequence[float], wanted: Sequence[float], size_pt: float, page_pt: float) -> tuple[float, ...]:
    """Give every column its least, then share the rest by what each could still use, until none is left."""
    widths = [need * size_pt + 2 * CELL_INSET_PT for need in least]
    most = [want * size_pt + 2 * CELL_INSET_PT for want in wanted]
    spare = page_pt - sum(widths)
    hungry = [place for place in range(len(widths)) if most[place] - widths[place] > 0.01]
    while hungry and spare > 0.01:
        # The power tames one very long cell: twice the text asks for less than twice the width.
        appetite = {place: (most[place] - widths[place]) ** 0.6 for place in hungry}
        portion = spare / sum(appetite.values())
        for place in hungry:
            given = min(portion * appetite[place], most[place] - widths[place])
            widths[place] += given
            spare -= given
        hungry = [place for place in hungry if most[place] - widths[place] > 0.01]
    total = sum(widths)
    return tuple(round(width + max(spare, 0.0) * width / total, 1) for width in widths)
