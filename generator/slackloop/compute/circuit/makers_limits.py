"""What the makers' sheets allow on one path, compared with the path: lengths, devices, capacitance, highest volts."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from slackloop.compute.cable.circuit_length import CircuitLengths, cable_to_boxes_m, tail_length_m
from slackloop.site.models import Job
from slackloop.site.network import Network, boxes_in_order
from slackloop.source.finding import At, Finding
from slackloop.units import figure
from slackloop.units.ladder import Rounding, System, rounded
from slackloop.units.quantity import Quantity

LimitName = Literal["devices", "farthest", "total", "branch_devices", "capacitance"]

TITLES: dict[LimitName, str] = {
    "devices": "Devices on the path",
    "farthest": "Cable to the farthest box",
    "total": "All cable of the path",
    "branch_devices": "Devices on any one way from the controller",
    "capacitance": "Capacitance of all cable",
}
_CLOSE = 1e-9


@dataclass(frozen=True)
class MakersLimit:
    """One limit: ``found`` on this path and the ``most`` that is allowed; metres, farad or devices.

    Lengths are circuit lengths, slack counted. ``box`` is where the figure is reached, where it is at one box.
    ``unknown`` are cables of the path whose capacitance is not given: ``found`` leaves them out. ``stated`` is a
    length or capacitance as the job wrote it.
    """

    name: LimitName
    found: float
    most: float
    box: str = ""
    unknown: tuple[str, ...] = ()
    stated: Quantity | None = None

    @property
    def holds(self) -> bool:
        """Whether the path keeps the limit, as far as it is known."""
        return self.found <= self.most * (1.0 + _CLOSE)

    def found_text(self, units: System) -> str:
        """What the path has, for a reader; never told smaller."""
        return self._text(self.found, "highest", units)

    def most_text(self, units: System) -> str:
        """What is allowed, for a reader: as the job wrote it, and never told larger."""
        if self.name in ("farthest", "total") and self.stated is not None:
            return figure.stated(self.stated, "most").brief(units)
        if self.stated is not None:
            return figure.written(self.stated.text)
        return self._text(self.most, "most", units)

    def _text(self, value: float, rounding: Rounding, units: System) -> str:
        if self.name in ("farthest", "total"):
            return figure.run_length(value, rounding).brief(units)
        if self.name == "capacitance":
            return f"{rounded(value * 1e9, 0.1, rounding):.1f} nF"
        return f"{value:.0f}"


def makers_limits(job: Job, network: Network, lengths: CircuitLengths) -> tuple[MakersLimit, ...]:
    """Every limit that the job states, in the order of ``TITLES``. ``lengths`` are the circuit lengths by run id."""
    stated = job.supply.limits
    if stated is None:
        return ()
    limits: list[MakersLimit] = []
    devices = devices_to_boxes(job, network)
    if stated.devices is not None:
        limits.append(MakersLimit("devices", sum(_devices(job, network)), stated.devices))
    if stated.farthest is not None:
        to_box = cable_to_boxes_m(network, dict(lengths))
        far = max(range(len(to_box)), key=to_box.__getitem__)
        where, most = network.boxes[far], stated.farthest
        limits.append(MakersLimit("farthest", to_box[far], most.si, where, stated=most))
    if stated.total is not None:
        total_m = sum(each.circuit_m for each in lengths.values())
        limits.append(MakersLimit("total", total_m, stated.total.si, stated=stated.total))
    if stated.branch_devices is not None:
        end = max(range(len(devices)), key=devices.__getitem__)
        limits.append(MakersLimit("branch_devices", devices[end], stated.branch_devices, network.boxes[end]))
    if stated.capacitance is not None:
        farads, unknown = _capacitance(job, network, lengths)
        limits.append(MakersLimit("capacitance", farads, stated.capacitance.si, "", unknown, stated.capacitance))
    return tuple(limits)


def devices_to_boxes(job: Job, network: Network) -> tuple[int, ...]:
    """Devices on the way from the controller to each box, that box's own among them, in path order."""
    counts: list[int] = []
    for own, above in zip(_devices(job, network), network.parent, strict=True):
        counts.append(own + (counts[above] if above >= 0 else 0))
    return tuple(counts)


def _devices(job: Job, network: Network) -> list[int]:
    return [len(box.fitted) for box in boxes_in_order(job, network.boxes)]


def _capacitance(job: Job, network: Network, lengths: CircuitLengths) -> tuple[float, tuple[str, ...]]:
    """Capacitance of all cable in farad (capacitances side by side add), and the cables that do not state theirs."""
    farads, unknown = 0.0, dict[str, None]()
    for run in network.all_runs:
        per_m = job.cables[run.cable].capacitance
        if per_m is None:
            unknown[run.cable] = None
        else:
            farads += per_m.si * lengths[run.id].circuit_m
    return farads, tuple(unknown)


