"""All pages as one Typst document: parts, headings, references between pages, and the facts on every page."""

from __future__ import annotations

import posixpath
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal
from urllib.parse import unquote

from slackloop.handbook.page import DocumentHeader, Page
from slackloop.publish.print_glyphs import Glyphs
from slackloop.publish.print_line import Printing, Target
from slackloop.publish.print_markup import PageWriter
from slackloop.publish.print_text import literal
from slackloop.publish.print_tree import Node, Tree

Paper = Literal["a4", "us-letter"]

PAPER_SIZES_PT: Mapping[str, tuple[float, float]] = {"a4": (595.28, 841.89), "us-letter": (612.0, 792.0)}
"""Width and height: ISO 216 A4 is 210 mm x 297 mm, ANSI/ASME Y14.1 size A is 8.5 in x 11 in (read from memory)."""

SIDE_MARGINS_PT = 2 * 18 / 25.4 * 72
"""Both side margins of ``content/print/parts.typ`` together: 18 mm each."""

TALLEST_DRAWING_SHARE = 0.62
"""A drawing takes at most this share of the paper's height, so that its words stand on the same page."""

SHORT_FINGERPRINT = 12

SHORT_SHEET_CHARACTERS = 900
SHORT_SHEET_ROWS = 12
"""A box's sheet within both limits shares its page with another and is kept whole; a longer one starts a page."""

TURNED_KINDS = frozenset({"table", "register", "document", "index", "drawing", "start"})


@dataclass(frozen=True, slots=True)
class Attachment:
    """A file inside the PDF."""

    name: str
    data: bytes
    mime: str


@dataclass(frozen=True, slots=True)
class Cover:
    """What the first page says besides the document's header."""

    client: str
    prepared: str
    checked: str
    approved: str
    history: tuple[tuple[str, str, str], ...]
    """Revision, date and change of each earlier issue."""


@dataclass(frozen=True, slots=True)
class RenderedPage:
    """A page and the tree of its HTML."""

    page: Page
    tree: Tree


class Labels:
    """Labels for every place of the document that some link names, and no others."""

    def __init__(self, pages: Iterable[RenderedPage]) -> None:
        pages = tuple(pages)
        places: dict[tuple[str, str], str] = {}
        for number, rendered in enumerate(pages):
            uri = rendered.page.uri
            places.setdefault((uri, ""), f"page-{number}")
            for count, node in enumerate(rendered.tree.root.walk()):
                name = node.attributes.get("id", "")
                if name:
                    places.setdefault((uri, name), f"page-{number}-{count}")
        self._places = places
        self._sheets = {rendered.page.uri for rendered in pages if rendered.page.kind == "box"}
        self._used: dict[str, dict[str, str]] = {}
        for rendered in pages:
            for node in rendered.tree.root.find("a"):
                place = self._place(rendered.page.uri, node.attributes.get("href", ""))
                if place is not None and place[1] and "footnote-ref" not in node.classes:
                    self._used.setdefault(place[0], {})[place[1]] = places[place]

    def of_page(self, uri: str) -> str:
        """The label of the heading of a page."""
        return self._places[uri, ""]

    def inside(self, uri: str) -> dict[str, str]:
        """Labels by ``id`` of the places in a page that links name."""
        return self._used.get(uri, {})

    def link(self, uri: str, href: str) -> Target | None:
        """Where ``href`` on page ``uri`` leads to; None when it leads nowhere in the document."""
        place = self._place(uri, href)
        return Target(self._places[place], place[0] in self._sheets) if place is not None else None

    def _place(self, uri: str, href: str) -> tuple[str, str] | None:
        path, _, fragment = href.partition("#")
        if not path and not fragment:
            return None
        target = uri
        if path:
            target = posixpath.normpath(posixpath.join(posixpath.dirname(uri), unquote(path)))
            target = target.removesuffix(".html") + ".md" if target.endswith(".html") else target
        place = (target, unquote(fragment))
        if place in self._places:
            return place
        # A place that is gone still leads to its page.
        return (target, "") if path and (target, "") in self._places else None


