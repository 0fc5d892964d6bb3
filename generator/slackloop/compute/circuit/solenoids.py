"""Volts at each solenoid over its lead: while it pulls in, and while it holds.

A device either regulates its output (``output_volts``) or its output follows the path (``output_drop``): then the
output has the lowest volts of the path at that box, less the drop.

Energy balance of a device: what it gives to a solenoid, compared with what it can take from the path for it.

No device gives out more power than it takes in for longer than a moment (conservation of energy). A sheet that says so
mixes figures: most often the solenoid's holding current is that of full volts, and the device holds with less.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from slackloop.compute.circuit.conductor import loop_ohms_per_m
from slackloop.reference.tables import ReferenceTables
from slackloop.site import effective_values as resolve
from slackloop.site.effective_values import PlacedDevice, PlacedStation
from slackloop.site.models import Cable, Device, Job, Leads
from slackloop.site.network import JobPlaces, Network
from slackloop.source.finding import Finding
from slackloop.units.amount import count
from slackloop.units.figure import Figure, amps, run_length, stated, volts
from slackloop.units.ladder import Kind


class SolenoidAnswer(NamedTuple):
    """One station: lead metres, its loop ohms at the hottest soil, volts at the solenoid at inrush and while it holds.

    ``lead_ohms`` is the largest that the lead's conductor may have. ``output_volts`` is what the device gives out, and
    ``path_volts`` the lowest volts of the path that they follow, None where the device regulates them.
    ``placed`` and ``of`` are the device and the station in the box.
    ``longest_lead_m`` is the longest lead of the same conductor that still gives the least volts.
    """

    box_id: str
    station: int
    lead_m: float
    lead_ohms: float
    volts: float
    holding_volts: float
    least_volts: float
    longest_lead_m: float
    output_volts: float
    path_volts: float | None
    placed: PlacedDevice
    of: PlacedStation

    @property
    def longest_lead(self) -> Figure:
        """The longest lead for a reader; currents and volts of makers' sheets earn three digits at most."""
        return run_length(self.longest_lead_m, "most", 3)

    @property
    def holds(self) -> bool:
        """Whether the solenoid gets its least volts, as far as they are known."""
        return not self.volts < self.least_volts


def solenoid_volts(output_volts: float, drawn_a: float, lead_ohms: float) -> float:
    """Volts at a solenoid, V: the output's volts less the current drawn × the loop resistance of the lead (Ohm's law).

    Takes the coil's current as in phase with its volts, which is never optimistic.
    """
    return output_volts - drawn_a * lead_ohms


def output_volts(device: Device, path_volts: float | None) -> float | None:
    """Volts at a device's output: regulated, or the path's volts at its box less the drop.

    None where it has no output, or follows a path whose volts are not known.
    """
    if device.output_volts is not None:
        return device.output_volts.si
    if device.output_drop is None or path_volts is None:
        return None
    return path_volts - device.output_drop.si


def solenoid_answers(
    job: Job, network: Network, tables: ReferenceTables, worst_volts: Sequence[float | None]
) -> tuple[SolenoidAnswer, ...]:
    """Every station whose solenoid and output volts are known, in path order.

    ``worst_volts`` are the path's lowest volts at each box in path order. Where an output follows them and the path
    has no solution there is no answer.
    """
    answers: list[SolenoidAnswer] = []
    ohms_per_m: dict[tuple[str, str | None], float] = {}
    for box_id, devices, path_volts in zip(network.boxes, network.devices, worst_volts, strict=True):
        for placed in devices:
            given = output_volts(placed.device, path_volts)
            if given is None:
                continue
            follows = path_volts if placed.device.output_volts is None else None
            for station in placed.stations:
                if station.solenoid is not None:
                    wire = placed.kind, station.lead_cable if station.has_long_lead else None
                    if wire not in ohms_per_m:
                        ohms_per_m[wire] = lead_ohms_per_m(job, placed, station, tables)
                    answers.append(_answer(job, box_id, placed, station, given, follows, ohms_per_m[wire]))
    return tuple(answers)


