"""Template values of a standing standard: what it states, and plain words where a value is the job's own."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields
from typing import Any

from slackloop.reference.tables import ReferenceTables
from slackloop.sections import format as fmt
from slackloop.sections.job_keys import solenoid_current
from slackloop.sections.job_values import (
    SLACK_RULES,
    SUPPLY_KINDS,
    either,
    printed_depth,
    printed_distance,
    tape_depth_m,
)
from slackloop.sections.text import Measure
from slackloop.sections.values import CableView, ConnectorView, DeviceView, Values
from slackloop.sections.views import AS_THE_PACK_SAYS
from slackloop.site.standard import Standard
from slackloop.units.ladder import Rounding
from slackloop.units.quantity import Quantity

OWN = "the job's own value"
OPEN = "not stated"
_LISTS = ("cables", "connectors", "devices")
_OWN_WORDS = {
    "number": "the job's number",
    "title": "the job's title",
    "site": "the job's site",
    "client": "the job's client",
    "contractor": "the contractor",
    "revision": "the job's revision",
    "date": "the date of the revision",
    "status": "the status of the job's handbook",
    "slack_rule": "where the job asks for it",
    "trench_width": "the job's own width",
    "trench_depth": "the depth in the job's trench table",
    "bedding_zone": "the height in the job's trench table",
    "pipe_od": "the job's own pipe size",
    "core_a": "the job's colour a",
    "core_b": "the job's colour b",
    "core_pairs": "the job's colours a and b",
    "jacket": "the job's own kind of",
    "skin": "jacket or insulation",
    "cable_names": "the job's cables",
    "box_count": "the job's count",
    "run_total": "the job's total",
    "worst_volts": "the job's lowest volts",
    "worst_box": "the job's worst box",
    "controller_least": "the least volts that the job gives for the controller",
    "longest_lead": "the job's longest lead",
    "electrode_count": "the job's count",
    "rods_for_target": "the job's count",
    "code_name": "the job's code basis",
    "code_decides": "the person that the job's code basis names",
    "authority": "authority that the job's code basis names",
    "electrician": "electrician that the job's code basis names",
    "raceway": "duct or raceway",
    "drive": "drive or driveway",
    "mains": "mains",
    "leakage_switch": "residual-current device",
    "locate": "Ask for buried services as the job's code basis says.",
    "cover_question": "The question that the job's code basis asks.",
    "cover_clause": "the clause in the job's code basis",
    "spoil_clause": "the clause in the job's code basis",
    "support_clause": "the clause in the job's code basis",
    "way_out_clause": "the clause in the job's code basis",
    "way_out_distance": "the distance in the job's code basis",
    "report_clause": "the clause in the job's code basis",
    "tools_clause": "the clause in the job's code basis",
    "tools_distance": "the distance in the job's code basis",
    "resistivity": "the soil that the job states",
    "spoil_back": "the distance in the job's code basis",
    "way_out_depth": "the depth in the job's code basis",
    "support_depth": "the depth in the job's code basis",
    "connector_titles": "the job's connectors",
    "devices_titles": "the job's devices",
    "solenoid_titles": "the job's solenoids",
}
"""What stands for a value that only a job can give, in brackets, so that a sentence reads with or without it."""


def units_of(standard: Standard) -> fmt.Units:
    """The unit system that the standard's own cover is written in, else metric."""
    lengths = (standard.stated("rules", "cover"), standard.stated("rules", "slack", "length"))
    first = next((each for each in lengths if isinstance(each, Quantity)), None)
    return "us" if first is not None and first.unit in ("in", "ft", "yd") else "metric"


def own(name: str) -> str:
    """The words for a value that is the job's own."""
    return f"[{_OWN_WORDS.get(name, OWN)}]"


def standard_values(standard: Standard, tables: ReferenceTables) -> Values:
    """Every value that content may name; one that the standard leaves to the job says so in words."""
    found: dict[str, Any] = {each.name: own(each.name) for each in fields(Values) if each.name not in _LISTS}
    parts = (_document(standard), _rules(standard), _trench(standard), _supply(standard), _parts(standard))
    for stated in (*parts, _digging(standard, tables)):
        found |= {name: text for name, text in stated.items() if text is not None}
    return Values(
        **found,
        cables=cable_rows(standard),
        connectors=connector_rows(standard),
        devices=device_rows(standard),
    )


