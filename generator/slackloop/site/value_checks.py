"""Checks of values against one another: stations, addresses, outputs, runs, cable data, dates."""

from __future__ import annotations

import datetime

from slackloop.site.plain_fields import CONTROLLER
from slackloop.site.raw_job import BOXES, RawJob, is_true, text_of, whole_of
from slackloop.site.valve_boxes import NO_DEVICE
from slackloop.source.ambiguous_scalar import TypedScalar
from slackloop.source.finding import At, Finding
from slackloop.source.suggestions import listed


def value_checks(raw: RawJob) -> list[Finding]:
    """All findings on values."""
    found: list[Finding] = []
    for check in (_stations, _addresses, _devices, _devices_both, _solenoids, _runs, _cables, _cores, _dates, _locates):
        found += check(raw)
    return found


def _box_id(box: dict[str, object], index: int) -> str:
    return text_of(box.get("id")) or f"box {index + 1} of the list"


def _stations(raw: RawJob) -> list[Finding]:
    first: dict[int, At] = {}
    found: list[Finding] = []
    for device in raw.fitted:
        for at, number, _ in device.stations:
            if number is None:
                continue
            if number in first:
                found.append(
                    Finding(
                        "error",
                        "station-duplicate",
                        f"station {number} is given twice: first on "
                        f"{raw.places.line_of(first[number])}, again on {raw.places.line_of(at)}",
                        at,
                        expected="a station number for each output",
                    )
                )
            else:
                first[number] = at
    return found


def _addresses(raw: RawJob) -> list[Finding]:
    first: dict[str, At] = {}
    found: list[Finding] = []
    for device in raw.fitted:
        address = text_of(device.facts.get("address"))
        if address is None:
            continue
        at = (*device.at, "address")
        if address in first:
            found.append(
                Finding(
                    "error",
                    "address-duplicate",
                    f"two devices have the address {address[:60]}: first on "
                    f"{raw.places.line_of(first[address])}, again on {raw.places.line_of(at)}",
                    at,
                    expected="an address for each device",
                )
            )
        else:
            first[address] = at
    return found


def _devices(raw: RawJob) -> list[Finding]:
    found: list[Finding] = []
    for device in raw.fitted:
        if not device.stations:
            continue
        box, name, at = _box_id(device.box, device.box_index), device.name, (*device.at, "stations")
        if name is None:
            said = device.facts.get("device")
            if "devices" not in device.facts and (said is None or said == NO_DEVICE):
                found.append(
                    Finding(
                        "error",
                        "station-without-device",
                        f"{box} has stations and no device",
                        at,
                        expected="a device on this box, or no stations",
                    )
                )
            continue
        outputs, count = whole_of(raw.get("devices", name, "outputs")), len(device.stations)
        if outputs is not None and count > outputs:
            found.append(
                Finding(
                    "error",
                    "stations-over-outputs",
                    f"{box} has {count} station{'s' if count > 1 else ''}, and its device {name} has {outputs} "
                    f"output{'s' if outputs != 1 else ''}",
                    at,
                    expected=f"at most {outputs}",
                )
            )
    return found


def _devices_both(raw: RawJob) -> list[Finding]:
    """A box that states both one device and several: which of the two holds cannot be told."""
    return [
        Finding(
            "error",
            "devices-both",
            f"{_box_id(box, index)} has devices, and {key} beside them",
            (*BOXES, index, key),
            expected="device, address and stations of each device inside devices",
            hint=f"move {key} into the item of devices that it belongs to",
        )
        for index, box in raw.boxes
        if box.get("devices")
        for key in ("device", "address", "stations")
        if box.get(key) is not None
    ]


def _solenoids(raw: RawJob) -> list[Finding]:
    if "path" not in raw.map_at() or text_of(raw.get("path", "solenoid")) is not None:
        return []
    without = list(
        dict.fromkeys(
            _box_id(device.box, device.box_index)
            for device in raw.fitted
            if text_of(device.box.get("solenoid")) is None
            and any(text_of(own.get("solenoid")) is None for _, _, own in device.stations)
        )
    )
    if not without:
        return []
    return [
        Finding(
            "error",
            "solenoid-missing",
            f"no solenoid is named for the stations of {listed(without)}",
            ("path",),
            expected="path.solenoid, or solenoid on each of these boxes",
        )
    ]


