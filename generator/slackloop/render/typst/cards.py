"""The cards as one PDF: two on a sheet, printed on both sides, cut once.

Cards, their drawings and the code to scan on each go to Typst as data (JSON and SVG); ``content/print/cards.typ``
decides how they look."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

import numpy as np
import zxingcpp
from numpy.typing import NDArray

from slackloop.document.boxes.card import FIRST_WORD, SHORT_FINGERPRINT, Card, code_text, code_words
from slackloop.document.boxes.stages import StageWork
from slackloop.document.drawings.box_wiring import BARS_NOTE
from slackloop.document.drawings.lettering import text_width
from slackloop.document.page import DocumentHeader
from slackloop.language.messages import language, said
from slackloop.render.typst.book import Cover, Paper, look_settings
from slackloop.render.typst.press import look_files
from slackloop.render.typst.print_glyphs import print_svg
from slackloop.render.typst.print_text import fields_of, strings_of

LOOK = ("cards.typ", "card-front.typ", "card-back.typ")
POINTS_A_UNIT = 0.75
WORDS = b'#let words = json("words.json")\n#let say(english) = words.at(english, default: english)\n'
PRINTED_WORDS = (
    "Box cards", "box cards", "Job", "revision", "Fingerprint", "fingerprint", "cards.", "Name or role", "Signature",
    "Date",
    "Print on both sides and turn the sheet on its long edge. Cut once, along the dashed line. Destroy cards of an "
    "earlier revision.", "Card", "Issued", "Returned", "Page", "of", "card", "Code to scan:", "Carry",
    "or more between them", "or more to the cable",
    "Grey bar: cable. Dots: rods,", "FAILS ITS CHECK", "The job fails its check. Do not build from this card.", "DRAFT",
    "Draft. Not for use on site.", "sign, date", "soil", "about", "Seen:", "STOP: HOLD", "Do not fill yet.",
    "Do not cut yet.", "Do not go on yet.", "sign, date, time", "Later:", "Notes", "Run",
    "Sign each row when it is done.", "rev.", "back",
)  # fmt: skip
"""What the look of the cards says by itself."""
DIGIT = re.compile("[0-9]")
CODES_EM = 13.1
"""How wide a line of codes may be in the column of the titles, as ``text_width`` reckons, of their own size."""
BATCH = 48
"""Cards that are set together: what Typst needs for a card stays until its document is done, some 3 MB."""


def card_files(
    cards: Sequence[Card], header: DocumentHeader, cover: Cover, *, paper: Paper, timestamp: datetime, address: str,
    failed: bool, shown: Callable[[str], str], drawn: Callable[[str], str] = str, batch: int = BATCH,
    checked: str = "",
) -> Iterator[dict[str, bytes]]:  # fmt: skip
    """The source files of the cards, a document for each batch; the first has a list of all cards in front.

    ``address`` is where the handbook is hosted; empty for nowhere, and codes then hold words. ``failed`` marks every
    card of a job that fails its checks, ``checked`` says who has checked a translation. ``shown`` mends text that no
    font has, ``drawn`` the SVG of a drawing. The same cards and time give the same files.
    """
    words = {
        **{key: str(value) for key, value in fields_of(header).items()},
        "short": header.fingerprint[:SHORT_FINGERPRINT],
        "mark": said("FAILS ITS CHECK") if failed else said("DRAFT") if header.draft else "",
        "language": language(),
        "checked": checked,
        "first": said(FIRST_WORD),
        "bars": said(BARS_NOTE),
        "signatures": [
            [said("Prepared"), cover.prepared], [said("Checked"), cover.checked], [said("Approved"), cover.approved]
        ],
        "count": len(cards),
    }
    main = f'#import "cards.typ": cards\n#cards(json("cards.json"),{look_settings(paper, timestamp)})'.encode()
    for before in range(0, max(len(cards), 1), batch):
        here = cards[before : before + batch]
        files = {**look_files(*LOOK), "words.typ": WORDS, "words.json": print_words(), "main.typ": main}
        told = [_card(card, number, header, address, files, drawn) for number, card in enumerate(here)]
        for card, like in zip(told, _alike(told, before), strict=True):
            card["like"] = like
        listed = [{"id": card.id, "title": card.title} for card in cards] if not before else []
        pages_after = 2 * math.ceil((len(cards) - len(here)) / 2) if not before else 0
        placed = {"cards": told, "before": before, "listed": listed, "pages-after": pages_after}
        data = _mended({**words, **placed}, shown)
        files["cards.json"] = json.dumps(data, ensure_ascii=False).encode("utf-8", "replace")
        yield files


def print_words() -> bytes:
    """The words of the look that another language says otherwise; none in English."""
    words = {english: told for english in PRINTED_WORDS if (told := said(english)) != english}
    return json.dumps(words, ensure_ascii=False).encode()


def card_texts(cards: Sequence[Card], header: DocumentHeader, cover: Cover) -> dict[str, list[str]]:
    """Every text that stands on the cards, by the title of its card."""
    found = {"": [*strings_of(header), *strings_of(cover)]}
    for card in cards:
        found[f"Card {card.id}"] = strings_of(replace(card, figure=None))
        if card.figure is not None:
            found[f"Card {card.id}"].append(card.figure.svg)
    return found


def _card(
    card: Card, number: int, header: DocumentHeader, address: str, files: dict[str, bytes],
    drawn: Callable[[str], str],
) -> dict[str, Any]:  # fmt: skip
    """One card as data; its drawing and its code are added to ``files``."""
    code = scan_code(code_text(address, header, card), code_words(header, card))
    files[f"code-{number}.svg"] = code.svg
    drawing = None
    if card.figure is not None:
        files[f"wiring-{number}.svg"] = drawn(print_svg(card.figure.svg)).encode("utf-8", "replace")
        drawing = {
            "file": f"wiring-{number}.svg",
            "wide": card.figure.width_px * POINTS_A_UNIT,
            "tall": card.figure.height_px * POINTS_A_UNIT,
            "alt": f"{card.figure.title}. {card.figure.description}",
        }
    told = {key: getattr(card, key) for key in ("id", "title", "about")}
    told |= {key: [fields_of(each) for each in getattr(card, key)] for key in ("facts", "watch")}
    told["electrode"] = card.electrode and fields_of(card.electrode)
    told["stages"] = [_stage(stage) for stage in card.stages]
    return {**told, "code": {"file": f"code-{number}.svg", "text": code.text}, "drawing": drawing}


def _stage(stage: StageWork) -> dict[str, Any]:
    """What is printed of a stage."""
    printed = ("ids", "label", "limit", "after", "unit", "kind", "tag")
    told: dict[str, Any] = {key: getattr(stage, key) for key in ("number", "title", "about", "warned", "waits")}
    told["entries"] = [{key: getattr(entry, key) for key in printed} for entry in stage.entries]
    told["codes"] = _lines(stage.printed_codes)
    lists = ("ticks", "seen", "holds", "later", "bands")
    return told | {key: [fields_of(each) for each in getattr(stage, key)] for key in lists}


def _lines(codes: Sequence[str]) -> list[str]:
    """Codes in few lines for the column under the title of a row: a long one leaves room for a short one beside it."""
    lines: list[str] = []
    for code in sorted(codes, key=len, reverse=True):
        beside = (n for n, told in enumerate(lines) if text_width(f"{told}  {code}", 1.0) <= CODES_EM)
        if (place := next(beside, None)) is None:
            lines.append(code)
        else:
            lines[place] += f"  {code}"
    return lines


def _alike(cards: Sequence[dict[str, Any]], before: int) -> Iterator[tuple[int, int]]:
    """For each card the first whose front, and the first whose back, differs from its own in digits alone."""
    fronts: dict[str, int] = {}
    backs: dict[str, int] = {}
    for number, card in enumerate(cards):
        size = card["drawing"] and (card["drawing"]["wide"], card["drawing"]["tall"])
        front = [before + number + 1, *(card[key] for key in ("id", "title", "about", "facts", "electrode", "watch"))]
        yield (
            fronts.setdefault(f"{size} {_without_digits(front)}", number),
            backs.setdefault(_without_digits([card["id"], card["stages"]]), number),
        )


def _without_digits(value: Any) -> str:
    return DIGIT.sub("0", json.dumps(value, ensure_ascii=False))


def _mended(value: Any, shown: Callable[[str], str]) -> Any:
    """The same data with every text as it can be printed."""
    if isinstance(value, str):
        return shown(value)
    if isinstance(value, dict):
        return {key: _mended(each, shown) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_mended(each, shown) for each in value]
    return value


Modules = NDArray[np.bool_]
"""Rows of modules, dark as True."""
BETTER = ("Q", "H")
"""Levels of error correction over M, taken where the code does not grow with them."""
QUIET_MODULES = 4
"""Clear modules on each side: ISO/IEC 18004 asks for four (read from memory)."""


@dataclass(frozen=True, slots=True)
class ScanCode:
    """A code and the text it holds."""

    text: str
    svg: bytes


def scan_code(text: str, shorter: str) -> ScanCode:
    """The code for ``text``; for ``shorter`` where the text is more than any code holds."""
    try:
        modules = _best(text)
    except ValueError:
        text = shorter
        modules = _best(text)
    side = len(modules) + 2 * QUIET_MODULES
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}" width="{side}" height="{side}">'
        f'<path fill="#fff" d="M0 0h{side}v{side}h-{side}z"/><path fill="#000" d="{_dark(modules)}"/></svg>'
    )
    return ScanCode(text, svg.encode())


def _best(text: str) -> Modules:
    """The code with the most correction that is no larger than with M; raises ``ValueError`` where none is so large."""
    best = _made(text, "M")
    for level in BETTER:
        try:
            better = _made(text, level)
        except ValueError:
            break
        if better.shape != best.shape:
            break
        best = better
    return best


def _made(text: str, level: str) -> Modules:
    code = zxingcpp.create_barcode(text, zxingcpp.BarcodeFormat.QRCode, ec_level=level)
    return np.asarray(np.array(code.to_image(scale=1, add_quiet_zones=False)) == 0)


def _dark(modules: Modules) -> str:
    """Path data of the dark modules: one flat rectangle for each run of them in a row."""
    turns = np.diff(np.pad(modules.astype(np.int8), ((0, 0), (1, 1))))
    downs, starts = np.nonzero(turns == 1)
    ends = np.nonzero(turns == -1)[1]
    return "".join(
        f"M{start} {down}h{wide}v1h-{wide}z"
        for down, start, wide in zip(
            (downs + QUIET_MODULES).tolist(), (starts + QUIET_MODULES).tolist(), (ends - starts).tolist(), strict=True
        )
    )
