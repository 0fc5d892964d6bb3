"""The cards as a crew gets them: words, figures, sizes, marks, sides that fit, bytes."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from collections.abc import Mapping
from pathlib import Path

import pypdf
import pytest

from book_samples import DEMONSTRATION, RING, book_of
from paper.card_samples import SMALL, book, cards_of, edited, made, made_in_spanish, pages, squeezed
from pdf_text import sizes_of
from shared import short
from slackloop.document.boxes.card import FIRST_WORD
from slackloop.document.boxes.stages import STAGE_CAUTIONS, TEST_CAUTIONS
from slackloop.render.typst.book import Paper
from slackloop.sections.inspection_points import id_spans

HOSTILE = '#panic("x") ]$*_`<b>&amp; \\" {{ v }} // @r'
PAPERS: tuple[Paper, ...] = ("a4", "us-letter")
LEAST_TEXT_PT, LEAST_CODE_PT, LEAST_NUMBER_PT = 11.0, 8.0, 40.0


@pytest.fixture(scope="module")
def demo_cards(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, bytes]:
    """The demonstration's cards on each paper, printed when they are first asked for."""

    class Papers(dict[str, bytes]):
        def __missing__(self, paper: Paper) -> bytes:
            self[paper] = made(book(DEMONSTRATION), tmp_path_factory.mktemp("cards"), paper)
            return self[paper]

    return Papers()


def test_what_a_hold_keeps_from_being_done_is_said_at_it(demo_cards: Mapping[str, bytes]) -> None:
    """Leave to cross is no leave to fill: the back says which of the two waits."""
    source, backs = book(DEMONSTRATION), squeezed("".join(pages(demo_cards["a4"])))
    stops = [hold.stops for card in cards_of(source) for stage in card.stages for hold in stage.holds]
    assert {hold.stops for card in cards_of(source) for hold in card.stages[0].holds} == {"cross"}
    assert backs.count(squeezed("Do not cut yet.")) == stops.count("cross") > 3
    assert backs.count(squeezed("Do not fill yet.")) == len(cards_of(source))


def test_the_insulation_test_is_warned_of_in_the_words_of_the_caution(demo_cards: Mapping[str, bytes]) -> None:
    source, backs = book(DEMONSTRATION), squeezed("".join(pages(demo_cards["a4"])))
    first, second = (source.context.content.words.cautions[name] for name in TEST_CAUTIONS)
    assert "tester discharge it" in second.card
    told = f"{first.title}. {first.card} {second.title}. {second.card}"
    for card in cards_of(source):
        for stage in card.stages:
            ids = {name for entry in stage.entries for name in entry.ids}
            assert bool(stage.warned) == ("C-TEST-1" in ids or stage.id in STAGE_CAUTIONS)
    assert backs.count(squeezed(told)) == len(cards_of(source))


def test_every_loop_reading_says_lock_off_and_which_meter_never(demo_cards: Mapping[str, bytes]) -> None:
    source, backs = book(DEMONSTRATION), squeezed("".join(pages(demo_cards["a4"])))
    lock, meter = (source.context.content.words.cautions[name] for name in STAGE_CAUTIONS["test"])
    assert "Lock off." in lock.card
    assert "never the insulation tester" in meter.card
    told = f"{lock.title}. {lock.card} {meter.title}. {meter.card}"
    assert backs.count(squeezed(told)) == len(cards_of(source))


def test_a_splice_is_made_after_the_insulation_test(demo_cards: Mapping[str, bytes]) -> None:
    """And after the loop is read again; at an end of the path the volts come between, and its own run is tested."""
    ends = sum(not children for children in book(DEMONSTRATION).context.network.children)
    words = squeezed("".join(pages(demo_cards["a4"])))
    cautions = book(DEMONSTRATION).context.content.words.cautions
    assert "every run here has passed it and the loop after the fill is read" in cautions["untested-run"].card
    assert "Lock off. Prove it dead. Then splice." in cautions["open-end"].text
    assert "locked, proved dead. Then splice." in cautions["open-end"].card
    told, at_ends = (words.count(squeezed(cautions[name].card)) for name in ("untested-run", "open-end"))
    assert (told, at_ends) == (len(cards_of(book(DEMONSTRATION))) - ends, ends)


