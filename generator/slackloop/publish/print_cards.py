"""The cards of the boxes: one PDF with a cover sheet, to print, carry to each box, fill in and sign.

A card that fits in half a page takes half of one, so that two share it with a line to cut along; any
other starts a page of its own, and goes on over the next where it is longer than a page. The look
measures to decide, so that the rule holds for every job.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator
from dataclasses import asdict
from datetime import datetime
from pathlib import Path
from typing import Any, Protocol

from slackloop.handbook.cards import FIRST_WORD, SHORT_FINGERPRINT, Card, CardMaker, card_cautions, code_text
from slackloop.handbook.context import Context
from slackloop.handbook.page import DocumentHeader
from slackloop.handbook.ring_runs import ring_run_card, ring_runs
from slackloop.publish.print import CannotShow, Printed, PrintError, compile_pdf
from slackloop.publish.print_cards_code import scan_code
from slackloop.publish.print_document import Paper
from slackloop.publish.print_drawing import prepare_drawing
from slackloop.publish.print_fonts import print_fonts
from slackloop.publish.print_glyphs import Glyphs, glyphs_for, refused_even_so
from slackloop.publish.print_table import text_width_em
from slackloop.publish.print_text import breakable, literal
from slackloop.publish.print_tree import texts_of
from slackloop.reference.folder import data_folder

CARD_LOOK_FILES = ("cards.typ", "card.typ", "card-cover.typ")
WHAT = "printed cards"
PROPERTIES = "properties"
"""What a reader's program shows of the file: the same words, with no places to break in them."""
BREAK_CODE_EVERY = 8
"""A scanned address may break after so many characters: it is read letter by letter."""

LARGEST_ID_PT, SMALLEST_ID_PT = 44.0, 15.0
ID_ROOM_PT = 230.0
"""Room for the id in a card's head, in points; a longer id is set smaller, and broken when smaller is not enough."""


class CardBook(Protocol):
    """What the cards need of a handbook."""

    @property
    def facts(self) -> DocumentHeader:
        """What stands on every card."""

    @property
    def context(self) -> Context:
        """The job, its analysis and the content that applies."""


def build_cards(
    book: CardBook, path: Path, *, timestamp: datetime, paper: Paper, address: str,
    progress: Callable[[str], None] | None = None, look: Path | None = None,
) -> Printed:  # fmt: skip
    """Write the cards of ``book`` to ``path``, aside first and then swapped in whole.

    ``address`` is where the handbook is hosted; empty for nowhere, and codes then hold words.
    ``timestamp`` must name its time zone. The same book and time give the same bytes. ``look`` is a
    folder of ``.typ`` files that stand in for ours of the same name. Raises ``PrintError``.
    """
    if timestamp.tzinfo is None:
        raise PrintError("the time stamp of the cards names no time zone")
    say = progress or (lambda message: None)
    maker = CardMaker(book.context)
    cards = (*maker.cards(), *(ring_run_card(ring, maker) for ring in ring_runs(book.context)))
    say(f"cards: {len(cards)} read")
    words = pack_words(book.context, book.facts, cards, address)
    texts = (*_strings(words), *(text for card in cards for text in texts_of(card.figure.svg)))
    glyphs, warnings = glyphs_for({"": texts}, print_fonts(), WHAT)
    try:
        data = _set(cards, words, glyphs, book.facts.fingerprint, paper, timestamp, look, say)
    except CannotShow:
        warnings = [refused_even_so(WHAT)]
        data = _set(cards, words, Glyphs(nothing_odd=True), book.facts.fingerprint, paper, timestamp, look, say)
    aside = path.with_name(path.name + ".part")
    aside.write_bytes(data)
    os.replace(aside, path)
    say(f"cards: {path.name} written")
    return Printed(path, len(data), tuple(warnings))


def _set(
    cards: tuple[Card, ...], given: dict[str, Any], glyphs: Glyphs, fingerprint: str, paper: Paper,
    timestamp: datetime, look: Path | None, say: Callable[[str], None],
) -> bytes:  # fmt: skip
    """The cards' PDF; raises ``CannotShow`` where the fonts refuse what ``glyphs`` let through."""
    words = {**given, "cards": [dict(said) for said in given["cards"]]}
    files = {name: place.read_bytes() for name, place in _look_places(look)}
    files["main.typ"] = _main(paper, timestamp)
    for number, (card, said) in enumerate(zip(cards, words["cards"], strict=True), 1):
        drawing = prepare_drawing(card.figure.svg, glyphs.shown)
        files[f"box-{number}.svg"] = drawing.svg
        said["drawing"] = {
            "file": f"box-{number}.svg", "wide": drawing.width_pt, "tall": drawing.height_pt,
            "alt": drawing.description,
        }  # fmt: skip
        code = scan_code(said["code"], f"{fingerprint[:SHORT_FINGERPRINT]}; {card.box_id}")
        files[f"code-{number}.svg"] = code.svg
        said["code"] = {"file": f"code-{number}.svg", "text": _read_out(code.text)}
    properties = _shown(words.pop(PROPERTIES), glyphs.shown)
    set_words = _shown(words, lambda text: breakable(glyphs.shown(text)))
    pack = json.dumps({PROPERTIES: properties, **set_words}, ensure_ascii=False)
    files["cards.json"] = pack.encode("utf-8", "replace")
    say("cards: setting the pages")
    return compile_pdf(files, timestamp)


