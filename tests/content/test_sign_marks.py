"""Signs beside cautions and protective equipment: drawn, numbered as in ISO 7010, and said in words too."""

from __future__ import annotations

import re

import pytest

from samples import DEMO
from slackloop.handbook.assemble import book_from_job
from slackloop.handbook.content import load_content
from slackloop.handbook.sign_mark import sign_mark
from slackloop.reference.folder import data_folder
from slackloop.reference.tables import load_tables

CONTENT = load_content(data_folder("content"))
NAMED = {each.sign for each in (*CONTENT.words.cautions.values(), *CONTENT.words.protective.values()) if each.sign}


def test_every_sign_that_content_names_is_in_the_table() -> None:
    assert set(load_tables().signs) >= NAMED  # site_data/signs.yml: ISO 7010, read in a copy


@pytest.mark.parametrize("number", sorted(NAMED))
def test_a_mark_shows_its_number_and_takes_no_id(number: str) -> None:
    mark = sign_mark(number)
    assert f">{number}</text>" in mark
    assert 'aria-hidden="true"' in mark
    assert not re.search(r'\b(?:id|aria-labelledby)="', mark)


def test_no_sign_gives_no_mark() -> None:
    assert sign_mark("") == ""
    with pytest.raises(ValueError, match="ISO 7010"):
        sign_mark("X999")


def test_signs_stand_beside_the_words_that_say_the_same() -> None:
    pages = {page.uri: page.markdown for page in book_from_job(DEMO).pages}
    trench = pages["method/trench.md"]
    assert f"- {sign_mark('M008')}**Safety boots" in trench
    assert f'"Caution&#58; Services may be here &#40;sign W001&#41;"\n\n    {sign_mark("W001")}' in trench
    assert sign_mark("M009") in pages["tables/protective.md"]