def test_an_end_is_read_with_a_guard_and_by_the_handles(demo_cards: Mapping[str, bytes]) -> None:
    """Its bare cores are the only ones that are live: the row of the volts says so, on its card and its page."""
    source = book(DEMONSTRATION)
    ends = [card.id for card in cards_of(source) if any(each.waits.startswith("Live cores.") for each in card.stages)]
    network = source.context.network
    assert ends == [box for box, on in zip(network.boxes, network.children, strict=True) if not on]
    words = squeezed("".join(pages(demo_cards["a4"])))
    assert words.count(squeezed("Live cores. Guard. Probes by the handles.")) == len(ends)


@pytest.mark.parametrize("paper", short(PAPERS, "a4"))
def test_two_cards_share_a_sheet_and_backs_lie_behind_their_fronts(paper: str, demo_cards: Mapping[str, bytes]) -> None:
    """After the list, pages come in pairs: two fronts, then their two backs in the same halves."""
    found = pages(demo_cards[paper])
    ids = book(DEMONSTRATION).analysis.network.boxes
    sheets = found[-len(ids) :]
    assert (len(found) - len(sheets)) % 2 == 0, "the list takes whole sheets, so that fronts are on odd pages"
    for number in range(0, len(ids), 2):
        front, back = sheets[number], sheets[number + 1]
        for place, name in enumerate(ids[number : number + 2], number + 1):
            assert f"card {place} of {len(ids)}" in front
            assert re.search(rf"\b{name}\b", front)
            assert re.search(rf"\b{name}\b", back)
        assert back.count("Notes") == 2
        assert back.count("STOP: HOLD") - back.count("Do not cut yet.") == 2


def test_a_card_says_what_was_computed(demo_cards: Mapping[str, bytes]) -> None:
    """Each limit on the printed back is the one that was computed, rounded to its stricter side."""
    source = book(DEMONSTRATION)
    sheets = pages(demo_cards["a4"])[-len(source.analysis.network.boxes) :]
    for index, reading in enumerate(source.analysis.loops.opened):
        back = squeezed(sheets[index - index % 2 + 1])
        told = [(float(low), float(high)) for low, high in re.findall(r"(\d+\.\d\d)to(\d+\.\d\d)Ω", back)]
        for limit in (reading.limits[0], reading.limits[-1]):
            assert any(
                -1e-9 <= low - limit.low_ohms < 0.01 and -1e-9 <= limit.high_ohms - high < 0.01 for low, high in told
            ), source.analysis.network.boxes[index]


@pytest.mark.parametrize("paper", short(PAPERS, "a4"))
def test_no_text_is_too_small_to_read_wet(paper: str, demo_cards: Mapping[str, bytes]) -> None:
    """On a back: codes 8 pt at least, all else but the document's own facts 11 pt. On a front: the number 40 pt."""
    count = len(book(DEMONSTRATION).analysis.network.boxes)
    for number, sizes in enumerate(sizes_of(demo_cards[paper])[-count:]):
        if number % 2 == 0:
            assert max(sizes) >= LEAST_NUMBER_PT
            continue
        assert min(sizes) >= LEAST_CODE_PT, sizes[min(sizes)]
        small = "".join(text for size, text in sizes.items() if size < LEAST_TEXT_PT)
        small = re.sub(r"C-[A-Z0-9-]+|SOIL-C|HOLD|WITNESS|[A-Z0-9-]+ · rev\. .*?back", "", " ".join(small.split()))
        assert not re.search(r"[A-Za-z]{3}", small), small


@pytest.mark.parametrize(
    "name",
    ["\U0001f4a7\U0001f9d1\u200d\U0001f527\U0001f469\U0001f3fd\u200d\U0001f692 pump",
     r"\u202eevil\u202c\u200b\u2066x\u2069 pump"],
    ids=["joined pictures", "turned text"],
)  # fmt: skip
def test_a_name_that_the_press_cannot_lay_out_is_printed_without_what_is_odd(name: str, tmp_path: Path) -> None:
    source = edited(tmp_path, ("{id: K1,", f'{{id: K1, name: "{name}",'))
    assert "pump" in "".join(pages(made(source, tmp_path)))


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext is not installed, words cannot be placed")
@pytest.mark.parametrize("paper", PAPERS)
def test_every_side_stays_in_its_half(paper: str, demo_cards: Mapping[str, bytes], tmp_path: Path) -> None:
    """No word lies across the cut; every back has three lines for notes on its own half."""
    check_halves(demo_cards[paper], tmp_path, "Notes")


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext is not installed, words cannot be placed")
def test_spanish_cards_are_as_large_and_have_as_many_lines(tmp_path: Path) -> None:
    source = book(DEMONSTRATION)
    data = made_in_spanish(source, tmp_path)
    check_halves(data, tmp_path, "Notas")
    for sizes in sizes_of(data)[-len(source.analysis.network.boxes) + 1 :: 2]:
        assert min(sizes) >= LEAST_CODE_PT
        small = " ".join("".join(text for size, text in sizes.items() if size < LEAST_TEXT_PT).split())
        small = re.sub(r"C-[A-Z0-9-]+|SOIL-C|ESPERA|PRESENCIA|[A-Z0-9-]+ · rev\. .*?reverso", "", small)
        assert not re.search(r"[A-Za-z]{3}", small), small


