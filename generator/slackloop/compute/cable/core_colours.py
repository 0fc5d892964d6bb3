"""Colours of cores that meet in one box: pairs that are swapped between cables, leads that look like the path."""

from __future__ import annotations

from collections.abc import Sequence

from slackloop.compute.cable.tails import Tail, box_tails
from slackloop.compute.job_places import JobPlaces, boxes_in_order, some_of
from slackloop.site.effective_values import long_leads
from slackloop.site.models import Box, Cable, Job
from slackloop.site.network import Network
from slackloop.source.finding import Finding


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
    for box, tails in zip(boxes_in_order(job, network.boxes), box_tails(network), strict=True):
        names = list(dict.fromkeys(tail.run.cable for tail in tails))
        for n, one in enumerate(names):
            for other in names[n + 1 :]:
                if crossed_colours(job.cables[one], job.cables[other]):
                    first, second = sorted((one, other))
                    swapped.setdefault((first, second), []).append(box.id)
        for lead, path in _like_leads(job, box, tails):
            alike.setdefault((lead, path), []).append(box.id)
    places = JobPlaces(job)
    return (
        *(_swapped(job, one, other, boxes) for (one, other), boxes in swapped.items()),
        *(_alike(job, lead, path, boxes, places) for (lead, path), boxes in alike.items()),
    )


def _like_leads(job: Job, box: Box, tails: Sequence[Tail]) -> list[tuple[str, str]]:
    """Each lead cable of the box with each path cable of the box that has a colour of it."""
    leads = dict.fromkeys(station.lead_cable for station in long_leads(job, box))
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
        f"Boxes: {some_of(boxes)}.",
        ("cables", other, "cores"),
        box=boxes[0],
        expected="the same colour for core a in every cable of a splice, or colours that no other cable has",
        hint=f"if core a is the {second.b} core of {other} as well, write cores: {{a: {second.b}, b: {second.a}}}",
        of=tuple(boxes),
    )


def _alike(job: Job, lead: str, path: str, boxes: list[str], places: JobPlaces) -> Finding:
    colours = " and ".join(shared_colours(job.cables[lead], job.cables[path]))
    same = f"the lead and the path are one cable, {lead}" if lead == path else f"{lead} and {path} both have {colours}"
    return Finding(
        "warning",
        "lead-colour-alike",
        f"A lead and the path meet in one box, and {same}: a lead core can be joined to the path. "
        f"Boxes: {some_of(boxes)}.",
        places.box(boxes[0], "lead"),
        box=boxes[0],
        expected="a lead cable whose colours the path cable does not have",
        hint="name another lead_cable; until then mark each lead before it is brought into the box",
        of=tuple(boxes),
    )


def _plain(colour: str) -> str:
    """A colour as it is compared: letter case, spaces and the two spellings of grey make no difference."""
    return " ".join(colour.casefold().split()).replace("gray", "grey")
