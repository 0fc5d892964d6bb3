"""The cards as a crew gets them: words, figures, pages, codes to scan, marks, bytes."""

from __future__ import annotations

import io
import math
import re
import shutil
import subprocess
from dataclasses import replace
from functools import cache
from pathlib import Path

import pypdf
import pytest
import segno

from publish.print_samples import DATE
from samples import REPOSITORY
from slackloop.handbook.assemble import book_from_job, book_of
from slackloop.handbook.book import Book
from slackloop.handbook.cards import STANDING_CAUTIONS, CardMaker, code_text
from slackloop.handbook.content import Content
from slackloop.handbook.worked import work
from slackloop.publish.print_cards import build_cards
from slackloop.publish.print_cards_code import QUIET_MODULES, scan_code
from slackloop.publish.print_document import Paper

DEMO = REPOSITORY / "site_data" / "jobs" / "heron-fold.yml"
SMALL = REPOSITORY / "site_data" / "jobs" / "kiln-court.yml"
ADDRESS = "https://example.org/heron-fold"
HOSTILE = '#panic("x") ]$*_`<b>&amp; \\" {{ v }} // @r'


@cache
def book(job: Path) -> Book:
    return book_from_job(job)


@cache
def printed(job: Path, paper: Paper = "a4", address: str = "") -> bytes:
    return made(book(job), paper, address)


def made(source: Book, paper: Paper = "a4", address: str = "") -> bytes:
    from tempfile import TemporaryDirectory

    with TemporaryDirectory() as folder:
        path = Path(folder) / "cards.pdf"
        build_cards(source, path, timestamp=DATE, paper=paper, address=address)
        assert [each.name for each in Path(folder).iterdir()] == ["cards.pdf"]
        return path.read_bytes()


@cache
def texts(data: bytes) -> tuple[str, ...]:
    return tuple(page.extract_text().replace("\u200b", "") for page in pypdf.PdfReader(io.BytesIO(data)).pages)


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


def edited(tmp_path: Path, *changes: tuple[str, str], job: Path = SMALL) -> Book:
    """The book of a job file with some of its words replaced."""
    text = job.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    for other in job.parent.parent.glob("standards"):
        if not (tmp_path / "standards").exists():
            shutil.copytree(other, tmp_path / "standards")
    (tmp_path / "jobs").mkdir(exist_ok=True)
    place = tmp_path / "jobs" / "job.yml"
    place.write_text(text, encoding="utf-8")
    return book_from_job(place)


def lean(source: Book) -> Book:
    """The same job with content that asks for no checks, so that its cards are small."""
    content: Content = source.context.content
    bare = tuple(
        replace(section, front=section.front.model_copy(update={"checks": ()})) for section in content.sections
    )
    context = replace(source.context, content=replace(content, sections=bare))
    return replace(source, context=context)


def test_every_box_has_a_card_on_one_page_after_the_cover() -> None:
    """The demonstration job, A4: no card of it needs a second page."""
    ids = book(DEMO).analysis.network.boxes
    surfaces = {box.id: box.surface for box in book(DEMO).job.path.boxes}
    pages = texts(printed(DEMO))
    assert len(pages) == 1 + len(ids)
    for number, (name, page) in enumerate(zip(ids, pages[1:], strict=True), 1):
        assert f"{number} of {len(ids)}" in page
        assert re.search(rf"\b{name}\b", page)
        assert page.count("Signature") == 1
        crossing = surfaces[name] not in ("lawn", "planting")
        assert page.count("Signed, date") == (4 if crossing else 2), "release, card; leave and cover at a crossing"
        assert f"Page {number + 1} of {len(pages)}" in page


def test_a_card_says_what_the_analysis_found() -> None:
    """Each figure on the card is the one that the analysis holds, to the card's digits."""
    source = book(DEMO)
    analysis = source.analysis
    for index, page in enumerate(texts(printed(DEMO))[1:]):
        for limit in analysis.loops.closed[index].limits:
            least, most = math.ceil(limit.low_ohms * 100) / 100, math.floor(limit.high_ohms * 100) / 100
            assert squeezed(f"{least:.2f} to {most:.2f} Ω") in squeezed(page), "limits are never looser"
            assert squeezed(f"expected {limit.expected_ohms:.2f} Ω") in squeezed(page)
        rest, worst = analysis.volts.standby_volts[index], analysis.volts.worst_volts[index]
        assert rest is not None
        assert worst is not None
        assert f"{int(rest * 10 + 1e-6) / 10:.1f} V" in page
        assert f"{int(worst * 10 + 1e-6) / 10:.1f} V" in page, "lowest volts are cut, so that a shortfall is seen"
        run = analysis.network.runs[index]
        enough_m = math.ceil(run.length_m * 10 - 1e-6) / 10
        assert f"{enough_m:g} m (" in page or f"{enough_m:.1f} m (" in page, "a run is never told shorter"
        box = source.context.box(index)
        if box.device:
            assert box.address in page
            assert ", ".join(map(str, box.stations)) in page