def pack_words(context: Context, header: DocumentHeader, cards: tuple[Card, ...], address: str) -> dict[str, Any]:
    """Everything that the look shows, as plain text and numbers by name."""
    job, document = context.job.job, context.job.document
    failing = context.analysis.verdict == "fail"
    return {
        PROPERTIES: {
            "title": f"{header.number} {header.title}, box cards", "author": header.contractor,
            "description": f"Box cards, {header.site}, revision {header.revision}, {header.date}, {header.status}, "
            f"fingerprint {header.fingerprint}",
            "keywords": [
                header.number, header.site, f"revision {header.revision}", header.status, header.fingerprint,
            ],
        },
        "number": header.number, "title": header.title, "site": header.site, "client": job.client,
        "contractor": header.contractor, "revision": header.revision, "date": header.date, "status": header.status,
        "fingerprint": header.fingerprint, "short": header.fingerprint[:SHORT_FINGERPRINT],
        "mark": "FAILS ITS CHECK" if failing else "DRAFT" if header.draft else "",
        "cautions": [list(each) for each in card_cautions(context)],
        "first": FIRST_WORD,
        "signatures": [
            ["Prepared", document.prepared], ["Checked", document.checked], ["Approved", document.approved],
        ],
        "cards": [_card_words(card, code_text(address, header, card.box_id)) for card in cards],
    }  # fmt: skip


def _card_words(card: Card, code: str) -> dict[str, Any]:
    """One card by name, its drawing left to be added."""
    words = dict(_fields(card))
    em = max(text_width_em(card.box_id), 0.1)
    words["id_pt"] = round(max(SMALLEST_ID_PT, min(LARGEST_ID_PT, ID_ROOM_PT / em)), 1)
    words["code"] = code
    return words


def _fields(card: Card) -> Iterator[tuple[str, Any]]:
    for name in ("box_id", "name", "arm", "note"):
        yield name, getattr(card, name)
    yield "soils", list(card.soils)
    for name in ("runs", "facts", "loops", "readings", "measured", "stops", "in_box", "on_run", "findings"):
        yield name, [asdict(each) for each in getattr(card, name)]


def _main(paper: Paper, timestamp: datetime) -> bytes:
    """The file that Typst reads first; it holds no words of any job."""
    families = "".join(literal(name) + "," for name in print_fonts().families)
    date = f"datetime(year:{timestamp.year},month:{timestamp.month},day:{timestamp.day})"
    return (
        '#import "cards.typ": cards\n'
        f'#cards(json("cards.json"),paper:{literal(paper)},families:({families}),date:{date})\n'
    ).encode()


def _look_places(own: Path | None) -> Iterator[tuple[str, Path]]:
    """The ``.typ`` files of the cards; a file of the same name in the folder ``own`` stands in for ours."""
    ours = data_folder("content") / "print"
    for name in CARD_LOOK_FILES:
        yield name, own / name if own is not None and (own / name).is_file() else ours / name


def _strings(value: Any) -> Iterator[str]:
    """Every text in a tree of lists and maps."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for each in value.values():
            yield from _strings(each)
    elif isinstance(value, list):
        for each in value:
            yield from _strings(each)


def _shown(value: Any, shown: Callable[[str], str]) -> Any:
    """The same tree with each text as ``shown`` gives it; names of files stay."""
    if isinstance(value, str):
        return shown(value)
    if isinstance(value, dict):
        return {name: each if name == "file" else _shown(each, shown) for name, each in value.items()}
    return [_shown(each, shown) for each in value] if isinstance(value, list) else value


def _read_out(text: str) -> str:
    """A code's text with places to break, so that it stands under the code whole."""
    words = []
    for word in text.split(" "):
        pieces = (word[place : place + BREAK_CODE_EVERY] for place in range(0, len(word), BREAK_CODE_EVERY))
        words.append("\u200b".join(pieces) if len(word) > BREAK_CODE_EVERY else word)
    return " ".join(words)
