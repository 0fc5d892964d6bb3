"""The printed handbook of the demonstration job, page by page, on both kinds of paper, as a printer would set it."""

from __future__ import annotations

import shutil
import subprocess
import xml.etree.ElementTree as ElementTree
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pypdf
import pytest
from numpy.typing import NDArray

from paper.printed_pages import SIDES, Word
from samples import DEMO
from shared import short
from slackloop.render.typst.book import Paper

pytestmark = pytest.mark.skipif(
    shutil.which("pdftoppm") is None, reason="poppler-utils (Debian package) is not installed"
)
COARSE_DPI, FINE_DPI = 40, 150
EDGE_MM = 4.0
"""What a common printer cannot reach; common practice, no published source."""
MARGIN_MM = 16.0
"""Left and right of the text, as the look sets it."""
AT_THE_TEAR = ["Tear", "out", "along", "this", "line", "and", "put", "up", "where", "everyone", "sees", "it"]
"""What stands at the dashed line of the emergency sheet, in its margin."""
WHITE = 250
SIZES_PT = {"a4": (595.28, 841.89), "us-letter": (612.0, 792.0)}
"""ISO 216 A4 and ANSI/ASME Y14.1 size A, in points (recomputed from 210 x 297 mm and 8.5 x 11 in)."""


@dataclass(frozen=True)
class Printed:
    """One PDF with its pages as grey pictures and as words."""

    path: Path
    paper: Paper
    reader: pypdf.PdfReader
    pictures: list[NDArray[np.uint8]]
    words: list[list[Word]]