def test_core_colours_stand_in_words_for_every_cable_end() -> None:
    source = book(DEMO)
    for card, page in zip(CardMaker(source.context).cards(), texts(printed(DEMO))[1:], strict=True):
        assert card.runs
        for run in card.runs:
            assert squeezed(f"a {run.colour_a}, b {run.colour_b}") in squeezed(page)


def test_a_card_lists_its_own_checks_and_no_others() -> None:
    """The ids on the printed card are those of the box's own page in the handbook."""
    source = book(DEMO)
    known = {check.id for section in source.sections for check in section.checks}
    pages = {page.meta["box"]: page.markdown for page in source.pages if page.kind == "box"}
    for name, text in zip(source.analysis.network.boxes, texts(printed(DEMO))[1:], strict=True):
        asked = set(re.findall(r"\bC-[A-Z]+-[A-Z0-9]+\b", pages[name].replace("&#45;", "-")))
        assert asked
        assert {each for each in known if re.search(rf"{each}(?!\d)", text)} == asked


def test_hold_points_come_before_all_other_checks() -> None:
    for card, page in zip(CardMaker(book(DEMO).context).cards(), texts(printed(DEMO))[1:], strict=True):
        assert card.stops[0].hold == "hold"
        places = [page.index(check.id) for check in (*card.in_box, *card.on_run)]
        assert page.index("HOLD POINT") < min(places)
        assert page.index("WITNESS POINT") < min(places)


def test_cautions_stand_before_the_work_on_every_card() -> None:
    cautions = book(DEMO).context.content.words.cautions
    for page in texts(printed(DEMO))[1:]:
        for name in STANDING_CAUTIONS:
            assert squeezed(cautions[name].text) in squeezed(page)
            assert page.index(cautions[name].title) < page.index("Electrode")
        assert "Local code and the maker's sheet come before this card." in page


def test_findings_and_notes_of_a_box_stand_on_its_card() -> None:
    source = book(DEMO)
    shown = 0
    for card, page in zip(CardMaker(source.context).cards(), texts(printed(DEMO))[1:], strict=True):
        for finding in card.findings:
            assert squeezed(finding.message) in squeezed(page)
            shown += 1
        assert not card.note or squeezed(card.note) in squeezed(page)
    assert shown == sum(bool(each.box) for each in source.context.findings)


def test_the_cover_lists_every_box_under_its_arm_with_approvals() -> None:
    first = texts(printed(DEMO))[0]
    for group in book(DEMO).context.groups:
        assert group.title in first
    for name in book(DEMO).analysis.network.boxes:
        assert re.search(rf"\b{name}\b", first)
    for words in ("Issued", "Returned", "Prepared", "Site engineer", "Checked", "Approved", "Signature"):
        assert words in first


def test_bookmarks_name_every_box() -> None:
    reader = pypdf.PdfReader(io.BytesIO(printed(SMALL)))
    titles = []
    for entry in reader.outline:
        titles += [each.title for each in entry] if isinstance(entry, list) else [entry.title]
    assert titles[0] == "Box cards"
    assert [title.split()[0] for title in titles[1:]] == list(book(SMALL).analysis.network.boxes)


def test_the_pdf_is_archival_tagged_and_says_what_it_is() -> None:
    reader = pypdf.PdfReader(io.BytesIO(printed(SMALL)))
    xmp = reader.root_object["/Metadata"].get_object().get_data().decode()  # type: ignore[union-attr]
    assert "<pdfaid:part>3</pdfaid:part>" in xmp
    assert "<pdfaid:conformance>A</pdfaid:conformance>" in xmp
    assert reader.metadata is not None
    assert reader.metadata.title == f"{book(SMALL).facts.number} {book(SMALL).facts.title}, box cards"
    assert reader.metadata.author == book(SMALL).facts.contractor
    assert reader.metadata.creation_date == DATE
    assert book(SMALL).facts.fingerprint in str(reader.metadata["/Keywords"]).split(", ")
    assert str(reader.metadata["/Subject"]).endswith(f", fingerprint {book(SMALL).facts.fingerprint}")
    assert "\u200b" not in xmp


