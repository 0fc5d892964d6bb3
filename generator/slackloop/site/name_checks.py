"""Checks of names: every name used is defined, every definition is used, and the tables know the rest.

Checks of ids and names that look the same: a reading would be written down for the wrong box.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Collection, Iterator, Mapping

from slackloop.site.effective_values import LONG_LEAD_M
from slackloop.site.raw_job import BOXES, CLOSURES, RawJob, length_of, text_of
from slackloop.site.valve_boxes import NO_DEVICE
from slackloop.source.finding import At, Finding
from slackloop.source.suggestions import did_you_mean, difference, foreign_look_alikes, listed, look_alikes, skeleton
from slackloop.units.figure import length

_TABLES: dict[str, str] = {
    "cable": "cables",
    "lead_cable": "cables",
    "device": "devices",
    "connector": "connectors",
    "solenoid_connector": "connectors",
    "solenoid": "solenoids",
}
_SINGULAR = {"cables": "cable", "devices": "device", "connectors": "connector", "solenoids": "solenoid"}
_MOST_OF_ONE_NAME = 5
"""Places shown of one undefined name; the last of them counts the rest."""


def name_checks(
    raw: RawJob, soils: Collection[str] | None, code_bases: Collection[str] | None
) -> list[tuple[Finding, bool]]:
    """All findings on names, each with whether it points at the key."""
    used, undefined = _uses(raw)
    found = [(finding, False) for finding in undefined]
    found += [(finding, False) for finding in _known(raw, ("conditions", "soil"), "soil", "soil-unknown", soils)]
    found += [
        (finding, False)
        for finding in _known(raw, ("job", "code_basis"), "code basis", "code-basis-unknown", code_bases)
    ]
    lead_findings, lead_cable = _leads(raw)
    found += [(finding, False) for finding in lead_findings]
    if lead_cable is not None:
        used["cables"].add(lead_cable)
    return found + [(finding, True) for finding in _unused(raw, used)]


def _references(raw: RawJob) -> Iterator[tuple[str, str, At]]:
    """Every name used: its table, the name, its place."""
    groups: list[tuple[At, dict[str, object]]] = [(("path",), raw.map_at("path"))]
    groups += [((*BOXES, index), box) for index, box in raw.boxes]
    groups += [((*CLOSURES, index), closure) for index, closure in raw.closures]
    for device in raw.fitted:
        if device.facts is not device.box:
            groups.append((device.at, device.facts))
        groups += [(at[:-1], own) for at, _, own in device.stations if own]
    for at, part in groups:
        for key, table in _TABLES.items():
            name = text_of(part[key]) if key in part else None
            if name is not None and not (key == "device" and name == NO_DEVICE):
                yield table, name, (*at, key)


def _uses(raw: RawJob) -> tuple[dict[str, set[str]], list[Finding]]:
    used: dict[str, set[str]] = {table: set() for table in _SINGULAR}
    defined = {table: raw.map_at(table) for table in _SINGULAR}
    missing: dict[tuple[str, str], list[At]] = {}
    for table, name, at in _references(raw):
        used[table].add(name)
        if name not in defined[table] and (table, name) not in raw.refused:
            missing.setdefault((table, name), []).append(at)
    found: list[Finding] = []
    for (table, name), uses in missing.items():
        names = list(defined[table])
        places = list({raw.places.locate(at): at for at in reversed(uses)}.values())[::-1]
        for number, at in enumerate(places[:_MOST_OF_ONE_NAME]):
            rest = len(places) - _MOST_OF_ONE_NAME
            more = f"; {rest} more places use it" if rest > 0 and number == _MOST_OF_ONE_NAME - 1 else ""
            found.append(
                Finding("error", "name-undefined", f"{at[-1]}: {name[:60]} is not defined under {table}{more}", at,
                        expected=f"one of {listed(names)}" if names else f"a {_SINGULAR[table]} under {table}",
                        hint=did_you_mean(name, names))
            )  # fmt: skip
    return used, found


def _unused(raw: RawJob, used: dict[str, set[str]]) -> Iterator[Finding]:
    """Definitions of the job itself that nothing uses; a standard may define more than one job needs."""
    if not raw.boxes:
        return
    for table, names in used.items():
        for name in raw.map_at(table):
            at = (table, name)
            if name not in names and raw.from_job(at):
                yield Finding("warning", "name-unused", f"the {_SINGULAR[table]} {name[:60]} is not used", at,
                              hint=f"delete it, or name it in path: as {_SINGULAR[table]}")  # fmt: skip


def _known(raw: RawJob, at: At, words: str, code: str, names: Collection[str] | None) -> Iterator[Finding]:
    name = text_of(raw.get(*at))
    if names is None or name is None or name in names:
        return
    yield Finding("error", code, f"{name[:60]} is not a {words} that the tables know", at,
                  expected=f"one of {listed(names, 20)}", hint=did_you_mean(name, names))  # fmt: skip


def _leads(raw: RawJob) -> tuple[list[Finding], str | None]:
    """A cable for each long lead; gives the cable that long leads take when none is named."""
    path_cable = text_of(raw.get("path", "lead_cable"))
    spare = [name for name in raw.map_at("cables") if name not in raw.run_cables]
    default = path_cable or (spare[0] if len(spare) == 1 else None)
    long_leads = list(_long_leads(raw))
    if not long_leads:
        return [], None
    if default is not None:
        return [], default
    box, at = long_leads[0]
    names = list(dict.fromkeys(text_of(box.get("id")) or f"item {at[2]}" for box, at in long_leads))
    long = length(LONG_LEAD_M, "most").brief("us" if text_of(raw.get("job", "units")) == "us" else "metric")
    return [
        Finding("warning", "lead-cable-unknown", f"no cable is named for leads longer than {long}: {listed(names)}", at,
                text_of(box.get("id")) or "" if len(names) == 1 else "",
                expected="path.lead_cable, lead_cable on the box, or one cable that no run uses",
                hint="until one is named, its core is taken as the device's lead and no cable is ordered",
                of=tuple(names))
    ], None  # fmt: skip


def _long_leads(raw: RawJob) -> Iterator[tuple[dict[str, object], At]]:
    """Every long lead for which no cable is named at its box or station: the box, and the place of the lead."""
    for index, box in raw.boxes:
        if "lead" in box and (length_of(box["lead"]) or 0.0) > LONG_LEAD_M and text_of(box.get("lead_cable")) is None:
            yield box, (*BOXES, index, "lead")
    for device in raw.fitted:
        for at, _, own in device.stations:
            if "lead" not in own:
                continue
            named = text_of(own.get("lead_cable")) or text_of(device.box.get("lead_cable"))
            if (length_of(own["lead"]) or 0.0) > LONG_LEAD_M and named is None:
                yield device.box, (*at[:-1], "lead")


_PART_TABLES = ("cables", "devices", "connectors", "solenoids")
_HINT = "write both with letters of one alphabet, or give one another name"


def look_alike_checks(raw: RawJob) -> list[tuple[Finding, bool]]:
    """A warning for each id, or name of a table, that looks like another; with whether it points at the key."""
    boxes: dict[str, At] = {identity: (*BOXES, index, "id") for identity, index in raw.index_of.items()}
    found = [(finding, False) for finding in _alike(boxes, "the id", of_box=True)]
    for table in _PART_TABLES:
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