@pytest.fixture(scope="module", params=short(["a4", "us-letter"], "a4"))
def printed(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Printed:
    """The demonstration on one kind of paper; on the other in ``make proofs``, and for its budgets in every run."""
    paper: Paper = request.param
    folder = tmp_path_factory.mktemp("paper")
    if paper == "a4":
        path: Path = request.getfixturevalue("demo") / "handbook.pdf"
    else:
        path = request.getfixturevalue("letter")
    return Printed(path, paper, pypdf.PdfReader(path), pictures_of(path, COARSE_DPI, folder), words_of(path, folder))


def pictures_of(path: Path, dpi: int, folder: Path, pages: tuple[int, int] | None = None) -> list[NDArray[np.uint8]]:
    """The pages as grey pictures, 0 black and 255 white, by rows."""
    span = ["-f", str(pages[0]), "-l", str(pages[1])] if pages else []
    start = folder / f"page-{dpi}"
    done = subprocess.run(["pdftoppm", "-r", str(dpi), "-gray", *span, str(path), str(start)], capture_output=True)
    assert done.returncode == 0
    return [read_pgm(name) for name in sorted(folder.glob(f"page-{dpi}*.pgm"))]


def read_pgm(path: Path) -> NDArray[np.uint8]:
    """A grey picture as pdftoppm writes it."""
    _, size, _, pixels = path.read_bytes().split(b"\n", 3)
    width, height = map(int, size.split())
    return np.frombuffer(pixels, dtype=np.uint8, count=width * height).reshape(height, width)


def words_of(path: Path, folder: Path) -> list[list[Word]]:
    """The words of each page."""
    out = folder / "words.html"
    subprocess.run(["pdftotext", "-bbox", str(path), str(out)], check=True, capture_output=True)
    text = "".join(mark for mark in out.read_text(encoding="utf-8") if mark >= " " or mark in "\n\t")
    found = []
    for page in ElementTree.fromstring(text).iter("{http://www.w3.org/1999/xhtml}page"):
        found.append([Word(word.text or "", *(float(word.get(side, "nan")) for side in SIDES)) for word in page])
    return found


def test_every_page_has_the_size_of_its_paper(printed: Printed) -> None:
    wide, tall = SIZES_PT[printed.paper]
    for page in printed.reader.pages:
        size = sorted((float(page.mediabox.width), float(page.mediabox.height)))
        assert size == pytest.approx([wide, tall], abs=0.01)
    assert len(printed.pictures) == len(printed.words) == len(printed.reader.pages) > 50


def test_no_page_is_blank(printed: Printed) -> None:
    """Between header and footer something is printed, and not one lone line."""
    for number, picture in enumerate(printed.pictures, 1):
        height = picture.shape[0]
        middle = picture[round(height * 0.075) : round(height * 0.935)]
        inked = np.flatnonzero((middle < 160).any(axis=1))
        assert inked.size >= 3, f"page {number} is blank"


def test_nothing_is_drawn_where_a_printer_cannot_reach(printed: Printed) -> None:
    edge = round(EDGE_MM / 25.4 * COARSE_DPI)
    for number, picture in enumerate(printed.pictures, 1):
        inner = picture.copy()
        inner[edge:-edge, edge:-edge] = 255
        assert inner.min() >= WHITE, f"page {number} is drawn on within {EDGE_MM} mm of its edge"


def test_no_word_runs_out_of_its_page_or_over_its_margin(printed: Printed) -> None:
    margin = MARGIN_MM / 25.4 * 72
    for number, (page, words) in enumerate(zip(printed.reader.pages, printed.words, strict=True), 1):
        right = float(page.mediabox.width) - margin
        over = [
            word.text for word in words
            if word.right > right + 0.5 or (word.left < margin - 0.5 and word.text not in AT_THE_TEAR)
        ]  # fmt: skip
        assert over == [], f"page {number}"


def test_every_page_says_which_of_how_many_and_which_revision(printed: Printed) -> None:
    count = len(printed.reader.pages)
    for number, words in enumerate(printed.words, 1):
        top = footer_top(words)
        foot = " ".join(word.text for word in words if word.top > top - 2)
        assert f"Page {number} of {count}" in foot
        assert "revision B" in foot
        assert "fingerprint" in foot


def footer_top(words: list[Word]) -> float:
    """Where the words of the footer begin, from the page's top."""
    low = max(word.bottom for word in words)
    return min(word.top for word in words if word.bottom > low - 2)


def test_the_words_of_a_page_end_above_its_footer(printed: Printed) -> None:
    for number, words in enumerate(printed.words, 1):
        top = footer_top(words)
        body = max((word.bottom for word in words if word.bottom < top + 6), default=0.0)
        assert body <= top + 0.5, f"page {number}: words stand in the footer"


@pytest.mark.parametrize("which", [0, 1, 2, 9, 40, -1])
def test_the_rules_of_header_and_footer_strike_through_no_word(printed: Printed, which: int, tmp_path: Path) -> None:
    """A rule over most of the page's width is found in the picture, and held against the letters' own height."""
    number = range(len(printed.words))[which] + 1
    picture = pictures_of(printed.path, FINE_DPI, tmp_path, (number, number))[0]
    dark = (picture < 200).mean(axis=1)
    ruled = np.flatnonzero(dark > 0.7) / FINE_DPI * 72
    assert ruled.size, "no rule was found"
    words = printed.words[number - 1]
    height = picture.shape[0] / FINE_DPI * 72
    for rule in ruled[(ruled < 0.09 * height) | (ruled > 0.9 * height)]:
        struck = [word.text for word in words if letters_top(word) < rule < letters_bottom(word)]
        assert struck == [], f"page {number}: a rule strikes through words"


def letters_top(word: Word) -> float:
    """Top of the capitals. The box of a word is one em high; the letters' foot stands 0.273 em over its bottom."""
    return word.bottom - (0.273 + 0.66) * (word.bottom - word.top)


def letters_bottom(word: Word) -> float:
    """Foot of the tails, 0.2 em under the letters' foot."""
    return word.bottom - 0.073 * (word.bottom - word.top)


def test_words_in_a_table_keep_off_its_rules(printed: Printed, tmp_path: Path) -> None:
    """On the page that names the most checks no rule touches the letters: at least a point lies over them."""
    names = [sum(word.text.startswith("C-") for word in words) for words in printed.words]
    number = names.index(max(names)) + 1
    picture = pictures_of(printed.path, FINE_DPI, tmp_path, (number, number))[0]
    dark = (picture < 200).mean(axis=1)
    ruled = np.flatnonzero(dark > 0.7) / FINE_DPI * 72
    assert ruled.size > 10
    words = [word for word in printed.words[number - 1] if word.text.startswith("C-")]
    assert len(words) > 5
    for word in words:
        near = ruled[(ruled > letters_top(word) - 1.0) & (ruled < letters_bottom(word))]
        assert near.size == 0, f"page {number}: {word.text} touches a rule"


def test_the_file_is_archival_tagged_and_carries_its_job(printed: Printed) -> None:
    """ISO 19005-3 (PDF/A-3), level A: its identification in the metadata, a tagged document, its source inside."""
    root = printed.reader.root_object
    xmp = root["/Metadata"].get_object().get_data().decode()  # type: ignore[union-attr]
    assert "<pdfaid:part>3</pdfaid:part>" in xmp
    assert "<pdfaid:conformance>A</pdfaid:conformance>" in xmp
    assert root["/MarkInfo"]["/Marked"] == pypdf.generic.BooleanObject(True)  # type: ignore[index]
    assert "/StructTreeRoot" in root
    assert printed.reader.attachments[DEMO.name][0] == DEMO.read_bytes()


def test_bookmarks_are_nested_and_lead_to_their_pages(printed: Printed) -> None:
    depths: dict[str, int] = {}

    def walk(entries: list[object], depth: int) -> None:
        for entry in entries:
            if isinstance(entry, list):
                walk(entry, depth + 1)
            else:
                depths.setdefault(str(entry.title), depth)  # type: ignore[attr-defined]

    walk(list(printed.reader.outline), 1)
    assert depths["Part 1. Method"] == depths["Part 3. Inspection"] == 1
    assert depths["Opening the jacket"] == depths["Runs"] == 2
    assert depths["Score, break and pull"] == max(depths.values()) == 3
