"""The code to scan on a card, as a drawing: ISO/IEC 18004, error correction M or better, with its quiet zone.

A drawing on its way to paper: black where a screen takes the reader's text colour, and our own text face.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import zxingcpp
from numpy.typing import NDArray

from slackloop.render.typst.print_fonts import TEXT_FAMILY

Modules = NDArray[np.bool_]
"""Rows of modules, dark as True."""
BETTER = ("Q", "H")
"""Levels of error correction over M, taken where the code does not grow with them."""
QUIET_MODULES = 4
"""Clear modules on each side: ISO/IEC 18004 asks for four (read from memory)."""


@dataclass(frozen=True, slots=True)
class ScanCode:
    """A code and the text it holds; ``modules`` is the length of a side with the quiet zone."""

    text: str
    svg: bytes
    modules: int


def scan_code(text: str, shorter: str) -> ScanCode:
    """The code for ``text``; for ``shorter`` where the text is more than any code holds."""
    try:
        modules = _best(text)
    except ValueError:
        text = shorter
        modules = _best(text)
    side = len(modules) + 2 * QUIET_MODULES
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}" width="{side}" height="{side}">'
        f'<path fill="#fff" d="M0 0h{side}v{side}h-{side}z"/><path fill="#000" d="{_dark(modules)}"/></svg>'
    )
    return ScanCode(text, svg.encode(), side)


def _best(text: str) -> Modules:
    """The code with the most correction that is no larger than with M; raises ``ValueError`` where none is so large."""
    best = _made(text, "M")
    for level in BETTER:
        try:
            better = _made(text, level)
        except ValueError:
            break
        if better.shape != best.shape:
            break
        best = better
    return best


def _made(text: str, level: str) -> Modules:
    code = zxingcpp.create_barcode(text, zxingcpp.BarcodeFormat.QRCode, ec_level=level)
    return np.asarray(np.array(code.to_image(scale=1, add_quiet_zones=False)) == 0)


def _dark(modules: Modules) -> str:
    """Path data of the dark modules: one flat rectangle for each run of them in a row."""
    turns = np.diff(np.pad(modules.astype(np.int8), ((0, 0), (1, 1))))
    downs, starts = np.nonzero(turns == 1)
    ends = np.nonzero(turns == -1)[1]
    return "".join(
        f"M{start} {down}h{wide}v1h-{wide}z"
        for down, start, wide in zip(
            (downs + QUIET_MODULES).tolist(), (starts + QUIET_MODULES).tolist(), (ends - starts).tolist(), strict=True
        )
    )


_ON_SCREEN = (('="currentColor"', '="#000000"'), ('font-family="sans-serif"', f'font-family="{TEXT_FAMILY}"'))
"""As values of attributes: a quote in text is always escaped, so no words of a drawing can match."""


def print_svg(svg: str) -> str:
    """The drawing as it is printed."""
    for screen, paper in _ON_SCREEN:
        svg = svg.replace(screen, paper)
    return svg
