"""Template values in the language that is spoken; what the job wrote itself stays as it wrote it."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any

from slackloop.language.messages import ENGLISH, language, said
from slackloop.sections.values import Values

OWN = frozenset({"number", "title", "site", "client", "contractor", "revision", "date", "core_a", "core_b"})
"""Words of the job; colours are those on the reel, and pictures are painted by them."""


def said_values(values: Values) -> Values:
    """The values as they are said; the same object in English."""
    return values if language() == ENGLISH else _said(values)


def _said(view: Any) -> Any:
    changes: dict[str, Any] = {}
    for each in fields(view):
        value = getattr(view, each.name)
        if isinstance(value, tuple):
            changes[each.name] = tuple(_said(one) if is_dataclass(one) else one for one in value)
        elif isinstance(value, str) and each.name not in OWN:
            changes[each.name] = type(value)(said(value))
    return replace(view, **changes)
