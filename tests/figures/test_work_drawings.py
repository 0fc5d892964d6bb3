"""Pictures of work: small, with each label plainly for its own mark, and one or more at steps of every section."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path

import pytest
from placement_check import SVG, faults, labels_of

from book_samples import DEMONSTRATION, LINKS, demonstration
from shared import short
from slackloop.document.blocks import Drawing
from slackloop.document.book import work_values
from slackloop.document.drawings.wire_routes import HEX_BY_WORD, hatch_colour
from slackloop.document.drawings.work import WORK_DRAWINGS, work_drawings
from slackloop.document.drawings.work.sketch import COPPER, DARK, LIGHT, MID, PAPER, Sketch, WorkValues
from slackloop.document.inline import Text
from slackloop.document.inserts import FIGURES
from slackloop.document.walk import walk
from slackloop.document.worked import work
from slackloop.pipeline.handbook_folder import context_of
from slackloop.sections.content import read_content
from slackloop.sections.section import Insert, Step

CONTENT = Path(__file__).parents[2] / "content"
MOST_BYTES = 4500
LEAST_TEXT_PX = 12.0
"""9 pt at natural size."""
CAPTION_CHARACTERS = 48
TEXT_WIDE_MM = 176.0
LEAST_PRINTED_MM = 7 * 25.4 / 72
MOST_PRINTED_MM = 30.0
"""With its frame and two lines of caption a picture then stands about 40 mm high."""
USUAL = WorkValues(
    strip="16 mm (5/8 in)", slack="1.5 m (5 ft)", cover="450 mm (18 in)", depth="600 mm (24 in)",
    tape_depth="225 mm (9 in)", bedding="75 mm (3 in)", trench_width="150 mm (6 in)", spoil_back="0.6 m (2 ft)",
    clear_of_cable="2.4 m (8 ft)", insulation_volts="500 V", jacket="polyethylene", core_a="red", core_b="blue",
)  # fmt: skip
LONG = WorkValues(
    strip="12.5 mm (1/2 in)", slack="1000 mm (39 3/8 in)", cover="450 mm (17 3/4 in)", depth="1250 mm (49 1/4 in)",
    tape_depth="1025 mm (40 3/8 in)", bedding="101.5 mm (4 in)", trench_width="150 mm (5 7/8 in)",
    spoil_back="1200 mm (47 1/4 in)", clear_of_cable="2438 mm (96 in)", insulation_volts="1000 V",
    jacket="cross-linked polyethylene", core_a="red with white", core_b="turquoise with black", with_pipe=False,
)  # fmt: skip
UNITED_STATES = WorkValues(
    strip="5/8 in (16 mm)", slack="5 ft (1.5 m)", depth="24 in (610 mm)", tape_depth="9 in (229 mm)",
    bedding="3 in (76 mm)", spoil_back="2 ft (0.6 m)", clear_of_cable="8 ft (2.4 m)", insulation_volts="500 V",
)  # fmt: skip
WORDY = WorkValues(
    strip="as the sheet of the connector says, no less than 16 mm (5/8 in)", slack="1500 mm (4 ft 11 1/16 in) at least",
    depth="588 mm (23 1/2 in) to 738 mm (29 1/2 in)", tape_depth="between 225 mm (9 in) and 300 mm (12 in)",
    bedding="75 mm (3 in) of washed sand, graded, from the heap", spoil_back="the distance that your site rules state",
    clear_of_cable="one rod length, and never less than 2.4 m (8 ft)", insulation_volts="1000 V dc for one minute",
    jacket="<b>polyethylene</b>", core_a="red & white", core_b="the other one",
)  # fmt: skip
"""A value that is a range or a sentence: a picture that cannot hold it says where to look."""
JOBS = {"usual": USUAL, "long": LONG, "us": UNITED_STATES, "unknown": WorkValues(), "wordy": WORDY}


@cache
def pictures(name: str) -> tuple[tuple[str, Drawing], ...]:
    """The pictures of a drawing for each kind of job, with the job and the picture's own name."""
    shown = [(job, picture) for job, values in JOBS.items() for picture in work_drawings(name, values)]
    return tuple((f"{job}-{picture.id}", picture) for job, picture in shown)


