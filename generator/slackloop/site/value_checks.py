"""Checks of values against one another: stations, addresses, outputs, cable data, dates, the supply, notes."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from slackloop.site.raw_job import BOXES, RawJob, box_id, copper_m_of, is_true, quantity_of, text_of, whole_of
from slackloop.site.site_contacts import NAMES
from slackloop.site.valve_boxes import NO_DEVICE
from slackloop.source.finding import At, Finding
from slackloop.source.suggestions import listed
from slackloop.units.figure import length


def value_checks(raw: RawJob) -> Iterator[Finding]:
    """All findings on values."""
    for check in (_stations, _addresses, _devices, _devices_both, _solenoids, _cables, _jackets, _cores, _dates,
                  _locates, _at_once, _lowest, _frequency, _always_on, _outputs, _notes):  # fmt: skip
        yield from check(raw)


def _stations(raw: RawJob) -> Iterator[Finding]:
    first: dict[int, At] = {}
    for device in raw.fitted:
        for at, number, _ in device.stations:
            if number is None:
                continue
            if number in first:
                yield Finding("error", "station-duplicate", f"station {number} is given twice: first on "
                              f"{raw.places.line_of(first[number])}, again on {raw.places.line_of(at)}", at,
                              expected="a station number for each output")  # fmt: skip
            else:
                first[number] = at


def _addresses(raw: RawJob) -> Iterator[Finding]:
    first: dict[str, At] = {}
    for device in raw.fitted:
        address = text_of(device.facts.get("address"))
        if address is None:
            continue
        at = (*device.at, "address")
        if address in first:
            yield Finding("error", "address-duplicate", f"two devices have the address {address[:60]}: first on "
                          f"{raw.places.line_of(first[address])}, again on {raw.places.line_of(at)}", at,
                          expected="an address for each device")  # fmt: skip
        else:
            first[address] = at


def _devices(raw: RawJob) -> Iterator[Finding]:
    for device in raw.fitted:
        if not device.stations:
            continue
        box, name, at = box_id(device.box, device.box_index), device.name, (*device.at, "stations")
        if name is None:
            said = device.facts.get("device")
            if "devices" not in device.facts and (said is None or said == NO_DEVICE):
                yield Finding("error", "station-without-device", f"{box} has stations and no device", at,
                              expected="a device on this box, or no stations")  # fmt: skip
            continue
        outputs, count = whole_of(raw.get("devices", name, "outputs")), len(device.stations)
        if outputs is not None and count > outputs:
            yield Finding("error", "stations-over-outputs",
                          f"{box} has {count} station{'s' if count > 1 else ''}, and its device {name} has {outputs} "
                          f"output{'s' if outputs != 1 else ''}", at, expected=f"at most {outputs}")  # fmt: skip


def _devices_both(raw: RawJob) -> Iterator[Finding]:
    """A box that states both one device and several: which of the two holds cannot be told."""
    yield from (
        Finding("error", "devices-both", f"{box_id(box, index)} has devices, and {key} beside them",
                (*BOXES, index, key), expected="device, address and stations of each device inside devices",
                hint=f"move {key} into the item of devices that it belongs to")
        for index, box in raw.boxes
        if box.get("devices")
        for key in ("device", "address", "stations")
        if box.get(key) is not None
    )  # fmt: skip


def _solenoids(raw: RawJob) -> Iterator[Finding]:
    if "path" not in raw.map_at() or text_of(raw.get("path", "solenoid")) is not None:
        return
    without = list(
        dict.fromkeys(
            box_id(device.box, device.box_index)
            for device in raw.fitted
            if text_of(device.box.get("solenoid")) is None
            and any(text_of(own.get("solenoid")) is None for _, _, own in device.stations)
        )
    )
    if not without:
        return
    yield Finding("error", "solenoid-missing", f"no solenoid is named for the stations of {listed(without)}", ("path",),
                  expected="path.solenoid, or solenoid on each of these boxes")  # fmt: skip


def _cables(raw: RawJob) -> Iterator[Finding]:
    alone = bool(raw.map_at("trench")) and raw.get("trench", "shared_with_pipe") is None
    for name in sorted(raw.run_cables):
        cable = raw.get("cables", name)
        if not isinstance(cable, dict):
            continue
        at: At = ("cables", name)
        if is_true(cable.get("existing")):
            continue  # it is there: neither ordered nor laid
        if cable.get("reel") is None:
            yield Finding("warning", "reel-missing", f"the cable {name} is used by runs and states no reel length", at,
                          expected="reel, as reel: 750 m, to order and to plan reels")  # fmt: skip
        if alone and cable.get("jacket_od") is None:
            yield Finding("error", "jacket-od-missing",
                          f"the cable {name} lies in a trench of its own and states no outside diameter", at,
                          expected="jacket_od, as jacket_od: 9.5 mm, for the depth of the trench")  # fmt: skip


def _jackets(raw: RawJob) -> Iterator[Finding]:
    """A cable that is thinner than the copper of one of its cores is none; a flat one is measured either way."""
    for name in raw.map_at("cables"):
        size, outside_m = (raw.get("cables", name, key) for key in ("conductor", "jacket_od"))
        copper_m, outside_m = copper_m_of(size), quantity_of(outside_m, "length")
        if copper_m is not None and outside_m is not None and outside_m < copper_m:
            yield Finding("error", "jacket-od-thin",
                          f"the cable {name[:60]} is {text_of(raw.get('cables', name, 'jacket_od'))} thick outside, "
                          f"and the copper of one core alone is {length(copper_m, 'nearest').alone('metric')}",
                          ("cables", name, "jacket_od"), expected="the outside diameter of the cable",
                          hint="measure the cable, or read its maker's sheet")  # fmt: skip


def _cores(raw: RawJob) -> Iterator[Finding]:
    """Two cores that cannot be told apart by colour."""
    for name in raw.map_at("cables"):
        a, b = (text_of(raw.get("cables", name, "cores", core)) for core in ("a", "b"))
        if a is not None and b is not None and a.strip().casefold() == b.strip().casefold():
            yield Finding(
                "warning",
                "cores-alike",
                f"both cores of {name} are {a}: nobody can tell them apart by colour",
                ("cables", name, "cores", "b"),
                expected="what is printed on the reel for each core, as grey or grey with a ridge",
            )


def _day(value: object) -> datetime.date | None:
    try:
        return datetime.date.fromisoformat(text_of(value) or "")
    except ValueError:
        return None


def _dates(raw: RawJob) -> Iterator[Finding]:
    current = _day(raw.get("document", "date"))
    history = raw.get("document", "history")
    if current is None or not isinstance(history, list):
        return
    for index, entry in enumerate(history):
        day = _day(entry.get("date")) if isinstance(entry, dict) else None
        if day is not None and day > current:
            yield Finding("warning", "date-order",
                          f"an earlier revision is dated {day}, after the document's own date {current}",
                          ("document", "history", index, "date"), expected=f"a date up to {current}")  # fmt: skip


def _locates(raw: RawJob) -> Iterator[Finding]:
    """A search for buried utilities that holds no longer on the day of the document."""
    current, last = _day(raw.get("document", "date")), _day(raw.get("locates", "valid_to"))
    if current is None or last is None or last >= current:
        return
    yield Finding("warning", "locate-expired",
                  f"the search for buried utilities holds until {last}, and the document is dated {current}",
                  ("locates", "valid_to"), expected=f"a search that holds on {current} or later",
                  hint="have the utilities marked again before anyone digs",
                  asks="the service that marks buried utilities")  # fmt: skip


def _at_once(raw: RawJob) -> Iterator[Finding]:
    """No station at once on a path that has stations: all volts would be those with all outputs off."""
    if whole_of(raw.get("supply", "stations_at_once")) != 0 or raw.get("supply", "always_on"):
        return
    count = sum(len(device.stations) for device in raw.fitted)
    if count:
        yield Finding("error", "stations-none-at-once",
                      f"stations_at_once is 0, and the path has {count} {'station' if count == 1 else 'stations'}: no "
                      "volts would be calculated for any that operates", ("supply", "stations_at_once"),
                      expected="1 or more; 0 only on a path without stations")  # fmt: skip


def _lowest(raw: RawJob) -> Iterator[Finding]:
    lowest, volts = (quantity_of(raw.get("supply", key), "volts") for key in ("lowest", "volts"))
    if lowest is None or volts is None or lowest <= volts:
        return
    yield Finding("error", "lowest-above-volts",
                  f"the lowest volts of the supply, {lowest:g} V, are more than its volts, {volts:g} V",
                  ("supply", "lowest"), expected=f"{volts:g} V or less")  # fmt: skip


def _frequency(raw: RawJob) -> Iterator[Finding]:
    if raw.get("supply", "frequency") is None or text_of(raw.get("supply", "current")) != "dc":
        return
    yield Finding("warning", "frequency-on-dc", "the supply states a frequency, and its current is dc",
                  ("supply", "frequency"), hint="delete frequency, or write current: ac")  # fmt: skip


def _always_on(raw: RawJob) -> Iterator[Finding]:
    stated = raw.get("supply", "always_on")
    if not isinstance(stated, list):
        return
    numbers = [whole_of(value) for value in stated]
    lists = [device.facts.get("stations") for device in raw.fitted]
    known = {number for device in raw.fitted for _, number, _ in device.stations}
    whole_path = bool(raw.boxes) and not raw.refused and all(each is None or isinstance(each, list) for each in lists)
    for position, number in enumerate(numbers):
        if number is None:
            continue
        at: At = ("supply", "always_on", position)
        if number in numbers[:position]:
            yield Finding("error", "always-on-twice", f"always_on names station {number} twice", at)
        elif whole_path and number not in known:
            stations = [str(each) for each in sorted(n for n in known if n is not None)]
            yield Finding(
                "error",
                "always-on-unknown",
                f"always_on names station {number}, and no box has it",
                at,
                expected=f"one of {listed(stations, 12)}" if stations else "no station: the path has none",
            )
    at_once = whole_of(raw.get("supply", "stations_at_once"))
    count = len(set(numbers))
    if at_once is not None and count > at_once:
        yield Finding("error", "always-on-over",
                      f"always_on names {count} {'station' if count == 1 else 'stations'}, and stations_at_once, which "
                      f"counts them, is {at_once}", ("supply", "stations_at_once"),
                      expected=f"{count} or more")  # fmt: skip


def _outputs(raw: RawJob) -> Iterator[Finding]:
    """A device with outputs says what an output takes, and in one of two ways what it gives."""
    for name, device in raw.map_at("devices").items():
        if not isinstance(device, dict) or not whole_of(device.get("outputs")):
            continue
        at: At = ("devices", name)
        if "per_output" not in device:
            yield Finding("error", "per-output-missing",
                          f"the device {name[:60]} has outputs and does not say what one takes from the path", at,
                          expected="per_output, as per_output: 32 mA")  # fmt: skip
        given = [key for key in ("output_volts", "output_drop") if key in device]
        if not given:
            yield Finding("error", "output-volts-missing",
                          f"the device {name[:60]} has outputs and does not say how many volts they give", at,
                          expected="output_volts, as output_volts: 24 V, where the device regulates its outputs; or "
                          "output_drop, as output_drop: 1.5 V, where they follow the path")  # fmt: skip
        elif len(given) == 2:
            yield Finding(
                "error",
                "output-volts-both",
                f"the device {name[:60]} states output_volts on {raw.places.line_of((*at, given[0]))} and "
                f"output_drop on {raw.places.line_of((*at, given[1]))}",
                (*at, given[1]),
                expected="one of them: output_volts where the device regulates its outputs, output_drop where "
                "they follow the path",
            )


def _notes(raw: RawJob) -> Iterator[Finding]:
    """All findings on the languages of notes: one a language for the notes that it lacks."""
    stated = raw.get("languages")
    read = [each for each in stated if isinstance(each, str) and each != "en"] if isinstance(stated, list) else []
    lacking: dict[str, list[str]] = {}
    for index, box in raw.boxes:
        where, given = box_id(box, index), raw.map_at(*BOXES, index, "note_in")
        has_note = text_of(box.get("note")) is not None
        for language in read if has_note else ():
            if language not in given:
                lacking.setdefault(language, []).append(where)
        for language in given:
            if language in read and has_note:
                continue
            why, mend = (
                ("the box has no note", "give the note in English too")
                if language in read
                else ("languages does not name it", f"add {language} to languages")
            )
            message = f"{where} has a note in {language}, and {why}: nobody sees it"
            yield Finding("warning", "note-in-unused", message, (*BOXES, index, "note_in", language), hint=mend)
    for language, boxes in lacking.items():
        message = (
            f"the crew's pages and cards in {NAMES.get(language, language)} show "
            f"{'a note' if len(boxes) == 1 else 'notes'} in English: {listed(boxes)}"
        )
        expected = f"note_in: {{{language}: …}} beside a note"
        yield Finding("note", "note-in-english", message, ("languages",), expected=expected)
