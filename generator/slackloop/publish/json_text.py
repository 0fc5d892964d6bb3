"""JSON as text that every reader takes, whatever the encoding of the output it goes to."""

from __future__ import annotations

import codecs
import json
from typing import Any


def json_text(record: Any, encoding: str | None = "utf-8") -> str:
    """The record in indented lines.

    JSON is read as UTF-8. Where the output is in another encoding, or a file name holds bytes that are no text,
    JSON's own escapes stand for every character outside ASCII.
    """
    text = json.dumps(record, indent=1, ensure_ascii=False)
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return json.dumps(record, indent=1, ensure_ascii=True)
    if codecs.lookup(encoding or "utf-8").name == "utf-8":
        return text
    return json.dumps(record, indent=1, ensure_ascii=True)
