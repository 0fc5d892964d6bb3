"""Colours of cores: each wire has its own cable's, and colours that would join the wrong cores are found."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from book_samples import book_of_worked, page_of, pages_of
from samples import job_text
from slackloop.document.blocks import Drawing
from slackloop.document.book import Book
from slackloop.document.boxes.box_drawing import BoxDrawings
from slackloop.document.boxes.card import CardMaker
from slackloop.document.walk import walk
from slackloop.document.worked import Worked, work
from slackloop.render.workbook.workbook import table_files

CABLES = """\
  trunk: {{conductor: 12 AWG, build: solid, cores: {{a: {a}, b: {b}}}, jacket: polyethylene, jacket_od: 11 mm,
          reel: 750 m}}
  leads: {{conductor: 16 AWG, build: solid, cores: {{a: {lead}, b: violet}}, jacket: polyethylene, jacket_od: 8 mm,
          reel: 150 m}}
"""
BOXES = [
    "{id: T1, from: controller, run: 40 m, surface: lawn, cable: trunk}",
    "{id: B1, from: T1, run: 30 m, surface: lawn, device: one, stations: [1], lead: 12 m}",
    "{id: B2, from: T1, run: 30 m, surface: lawn, device: one, stations: [2]}",
]


def worked(folder: Path, a: str = "white", b: str = "black", lead: str = "pink") -> Worked:
    text = job_text(BOXES).replace("devices:\n", CABLES.format(a=a, b=b, lead=lead) + "devices:\n", 1)
    path = folder / "job.yml"
    path.write_text(text.replace("  solenoid: valve\n", "  solenoid: valve\n  lead_cable: leads\n"), encoding="utf-8")
    return work(path)


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    return book_of_worked(worked(tmp_path_factory.mktemp("colours")))


def test_each_wire_of_a_splice_has_its_own_cable_s_colour(book: Book) -> None:
    first, second = book.analysis.splices[book.context.network.index["T1"]]
    assert [wire.colour for wire in first.wires] == ["white", "orange", "orange"]
    assert [wire.colour for wire in second.wires] == ["black", "grey", "grey"]


def test_the_drawing_of_a_branch_box_names_each_cable_s_colour(book: Book) -> None:
    drawing = BoxDrawings(book.context).wiring(book.context.network.index["T1"])
    assert re.search(r"Run from controller, [^:]*12 AWG[^:]*: core a white, core b black\.", drawing.description)
    assert re.search(r"Run to B1, [^:]*14 AWG[^:]*: core a orange, core b grey\.", drawing.description)
    assert not re.search(r"white \+ orange", drawing.description)


def test_tables_files_and_text_tell_colours_apart(book: Book) -> None:
    pages = pages_of(book)
    (wiring,) = [each for each in walk(page_of(book, "boxes/t1").blocks) if isinstance(each, Drawing)]
    assert re.search(r"Run from controller, [^:]*12 AWG[^:]*: core a white, core b black\.", wiring.description)
    assert re.search(r"Run to B1, [^:]*14 AWG[^:]*: core a orange, core b grey\.", wiring.description)
    assert "12 AWG run in (white), 2 × 14 AWG run out (orange)" in pages["tables/splices"]
    assert "12 AWG run in (black), 2 × 14 AWG run out (grey)" in pages["tables/splices"]
    lines = next(data for name, data in table_files(book).items() if name.endswith("each-splice.csv")).decode()
    assert "12 AWG white run from controller; 14 AWG orange run to B1" in lines
    assert book.context.values.core_a == "orange (14 AWG) or white (12 AWG)"
    assert book.context.values.core_pairs == "orange and grey (14 AWG) or white and black (12 AWG)"
    assert "orange and grey (14 AWG) or white and black (12 AWG)" in pages["method/laying-the-cable"]


def test_the_card_names_the_lead_cable_and_its_cores(book: Book) -> None:
    cards = {card.id: {fact.label: fact.more for fact in card.facts} for card in CardMaker(book.context).cards()}
    assert cards["B1"]["Stations"].endswith("of 16 AWG cable (a pink, b violet)")
    assert "pink" not in cards["B2"]["Stations"]


def codes(job: Worked) -> dict[str, tuple[str, ...]]:
    return {each.code: each.of for each in job.findings if each.code in ("cores-swapped", "lead-colour-alike")}


@pytest.mark.parametrize(
    ("colours", "found"),
    [
        ({}, {}),
        ({"a": "orange", "b": "grey"}, {}),
        ({"a": "grey", "b": "orange"}, {"cores-swapped": ("T1",)}),
        ({"a": "white", "b": "Orange"}, {"cores-swapped": ("T1",)}),
        ({"a": "gray", "b": "black"}, {"cores-swapped": ("T1",)}),
        ({"lead": "grey"}, {"lead-colour-alike": ("B1",)}),
        ({"lead": "white"}, {}),
    ],
)
def test_colours_that_would_join_the_wrong_cores_are_found(
    tmp_path: Path, colours: dict[str, str], found: dict[str, tuple[str, ...]]
) -> None:
    assert codes(worked(tmp_path, **colours)) == found


def test_swapped_pairs_are_told_with_all_four_colours(tmp_path: Path) -> None:
    (finding,) = [each for each in worked(tmp_path, "grey", "orange").findings if each.code == "cores-swapped"]
    assert "main: a orange, b grey; trunk: a grey, b orange" in finding.message
    assert finding.hint.endswith("write cores: {a: orange, b: grey}")