def check_halves(data: bytes, tmp_path: Path, notes_word: str) -> None:
    (tmp_path / "c.pdf").write_bytes(data)
    asked = ["pdftotext", "-bbox", str(tmp_path / "c.pdf"), str(tmp_path / "c.html")]
    subprocess.run(asked, check=True, capture_output=True)
    every = re.split(r"<page ", (tmp_path / "c.html").read_text(encoding="utf-8"))[1:]
    count = len(book(DEMONSTRATION).analysis.network.boxes)
    wide = 0
    for number, page in enumerate(every[-count:]):
        size = re.match(r'width="([\d.]+)" height="([\d.]+)"', page)
        assert size
        tall = float(size[2])
        words = re.findall(r'<word xMin="[\d.]+" yMin="([\d.]+)" xMax="[\d.]+" yMax="([\d.]+)">([^<]*)<', page)
        for top, bottom, word in words:
            assert not float(top) + 2 < tall / 2 < float(bottom) - 2, word
            assert float(bottom) <= tall
        if number % 2:
            notes = [float(top) for top, _, word in words if word == notes_word]
            line_pt = 4.0 * 72 / 25.4
            assert notes[0] + line_pt < tall / 2 < notes[1]
            assert notes[1] + line_pt < tall
            wide += (notes[0] + 3 * line_pt < tall / 2) + (notes[1] + 3 * line_pt < tall)
    assert wide == count, "three lines for notes"


def test_findings_and_the_note_of_a_box_are_on_its_card(demo_cards: Mapping[str, bytes]) -> None:
    source = book(DEMONSTRATION)
    whole = squeezed("".join(pages(demo_cards["a4"])))
    told = [each.text for card in cards_of(source) for each in card.watch]
    assert told
    assert [text for text in told if squeezed(text) not in whole] == []
    assert squeezed(FIRST_WORD) in whole


def test_a_run_that_closes_a_ring_has_a_card_with_its_own_limits(tmp_path: Path) -> None:
    source = book(RING)
    cards = {card.id: card for card in cards_of(source)}
    assert source.analysis.network.closures
    for run, reading in zip(source.analysis.network.closures, source.analysis.loops.closures, strict=True):
        card = cards[run.id]
        assert card.kind == "run"
        test = next(stage for stage in card.stages if stage.id == "test")
        assert len(test.bands) == min(3, len(reading.limits))
        assert test.holds
    assert "Run that closes a ring" in "".join(pages(made(source, tmp_path)))


def test_a_draft_and_a_failing_job_are_marked_on_every_side(tmp_path: Path) -> None:
    draft = pages(made(book(SMALL), tmp_path))
    assert all("DRAFT" in page for page in draft if page.strip())
    failing = edited(tmp_path, ("run: 31 m", "run: 31000 m"))
    assert failing.analysis.verdict == "fail"
    found = pages(made(failing, tmp_path))
    assert all("FAILS ITS CHECK" in page for page in found if page.strip())
    assert any("Do not build from this card" in page for page in found)


def test_a_box_where_many_runs_meet_keeps_everything(tmp_path: Path) -> None:
    """Five cable ends, no device, the longest id and a long name: set smaller, nothing left out."""
    long_id, long_name = "L" * 40, "Name " * 24
    extra = "".join(f"\n    - {{id: N{number}, from: K3, run: 9 m, surface: road}}" for number in range(1, 4))
    text = SMALL.read_text(encoding="utf-8")
    start = text.index("    - {id: K3,")
    old = text[start : text.index("}", start) + 1]
    new = (
        f"    - {{id: K3, from: K2, run: 31 m, surface: lawn, name: '{long_name.strip()}'}}"
        f"\n    - {{id: {long_id}, from: K3, run: 9 m, surface: lawn}}{extra}"
    )
    whole = squeezed("".join(pages(made(edited(tmp_path, (old, new)), tmp_path))))
    assert long_id in whole
    assert squeezed(long_name) in whole
    for number in range(1, 4):
        assert f"toN{number}" in whole