@dataclass(frozen=True, slots=True)
class PrintSource:
    """Every file that Typst reads, by name, except the look."""

    files: dict[str, bytes]


class DocumentWriter:
    """Writes the document; one object makes one document."""

    def __init__(self, header: DocumentHeader, cover: Cover, *, paper: Paper, families: tuple[str, ...]) -> None:
        self._header = header
        self._cover = cover
        self._paper = paper
        self._families = families

    def write(
        self, given: tuple[RenderedPage, ...], glyphs: Glyphs, attachments: tuple[Attachment, ...],
        timestamp: datetime, progress: Callable[[str], None] | None = None,
    ) -> PrintSource:  # fmt: skip
        """The document as Typst source, its drawings and its attached files."""
        pages = in_parts(given)
        width, height = PAPER_SIZES_PT[self._paper]
        printing = Printing(
            glyphs.shown, portrait_pt=width - SIDE_MARGINS_PT, landscape_pt=height - SIDE_MARGINS_PT,
            tallest_drawing_pt=height * TALLEST_DRAWING_SHARE,
        )  # fmt: skip
        labels = Labels(pages)
        lines = [
            '#import "handbook.typ": handbook',
            '#import "parts.typ" as look',
            f"#show: handbook.with({self._facts(pages, labels, glyphs, timestamp)})",
        ]
        files: dict[str, bytes] = {}
        for number, attachment in enumerate(attachments, 1):
            data = _attached_bytes(attachment.data, f"attached-{number}.txt", files)
            lines.append(
                f"#pdf.attach({literal(attachment.name)},{data},"
                f'relationship:"source",mime-type:{literal(attachment.mime)},'
                f"description:{literal('Attached to the handbook: ' + attachment.name)})"
            )
        group: tuple[str, ...] = ()
        for number, rendered in enumerate(pages):
            if number and pages[number - 1].page.kind == "box" != rendered.page.kind:
                lines.append("#pagebreak(weak: true)")
            opening, group = self._opening(rendered.page, group, glyphs)
            lines.extend(opening)
            lines.append(write_page(rendered, printing, labels))
            if progress is not None and (number + 1) % 50 == 0:
                progress(f"print: {number + 1} of {len(pages)} pages laid out")
        files["main.typ"] = "\n".join(lines).encode("utf-8")
        files.update(printing.drawings)
        return PrintSource(files)

    def _opening(self, page: Page, group: tuple[str, ...], glyphs: Glyphs) -> tuple[list[str], tuple[str, ...]]:
        """Headings of the parts that begin before this page, and the parts that are open after it."""
        parents = page.navigation[:2]
        shared = 0
        while shared < min(len(parents), len(group)) and parents[shared] == group[shared]:
            shared += 1
        opening = []
        for level in range(shared, len(parents)):
            title = literal(glyphs.shown(parents[level]))
            opening.append(f"#look.part({title})" if level == 0 else f"#look.head({level + 1},{title},listed:true)")
        return opening, parents

    def _facts(
        self, pages: tuple[RenderedPage, ...], labels: Labels, glyphs: Glyphs, timestamp: datetime
    ) -> str:
        """The dictionary that the look reads: all text as string literals."""
        header, cover = self._header, self._cover
        texts = {
            "number": header.number, "title": header.title, "site": header.site, "client": cover.client,
            "contractor": header.contractor, "revision": header.revision, "date": header.date, "status": header.status,
            "fingerprint": _spaced(header.fingerprint), "short-fingerprint": header.fingerprint[:SHORT_FINGERPRINT],
            "running-title": _short(header.title, 80), "running-number": _short(header.number, 30),
            "running-revision": _short(header.revision, 12),
            "name": header.name, "prepared": cover.prepared, "checked": cover.checked, "approved": cover.approved,
            "description": f"{header.name}, {header.site}, revision {header.revision}, {header.date}, "
            f"{header.status}, fingerprint {header.fingerprint}",
        }  # fmt: skip
        boxes = [(one.page.title, labels.of_page(one.page.uri)) for one in pages if one.page.kind == "box"]
        longest = max((len(title) for title, _ in boxes), default=0)
        keywords = (header.number, header.site, f"revision {header.revision}", header.status, header.fingerprint)
        parts = [f"{key}:{literal(glyphs.shown(text))}" for key, text in texts.items()]
        parts += [
            f"paper:{literal(self._paper)}",
            f"questions:{header.open_questions}",
            f"draft:{'true' if header.draft else 'false'}",
            f"families:({_many(self._families)})",
            f"keywords:({_many(glyphs.shown(word) for word in keywords)})",
            f"date-value:datetime(year:{timestamp.year},month:{timestamp.month},day:{timestamp.day})",
            "history:(" + "".join(f"({_many(map(glyphs.shown, row))})," for row in cover.history) + ")",
            "boxes:(" + "".join(f"({_many((glyphs.shown(title), name))})," for title, name in boxes) + ")",
            f"box-columns:{5 if longest <= 8 else 3 if longest <= 22 else 2}",
        ]
        return f"({','.join(parts)})"


