"""The rendered HTML of a page as a small tree, with its drawings set aside whole.

Only the standard library reads the HTML. Drawings are cut out first, since they are XML: their
names keep capital letters, which an HTML reader would lose.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from html import unescape

VOID_TAGS = frozenset({"area", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"})

DRAWING_TAG = "slackloop-drawing"
"""Stands in the tree for one inline drawing; its attribute ``number`` counts drawings from 0."""

_SVG_EDGE = re.compile(r"<svg(?=[\s>/])[^>]*?(/?)>|</svg\s*>", re.IGNORECASE | re.DOTALL)
_TOKEN = re.compile(r"<!--.*?-->|<(/?)([a-zA-Z][\w:-]*)((?:[^<>\"']|\"[^\"]*\"|'[^']*')*)>", re.DOTALL)
_ATTRIBUTE = re.compile(r"""([^\s"'=<>/]+)(?:\s*=\s*(?:"([^"]*)"|'([^']*)'|([^\s"'>]+)))?""")
_CLOSES_PARAGRAPH = frozenset(
    {"p", "ul", "ol", "dl", "table", "div", "figure", "pre", "h1", "h2", "h3", "h4", "h5", "h6"}
)
_BETWEEN_TAGS = re.compile(r"<[^<>]*>")
_VALUES = re.compile(r'="([^"<>]*)"')
_TABLE_FRAMES = frozenset({"table", "thead", "tbody", "tfoot", "tr"})
"""What stands between their elements is only white space."""
NO_CLASSES: frozenset[str] = frozenset()


@dataclass(slots=True)
class Node:
    """One element: its tag in lower case, its attributes and what stands in it, in order."""

    tag: str
    attributes: dict[str, str] = field(default_factory=dict)
    children: list[Node | str] = field(default_factory=list)

    @property
    def classes(self) -> frozenset[str]:
        """The names in its ``class`` attribute."""
        return frozenset(self.attributes["class"].split()) if "class" in self.attributes else NO_CLASSES

    def walk(self) -> Iterator[Node]:
        """This element and every element inside it, in the order of the text."""
        waiting = [self]
        while waiting:
            node = waiting.pop()
            yield node
            if node.children:
                waiting.extend(child for child in reversed(node.children) if isinstance(child, Node))

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
    reader.read(text)
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


def texts_of(html: str) -> list[str]:
    """The texts between the tags of ``html``, drawings' labels and attributes' values among them, entities as letters.

    Text without a character beyond ASCII is left out: no font lacks it.
    """
    if html.isascii() and "&" not in html:
        return []
    found = [unescape(part) for part in _BETWEEN_TAGS.split(html) if not part.isascii() or "&" in part]
    found += [unescape(part) for part in _VALUES.findall(html) if not part.isascii() or "&" in part]
    return found


class _Reader:
    """Builds the tree; an end tag that opens nothing is passed over, a stray ``<`` is text."""

    def __init__(self) -> None:
        self.root = Node("body")
        self._open = [self.root]

    def read(self, html: str) -> None:
        """Read a whole page; what is still open at its end is closed there."""
        after = 0
        for token in _TOKEN.finditer(html):
            if token.start() > after:
                self._text(html[after : token.start()])
            after = token.end()
            tag = token[2]
            if tag is None:
                continue
            if token[1]:
                self._end(tag.lower())
            else:
                self._start(tag.lower(), token[3])
        if after < len(html):
            self._text(html[after:])

    def _text(self, text: str) -> None:
        if self._open[-1].tag in _TABLE_FRAMES and text.isspace():
            return
        self._open[-1].children.append(unescape(text) if "&" in text else text)

    def _start(self, tag: str, inside: str) -> None:
        if tag in _CLOSES_PARAGRAPH and self._open[-1].tag == "p":
            self._open.pop()
        node = Node(tag, dict(_attributes(inside)) if inside else {})
        self._open[-1].children.append(node)
        if tag not in VOID_TAGS and not inside.endswith("/"):
            self._open.append(node)

    def _end(self, tag: str) -> None:
        for place in range(len(self._open) - 1, 0, -1):
            if self._open[place].tag == tag:
                del self._open[place:]
                return


@lru_cache(maxsize=4096)
def _attributes(inside: str) -> tuple[tuple[str, str], ...]:
    """Attributes by name in lower case; one without a value holds the empty text. Kept, as tables repeat them."""
    return tuple(
        (name.lower(), unescape(double or single or bare)) for name, double, single, bare in _ATTRIBUTE.findall(inside)
    )
