"""The risk register and its matrix: levels as published, controls strongest first, F only for a hazard taken away."""

from __future__ import annotations

import itertools
import re

import pytest
from pydantic import ValidationError

from book_samples import demonstration as demo
from book_samples import rows_of
from slackloop.compute.risk import CONTROL_ORDER, may_reach_f, risk
from slackloop.sections.catalogue import Hazard

LEVELS = ("Low", "Medium", "Serious", "High")
PUBLISHED = {
    "A": ("High", "High", "Serious", "Medium"),
    "B": ("High", "High", "Serious", "Medium"),
    "C": ("High", "Serious", "Medium", "Low"),
    "D": ("Serious", "Medium", "Medium", "Low"),
    "E": ("Medium", "Medium", "Medium", "Low"),
}
"""MIL-STD-882E, rows A to E, columns 1 to 4."""


def test_matrix_shows_the_published_levels() -> None:
    rows = {row[0][0]: row[1:] for row in rows_of(demo().tables["risk-matrix"])}
    assert {name: tuple(cell.split(" ")[0] for cell in cells) for name, cells in rows.items()} == PUBLISHED


def test_matrix_counts_every_scored_hazard_before_and_after() -> None:
    book = demo()
    register = rows_of(book.tables["hazards"])
    for position, when in ((2, r"\((\d+) →"), (3, r"→ (\d+)\)")):
        places = [re.search(r"\(([A-E])([1-4])\)", row[position]) for row in register]
        stood = [(found[1], int(found[2])) for found in places if found]
        assert len(stood) > 15
        for row in rows_of(book.tables["risk-matrix"]):
            for severity, cell in enumerate(row[1:], start=1):
                shown = re.search(when, cell)
                assert (int(shown[1]) if shown else 0) == stood.count((row[0][0], severity))


def test_no_hazard_is_worse_after_its_controls() -> None:
    for row in rows_of(demo().tables["hazards"]):
        before, after = row[2].split(" (")[0], row[3].split(" (")[0]
        if before in LEVELS:
            assert LEVELS.index(after) <= LEVELS.index(before), row[0]


def test_every_control_has_its_kind_strongest_first() -> None:
    for name, hazard in demo().context.content.words.hazards.items():
        assert len(hazard.kinds) == len(hazard.controls), name
        assert [CONTROL_ORDER.index(kind) for kind in hazard.kinds] == sorted(map(CONTROL_ORDER.index, hazard.kinds))


def test_nothing_but_taking_the_hazard_away_reaches_f() -> None:
    """MIL-STD-882E: every set of controls without one that eliminates is refused F."""
    table = demo().context.tables.risk
    weaker = [kind for kind in CONTROL_ORDER if kind != "eliminate"]
    for size in range(len(weaker) + 1):
        for kinds in itertools.combinations(weaker, size):
            assert not may_reach_f(kinds)
            with pytest.raises(ValueError, match="takes the hazard away"):
                risk(("C", 1), ("F", 1), kinds, table)
            with pytest.raises(ValidationError, match="no control eliminates"):
                Hazard(title="x", harm="y", controls=("z",) * max(size, 1), kinds=kinds, after="F")
    assert Hazard(title="x", harm="y", controls=("z",), kinds=("eliminate",), after="F").after == "F"


def test_kinds_must_fit_the_controls() -> None:
    with pytest.raises(ValidationError, match="one kind for each"):
        Hazard(title="x", harm="y", controls=("a", "b"), kinds=("protect",))
    with pytest.raises(ValidationError, match="strongest first"):
        Hazard(title="x", harm="y", controls=("a", "b"), kinds=("protect", "engineer"))
