"""The PDF as a reader gets it: words, references, what stands on every page, archive marks, bytes."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from dataclasses import replace
from datetime import datetime
from functools import cache
from pathlib import Path

import pypdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from publish.print_samples import DATE, FINGERPRINT, SampleBook, sample_book
from slackloop.handbook.page import Page
from slackloop.publish.print import PrintError, build_pdf, look_files

JOB_FILE = {"heron-fold.yml": b"\xef\xbb\xbfformat: 1\r\nnote: caf\xc3\xa9\n", "odd.bin": bytes(range(256))}


def printed(book: SampleBook, folder: Path, paper: str = "a4", name: str = "handbook.pdf") -> bytes:
    path = folder / name
    build_pdf(book, path, paper="us-letter" if paper == "us-letter" else "a4", timestamp=DATE, attachments=JOB_FILE)
    return path.read_bytes()


@pytest.fixture(scope="module")
def handbook(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    return printed(sample_book(), tmp_path_factory.mktemp("print"))


@cache
def texts_of(data: bytes) -> tuple[str, ...]:
    return tuple(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(data)).pages)


def page_with(data: bytes, words: str) -> int:
    """Number of the first page after the contents that holds ``words``, from 1."""
    return next(number for number, text in enumerate(texts_of(data), 1) if words in text and number > 2)


def test_every_page_says_which_document_it_is(handbook: bytes) -> None:
    texts = texts_of(handbook)
    for number, text in enumerate(texts, 1):
        assert f"Page {number} of {len(texts)}" in text
        assert f"Fingerprint {FINGERPRINT[:12]}" in text
        assert "2026-03-02" in text
        assert "HF-2031" in text
        assert "Control path" in text
        assert re.search(r"Revision\s+B", text)
        assert "for construction" in text


def test_the_first_page_has_open_signatures_history_and_the_whole_fingerprint(handbook: bytes) -> None:
    first = texts_of(handbook)[0]
    for words in ("Prepared", "Site engineer", "Checked", "Approved", "First issue for comment", "Heron Fold Trust"):
        assert words in first
    assert FINGERPRINT in first.replace(" ", "").replace("\n", "")


def test_the_first_page_counts_open_questions_where_there_are_any(handbook: bytes, tmp_path: Path) -> None:
    book = sample_book()
    asking = replace(book, facts=replace(book.facts, open_questions=2))
    assert "Open questions" in texts_of(printed(asking, tmp_path))[0]
    assert "2, listed under Findings." in texts_of(printed(asking, tmp_path))[0]
    assert "Open questions" not in texts_of(handbook)[0]


def test_all_words_are_there_and_what_belongs_to_the_screen_is_not(handbook: bytes) -> None:
    whole = "\n".join(texts_of(handbook))
    for words in ("Sharp blade", "150 mm (6 in)", "A ring cut parts clean.", "Trench section, to scale", "89.4",
                  "Cable left in a box.", "The words of the note.", "a gone page"):  # fmt: skip
        assert words in whole
    assert "Only on the screen" not in whole
    assert "¶" not in whole


def test_a_reference_names_the_page_that_it_leads_to(handbook: bytes) -> None:
    where = page_with(handbook, "Sharp blade")
    spaced = [text.replace("\u00a0", " ").replace("\n", " ") for text in texts_of(handbook)]
    assert f"the method (page {where})" in spaced[page_with(handbook, "Local code comes first") - 1]
    assert f"Opening the jacket p. {where}" in " ".join(spaced)


def test_the_header_of_a_table_stands_again_on_its_next_page(handbook: bytes) -> None:
    with_table = [text for text in texts_of(handbook) if "Column 4" in text and "Column 5" not in text]
    assert len(with_table) >= 2


def test_a_wide_table_stands_on_a_turned_page(handbook: bytes) -> None:
    pages = pypdf.PdfReader(io.BytesIO(handbook)).pages
    turned = [number for number, page in enumerate(pages, 1) if page.mediabox.width > page.mediabox.height]
    assert turned == [number for number, text in enumerate(texts_of(handbook), 1) if "Column 11" in text]


def test_the_pdf_is_archival_tagged_and_says_what_it_is(handbook: bytes) -> None:
    reader = pypdf.PdfReader(io.BytesIO(handbook))
    root = reader.root_object
    xmp = root["/Metadata"].get_object().get_data().decode()  # type: ignore[union-attr]
    assert "<pdfaid:part>3</pdfaid:part>" in xmp
    assert "<pdfaid:conformance>A</pdfaid:conformance>" in xmp
    assert root["/MarkInfo"]["/Marked"] == pypdf.generic.BooleanObject(True)  # type: ignore[index]
    assert str(root["/Lang"]).lower() == "en-gb"
    assert reader.metadata is not None
    assert reader.metadata.title == "HF-2031 Control path"
    assert reader.metadata.author == "Example Groundworks"
    assert "Heron Fold Arboretum" in str(reader.metadata["/Keywords"])
    assert reader.metadata.creation_date == DATE


def test_the_job_file_travels_inside_byte_for_byte(handbook: bytes) -> None:
    reader = pypdf.PdfReader(io.BytesIO(handbook))
    assert {name: data[0] for name, data in reader.attachments.items()} == JOB_FILE
    files = reader.root_object["/AF"]
    assert [one.get_object()["/AFRelationship"] for one in files] == ["/Source"] * 2  # type: ignore[union-attr, index]


def test_bookmarks_follow_parts_pages_and_boxes(handbook: bytes) -> None:
    reader = pypdf.PdfReader(io.BytesIO(handbook))

    def titles(entries: list[object], depth: int) -> list[tuple[int, str]]:
        found: list[tuple[int, str]] = []
        for entry in entries:
            if isinstance(entry, list):
                found += titles(entry, depth + 1)
            else:
                found.append((depth, str(entry.title)))  # type: ignore[attr-defined]
        return found

    marks = titles(list(reader.outline), 1)
    for expected in ((1, "Start here"), (1, "Install"), (2, "Method"), (3, "Opening the jacket"), (3, "Box B03")):
        assert expected in marks


def test_fonts_are_all_inside_and_only_ours(handbook: bytes) -> None:
    reader = pypdf.PdfReader(io.BytesIO(handbook))
    names = set()
    for page in reader.pages:
        for font in page["/Resources"].get("/Font", {}).values():  # type: ignore[attr-defined]
            descendant = font.get_object()["/DescendantFonts"][0].get_object()
            descriptor = descendant["/FontDescriptor"].get_object()
            assert "/FontFile2" in descriptor or "/FontFile3" in descriptor
            names.add(str(descendant["/BaseFont"]).split("+")[1].split("-")[0])
    assert names == {"SourceSansPro"}


def test_the_same_book_gives_the_same_bytes(handbook: bytes, tmp_path: Path) -> None:
    assert printed(sample_book(), tmp_path, name="another.pdf") == handbook


def test_letter_paper_has_its_own_size(tmp_path: Path) -> None:
    first = pypdf.PdfReader(io.BytesIO(printed(sample_book(1), tmp_path, "us-letter"))).pages[0].mediabox
    assert (float(first.width), float(first.height)) == (612.0, 792.0)


def test_a_draft_says_so_on_every_page(handbook: bytes, tmp_path: Path) -> None:
    assert all("DRAFT" in text for text in texts_of(printed(sample_book(draft=True), tmp_path)))
    assert not any("DRAFT" in text for text in texts_of(handbook))


def test_a_very_long_title_is_cut_in_the_header_and_whole_on_the_first_page(tmp_path: Path) -> None:
    page = Page("a.md", "A", "# A\n\nWords.\n", ("Install",), "section")
    title = "Words of a title " * 12
    texts = texts_of(printed(sample_book(title=title, only=(page,)), tmp_path))
    flat = [" ".join(text.split()) for text in texts]
    assert title.strip() in flat[0]
    assert "…" in flat[1]
    assert title.strip() not in flat[1]


def test_two_small_box_sheets_share_a_page(handbook: bytes) -> None:
    assert page_with(handbook, "Address 102") == page_with(handbook, "Address 103")


def test_a_box_sheet_is_not_broken_over_two_pages(tmp_path: Path) -> None:
    data = printed(sample_book(12), tmp_path)
    for number in range(1, 13):
        page = next(text for text in texts_of(data) if f"Address {100 + number}" in text)
        after = page[page.index(f"Address {100 + number}") :]
        assert "Loop" in after
        assert "Trench section, to scale" in after


def test_a_box_sheet_longer_than_a_page_is_printed_whole(tmp_path: Path) -> None:
    rows = "".join(f"| reading {row} |\n" for row in range(150))
    long = Page("boxes/long.md", "Box L", "# Box L\n\n| A |\n|---|\n" + rows, ("Install", "Boxes"), "box")
    whole = "\n".join(texts_of(printed(sample_book(1, extra=(long,)), tmp_path)))
    assert all(f"reading {row}" in whole for row in range(150))


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="pdftoppm is not installed, pages cannot be looked at")
def test_no_page_is_blank_between_header_and_footer(handbook: bytes, tmp_path: Path) -> None:
    (tmp_path / "h.pdf").write_bytes(handbook)
    subprocess.run(["pdftoppm", "-r", "20", "-gray", str(tmp_path / "h.pdf"), str(tmp_path / "page")], check=True)
    pictures = sorted(tmp_path.glob("page*.pgm"))
    assert len(pictures) == len(texts_of(handbook))
    for picture in pictures:
        _, size, _, pixels = picture.read_bytes().split(b"\n", 3)
        width, height = map(int, size.split())
        middle = pixels[width * (height // 10) : width * (height - height // 10)]
        assert min(middle) < 128, f"{picture.name} is blank"


HOSTILE = [
    '#panic("x")', "#import \"x.typ\"", "$x$ *b* _i_ @ref <label> // c /* d */", '"quoted\\"', "\\u{41}", "`raw`",
    "]#set page(fill: red)[", "{{ v }}", "| a | b |", "é Ω ш א ع", "中文 😀", "\u202eevil\u202c", "a\u0301", "\ue000",
    "x" * 400, "&lt;script&gt;", "\x07bell", "\ufeff",
]  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_words_are_printed_as_they_are(text: str, tmp_path: Path) -> None:
    whole = hostile(text, tmp_path)
    if text.isascii() and text.isprintable() and "&" not in text:
        assert re.sub(r"\s", "", text) in whole


def hostile(text: str, folder: Path) -> str:
    """Everything printed, without white space, when ``text`` stands in the header, a paragraph and a cell."""
    escaped = "".join(f"&#{ord(mark)};" if mark.isascii() and not mark.isalnum() else mark for mark in text)
    body = f"# T\n\n{escaped}\n\n| A |\n|---|\n| {escaped} |\n\n**{escaped}**\n"
    page = Page("a.md", text or "T", body, (text or "P",), "section")
    book = sample_book(title=text or "T", only=(page,))
    return re.sub(r"[\s\u200b]", "", "".join(texts_of(printed(book, folder))))


@settings(max_examples=25, deadline=None)
@given(text=st.text(st.characters(exclude_categories=["Cs"]), max_size=30))
def test_any_words_are_printed(text: str, tmp_path_factory: pytest.TempPathFactory) -> None:
    assert "Page1of" in hostile(text, tmp_path_factory.mktemp("any"))


def test_what_no_font_has_is_shown_by_number_and_reported(tmp_path: Path) -> None:
    page = Page("a.md", "Odd", "# Odd\n\nA note \U0001fbff here.\n", ("Install",), "section")
    made = build_pdf(sample_book(0, extra=(page,)), tmp_path / "h.pdf", timestamp=DATE, attachments={})
    assert [finding.code for finding in made.warnings] == ["print-character"]
    assert "U+1FBFF" in made.warnings[0].message
    assert "Odd" in made.warnings[0].message
    assert "[U+1FBFF]" in "\n".join(texts_of((tmp_path / "h.pdf").read_bytes()))


def test_a_look_that_typst_refuses_leaves_the_last_pdf(tmp_path: Path) -> None:
    (tmp_path / "h.pdf").write_bytes(b"last good")
    (tmp_path / "parts.typ").write_text("#let broken = (", encoding="utf-8")
    with pytest.raises(PrintError, match="could not be printed"):
        build_pdf(sample_book(0), tmp_path / "h.pdf", timestamp=DATE, attachments={}, look=tmp_path)
    assert (tmp_path / "h.pdf").read_bytes() == b"last good"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["h.pdf", "parts.typ"]


def test_a_firm_may_replace_one_file_of_the_look(tmp_path: Path) -> None:
    (tmp_path / "cover.typ").write_text("own", encoding="utf-8")
    assert look_files(tmp_path)["cover.typ"] == b"own"
    assert look_files(tmp_path)["parts.typ"] == look_files()["parts.typ"]


def test_a_time_without_its_zone_is_refused(tmp_path: Path) -> None:
    with pytest.raises(PrintError, match="time zone"):
        build_pdf(sample_book(0), tmp_path / "h.pdf", timestamp=datetime(2026, 3, 2), attachments={})
