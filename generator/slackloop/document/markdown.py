"""Markdown of our sections, parsed once into blocks: CommonMark with tables, and nothing of HTML.

Values of the job never pass through Markdown. A template writes a mark for each (``mark_of``), and the text of the
value takes its place in the finished blocks, whatever it holds.

Text of sections and words with one job's values in it, as blocks and lines.
"""

from __future__ import annotations

import posixpath
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal

from markdown_it.token import Token
from markdown_it.tree import SyntaxTreeNode

from slackloop.document.blocks import (
    Block,
    Blocks,
    Bullets,
    CodeBlock,
    Heading,
    Note,
    Paragraph,
    Quote,
    RawHtml,
    Rule,
    TableBlock,
)
from slackloop.document.inline import (
    Break,
    Code,
    Emphasis,
    FileTarget,
    Inline,
    Line,
    Link,
    PageTarget,
    Strong,
    Target,
    Text,
    Value,
    WebTarget,
    plain,
)
from slackloop.document.table import Cell, Column, Part, Table
from slackloop.sections.raw_html import parser
from slackloop.sections.section import Prose
from slackloop.sections.template import Renderer
from slackloop.sections.text import Measure

MARK_OPENS, MARK_CLOSES = "\ue000", "\ue001"
"""Private use characters around the number of a value; ``without_marks`` takes them out of a section's own text."""


@dataclass(frozen=True, slots=True)
class Slot:
    """A value that takes the place of its mark; ``measure`` is one that a crew sets or reads off."""

    text: str
    measure: bool = False


def without_marks(text: str) -> str:
    """``text`` of a section without the characters that marks are made of; before its values are marked."""
    return text.replace(MARK_OPENS, "\ufffd").replace(MARK_CLOSES, "\ufffd")


def mark_of(number: int) -> str:
    """The mark that stands for the value of that number until the text is parsed."""
    return f"{MARK_OPENS}{number}{MARK_CLOSES}"


def markdown_blocks(text: str, page: str, slots: Sequence[Slot] = (), *, raw_html: bool = False) -> Blocks:
    """``text`` as blocks on page ``page`` (its id), each mark replaced by its value.

    HTML is shown as text unless ``raw_html`` allows it.
    """
    tree = SyntaxTreeNode(list(_tokens(text, raw_html)))
    return _Reader(page, slots).blocks(tree.children)


def markdown_line(text: str, page: str, slots: Sequence[Slot] = ()) -> Line:
    """``text`` as one line: emphasis, code and links are read, nothing else."""
    tree = SyntaxTreeNode(list(_inline_tokens(text)))
    reader = _Reader(page, slots)
    return tuple(part for child in tree.children for part in reader.line(child))


@lru_cache(maxsize=8192)
def _tokens(text: str, raw_html: bool) -> tuple[Token, ...]:
    return tuple(parser(raw_html).parse(text))


@lru_cache(maxsize=8192)
def _inline_tokens(text: str) -> tuple[Token, ...]:
    return tuple(parser(False).parseInline(text))


