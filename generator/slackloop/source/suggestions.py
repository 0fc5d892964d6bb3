"""The nearest valid word to one that is not known."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence

from slackloop.source.look_alikes import difference, skeleton

MOST_CANDIDATES = 3_000
"""With more candidates than this, only those that start alike are compared, so that large jobs stay quick."""


def nearest(word: str, candidates: Iterable[str]) -> str:
    """The candidate most like ``word``, or an empty text where none is like it."""
    words: Sequence[str] = [c for c in candidates if c]
    folded = word.casefold()
    if len(words) > MOST_CANDIDATES:
        words = [c for c in words if c[:2].casefold() == folded[:2] and abs(len(c) - len(word)) <= 1][:MOST_CANDIDATES]
    for candidate in words:
        if candidate.casefold() == folded:
            return candidate
    if len(word) > 200:
        return ""
    lowered: dict[str, str] = {}
    for candidate in words:
        lowered.setdefault(candidate.casefold(), candidate)
    close = difflib.get_close_matches(folded, list(lowered), n=1, cutoff=0.6)
    return lowered[close[0]] if close else ""


def did_you_mean(word: str, candidates: Iterable[str]) -> str:
    """A hint with the nearest word, or an empty text."""
    known = list(candidates)
    if not word.isascii() and len(word) <= 200:
        for alike in known:
            if alike != word and skeleton(alike) == skeleton(word):
                return f"{alike} looks the same: this has {difference(word, alike)}"
    found = nearest(word, known)
    return f"did you mean {found}?" if found else ""


def listed(words: Iterable[str], most: int = 12) -> str:
    """Words in one line, with a count of those left out."""
    everything = list(words)
    text = ", ".join(everything[:most])
    return text if len(everything) <= most else f"{text} and {len(everything) - most} more"
