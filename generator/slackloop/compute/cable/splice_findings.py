"""What is wrong or doubtful about the splices of a job.

Colours of cores that meet in one box: pairs that are swapped between cables, leads that look like the path.
"""

from __future__ import annotations

from collections.abc import Sequence

from slackloop.compute.cable.splices import Splice
from slackloop.site.effective_values import PlacedDevice, long_leads
from slackloop.site.models import Cable, Job
from slackloop.site.network import JobPlaces, Network, Tail, boxes_in_order
from slackloop.source.finding import Finding
from slackloop.source.suggestions import FEW, listed
from slackloop.units.figure import stated
from slackloop.units.quantity import AGREE_WITHIN

_HINT = "Name another connector for this box, or check the maker's sheet for this combination."


BoxSplices = Sequence[Sequence[Splice]]


def splice_findings(
    job: Job, network: Network, splices: BoxSplices, solenoid_splices: BoxSplices
) -> tuple[Finding, ...]:
    """All findings about splices: connectors that do not fit, boxes without purpose."""
    return (
        *_path_misfits(job, network, splices),
        *_station_misfits(job, network, solenoid_splices),
        *_strips(job, (*splices, *solenoid_splices)),
        *_purpose(job, network),
    )


def _path_misfits(job: Job, network: Network, per_box: BoxSplices) -> list[Finding]:
    findings: list[Finding] = []
    places = JobPlaces(job)
    for box_id, splices in zip(network.boxes, per_box, strict=True):
        bad = next((splice for splice in splices if splice.fits is False), None)
        if bad is not None:
            title = job.connectors[bad.connector].title
            findings.append(
                Finding(level="error", code="connector-misfit",
                        message=f"{box_id}: {title} does not fit the path splice ({_sizes(bad)}): "
                        f"{'; '.join(bad.reasons)}.", at=places.box(box_id, "connector"), box=box_id,
                        expected="a connector listed for these conductors", hint=_HINT)
            )  # fmt: skip
    return findings


def _station_misfits(job: Job, network: Network, per_box: BoxSplices) -> list[Finding]:
    """An error a box where sizes are given; one warning a combination where the solenoid's lead is assumed."""
    findings: list[Finding] = []
    places = JobPlaces(job)
    doubtful: dict[tuple[str, str, tuple[str, ...]], list[str]] = {}
    for box_id, splices in zip(network.boxes, per_box, strict=True):
        known = next((s for s in splices if s.fits is False and not s.rests_on_assumed_size), None)
        if known is not None:
            title = job.connectors[known.connector].title
            findings.append(
                Finding(level="error", code="connector-misfit-solenoid",
                        message=f"{box_id}: {title} does not fit the splice {known.cores} ({_sizes(known)}): "
                        f"{'; '.join(known.reasons)}.", at=places.box(box_id, "solenoid_connector"), box=box_id,
                        expected="a connector listed for these conductors",
                        hint="Name another solenoid_connector for this box.")
            )  # fmt: skip
        for splice in splices:
            if splice.fits is False and splice.rests_on_assumed_size:
                boxes = doubtful.setdefault((splice.connector, _sizes(splice), splice.reasons), [])
                if box_id not in boxes:
                    boxes.append(box_id)
    for (connector, sizes, reasons), boxes in doubtful.items():
        findings.append(
            Finding(
                level="warning",
                code="connector-misfit-solenoid",
                message=f"{job.connectors[connector].title} may not fit the solenoid splice ({sizes}, the solenoid's "
                f"lead taken as the device's): {'; '.join(reasons)}. Boxes: {listed(boxes, FEW)}.",
                at=places.box(boxes[0]),
                box=boxes[0],
                expected="leads of the solenoid, as {conductor: 18 AWG, build: stranded}",
                hint="Give the solenoid's own leads, or name a solenoid_connector that fits.",
                asks="the supplier of the solenoids",
                of=tuple(boxes),
            )
        )
    return findings


def _strips(job: Job, per_box: BoxSplices) -> list[Finding]:
    """Connectors that are used and whose own length of bare copper is not that of the rules.

    Two lengths agree as closely as the two units of one quantity must: 16 mm and 5/8 in are the same.
    """
    rule, units = job.rules.strip, job.job.units
    findings: list[Finding] = []
    for name in dict.fromkeys(splice.connector for splices in per_box for splice in splices):
        own = job.connectors[name].strip
        if abs(own.si - rule.si) > float(AGREE_WITHIN) * max(own.si, rule.si):
            asked, wanted = stated(rule, "nearest").brief(units), stated(own, "nearest").brief(units)
            findings.append(
                Finding("warning", "strip-differs",
                        f"connectors.{name}.strip is {wanted}, and rules.strip is {asked}: the pages of the boxes and "
                        "the front sheet say different lengths of bare copper.", at=("connectors", name, "strip"),
                        expected=f"the length on the pack of {job.connectors[name].title}, in both places",
                        hint="Read the pack, and correct the place that is wrong.", asks="the maker of the connector")
            )  # fmt: skip
    return findings


