"""The printed handbook: one PDF of parts that can be taken apart, from the same blocks as the website."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from itertools import groupby
from types import MappingProxyType
from typing import Any, Literal

from slackloop.document.blocks import Drawing, TableBlock
from slackloop.document.boxes.card import SHORT_FINGERPRINT
from slackloop.document.inline import PageTarget, line
from slackloop.document.page import BookPart, DocumentHeader, Page
from slackloop.document.walk import anchors, targets, walk, words
from slackloop.render.typst.data import BlockData, place_label
from slackloop.render.typst.press import attach, date_value, look_files
from slackloop.render.typst.print_fonts import print_fonts
from slackloop.render.typst.print_text import literal

Paper = Literal["a4", "us-letter"]
LOOK = ("book.typ", "blocks.typ")
SHEETS = "sheets/"
"""How the ids of pages to sign and fill in begin."""
ON_ITS_OWN = frozenset({
    "design/front", "design/changes", "design/changes-in-print", "design/path", "tables/clause-index",
    "sheets/hold-points", "sheets/daily", "sheets/day-notes", "sheets/reels-received", "handover/path",
})  # fmt: skip
"""Pages that begin on a sheet of paper of their own, so that each can be copied."""
LETTERS_A_DRAWING = 250
"""A small picture takes the room of about so many letters of a narrow column."""


@dataclass(frozen=True, slots=True)
class Cover:
    """What the first page says besides the document's header; an empty name is a line to sign on."""

    client: str
    prepared: str
    checked: str
    approved: str
    history: tuple[tuple[str, str, str], ...]
    """Revision, date and change of each issue."""
    counts: tuple[str, ...] = ()
    """What is still open, a sentence each."""


def book_files(
    pages: Sequence[Page], header: DocumentHeader, cover: Cover, *, parts: Sequence[tuple[BookPart, str]],
    paper: Paper, timestamp: datetime, attachments: Mapping[str, bytes], shown: Callable[[str], str],
    drawn: Callable[[str], str] = str, title: str = "", away: Mapping[BookPart, str] = MappingProxyType({}),
) -> dict[str, bytes]:  # fmt: skip
    """The source files of the document of ``pages``, in the order of ``parts`` (each with its title).

    ``away`` are parts that are documents of their own, each with what links to its pages call it.
    ``shown`` mends text that no font has, ``drawn`` the SVG of a drawing. The same pages and time give the same files.
    """
    kept = [page for part, _ in parts for page in pages if page.paper and page.part == part]
    others = {page.id: shown(away[page.part]) for page in pages if page.paper and page.part in away}
    data = BlockData(places_used(kept), shown, drawn, elsewhere=others)
    files: dict[str, bytes] = {}
    opened = [
        {"title": shown(name), "sheets": _sheets([page for page in kept if page.part == part], data, shown)}
        for part, name in parts
    ]
    words = {
        **{key: shown(str(value)) for key, value in asdict(header).items()},
        "draft": header.draft,
        "short": header.fingerprint[:SHORT_FINGERPRINT],
        "book": shown(title or header.name),
        "apart": shown(f", {parts[0][1]}") if away else "",
        **_shown_cover(cover, shown),
        "parts": [part for part in opened if part["sheets"]],
    }
    files["book.json"] = json.dumps(words, ensure_ascii=False).encode("utf-8", "replace")
    files.update(data.drawings)
    files.update(look_files(*LOOK))
    lines = attach(attachments, files)
    lines.insert(0, f'#import "book.typ": book\n#show: book.with(json("book.json"),{look_settings(paper, timestamp)})')
    files["main.typ"] = "\n".join(lines).encode()
    return files


def look_settings(paper: Paper, timestamp: datetime) -> str:
    """What the look is told of paper, fonts and time."""
    return f"paper:{literal(paper)},families:{print_fonts().asked},date:{date_value(timestamp)}"


def places_used(pages: Iterable[Page]) -> frozenset[PageTarget]:
    """Every page, and every place on one that some link leads to."""
    pages = tuple(pages)
    asked = {target for page in pages for target in targets(page.blocks) if isinstance(target, PageTarget)}
    there = {PageTarget(page.id, anchor) for page in pages for anchor in anchors(page.blocks)}
    return frozenset({PageTarget(page.id) for page in pages} | (asked & there))


def _sheets(pages: Sequence[Page], data: BlockData, shown: Callable[[str], str]) -> list[dict[str, Any]]:
    """The pages of a part: upright ones first, so that the paper is turned once; the sheet to tear out comes last."""
    order = sorted(pages, key=lambda page: (lies_across(page), page.kind == "emergency"))
    groups = ((across, list(some)) for across, some in groupby(order, lies_across))
    return [{"across": across, "pages": [_page(page, data, shown) for page in some]} for across, some in groups]


def lies_across(page: Page) -> bool:
    """Whether a page is printed across the paper: all that an inspector fills in, and pages of wide tables."""
    wide = any(isinstance(each, TableBlock) and each.table.landscape for each in walk(page.blocks))
    return page.part == "inspection" or (page.kind == "table" and wide)


def _page(page: Page, data: BlockData, shown: Callable[[str], str]) -> dict[str, Any]:
    return {
        "title": data.line(page.heading or line(page.title)),
        "plain": shown(page.title),
        "label": place_label(PageTarget(page.id)),
        "kind": page.kind,
        "sheet": page.id in ON_ITS_OWN,
        "length": _length(page),
        "blocks": data.page_blocks(
            page.id, page.blocks, open_cells=_is_written_in(page),
            plates=page.kind == "drawing" and page.part in ("method", "handover"),
        ),
    }


def _length(page: Page) -> int:
    """About how long a page is in print, in letters: measured exactly it would have to be set twice."""
    drawings = sum(isinstance(each, Drawing) for each in walk(page.blocks))
    return len(words(page.blocks)) + LETTERS_A_DRAWING * drawings


def _is_written_in(page: Page) -> bool:
    """Whether the empty cells of a page's tables are filled in by hand."""
    if page.part == "handover":
        return False
    return page.kind in ("emergency", "document") or page.id.startswith(SHEETS)


def _shown_cover(cover: Cover, shown: Callable[[str], str]) -> dict[str, Any]:
    return {
        "client": shown(cover.client),
        "signatures": [["Prepared", shown(cover.prepared)], ["Checked", shown(cover.checked)],
                       ["Approved", shown(cover.approved)]],
        "history": [[shown(text) for text in row] for row in cover.history],
        "counts": [shown(text) for text in cover.counts],
    }  # fmt: skip


def book_texts(pages: Iterable[Page], header: DocumentHeader, cover: Cover) -> dict[str, list[str]]:
    """Everything that is printed, by the title of its page; what is on the cover has no title."""
    found: dict[str, list[str]] = {"": [str(value) for value in asdict(header).values()]}
    found[""] += [cover.client, cover.prepared, cover.checked, cover.approved, *cover.counts]
    found[""] += [text for row in cover.history for text in row]
    for page in pages:
        if page.paper:
            drawn = [block.svg for block in walk(page.blocks) if isinstance(block, Drawing)]
            found.setdefault(page.title, []).extend([page.title, *page.navigation, words(page.blocks), *drawn])
    return found
