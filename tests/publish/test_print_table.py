"""Column widths: a table fits its page, at the largest stated size that allows it."""

from __future__ import annotations

import json

import pytest
import typst
from hypothesis import given
from hypothesis import strategies as st

from slackloop.publish.print_fonts import TEXT_FAMILY, print_fonts
from slackloop.publish.print_table import (
    LANDSCAPE_SIZES_PT,
    MOST_PORTRAIT_COLUMNS,
    PORTRAIT_SIZES_PT,
    Cell,
    ColumnPlan,
    plan_columns,
    text_width_em,
)
from slackloop.publish.print_text import literal

PORTRAIT_PT, LANDSCAPE_PT = 493.0, 740.0


def plan(*rows: list[str]) -> ColumnPlan:
    return plan_columns([[Cell(text) for text in row] for row in rows], len(rows[0]), PORTRAIT_PT, LANDSCAPE_PT)


@given(st.lists(st.lists(st.text("abcM i-", max_size=60), min_size=4, max_size=4), min_size=1, max_size=8))
def test_a_table_is_never_wider_than_its_page(rows: list[list[str]]) -> None:
    made = plan(*rows)
    page = LANDSCAPE_PT if made.landscape else PORTRAIT_PT
    assert sum(made.widths_pt) <= page + 0.5
    assert all(width > 0 for width in made.widths_pt)
    if made.fills_page:
        assert sum(made.widths_pt) == pytest.approx(page, abs=0.5)


def test_a_small_table_keeps_its_natural_width_and_the_largest_size() -> None:
    made = plan(["Box", "Ohms"], ["B01", "1.03"])
    assert not made.fills_page
    assert made.size_pt == PORTRAIT_SIZES_PT[0]
    assert sum(made.widths_pt) < PORTRAIT_PT / 3


def test_more_columns_than_the_limit_turn_the_page() -> None:
    assert plan(["1"] * (MOST_PORTRAIT_COLUMNS + 1)).landscape
    assert not plan(["1"] * MOST_PORTRAIT_COLUMNS).landscape


def test_words_too_long_for_portrait_shrink_before_they_turn() -> None:
    sizes = [plan(["m" * length] * 6) for length in range(4, 16)]
    turned = [made.landscape for made in sizes]
    assert turned == sorted(turned)
    assert True in turned
    assert {made.size_pt for made in sizes if not made.landscape} > {PORTRAIT_SIZES_PT[0]}


def test_words_too_long_for_any_page_are_squeezed_at_the_smallest_size() -> None:
    made = plan(["m" * 60] * 6)
    assert made == ColumnPlan(made.widths_pt, LANDSCAPE_SIZES_PT[-1], True, True)
    assert sum(made.widths_pt) == pytest.approx(LANDSCAPE_PT, abs=0.5)


def test_the_column_with_more_words_is_the_wider() -> None:
    made = plan(*[["R-1", "the cores inside the jacket are not cut " * 6, "common practice, no published source"]] * 3)
    assert made.widths_pt[1] > made.widths_pt[2] > made.widths_pt[0]


def test_one_very_long_cell_does_not_rule_the_table() -> None:
    usual = [["B01", "one of the usual notes here", "another of the usual notes, a little longer than that"]] * 9
    made = plan(*usual, ["B02", "x y " * 300, "short"])
    in_proportion = PORTRAIT_PT * text_width_em(usual[0][2]) / text_width_em("x y " * 300)
    assert made.widths_pt[2] > 5 * in_proportion
    assert made.widths_pt[2] > 0.3 * PORTRAIT_PT


def test_a_table_of_no_columns_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one column"):
        plan_columns([], 0, PORTRAIT_PT, LANDSCAPE_PT)


def test_widths_of_characters_are_those_that_typst_measures() -> None:
    marks = "".join(map(chr, range(0x20, 0x7F))) + "°×·–—Ω≥≤²³½→"
    asked = ",".join(f"({literal(f'x{mark}x')})" for mark in marks)
    source = (
        f'#set text(font: "{TEXT_FAMILY}", size: 1000pt, kerning: false)\n'
        f'#context [#metadata(({asked}).map(t => measure(t).width.pt() - measure("xx").width.pt()))<widths>]'
    )
    fonts = print_fonts().loaded
    measured = json.loads(typst.query(source.encode(), "<widths>", field="value", one=True, font_paths=fonts))
    for mark, width in zip(marks, measured, strict=True):
        assert width - 20 < 1000 * text_width_em(mark) < width + 40, mark


def test_wide_letters_are_taken_as_wider() -> None:
    assert text_width_em("iii") < text_width_em("aaa") < text_width_em("MMM") < text_width_em("中中中")