def _answer(
    job: Job, box_id: str, placed: PlacedDevice, station: PlacedStation, given: float, follows: float | None,
    per_m: float,
) -> SolenoidAnswer:  # fmt: skip
    """One station whose output gives ``given`` volts and whose lead has ``per_m`` ohms a metre."""
    solenoid, lead_m = job.solenoids[station.solenoid or ""], station.lead_m
    return SolenoidAnswer(
        box_id=box_id,
        station=station.number,
        lead_m=lead_m,
        lead_ohms=lead_m * per_m,
        volts=solenoid_volts(given, solenoid.inrush.si, lead_m * per_m),
        holding_volts=solenoid_volts(given, solenoid.holding.si, lead_m * per_m),
        least_volts=solenoid.least_volts.si,
        longest_lead_m=max(given - solenoid.least_volts.si, 0.0) / (solenoid.inrush.si * per_m),
        output_volts=given,
        path_volts=follows,
        placed=placed,
        of=station,
    )


def path_need(job: Job, placed: PlacedDevice, tables: ReferenceTables) -> float:
    """Volts of the path that the solenoids of one device need; 0 where its outputs do not follow the path.

    Least volts of the solenoid + what its lead loses at inrush + what the device loses, the most of its stations.
    """
    if placed.device.output_drop is None:
        return 0.0
    needs = [0.0]
    for station in placed.stations:
        if station.solenoid is not None:
            solenoid = job.solenoids[station.solenoid]
            lost = solenoid.inrush.si * station.lead_m * lead_ohms_per_m(job, placed, station, tables)
            needs.append(solenoid.least_volts.si + lost + placed.device.output_drop.si)
    return max(needs)


def solenoid_findings(job: Job, answers: Sequence[SolenoidAnswer]) -> tuple[Finding, ...]:
    """An error for each box whose solenoid falls short of its least volts."""
    places, findings, seen, units = JobPlaces(job), list[Finding](), set[str](), job.job.units
    for answer in answers:
        if answer.holds or answer.box_id in seen:
            continue
        seen.add(answer.box_id)
        needs = stated(job.solenoids[answer.of.solenoid or ""].least_volts, "least").brief(units)
        findings.append(
            Finding(level="error", code="solenoid-volts-low",
                    message=f"{answer.box_id}: the solenoid of station {answer.station} gets "
                    f"{volts(answer.volts, 'lowest').brief(units)} at inrush over a lead of "
                    f"{answer.of.lead.brief(units)}, and needs {needs}.{_where_from(answer, job)}",
                    at=(*places.box(answer.box_id), *answer.of.lead_key), box=answer.box_id,
                    expected=f"a lead of {answer.longest_lead.brief(units)} or less" if answer.longest_lead_m > 0
                    else f"an output of more than {needs}", hint=_mend(answer))
        )  # fmt: skip
    return tuple(findings)


def _where_from(answer: SolenoidAnswer, job: Job) -> str:
    """Where the output's volts come from, where they follow the path."""
    if answer.path_volts is None:
        return ""
    units = job.job.units
    path, output = (volts(value, "lowest").brief(units) for value in (answer.path_volts, answer.output_volts))
    device = answer.placed.device
    drop = stated(device.output_drop, "highest").brief(units) if device.output_drop else ""
    return f" Its output follows the path: {path} there at worst, less {drop} in the device, leaves {output}."


def _mend(answer: SolenoidAnswer) -> str:
    if answer.longest_lead_m > 0:
        return "Shorten the lead, or use a larger conductor."
    if answer.path_volts is not None:
        return "No lead is short enough: use a larger conductor on the path, or fewer stations at once."
    return "No lead is short enough: choose a device or a solenoid that fits the other."


def lead_ohms_per_m(job: Job, placed: PlacedDevice, station: PlacedStation, tables: ReferenceTables) -> float:
    """Largest loop resistance of a lead at the hottest soil, ohm/m: its cable, or the device's own leads when short."""
    hottest = job.conditions.soil_temperature.high.si
    name = station.lead_cable if station.has_long_lead else None
    wire: Cable | Leads = job.cables[name] if name is not None else placed.device.leads
    return loop_ohms_per_m(wire.conductor, wire.build, tables, hottest, "largest")


_CLOSE = 1e-9


class _Balance(NamedTuple):
    """What a device takes from the path at some volts there, and what it would give to a holding solenoid then.

    Volts and amperes; ``box`` is where the path has these volts, empty for its full volts.
    """

    at_volts: float
    taken_a: float
    given_volts: float
    given_a: float
    box: str = ""

    @property
    def holds(self) -> bool:
        """Whether it takes enough, or what it takes or gives is not known."""
        return not self.given_volts * self.given_a > self.at_volts * self.taken_a * (1.0 + _CLOSE)


