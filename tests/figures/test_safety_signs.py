"""Safety signs: every sign that content or the table of signs names is a picture, told without colour or words."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from slackloop.document.drawings.safety_signs import KINDS, PICTURES, sign, sign_svg

ROOT = Path(__file__).parents[2]
FRAMES = {"W": "path", "M": "circle", "P": "circle", "E": "rect", "F": "rect"}


def _numbers(text: str) -> set[str]:
    return set(re.findall(r"\b[WMPEF]\d{3}\b", text))


USED = sorted(
    _numbers((ROOT / "site_data" / "signs.yml").read_text(encoding="utf-8"))
    | {
        number
        for path in (ROOT / "content" / "words").glob("*.yml")
        for line in path.read_text(encoding="utf-8").splitlines()
        if line.strip().startswith("sign:")
        for number in _numbers(line)
    }
)


@pytest.mark.parametrize("number", USED)
def test_a_sign_in_use_is_a_picture(number: str) -> None:
    top = ET.fromstring(sign_svg(number))
    shapes = [element.tag.rpartition("}")[2] for element in top]
    assert "text" not in shapes
    assert shapes[0] == FRAMES[number[0]]
    assert len(shapes) >= 2
    assert len(sign_svg(number)) < 2500


def test_no_two_signs_of_a_group_look_alike() -> None:
    assert len(USED) > 10
    assert len(set(PICTURES.values())) == len(PICTURES)


def test_a_sign_without_a_picture_shows_its_number_and_never_an_empty_frame() -> None:
    assert ">P001</text>" in sign_svg("P001")
    assert "P001" not in PICTURES


@pytest.mark.parametrize("number", ["", "W12", "X001", "W0123", "W١٢٣", "w001"])
def test_anything_else_is_no_sign(number: str) -> None:
    with pytest.raises(ValueError, match="not a sign number"):
        sign_svg(number)


def test_words_alone_stand_without_a_picture() -> None:
    assert sign("", "Long sleeves").svg == ""
    assert set(KINDS) == set(FRAMES)
