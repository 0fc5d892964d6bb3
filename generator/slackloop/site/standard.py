"""The firm's standing standard: read by itself, with every finding, or found beside a job and merged under it.

Every departure of the job from it is listed. Its parts are those of a job with every key optional, at any depth.
"""

from __future__ import annotations

import json
import os
import types
import typing
from collections.abc import Collection
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from pydantic import Field, ValidationError, create_model

from slackloop.site.assumptions import take_assumptions
from slackloop.site.lost_text_findings import lost_text_findings
from slackloop.site.plain_fields import FormatOne, IsoDate, Name, Text
from slackloop.site.schema import schema_findings
from slackloop.site.specification import Cable, Conditions, Connector, Device, Part, Rules, Solenoid, Supply, Trench
from slackloop.source.finding import At, Finding, Placed
from slackloop.source.lost_text import Lost
from slackloop.source.source_file import read_source
from slackloop.source.source_map import Entry, ListNode, MapNode, Node, Places, Scalar, plain
from slackloop.source.suggestions import did_you_mean
from slackloop.source.yaml_tree import Tree, read_tree_of


@cache
def optional_part(model: type[Part]) -> type[Part]:
    """``model`` with the same keys, types and descriptions, each of which may be left out; nothing stands for it."""
    fields: dict[str, Any] = {}
    for name, info in model.model_fields.items():
        annotation = _loosened(info.annotation)
        whole = _ANNOTATED[(annotation, *info.metadata)] if info.metadata else annotation
        fields[name] = (_OPTIONAL[whole], Field(default=None, alias=info.alias, description=info.description))
    return create_model(f"Some{model.__name__}", __base__=Part, __module__=__name__, **fields)


_ANNOTATED: Any = typing.Annotated
_OPTIONAL: Any = typing.Optional
_UNION: Any = typing.Union
"""Typing's own forms; the types that go into them are only known when this runs."""


def _loosened(annotation: Any) -> Any:
    """The annotation with every model inside it loosened; anything else stays as it is."""
    if isinstance(annotation, type) and issubclass(annotation, Part):
        return optional_part(annotation)
    origin, arguments = typing.get_origin(annotation), typing.get_args(annotation)
    if origin in (typing.Union, types.UnionType):
        return _UNION[tuple(_loosened(each) for each in arguments)]
    return annotation


