"""What two languages of one section have in common: ids, steps, checks, template values, inserts and links."""

from __future__ import annotations

import re
from typing import Any

from slackloop.sections.section import Block, Insert, Prose, Section

_TOKEN = re.compile(r"\{\{.*?\}\}|\{%.*?%\}|\]\([^)]*\)|\[\[[^\]]*\]\]", re.DOTALL)
_TEXTS = frozenset({"title", "summary", "text", "card", "limit", "label", "value", "more", "clause"})
"""Keys of front matter that hold text of a reader; their template values and links stay the same."""
_FREE = frozenset({"search"})


def skeleton(section: Section) -> dict[str, Any]:
    """Everything of a section that does not change with its language, by where it stands."""
    found = {f"front {key}": _bare(value, key) for key, value in section.front.model_dump().items()}
    for number, group in enumerate(section.groups):
        found[f"group {number}"] = (bool(group.title), len(group.blocks))
        for place, block in enumerate(group.blocks):
            found[f"group {number} block {place}"] = _block(block)
    return found


def tokens(text: str) -> tuple[str, ...]:
    """Template values, loops, inserts and link targets of a text, sorted: a sentence may put them in another order."""
    return tuple(sorted(" ".join(each.split()) for each in _TOKEN.findall(text)))


def differences(one: Section, other: Section) -> tuple[str, ...]:
    """Where two languages of a section differ in more than words."""
    first, second = skeleton(one), skeleton(other)
    return tuple(place for place in (first | second) if first.get(place) != second.get(place))


def _bare(value: Any, key: str) -> Any:
    if key in _FREE:
        return None
    if isinstance(value, str):
        return (bool(value), tokens(value)) if key in _TEXTS else value
    if isinstance(value, dict):
        return {name: _bare(each, name) for name, each in value.items()}
    if isinstance(value, list | tuple):
        return [_bare(each, key) for each in value]
    return value


def _block(block: Block) -> Any:
    if isinstance(block, Prose):
        return "prose", tokens(block.text)
    if isinstance(block, Insert):
        return block.kind, block.name
    texts = (block.action, block.why, block.reject, block.extra)
    return (
        block.id, block.carries, block.check, block.tools, block.caution, block.figure, block.prevents,
        block.applies,
        tuple(each and tokens(each.text) for each in texts),
    )  # fmt: skip
