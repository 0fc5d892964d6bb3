"""The splice drawing names every wire and draws it in the job's own colours."""

from __future__ import annotations

import re

import pytest
from drawing_reader import HOSTILE, assert_sound, part, texts

from slackloop.document.drawings.core_colour import HEX_BY_WORD, UNKNOWN, core_paint
from slackloop.document.drawings.splice import SpliceView, SpliceWire, splice_figure


def view(count: int, colour: str = "orange") -> SpliceView:
    wires = tuple(SpliceWire(f"run to B{n:02}", "14 AWG", colour) for n in range(count))
    return SpliceView("Core a", colour, wires, "Gel-filled sealed connector")


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5, 6])
def test_each_wire_is_drawn_once_with_origin_colour_and_size(count: int) -> None:
    figure = splice_figure("sp", "Splices in B02", [view(count), view(count, "pale moss")])
    assert_sound(figure)
    said = [text for text, _ in texts(figure)]
    assert sum(text == "orange, 14 AWG" for text in said) == count
    assert sum(text == "pale moss, 14 AWG" for text in said) == count
    assert len(re.findall(r'id="sp-splice1-wire\d+"', figure.svg)) == count
    assert figure.svg.count(f'stroke="{HEX_BY_WORD["orange"]}"') == count
    assert figure.svg.count(f'stroke="{UNKNOWN}"') == count


def test_every_wire_ends_inside_its_connector() -> None:
    figure = splice_figure("sp", "Splices", [view(6)])
    frame = part(figure, "splice1-connector")
    ys = (float(frame["y"]), float(frame["y"]) + float(frame["height"]))
    for wire in range(1, 7):
        end = float(part(figure, f"splice1-wire{wire}")["d"].rsplit(" ", 1)[1])
        assert min(ys) < end < max(ys)


def test_a_cut_name_stands_in_full_in_the_description() -> None:
    long_name = "run to the box behind the old potting shed by the north wall"
    splice = SpliceView("Core a", "red", (SpliceWire(long_name, "2.5 mm2", "a colour of very many words"),), "Cap")
    figure = splice_figure("sp", "Splices", [splice])
    assert_sound(figure)
    assert long_name in figure.description
    assert any(text.endswith("…, 2.5 mm2") for text, _ in texts(figure))


def test_a_box_without_splices_says_so() -> None:
    figure = splice_figure("sp", "Splices", [])
    assert_sound(figure)
    assert "No splice" in figure.description


def test_hostile_names_stay_text() -> None:
    wire = SpliceWire(HOSTILE, HOSTILE, HOSTILE)
    assert_sound(splice_figure("sp", HOSTILE, [SpliceView(HOSTILE, HOSTILE, (wire, wire), HOSTILE)]))


@pytest.mark.parametrize(
    ("word", "base", "band"),
    [
        ("Blue", HEX_BY_WORD["blue"], ""),
        ("blue/white", HEX_BY_WORD["blue"], HEX_BY_WORD["white"]),
        ("green-yellow", HEX_BY_WORD["green"], HEX_BY_WORD["yellow"]),
    ],
)
def test_a_plain_word_gives_its_colour(word: str, base: str, band: str) -> None:
    paint = core_paint(word)
    assert (paint.base, paint.band, paint.known) == (base, band, True)


@pytest.mark.parametrize("word", ["pale moss", "blue/", "red/white/blue", "light blue", "/", "<b>", "ROT"])
def test_any_other_word_gives_grey(word: str) -> None:
    paint = core_paint(word)
    assert (paint.base, paint.known) == (UNKNOWN, False)
    assert not paint.band
