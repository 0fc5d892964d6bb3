"""A small SVG builder: elements, escape, title and description, fixed decimals, the same bytes each time.

Everything is styled by attributes, so that a drawing needs no page style, and lines and text take the
reader's text colour (``currentColor``).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache

from slackloop.language.messages import said
from slackloop.sections.text import shown_direction

INK = "currentColor"
WIDTH_PX = 344.0
"""Usual width of a drawing: text of size 12 is then about 11 px on a phone 360 px wide."""
TEXT_SIZE = 12.0
SMALL_SIZE = 11.5
THIN = 1.0

Point = tuple[float, float]
Value = str | float

_ID = re.compile(r"[A-Za-z][A-Za-z0-9_-]*\Z")
_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


@dataclass(frozen=True)
class Figure:
    """A finished drawing. ``svg`` is one ``<svg>`` element; sizes are its natural size in CSS pixels.

    A drawing too tall for a page also comes cut into ``sheets``, top to bottom; else there are none.
    """

    id: str
    title: str
    description: str
    svg: str
    width_px: float
    height_px: float
    sheets: tuple[Figure, ...] = ()
    spots: tuple[tuple[str, float, float], ...] = ()
    """Boxes by their ids and where they are, across and down, as shares of the width and the height."""


@lru_cache(maxsize=4096)
def escape(text: str) -> str:
    """Return ``text`` safe inside an element or a quoted attribute; characters XML forbids become U+FFFD."""
    clean = shown_direction(_NOT_XML.sub("\ufffd", text))
    for mark, name in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;"), ("'", "&#39;")):
        clean = clean.replace(mark, name)
    return " ".join(clean.split())


@lru_cache(maxsize=16384)
def number(value: float) -> str:
    """Return ``value`` with at most two decimals and no needless zeros."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


@lru_cache(maxsize=16384, typed=True)
def _attribute(key: str, value: Value) -> str:
    shown = number(value) if isinstance(value, int | float) else escape(value)
    return f' {key.replace("_", "-")}="{shown}"' if shown else ""


def figure_id(*parts: str) -> str:
    """Return an id made of ``parts`` (any text) with ``-`` between; all but letters and digits is coded.

    Different parts give different ids; the first part should start with a letter.
    """
    coded = "-".join(re.sub(r"[^A-Za-z0-9]", lambda m: f"_{ord(m.group()):x}_", part) for part in parts)
    return coded if coded[:1].isalpha() else f"f-{coded}"


def rounded_route(points: Sequence[Point], radius: float = 6.0) -> str:
    """Return path data through ``points`` with corners rounded by ``radius`` (drawing units)."""
    data = f"M{number(points[0][0])} {number(points[0][1])}"
    for before, corner, after in zip(points, points[1:], points[2:], strict=False):
        near = _towards(corner, before, radius)
        far = _towards(corner, after, radius)
        data += f"L{number(near[0])} {number(near[1])}"
        data += f"Q{number(corner[0])} {number(corner[1])} {number(far[0])} {number(far[1])}"
    return data + f"L{number(points[-1][0])} {number(points[-1][1])}"


def _towards(start: Point, goal: Point, distance: float) -> Point:
    """Return the point ``distance`` from ``start`` towards ``goal``, at most half way."""
    dx, dy = goal[0] - start[0], goal[1] - start[1]
    length = float((dx * dx + dy * dy) ** 0.5)
    if length == 0.0:
        return start
    share = min(distance, length / 2) / length
    return start[0] + dx * share, start[1] + dy * share


