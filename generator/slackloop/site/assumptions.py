"""Facts that nobody is sure of: ``assumed 14 AWG`` keeps its value and is listed, ``unknown`` has none.

Both stand in the tree as plain text; they are taken off here, before anything reads a value.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Literal

from slackloop.source.ambiguous_scalar import resolve
from slackloop.source.finding import At, Finding, Placed
from slackloop.source.source_map import ListNode, MapNode, Node, Places, Scalar
from slackloop.units.figure import UNKNOWN_CONDUCTOR, unknown_quantity
from slackloop.units.quantity import Quantity

ASSUMED = "assumed "
UNKNOWN = "unknown"
FACT_PARTS = frozenset(
    ("conditions", "supply", "cables", "devices", "solenoids", "connectors", "rules", "trench", "materials", "path")
)
"""Parts of a job that state facts of its site and its material; the others say who, when and what it is called."""
FREE_TEXT = frozenset(
    ("id", "ids", "title", "name", "note", "note_in", "part", "closing", "listing", "owner", "permit", "phase")
)
"""Keys in these parts that hold text, for which unknown is a text like any other."""
NOTE = "note"
"""A note keeps its words, whatever they are; one that begins with assumed is listed too."""
LEFT_OUT: frozenset[At] = frozenset(
    (("conditions", "soil_resistivity"), ("conditions", "frost_depth"), ("cables", "*", "reel"),
     ("cables", "*", "least_bend"), ("path", "boxes", "*", "address"),
     ("path", "boxes", "*", "devices", "*", "address"))
)  # fmt: skip
"""What may be unknown and may be left out: unknown is then the same as not stated, and is listed."""
WITHOUT_VALUE: dict[At, str] = {
    ("cables", "*", "jacket_od"): "length",
    ("cables", "*", "conductor"): "conductor",
    ("solenoids", "*", "inrush"): "current",
    ("solenoids", "*", "holding"): "current",
    ("devices", "*", "standby"): "current",
    ("devices", "*", "per_output"): "current",
    ("devices", "*", "least_volts"): "volts",
}
"""What may be unknown and has to be stated: it has no value then, and neither has what depends on it."""
_EXPECTED = (
    "a value, or assumed before a likely one; unknown may be soil_resistivity, frost_depth, jacket_od, reel, "
    "least_bend, inrush, holding, a device's standby, per_output and least_volts, a cable's conductor, a box's address"
)


@dataclass(frozen=True, slots=True)
class Assumption:
    """One fact that is assumed or unknown: its key path for a reader, its text, and where it is written."""

    key: str
    kind: Literal["assumed", "unknown"]
    text: str
    at: At
    where: str


@dataclass
class Taken:
    """What was taken off a tree, with what is wrong with it."""

    assumptions: list[Assumption] = field(default_factory=list)
    findings: list[Placed] = field(default_factory=list)
    refused: set[At] = field(default_factory=set)


def take_assumptions(root: MapNode, places: Places) -> Taken:
    """Take ``assumed`` and ``unknown`` off every fact of a tree, in place."""
    taken, seen = Taken(), dict[int, tuple[Literal["assumed", "unknown"], str]]()
    facts = [each for each in _scalars(root, ()) if each[0][0] in FACT_PARTS]
    each = {id(node) for at, node, _ in facts if at[:2] == ("path", "each")}
    for at, node, _ in facts:  # first the ids, by which other facts of their boxes are told
        found = _read(node) if at[-1] == "id" else None
        if found is not None and found[0] == "assumed":
            seen[id(node)] = found
            node.value = resolve(found[1])
    for at, node, parent in facts:
        if id(node) in each and at[:2] != ("path", "each"):
            continue  # path.each says it once for every box
        if id(node) not in seen:
            found = _read(node)
            if found is None or (found[0] == "unknown" and _last_key(at) in FREE_TEXT):
                continue
            seen[id(node)] = found
            if found[0] == "assumed" and _last_key(at) != NOTE:
                node.value = resolve(found[1])
        kind, text = seen[id(node)]
        if kind == "unknown" and not _without(node, at, parent):
            taken.refused.add(at)
            what = f"{_last_key(at)}: unknown is not taken here"
            taken.findings.append(places.place(Finding("error", "unknown-not-taken", what, at, expected=_EXPECTED)))
            continue
        where = places.locate(at)
        taken.assumptions.append(
            Assumption(places.key_text(at), kind, text, at, f"{where.file}:{where.line}:{where.column}")
        )
    return taken


def without_assumed(text: str) -> tuple[str, str]:
    """The word ``assumed`` with its space where a text begins with it, and the rest."""
    return (ASSUMED, text[len(ASSUMED) :].strip()) if text.casefold().startswith(ASSUMED) else ("", text)


def _read(node: Scalar) -> tuple[Literal["assumed", "unknown"], str] | None:
    """What a scalar says of a fact; nothing where it states a plain value."""
    if not isinstance(node.value, str):
        return None
    text = str(node.value).strip()
    if text.casefold() == UNKNOWN:
        return "unknown", UNKNOWN
    begins, rest = without_assumed(text)
    return ("assumed", rest) if begins and rest else None


def _without(node: Scalar, at: At, parent: MapNode | ListNode) -> bool:
    """Leave an unknown fact without a value; false where it has to have one."""
    pattern = _pattern(at)
    if pattern in LEFT_OUT and isinstance(parent, MapNode):
        parent.entries.pop(str(at[-1]), None)
        return True
    dimension = WITHOUT_VALUE.get(pattern)
    if dimension is None:
        return False
    value: Quantity | object = UNKNOWN_CONDUCTOR if dimension == "conductor" else unknown_quantity(dimension)
    node.value = value  # type: ignore[assignment]  # a field takes a value of its own type as it is
    return True


def _pattern(at: At) -> At:
    """A key path with a star for each item of a list and each name of a table."""
    named = {1} if at[0] in ("cables", "devices", "solenoids", "connectors") else set()
    return tuple("*" if place in named or isinstance(part, int) else part for place, part in enumerate(at))


def _last_key(at: At) -> str:
    return next((part for part in reversed(at) if isinstance(part, str)), "")


def _scalars(node: Node, at: At) -> Iterator[tuple[At, Scalar, MapNode | ListNode]]:
    """Every scalar of a tree whose text may matter, with its key path and what it is in."""
    children: list[tuple[str | int, Node]] = []
    if isinstance(node, MapNode):
        children = [(key, entry.node) for key, entry in node.entries.items()]
    elif isinstance(node, ListNode):
        children = list(enumerate(node.items))
    for key, child in children:
        if isinstance(child, Scalar):
            if type(child.value) is str and (child.value[:1] in "aAuU"):
                assert isinstance(node, MapNode | ListNode)
                yield (*at, key), child, node
        else:
            yield from _scalars(child, (*at, key))


_SURE = frozenset(("Answer", "DocumentFacts", "HistoryEntry", "JobFacts"))
"""Parts of the JSON Schema that state no fact of site or material."""
_ASSUMED_SCHEMA: dict[str, Any] = {"type": "string", "pattern": "^[Aa]ssumed .+$"}
_UNKNOWN_KEYS = frozenset(str(at[-1]) for at in (*LEFT_OUT, *WITHOUT_VALUE))


def with_doubts(schema: dict[str, Any]) -> dict[str, Any]:
    """The JSON Schema of a job with ``assumed …`` and ``unknown`` taken wherever a fact may be unsure; in place."""
    for name, part in schema["$defs"].items():
        if name not in _SURE:
            _doubt_values(part)
    return schema


def _doubt_values(part: Any) -> None:
    if isinstance(part, list):
        for each in part:
            _doubt_values(each)
    if not isinstance(part, dict):
        return
    for key, value in part.items():
        if key == "properties" and isinstance(value, dict):
            value.update({name: _doubted(name, each) for name, each in value.items()})
        else:
            _doubt_values(value)


def _doubted(name: str, value: dict[str, Any]) -> dict[str, Any]:
    """A property that takes an assumed value too; one that holds a map or a list, or free text, as it is."""
    items = value.get("items", {})
    if "anyOf" in items:
        items["anyOf"] += [_ASSUMED_SCHEMA] if name == "stations" else []
        _doubt_values(value)
    ways: list[dict[str, Any]] = value.get("anyOf", [value])
    if name in FREE_TEXT or any("$ref" in way or way.get("type") in ("array", "object") for way in ways):
        return value
    shown = {key: each for key, each in value.items() if key in ("title", "description", "default")}
    inner = [{key: each for key, each in value.items() if key not in shown}] if ways[0] is value else ways
    more = [_ASSUMED_SCHEMA, *([{"const": UNKNOWN}] if name in _UNKNOWN_KEYS else [])]
    return {**shown, "anyOf": [*inner, *more]}
