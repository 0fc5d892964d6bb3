"""Finished figures as blocks: a tall one as its sheets, each a drawing of its own."""

from __future__ import annotations

from typing import Literal

from slackloop.document.blocks import Drawing
from slackloop.document.drawings.svg import Figure
from slackloop.document.inline import line


def drawings_of(
    figure: Figure | None, caption: str = "", *, on: Literal["", "screen", "paper"] = "", paper_wide_mm: float = 0.0
) -> tuple[Drawing, ...]:
    """The drawings of a figure, with ``caption`` under each or its title; none for nothing to draw."""
    if figure is None:
        return ()
    return tuple(
        Drawing(
            each.id, each.svg, each.width_px, each.height_px, each.title, each.description, line(caption or each.title),
            on=on, spots=each.spots,
            paper_mm=(paper_wide_mm, paper_wide_mm * each.height_px / each.width_px) if paper_wide_mm else None,
        )
        for each in figure.sheets or (figure,)
    )