class Canvas:
    """Collects elements in order and gives the finished figure. Raises ``ValueError`` for a bad or repeated id."""

    def __init__(self, id: str, title: str, description: str, width: float = WIDTH_PX) -> None:
        if not _ID.match(id):
            raise ValueError(f"not a figure id: {id!r}")
        self.id = id
        self.title = said(title)
        self.description = said(description)
        self.width = width
        self._elements: list[str] = []
        self._names: set[str] = {"title", "desc"}
        self._look: dict[str, Value] = {}

    def element(self, tag: str, *, name: str = "", **attributes: Value) -> None:
        """Add an empty element; ``name`` becomes its id, prefixed by the figure's; ``_`` in a key becomes ``-``."""
        self._elements.append(f"<{tag}{self._attributes(name, attributes)}/>")

    def _attributes(self, name: str, attributes: dict[str, Value]) -> str:
        """Return attributes as text, empty ones left out."""
        text = ""
        if name:
            if name in self._names:
                raise ValueError(f"two parts of figure {self.id} are named {name!r}")
            self._names.add(name)
            text = f' id="{escape(self.id)}-{escape(name)}"'
        for key, value in attributes.items():
            text += _attribute(key, value)
        return text

    def line(self, start: Point, end: Point, *, width: float = THIN, dash: str = "", name: str = "") -> None:
        """Draw a straight line in ink."""
        self.element(
            "line", name=name, x1=start[0], y1=start[1], x2=end[0], y2=end[1],
            stroke=INK, stroke_width=width, stroke_dasharray=dash,
        )  # fmt: skip

    def path(
        self, data: str, *, stroke: str = INK, width: float = THIN, dash: str = "", fill: str = "none", cap: str = "",
        name: str = "",
    ) -> None:  # fmt: skip
        """Draw path data."""
        self.element(
            "path", name=name, d=data, fill=fill, stroke=stroke, stroke_width=width, stroke_dasharray=dash,
            stroke_linecap=cap, stroke_linejoin="round",
        )  # fmt: skip

    @contextmanager
    def group(self, **attributes: Value) -> Iterator[None]:
        """Elements that share what they look like; ``words`` and ``use`` give none of their own."""
        self._elements.append(f"<g{self._attributes('', attributes)}>")
        self._look = {"font-size": attributes.get("font_size", ""), "fill": attributes.get("fill", "")}
        yield
        self._look = {}
        self._elements.append("</g>")

    def words(self, x: float, y: float, text: str, *, anchor: str = "", bold: bool = False) -> None:
        """Write one line of text in the size and colour of its group; said again where print outlines it."""
        look = {} if text.isascii() else self._look
        attributes = self._attributes(
            "", {"x": x, "y": y, "text-anchor": anchor, "font-weight": "bold" if bold else "", **look}
        )  # fmt: skip
        self._elements.append(f"<text{attributes}>{escape(said(text))}</text>")

    def define(self, name: str, data: str) -> str:
        """Keep path data to be drawn more than once by ``use``; returns what it is used by."""
        self._elements.append(f'<defs><path{self._attributes(name, {"d": data})}/></defs>')
        return f"#{self.id}-{name}"

    def use(self, defined: str, stroke: str, width: float, dash: str = "") -> None:
        """Draw path data that was defined."""
        self.element("use", href=defined, stroke=stroke, stroke_width=width, stroke_dasharray=dash)

    def wire(self, data: str, stroke: str, width: float, *, name: str = "") -> None:
        """Draw path data with the fewest attributes: a drawing of a box has many wires."""
        self.element("path", name=name, d=data, stroke=stroke, stroke_width=width)

    def polyline(self, points: Iterable[Point], *, width: float = THIN, dash: str = "", name: str = "") -> None:
        """Draw an open line through ``points`` in ink."""
        data = "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points)
        self.path(data, width=width, dash=dash, name=name)

    def polygon(
        self, points: Iterable[Point], *, fill: str = "none", width: float = THIN, name: str = "", stroke: str = INK
    ) -> None:
        """Draw a closed shape."""
        data = "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points) + "Z"
        self.path(data, fill=fill, width=width, name=name, stroke=stroke)

    def rect(
        self, x: float, y: float, w: float, h: float, *, radius: float = 0.0, fill: str = "none", opacity: float = 1.0,
        stroke: str = INK, width: float = THIN, name: str = "",
    ) -> None:  # fmt: skip
        """Draw a rectangle from its upper left corner; ``opacity`` is that of its fill."""
        self.element(
            "rect", name=name, x=x, y=y, width=w, height=h, rx=radius if radius else "", fill=fill,
            fill_opacity="" if opacity == 1.0 else opacity, stroke=stroke, stroke_width=width,
        )  # fmt: skip

    def circle(
        self, centre: Point, radius: float, *, fill: str = "none", stroke: str = INK, width: float = THIN,
        dash: str = "", name: str = "",
    ) -> None:  # fmt: skip
        """Draw a circle."""
        self.element(
            "circle", name=name, cx=centre[0], cy=centre[1], r=radius, fill=fill, stroke=stroke, stroke_width=width,
            stroke_dasharray=dash,
        )  # fmt: skip

    def text(
        self, x: float, y: float, text: str, *, size: float = TEXT_SIZE, anchor: str = "", bold: bool = False,
        fill: str = INK,
    ) -> None:  # fmt: skip
        """Write one line of text with its baseline at ``y``; ``anchor`` is start (default), middle or end."""
        attributes = self._attributes(
            "", {"x": x, "y": y, "font-size": size, "text-anchor": anchor, "font-weight": "bold" if bold else "",
                 "fill": fill},
        )  # fmt: skip
        self._elements.append(f"<text{attributes}>{escape(said(text))}</text>")

    def letters(self, letter: str, places: Sequence[Point], *, size: float, fill: str) -> None:
        """Write one letter at many places, each in the middle of its place, as one element."""
        xs = " ".join(number(x) for x, _ in places)
        ys = " ".join(number(y + size * 0.33) for _, y in places)
        look = f'font-size="{number(size)}" font-weight="bold" text-anchor="middle" fill="{escape(fill)}"'
        self._elements.append(f'<text x="{xs}" y="{ys}" {look}>{escape(letter) * len(places)}</text>')

    def figure(self, height: float) -> Figure:
        """Return the finished drawing, ``height`` drawing units high."""
        size = f'width="{number(self.width)}" height="{number(height)}"'
        room = f"width:100%;max-width:{number(self.width * 1.3)}px;height:auto"
        view = f"0 0 {number(self.width)} {number(height)}"
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" id="{self.id}" viewBox="{view}" {size} style="{room}" '
            f'role="img" aria-labelledby="{self.id}-title {self.id}-desc" fill="none" '
            f'font-family="sans-serif">'
            f'<title id="{self.id}-title">{escape(self.title)}</title>'
            f'<desc id="{self.id}-desc">{escape(self.description)}</desc>'
        )
        return Figure(
            self.id, self.title, self.description, head + "".join(self._elements) + "</svg>", self.width, height
        )
