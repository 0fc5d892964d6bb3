"""The sentences of a text, as a reader counts them: values filled in, marks of Markdown gone."""

from __future__ import annotations

import re

VALUE = "some value"
"""What a value counts as, in words."""
_TAG = re.compile(r"{%.*?%}")
_VALUE = re.compile(r"{{.*?}}")
_LINK = re.compile(r"\[([^\]]*)\]\([^)]*\)")
_MARKS = re.compile(r"\*\*|^\s*(?:[-*:]|\d+\.)\s+", re.MULTILINE)
_END = re.compile(r"(?<=[.!?])[\"')]*\s+|\n+|\s*\|\s*|:\s+|;\s+")


def plain(text: str) -> str:
    """A text without tags, links and marks; each value as two words."""
    return _MARKS.sub("", _LINK.sub(r"\1", _VALUE.sub(VALUE, _TAG.sub("", text))))


def sentences(text: str) -> tuple[str, ...]:
    """The sentences of a text; a cell of a table, an entry of a list and a part set off by a colon count as one."""
    found = (part.strip() for part in _END.split(plain(text)))
    return tuple(part for part in found if re.search(r"\w", part))


def word_count(sentence: str) -> int:
    """Words of a sentence; signs alone are none."""
    return sum(any(sign.isalnum() for sign in word) for word in sentence.split())