def test_the_same_book_gives_the_same_bytes() -> None:
    assert made(book(SMALL)) == printed(SMALL)
    assert made(book_from_job(SMALL)) == printed(SMALL)


def test_letter_paper_has_its_own_size_and_every_box() -> None:
    data = printed(DEMO, "us-letter")
    first = pypdf.PdfReader(io.BytesIO(data)).pages[0].mediabox
    assert (float(first.width), float(first.height)) == (612.0, 792.0)
    count = len(book(DEMO).analysis.network.boxes)
    assert sum(" of ".join((str(number), str(count))) in text for number in range(1, count + 1)
               for text in texts(data)) >= count  # fmt: skip


def test_a_draft_and_a_failing_job_are_marked_on_every_page(tmp_path: Path) -> None:
    assert all("Not for use on site" in page for page in texts(printed(SMALL)))
    assert not any("not for use" in page.lower() for page in texts(printed(DEMO)))
    failing = edited(tmp_path, ("run: 31 m", "run: 31000 m"))
    assert failing.analysis.verdict == "fail"
    pages = texts(made(failing))
    assert all("FAILS ITS CHECK" in page for page in pages)
    assert any("Not good" in page for page in pages)


def test_the_start_page_and_every_list_of_boxes_lead_to_the_cards() -> None:
    """Where a build puts cards beside the pages; a preview has none and links none."""
    made_book = book_of(work(SMALL), cards_file="cards.pdf")
    pages = {page.uri: page.markdown for page in made_book.pages}
    assert "](cards.pdf)" in pages["index.md"].split("{#install}")[1].split("{#inspect}")[0]
    for group in made_book.context.groups:
        assert "](../cards.pdf)" in pages[group.uri]
    assert not any("cards.pdf" in page.markdown for page in book(SMALL).pages)


def test_two_small_cards_share_a_page_with_a_line_to_cut_along(tmp_path: Path) -> None:
    """Where a box holds one cable end and no device, and no checks are asked, its card fits in half a page."""
    boxes = "".join(f"    - {{id: E{number}, from: controller, run: 9 m, surface: lawn}}\n" for number in range(1, 6))
    text = SMALL.read_text(encoding="utf-8")
    listed = text[text.index("    - {id: K1") :]
    pages = texts(made(lean(edited(tmp_path, (listed, boxes)))))
    assert len(pages) == 4
    for page, numbers in zip(pages[1:], ([1, 2], [3, 4], [5]), strict=True):
        assert [number for number in range(1, 6) if f"box E{number}" in page] == numbers
        assert page.count("cut here") == len(numbers) - 1


def test_a_box_where_many_runs_meet_keeps_everything(tmp_path: Path) -> None:
    """Five cable ends, no device, the longest id and a long name."""
    long_id, long_name = "L" * 40, "Name " * 24
    extra = "".join(f"\n    - {{id: N{number}, from: K3, run: 9 m, surface: road}}" for number in range(1, 4))
    source = edited(
        tmp_path,
        ("    - {id: K3, from: K2, run: 31 m, surface: lawn, device: twin, stations: [5, 6], address: 13, "
             "duct: 38 mm}",
         f"    - {{id: K3, from: K2, run: 31 m, surface: lawn, name: '{long_name.strip()}'}}"
         f"\n    - {{id: {long_id}, from: K3, run: 9 m, surface: lawn}}{extra}"),
    )  # fmt: skip
    whole = "".join(texts(made(source)))
    assert squeezed(long_id) in squeezed(whole)
    assert squeezed(long_name) in squeezed(whole)
    cards = {card.box_id: card for card in CardMaker(source.context).cards()}
    assert len(cards["K3"].runs) == 5
    page = next(text for text in texts(made(source)) if "3 of 8" in text)
    for number in range(1, 4):
        assert f"Out to N{number}" in page
    assert "splices only" in page


