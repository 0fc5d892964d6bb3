"""A small picture of work in hand: one action, few lines, labels that know the mark they belong to.

Tones are few, so that a screen can turn each of them for a dark page (``blocks.css``) and paper keeps them apart in
grey. Lines and words are in the reader's text colour.

What pictures of work take from the job: each value as its text, told by whoever asks for the picture.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import wraps
from typing import Literal

from slackloop.document.blocks import Drawing
from slackloop.document.drawings.lettering import fit, text_width
from slackloop.document.drawings.svg import INK, TEXT_SIZE, Canvas, Point, escape, number
from slackloop.document.inline import line
from slackloop.language.messages import said

PAPER, LIGHT, MID, DARK, COPPER = "#ffffff", "#d8d8d8", "#a0a0a0", "#5c5c5c", "#d08a50"
WIDE, TALL = 204.0, 116.0
"""Size of a picture in drawing units, labels 12 high."""
PAPER_WIDE_MM = 46.0
"""Printed width: two side by side fill the column of the steps, three the page, with labels of 7.6 pt."""
LINE_STEP = TEXT_SIZE * 1.15
BOLD = 1.06
"""Bold letters are that much wider than the widths in ``lettering``."""
USUAL = 0.86
"""What text takes of the widths in ``lettering`` in a face that is not the broadest."""
EDGE = 4.0
"""Room that a label leaves at either side."""
FAR = 7.0
"""A label farther than this from its mark gets a thin line to it."""

Box = tuple[float, float, float, float]
Verdict = Literal["", "right", "wrong"]


class Sketch(Canvas):
    """A canvas with labels, motion, dimensions and the tones of a picture of work."""

    def __init__(self, name: str, title: str, description: str) -> None:
        super().__init__(f"work-{name}", title, description, WIDE)

    def shape(
        self, data: str, fill: str = "none", *, at: Point = (0.0, 0.0), turn: float = 0.0, flip: bool = False,
        scale: float = 1.0, width: float = 1.2,
    ) -> None:  # fmt: skip
        """Draw path data about its own origin, moved to ``at``, turned by degrees, flipped left to right."""
        parts = []
        if at != (0.0, 0.0):
            parts.append(f"translate({number(at[0])} {number(at[1])})")
        if turn:
            parts.append(f"rotate({number(turn)})")
        if flip or scale != 1.0:
            parts.append(f"scale({number(-scale if flip else scale)} {number(scale)})")
        self.element(
            "path", d=data, fill=fill if fill != "none" else "", stroke=INK if width else "", stroke_width=width or "",
            stroke_linejoin="round" if width else "", transform="".join(parts),
        )  # fmt: skip

    def label(
        self, text: str, at: Point, mark: Point, *, anchor: str = "", bold: bool = False, lead: bool = True,
        halo: bool = True,
    ) -> None:  # fmt: skip
        """Write ``text`` (lines parted by a line break) with its first baseline at ``at``, for the thing at ``mark``.

        A thin line leads to a mark that is not close by, unless the label lies on the thing itself.
        ``halo`` keeps the ground clear round the letters.
        """
        rows = [fit(row, TEXT_SIZE, self.width - 6) for row in said(text).split("\n")]
        at = self._inside(rows, at, anchor)
        if lead:
            self._lead(rows, at, mark, anchor)
        for place, row in enumerate(rows):
            self._elements.append(
                f'<text x="{number(at[0])}" y="{number(at[1] + place * LINE_STEP)}" font-size="{number(TEXT_SIZE)}"'
                + (f' text-anchor="{anchor}"' if anchor else "")
                + (' font-weight="bold"' if bold else "")
                + (f' stroke="{PAPER}" stroke-width="3" paint-order="stroke"' if halo else "")
                + f' fill="{INK}" data-mark="{number(mark[0])} {number(mark[1])}">{escape(row)}</text>'
            )

    def inscribe(self, text: str, at: Point, mark: Point, *, bold: bool = True) -> None:
        """Write ``text`` on the thing itself, its middle at ``at``."""
        self.label(text, at, mark, anchor="middle", bold=bold, lead=False, halo=False)

    def _inside(self, rows: Sequence[str], at: Point, anchor: str) -> Point:
        """Where to write so that no word runs over the edge, as a longer one of another language would."""
        wide = max(text_width(row, TEXT_SIZE) for row in rows)
        left = at[0] - {"middle": wide / 2, "end": wide}.get(anchor, 0.0)
        kept = max(EDGE, min(left, self.width - EDGE - wide))
        return at[0] + kept - left, at[1]

    def _lead(self, rows: Sequence[str], at: Point, mark: Point, anchor: str) -> None:
        """Draw the line from a label to its mark, with a dot where it ends."""
        wide = max(text_width(row, TEXT_SIZE) for row in rows) * USUAL
        left = at[0] - {"middle": wide / 2, "end": wide}.get(anchor, 0.0)
        box = (left - 2, at[1] - 10, left + wide + 2, at[1] + (len(rows) - 1) * LINE_STEP + 3)
        start = min(max(mark[0], box[0]), box[2]), min(max(mark[1], box[1]), box[3])
        if math.dist(start, mark) < FAR:
            return
        if box[1] < mark[1] < box[3] or start[0] in (box[0], box[2]):
            start = start[0], at[1] - 4 if len(rows) == 1 else min(max(mark[1], box[1] + 6), box[3] - 5)
        self.element("path", d=f"M{_point(start)}L{_point(mark)}", stroke=INK, stroke_width=0.9)
        self.element("circle", cx=mark[0], cy=mark[1], r=1.7, fill=INK)

    def arrow(self, start: Point, end: Point) -> None:
        """The arrow of motion: solid, from ``start`` to its point at ``end``."""
        angle = math.atan2(end[1] - start[1], end[0] - start[0])
        neck = end[0] - 9 * math.cos(angle), end[1] - 9 * math.sin(angle)
        self.element("path", d=f"M{_point(start)}L{_point(neck)}", stroke=INK, stroke_width=4)
        self._head(end, angle)

    def curved_arrow(self, start: Point, through: Point, end: Point) -> None:
        """The arrow of a turning motion, bent towards ``through``."""
        angle = math.atan2(end[1] - through[1], end[0] - through[0])
        neck = end[0] - 8 * math.cos(angle), end[1] - 8 * math.sin(angle)
        self.element("path", d=f"M{_point(start)}Q{_point(through)} {_point(neck)}", stroke=INK, stroke_width=4)
        self._head(end, angle)

    def _head(self, tip: Point, angle: float, length: float = 11.0, half: float = 6.0) -> None:
        """Draw the head of an arrow."""
        base = tip[0] - length * math.cos(angle), tip[1] - length * math.sin(angle)
        side = -half * math.sin(angle), half * math.cos(angle)
        corners = (base[0] + side[0], base[1] + side[1]), (base[0] - side[0], base[1] - side[1])
        self.element("path", d=f"M{_point(tip)}L{_point(corners[0])}L{_point(corners[1])}Z", fill=INK)

    def dimension(self, start: Point, end: Point, text: str, at: Point, *, anchor: str = "middle") -> None:
        """A thin line with a head at each end and its text at ``at``."""
        angle = math.atan2(end[1] - start[1], end[0] - start[0])
        self.line(start, end, width=0.9)
        self._head(end, angle, 6, 2.4)
        self._head(start, angle + math.pi, 6, 2.4)
        if not text:
            return
        middle = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
        near = _within(at[0], start[0], end[0]), _within(at[1], start[1], end[1])
        self.label(text, at, near if near != at else middle, anchor=anchor, bold=True, lead=False)

    def dashed(self, start: Point, end: Point) -> None:
        """A line that is only thought: a level, an edge, a mark."""
        self.line(start, end, width=0.9, dash="4 3")

    def trouble(self, centre: Point, radius: float = 14.0) -> None:
        """The ring round the place where the work is wrong."""
        self.circle(centre, radius, width=2.4, dash="5 3.4")

    def soil(self, x: float, y: float, wide: float, tall: float) -> None:
        """Ground, as dots."""
        rows, at = "", y + 5
        while at < y + tall - 1:
            rows += f"M{number(x + (4 if len(rows) % 2 else 8))} {number(at)}h{number(wide - 9)}"
            at += 8
        self.element(
            "path", d=rows, stroke=INK, stroke_width=1.3, stroke_linecap="round", stroke_dasharray="0 9",
            stroke_opacity=0.7,
        )  # fmt: skip

    def ground(self, level: float) -> None:
        """Ground from ``level`` down, and its surface."""
        self.soil(0, level, WIDE, TALL - level)
        self.line((0, level), (WIDE, level), width=1.8)

    def hatched(self, x: float, y: float, wide: float, tall: float) -> None:
        """A wall in section."""
        self.rect(x, y, wide, tall, fill=PAPER, width=1.2)
        data, step = "", 7.0
        at = step
        while at < wide + tall:
            start = (x + max(0.0, at - tall), y + min(at, tall))
            end = (x + min(at, wide), y + max(0.0, at - wide))
            data += f"M{_point(start)}L{_point(end)}"
            at += step
        self.element("path", d=data, stroke=INK, stroke_width=0.9)

    def drawing(self, caption: str, verdict: Verdict = "") -> Drawing:
        """The finished picture with its one line of caption."""
        made = self.figure(TALL)
        return Drawing(
            made.id, made.svg, made.width_px, made.height_px, made.title, made.description, line(said(caption)),
            verdict, paper_mm=(PAPER_WIDE_MM, PAPER_WIDE_MM * TALL / WIDE),
        )  # fmt: skip


def _point(point: Point) -> str:
    return f"{number(point[0])} {number(point[1])}"


def _within(value: float, one: float, other: float) -> float:
    """``value``, no farther than either end of a stretch."""
    return min(max(value, min(one, other)), max(one, other))


def told(text: str, room: float, otherwise: str, *, most_rows: int = 1) -> str:
    """A value of the job as bold rows at most ``room`` wide, its second unit system on a row of its own where it may.

    A text that is empty or does not fit is not cut short: the picture then says ``otherwise``, and the step the value.
    """
    for rows in ((text,), tuple(text.replace(" (", "\n(").split("\n")))[:most_rows]:
        if text and len(rows) <= most_rows and all(text_width(row, TEXT_SIZE) * BOLD <= room for row in rows):
            return "\n".join(rows)
    return otherwise


Row = tuple[Drawing, ...]
"""Pictures that stand side by side."""


@dataclass(frozen=True, slots=True)
class WorkValues:
    """Texts with their units, as ``16 mm (5/8 in)``; an empty one is unknown, and the picture says where to look."""

    strip: str = ""
    """Bare copper of each wire."""
    slack: str = ""
    """Slack of one end, from the box wall to its cut."""
    cover: str = ""
    """Top of the cable to the finished ground."""
    depth: str = ""
    """Dug depth of the trench."""
    tape_depth: str = ""
    """Warning tape below the finished ground; empty where the job lays none."""
    bedding: str = ""
    """Bedding under and over the cable."""
    trench_width: str = ""
    spoil_back: str = ""
    """Spoil and machines from the edge."""
    clear_of_cable: str = ""
    """Earth rod to cable."""
    insulation_volts: str = ""
    jacket: str = ""
    """What the jacket is made of."""
    core_a: str = ""
    core_b: str = ""
    """Colour words of the cores, as on the reel."""
    with_pipe: bool = True
    """Whether a pipe shares the trench."""


def both(draw: Callable[[WorkValues, bool], Drawing]) -> Callable[[WorkValues], Row]:
    """The row of both pictures that ``draw`` makes: the work done right, then done wrong."""

    @wraps(draw)
    def row(values: WorkValues) -> Row:
        return draw(values, True), draw(values, False)

    return row
