"""A code to scan has the mask of fewest penalty points, against rules written out module by module."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

import numpy as np
import pytest
import segno

from slackloop.render.typst.scan_code import MASKS, Masks, penalties, scan_code

Rows = Sequence[bytes]
TEXTS = (
    "A", "https://handbook.example/boxes/B07.html?job=HF-1&revision=A&fingerprint=0123456789ab",
    "job HF-1; revision B; fingerprint a1b2c3d4e5f6; box B12", "1234567890" * 20, "Gehäuse №7 «süd»",
)  # fmt: skip


def made(text: str, mask: int) -> segno.QRCode:
    return segno.make(text, error="m", micro=False, mask=mask)


def lines_of(rows: Rows) -> Iterator[bytes]:
    yield from rows
    for across in range(len(rows)):
        yield bytes(row[across] for row in rows)


def points(rows: Rows) -> int:
    """Penalty points, one rule after the other."""
    side = len(rows)
    total = 0
    for line in lines_of(rows):
        lengths = [len(list(alike)) for _, alike in groupby(line)]
        total += sum(3 + length - 5 for length in lengths if length >= 5)
        padded = bytes(4) + line + bytes(4)
        for at in range(4, side + 4 - 6):
            if padded[at : at + 7] == bytes((1, 0, 1, 1, 1, 0, 1)):
                light_before, light_after = not any(padded[at - 4 : at]), not any(padded[at + 7 : at + 11])
                total += 40 * (light_before or light_after)
    for down in range(side - 1):
        for across in range(side - 1):
            square = {rows[down + y][across + x] for x in (0, 1) for y in (0, 1)}
            total += 3 * (len(square) == 1)
    dark = sum(map(sum, rows))
    return total + 10 * (abs(dark * 20 - side * side * 10) // (side * side))


@pytest.mark.parametrize("text", TEXTS)
def test_the_best_of_all_masks_is_taken_and_is_a_whole_code(text: str) -> None:
    codes = [tuple(bytes(row) for row in made(text, mask).matrix) for mask in range(MASKS)]
    counted = [points(rows) for rows in codes]
    assert penalties(np.array([[list(row) for row in rows] for rows in codes], dtype=np.uint8)).tolist() == counted
    best = tuple(bytes(row) for row in Masks(made).best(text))
    assert best == codes[counted.index(min(counted))]


def test_a_second_text_of_the_same_size_takes_its_masks_from_the_first() -> None:
    asked: list[tuple[str, int]] = []

    def counting(text: str, mask: int) -> segno.QRCode:
        asked.append((text, mask))
        return made(text, mask)

    masks = Masks(counting)
    masks.best("box B07 of job HF-1")
    before = len(asked)
    second = tuple(bytes(row) for row in masks.best("box B12 of job HF-2"))
    assert asked[before:] == [("box B12 of job HF-2", 0)]
    assert second in [tuple(bytes(row) for row in made("box B12 of job HF-2", mask).matrix) for mask in range(MASKS)]


def test_the_drawing_has_every_dark_module() -> None:
    text = "box B07"
    dark = sum(int(each) for row in Masks(made).best(text) for each in row)
    drawn = scan_code(text, "").svg.decode().rpartition(' d="')[2].partition('"')[0]
    assert sum(int(each.partition("h")[2].partition("v")[0]) for each in drawn.split("M")[1:]) == dark
