"""Numbers with a decimal comma in a table: read where no comma parts the columns, told where one may part a number."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import combinations

from slackloop.units.amount import with_point

PLACE_KEYS = ("lon", "lat", "x", "y")
LENGTH_KEYS = ("lead", "cover", "duct")
_WHOLE, _PART = re.compile(r"[-+]?[0-9]+"), re.compile(r"[0-9]+")
_DECIMAL_COMMA = re.compile(r"[-+]?[0-9]+,[0-9]+")


def read_decimal_commas(rows: Sequence[dict[str, str]]) -> str:
    """Write the comma of ``40,5`` as a point in rows of one table, and say so; nothing where no place has one.

    Where other places have a point, a comma may set thousands apart: it is left, and the row is refused.
    """
    for row in rows:
        for key in LENGTH_KEYS:
            if "," in row.get(key, ""):
                row[key] = with_point(row[key])
    places = [(row, key) for row in rows for key in PLACE_KEYS if key in row]
    commas = [(row, key) for row, key in places if _DECIMAL_COMMA.fullmatch(row[key])]
    if not commas or any("." in row[key] for row, key in places):
        return ""
    texts = [row[key] for row, key in commas]
    text = next((each for each in texts if each.strip("+-0,")), texts[0])
    for row, key in commas:
        row[key] = row[key].replace(",", ".")
    return f"the comma in a number is read as a decimal comma: {text} is {text.replace(',', '.')}"


def parted_number(keys: Sequence[str], cells: Sequence[str]) -> tuple[str, str] | None:
    """The first number of a place that its own decimal comma may have parted in two, with its key.

    A row has too many cells then, and the numbers of its place are all there once some of them are joined again.
    """
    extra = len(cells) - len(keys)
    places = [at for at, key in enumerate(keys) if key in PLACE_KEYS]
    if not 0 < extra <= len(places):
        return None
    for joined in combinations(places, extra):
        numbers = _joined(cells, places, joined)
        if all(numbers.values()):
            return keys[joined[0]], numbers[joined[0]]
    return None


def _joined(cells: Sequence[str], places: Sequence[int], joined: Sequence[int]) -> dict[int, str]:
    """The numbers at some columns when two cells make one at each of ``joined``; empty where they are no number."""
    numbers: dict[int, str] = {}
    for at in places:
        first = at + sum(other < at for other in joined)
        whole, part = cells[first], cells[first + 1] if at in joined else ""
        good = _WHOLE.fullmatch(whole) and (at not in joined or _PART.fullmatch(part))
        numbers[at] = f"{whole},{part}".rstrip(",") if good else ""
    return numbers