def _runs(raw: RawJob) -> list[Finding]:
    found: list[Finding] = []
    for index, box in raw.boxes:
        if box.get("run") is not None:
            continue
        at = (*BOXES, index)
        start = text_of(box.get("from"))
        lacking: list[str] = []
        if box.get("at") is None:
            lacking.append(_box_id(box, index))
        if start is not None and start != CONTROLLER and start in raw.index_of:
            other = raw.box_at[raw.index_of[start]]
            if other.get("at") is None:
                lacking.append(start)
            elif not lacking and _pair(other.get("at")) == _pair(box.get("at")) is not None:
                found.append(_zero_run(at, _box_id(box, index), start))
        elif start == CONTROLLER and not lacking:
            origin = raw.get("path", "controller_at")
            if (_pair(origin) if origin is not None else (0.0, 0.0)) == _pair(box.get("at")):
                found.append(_zero_run(at, _box_id(box, index), start))
        if lacking:
            found.append(
                Finding(
                    "error",
                    "run-unknown",
                    f"the run to {_box_id(box, index)} is not given, and "
                    f"{' and '.join(lacking)} {'has' if len(lacking) == 1 else 'have'} no coordinates",
                    at,
                    expected="run, as run: 62 m; or at on both boxes, as at: [118.0, 44.5]",
                )
            )
    return found


def _zero_run(at: At, box: str, start: str) -> Finding:
    return Finding(
        "error",
        "run-zero",
        f"{box} and {start} have the same coordinates, so the run has no length",
        (*at, "at"),
        expected="run, as run: 2 m, or other coordinates",
    )


def _pair(value: object) -> tuple[float, float] | None:
    if not isinstance(value, list) or len(value) != 2:
        return None
    numbers = [part.value if isinstance(part, TypedScalar) else None for part in value]
    if numbers[0] is None or numbers[1] is None:
        return None
    return float(numbers[0]), float(numbers[1])


def _cables(raw: RawJob) -> list[Finding]:
    found: list[Finding] = []
    alone = bool(raw.map_at("trench")) and raw.get("trench", "shared_with_pipe") is None
    for name in sorted(raw.run_cables):
        cable = raw.get("cables", name)
        if not isinstance(cable, dict):
            continue
        at: At = ("cables", name)
        if is_true(cable.get("existing")):
            continue  # it is there: neither ordered nor laid
        if cable.get("reel") is None:
            found.append(
                Finding(
                    "warning",
                    "reel-missing",
                    f"the cable {name} is used by runs and states no reel length",
                    at,
                    expected="reel, as reel: 750 m, to order and to plan reels",
                )
            )
        if alone and cable.get("jacket_od") is None:
            found.append(
                Finding(
                    "error",
                    "jacket-od-missing",
                    f"the cable {name} lies in a trench of its own and states no outside diameter",
                    at,
                    expected="jacket_od, as jacket_od: 9.5 mm, for the depth of the trench",
                )
            )
    return found


def _cores(raw: RawJob) -> list[Finding]:
    """Two cores that cannot be told apart by colour."""
    found: list[Finding] = []
    for name in raw.map_at("cables"):
        a, b = (text_of(raw.get("cables", name, "cores", core)) for core in ("a", "b"))
        if a is not None and b is not None and a.strip().casefold() == b.strip().casefold():
            found.append(
                Finding(
                    "warning",
                    "cores-alike",
                    f"both cores of {name} are {a}: nobody can tell them apart by colour",
                    ("cables", name, "cores", "b"),
                    expected="what is printed on the reel for each core, as grey or grey with a ridge",
                )
            )
    return found


def _day(value: object) -> datetime.date | None:
    try:
        return datetime.date.fromisoformat(text_of(value) or "")
    except ValueError:
        return None


def _dates(raw: RawJob) -> list[Finding]:
    current = _day(raw.get("document", "date"))
    history = raw.get("document", "history")
    if current is None or not isinstance(history, list):
        return []
    found: list[Finding] = []
    for index, entry in enumerate(history):
        day = _day(entry.get("date")) if isinstance(entry, dict) else None
        if day is not None and day > current:
            found.append(
                Finding(
                    "warning",
                    "date-order",
                    f"an earlier revision is dated {day}, after the document's own date {current}",
                    ("document", "history", index, "date"),
                    expected=f"a date up to {current}",
                )
            )
    return found


def _locates(raw: RawJob) -> list[Finding]:
    """A search for buried utilities that holds no longer on the day of the document."""
    current, last = _day(raw.get("document", "date")), _day(raw.get("locates", "valid_to"))
    if current is None or last is None or last >= current:
        return []
    return [
        Finding(
            "warning",
            "locate-expired",
            f"the search for buried utilities holds until {last}, and the document is dated {current}",
            ("locates", "valid_to"),
            expected=f"a search that holds on {current} or later",
            hint="have the utilities marked again before anyone digs",
            asks="the service that marks buried utilities",
        )
    ]