def room_beyond(
    job: Job, network: Network, lengths: CircuitLengths, limits: tuple[MakersLimit, ...], end: int
) -> tuple[float, LimitName | None]:
    """Metres of run, along the trench, that the limits leave for one more device beyond a branch end; and which stops.

    Below 0 where there is no room at all, infinite where no limit is stated. The slack of the new run's two tails
    counts; where slack is shared in a box, the tail that is there gives up some of its own.
    """
    shared_m, alone_m = tail_length_m(job, 2), tail_length_m(job, 1)
    given_up_m, slack_m = alone_m - shared_m, shared_m + alone_m
    per_m = job.cables[network.runs[end].cable].capacitance
    rooms: list[tuple[float, LimitName | None]] = [(math.inf, None)]
    for limit in limits:
        spare = limit.most - limit.found
        if limit.name == "farthest":
            spare_m = limit.most - cable_to_boxes_m(network, dict(lengths))[end] + given_up_m - slack_m
            rooms.append((spare_m if limit.holds else -1.0, limit.name))
        elif limit.name == "total":
            rooms.append((spare + given_up_m - slack_m, limit.name))
        elif limit.name == "capacitance" and per_m is not None:
            rooms.append((spare / per_m.si + given_up_m - slack_m, limit.name))
        elif limit.name == "devices":
            rooms.append((math.inf if spare >= 1 else -1.0, limit.name))
        elif limit.name == "branch_devices":
            more = devices_to_boxes(job, network)[end] + 1
            rooms.append((math.inf if more <= limit.most else -1.0, limit.name))
    return min(rooms, key=lambda room: room[0])


def limit_findings(job: Job, limits: tuple[MakersLimit, ...]) -> tuple[Finding, ...]:
    """An error for each limit that the path is over, a warning where a capacitance is not known, a note without limits.
    """
    units, findings = job.job.units, list[Finding]()
    if not limits:
        findings.append(
            Finding("note", "limits-unstated",
                    "the makers' limits on the path are not stated (devices, farthest box, cable in all, capacitance): "
                    "only volts and current are compared with limits", ("supply",),
                    expected="supply.limits with devices, farthest, total, branch_devices or capacitance, from the "
                    "sheets of the makers")
        )  # fmt: skip
    for limit in limits:
        at: At = ("supply", "limits", limit.name)
        if not limit.holds:
            found, most = limit.found_text(units), limit.most_text(units)
            findings.append(
                Finding("error", f"limit-{limit.name.replace('_', '-')}", _message(limit, found, most), at, limit.box,
                        expected=f"{most} or less", hint=_MENDS[limit.name])
            )  # fmt: skip
        if limit.unknown:
            findings.append(
                Finding("warning", "capacitance-unknown",
                        f"the makers' limit of capacitance cannot be checked: {' and '.join(limit.unknown)} "
                        f"{'states' if len(limit.unknown) == 1 else 'state'} no capacitance",
                        ("cables", limit.unknown[0]),
                        expected="capacitance, as capacitance: 60 nF/km, from the cable maker's sheet",
                        asks="the maker of the cable")
            )  # fmt: skip
    return (*findings, *_most_volts(job))


_MENDS: dict[LimitName, str] = {
    "devices": "split the path over two controllers, or ask the maker for another limit",
    "farthest": "move the controller, or feed the far boxes another way",
    "total": "shorten the path, or split it over two controllers",
    "branch_devices": "feed some of its boxes by a branch of their own",
    "capacitance": "use a cable of less capacitance, or split the path over two controllers",
}


def _message(limit: MakersLimit, found: str, most: str) -> str:
    what = {
        "devices": f"the path has {found} devices",
        "farthest": f"{limit.box} lies at the end of {found} of cable, the slack in boxes counted",
        "total": f"the path takes {found} of cable, the slack in boxes counted",
        "branch_devices": f"the way from the controller to {limit.box} has {found} devices",
        "capacitance": f"all cable of the path together has {found}",
    }[limit.name]
    return f"{what}; the makers' sheets allow {most}"


def _most_volts(job: Job) -> list[Finding]:
    """Devices that may see more volts than they can take: the supply's full volts, nothing operating, nothing lost."""
    used = dict.fromkeys(each.device for box in job.path.boxes for each in box.fitted)
    volts, told = job.supply.volts.si, figure.written(job.supply.volts.text)
    return [
        Finding(
            "error",
            "volts-high",
            f"{device.title} takes at most {figure.written(device.most_volts.text)} at its path leads; with nothing "
            f"operating it gets the supply's {told}",
            ("devices", name, "most_volts"),
            expected=f"a device for {told}, or a supply of {figure.written(device.most_volts.text)} or less",
        )
        for name in used
        if (device := job.devices[name]).most_volts is not None and volts > device.most_volts.si
    ]
