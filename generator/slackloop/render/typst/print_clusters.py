"""Written characters as a reader counts them: a letter with its marks, a sign with its selector, a flag.

A font may have every code point of such a cluster and not the cluster, or the other way round, so what
can be printed is asked for whole clusters and for whole runs of them, never for single code points.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator

import regex

from slackloop.render.typst.print_text import never_shown, number_of

_CLUSTER = regex.compile(r"\X")
"""An extended grapheme cluster (Unicode Standard Annex 29)."""

_ALWAYS_THERE = "\x20-\x7e\t\n\r\f\v°×·–—‘’“”…²³½¼¾±§©µÉéüöäñ€"
_ODD = regex.compile(f"[^{_ALWAYS_THERE}]")
"""What the text face may lack; a text without such a character is printed as it stands."""

_ADDED = regex.compile(
    "[\ufe00-\ufe0f\U000e0100-\U000e01ef\u200c\u200d\u20e3\U0001f3fb-\U0001f3ff\U000e0020-\U000e007f]"
)
"""Selectors of a form, joiners, key caps, skin tones and tags: without them the sign is still that sign."""

Run = tuple[str, ...]


def is_plain(text: str) -> bool:
    """Whether the text face surely has all of ``text``."""
    return _ODD.search(text) is None


def clusters(text: str) -> list[str]:
    """The clusters of ``text``, in order; together they are the text."""
    found: list[str] = _CLUSTER.findall(text)
    return found


def odd_runs(text: str) -> Iterator[Run]:
    """Each run of clusters that hold more than the plainest letters and marks."""
    if is_plain(text):
        return
    run: list[str] = []
    for cluster in clusters(text):
        if is_plain(cluster):
            if run:
                yield tuple(run)
            run = []
        else:
            run.append(cluster)
    if run:
        yield tuple(run)


def is_shown(cluster: str) -> bool:
    """Whether every character of a cluster has a printed form in some font."""
    return not any(never_shown(character) for character in cluster)


def simpler_forms(cluster: str) -> Iterable[str]:
    """Other ways to write a cluster that mean the same to a reader, the nearest first."""
    forms = (_ADDED.sub("", cluster), unicodedata.normalize("NFC", cluster), unicodedata.normalize("NFKC", cluster))
    return [form for form in dict.fromkeys(forms) if form and form != cluster]


def in_words(cluster: str) -> str:
    """A cluster that no font has, for a reader: the name of a sign, else the numbers of its characters."""
    bare = _ADDED.sub("", cluster)
    if len(bare) == 1 and unicodedata.category(bare) == "So":
        return f"[{unicodedata.name(bare).lower()}]"
    return "".join(character if character.isascii() and character.isprintable() else number_of(character)
                   for character in cluster)  # fmt: skip
