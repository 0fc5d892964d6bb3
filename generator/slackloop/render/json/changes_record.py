"""Two revisions compared, as data for other programs."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from slackloop.control.comparison import Change, Comparison
from slackloop.control.snapshot import Told

FORMAT = 1


def changes_record(comparison: Comparison) -> dict[str, Any]:
    """Both revisions, every change with its readers and boxes, and every card that is void, new or gone, with why."""
    return {
        "format": FORMAT,
        "old": asdict(comparison.old),
        "new": asdict(comparison.new),
        "changes": [_change(each) for each in comparison.changes],
        "cards": {
            each.box: {
                "state": each.state,
                "why": [{"line": why.label, "old": why.old or None, "new": why.new or None} for why in each.why],
            }
            for each in comparison.cards
        },
        "void_cards": list(comparison.cards_that_are("void")),
    }


def _change(change: Change) -> dict[str, Any]:
    return {
        "kind": change.kind,
        "what": change.subject,
        "place": change.place,
        "old": _told(change.old),
        "new": _told(change.new),
        "boxes": list(change.boxes),
        "readers": list(change.readers),
        "key": change.key,
    }


def _told(told: Told) -> dict[str, Any] | None:
    """A text with its number and unit, where it is a figure; nothing where there was or is none."""
    if not told.text:
        return None
    return {"text": told.text} | ({"number": told.number, "unit": told.unit} if told.number is not None else {})
