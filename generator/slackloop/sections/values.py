"""Every value that content may name, as finished text; see ``job_values`` for where each comes from.

Template values in the language that is spoken; what the job wrote itself stays as it wrote it.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass, replace
from types import MappingProxyType
from typing import Any

from slackloop.language.messages import ENGLISH, language, said


@dataclass(frozen=True, slots=True)
class CableView:
    """One kind of cable in words."""

    name: str
    title: str
    conductor: str
    build: str
    core_a: str
    core_b: str
    jacket: str
    od: str
    reel: str


@dataclass(frozen=True, slots=True)
class ConnectorView:
    """One kind of connector in words."""

    name: str
    title: str
    sizes: str
    wires: str
    area: str
    strip: str
    listing: str
    pack: str
    closing: str
    """How it is closed, in the words of its pack as the job gives them."""


@dataclass(frozen=True, slots=True)
class DeviceView:
    """One kind of device in words."""

    name: str
    title: str
    outputs: str
    leads: str
    standby: str
    per_output: str
    least_volts: str


@dataclass(frozen=True, slots=True)
class Values:
    """The values of one job that a template reaches as ``v.name``; all text, both unit systems."""

    number: str
    title: str
    site: str
    client: str
    contractor: str
    revision: str
    date: str
    status: str
    slack_length: str
    slack_rule: str
    strip: str
    cover: str
    trench_width: str
    trench_depth: str
    bedding: str
    bedding_zone: str
    pipe_od: str
    jacket: str
    jacket_od: str
    skin: str
    """What keeps water off the pair, in one word: its jacket, or the insulation of a pair that has none."""
    core_a: str
    core_b: str
    core_pairs: str
    cable_names: str
    conductor_sizes: str
    reel_length: str
    supply_volts: str
    supply_kind: str
    stations_at_once: str
    insulation_volts: str
    insulation_least: str
    loop_tolerance: str
    loop_meter: str
    volt_meter: str
    coldest: str
    hottest: str
    soil: str
    frost_depth: str
    rod: str
    target: str
    every_boxes: str
    every_run: str
    clear_of_cable: str
    electrode_count: str
    rods_for_target: str
    connector_titles: str
    connector_listing: str
    connector_strip: str
    wires_range: str
    box_count: str
    run_total: str
    worst_volts: str
    controller_least: str
    """The least volts that a meter at the controller may show with all outputs off."""
    worst_box: str
    least_volts: str
    code_name: str
    code_decides: str
    authority: str
    electrician: str
    raceway: str
    drive: str
    mains: str
    leakage_switch: str
    locate: str
    cover_question: str
    emergency_number: str
    emergency_call: str
    """Who is called and where, as the job states it; empty where it is to be filled in."""
    hospital: str
    meeting_point: str
    gas_owner: str
    power_owner: str
    water_owner: str
    first_aider: str
    site_lead: str
    named_electrician: str
    local_code: str
    """The edition of the local code and who enforces it, or a line to fill in."""
    inspector: str
    utility_search: str
    """Number and last day of the search for buried utilities, or a line to fill in."""
    cover_clause: str
    spoil_clause: str
    support_clause: str
    way_out_clause: str
    way_out_distance: str
    report_clause: str
    tools_clause: str
    tools_distance: str
    resistivity: str
    tape_depth: str
    spoil_back: str
    way_out_depth: str
    support_depth: str
    longest_lead: str
    devices_titles: str
    solenoid_titles: str
    waste: str
    spare: str
    cables: tuple[CableView, ...] = ()
    connectors: tuple[ConnectorView, ...] = ()
    devices: tuple[DeviceView, ...] = ()


VIEWS: MappingProxyType[str, type] = MappingProxyType(
    {"cables": CableView, "connectors": ConnectorView, "devices": DeviceView}
)
"""The type of each item of a list that a template may loop over."""


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
