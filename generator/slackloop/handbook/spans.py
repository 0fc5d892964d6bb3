"""Box ids in few words: neighbours on the path are drawn together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence


def spans(names: Sequence[str], order: Mapping[str, int]) -> str:
    """Names in path order with neighbours drawn together, as ``B01 to B05, B08``."""
    parts: list[tuple[str, str]] = []
    last = -2
    for name in sorted(names, key=order.__getitem__):
        at = order[name]
        if at == last + 1:
            parts[-1] = parts[-1][0], name
        else:
            parts.append((name, name))
        last = at
    return ", ".join(first if first == end else f"{first} to {end}" for first, end in parts)