def _caption(picture: Drawing) -> str:
    return "".join(part.text for part in picture.caption if isinstance(part, Text))


@pytest.mark.parametrize("name", WORK_DRAWINGS)
def test_each_label_is_plainly_for_its_own_mark(name: str) -> None:
    for told, picture in pictures(name):
        assert faults(picture) == [], told


@pytest.mark.parametrize("name", WORK_DRAWINGS)
def test_a_picture_is_small_and_told_in_words(name: str) -> None:
    for told, picture in pictures(name):
        assert len(picture.svg.encode()) <= MOST_BYTES, told
        assert picture.title
        assert picture.description.endswith(".")
        assert picture.description != picture.title
        assert 0 < len(_caption(picture)) <= CAPTION_CHARACTERS
        top = ET.fromstring(picture.svg)
        assert (top[0].text, top[1].text) == (picture.title, picture.description)
        assert {element.tag.removeprefix(SVG) for element in top.iter()} <= {
            "svg", "title", "desc", "line", "path", "rect", "circle", "text",
        }  # fmt: skip
        assert not re.search(r"nan|inf\b|url\(|class=", picture.svg)
        for element in top.iter(f"{SVG}text"):
            assert float(element.attrib["font-size"]) >= LEAST_TEXT_PX
            assert element.text


@pytest.mark.parametrize("name", WORK_DRAWINGS)
def test_tones_are_the_few_that_a_screen_can_turn_for_a_dark_page(name: str) -> None:
    for told, picture in pictures(name):
        used = {value for element in ET.fromstring(picture.svg).iter() for key in ("fill", "stroke")
                if (value := element.get(key))}  # fmt: skip
        of_cores = {value for value in used if value.startswith("#") and value == value.upper()}
        assert used - of_cores <= {"none", "currentColor", PAPER, LIGHT, MID, DARK, COPPER}, told
        shown = {HEX_BY_WORD["red"].upper(), HEX_BY_WORD["blue"].upper(), hatch_colour("red").upper()}
        assert of_cores <= shown


def test_cores_have_the_colours_of_the_jobs_cable() -> None:
    for name in ("score-or-cut", "jacket-past-the-wall", "set-the-scorer"):
        for picture in work_drawings(name, USUAL):
            assert HEX_BY_WORD["red"].upper() in picture.svg
            assert HEX_BY_WORD["blue"].upper() in picture.svg
        for picture in work_drawings(name, WorkValues(core_a="pale moss", core_b="blue")):
            assert HEX_BY_WORD["blue"].upper() not in picture.svg, "one known colour beside an unknown one misleads"


def test_letters_of_every_drawing_of_the_demonstration_are_printed_7_points_high() -> None:
    """A row of small pictures, a plan over the page, and what keeps its own size."""
    shown = [block for page in demonstration().pages for block in walk(page.blocks)
             if isinstance(block, Drawing) and page.paper and block.on != "screen"]  # fmt: skip
    assert {block.id for block in shown} >= {"site-plan", "path-diagram", "volts-along-path", "trench-section"}
    for block in shown:
        wide = block.paper_mm[0] if block.paper_mm else min(block.width_px * 25.4 / 96, TEXT_WIDE_MM)
        least = min(float(size) for size in re.findall(r'font-size="([\d.]+)"', block.svg))
        assert least * wide / block.width_px >= LEAST_PRINTED_MM, block.id


@pytest.mark.parametrize("name", WORK_DRAWINGS)
def test_printed_letters_are_7_points_at_least(name: str) -> None:
    for told, picture in pictures(name):
        assert picture.paper_mm is not None
        wide, tall = picture.paper_mm
        assert tall / wide == pytest.approx(picture.height_px / picture.width_px)
        least = min(float(element.attrib["font-size"]) for element in ET.fromstring(picture.svg).iter(f"{SVG}text"))
        assert least * wide / picture.width_px >= LEAST_PRINTED_MM, told
        assert tall <= MOST_PRINTED_MM


