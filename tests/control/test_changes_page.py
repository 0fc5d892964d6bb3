"""The page of changes takes two printed pages at most, however much has changed, and a screen shows all of it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from book_samples import demonstration
from pdf_text import texts_of
from slackloop.control.comparison import compare
from slackloop.control.snapshot import Snapshot
from slackloop.document.page import Page
from slackloop.document.pages.control_page import CHANGES_PAGE, PAPER_PAGE, changes_pages
from slackloop.document.walk import words
from slackloop.render.typst.book import Cover, Paper, book_files, book_texts
from slackloop.render.typst.printed import prepare_printing

WHEN = datetime(2026, 3, 2, tzinfo=UTC)


def pages_of_two_jobs(small: Snapshot) -> tuple[Page, ...]:
    """Two jobs that have hardly anything in common, the one as a revision of the other."""
    other = demonstration().snapshot
    assert other is not None
    return changes_pages(compare(other, small))


def printed(pages: tuple[Page, ...], paper: Paper, aside: Path) -> list[str]:
    """The text of each printed page, the cover and the contents left out."""
    header, cover = demonstration().header, Cover("", "", "", "", ())

    def files(shown: Callable[[str], str], drawn: Callable[[str], str]) -> dict[str, bytes]:
        return book_files(
            pages, header, cover, parts=(("method", "Part 1. Method"),), paper=paper, timestamp=WHEN, attachments={},
            shown=shown, drawn=drawn,
        )  # fmt: skip

    data = prepare_printing(
        files, book_texts(pages, header, cover), what="printed handbook", timestamp=WHEN, aside=aside
    ).data()
    return list(texts_of(data)[2:])


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_two_printed_pages_hold_it(small: Snapshot, paper: Paper, tmp_path: Path) -> None:
    whole, short = pages_of_two_jobs(small)
    assert (whole.id, whole.screen, whole.paper) == (CHANGES_PAGE, True, False)
    assert (short.id, short.screen, short.paper) == (PAPER_PAGE, False, True)
    told = printed((short,), paper, tmp_path)
    assert 1 <= len(told) <= 2, [page[:80] for page in told]
    assert "For everybody" in told[0]
    assert "For the inspector" in " ".join(told)
    assert "on the page What changed of the website" in " ".join(" ".join(told).split())


def test_the_screen_has_what_paper_leaves_out(small: Snapshot) -> None:
    whole, short = (words(page.blocks).splitlines() for page in pages_of_two_jobs(small))
    assert len(whole) > 2 * len(short)
    assert not any("of the website" in text for text in whole)
