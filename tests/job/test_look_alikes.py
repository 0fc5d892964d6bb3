"""Look-alikes against Unicode's data as another package carries it, and marks of direction on their way out."""

from __future__ import annotations

import json
import string
import unicodedata

import pytest
from confusable_homoglyphs import confusables

from slackloop.document.drawings.svg import escape as svg_escape
from slackloop.render.json.json_text import json_text
from slackloop.sections.text import END_OF_ISOLATE, ISOLATE, escape, one_line
from slackloop.source.suggestions import _mapping, foreign_look_alikes, invisible, look_alikes, skeleton


def test_skeletons_agree_with_the_package_confusable_homoglyphs() -> None:
    """Its table, made from a later edition of Unicode's file, lists pairs that look the same."""
    compared = 0
    for letter in string.ascii_letters + string.digits:
        for other in confusables.is_confusable(letter, greedy=True) or []:
            for alike in other["homoglyphs"]:
                text = alike["c"].replace("\u200e", "")
                known = all(ord(each) in _mapping() or each.isascii() for each in text)
                if known:
                    assert skeleton(text) == skeleton(letter), (letter, text)
                    compared += 1
    assert compared > 1_000


def test_ascii_is_mapped_as_unicode_maps_it() -> None:
    for code in range(0x20, 0x7F):
        assert skeleton(chr(code)) == _mapping().get(code, chr(code))


def test_different_letters_stay_different() -> None:
    names = ["B01", "B02", "É1", "E1", "Ж1", "ب1", "水1", "b01"]
    assert look_alikes(names) == []
    assert foreign_look_alikes(names) == []


def test_names_all_of_one_other_alphabet_are_no_look_alikes() -> None:
    assert foreign_look_alikes(["В01", "А02"]) == []
    assert foreign_look_alikes(["В01", "B02"]) == ["В01"]
    assert look_alikes(["B1", "В1", "Β1"]) == [("В1", "B1"), ("Β1", "B1")]


@pytest.mark.parametrize("mark", "\u200b\u200c\u200d\u2060\ufeff\u00ad\u202e\u2066\u200f\u3164\u2800\ufe0f\u00a0\u034f")
def test_what_nobody_sees_is_found(mark: str) -> None:
    assert invisible(f"B{mark}1") == mark


@pytest.mark.parametrize("text", ["B 01", "Ventil ñ", "क्षेत्र", "水", "e\u0301", "☂"])
def test_what_is_seen_is_left(text: str) -> None:
    assert invisible(text) == ""


STEERING = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"


@pytest.mark.parametrize("mark", STEERING)
def test_a_mark_that_turns_the_writing_is_shown_by_number(mark: str) -> None:
    for shown in (one_line(f"a{mark}b"), svg_escape(f"a{mark}b")):
        assert shown == f"a[U+{ord(mark):04X}]b"


def test_text_from_right_to_left_is_set_apart_on_a_page() -> None:
    assert escape("שלום 5 m") == f"{ISOLATE}שלום 5 m{END_OF_ISOLATE}"
    assert escape("abc Ж 水") == "abc Ж 水"


def test_json_on_a_terminal_holds_no_mark_of_direction_and_loses_none() -> None:
    record = {"a": f"x{STEERING}\u200e\u200f\x9by", "b": "é水"}
    text = json_text(record)
    assert json.loads(text) == record
    assert "é水" in text
    assert not [each for each in text if unicodedata.category(each) in ("Cf", "Cc") and each != "\n"]
