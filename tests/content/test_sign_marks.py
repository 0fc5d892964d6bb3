"""Signs beside cautions and protective equipment: drawn, numbered as in ISO 7010, and said in words too."""

from __future__ import annotations

import re

import pytest

from book_samples import demonstration, html_of, page_of
from slackloop.document.blocks import Caution, Sign, SignRow, Steps
from slackloop.document.drawings.safety_signs import sign
from slackloop.document.walk import walk
from slackloop.reference.table_file import data_folder
from slackloop.reference.tables import load_tables
from slackloop.sections.content import load_content

CONTENT = load_content(data_folder("content"))
NAMED = {each.sign for each in (*CONTENT.words.cautions.values(), *CONTENT.words.protective.values()) if each.sign}


def test_every_sign_that_content_names_is_in_the_table() -> None:
    assert set(load_tables().signs) >= NAMED  # site_data/signs.yml: ISO 7010, read in a copy


@pytest.mark.parametrize("number", sorted(NAMED))
def test_a_sign_shows_its_number_and_keeps_its_words(number: str) -> None:
    made = sign(number, "Words of a sign")
    assert (made.number, made.words) == (number, "Words of a sign")
    assert made.svg.startswith('<svg aria-hidden="true" ')
    assert not re.search(r'\b(?:id|aria-labelledby)="|<title', made.svg)


def test_what_is_no_sign_is_refused() -> None:
    with pytest.raises(ValueError, match="ISO 7010"):
        sign("X999", "Words of a sign")


def signs_of(id: str) -> list[Sign]:
    """Every sign of a page of the demonstration, in reading order."""
    found: list[Sign] = []
    for block in walk(page_of(demonstration(), id).blocks):
        match block:
            case SignRow(signs=signs):
                found += signs
            case Caution(sign=one) if one is not None:
                found.append(one)
            case Steps(steps):
                found += [each for step in steps for each in step.signs]
    return found


def test_signs_stand_beside_the_words_that_say_the_same() -> None:
    trench = [(each.number, each.words) for each in signs_of("method/trench")]
    assert ("M008", "Safety boots") in trench
    assert ("W001", "Services may be here") in trench


def test_a_sign_that_comes_again_takes_no_id_and_is_not_spoken_twice() -> None:
    page = html_of(demonstration(), "method/trench")
    for each in signs_of("method/trench"):
        assert each.words in page
    ids = re.findall(r'\bid="([^"]+)"', page)
    assert len(ids) == len(set(ids))