def _length(standard: Standard, rounding: Rounding, *keys: str) -> str | None:
    """A length that the standard states, in both unit systems."""
    found = standard.stated(*keys)
    return fmt.stated(found, units_of(standard), rounding) if found is not None else None


def _written(standard: Standard, *keys: str) -> str | None:
    """A quantity as the standard wrote it."""
    found = standard.stated(*keys)
    return Measure(fmt.written(found.text)) if found is not None else None


def _count(standard: Standard, *keys: str) -> str | None:
    """A whole number that the standard states."""
    found = standard.stated(*keys)
    return fmt.grouped(found) if found is not None else None


def _document(standard: Standard) -> dict[str, str | None]:
    """Facts that a job has and a standard may name."""
    return {"contractor": standard.contractor or None}


def _rules(standard: Standard) -> dict[str, str | None]:
    """What the firm asks of the work."""
    volts = _written(standard, "rules", "tests", "insulation", "volts")
    earthing = ("rules", "earthing")
    rod = [_length(standard, "least", *earthing, "rod", "length"),
           _length(standard, "nearest", *earthing, "rod", "diameter")]  # fmt: skip
    per = standard.stated("rules", "slack", "per")
    return {
        "slack_length": _length(standard, "cut", "rules", "slack", "length"),
        "slack_rule": SLACK_RULES[per] if per else None,
        "strip": _length(standard, "nearest", "rules", "strip"),
        "cover": _length(standard, "least", "rules", "cover"),
        "waste": _written(standard, "rules", "waste"),
        "spare": _written(standard, "rules", "spare"),
        "insulation_volts": Measure(f"{volts} dc") if volts else None,
        "insulation_least": _written(standard, "rules", "tests", "insulation", "least"),
        "loop_tolerance": _written(standard, "rules", "tests", "loop_tolerance"),
        "loop_meter": _meter(standard, "ohms"),
        "volt_meter": _meter(standard, "volts"),
        "rod": f"{rod[0]} long, {rod[1]} thick" if all(rod) else None,
        "target": _written(standard, "rules", "earthing", "target"),
        "every_boxes": _count(standard, "rules", "earthing", "every_boxes"),
        "every_run": _length(standard, "most", "rules", "earthing", "every_run"),
        "clear_of_cable": _length(standard, "least", "rules", "earthing", "clear_of_cable"),
    }


def _meter(standard: Standard, besides: str) -> str | None:
    """The error of a meter, where the standard states both parts."""
    parts = [_written(standard, "rules", "tests", "meter", key) for key in ("percent", besides)]
    return f"{parts[0]} of the reading and {parts[1]}" if all(parts) else None


def _trench(standard: Standard) -> dict[str, str | None]:
    """The trench and the ground."""
    units = units_of(standard)
    cover, bedding = standard.stated("rules", "cover"), standard.stated("trench", "bedding")
    pipe = standard.stated("trench", "shared_with_pipe")
    soil = standard.stated("conditions", "soil_temperature")
    whole = cover is not None and bedding is not None and pipe is not None
    tape_m = tape_depth_m(cover.si, units) if cover is not None else None
    return {
        "trench_width": _length(standard, "least", "trench", "width"),
        "trench_depth": fmt.length(cover.si + pipe.si + bedding.si, units, "least") if whole else None,
        "bedding": _length(standard, "least", "trench", "bedding"),
        "bedding_zone": fmt.length(2 * bedding.si + pipe.si, units, "least") if bedding and pipe else None,
        "pipe_od": _length(standard, "nearest", "trench", "shared_with_pipe"),
        "tape_depth": fmt.length(tape_m, units, "nearest") if tape_m is not None else None,
        "soil": standard.stated("conditions", "soil"),
        "coldest": fmt.stated(soil.low, units, "lowest") if soil else None,
        "hottest": fmt.stated(soil.high, units, "highest") if soil else None,
        "frost_depth": _length(standard, "highest", "conditions", "frost_depth"),
    }


