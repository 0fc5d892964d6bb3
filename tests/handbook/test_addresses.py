"""Page addresses: safe, stable, and one for each box id, also where letter case does not count."""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as st

from slackloop.sections.link_rules import slug

IDS = st.text(alphabet=st.one_of(st.sampled_from("Bb01-_ <>|*."), st.characters()), min_size=1, max_size=60)


@given(st.sets(IDS, max_size=30))
def test_no_two_ids_share_an_address(ids: set[str]) -> None:
    assert len({slug(each) for each in ids}) == len(ids)


@given(IDS)
def test_an_address_is_plain_and_short(name: str) -> None:
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", slug(name))
    assert len(slug(name)) <= 50


def test_a_plain_id_keeps_its_spelling() -> None:
    assert [slug(each) for each in ("B01", "B1-A", "320")] == ["b01", "b1-a", "320"]


def test_ids_that_look_alike_stay_apart() -> None:
    ids = ["B 1", "b 1", "B1", "b1", "B-1", "B--1", "B<1>|*", "B1 ", "CON", "INDEX", f"B1-{slug('b1')[-8:].upper()}"]
    assert len({slug(each) for each in ids}) == len(ids)
    assert slug("CON") != "con"


def test_an_address_does_not_change_between_runs() -> None:
    assert slug("b 1") == "b-1-dc67949b"
