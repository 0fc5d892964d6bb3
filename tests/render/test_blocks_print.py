"""Every kind of block in print: one archival and accessible PDF, with all text to the letter."""

from __future__ import annotations

from datetime import UTC, datetime
from io import BytesIO

import pypdf

from render.block_samples import HOSTILE, every_block
from slackloop.document.page import DocumentHeader, Page
from slackloop.render.typst.book import Cover, book_pdf

HEADER = DocumentHeader(HOSTILE, HOSTILE, HOSTILE, "B", "2026-03-02", "draft", "f" * 64, True, HOSTILE)


def printed() -> bytes:
    pages = [Page("method/sample", HOSTILE, every_block()), Page("index", "Start", ())]
    return book_pdf(
        pages, HEADER, Cover(HOSTILE, "", "", "", (("A", "2026-01-01", HOSTILE),), (HOSTILE,)),
        parts=(("method", HOSTILE),), paper="a4", timestamp=datetime(2026, 3, 2, tzinfo=UTC),
        attachments={"job.yml": b"format: 1\n", "odd.bin": b"\xff\x00"}, shown=lambda text: text.replace("👷", "?"),
    )  # fmt: skip


def test_every_block_is_printed_and_nothing_is_markup() -> None:
    reader = pypdf.PdfReader(BytesIO(printed()))
    text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    shown = " ".join(HOSTILE.replace("👷", "?").split())
    assert text.count(shown) > 20
    assert set(reader.attachments) == {"job.yml", "odd.bin"}
    assert reader.attachments["odd.bin"] == [b"\xff\x00"]


def test_the_same_blocks_give_the_same_bytes() -> None:
    assert printed() == printed()