def in_parts(pages: tuple[RenderedPage, ...]) -> tuple[RenderedPage, ...]:
    """The pages with those of one part brought together where the part begins, else in their own order."""
    first: dict[tuple[str, ...], int] = {}
    for place, rendered in enumerate(pages):
        for depth in range(1, min(len(rendered.page.navigation), 2) + 1):
            first.setdefault(rendered.page.navigation[:depth], place)
    keyed = [
        (first.get(rendered.page.navigation[:1], place), first.get(rendered.page.navigation[:2], place), place)
        for place, rendered in enumerate(pages)
    ]
    return tuple(pages[place] for _, _, place in sorted(keyed))


def write_page(rendered: RenderedPage, printing: Printing, labels: Labels) -> str:
    """One page as a block of Typst code: its heading, then what it says."""
    page, root = rendered.page, rendered.tree.root
    level = min(len(page.navigation), 2) + 1
    compact = page.kind == "box"
    writer = PageWriter(
        printing, rendered.tree.drawings, level=level, labels=labels.inside(page.uri), compact=compact,
        links=lambda href: labels.link(page.uri, href),
    )  # fmt: skip
    first, rest = _parted(root)
    title = writer.inline(first.children) if first is not None else literal(printing.shown(page.title))
    label = literal(labels.of_page(page.uri))
    if level == 1:
        heading = f"look.part({title},name:{label})"
    else:
        heading = f"look.head({level},{title},name:{label},listed:{'true' if page.listed and not compact else 'false'})"
    body = ";".join([heading, *(writer.sheet(rest) if compact else writer.blocks(rest))])
    if compact:
        short = len(root.text()) <= SHORT_SHEET_CHARACTERS and len(root.find("tr")) <= SHORT_SHEET_ROWS
        return f"#look.box-sheet(short:{'true' if short else 'false'},{{{body}}})"
    turned = page.kind in TURNED_KINDS and any(writer.plan_table(table).landscape for table in root.find("table"))
    return f"#look.turned({{{body}}})" if turned else f"#{{{body}}}"


def _parted(root: Node) -> tuple[Node | None, list[Node | str]]:
    """A page's own first heading, which is printed as its title, and what stands after it."""
    for place, child in enumerate(root.children):
        if isinstance(child, Node):
            return (child, root.children[place + 1 :]) if child.tag == "h1" else (None, root.children)
        if child.strip():
            break
    return None, root.children


def _many(texts: Iterable[str]) -> str:
    """String literals with a comma after each, as Typst wants an array of one."""
    return "".join(literal(text) + "," for text in texts)


def _attached_bytes(data: bytes, name: str, files: dict[str, bytes]) -> str:
    """An expression for ``data``: a file for text, numbers for the rest, since files must be UTF-8."""
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return f"bytes(({''.join(f'{byte},' for byte in data)}))"
    files[name] = data
    return f"read({literal(name)},encoding:none)"


def _short(text: str, most: int) -> str:
    """Text of at most ``most`` characters, an ellipsis for what is cut."""
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def _spaced(fingerprint: str) -> str:
    """A fingerprint in groups of eight, which can be read out and compared."""
    return " ".join(fingerprint[place : place + 8] for place in range(0, len(fingerprint), 8))
