"""Every kind of block in print: one archival and accessible PDF, with all text to the letter."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import pypdf

from pdf_text import texts_of
from render.block_samples import HOSTILE, every_block
from slackloop.document.page import DocumentHeader, Page
from slackloop.render.typst.book import Cover, book_files, book_texts
from slackloop.render.typst.printed import prepare_printing

HEADER = DocumentHeader(HOSTILE, HOSTILE, HOSTILE, "B", "2026-03-02", "draft", "f" * 64, True, HOSTILE)


def printed(aside: Path) -> bytes:
    pages = [Page("method/sample", HOSTILE, every_block()), Page("index", "Start", ())]
    cover = Cover(HOSTILE, "", "", "", (("A", "2026-01-01", HOSTILE),), (HOSTILE,))
    when = datetime(2026, 3, 2, tzinfo=UTC)

    def files(shown: Callable[[str], str], drawn: Callable[[str], str]) -> dict[str, bytes]:
        return book_files(
            pages, HEADER, cover, parts=(("method", HOSTILE),), paper="a4", timestamp=when,
            attachments={"job.yml": b"format: 1\n", "odd.bin": b"\xff\x00"}, shown=shown, drawn=drawn,
        )  # fmt: skip

    texts = book_texts(pages, HEADER, cover)
    return prepare_printing(files, texts, what="printed handbook", timestamp=when, aside=aside).data()


def test_every_block_is_printed_and_nothing_is_markup(tmp_path: Path) -> None:
    data = printed(tmp_path)
    reader = pypdf.PdfReader(BytesIO(data))
    text = " ".join(" ".join(texts_of(data)).split())
    shown = " ".join(HOSTILE.split())
    assert text.count(shown) > 20
    assert set(reader.attachments) == {"job.yml", "odd.bin"}
    assert reader.attachments["odd.bin"] == [b"\xff\x00"]


def test_the_same_blocks_give_the_same_bytes(tmp_path: Path) -> None:
    assert printed(tmp_path) == printed(tmp_path)
