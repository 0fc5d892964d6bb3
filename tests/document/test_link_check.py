"""Links are typed, and each must lead somewhere before anything is rendered."""

from __future__ import annotations

import pytest

from slackloop.document.blocks import Heading, Paragraph
from slackloop.document.inline import FileTarget, PageTarget, line, link
from slackloop.document.page import Page
from slackloop.document.walk import LinksBroken, check_links


def page(id: str, *targets: PageTarget | FileTarget) -> Page:
    return Page(id, id, (Heading(2, line("Here"), "here"), *(Paragraph(line(link("x", to))) for to in targets)))


def test_links_that_lead_somewhere_pass() -> None:
    check_links([page("a", PageTarget("b", "here"), FileTarget("f.csv")), page("b", PageTarget("a"))], ["f.csv"])


def test_every_fault_is_told_at_once() -> None:
    pages = [page("a", PageTarget("c"), PageTarget("b", "nowhere"), FileTarget("g.csv")), page("b"), page("B")]
    with pytest.raises(LinksBroken) as broken:
        check_links(pages, ["f.csv"])
    told = "\n".join(broken.value.faults)
    for part in ("to c,", "b#nowhere", "g.csv", "two pages are at b"):
        assert part in told
    assert len(broken.value.faults) == 4


def test_an_anchor_that_stands_twice_is_a_fault() -> None:
    twice = Page("a", "A", (Heading(2, line("x"), "x"), Heading(2, line("x"), "x")))
    with pytest.raises(LinksBroken, match="two places are named #x"):
        check_links([twice], [])
