"""Read a firm's standing standard by itself: its typed parts, or every finding with its place."""

from __future__ import annotations

import json
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import Field, ValidationError

from slackloop.site.assumptions import take_assumptions
from slackloop.site.fields import FormatOne, IsoDate, Name, Text
from slackloop.site.lost_text_findings import lost_text_findings
from slackloop.site.schema_findings import schema_findings
from slackloop.site.schema_walk import optional_part
from slackloop.site.specification import Cable, Conditions, Connector, Device, Part, Rules, Solenoid, Supply, Trench
from slackloop.site.standard import read_standard_tree
from slackloop.source.finding import Finding, Placed
from slackloop.source.source_map import Places, plain
from slackloop.source.suggestions import did_you_mean


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


def read_tree(path: Path) -> tuple[dict[str, object] | None, tuple[Placed, ...], Places]:
    """The plain keys and values of a standard, its findings and its places; no schema is applied."""
    name = path.as_posix()
    tree, findings = read_standard_tree(path, name)
    places = Places(tree.root, name)
    if tree.root is None:
        return None, findings, places
    return {key: plain(entry.node) for key, entry in tree.root.entries.items()}, findings, places


def read_standard(path: Path, *, soils: Collection[str] | None = None) -> StandardReading:
    """Read and check a standard that is to be built alone; what it leaves out is the job's to state.

    ``soils`` are the names that the soil table knows; without them the soil is not checked.
    """
    name = path.as_posix()
    tree, findings = read_standard_tree(path, name)
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