def _purpose(job: Job, network: Network) -> list[Finding]:
    """Boxes without a device that are no branch: a splice nobody needs, or a cable end with nothing on it."""
    findings: list[Finding] = []
    places = JobPlaces(job)
    boxes = boxes_in_order(job, network.boxes)
    for box, tails, devices in zip(boxes, network.tails, network.devices, strict=True):
        if devices or box.existing or len(tails) > 2:
            continue
        if len(tails) == 2:
            code, message = "splice-without-purpose", "2 cable ends meet here, with no device and no branch"
            hint = "Take the cable through without a cut, add the device, or say in note why the splice is needed."
        else:
            code, message = "end-without-device", "the path ends here with no device"
            hint = "Add the device, or take this run out."
        findings.append(
            Finding("warning", code, f"{box.id}: {message}.", at=places.box(box.id), box=box.id,
                    expected="a device, or a branch", hint=hint)
        )  # fmt: skip
    return findings


def _sizes(splice: Splice) -> str:
    return " + ".join(wire.conductor_label for wire in splice.wires)


def shared_colours(one: Cable, other: Cable) -> tuple[str, ...]:
    """Colours that cores of both cables have, in the words of the first."""
    theirs = {_plain(other.cores.a), _plain(other.cores.b)}
    return tuple(colour for colour in dict.fromkeys((one.cores.a, one.cores.b)) if _plain(colour) in theirs)


def crossed_colours(one: Cable, other: Cable) -> tuple[str, ...]:
    """Colours that are core a of one cable and core b of the other."""
    found = []
    if _plain(one.cores.a) == _plain(other.cores.b):
        found.append(one.cores.a)
    if _plain(one.cores.b) == _plain(other.cores.a):
        found.append(one.cores.b)
    return tuple(dict.fromkeys(found))


def core_colour_findings(job: Job, network: Network) -> tuple[Finding, ...]:
    """A warning for each two cables of one splice whose colours are crossed, and for each lead that looks like one."""
    swapped: dict[tuple[str, str], list[str]] = {}
    alike: dict[tuple[str, str], list[str]] = {}
    for box_id, tails, devices in zip(network.boxes, network.tails, network.devices, strict=True):
        names = list(dict.fromkeys(tail.run.cable for tail in tails))
        for n, one in enumerate(names):
            for other in names[n + 1 :]:
                if crossed_colours(job.cables[one], job.cables[other]):
                    first, second = sorted((one, other))
                    swapped.setdefault((first, second), []).append(box_id)
        for lead, path in _like_leads(job, devices, tails):
            alike.setdefault((lead, path), []).append(box_id)
    places = JobPlaces(job)
    return (
        *(_swapped(job, one, other, boxes) for (one, other), boxes in swapped.items()),
        *(_alike(job, lead, path, boxes, places) for (lead, path), boxes in alike.items()),
    )


def _like_leads(job: Job, devices: Sequence[PlacedDevice], tails: Sequence[Tail]) -> list[tuple[str, str]]:
    """Each lead cable of the box with each path cable of the box that has a colour of it."""
    leads = dict.fromkeys(station.lead_cable for station in long_leads(devices))
    if not leads:
        return []
    names = dict.fromkeys(tail.run.cable for tail in tails)
    return [
        (lead, name)
        for lead in leads
        if lead is not None
        for name in names
        if shared_colours(job.cables[lead], job.cables[name])
    ]


def _swapped(job: Job, one: str, other: str, boxes: list[str]) -> Finding:
    first, second = job.cables[one].cores, job.cables[other].cores
    colours = " and ".join(crossed_colours(job.cables[one], job.cables[other]))
    return Finding(
        "warning",
        "cores-swapped",
        f"{one} and {other} are in one splice, and {colours} is core a of one and core b of the other: the wrong "
        f"cores will be joined ({one}: a {first.a}, b {first.b}; {other}: a {second.a}, b {second.b}). "
        f"Boxes: {listed(boxes, FEW)}.",
        ("cables", other, "cores"),
        box=boxes[0],
        expected="the same colour for core a in every cable of a splice, or colours that no other cable has",
        hint=f"if core a is the {second.b} core of {other} as well, write cores: {{a: {second.b}, b: {second.a}}}",
        of=tuple(boxes),
    )


def _alike(job: Job, lead: str, path: str, boxes: list[str], places: JobPlaces) -> Finding:
    colours = " and ".join(shared_colours(job.cables[lead], job.cables[path]))
    same = f"the lead and the path are one cable, {lead}" if lead == path else f"{lead} and {path} both have {colours}"
    return Finding("warning", "lead-colour-alike",
                   f"A lead and the path meet in one box, and {same}: a lead core can be joined to the path. "
                   f"Boxes: {listed(boxes, FEW)}.", places.box(boxes[0], "lead"), box=boxes[0],
                   expected="a lead cable whose colours the path cable does not have",
                   hint="name another lead_cable; until then mark each lead before it is brought into the box",
                   of=tuple(boxes))  # fmt: skip


def _plain(colour: str) -> str:
    """A colour as it is compared: letter case, spaces and the two spellings of grey make no difference."""
    return " ".join(colour.casefold().split()).replace("gray", "grey")