@pytest.mark.parametrize("job", JOBS)
def test_all_pictures_may_stand_on_one_page(job: str) -> None:
    ids = [picture.id for name in WORK_DRAWINGS for picture in work_drawings(name, JOBS[job])]
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("name", WORK_DRAWINGS)
def test_a_row_shows_wrong_work_only_beside_right_work(name: str) -> None:
    row = work_drawings(name, USUAL)
    verdicts = [picture.verdict for picture in row]
    assert 1 <= len(row) <= 3
    assert ("wrong" in verdicts) == ("right" in verdicts)
    assert verdicts.index("right") < verdicts.index("wrong") if "wrong" in verdicts else True
    wrong = [picture for picture in row if picture.verdict == "wrong"]
    assert all(picture.svg != row[0].svg and picture.description != row[0].description for picture in wrong)
    assert all('stroke-width="2.4" stroke-dasharray="5 3.4"' in p.svg or p.id == "work-waves-none" for p in wrong)


CONTENT_READ = read_content(CONTENT)
NAMED = {
    section.front.id: [
        name
        for group in section.groups
        for block in group.blocks
        for name in (block.figure if isinstance(block, Step) else (block.name,) if isinstance(block, Insert) else ())
        if isinstance(block, Step) or block.kind == "figure"
    ]
    for section in CONTENT_READ.sections
}
"""Section id to the drawings that it names, in the order of its steps."""


@pytest.mark.parametrize(
    "section", [each.front.id for each in CONTENT_READ.sections if each.front.part == "method"]
)
def test_every_section_of_the_method_shows_work_at_a_step(section: str) -> None:
    assert [name for name in NAMED[section] if name in WORK_DRAWINGS]


def test_every_drawing_is_used_and_every_name_is_a_drawing() -> None:
    named = {name for names in NAMED.values() for name in names}
    assert named == set(WORK_DRAWINGS) | set(FIGURES)


def test_a_section_names_no_drawing_twice_but_for_steps_of_which_one_applies() -> None:
    for section in CONTENT_READ.sections:
        named = [
            (name, step.applies) for step in section.steps for name in step.figure
        ]
        for name in {name for name, _ in named}:
            conditions = [condition for each, condition in named if each == name]
            assert len(conditions) == len(set(conditions)), (section.front.id, name)
            assert len(conditions) == 1 or "always" not in conditions, (section.front.id, name)


def test_each_picture_of_the_demonstration_stands_at_a_step_of_its_page_once() -> None:
    for page in demonstration().pages:
        ids = [block.id for block in walk(page.blocks) if isinstance(block, Drawing) and block.on != "paper"]
        assert len(ids) == len(set(ids)), page.id


def test_dimensions_are_those_of_the_job() -> None:
    for name, text in (
        ("bare-the-core", "16 mm (5/8 in)"), ("bared-in-the-connector", "16 mm (5/8 in)"),
        ("loop-of-slack", "1.5 m (5 ft)"), ("trench-depth", "600 mm (24 in)"), ("layers-and-tape", "225 mm (9 in)"),
        ("bed-the-cable", "bed 75 mm (3 in)"), ("spoil-back", "0.6 m (2 ft)"), ("rod-clear-of-cable", "2.4 m (8 ft)"),
        ("test-to-earth", "500 V"),
    ):  # fmt: skip
        shown = [label.text for label in labels_of(work_drawings(name, USUAL)[0])]
        assert text in shown, name


def test_a_value_that_does_not_fit_is_never_cut_short() -> None:
    shown = [
        label.text for name in WORK_DRAWINGS for picture in work_drawings(name, WORDY) for label in labels_of(picture)
    ]
    assert not [text for text in shown if "…" in text]
    assert {"dug depth", "kept back", "as on the pack", "as on the card"} <= set(shown)


