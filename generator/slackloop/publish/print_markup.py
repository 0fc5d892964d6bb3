"""The walk over one page's HTML that writes it as Typst.

Every piece becomes a call of a function in ``content/print/parts.typ`` with string literals, so
that no text is ever read as markup. An element that is not known here keeps what stands in it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from slackloop.publish.print_drawing import PrintDrawing, prepare_drawing
from slackloop.publish.print_table import ColumnPlan
from slackloop.publish.print_tables import TableWriter
from slackloop.publish.print_text import breakable, literal, squeeze
from slackloop.publish.print_tree import DRAWING_TAG, Node

LEFT_OUT_TAGS = frozenset({"script", "style", "template", "noscript", "head", "button", "iframe", "object", "dialog"})
LEFT_OUT_CLASSES = frozenset({"doors", "headerlink", "footnote-backref", "no-print", "screen-only"})
BLOCK_TAGS = frozenset(
    {
        "address", "article", "aside", "blockquote", "body", "dd", "details", "div", "dl", "dt", "fieldset", "figcaption",
        "figure", "footer", "form", "h1", "h2", "h3", "h4", "h5", "h6", "header", "hr", "li", "main", "nav", "ol", "p",
        "pre", "section", "summary", "table", "ul",
    }
)  # fmt: skip
HEADINGS = {"h1": 1, "h2": 2, "h3": 3, "h4": 4, "h5": 5, "h6": 6}
BOX_KINDS = ("warning", "danger", "caution", "deferral", "reject", "why", "note")
DEEPEST_HEADING = 6

LONG_BOX_CHARACTERS = 1500
"""A box with more text than this may break over two pages; a shorter one stays whole."""

_WRAPPED = {
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


class PageWriter:
    """Writes one page. ``links`` maps an ``href`` to a label, ``labels`` an ``id`` to a label."""

    def __init__(
        self, printing: Printing, drawings: tuple[str, ...], *, level: int,
        links: Callable[[str], str | None], labels: Mapping[str, str], compact: bool = False,
    ) -> None:  # fmt: skip
        self.printing = printing
        self.svgs = drawings
        self.level = level
        self.links = links
        self.labels = labels
        self.compact = compact
        self.in_table = False
        self._tables = TableWriter(self)

    def plan_table(self, table: Node) -> ColumnPlan:
        """How a table of this page is set."""
        return self._tables.plan(table)

    # Text inside a line

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
        body = self._piece_body(node)
        name = self.labels.get(node.attributes.get("id", ""))
        if not name:
            return body
        return "{" + f"look.mark({literal(name)})" + (f";{body}" if body else "") + "}"

    def _piece_body(self, node: Node) -> str:
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
            return "{look.tick" + (f';" ";{body}' if label else "") + "}"
        if "value" in node.classes:
            return f"look.value({body})" if body != '""' else ""
        if tag == "a":
            return self._link(node, body)
        wrap = _WRAPPED.get(tag)
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
        name = self.links(href)
        if name:
            return f"look.{'to-short' if self.in_table or self.compact else 'to'}({literal(name)},{body})"
        if href.startswith(("https://", "http://", "mailto:")):
            address = href.removeprefix("mailto:")
            if address.strip("/") == node.text().strip().strip("/"):
                return body
            return "{" + body + ";" + self.text(f" ({address})") + "}"
        return body

    # Blocks

    def blocks(self, children: list[Node | str]) -> list[str]:
        """The blocks of an element, one statement each; loose text becomes a paragraph."""
        written: list[str] = []
        line: list[Node | str] = []

        def flush() -> None:
            body = self.inline(line)
            if body != '""':
                written.append(f"par({body})")
            line.clear()

        for child in children:
            if isinstance(child, Node) and (child.tag in BLOCK_TAGS or self._holds_blocks(child)):
                flush()
                written.extend(self.block(child))
            else:
                line.append(child)
        flush()
        return written

    def body(self, node: Node) -> str:
        """The inside of a list item, cell or box: one line of text stays a line, else blocks."""
        inside = [child for child in node.children if not (isinstance(child, str) and not child.strip())]
        if not any(isinstance(child, Node) and (child.tag in BLOCK_TAGS or self._holds_blocks(child)) for child in inside):
            return self.inline(node.children)
        if len(inside) == 1 and isinstance(inside[0], Node) and inside[0].tag == "p" and "id" not in inside[0].attributes:
            return self.inline(inside[0].children)
        return "{" + ";".join(self.blocks(node.children)) + "}"

    def block(self, node: Node) -> list[str]:
        """One block element as statements."""
        if self.left_out(node):
            return []
        name = self.labels.get(node.attributes.get("id", ""))
        if node.tag in HEADINGS:
            return [self._heading(node, name)]
        written = self._block_body(node)
        if name and written:
            return [f"look.mark({literal(name)})", *written]
        return written

    def _block_body(self, node: Node) -> list[str]:
        tag, classes = node.tag, node.classes
        if "admonition" in classes:
            return [self._box(node)]
        if "step" in classes:
            return [self._step(node)]
        if tag == "p":
            body = self.inline(node.children)
            return [f"par({body})"] if body != '""' else []
        if tag in ("ul", "ol"):
            return self._list(node)
        if tag == "dl":
            return self._terms(node)
        if tag == "table":
            return self._tables.write(node)
        if tag == "figure":
            return self._figure(node)
        if tag == "pre":
            return [f"look.code-lines({literal(self.printing.shown(node.text().strip(chr(10))))})"]
        if tag == "hr":
            return ["look.rule"]
        if tag == "blockquote":
            return self._around("look.quoted", node)
        if tag in ("summary", "legend"):
            body = self.inline(node.children)
            return [f"look.term({body})"] if body != '""' else []
        if tag == "figcaption":
            return [f"look.caption({self.inline(node.children)})"]
        return self.blocks(node.children)

    def _around(self, function: str, node: Node) -> list[str]:
        inside = self.blocks(node.children)
        return [f"{function}({{{';'.join(inside)}}})"] if inside else []

    def _heading(self, node: Node, name: str | None) -> str:
        level = min(self.level + HEADINGS[node.tag] - 1, DEEPEST_HEADING)
        label = f",name:{literal(name)}" if name else ""
        return f"look.head({level},{self.inline(node.children)}{label})"

    def _box(self, node: Node) -> str:
        kind = next((kind for kind in BOX_KINDS if kind in node.classes), "note")
        title = "none"
        rest: list[Node | str] = []
        for child in node.children:
            if isinstance(child, Node) and "admonition-title" in child.classes:
                title = self.inline(child.children)
            else:
                rest.append(child)
        long = ",long:true" if len(node.text()) > LONG_BOX_CHARACTERS else ""
        return f"look.note-box({literal(kind)},{title},{{{';'.join(self.blocks(rest))}}}{long})"

    def _step(self, node: Node) -> str:
        number, rest = "", []
        for child in node.children:
            if isinstance(child, Node) and "step-number" in child.classes:
                number = child.text().strip()
            else:
                rest.append(child)
        number = number or node.attributes.get("data-number", "")
        return f"look.step({self.text(number)},{{{';'.join(self.blocks(rest))}}})"

    def _list(self, node: Node) -> list[str]:
        items = [child for child in node.children if isinstance(child, Node) and child.tag == "li"]
        if not items:
            return self.blocks(node.children)
        start = node.attributes.get("start", "1")
        first = int(start) if start.isascii() and start.isdigit() else 1
        if "steps" in node.classes:
            return [
                f"look.step({literal(str(first + place))},{self._item(item)})" for place, item in enumerate(items)
            ]
        loose = any(child.tag == "p" for item in items for child in item.children if isinstance(child, Node))
        bodies = ",".join(self._item(item) for item in items)
        if node.tag == "ul":
            marker = ",marker:look.tick" if all(_ticks_first(item) for item in items) else ""
            return [f"list(tight:{_truth(not loose)}{marker},{bodies})"]
        return [f"enum(tight:{_truth(not loose)},start:{first},{bodies})"]

    def _item(self, item: Node) -> str:
        name = self.labels.get(item.attributes.get("id", ""))
        shown = _without_first_tick(item) if _ticks_first(item) else item
        body = self.body(shown)
        return "{" + f"look.mark({literal(name)});{body}" + "}" if name else body

    def _terms(self, node: Node) -> list[str]:
        written: list[str] = []
        for child in node.children:
            if not isinstance(child, Node) or self.left_out(child):
                continue
            if child.tag == "dt":
                written.append(f"look.term({self.inline(child.children)})")
            elif child.tag == "dd":
                written.append(f"look.meaning({self.body(child)})")
            else:
                written.extend(self._terms(child))
        return written

    def _figure(self, node: Node) -> list[str]:
        captions = [self.inline(found.children) for found in node.find("figcaption")]
        under = captions[0] if captions and captions[0] != '""' else "none"
        marks = [found for found in node.walk() if found.tag == DRAWING_TAG]
        if len(marks) != 1 or node.find("table"):
            return self.blocks(node.children)
        return [self.drawing_block(marks[0], under)]

    def drawing_block(self, mark: Node, under: str = "none") -> str:
        """A drawing on lines of its own, no wider than the page and no taller than its limit."""
        drawing = self.drawing(mark)
        tallest = self.printing.tallest_drawing_pt * (0.45 if self.compact else 1.0)
        file = literal(self.printing.keep_drawing(drawing))
        alt = literal(drawing.description)
        return f"look.drawing({file},{drawing.width_pt:.1f}pt,{tallest:.1f}pt,{alt},under:{under})"

    def drawing(self, mark: Node) -> PrintDrawing:
        """The drawing that a mark in the tree stands for."""
        return prepare_drawing(self.svgs[int(mark.attributes["number"])], self.printing.shown)

    def left_out(self, node: Node) -> bool:
        """Whether an element has no place on paper: scripts, buttons, links back, doors of the website."""
        return node.tag in LEFT_OUT_TAGS or not LEFT_OUT_CLASSES.isdisjoint(node.classes) or (
            node.tag == "input" and node.attributes.get("type") == "hidden"
        )  # fmt: skip

    def _holds_blocks(self, node: Node) -> bool:
        return node.tag not in _WRAPPED and any(
            isinstance(child, Node) and (child.tag in BLOCK_TAGS or self._holds_blocks(child)) for child in node.children
        )


def entry(node: Node) -> str:
    """A place to write or tick by hand, where the website has a field."""
    kind = node.attributes.get("type", "text")
    if kind in ("checkbox", "radio"):
        return "look.tick"
    if kind in ("submit", "button", "reset", "file", "image"):
        return ""
    return "look.entry(100%)" if node.tag == "textarea" else "look.entry(30mm)"


def _ticks_first(item: Node) -> bool:
    return _first_tick(item) is not None


def _first_tick(item: Node) -> Node | None:
    for child in item.children:
        if isinstance(child, str) and not child.strip():
            continue
        if isinstance(child, Node):
            if child.tag == "input" and child.attributes.get("type") == "checkbox":
                return child
            if "tick" in child.classes and not child.text().strip("☐□ \n"):
                return child
        return None
    return None


def _without_first_tick(item: Node) -> Node:
    mark = _first_tick(item)
    return Node(item.tag, item.attributes, [child for child in item.children if child is not mark])


def _truth(value: bool) -> str:
    return "true" if value else "false"
