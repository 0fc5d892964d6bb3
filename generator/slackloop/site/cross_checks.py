"""Every check that looks at more than one key, run on the plain values so that one slip hides no other.

Checks of the supply and of devices' outputs: values that must agree, and one of two that must be there.

Checks of the notes for the crew: there in each language of the job, and in no other.
"""

from __future__ import annotations

from collections.abc import Collection

from slackloop.site.answers import answer_checks
from slackloop.site.name_checks import look_alike_checks, name_checks
from slackloop.site.path_checks import path_checks
from slackloop.site.raw_job import BOXES, RawJob, quantity_of, text_of, whole_of
from slackloop.site.site_contacts import NAMES
from slackloop.site.value_checks import value_checks
from slackloop.source.finding import At, Finding
from slackloop.source.suggestions import listed


def supply_checks(raw: RawJob) -> list[Finding]:
    """All findings on the supply and on outputs."""
    return [*_lowest(raw), *_frequency(raw), *_always_on(raw), *_outputs(raw)]


def _lowest(raw: RawJob) -> list[Finding]:
    lowest, volts = (quantity_of(raw.get("supply", key), "volts") for key in ("lowest", "volts"))
    if lowest is None or volts is None or lowest <= volts:
        return []
    return [
        Finding(
            "error",
            "lowest-above-volts",
            f"the lowest volts of the supply, {lowest:g} V, are more than its volts, {volts:g} V",
            ("supply", "lowest"),
            expected=f"{volts:g} V or less",
        )
    ]


def _frequency(raw: RawJob) -> list[Finding]:
    if raw.get("supply", "frequency") is None or text_of(raw.get("supply", "current")) != "dc":
        return []
    return [
        Finding(
            "warning",
            "frequency-on-dc",
            "the supply states a frequency, and its current is dc",
            ("supply", "frequency"),
            hint="delete frequency, or write current: ac",
        )
    ]


def _always_on(raw: RawJob) -> list[Finding]:
    stated = raw.get("supply", "always_on")
    if not isinstance(stated, list):
        return []
    numbers = [whole_of(value) for value in stated]
    lists = [device.facts.get("stations") for device in raw.fitted]
    known = {number for device in raw.fitted for _, number, _ in device.stations}
    whole_path = bool(raw.boxes) and not raw.refused and all(each is None or isinstance(each, list) for each in lists)
    found: list[Finding] = []
    for position, number in enumerate(numbers):
        if number is None:
            continue
        at: At = ("supply", "always_on", position)
        if number in numbers[:position]:
            found.append(Finding("error", "always-on-twice", f"always_on names station {number} twice", at))
        elif whole_path and number not in known:
            stations = [str(each) for each in sorted(n for n in known if n is not None)]
            found.append(
                Finding(
                    "error",
                    "always-on-unknown",
                    f"always_on names station {number}, and no box has it",
                    at,
                    expected=f"one of {listed(stations, 12)}" if stations else "no station: the path has none",
                )
            )
    at_once = whole_of(raw.get("supply", "stations_at_once"))
    count = len(set(numbers))
    if at_once is not None and count > at_once:
        found.append(
            Finding(
                "error",
                "always-on-over",
                f"always_on names {count} {'station' if count == 1 else 'stations'}, and stations_at_once, which "
                f"counts them, is {at_once}",
                ("supply", "stations_at_once"),
                expected=f"{count} or more",
            )
        )
    return found


def _outputs(raw: RawJob) -> list[Finding]:
    """A device with outputs says what an output takes, and in one of two ways what it gives."""
    found: list[Finding] = []
    for name, device in raw.map_at("devices").items():
        if not isinstance(device, dict) or not whole_of(device.get("outputs")):
            continue
        at: At = ("devices", name)
        if "per_output" not in device:
            found.append(
                Finding(
                    "error",
                    "per-output-missing",
                    f"the device {name[:60]} has outputs and does not say what one takes from the path",
                    at,
                    expected="per_output, as per_output: 32 mA",
                )
            )
        given = [key for key in ("output_volts", "output_drop") if key in device]
        if not given:
            found.append(
                Finding(
                    "error",
                    "output-volts-missing",
                    f"the device {name[:60]} has outputs and does not say how many volts they give",
                    at,
                    expected="output_volts, as output_volts: 24 V, where the device regulates its outputs; or "
                    "output_drop, as output_drop: 1.5 V, where they follow the path",
                )
            )
        elif len(given) == 2:
            found.append(
                Finding(
                    "error",
                    "output-volts-both",
                    f"the device {name[:60]} states output_volts on {raw.places.line_of((*at, given[0]))} and "
                    f"output_drop on {raw.places.line_of((*at, given[1]))}",
                    (*at, given[1]),
                    expected="one of them: output_volts where the device regulates its outputs, output_drop where "
                    "they follow the path",
                )
            )
    return found


def note_checks(raw: RawJob) -> list[Finding]:
    """All findings on the languages of notes: one a language for the notes that it lacks."""
    stated = raw.get("languages")
    read = [each for each in stated if isinstance(each, str) and each != "en"] if isinstance(stated, list) else []
    found: list[Finding] = []
    lacking: dict[str, list[str]] = {}
    for index, box in raw.boxes:
        where, given = text_of(box.get("id")) or f"box {index + 1} of the list", raw.map_at(*BOXES, index, "note_in")
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
            found.append(Finding("warning", "note-in-unused", message, (*BOXES, index, "note_in", language), hint=mend))
    for language, boxes in lacking.items():
        message = (
            f"the crew's pages and cards in {NAMES.get(language, language)} show "
            f"{'a note' if len(boxes) == 1 else 'notes'} in English: {listed(boxes)}"
        )
        expected = f"note_in: {{{language}: …}} beside a note"
        found.append(Finding("note", "note-in-english", message, ("languages",), expected=expected))
    return found


def cross_checks(
    raw: RawJob, soils: Collection[str] | None, code_bases: Collection[str] | None
) -> list[tuple[Finding, bool]]:
    """All findings, each with whether it points at the key rather than at the value."""
    found = [(finding, False) for finding in path_checks(raw)]
    found += name_checks(raw, soils, code_bases)
    found += look_alike_checks(raw)
    found += [(finding, False) for finding in (*value_checks(raw), *supply_checks(raw), *note_checks(raw))]
    found += [(finding, True) for finding in answer_checks(raw)]
    return [pair for pair in found if not _under_refused(raw, pair[0])]


def _under_refused(raw: RawJob, finding: Finding) -> bool:
    """Whether the value was refused already when the file was read."""
    at = finding.at
    return bool(raw.refused) and any(at[:length] in raw.refused for length in range(1, len(at) + 1))
