"""The rendered HTML of a page as a small tree, with its drawings set aside whole.

Only the standard library reads the HTML. Drawings are cut out first, since they are XML: their
names keep capital letters, which an HTML reader would lose.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID_TAGS = frozenset({"area", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"})

DRAWING_TAG = "slackloop-drawing"
"""Stands in the tree for one inline drawing; its attribute ``number`` counts drawings from 0."""

_SVG_EDGE = re.compile(r"<svg(?=[\s>/])[^>]*?(/?)>|</svg\s*>", re.IGNORECASE | re.DOTALL)
_CLOSES_PARAGRAPH = frozenset(
    {"p", "ul", "ol", "dl", "table", "div", "figure", "pre", "h1", "h2", "h3", "h4", "h5", "h6"}
)


@dataclass(slots=True)
class Node:
    """One element: its tag in lower case, its attributes and what stands in it, in order."""

    tag: str
    attributes: dict[str, str] = field(default_factory=dict)
    children: list[Node | str] = field(default_factory=list)

    @property
    def classes(self) -> frozenset[str]:
        """The names in its ``class`` attribute."""
        return frozenset(self.attributes.get("class", "").split())

    def walk(self) -> Iterator[Node]:
        """This element and every element inside it, in the order of the text."""
        yield self
        for child in self.children:
            if isinstance(child, Node):
                yield from child.walk()

    def find(self, *tags: str) -> list[Node]:
        """Every element inside this one with one of ``tags``."""
        return [node for node in self.walk() if node is not self and node.tag in tags]

    def text(self) -> str:
        """All text inside, as written."""
        return "".join(child if isinstance(child, str) else child.text() for child in self.children)


@dataclass(frozen=True, slots=True)
class Tree:
    """A page: the root element and the drawings that ``DRAWING_TAG`` elements number."""

    root: Node
    drawings: tuple[str, ...]


def parse_html(html: str) -> Tree:
    """Read the HTML of one page; tags that are never closed end with the element around them."""
    text, drawings = _set_drawings_aside(html)
    reader = _Reader()
    reader.feed(text)
    reader.close()
    return Tree(reader.root, tuple(drawings))


def _set_drawings_aside(html: str) -> tuple[str, list[str]]:
    """Cut out each outermost ``<svg>`` element and leave a numbered mark in its place."""
    if "<svg" not in html and "<SVG" not in html:
        return html, []
    kept: list[str] = []
    drawings: list[str] = []
    depth, start, after = 0, 0, 0
    for edge in _SVG_EDGE.finditer(html):
        closing = edge.group(0).startswith("</")
        if closing and depth == 0:
            continue
        if not closing and depth == 0:
            start = edge.start()
        if not edge.group(1):
            depth += -1 if closing else 1
        if depth == 0:
            kept.append(html[after:start])
            kept.append(f'<{DRAWING_TAG} number="{len(drawings)}"></{DRAWING_TAG}>')
            drawings.append(html[start : edge.end()])
            after = edge.end()
    kept.append(html[after:])
    return "".join(kept), drawings


class _Reader(HTMLParser):
    """Builds the tree; an end tag that opens nothing is passed over."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.root = Node("body")
        self._open = [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _CLOSES_PARAGRAPH and self._open[-1].tag == "p":
            self._open.pop()
        node = Node(tag, {name: value or "" for name, value in attrs})
        self._open[-1].children.append(node)
        if tag not in VOID_TAGS:
            self._open.append(node)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._open[-1].children.append(Node(tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        for place in range(len(self._open) - 1, 0, -1):
            if self._open[place].tag == tag:
                del self._open[place:]
                return

    def handle_data(self, data: str) -> None:
        self._open[-1].children.append(data)