def energy_findings(job: Job, network: Network, worst_volts: Sequence[float | None]) -> tuple[Finding, ...]:
    """A warning for each pair of device and solenoid in which more power is given out than taken in.

    Both are worked out in the device's favour: the path at its full volts with nothing lost on the way, the current at
    rest counted too, one output running, and the solenoid holding. On ac they are volt-amperes. Where that is enough, a
    device whose current stays the same as volts fall is looked at again at ``worst_volts``, the path's lowest at each
    box in path order: a regulated output gives the same there, from less.
    """
    findings = list[Finding]()
    for (name, solenoid_name), boxes in _pairs(job, network, worst_volts).items():
        device, holding_a = job.devices[name], job.solenoids[solenoid_name].holding.si
        taken_a, full = device.standby.si + resolve.per_output_a(device), job.supply.volts.si
        given_volts = output_volts(device, full)
        if given_volts is None:
            continue
        at_full = _Balance(full, taken_a, given_volts, holding_a)
        if not at_full.holds:
            findings.append(_energy_finding(job, name, solenoid_name, at_full))
        elif device.load == "current" and device.output_volts is not None:
            low = [_Balance(at_volts, taken_a, given_volts, holding_a, box) for box, at_volts in boxes]
            short = sorted((each for each in low if not each.holds), key=lambda each: each.at_volts)
            if short:
                finding = _energy_finding(job, name, solenoid_name, short[0], len(short), len(boxes))
                findings.append(replace(finding, of=tuple(each.box for each in low if not each.holds)))
    return tuple(findings)


_Pairs = dict[tuple[str, str], list[tuple[str, float]]]


def _pairs(job: Job, network: Network, worst_volts: Sequence[float | None]) -> _Pairs:
    """Each device with each solenoid that it opens, and the lowest volts of its boxes in range; others are told apart.
    """
    pairs: _Pairs = {}
    for box in job.path.boxes:
        number = network.index[box.id]
        at_volts = worst_volts[number]
        for placed in network.devices[number]:
            for solenoid in dict.fromkeys(station.solenoid for station in placed.stations):
                boxes = pairs.setdefault((placed.kind, solenoid), []) if solenoid is not None else []
                in_range = at_volts is not None and at_volts > 0.0 and not at_volts < placed.device.least_volts.si
                if at_volts is not None and in_range and (box.id, at_volts) not in boxes[-1:]:
                    boxes.append((box.id, at_volts))
    return pairs


def _energy_finding(job: Job, name: str, solenoid: str, balance: _Balance, short: int = 0, of: int = 0) -> Finding:
    """What one pair takes and gives, at the full volts or at the lowest of ``short`` boxes among the ``of`` with it."""
    device, holding = job.devices[name], job.solenoids[solenoid].holding
    at_volts = volts(balance.at_volts, "lowest") if balance.box else stated(job.supply.volts, "nearest")
    taken = _product(job, at_volts, amps(balance.taken_a, "nearest"))
    given = _product(job, volts(balance.given_volts, "nearest"), stated(holding, "nearest"))
    message = (
        f"{device.title} takes at most {taken} from the path with one output on. It would give {given} to hold a "
        f"solenoid ({solenoid})"
    )
    hint = (
        "ask the maker: the current of an output from the path while it holds this solenoid, and the solenoid's "
        "holding current on this device"
    )
    if balance.box:
        where = f"at {balance.box}, the worst of {short}" if short > 1 else f"at {balance.box}, the only one"
        message = (
            f"{device.title} takes {taken} {where} of {count(of, 'box', 'boxes')} with it, at the lowest volts and "
            f"with one output on. It would give {given} to hold a solenoid ({solenoid}). Then it takes more current "
            "than is stated, and the lowest volts are lower than computed"
        )
        hint = "write load: power where the maker says so, or the current that the maker states at those volts"
    return Finding(
        "warning", "energy-balance", message, ("devices", name, "load" if balance.box else "per_output"), balance.box,
        expected="a device that takes at least what it gives out", hint=hint, asks="the maker of the device",
    )  # fmt: skip


def _product(job: Job, at_volts: Figure, current: Figure) -> str:
    """Volts times a current, in the words of the makers' sheets, which are the same in both unit systems."""
    kind: Kind = "volt-amperes" if job.supply.current == "ac" else "watts"
    power = Figure(at_volts.value * current.value, kind, at_volts.rounding)
    return f"{at_volts.alone('metric')} × {current.alone('metric')} = {power.alone('metric')}"