def test_a_job_without_tape_shows_none() -> None:
    shown = [label.text for picture in work_drawings("layers-and-tape", WorkValues()) for label in labels_of(picture)]
    assert "tape" not in shown
    assert "bedding" in shown


def test_a_trench_without_a_pipe_shows_none() -> None:
    assert work_drawings("beside-the-pipe", LONG) == ()


def test_cores_are_told_apart_without_colour() -> None:
    """Core a has bands across it and core b has none, in the same two tones."""
    for name in ("jacket-past-the-wall", "fix-the-ends-apart", "part-the-pair", "short-and-read"):
        picture = work_drawings(name, USUAL)[0]
        banded = re.findall(r'<path d="([^"]+)"[^>]*stroke-width="7" stroke-dasharray="3 4"', picture.svg)
        of_b = HEX_BY_WORD["blue"].upper()
        plain = re.findall(rf'<path d="([^"]+)"[^>]*stroke="{of_b}" stroke-width="7"', picture.svg)
        assert banded
        assert plain
        assert not set(plain) & set(banded)
        if name != "part-the-pair":
            assert {"a", "b"} <= {label.text for label in labels_of(picture)}


@pytest.mark.parametrize(
    ("labels", "said"),
    [
        ([("word over the top", (90, 2), (90, 20))], "leaves the frame"),
        ([("one", (60, 60), (70, 66)), ("two", (64, 62), (70, 72))], "overlap"),
        ([("near", (60, 60), (140, 56)), ("far", (150, 100), (66, 66))], "nearer the mark"),
        ([("in the corner", (4, 14), (60, 60))], "the step's number"),
        ([("start", (40, 40), (180, 100)), ("between", (80, 70), (104, 90))], "a line crosses"),
    ],
)
def test_the_check_sees_a_label_in_the_wrong_place(
    labels: list[tuple[str, tuple[float, float], tuple[float, float]]], said: str
) -> None:
    sketch = Sketch("trial", "Trial", "Labels in the wrong place.")
    for text, at, mark in labels:
        sketch.label(text, at, mark)
    assert any(said in fault for fault in faults(sketch.drawing("Trial.")))


def test_a_label_shows_what_it_is_given_to_the_letter() -> None:
    sketch = Sketch("trial", "Trial", "A label with markup in it.")
    sketch.label("<b>&\"'", (60, 60), (60, 70))
    assert [label.text for label in labels_of(sketch.drawing("Trial."))] == ["<b>&\"'"]


KILN_COURT = DEMONSTRATION.with_name("kiln-court.yml")


@pytest.mark.parametrize(
    "path", short([DEMONSTRATION, LINKS, KILN_COURT], DEMONSTRATION, KILN_COURT), ids=lambda p: p.stem
)
def test_pictures_of_real_jobs_are_sound(path: Path) -> None:
    values = work_values(context_of(work(path)))
    assert [
        fault for name in WORK_DRAWINGS for picture in work_drawings(name, values) for fault in faults(picture)
    ] == []


def test_the_look_turns_every_tone_but_copper_for_a_dark_page() -> None:
    look = CONTENT.parent / "generator" / "slackloop" / "render" / "html" / "theme" / "assets" / "look" / "blocks.css"
    turned = re.findall(
        r'\[data-md-color-scheme="slate"\] svg\[id\^="work-"\] \[fill="(#\w+)"\]', look.read_text(encoding="utf-8")
    )
    assert set(turned) == {PAPER, LIGHT, MID, DARK}


def test_a_label_that_is_longer_in_another_language_stays_inside() -> None:
    sketch = Sketch("one", "One", "One.")
    for anchor, x in (("", 180.0), ("middle", 12.0), ("end", 20.0)):
        sketch.label("una palabra larga", (x, 40.0), (x, 60.0), anchor=anchor)
    assert not [each for each in faults(sketch.drawing("One.")) if "leaves the frame" in each]
