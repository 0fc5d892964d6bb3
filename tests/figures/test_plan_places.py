"""Boxes of a chain on the site plan: in line between its ends, by the length of the runs."""

import re

import pytest

from slackloop.document.drawings.path_drawings import places_between
from slackloop.document.drawings.site_plan import PlanBox, PlanRun, site_plan


def test_a_chain_stands_between_its_ends() -> None:
    found = places_between([-1, 0, 1, 2], [10.0, 30.0, 30.0, 40.0], {0: (0.0, 10.0), 3: (100.0, 10.0)}, (0.0, 0.0))
    assert found == {1: pytest.approx((30.0, 10.0)), 2: pytest.approx((60.0, 10.0))}


def test_a_branch_off_a_chain_starts_where_the_chain_is_drawn() -> None:
    """Box 1 is half way from the controller to box 2; its branch leads to box 4 over box 3."""
    parent, run_m = [-1, 0, 0, 2], [50.0, 50.0, 20.0, 20.0]
    found = places_between(parent, run_m, {1: (100.0, 0.0), 3: (50.0, 40.0)}, (0.0, 0.0))
    assert found == {0: pytest.approx((50.0, 0.0)), 2: pytest.approx((50.0, 20.0))}


def test_what_lies_beyond_the_last_known_box_has_no_place() -> None:
    assert places_between([-1, 0, 1], [5.0, 5.0, 5.0], {0: (5.0, 0.0)}, (0.0, 0.0)) == {}
    assert places_between([-1], [0.0], {}, (0.0, 0.0)) == {}


def test_the_plan_says_how_many_boxes_have_no_coordinates_of_their_own() -> None:
    boxes = [PlanBox("controller", 0, 0), PlanBox("B1", 5, 0, between=True), PlanBox("B2", 10, 0)]
    figure = site_plan("p", boxes, [PlanRun("controller", "B1", "lawn"), PlanRun("B1", "B2", "lawn")])
    assert "1 box has no coordinates" in figure.description
    assert "1 box has no coordinates: placed in line between" in re.sub("<[^>]+>", "", figure.svg)
