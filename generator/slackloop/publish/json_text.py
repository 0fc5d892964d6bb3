"""JSON as text that every reader takes, whatever the encoding of the output it goes to."""

from __future__ import annotations

import codecs
import json
import re
from typing import Any

_STEERING = re.compile("[\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]")


def _escaped(mark: re.Match[str]) -> str:
    return f"\\u{ord(mark[0]):04x}"


def json_text(record: Any, encoding: str | None = "utf-8") -> str:
    """The record in indented lines.

    JSON is read as UTF-8. Where the output is in another encoding, or a file name holds bytes that are no text,
    JSON's own escapes stand for every character outside ASCII. They stand everywhere for marks that turn the
    direction of writing and for controls, which would steer a terminal.
    """
    text = _STEERING.sub(_escaped, json.dumps(record, indent=1, ensure_ascii=False))
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return json.dumps(record, indent=1, ensure_ascii=True)
    if codecs.lookup(encoding or "utf-8").name == "utf-8":
        return text
    return json.dumps(record, indent=1, ensure_ascii=True)
