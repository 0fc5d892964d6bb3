"""The words of a line: text, emphasis, references, marks to tick, as one Typst expression.

Every piece becomes a call of a function in ``content/print/parts.typ`` with string literals, so
that no text is ever read as markup. An element that is not known here keeps what stands in it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from slackloop.publish.print_drawing import PrintDrawing, prepare_drawing
from slackloop.publish.print_text import breakable, literal, squeeze
from slackloop.publish.print_tree import DRAWING_TAG, Node

LEFT_OUT_TAGS = frozenset({"script", "style", "template", "noscript", "head", "button", "iframe", "object", "dialog"})
LEFT_OUT_CLASSES = frozenset({"doors", "box-way", "headerlink", "footnote-backref", "no-print", "screen-only"})

_KEPT_ID_CHARACTERS = 16
"""A name such as C-JACKET-1 is not broken at its dashes up to this length."""

WRAPPED = {
    "b": "strong", "strong": "strong", "th": "strong", "em": "emph", "i": "emph", "cite": "emph", "dfn": "emph",
    "var": "emph", "sub": "sub", "sup": "super", "u": "underline", "ins": "underline", "s": "strike", "del": "strike",
    "small": "look.small",
}  # fmt: skip


@dataclass(slots=True)
class Printing:
    """What all pages share: how text is shown, where links lead, and the drawings gathered so far."""

    shown: Callable[[str], str]
    portrait_pt: float
    landscape_pt: float
    tallest_drawing_pt: float
    drawings: dict[str, bytes] = field(default_factory=dict)
    _names: dict[bytes, str] = field(default_factory=dict)

    def keep_drawing(self, drawing: PrintDrawing) -> str:
        """Name of the file that holds the drawing; the same drawing is kept once."""
        name = self._names.get(drawing.svg)
        if name is None:
            name = f"drawing-{len(self._names) + 1}.svg"
            self._names[drawing.svg] = name
            self.drawings[name] = drawing.svg
        return name


@dataclass(frozen=True, slots=True)
class Target:
    """Where a link leads: a label, and whether that is the sheet of a box, which the contents list by name."""

    label: str
    sheet: bool = False


class LineWriter:
    """Writes the words of one page. ``links`` maps an ``href`` to its target, ``labels`` an ``id`` to a label."""

    def __init__(
        self, printing: Printing, drawings: tuple[str, ...], *,
        links: Callable[[str], Target | None], labels: Mapping[str, str], compact: bool = False,
    ) -> None:  # fmt: skip
        self.printing = printing
        self.svgs = drawings
        self.links = links
        self.labels = labels
        self.compact = compact
        self.in_table = False
        self.alone_in_cell = False
        self.said: set[str] = set()
        """Labels whose page the table being written has named already."""

    def text(self, text: str) -> str:
        """A string literal, with what cannot be printed replaced and long words made breakable."""
        return literal(breakable(self.printing.shown(text)))

    def inline(self, children: list[Node | str]) -> str:
        """The pieces of one line of text as one Typst expression; ``""`` for nothing."""
        pieces: list[str] = []
        words: list[str] = []

        def flush() -> None:
            if words:
                text = squeeze("".join(words))
                if not pieces:
                    text = text.lstrip(" ")
                if text:
                    pieces.append(self.text(text))
                words.clear()

        for child in children:
            if isinstance(child, str):
                words.append(child)
                continue
            piece = self.piece(child)
            if piece:
                flush()
                pieces.append(piece)
        if words:
            words[-1] = words[-1].rstrip(" \t\r\n")
        flush()
        if not pieces:
            return '""'
        return pieces[0] if len(pieces) == 1 else "{" + ";".join(pieces) + "}"

    def piece(self, node: Node) -> str:
        """One element inside a line, as an expression; empty when nothing of it is printed."""
        if self.left_out(node):
            return ""
        body = self._plain_piece(node)
        name = self.labels.get(node.attributes.get("id", ""))
        if not name:
            return body
        return "{" + f"look.mark({literal(name)})" + (f";{body}" if body else "") + "}"

    def _plain_piece(self, node: Node) -> str:
        tag = node.tag
        if tag == DRAWING_TAG:
            drawing = self.drawing(node)
            return f"look.small-drawing({literal(self.printing.keep_drawing(drawing))},{drawing.width_pt:.1f}pt," \
                   f"{literal(drawing.description)})"  # fmt: skip
        if tag == "br":
            return "linebreak()"
        if tag == "img":
            return self.text(node.attributes.get("alt", ""))
        if tag in ("input", "select", "textarea"):
            return entry(node)
        if tag in ("code", "kbd", "samp", "tt"):
            return f"raw({self.text(node.text())})"
        body = self.spaced(node)
        if "tick" in node.classes:
            label = node.text().strip("☐☑✓□ \n")
            return '{look.tick;" ";' + body + "}" if label else "look.tick"
        if "value" in node.classes:
            function = "small-value" if self.compact and self.in_table and not self.alone_in_cell else "value"
            return f"look.{function}({body})" if body != '""' else ""
        if "sign" in node.classes:
            return "look.entry(38mm)"
        if tag == "a":
            return self._link(node, body)
        wrap = WRAPPED.get(tag)
        if wrap:
            return f"{wrap}({body})" if body != '""' else ""
        return body if body != '""' else ""

    def spaced(self, node: Node) -> str:
        """The inside of an element, with the space at its edges that the line around it needs."""
        body = self.inline(node.children)
        text = node.text()
        before = text[:1].isspace() and text.strip() != ""
        after = text[-1:].isspace() and text.strip() != ""
        if not (before or after):
            return body if text.strip() or body != '""' or not text else '" "'
        return "{" + ('" ";' if before else "") + body + (';" "' if after else "") + "}"

    def _link(self, node: Node, body: str) -> str:
        href = node.attributes.get("href", "")
        if body == '""':
            return ""
        if "footnote-ref" in node.classes:
            return body
        target = self.links(href)
        if target is not None:
            if self.in_table and not self.names_page(href, self.said):
                return body
            words = node.text()
            if "-" in words and " " not in words and len(words) <= _KEPT_ID_CHARACTERS:
                body = f"box({body})"
            return f"look.{'to-short' if self.in_table or self.compact else 'to'}({literal(target.label)},{body})"
        if href.startswith(("https://", "http://", "mailto:")):
            address = href.removeprefix("mailto:")
            if address.strip("/") == node.text().strip().strip("/"):
                return body
            return "{" + body + ";" + self.text(f" ({address})") + "}"
        return body

    def names_page(self, href: str, said: set[str]) -> bool:
        """Whether a link in a table gets its page number: the first to a place that is not a box's sheet."""
        target = self.links(href)
        if target is None or target.sheet or self.compact or target.label in said:
            return False
        said.add(target.label)
        return True

    def drawing(self, mark: Node) -> PrintDrawing:
        """The drawing that a mark in the tree stands for."""
        return prepare_drawing(self.svgs[int(mark.attributes["number"])], self.printing.shown)

    def left_out(self, node: Node) -> bool:
        """Whether an element has no place on paper: scripts, buttons, links back, doors of the website."""
        return node.tag in LEFT_OUT_TAGS or not LEFT_OUT_CLASSES.isdisjoint(node.classes) or (
            node.tag == "input" and node.attributes.get("type") == "hidden"
        )  # fmt: skip


def entry(node: Node) -> str:
    """A place to write or tick by hand, where the website has a field."""
    kind = node.attributes.get("type", "text")
    if kind in ("checkbox", "radio"):
        return "look.tick"
    if kind in ("submit", "button", "reset", "file", "image"):
        return ""
    return "look.entry(100%)" if node.tag == "textarea" else "look.entry(30mm)"
