"""Every PDF is PDF/A-3a and PDF/UA-1 (ISO 19005-3, ISO 14289-1), as a checker from outside finds, and readers find
nothing to complain of."""

from __future__ import annotations

import contextlib
import re
import shutil
import subprocess
from functools import partial
from pathlib import Path

import pytest

from book_samples import book_of
from samples import REPOSITORY, spanish_job
from shared import Builds, short
from slackloop.document.boxes.card import cards_of
from slackloop.document.edition.edition import load_edition
from slackloop.language.messages import speaking
from slackloop.pipeline.handbook_folder import cover_of, document_time
from slackloop.render.typst.cards import card_files, card_texts
from slackloop.render.typst.printed import prepare_printing

LINKS = REPOSITORY / "tests" / "compute" / "jobs" / "links.yml"
"""320 boxes, so that its cards are set in batches and joined."""
SMALL = REPOSITORY / "site_data" / "jobs" / "kiln-court.yml"
RULES = {"3a": 150, "ua1": 100}
"""The checker knows about so many rules of each profile: one that runs fewer has not looked."""
STREAM = re.compile(rb"/Length (\d+)[^<>]*>>\nstream\n")
"""How our press opens a stream; what else is in the dictionary names no other length."""

CASES = ("demonstration", "small, Spanish edition, cards joined", "links", "Spanish edition, parts apart")


@pytest.fixture(scope="module", params=short(CASES, *CASES[:2]))
def documents(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Every PDF of a handbook; of the small one the cards alone, set in batches of two."""
    builds: Builds = request.getfixturevalue("builds")
    if request.param == "demonstration":
        folder, names = request.getfixturevalue("demo"), {"handbook.pdf", "cards.pdf"}
    elif request.param == "links":
        folder, names = builds(LINKS).folder, {"handbook.pdf", "cards.pdf"}
    elif request.param == CASES[1]:
        folder, names = tmp_path_factory.mktemp("small"), {"cards.pdf", "cards-es.pdf"}
        print_cards(SMALL, folder)
    else:
        folder = builds(spanish_job(tmp_path_factory.mktemp("job")), "--separate").folder
        names = {"method.pdf", "design.pdf", "inspection.pdf", "cards.pdf", "cards-es.pdf"}
    found = sorted(folder.rglob("*.pdf"))
    assert {path.name for path in found} == names
    return found


def print_cards(job: Path, folder: Path) -> None:
    """The cards of a job in English and in Spanish, joined from batches of two."""
    book = book_of(job)
    edition = load_edition(book, REPOSITORY / "content", None, "es")
    cover = cover_of(book.context)
    for name, header, cards, messages in (
        ("cards.pdf", book.header, cards_of(book.context), contextlib.nullcontext()),
        ("cards-es.pdf", edition.header, edition.cards, speaking(edition.messages)),
    ):
        with messages:
            make = partial(
                card_files, cards, header, cover, paper="a4", timestamp=document_time(book.job), address="",
                failed=False, batch=2,
            )  # fmt: skip
            assert len(cards) > 2
            printing = prepare_printing(
                lambda shown, drawn, make=make: make(shown=shown, drawn=drawn), card_texts(cards, header, cover),
                what=name, timestamp=document_time(book.job), aside=folder,
            )  # fmt: skip
            (folder / name).write_bytes(printing.data())



@pytest.mark.slow
@pytest.mark.parametrize("profile", RULES)
def test_a_checker_from_outside_finds_no_rule_broken(documents: list[Path], profile: str) -> None:
    page = pytest.importorskip("page", reason="page-validation (a wheel of the dev extra) is not installed")
    for path in documents:
        # The bookmarks of 320 cards are a longer chain than it follows unless told.
        report = page.validate_pdf(path, profile=profile, limits=page.SafetyLimits.unlimited())
        assert [f"{each.rule_id} {each.message}" for each in report.failures] == [], path.name
        assert report.is_compliant
        assert report.rules.passed == report.rules.total >= RULES[profile]


def test_the_checker_finds_what_is_broken(demo: Path) -> None:
    """The same checker on a file whose metadata name no profile: it looks, and does not only pass."""
    page = pytest.importorskip("page", reason="page-validation (a wheel of the dev extra) is not installed")
    data = (demo / "handbook.pdf").read_bytes()
    for profile, claim in {"3a": b"<pdfaid:conformance>A<", "ua1": b"<pdfuaid:part>1<"}.items():
        assert data.count(claim) == 1
        broken = data.replace(claim, claim.replace(b"A<", b"B<").replace(b">1<", b">2<"))
        assert not page.validate_pdf_bytes(broken, profile=profile).is_compliant, profile


@pytest.mark.slow
def test_a_stream_is_as_long_from_its_end_as_from_its_start(documents: list[Path]) -> None:
    for path in documents:
        data, seen = path.read_bytes(), 0
        for found in STREAM.finditer(data):
            start, length = found.end(), int(found[1])
            end = data.index(b"endstream", start + length)
            assert re.sub(rb"\r\n\Z|\n\Z|\r\Z", b"", data[start:end]) == data[start : start + length], found[0]
            seen += 1
        assert seen > 20, path.name


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils (Debian package) is not installed")
def test_a_reader_reads_every_page_without_complaint(documents: list[Path]) -> None:
    for path in documents:
        done = subprocess.run(["pdftotext", str(path), "-"], capture_output=True, check=False)
        assert (done.returncode, done.stderr) == (0, b""), path.name
        assert len(done.stdout) > 1_000
