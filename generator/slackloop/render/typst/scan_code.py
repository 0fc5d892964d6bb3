"""The code to scan on a card, as a drawing: ISO/IEC 18004, error correction M or better, with its quiet zone.

Which mask a code to scan gets: the one of fewest penalty points by ISO/IEC 18004, counted on the whole code.

Two codes of one text, version and level that differ in their mask differ in the same modules as any other two, so each
text is encoded once and the other masks follow from it.

A drawing on its way to paper: black where a screen takes the reader's text colour, and our own text face.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import segno
from numpy.typing import NDArray
from segno.encoder import DataOverflowError

from slackloop.render.typst.print_fonts import TEXT_FAMILY

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


QUIET_MODULES = 4
"""Clear modules on each side: ISO/IEC 18004 asks for four (read from memory)."""


@dataclass(frozen=True, slots=True)
class ScanCode:
    """A code and the text it holds; ``modules`` is the length of a side with the quiet zone."""

    text: str
    svg: bytes
    modules: int


def _made(text: str, mask: int) -> segno.QRCode:
    return segno.make(text, error="m", micro=False, mask=mask)


_MASKS = Masks(_made)


def scan_code(text: str, shorter: str) -> ScanCode:
    """The code for ``text``; for ``shorter`` where the text is more than any code holds."""
    try:
        modules = _MASKS.best(text)
    except DataOverflowError:
        text = shorter
        modules = _MASKS.best(text)
    rows = tuple(bytes(row) for row in modules)
    side = len(rows) + 2 * QUIET_MODULES
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}" width="{side}" height="{side}">'
        f'<path fill="#fff" d="M0 0h{side}v{side}h-{side}z"/><path fill="#000" d="{_dark(rows)}"/></svg>'
    )
    return ScanCode(text, svg.encode(), side)


def _dark(rows: Sequence[bytes]) -> str:
    """Path data of the dark modules: one flat rectangle for each run of them in a row."""
    data = []
    for down, row in enumerate(rows, QUIET_MODULES):
        start = None
        for across, dark in enumerate((*row, 0)):
            if dark and start is None:
                start = across
            elif not dark and start is not None:
                wide = across - start
                data.append(f"M{start + QUIET_MODULES} {down}h{wide}v1h-{wide}z")
                start = None
    return "".join(data)


_ON_SCREEN = (('="currentColor"', '="#000000"'), ('font-family="sans-serif"', f'font-family="{TEXT_FAMILY}"'))
"""As values of attributes: a quote in text is always escaped, so no words of a drawing can match."""


def print_svg(svg: str) -> str:
    """The drawing as it is printed."""
    for screen, paper in _ON_SCREEN:
        svg = svg.replace(screen, paper)
    return svg