def test_hostile_words_are_printed_as_they_are(tmp_path: Path) -> None:
    quoted = "'" + HOSTILE.replace("'", "''") + "'"
    source = edited(tmp_path, ("id: K1,", f"id: K1, name: {quoted}, note: {quoted},"))
    assert squeezed("".join(pages(made(source, tmp_path)))).count(squeezed(HOSTILE)) >= 2


def test_the_same_book_gives_the_same_bytes(tmp_path: Path) -> None:
    assert made(book(SMALL), tmp_path) == made(book_of(SMALL), tmp_path)


def test_the_pdf_is_archival_and_says_what_it_is(demo_cards: Mapping[str, bytes]) -> None:
    reader = pypdf.PdfReader(io.BytesIO(demo_cards["a4"]))
    xmp = reader.root_object["/Metadata"].get_object().get_data().decode()  # type: ignore[union-attr]
    assert "<pdfaid:part>3</pdfaid:part>" in xmp
    assert "<pdfaid:conformance>A</pdfaid:conformance>" in xmp
    header = book(DEMONSTRATION).header
    assert reader.metadata is not None
    assert reader.metadata.title == f"{header.number} {header.title}, box cards"


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="pdftoppm is not installed, pages cannot be looked at")
@pytest.mark.parametrize("paper", short(PAPERS, "a4"))
def test_nothing_but_the_cut_line_runs_to_the_edge_of_the_paper(
    paper: str, demo_cards: Mapping[str, bytes], tmp_path: Path
) -> None:
    """Nothing within 3 mm of the edge, which common printers leave white, the line to cut along apart."""
    (tmp_path / "c.pdf").write_bytes(demo_cards[paper])
    command = ["pdftoppm", "-r", "50", "-f", "3", "-l", "10", "-gray", str(tmp_path / "c.pdf"), str(tmp_path / "page")]
    subprocess.run(command, check=True, stderr=subprocess.DEVNULL)
    edge = int(3 / 25.4 * 50)
    for picture in sorted(tmp_path.glob("page*.pgm")):
        _, size, _, pixels = picture.read_bytes().split(b"\n", 3)
        width, height = map(int, size.split())
        rows = [pixels[start : start + width] for start in range(0, width * height, width)]
        cut = range(height // 2 - 2, height // 2 + 3)
        rim = [*rows[:edge], *rows[-edge:]]
        rim += [row[:edge] + row[-edge:] for place, row in enumerate(rows) if place not in cut]
        assert min(map(min, rim)) > 250, picture.name


def test_a_card_names_every_check_that_the_signature_of_a_row_covers(demo_cards: Mapping[str, bytes]) -> None:
    """Ids that differ in their last number alone are told together, so that all of them have room."""
    mixed = id_spans(["C-A-3", "C-A-1", "C-B-2", "C-A-2", "C-B-3", "C-A-7", "C-C-X"])
    assert mixed == ("C-A-1–3, 7", "C-B-2, 3", "C-C-X")
    source, found = book(DEMONSTRATION), [squeezed(page) for page in pages(demo_cards["a4"])]
    checks = [check for applied in source.context.sections for check in applied.checks]
    covered = {check.id for check in checks if check.record == "covered"}
    named: set[str] = set()
    for card in cards_of(source):
        back = next(page for page in found if f"{card.id}Runfrom" in page)
        for stage in card.stages:
            named |= {*stage.covered}
            for span in stage.printed_codes:
                assert squeezed(span) in back, (card.id, span)
    assert named == covered & {check.id for check in checks if check.stage}
    assert len(named) > 12


def test_what_is_made_after_a_row_is_signed_has_a_signature_of_its_own(demo_cards: Mapping[str, bytes]) -> None:
    source, backs = book(DEMONSTRATION), squeezed("".join(pages(demo_cards["a4"])))
    fitted = [card for card in cards_of(source) if card.stages[-1].later]
    assert [[each.id for each in card.stages[-1].later] for card in fitted] == [["C-POWER-4"]] * 37
    assert backs.count(squeezed("Later: Each station operated")) == len(fitted)
    assert "C-POWER-4" not in [each.id for card in fitted for stage in card.stages for each in stage.ticks]
