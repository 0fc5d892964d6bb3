"""No text becomes Typst markup or code, whatever it holds."""

from __future__ import annotations

import json

import pytest
import typst
from hypothesis import given, settings
from hypothesis import strategies as st

from slackloop.render.typst.print_fonts import print_fonts
from slackloop.render.typst.print_glyphs import Glyphs
from slackloop.render.typst.print_text import breakable, literal, never_shown, number_of

HOSTILE = [
    '#panic("x")', "$ a $", "*b* _i_", "@label <label>", "\\", '"', '\\"', "//", "/* */", "`", "\n", "\\u{41}",
    "[]{}()",
]  # fmt: skip


def value_of(source: str) -> object:
    """What Typst makes of an expression."""
    return json.loads(typst.eval(b"", source, format="json"))


@pytest.mark.parametrize("text", HOSTILE)
def test_a_hostile_string_is_read_back_letter_for_letter(text: str) -> None:
    assert value_of(literal(text)) == text


@settings(max_examples=150, deadline=None)
@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=40))
def test_any_string_is_read_back_letter_for_letter(text: str) -> None:
    assert value_of(literal(text)) == text


def test_a_lone_surrogate_becomes_the_replacement_character() -> None:
    assert value_of(literal("a\ud800b")) == "a\ufffdb"


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=120))
def test_places_to_break_add_nothing_else(text: str) -> None:
    plain = text.replace("\u200b", "")
    assert breakable(plain).replace("\u200b", "") == plain


def test_a_long_word_gets_places_to_break_and_a_short_one_none() -> None:
    assert breakable("x" * 24) == "x" * 24
    assert breakable("x" * 40) == "\u200b".join(["x" * 16, "x" * 16, "x" * 8])


def test_a_character_without_a_glyph_shows_its_number() -> None:
    assert Glyphs({"中": number_of("中")}).shown("a中b") == "a[U+4E2D]b"
    assert number_of("😀") == "[U+1F600]"


@pytest.mark.parametrize("mark", ["\x07", "\u202e", "\ue000", "\ufeff", "\U000f0000", "\uffff", "\ud800"])
def test_control_direction_and_private_characters_are_never_shown(mark: str) -> None:
    assert never_shown(mark)
    assert print_fonts().substitutes([(mark,)]) == {mark: number_of(mark)}


@pytest.mark.parametrize("mark", ["a", "é", "Ω", "≥", "→", "☐", "ш", "א", "ع", "²", "\u00a0", "\u200b"])
def test_characters_that_a_handbook_needs_are_printed(mark: str) -> None:
    assert not never_shown(mark)
    assert print_fonts().substitutes([(mark,)]) == {}


def test_the_missing_ones_are_found_among_many() -> None:
    marks = [chr(code) for code in range(0x3B1, 0x3C9)]
    unassigned = "\u0378\U0001fbff"
    assert set(print_fonts().substitutes([(mark,) for mark in [*marks, *unassigned]])) == set(unassigned)
