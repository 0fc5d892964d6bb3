"""Checks of ids and names that look the same: a reading would be written down for the wrong box."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping

from slackloop.site.raw_job import BOXES, RawJob
from slackloop.source.finding import At, Finding
from slackloop.source.look_alikes import difference, foreign_look_alikes, look_alikes, skeleton

_TABLES = ("cables", "devices", "connectors", "solenoids")
_HINT = "write both with letters of one alphabet, or give one another name"


def look_alike_checks(raw: RawJob) -> list[tuple[Finding, bool]]:
    """A warning for each id, or name of a table, that looks like another; with whether it points at the key."""
    boxes: dict[str, At] = {identity: (*BOXES, index, "id") for identity, index in raw.index_of.items()}
    found = [(finding, False) for finding in _alike(boxes, "the id", of_box=True)]
    for table in _TABLES:
        names: dict[str, At] = {name: (table, name) for name in raw.map_at(table) if raw.from_job((table, name))}
        found += [(finding, True) for finding in _alike(names, f"the name under {table}", of_box=False)]
    return found


def _alike(places: Mapping[str, At], what: str, *, of_box: bool) -> list[Finding]:
    found = []
    told = set()
    for name, before in look_alikes(places):
        told.add(name)
        same = unicodedata.normalize("NFC", name) == unicodedata.normalize("NFC", before)
        how = "is the same letters, put together otherwise" if same else difference(name, before) or "is written longer"
        message = f"{what} {name} looks like {before}: it {how if same else 'has ' + how}"
        found.append(_finding(message, places[name], name if of_box else ""))
    for name in foreign_look_alikes(places):
        if name not in told:
            message = f"{what} {name} looks like plain letters and is not: it has {difference(name, skeleton(name))}"
            found.append(_finding(message, places[name], name if of_box else ""))
    return found


def _finding(message: str, at: At, box: str) -> Finding:
    return Finding("warning", "name-look-alike", message, at, box, hint=_HINT)
