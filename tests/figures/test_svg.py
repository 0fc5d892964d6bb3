"""The builder: escape, ids, decimals, print ink, and how text is measured and cut."""

from __future__ import annotations

import pytest
from drawing_reader import HOSTILE, assert_sound, part, root
from hypothesis import given, settings
from hypothesis import strategies as st

from slackloop.document.drawings.lettering import ELLIPSIS, fit, text_width, value_lines, wrap
from slackloop.document.drawings.svg import INK, Canvas, escape, figure_id, number, rounded_route
from slackloop.render.typst.print_glyphs import print_svg


def test_any_text_stays_text() -> None:
    canvas = Canvas("f", HOSTILE, HOSTILE, 4000)
    canvas.text(0, 20, HOSTILE)
    figure = canvas.figure(30)
    assert_sound(figure)
    assert root(figure)[2].text == " ".join(HOSTILE.replace("\x00", "\ufffd").replace("\x1b", "\ufffd").split())


def test_print_ink_replaces_attributes_and_never_job_text() -> None:
    canvas = Canvas("f", "t", "d")
    canvas.text(0, 20, 'fill="currentColor"')
    canvas.line((0, 0), (1, 1))
    printed = print_svg(canvas.figure(30).svg)
    assert printed.count('="#000000"') == 2
    assert "fill=&quot;currentColor&quot;" in printed


@settings(deadline=None)
@given(st.text())
def test_escape_gives_well_formed_xml(text: str) -> None:
    canvas = Canvas("f", "t" + text, "d")
    assert (root(canvas.figure(1))[0].text or "").startswith("t")
    assert not set(escape(text)) & set("<>\"'")


def test_a_part_named_twice_is_refused() -> None:
    canvas = Canvas("f", "t", "d")
    canvas.line((0, 0), (1, 1), name="a")
    with pytest.raises(ValueError, match="two parts"):
        canvas.line((0, 0), (1, 1), name="a")


@pytest.mark.parametrize("bad", ["", "1a", "a b", 'a"', "a\n"])
def test_a_bad_figure_id_is_refused(bad: str) -> None:
    with pytest.raises(ValueError, match="figure id"):
        Canvas(bad, "t", "d")


@settings(deadline=None)
@given(st.text(), st.text())
def test_different_boxes_get_different_ids(one: str, other: str) -> None:
    assert (figure_id("wiring", one) == figure_id("wiring", other)) == (one == other)
    Canvas(figure_id("wiring", one), "t", "d")


@pytest.mark.parametrize(
    ("value", "shown"), [(0.0, "0"), (-0.001, "0"), (1.005, "1"), (2.5, "2.5"), (100.0, "100"), (-3.456, "-3.46")]
)
def test_numbers_have_at_most_two_decimals(value: float, shown: str) -> None:
    assert number(value) == shown


def test_a_routed_corner_is_rounded_within_its_legs() -> None:
    assert rounded_route([(0, 0), (10, 0), (10, 4)], 6) == "M0 0L5 0Q10 0 10 2L10 4"


def test_ink_is_the_readers_text_colour() -> None:
    canvas = Canvas("f", "t", "d")
    canvas.line((0, 0), (3, 4), name="l")
    assert part(canvas.figure(9), "l")["stroke"] == INK == "currentColor"


@settings(deadline=None)
@given(st.text(), st.floats(20, 300))
def test_cut_text_fits_its_room(text: str, room: float) -> None:
    cut = fit(text, 12, room)
    assert text_width(cut, 12) <= room
    assert cut == text or cut.endswith(ELLIPSIS)


@settings(deadline=None)
@given(st.text(alphabet="ab cdW1", max_size=80), st.floats(40, 200), st.integers(1, 4))
def test_wrapped_text_fits_and_keeps_its_words(text: str, room: float, most: int) -> None:
    lines = wrap(text, 12, room, most)
    assert len(lines) <= most
    assert all(text_width(line, 12) <= room for line in lines)
    if not any(line.endswith(ELLIPSIS) for line in lines):
        assert " ".join(lines).split() == text.split()


def test_the_second_unit_system_takes_its_own_line_when_room_is_short() -> None:
    assert value_lines("450 mm (17 3/4 in)", 12, 200) == ("450 mm (17 3/4 in)",)
    assert value_lines("450 mm (17 3/4 in)", 12, 80) == ("450 mm", "(17 3/4 in)")