def test_hostile_words_are_printed_as_they_are(tmp_path: Path) -> None:
    quoted = "'" + HOSTILE.replace("'", "''") + "'"
    source = edited(tmp_path, ("id: K1,", f"id: K1, name: {quoted}, note: {quoted},"),
                    ("title: Courtyard control path", f"title: {quoted}"))  # fmt: skip
    pages = texts(made(source))
    assert squeezed(HOSTILE) in squeezed(pages[0])
    assert squeezed(pages[1]).count(squeezed(HOSTILE)) >= 2


def test_what_no_font_has_is_shown_by_number_and_reported(tmp_path: Path) -> None:
    source = edited(tmp_path, ("id: K1,", "id: K1, name: 'odd \U0001fbff',"))
    result = build_cards(source, tmp_path / "c.pdf", timestamp=DATE, paper="a4", address="")
    assert [finding.code for finding in result.warnings] == ["print-character"]
    assert "[U+1FBFF]" in texts((tmp_path / "c.pdf").read_bytes())[1]


def test_a_code_opens_the_page_of_its_box_or_says_which_card_it_is() -> None:
    facts = book(DEMO).facts
    assert code_text(ADDRESS, facts, "B01") == code_text(ADDRESS + "/", facts, "B01") == f"{ADDRESS}/boxes/b01.html"
    assert code_text("", facts, "B01") == (
        f"job {facts.number}; revision {facts.revision}; fingerprint {facts.fingerprint[:12]}; box B01"
    )
    names = book(SMALL).analysis.network.boxes
    for address in (ADDRESS, ""):
        for name, page in zip(names, texts(printed(SMALL, "a4", address))[1:], strict=True):
            assert squeezed(code_text(address, book(SMALL).facts, name)) in squeezed(page)


def modules_of(svg: bytes) -> list[list[int]]:
    """The drawing read back as rows of modules, its quiet zone with it."""
    text = svg.decode()
    size = re.search(r'viewBox="0 0 (\d+) (\d+)"', text)
    assert size is not None
    rows = [[0] * int(size.group(1)) for _ in range(int(size.group(2)))]
    dark = text.split('fill="#000" d="')[1].split('"')[0]
    for x, y, wide in re.findall(r"M(\d+) (\d+)h(\d+)v1h-\d+z", dark):
        for step in range(int(wide)):
            rows[int(y)][int(x) + step] = 1
    return rows


@pytest.mark.parametrize("text", ["job HF-2031; box B01", f"{ADDRESS}/boxes/b01.html", "Ключ 中文; box Ü", "x" * 900])
def test_the_drawn_code_is_the_code_of_its_text(text: str) -> None:
    """ISO/IEC 18004: the modules of a code for this text, four clear ones around, correction M or better."""
    code = scan_code(text, "shorter")
    expected = segno.make(text, error="m", micro=False)
    assert expected.error in ("M", "Q", "H")
    rows = modules_of(code.svg)
    assert rows == [list(row) for row in expected.matrix_iter(border=QUIET_MODULES)]
    assert code.modules == len(rows)


def test_words_too_long_for_any_code_give_way_to_shorter_ones() -> None:
    """ISO/IEC 18004: the largest code holds 2331 bytes at correction M."""
    assert scan_code("x" * 2331, "short").text == "x" * 2331
    assert scan_code("x" * 2332, "short").text == "short"


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="pdftoppm is not installed, pages cannot be looked at")
@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_no_page_is_blank_or_runs_to_the_edge_of_the_paper(paper: Paper, tmp_path: Path) -> None:
    """Nothing within 3 mm of the edge, which common printers leave white; something in the middle."""
    (tmp_path / "c.pdf").write_bytes(printed(DEMO, paper))
    command = ["pdftoppm", "-r", "50", "-l", "12", "-gray", str(tmp_path / "c.pdf"), str(tmp_path / "page")]
    subprocess.run(command, check=True, stderr=subprocess.DEVNULL)
    pictures = sorted(tmp_path.glob("page*.pgm"))
    assert len(pictures) == 12
    edge = int(3 / 25.4 * 50)
    for picture in pictures:
        _, size, _, pixels = picture.read_bytes().split(b"\n", 3)
        width, height = map(int, size.split())
        rows = [pixels[start : start + width] for start in range(0, width * height, width)]
        rim = [*rows[:edge], *rows[-edge:], *(row[:edge] + row[-edge:] for row in rows)]
        assert min(map(min, rim)) > 250, f"{picture.name} runs to the edge"
        assert min(map(min, rows[height // 10 : -height // 10])) < 128, f"{picture.name} is blank"
