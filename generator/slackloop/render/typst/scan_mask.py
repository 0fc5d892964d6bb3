"""Which mask a code to scan gets: the one of fewest penalty points by ISO/IEC 18004, counted on the whole code.

Two codes of one text, version and level that differ in their mask differ in the same modules as any other two, so each
text is encoded once and the other masks follow from it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

Modules = NDArray[np.uint8]
MASKS = 8
"""Masks of a code, by the standard."""
FINDER = 0b1011101
"""A line through the middle of a corner's pattern, dark as 1."""
QUIET = 4


class Masks:
    """The masks of the codes of one program run; ``make`` gives the code of a text with the mask of a number."""

    def __init__(self, make: Callable[[str, int], Any]) -> None:
        self._make = make
        self._differences: dict[tuple[Any, Any], Modules] = {}

    def best(self, text: str) -> Modules:
        """The modules of the code for ``text``, dark as 1, with the best mask."""
        made = self._make(text, 0)
        first = _modules(made)
        key = made.version, made.error
        if key not in self._differences:
            others = [_modules(self._make(text, mask)) for mask in range(MASKS)]
            self._differences[key] = np.array([each ^ first for each in others])
        codes = self._differences[key] ^ first
        return np.asarray(codes[int(np.argmin(penalties(codes)))])


def _modules(made: Any) -> Modules:
    return np.array([bytes(row) for row in made.matrix]).view(np.uint8).reshape(len(made.matrix), -1)


def penalties(codes: Modules) -> NDArray[np.int64]:
    """Penalty points of each code (codes, rows, columns) by the four rules of ISO/IEC 18004."""
    both = np.concatenate((codes, codes.transpose(0, 2, 1)), axis=1)  # rows and columns as rows
    return _runs(both) + _blocks(codes) + _finders(both) + _balance(codes)


def _runs(lines: Modules) -> NDArray[np.int64]:
    """Rule 1: three points for five alike in a line, and one for each more."""
    count, rows, side = lines.shape
    same = np.zeros((count, rows, side), dtype=np.int64)
    for across in range(1, side):
        same[:, :, across] = np.where(lines[:, :, across] == lines[:, :, across - 1], same[:, :, across - 1] + 1, 0)
    return np.asarray(3 * (same == 4).sum(axis=(1, 2)) + (same > 4).sum(axis=(1, 2)))


def _blocks(codes: Modules) -> NDArray[np.int64]:
    """Rule 2: three points for each square of four alike."""
    total = codes[:, :-1, :-1] + codes[:, 1:, :-1] + codes[:, :-1, 1:] + codes[:, 1:, 1:]
    return np.asarray(3 * ((total == 0) | (total == 4)).sum(axis=(1, 2)))


def _finders(lines: Modules) -> NDArray[np.int64]:
    """Rule 3: forty points for each pattern like that of a corner, with four light modules before or after it."""
    count, rows, side = lines.shape
    clear = np.zeros((count, rows, QUIET), dtype=np.uint16)
    padded = np.concatenate((clear, lines.astype(np.uint16), clear), axis=2)
    places = side - FINDER.bit_length() + 1
    held = np.zeros((count, rows, places), dtype=np.uint16)
    for n in range(FINDER.bit_length() + 2 * QUIET):
        held |= padded[:, :, n : n + places] << n
    alike = (held >> QUIET) & 0x7F == FINDER
    lone = (held & 0xF == 0) | (held >> (QUIET + FINDER.bit_length()) == 0)
    return np.asarray(40 * (alike & lone).sum(axis=(1, 2)))


def _balance(codes: Modules) -> NDArray[np.int64]:
    """Rule 4: ten points for each whole 5 % that the dark modules are away from half."""
    share = codes.mean(axis=(1, 2)) * 100
    return np.asarray(10 * (np.abs(share - 50) / 5).astype(np.int64))