class Standard(Part):
    """A standing standard. Any key may be left out, at any depth; nothing stands for what it does not state.

    The parts have the keys of ``specification``, each optional: read them with ``stated``.
    """

    format: FormatOne = Field(default=1, description="Version of the format: 1.")
    title: Text = Field(default="", description="Title of the standard.")
    number: Text = Field(default="", description="Number of the standard.")
    revision: Text = Field(default="", description="Revision of the standard.")
    date: IsoDate | None = Field(default=None, description="Date of this revision, as 2026-03-02.")
    contractor: Text = Field(default="", description="The firm whose standard it is.")
    conditions: optional_part(Conditions) | None = Field(default=None, description="The ground and the site.")  # type: ignore[valid-type]
    supply: optional_part(Supply) | None = Field(default=None, description="The controller's end of the path.")  # type: ignore[valid-type]
    cables: dict[Name, optional_part(Cable)] = Field(default_factory=dict, description="Every kind of cable.")  # type: ignore[valid-type]
    devices: dict[Name, optional_part(Device)] = Field(default_factory=dict, description="Every kind of device.")  # type: ignore[valid-type]
    connectors: dict[Name, optional_part(Connector)] = Field(  # type: ignore[valid-type]
        default_factory=dict, description="Every kind of connector."
    )
    solenoids: dict[Name, optional_part(Solenoid)] = Field(default_factory=dict, description="Every kind of solenoid.")  # type: ignore[valid-type]
    rules: optional_part(Rules) | None = Field(default=None, description="What the firm asks of the work.")  # type: ignore[valid-type]
    trench: optional_part(Trench) | None = Field(default=None, description="The trench.")  # type: ignore[valid-type]

    def stated(self, *keys: str) -> Any:
        """The value at a key path such as ``"rules", "cover"``; nothing where the standard does not state it."""
        value: Any = self
        for key in keys:
            value = value.get(key) if isinstance(value, dict) else getattr(value, key, None)
        return value

    def meaning(self) -> bytes:
        """What the standard says as canonical JSON, the same bytes on any machine."""
        said = self.model_dump(mode="json", by_alias=True, exclude_none=True)
        return json.dumps(said, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode()


@dataclass(frozen=True)
class StandardReading:
    """What reading a standard gave; ``standard`` is nothing where a finding is an error."""

    standard: Standard | None
    findings: tuple[Placed, ...]
    places: Places


def read_standard(path: Path, *, soils: Collection[str] | None = None) -> StandardReading:
    """Read and check a standard that is to be built alone; what it leaves out is the job's to state.

    ``soils`` are the names that the soil table knows; without them the soil is not checked.
    """
    name = path.as_posix()
    tree, findings = _read_tree(path, name)
    places = Places(tree.root, name)
    if tree.root is None:
        return StandardReading(None, findings, places)
    taken = take_assumptions(tree.root, places)
    known = {key: plain(entry.node) for key, entry in tree.root.entries.items() if key in Standard.model_fields}
    found = [*findings, *taken.findings]
    refused = tree.refused | taken.refused
    for lost, at in lost_text_findings(tree.lost, Standard):
        found.append(lost)
        refused |= {at} if lost.level == "error" else set()
    standard: Standard | None = None
    try:
        standard = Standard.model_validate(known)
    except ValidationError as error:
        found += schema_findings(error, places, refused, Standard)
    if standard is not None:
        found += [places.place(finding) for finding in _checks(standard, soils)]
    if any(finding.level == "error" for finding in found):
        standard = None
    found.sort(key=lambda f: (f.line, f.column, f.code))
    return StandardReading(standard, tuple(found), places)


def _checks(standard: Standard, soils: Collection[str] | None) -> list[Finding]:
    """What the schema does not see: a soil that is in no table, and a standard that says no date or title."""
    found: list[Finding] = []
    soil = standard.stated("conditions", "soil")
    if soil is not None and soils is not None and soil not in soils:
        message = f"there is no soil {soil} in the table"
        expected = f"one of {', '.join(soils)}"
        at = ("conditions", "soil")
        found.append(Finding("error", "soil-unknown", message, at, expected=expected, hint=did_you_mean(soil, soils)))
    lacking = [key for key in ("title", "number", "revision", "date", "contractor") if not standard.stated(key)]
    if lacking:
        message = f"the standard does not state its {', '.join(lacking)}; its document leaves them open"
        found.append(Finding("note", "standard-unnamed", message))
    return found


OWN_KEYS: tuple[str, ...] = ("format", "title", "number", "revision", "date", "contractor")
"""Keys that say what the standard itself is; they are not merged into a job."""
MERGED_KEYS: tuple[str, ...] = tuple(key for key in Standard.model_fields if key not in OWN_KEYS)


@dataclass(frozen=True, slots=True)
class Departure:
    """One value where the job departs from the standard."""

    at: At
    standard_text: str
    job_text: str
    reason: str = ""
    """Why, in the job's own words; empty where the job gives no reason."""


@dataclass
class Merged:
    """The job's tree over the standard's, with what was found on the way."""

    root: MapNode
    findings: list[Placed] = field(default_factory=list)
    refused: set[At] = field(default_factory=set)
    departures: list[Departure] = field(default_factory=list)
    lost: list[Lost] = field(default_factory=list)


def merge_standard(root: MapNode, job_path: Path, places: Places) -> Merged:
    """Read the standard that the job names, if any, and lay the job over it."""
    entry = root.entries.get("standard")
    if entry is None or not isinstance(entry.node, Scalar) or entry.node.value is None:
        return Merged(root)
    written = str(entry.node.value)
    path, failure = _find(written, job_path)
    if path is None:
        return Merged(root, [places.place(failure)])
    name = Path(os.path.normpath(job_path.parent / written)).as_posix()
    tree, findings = _read_tree(path, name)
    if tree.root is None:
        return Merged(root, list(findings))
    merged = Merged(root, list(findings), tree.refused, lost=tree.lost)
    for key in MERGED_KEYS:
        theirs = tree.root.entries.get(key)
        if theirs is not None and isinstance(theirs.node, MapNode):
            ours = root.entries.get(key)
            root.entries[key] = theirs if ours is None else _merge(theirs, ours, (key,), merged.departures)
    return merged


def _find(written: str, job_path: Path) -> tuple[Path | None, Finding]:
    """The standard's real path, or the finding that refuses it."""

    def refused(code: str, message: str, expected: str = "") -> tuple[None, Finding]:
        return None, Finding("error", code, message, ("standard",), expected=expected)

    if "\x00" in written or len(written) > 1_000 or Path(written).is_absolute() or "\\" in written:
        return refused("standard-outside", f"{written[:80]!r} is not a relative path with /",
                       "a path from the job file, as ../standards/house.yml")  # fmt: skip
    try:
        folder = job_path.resolve().parent
        real = (folder / written).resolve()
        allowed = real.is_relative_to(folder.parent) and folder.parent != folder
        if not (allowed or real.is_relative_to(folder)):
            return refused("standard-outside", f"{written} lies outside the folder of the job file and its parent",
                           "a file in the folder of the job file or in its parent")  # fmt: skip
        if not real.is_file():
            return refused("standard-missing", f"there is no file {written} beside this job",
                           "the path from the folder of the job file")  # fmt: skip
        if real == job_path.resolve():
            return refused("standard-outside", "the standard is the job file itself")
    except (OSError, RuntimeError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else "its links lead in a circle"
        return refused("standard-missing", f"{written[:80]} cannot be reached: {why.lower()}")
    return real, Finding("note", "", "", ("standard",))


def _foreign_keys(root: MapNode, name: str) -> list[Placed]:
    """Refuse keys that a standard cannot state, and parts that are no maps; a part left empty states nothing."""
    places = Places(root, name)
    found: list[Placed] = []
    for key, entry in root.entries.items():
        if key in MERGED_KEYS and not isinstance(entry.node, MapNode) and node_text(entry.node):
            finding = Finding("error", "map-needed", f"{key} is not a map of keys", (key,), expected="a map of keys")
            found.append(places.place(finding, of_key=True))
        elif key not in MERGED_KEYS + OWN_KEYS:
            finding = Finding("error", "standard-key", f"{key} cannot stand in a standard", (key,),
                              expected=f"one of {', '.join(MERGED_KEYS)}, or {', '.join(OWN_KEYS)}",
                              hint=did_you_mean(key, MERGED_KEYS + OWN_KEYS))  # fmt: skip
            found.append(places.place(finding, of_key=True))
    return found


def _merge(theirs: Entry, ours: Entry, at: At, departures: list[Departure]) -> Entry:
    """Lay the job's value over the standard's: maps key by key, anything else whole."""
    base, top = theirs.node, ours.node
    if not (isinstance(base, MapNode) and isinstance(top, MapNode)):
        standard_text, job_text = node_text(base), node_text(top)
        if standard_text != job_text:
            departures.append(Departure(at, standard_text, job_text))
        return ours
    merged = MapNode(top.source, top.line, top.column)
    for key, entry in base.entries.items():
        over = top.entries.get(key)
        merged.entries[key] = entry if over is None else _merge(entry, over, (*at, key), departures)
    for key, entry in top.entries.items():
        merged.entries.setdefault(key, entry)
    return Entry(ours.source, ours.line, ours.column, merged)


def node_text(node: Node) -> str:
    """A value in one line, for the list of departures."""
    if isinstance(node, MapNode):
        return "{" + ", ".join(f"{key}: {node_text(entry.node)}" for key, entry in node.entries.items()) + "}"
    if isinstance(node, ListNode):
        return "[" + ", ".join(node_text(item) for item in node.items) + "]"
    return str(node.value) if isinstance(node, Scalar) and node.value is not None else ""


def _read_tree(path: Path, name: str) -> tuple[Tree, tuple[Placed, ...]]:
    """Read a standard file by itself: its tree, and every finding of reading it."""
    source, findings = read_source(path, name)
    if source is None:
        return Tree(None, [], set()), findings
    tree = read_tree_of(source)
    foreign = _foreign_keys(tree.root, name) if tree.root is not None else []
    return tree, (*tree.findings, *foreign)
