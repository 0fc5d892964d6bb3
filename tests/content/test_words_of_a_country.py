"""A handbook speaks its own country's words: every page, the cards, the printed document and the CSV files."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest

from book_samples import book_of, build_handbook, pages_of
from pdf_text import text_of
from samples import REPOSITORY, job_text
from shared import short
from slackloop.document.boxes.card import cards_of
from slackloop.pipeline.handbook_folder import cover_of
from slackloop.render.html.page import page_html
from slackloop.render.typst.book import book_texts
from slackloop.render.typst.cards import card_texts
from slackloop.render.workbook.workbook import table_files
from slackloop.sections.wording.vocabulary import vocabulary

COUNTRIES = vocabulary().countries
"""The words of each country, from the one list that the checker of content uses too."""
NEUTRAL = {"60 Hz", "50 Hz", "mains"}
"""Words that a handbook of no country may use: the job's own frequency, and the word of international standards."""
QUOTES_EVERY_COUNTRY = "design/codes"
"""The page of codes shows job files of every country, each with its own words, to the contractor."""
SURFACES = ("lawn", "planting", "gravel", "path", "paved", "driveway", "drive", "road", "building")


def job_of(basis: str, units: str) -> str:
    """A job with a run under every surface, long leads, frost, water and each kind of hazard."""
    boxes = [
        f"{{id: B{i}, from: {'controller' if i == 1 else f'B{i - 1}'}, run: {40 + i} m, surface: {surface}, "
        f"device: two, stations: [{2 * i - 1}, {2 * i}], lead: 4 m}}"
        for i, surface in enumerate(SURFACES, start=1)
    ]
    return job_text(
        boxes, basis=basis, units=units, cover="650 mm", at_once="2",
        hazards="[public access, overhead lines, high groundwater, traffic]",
    )  # fmt: skip


def texts_of(folder: Path) -> dict[str, str]:
    """What a reader sees, by file: pages without their tags, the text of each PDF, the CSV files as they are."""
    found = {}
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        if path.suffix == ".html":
            page = re.sub(r"(?s)<(script|style)\b.*?</\1>", " ", path.read_text(encoding="utf-8"))
            attributes = " ".join(re.findall(r'(?:title|alt|aria-label|content)="([^"]*)"', page))
            found[name] = unescape(re.sub(r"<[^>]+>", " ", page) + " " + attributes)
        elif path.suffix == ".pdf":
            found[name] = text_of(path)
        elif path.suffix == ".csv":
            found[name] = path.read_text(encoding="utf-8-sig")
    return {name: " ".join(text.split()) for name, text in found.items()}


def texts_before_they_are_set(job: Path) -> dict[str, str]:
    """The same without a build: pages with their attributes, what is given to be printed, the looks, CSV files."""
    book = book_of(job)
    cover = cover_of(book.context)
    cards = cards_of(book.context)
    printed = {
        "handbook.pdf": book_texts(book.pages, book.header, cover), "cards.pdf": card_texts(cards, book.header, cover)
    }  # fmt: skip
    found = {name: " ".join(text for texts in told.values() for text in texts) for name, told in printed.items()}
    found |= {each.name: each.read_text(encoding="utf-8") for each in (REPOSITORY / "content" / "print").glob("*.typ")}
    for page in book.pages:
        html = str(page_html(page)) if page.screen else ""
        attributes = " ".join(re.findall(r'(?:title|alt|aria-label|content)="([^"]*)"', html))
        found[f"{page.id}.html"] = unescape(re.sub(r"<[^>]+>", " ", html) + " " + attributes)
    found |= {name: data.decode() for name, data in table_files(book).items() if name.endswith(".csv")}
    return {name: " ".join(text.split()) for name, text in found.items()}


@pytest.fixture(scope="module", params=short(["before they are set", "built"], "before they are set"))
def handbooks(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, str]]:
    """The texts of a handbook of each country; in ``make proofs`` also as they are read in a whole build."""
    found = {}
    for basis, units in (("uk", "metric"), ("us", "us")):
        folder = tmp_path_factory.mktemp(basis)
        (folder / "job.yml").write_text(job_of(basis, units), encoding="utf-8")
        if request.param == "built":
            build_handbook(folder / "job.yml", folder / "out")
            found[basis] = texts_of(folder / "out")
        else:
            found[basis] = texts_before_they_are_set(folder / "job.yml")
    return found


def hits(texts: dict[str, str], words: tuple[str, ...]) -> list[str]:
    """Every place where one of the words is read, as a whole word, with what is round it."""
    found = []
    for name, text in texts.items():
        if name.removesuffix(".html") == QUOTES_EVERY_COUNTRY:
            continue
        for word in words:
            flags = 0 if word.isupper() else re.IGNORECASE
            for match in re.finditer(rf"(?<![\w.-]){re.escape(word)}(?!\w)", text, flags):
                found.append(f"{name}: {word}: …{text[max(0, match.start() - 60) : match.end() + 40]}…")
    return found


def test_every_kind_of_file_is_read(handbooks: dict[str, dict[str, str]]) -> None:
    for texts in handbooks.values():
        kinds = {Path(name).suffix for name in texts}
        assert kinds - {".typ"} == {".html", ".pdf", ".csv"}
        assert sum(name.endswith(".pdf") for name in texts) >= 2
        assert min(len(text) for name, text in texts.items() if name.endswith(".pdf")) > 2000


def test_a_uk_handbook_has_no_us_words(handbooks: dict[str, dict[str, str]]) -> None:
    assert hits(handbooks["uk"], COUNTRIES["us"]) == []


def test_a_us_handbook_has_no_uk_words(handbooks: dict[str, dict[str, str]]) -> None:
    assert hits(handbooks["us"], COUNTRIES["uk"]) == []


def test_a_handbook_of_no_country_has_neither(tmp_path: Path) -> None:
    (tmp_path / "job.yml").write_text(job_of("general", "metric"), encoding="utf-8")
    texts = pages_of(book_of(tmp_path / "job.yml"))
    foreign = tuple(word for words in COUNTRIES.values() for word in words if word not in NEUTRAL)
    assert len(foreign) > 25
    assert hits(texts, foreign) == []


def test_each_handbook_has_its_own_words(handbooks: dict[str, dict[str, str]]) -> None:
    """Guards the tests above: the words are there in the country that uses them."""
    uk, us = " ".join(handbooks["uk"].values()), " ".join(handbooks["us"].values())
    for word in ("duty-holder", "skilled person", "utility search", "BS 7671 522.8.10", "CDM 2015 reg. 24", "50 Hz"):
        assert word in uk
    for word in ("authority having jurisdiction", "licensed electrician", "raceway", "811", "60 Hz", "NFPA 70"):
        assert word in us
