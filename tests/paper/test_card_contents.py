"""What a card asks for, before it is printed: marks, holds, cautions, places to write, the code to scan."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
import zxingcpp

from book_samples import DEMONSTRATION, LINKS, RING
from paper.card_samples import SMALL, book, cards_of, edited
from samples import REPOSITORY
from shared import short
from slackloop.document.boxes.card import CardMaker, code_text
from slackloop.document.boxes.stages import stops_of
from slackloop.document.worked import work
from slackloop.pipeline.handbook_folder import context_of
from slackloop.render.typst.cards import QUIET_MODULES, scan_code
from slackloop.sections.inspection_points import CROSSED
from slackloop.sections.section import Check

ADDRESS = "https://example.org/heron-fold"
MOST_TICKS, MOST_MARKS = 14, 24


@pytest.mark.parametrize("job", short([DEMONSTRATION, LINKS, RING, SMALL], DEMONSTRATION, RING, SMALL))
def test_no_card_asks_for_more_marks_than_somebody_will_make(job: Path) -> None:
    """At most 14 ticks and 24 marks of every kind, at every box of every job."""
    for card in CardMaker(context_of(work(job))).cards():
        assert card.ticks <= MOST_TICKS, card.id
        assert card.marks <= MOST_MARKS, card.id


def test_the_test_comes_before_the_splice_and_its_hold_before_the_fill() -> None:
    """The rows follow the work, and the hold for the fill belongs to the test; leave to cross heads the run."""
    context = book(DEMONSTRATION).context
    crossing = {run.to_id for run in context.network.runs if run.surface in CROSSED and not run.in_old_sleeve}
    assert len(crossing) > 3
    for card in cards_of(book(DEMONSTRATION)):
        names = [stage.title for stage in card.stages]
        assert names == [name for name in ("Run", "Test", "Splice", "Device", "Close") if name in names]
        holds = {stage.title: [hold.id for hold in stage.holds] for stage in card.stages if stage.holds}
        assert holds.get("Run", []) == (["C-CROSS-3"] if card.id in crossing else [])
        assert set(holds) <= {"Run", "Test"}
        assert "C-TEST-4" in holds["Test"]


@pytest.mark.parametrize(("where", "stage", "stops"), [
    ("each-crossing", "run", "cross"), ("each-run", "run", "work"), ("each-run", "test", "fill"),
    ("each-crossing", "test", "fill"), ("each-box", "splice", "work"),
])  # fmt: skip
def test_each_kind_of_hold_stops_what_comes_after_it(where: str, stage: str, stops: str) -> None:
    held = {"id": "C-X-1", "title": "x", "method": "record", "limit": "x", "proves": ("R-X-1",), "record": "sign",
            "where": where, "stage": stage}  # fmt: skip
    assert stops_of(Check.model_validate({**held, "hold": "hold"})) == stops
    assert stops_of(Check.model_validate({**held, "hold": "witness"})) == ""


def test_a_shared_trench_holds_the_fill_for_the_test_of_the_pipe(tmp_path: Path) -> None:
    held = {hold.id for stage in cards_of(book(DEMONSTRATION))[0].stages for hold in stage.holds}
    assert "C-FILL-PIPE" in held
    text = DEMONSTRATION.read_text(encoding="utf-8")
    shared = next(line for line in text.splitlines() if "shared_with_pipe" in line)
    own = edited(tmp_path, (shared + "\n", ""), job=DEMONSTRATION)
    assert "C-FILL-PIPE" not in {hold.id for stage in cards_of(own)[0].stages for hold in stage.holds}


def test_what_fill_or_sealant_hides_is_never_only_covered() -> None:
    """Bed, cable, splices and rods: written, signed for or ticked, since nobody can look again."""
    hidden = {"C-TRENCH-2", "C-LAY-2", "C-LAY-4", "C-SPLICE-1", "C-SPLICE-3", "C-SPLICE-4", "C-SPLICE-5", "C-PREP-1",
              "C-JACKET-1", "C-EARTH-1", "C-EARTH-3", "C-FILL-2", "C-FILL-4", "C-BUR-4"}  # fmt: skip
    records = {check.id: check.record for section in book(DEMONSTRATION).context.sections for check in section.checks}
    assert {name for name in hidden if records[name] == "covered"} == set()


def test_places_to_write_are_large_enough_for_a_cold_hand() -> None:
    """30 mm by 10 mm at least, as the look states them."""
    look = (REPOSITORY / "content" / "print" / "card-back.typ").read_text(encoding="utf-8")
    sizes = {name: float(mm) for name, mm in re.findall(r"#let ([a-z-]+(?:width|height)) = ([\d.]+)mm", look)}
    assert sizes["box-width"] >= 30
    assert sizes["sign-width"] >= 30
    assert sizes["box-height"] >= 10


def test_cautions_are_those_of_this_box_alone() -> None:
    """Rods are named where rods are driven, and nowhere else."""
    source = book(DEMONSTRATION)
    places = {each.where for each in source.analysis.electrodes.places}
    title = source.context.content.words.cautions["driven-rod"].title
    for card in cards_of(source):
        assert (title in [each.title for each in card.watch]) == (card.id in places)


def test_a_code_opens_the_page_of_its_box_or_says_which_card_it_is() -> None:
    source = book(DEMONSTRATION)
    card, header = cards_of(source)[0], source.header
    opened = f"{ADDRESS}/boxes/b01.html?job={header.number}&revision=B&fingerprint={header.fingerprint[:12]}"
    assert code_text(ADDRESS, header, card) == code_text(ADDRESS + "/", header, card) == opened
    assert code_text("", header, card) == (
        f"job {header.number}; revision {header.revision}; fingerprint {header.fingerprint[:12]}; box B01"
    )
    assert card.page in {page.id for page in source.pages}


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


@pytest.mark.parametrize(
    "text",
    ["job HF-2031; box B01", f"{ADDRESS}/boxes/b01.html", "Ключ 中文; box Ü", r"[\x41] \\d %20 ~ ^029 🌊", "x" * 900],
)
def test_the_drawn_code_is_the_code_of_its_text(text: str) -> None:
    """ISO/IEC 18004, read by a reader of codes: the text, four clear modules around, correction M or better."""
    code = scan_code(text, "shorter")
    rows = modules_of(code.svg)
    picture = np.kron(255 - 255 * np.array(rows, dtype=np.uint8), np.ones((4, 4), dtype=np.uint8))
    (read,) = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
    assert (read.text, read.ec_level in ("M", "Q", "H")) == (text, True)
    around = np.array(rows, dtype=np.uint8)
    around[QUIET_MODULES:-QUIET_MODULES, QUIET_MODULES:-QUIET_MODULES] = 0
    assert not around.any()
    plain = zxingcpp.create_barcode(text, zxingcpp.BarcodeFormat.QRCode, ec_level="M")
    assert np.array(plain.to_image(scale=1, add_quiet_zones=False)).shape[0] == len(rows) - 2 * QUIET_MODULES


def test_words_too_long_for_any_code_give_way_to_shorter_ones() -> None:
    """ISO/IEC 18004: the largest code holds 2331 bytes at correction M."""
    assert scan_code("x" * 2331, "short").text == "x" * 2331
    assert scan_code("x" * 2332, "short").text == "short"


def test_an_end_box_asks_for_volts_off_and_under_load_with_what_is_computed_for_each() -> None:
    """B20 is the worst box: 35.7 V with all outputs off, and 27.09 V at worst, which a meter may show as 26.72 V.

    Off, a meter may show 1 % and 0.1 V too much at the controller and too little here: 0.22 V lost, 0.46 V, 0.458 V.
    """
    (card,) = [card for card in cards_of(book(DEMONSTRATION)) if card.id == "B20"]
    volts = {each.ids[0]: each for each in card.stages[-1].entries}
    assert [(each.label, each.limit, each.after, each.least) for each in volts.values()] == [
        ("Volts, outputs off, about 35.7 V", "1.1 V", "or less below the controller", 35.4),
        ("Volts under load", "26.8 V", "or more", 26.8),
    ]
    assert list(volts) == ["C-POWER-2", "C-POWER-LOAD"]
