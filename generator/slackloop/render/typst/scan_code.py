"""The code to scan on a card, as a drawing: ISO/IEC 18004, error correction M or better, with its quiet zone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import segno
from segno.encoder import DataOverflowError

from slackloop.render.typst.scan_mask import Masks

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
