"""The walk over one page's HTML that writes it as Typst.

Every piece becomes a call of a function in ``content/print/parts.typ`` with string literals, so
that no text is ever read as markup. An element that is not known here keeps what stands in it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from slackloop.publish.print_line import WRAPPED, LineWriter, Printing, Target
from slackloop.publish.print_table import ColumnPlan
from slackloop.publish.print_tables import TableWriter
from slackloop.publish.print_text import literal
from slackloop.publish.print_tree import DRAWING_TAG, Node

BLOCK_TAGS = frozenset(
    {
        "address", "article", "aside", "blockquote", "body", "dd", "details", "div", "dl", "dt", "fieldset",
        "figcaption", "figure", "footer", "form", "h1", "h2", "h3", "h4", "h5", "h6", "header", "hr", "li", "main",
        "nav", "ol", "p", "pre", "section", "summary", "table", "ul",
    }
)  # fmt: skip
HEADINGS = {"h1": 1, "h2": 2, "h3": 3, "h4": 4, "h5": 5, "h6": 6}
BOX_KINDS = ("warning", "danger", "caution", "deferral", "reject", "why", "note")
DEEPEST_HEADING = 6

LONG_BOX_CHARACTERS = 1500
"""A box with more text than this may break over two pages; a shorter one stays whole."""




class PageWriter(LineWriter):
    """Writes one page; its own headings begin one level under ``level``."""

    def __init__(
        self, printing: Printing, drawings: tuple[str, ...], *, level: int,
        links: Callable[[str], Target | None], labels: Mapping[str, str], compact: bool = False,
    ) -> None:  # fmt: skip
        super().__init__(printing, drawings, links=links, labels=labels, compact=compact)
        self.level = level
        self._tables = TableWriter(self)

    def plan_table(self, table: Node) -> ColumnPlan:
        """How a table of this page is set."""
        return self._tables.plan(table)

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
            if isinstance(child, Node) and "sign-line" in child.classes:
                line.extend([Node("span", {}, child.children), " "])
            elif isinstance(child, Node) and self._is_block(child):
                flush()
                if child.tag == "table" and written and written[-1].startswith("par("):
                    written[-1] = f"look.lead({written[-1]})"
                written.extend(self.block(child))
            else:
                line.append(child)
        flush()
        return written

    def sheet(self, children: list[Node | str]) -> list[str]:
        """The blocks of a box's sheet: its one drawing stands beside its facts, with their headings."""
        pieces = [child for child in children if not (isinstance(child, str) and not child.strip())]
        drawings = [place for place, child in enumerate(pieces) if _is(child, "figure")]
        facts = [place for place, child in enumerate(pieces) if _is(child, "dl")]
        if len(drawings) != 1 or len(facts) != 1 or drawings[0] > facts[0]:
            return self.blocks(children)
        left, right = _with_heading(pieces, drawings[0]), _with_heading(pieces, facts[0])
        sides = (";".join(self.blocks(pieces[part])) for part in (left, right))
        return [
            *self.blocks(pieces[: left.start]),
            "look.beside(" + ",".join("{" + side + "}" for side in sides) + ")",
            *self.blocks(pieces[left.stop : right.start]),
            *self.blocks(pieces[right.stop :]),
        ]

    def body(self, node: Node) -> str:
        """The inside of a list item, cell or box: one line of text stays a line, else blocks."""
        inside = [child for child in node.children if not (isinstance(child, str) and not child.strip())]
        if not any(self._is_block(child) for child in inside):
            return self.inline(node.children)
        only = inside[0] if len(inside) == 1 else ""
        if isinstance(only, Node) and only.tag == "p" and "id" not in only.attributes:
            return self.inline(only.children)
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
        if self.compact and node.tag == "ul" and all(_is_reference(item) for item in items):
            return ["par({" + ';" · ";'.join(self._item(item) for item in items) + "})"]
        loose = any(child.tag == "p" for item in items for child in item.children if isinstance(child, Node))
        bodies = ",".join(self._item(item) for item in items)
        if node.tag == "ul":
            marker = ""
            if all(_ticks_first(item) for item in items):
                marker = ",marker:look.tick"
            elif all(_sign_first(item) for item in items):
                marker = ",marker:[]"  # the sign stands in place of a bullet, as on the website
            return [f"list(tight:{_truth(not loose)}{marker},{bodies})"]
        return [f"enum(tight:{_truth(not loose)},start:{first},{bodies})"]

    def _item(self, item: Node) -> str:
        name = self.labels.get(item.attributes.get("id", ""))
        shown = _without_first_tick(item) if _ticks_first(item) else item
        body = self.body(shown)
        return "{" + f"look.mark({literal(name)});{body}" + "}" if name else body

    def _terms(self, node: Node) -> list[str]:
        if self.compact:
            return self._facts(node)
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

    def _facts(self, node: Node) -> list[str]:
        """Terms beside their meanings, as a box's sheet lists its facts."""
        pairs = []
        for child in node.children:
            if isinstance(child, Node) and child.tag in ("dt", "dd"):
                pairs.append(self.inline(child.children) if child.tag == "dt" else self.body(child))
        return [f"look.facts({','.join(pairs)})"] if pairs else []

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
        tallest = self.printing.tallest_drawing_pt * (0.38 if self.compact else 1.0)
        file = literal(self.printing.keep_drawing(drawing))
        alt = literal(drawing.description)
        return f"look.drawing({file},{drawing.width_pt:.1f}pt,{tallest:.1f}pt,{alt},under:{under})"

    def _is_block(self, child: Node | str) -> bool:
        """Whether a piece stands on lines of its own: a block, or an element with a block in it."""
        if isinstance(child, str):
            return False
        return child.tag in BLOCK_TAGS or (child.tag not in WRAPPED and any(map(self._is_block, child.children)))


def _ticks_first(item: Node) -> bool:
    return _first_tick(item) is not None


def _sign_first(item: Node) -> bool:
    """Whether a list item opens with a safety sign."""
    for child in item.children:
        if isinstance(child, Node):
            return "sign-mark" in child.classes or (child.tag == "p" and _sign_first(child))
        if child.strip():
            return False
    return False


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


def _is(child: Node | str, tag: str) -> bool:
    return isinstance(child, Node) and child.tag == tag


def _with_heading(pieces: list[Node | str], place: int) -> slice:
    """The piece at ``place`` with the heading right before it."""
    before = pieces[place - 1] if place else ""
    return slice(place - 1 if isinstance(before, Node) and before.tag in HEADINGS else place, place + 1)


def _is_reference(item: Node) -> bool:
    """Whether a list item is one link and nothing else."""
    links = item.find("a")
    return len(links) == 1 and links[0].text().strip() == item.text().strip()


def _truth(value: bool) -> str:
    return "true" if value else "false"
