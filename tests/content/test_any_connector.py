"""No page assumes how a connector is made: the pack decides, in the words that the job gives."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from book_samples import book_of, page_of, page_words
from samples import REPOSITORY, chain, job_text
from slackloop.document.blocks import Drawing
from slackloop.document.book import Book
from slackloop.document.walk import walk

PARTS_OF_ONE_MAKE = (
    r"\bskirt", r"\blatch", r"\bits slot\b", r"full depth", r"to the bottom", r"into the sealant", r"sealant all round",
    r"sealant round", r"shut the lid until", r"depth, lid shut", r"half-closed lid", r"whose lid",
)  # fmt: skip
CLOSING = "Press the two halves together until both marks are gone"


def book(folder: Path, closing: str = "") -> Book:
    text = job_text(chain(3), hazards="[high groundwater]")
    if closing:
        text = text.replace("    pack: 25\n", f"    pack: 25\n    closing: {closing}\n")
    (folder / "job.yml").write_text(text, encoding="utf-8")
    return book_of(folder / "job.yml")


@pytest.mark.parametrize("pattern", PARTS_OF_ONE_MAKE)
def test_no_text_names_a_part_of_one_make(pattern: str) -> None:
    files = sorted((REPOSITORY / "content").rglob("*.md")) + sorted((REPOSITORY / "content" / "words").glob("*.yml"))
    assert len(files) > 40
    found = [
        f"{path.name}: {line}"
        for path in files
        for line in path.read_text(encoding="utf-8").splitlines()
        if re.search(pattern, line, re.IGNORECASE)
    ]
    assert found == []


def test_the_packs_words_are_printed_where_the_job_gives_them(tmp_path: Path) -> None:
    made = book(tmp_path, CLOSING)
    method = page_words(made, "method/waterproof-splice")
    assert CLOSING in method
    assert "Follow the words of the pack" in method
    assert CLOSING in page_words(made, "tables/connectors")
    assert CLOSING in page_words(made, "boxes/b2")


def test_without_them_the_step_says_as_its_pack_says(tmp_path: Path) -> None:
    made = book(tmp_path)
    method = page_words(made, "method/waterproof-splice")
    assert "Close the connector as its pack says" in method
    assert "Follow the words of the pack" not in method
    assert "as its pack says" in page_words(made, "tables/connectors")


def test_drawings_show_a_connector_as_a_sign(tmp_path: Path) -> None:
    """The wires that meet in one connector are drawn, and no shape of a real one."""
    made = book(tmp_path)
    splice = page_of(made, "method/waterproof-splice")
    drawn = " ".join(each.svg for each in walk(splice.blocks) if isinstance(each, Drawing))
    assert "wires meet in one connector" in re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", drawn))
