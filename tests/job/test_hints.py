"""A hint that says what to write is followed, and the reader then takes that place without the same complaint."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from job.refusal_samples import CASES, changed, read
from slackloop.source.finding import Placed

LEAST_FOLLOWED = 35
"""How many samples must have a hint that can be followed; fewer would mean that this test follows nothing."""
ENDINGS = (" if it is one text", " if that is meant", " if it is text", ", without quotes", " without quotes")
OF_THE_REST = ("key-missing", "name-unused", "from-unknown")
"""Codes of what is wrong elsewhere and told at this place: other keys of a map, another line with the same slip."""
SAYS_HOW = (
    "write a decimal number",
    "write the keys out",
    "write a colon",
    "write the value out",
    "write the two ends",
    "write true, or",
)
"""Hints that start with the word write and tell how, without the text itself."""


def suggestions(hint: str) -> list[str]:
    """What a hint says to write: each of the texts, one of which is to be chosen."""
    if hint.startswith("did you mean "):
        return [hint.removeprefix("did you mean ").removesuffix("?")]
    if "write " not in hint or hint.startswith(SAYS_HOW):
        return []
    said = hint[hint.index("write ") + 6 :]
    if hint.index("write ") and ", or " not in hint[: hint.index("write ")]:
        return []
    for ending in ENDINGS:
        said = said.removesuffix(ending)
    return [part for part in re.split(r", or | or (?=[0-9])", said) if part]


def node_end(node: yaml.Node, line: int, column: int) -> int | None:
    """Where the plain value or key that starts at a place ends, in characters of its line."""
    if isinstance(node, yaml.ScalarNode):
        start, end = node.start_mark, node.end_mark
        return end.column if (start.line, start.column, end.line) == (line, column, line) else None
    parts = node.value if isinstance(node, yaml.SequenceNode) else [each for pair in node.value for each in pair]
    for part in parts:
        found = node_end(part, line, column)
        if found is not None:
            return found
    return None


def followed(text: str, finding: Placed, words: str) -> str | None:
    """The file with the words written at the finding's place; nothing where it is not one value."""
    lines = text.split("\n")
    line, start = lines[finding.line - 1], finding.column - 1
    bare = words[1:-1] if words[:1] in "\"'" else words
    if line.startswith(bare, start) and bare != words:
        end: int | None = start + len(bare)
    elif re.match(r"[0-9]+,[0-9]+[^,}\]]*", line[start:]) and finding.code == "comma-decimal":
        end = start + len(re.match(r"[0-9]+,[0-9]+[^,}\]]*", line[start:])[0])  # type: ignore[index]
    else:
        try:
            end = node_end(yaml.compose(text), finding.line - 1, start)
        except yaml.YAMLError:
            return None
    if end is None:
        return None
    lines[finding.line - 1] = line[:start] + words + line[end:]
    return "\n".join(lines)


def hints_of(case: dict[str, Any], folder: Path) -> list[tuple[Placed, str, str]]:
    """Every hint of a sample that can be followed: the finding, the words, and the file as it then reads."""
    path = folder / "job.yml"
    text = changed(case)
    path.write_text(text, encoding="utf-8")
    found = []
    for finding in read(path).findings:
        for words in suggestions(finding.hint) if finding.file == path.as_posix() else []:
            mended = followed(text, finding, words)
            if mended is not None:
                found.append((finding, words, mended))
    return found


@pytest.mark.parametrize("case", CASES, ids=[case["proves"] for case in CASES])
def test_a_hint_that_is_followed_is_accepted(case: dict[str, Any], tmp_path: Path) -> None:
    for finding, words, mended in hints_of(case, tmp_path):
        path = tmp_path / "job.yml"
        path.write_text(mended, encoding="utf-8")
        left = [each for each in read(path).findings if each.line == finding.line and each.code not in OF_THE_REST]
        again = [each for each in left if each.column == finding.column or each.code == finding.code]
        assert not again, (finding.hint, words, [f.message for f in again])


def test_enough_hints_are_followed(tmp_path: Path) -> None:
    followed_hints = [hint for case in CASES for hint in hints_of(case, tmp_path)[:1]]
    assert len(followed_hints) >= LEAST_FOLLOWED, len(followed_hints)