def _digging(standard: Standard, tables: ReferenceTables) -> dict[str, str | None]:
    """Distances and depths of digging where one code basis alone prints a figure; its steps name that basis."""
    units = units_of(standard)
    rows = {
        name: [row for basis in tables.code_bases.values() for row in basis.excavation if row.id == id]
        for name, id in (("spoil_back", "spoil"), ("way_out_depth", "way-out"), ("support_depth", "support"))
    }
    found: dict[str, str | None] = {}
    for name, each in rows.items():
        pick = printed_distance if name == "spoil_back" else printed_depth
        figures = {text for row in each if (text := pick(row, units, "")) != ""}
        found[name] = figures.pop() if len(figures) == 1 else None
    return found


def _supply(standard: Standard) -> dict[str, str | None]:
    """The controller's end of the path."""
    current = standard.stated("supply", "current")
    return {
        "supply_volts": _written(standard, "supply", "volts"),
        "supply_kind": SUPPLY_KINDS[current] if current else None,
        "stations_at_once": _count(standard, "supply", "stations_at_once"),
    }


def _parts(standard: Standard) -> dict[str, str | None]:
    """Connectors and devices by what is printed on them; cables stay the job's, since it may add its own."""
    connectors, devices = connector_rows(standard), device_rows(standard)
    return {
        "connector_titles": _any_of(view.title for view in connectors),
        "connector_listing": _any_of(view.listing for view in connectors),
        "connector_strip": _any_of(view.strip for view in connectors),
        "wires_range": _any_of(view.wires for view in connectors),
        "devices_titles": _any_of(view.title for view in devices),
        "least_volts": _any_of(view.least_volts for view in devices),
        "solenoid_titles": either(map(solenoid_current, standard.solenoids.values())) if standard.solenoids else None,
    }


def _any_of(texts: Iterable[str]) -> str | None:
    """Different values side by side; nothing where one of them is the job's own."""
    found = list(texts)
    return either(found) if found and not any(text.startswith("[") for text in found) else None


def _text(part: Any, key: str) -> str:
    """A value of one part as text: a quantity or a range as written."""
    value = getattr(part, key, None)
    if value is None or value == "":
        return f"[{OWN}]"
    if isinstance(value, str):
        return value
    if isinstance(value, int):
        return fmt.grouped(value)
    return fmt.written(getattr(value, "text", None) or value.label)


def cable_rows(standard: Standard) -> tuple[CableView, ...]:
    """Every cable of the standard in words."""
    return tuple(
        CableView(
            name=name,
            title=f"{_text(cable, 'conductor')} {_text(cable, 'build')}",
            conductor=_text(cable, "conductor"),
            build=_text(cable, "build"),
            core_a=_text(cable.cores, "a"),
            core_b=_text(cable.cores, "b"),
            jacket=_text(cable, "jacket"),
            od=_text(cable, "jacket_od"),
            reel=_text(cable, "reel"),
        )
        for name, cable in standard.cables.items()
    )


def connector_rows(standard: Standard) -> tuple[ConnectorView, ...]:
    """Every connector of the standard in words."""
    keys = ("title", "sizes", "wires", "area", "strip", "listing", "pack")
    return tuple(
        ConnectorView(
            name=name,
            closing=getattr(connector, "closing", "") or AS_THE_PACK_SAYS,
            **{key: _text(connector, key) for key in keys},
        )
        for name, connector in standard.connectors.items()
    )


def device_rows(standard: Standard) -> tuple[DeviceView, ...]:
    """Every device of the standard in words."""
    keys = ("title", "outputs", "standby", "per_output", "least_volts")
    return tuple(
        DeviceView(
            name=name,
            leads=f"{_text(device.leads, 'conductor')} {_text(device.leads, 'build')}",
            **{key: _text(device, key) for key in keys},
        )
        for name, device in standard.devices.items()
    )
