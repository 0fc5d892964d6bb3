"""The cards of a job as the tests of them make them."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path

from book_samples import book_of, standing
from pdf_text import texts_of
from samples import REPOSITORY
from slackloop.document.book import Book
from slackloop.document.boxes.card import Card, CardMaker
from slackloop.document.edition.edition import load_edition
from slackloop.document.page import DocumentHeader
from slackloop.language.messages import speaking
from slackloop.render.typst.book import Cover, Paper
from slackloop.render.typst.cards import card_files, card_texts
from slackloop.render.typst.printed import prepare_printing

SMALL = REPOSITORY / "site_data" / "jobs" / "kiln-court.yml"
DATE = datetime(2026, 3, 2, tzinfo=UTC)
COVER = Cover("", "Site engineer", "", "", ())


def book(job: Path) -> Book:
    return standing(job)


def cards_of(source: Book) -> tuple[Card, ...]:
    return tuple(CardMaker(source.context).cards())


def made(source: Book, folder: Path, paper: Paper = "a4", address: str = "") -> bytes:
    """The PDF of the cards of a book."""
    return _printed(source, cards_of(source), source.header, folder, paper, address)


def made_in_spanish(source: Book, folder: Path) -> bytes:
    """The PDF of the Spanish cards of a book."""
    edition = load_edition(source, REPOSITORY / "content", None, "es")
    with speaking(edition.messages):
        return _printed(source, edition.cards, edition.header, folder)


def _printed(
    source: Book, cards: Sequence[Card], header: DocumentHeader, folder: Path, paper: Paper = "a4", address: str = ""
) -> bytes:
    failed = source.analysis.verdict == "fail"

    def files(shown: Callable[[str], str], drawn: Callable[[str], str]) -> Iterator[dict[str, bytes]]:
        return card_files(
            cards, header, COVER, paper=paper, timestamp=DATE, address=address, failed=failed, shown=shown, drawn=drawn
        )

    texts = card_texts(cards, header, COVER)
    return prepare_printing(files, texts, what="printed cards", timestamp=DATE, aside=folder).data()


def pages(data: bytes) -> list[str]:
    return list(texts_of(data))


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


def edited(folder: Path, *changes: tuple[str, str], job: Path = SMALL) -> Book:
    """The book of a job file with some of its words replaced."""
    text = job.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    for other in job.parent.parent.glob("standards"):
        if not (folder / "standards").exists():
            shutil.copytree(other, folder / "standards")
    (folder / "jobs").mkdir(exist_ok=True)
    place = folder / "jobs" / "job.yml"
    place.write_text(text, encoding="utf-8")
    return book_of(place)
