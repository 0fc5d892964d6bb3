"""Box ids in few words: neighbours on the path whose numbers follow each other are drawn together."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

_NUMBERED = re.compile(r"(.*?)(\d+)$")


def spans(names: Sequence[str], order: Mapping[str, int]) -> str:
    """Names in path order, as ``B01 to B05, B08``; ``every box`` where all of ``order`` are named."""
    if len(names) == len(order) > 1:
        return "every box"
    parts: list[tuple[str, str]] = []
    for name in sorted(names, key=order.__getitem__):
        if parts and order[name] == order[parts[-1][1]] + 1 and _follows(parts[-1][1], name):
            parts[-1] = parts[-1][0], name
        else:
            parts.append((name, name))
    return ", ".join(_span(first, last) for first, last in parts)


def _follows(first: str, second: str) -> bool:
    """Whether the second id is the first with its number one higher, as B09 and B10."""
    one, two = _NUMBERED.fullmatch(first), _NUMBERED.fullmatch(second)
    return one is not None and two is not None and one[1] == two[1] and int(one[2]) + 1 == int(two[2])


def _span(first: str, last: str) -> str:
    if first == last:
        return first
    return f"{first}, {last}" if _follows(first, last) else f"{first} to {last}"
