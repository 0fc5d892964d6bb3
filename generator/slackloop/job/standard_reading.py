"""Read a firm's standing standard by itself: its typed parts, or every finding with its place."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from pydantic import Field, ValidationError

from slackloop.job.fields import FormatOne, IsoDate, Name, Text
from slackloop.job.finding import Placed
from slackloop.job.nodes import plain
from slackloop.job.places import Places
from slackloop.job.schema_findings import schema_findings
from slackloop.job.specification import Cable, Conditions, Connector, Device, Part, Rules, Solenoid, Supply, Trench
from slackloop.job.standard import read_standard_tree


class Standard(Part):
    """A standing standard; a part that it does not state is nothing, a part that it states is whole."""

    format: FormatOne = Field(default=1, description="Version of the format: 1.")
    title: Text = Field(default="", description="Title of the standard.")
    number: Text = Field(default="", description="Number of the standard.")
    revision: Text = Field(default="", description="Revision of the standard.")
    date: IsoDate | None = Field(default=None, description="Date of this revision, as 2026-03-02.")
    contractor: Text = Field(default="", description="The firm whose standard it is.")
    conditions: Conditions | None = Field(default=None, description="The ground and the site.")
    supply: Supply | None = Field(default=None, description="The controller's end of the path.")
    cables: dict[Name, Cable] = Field(default_factory=dict, description="Every kind of cable.")
    devices: dict[Name, Device] = Field(default_factory=dict, description="Every kind of device.")
    connectors: dict[Name, Connector] = Field(default_factory=dict, description="Every kind of connector.")
    solenoids: dict[Name, Solenoid] = Field(default_factory=dict, description="Every kind of solenoid.")
    rules: Rules | None = Field(default=None, description="What the firm asks of the work.")
    trench: Trench | None = Field(default=None, description="The trench.")


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


def read_standard(path: Path) -> StandardReading:
    """Read and check a standard that is to be built alone; each part that it states must be whole."""
    name = path.as_posix()
    tree, findings = read_standard_tree(path, name)
    places = Places(tree.root, name)
    if tree.root is None:
        return StandardReading(None, findings, places)
    known = {key: plain(entry.node) for key, entry in tree.root.entries.items() if key in Standard.model_fields}
    found = list(findings)
    standard: Standard | None = None
    try:
        standard = Standard.model_validate(known)
    except ValidationError as error:
        found += schema_findings(error, places, tree.refused, Standard)
    if any(finding.level == "error" for finding in found):
        standard = None
    found.sort(key=lambda f: (f.line, f.column, f.code))
    return StandardReading(standard, tuple(found), places)
