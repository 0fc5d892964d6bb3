"""Values written as YAML that every reader, ours too, reads back as the same values."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping

from slackloop.source.ambiguous_scalar import TypedScalar, resolve, surprise

_PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9_./%+-]| (?=[A-Za-z0-9(+]))*")
_ESCAPED = re.compile("[\x7f-\xa0\xad\u2028\u2029\ufeff\ud800-\udfff]")


def scalar_text(value: object) -> str:
    """One value: text plain where that is safe, else in double quotes; numbers and truth values as they are."""
    if value is None:
        return '""'
    if isinstance(value, TypedScalar):
        return str(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    text = str(value)
    safe = _PLAIN.fullmatch(text) and surprise(text) == ("", "") and type(resolve(text)) is str
    if safe:
        return text
    return _ESCAPED.sub(lambda found: f"\\u{ord(found[0]):04X}", json.dumps(text, ensure_ascii=False))


def flow_text(value: object) -> str:
    """A value on one line, maps and lists in brackets."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{scalar_text(key)}: {flow_text(each)}" for key, each in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(flow_text(each) for each in value) + "]"
    return scalar_text(value)


def block_lines(entries: Mapping[str, object], indent: int = 0) -> Iterator[str]:
    """A map as lines: maps of maps further in, all else on a line of its own."""
    for key, value in entries.items():
        head = f"{' ' * indent}{scalar_text(key)}:"
        if isinstance(value, Mapping) and any(isinstance(each, Mapping) for each in value.values()):
            yield head
            yield from block_lines(value, indent + 2)
        elif isinstance(value, list) and value and all(isinstance(each, Mapping) for each in value):
            yield head
            yield from (f"{' ' * (indent + 2)}- {flow_text(each)}" for each in value)
        else:
            yield f"{head} {flow_text(value)}"


def remark(text: str) -> str:
    """Text as it may stand behind ``#``: on one line, with nothing that YAML cannot hold."""
    return "".join(c if c.isprintable() else "?" for c in " ".join(text.split()))