@dataclass(frozen=True, slots=True)
class _Reader:
    """Turns a syntax tree into blocks."""

    page: str
    slots: Sequence[Slot]

    def blocks(self, nodes: Sequence[SyntaxTreeNode]) -> Blocks:
        return tuple(self._block(node) for node in nodes)

    def _block(self, node: SyntaxTreeNode) -> Block:
        match node.type:
            case "paragraph":
                return Paragraph(self._first_line(node))
            case "heading":
                line = self._first_line(node)
                return Heading(max(2, int(node.tag[1])), line, anchor_of(plain(line)))
            case "bullet_list" | "ordered_list":
                items = tuple(self.blocks(item.children) for item in node.children)
                start = node.attrs.get("start", 1)
                return Bullets(items, node.type == "ordered_list", int(start))
            case "blockquote":
                return Quote(self.blocks(node.children))
            case "fence" | "code_block":
                return CodeBlock(self._plain(node.content).rstrip("\n"))
            case "hr":
                return Rule()
            case "html_block":
                return RawHtml(node.content)
            case "table":
                return self._table(node)
            case other:
                return Note("note", "", (Paragraph((Text(f"{other}: {node.content}"),)),))

    def _first_line(self, node: SyntaxTreeNode) -> Line:
        return self.line(node.children[0]) if node.children else ()

    def line(self, node: SyntaxTreeNode) -> Line:
        """The parts of an inline node."""
        return tuple(part for child in node.children for part in self._inline(child))

    def _inline(self, node: SyntaxTreeNode) -> Line:
        match node.type:
            case "text" | "html_inline":
                return self._filled(node.content)
            case "softbreak":
                return (Text(" "),)
            case "hardbreak":
                return (Break(),)
            case "strong":
                return (Strong(self.line(node)),)
            case "em":
                return (Emphasis(self.line(node)),)
            case "code_inline":
                return (Code(self._plain(node.content)),)
            case "link":
                return (Link(self.line(node), self._target(str(node.attrs.get("href", "")))),)
            case _:
                return self._filled(node.content)

    def _filled(self, text: str) -> Line:
        """Text with values in the places of their marks."""
        if MARK_OPENS not in text:
            return (Text(text),) if text else ()
        first, *rest = text.split(MARK_OPENS)
        parts: list[Inline] = [Text(first)] if first else []
        for each in rest:
            number, _, after = each.partition(MARK_CLOSES)
            slot = self.slots[int(number)]
            if slot.text:
                parts.append(Value(slot.text) if slot.measure else Text(slot.text))
            if after:
                parts.append(Text(after))
        return tuple(parts)

    def _plain(self, text: str) -> str:
        return plain(self._filled(text))

    def _target(self, address: str) -> Target:
        """A link of a section: another page by its file name, a file beside the pages, or an address."""
        if "://" in address or address.startswith("mailto:"):
            return WebTarget(address)
        path, _, anchor = address.partition("#")
        if not path:
            return PageTarget(self.page, anchor)
        place = posixpath.normpath(posixpath.join(posixpath.dirname(self.page), path))
        if place.endswith(".md"):
            return PageTarget(place.removesuffix(".md"), anchor)
        return FileTarget(place)

    def _table(self, node: SyntaxTreeNode) -> TableBlock:
        rows = [row for group in node.children for row in group.children]
        cells = [tuple(Cell(self._first_line(cell) or (Text("–"),)) for cell in row.children) for row in rows]
        kinds: list[Literal["text", "count"]] = [
            "count" if "right" in str(cell.attrs.get("style", "")) else "text" for cell in rows[0].children
        ]
        columns = tuple(
            Column(f"column-{n}", plain(head.line), kind)
            for n, (head, kind) in enumerate(zip(cells[0], kinds, strict=True), 1)
        )
        return TableBlock(Table("", "", columns, (Part("", tuple(cells[1:])),), ("method",)))


def anchor_of(title: str) -> str:
    """The anchor of a heading: its words in small letters with hyphens between them."""
    kept = "".join(mark if mark.isalnum() else " " for mark in title.lower())
    return "-".join(kept.split()) or "part"


@dataclass(frozen=True, slots=True)
class ProseReader:
    """Turns content into blocks with the job's values; what goes wrong is kept by ``renderer``."""

    renderer: Renderer
    _lines: dict[tuple[str, str, int, str], Line] = field(default_factory=dict, compare=False, repr=False)
    _plain: dict[str, str] = field(default_factory=dict, compare=False, repr=False)
    """What was read once: the words of a check come back at every box."""

    def blocks(self, prose: Prose | None, file: str, page: str) -> Blocks:
        """A piece of prose of ``file`` as blocks on ``page``; nothing for none."""
        if prose is None:
            return ()
        text, slots = self._marked(prose.text, file, prose.line)
        return markdown_blocks(text, page, slots, raw_html=file in self.renderer.raw_html)

    def line(self, text: str, file: str = "words", line: int = 1, page: str = "") -> Line:
        """Text of front matter or of a word file as one line."""
        asked = text, file, line, page
        if asked not in self._lines:
            marked, slots = self._marked(text, file, line)
            self._lines[asked] = markdown_line(marked, page, slots)
        return self._lines[asked]

    def plain(self, text: str) -> str:
        """The same as plain text, for titles and descriptions."""
        if text not in self._plain:
            self._plain[text] = self.renderer.plain(text)
        return self._plain[text]

    def _marked(self, text: str, file: str, line: int) -> tuple[str, tuple[Slot, ...]]:
        """``text`` with a mark for each value, and the values."""
        slots: list[Slot] = []

        def mark(value: str) -> str:
            slots.append(Slot(str(value), isinstance(value, Measure)))
            return mark_of(len(slots) - 1)

        return self.renderer.marked(without_marks(text), file, line, mark), tuple(slots)
