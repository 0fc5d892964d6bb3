"""What a section asks of one box: the values behind its field *My box*, by the names that its front matter uses.

Loop readings as text: what passes at each soil temperature, the ring open and closed, limits never looser.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from types import MappingProxyType

from slackloop.compute.circuit.loop import LoopLimit, LoopReading
from slackloop.compute.circuit.path_volts import OffLimit, least_at_controller, off_limit
from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.boxes.splice_groups import splice_groups
from slackloop.document.context import Context
from slackloop.sections import format as fmt
from slackloop.sections.text import Measure
from slackloop.site import effective_values as resolve
from slackloop.site.effective_values import MeterError
from slackloop.units.figure import NONE_LEFT, NOT_KNOWN, volts
from slackloop.units.ladder import Rounding

OPEN, CLOSED = "Ring open", "Ring closed"

def box_states(context: Context, index: int) -> tuple[tuple[str, LoopReading], ...]:
    """The readings of a box, each with the state of the ring; one without a title on a path without rings."""
    loops = context.analysis.loops
    if not context.network.closures:
        return (("", loops.closed[index]),)
    return ((OPEN, loops.opened[index]), (CLOSED, loops.closed[index]))


def soil_text(context: Context, limit: LoopLimit) -> str:
    """The soil temperature of a limit; the coldest and the hottest as the job wrote them."""
    soil = context.job.conditions.soil_temperature
    if limit.celsius == soil.low.si:
        return fmt.stated(soil.low, context.units, "lowest")
    if limit.celsius == soil.high.si:
        return fmt.stated(soil.high, context.units, "highest")
    return fmt.temperature(limit.celsius, context.units, "nearest")


def rod_distances(context: Context) -> tuple[str, str]:
    """The least between two rods of an electrode, which is their length, and the least from them to the cable."""
    earthing, units = context.job.rules.earthing, context.units
    return fmt.stated(earthing.rod.length, units, "nearest"), fmt.stated(earthing.clear_of_cable, units, "least")


def passes(limit: LoopLimit) -> Measure:
    """What passes, as ``0.97 to 1.32 Ω``: the least rounded up, the most rounded down."""
    low = fmt.ohms(limit.low_ohms, "least")
    high = fmt.ohms(limit.high_ohms, "most")
    number, _, unit = low.partition(" ")
    return Measure(f"{number if high.endswith(f' {unit}') else low} to {high}")


@dataclass(frozen=True, slots=True)
class BoxValue:
    """One value of a box: what it is called, and how it is told; an empty text where the box has none."""

    label: str
    told: Callable[[BoxFacts], str]


def off_limit_of(facts: BoxFacts) -> OffLimit | None:
    """The limit of the volts with all outputs off at a box, as it is printed; nothing where there is no figure."""
    answer, needed = facts.context.analysis.volts, facts.devices.least_volts
    box, terminal, floor = answer.standby_volts[facts.index], answer.terminal_volts, needed.si if needed else 0.0
    if box is None or terminal is None or any(map(math.isnan, (box, terminal, floor))) or box <= 0.0:
        return None
    exact = off_limit(terminal, box, volt_meter(facts.context), floor)
    unread = max(printed_volts(exact.unread, "least"), floor)
    return replace(exact, most_below=printed_volts(exact.most_below, "most"), unread=unread)


def load_least(facts: BoxFacts) -> float | None:
    """The least volts that a meter may show at a box under load, as printed: the worst, and what its device needs."""
    worst, needed = facts.context.analysis.volts.worst_volts[facts.index], facts.devices.least_volts
    floor = needed.si if needed else 0.0
    if worst is None or math.isnan(worst) or math.isnan(floor):
        return None
    return max(printed_volts(volt_meter(facts.context).least_shown(worst), "least"), floor)


def controller_least(context: Context) -> float | None:
    """The least volts that a meter may show at the controller with all outputs off, as printed; None without figure."""
    least = least_at_controller(context.analysis.volts, volt_meter(context))
    return None if least is None else printed_volts(least, "least")


def volt_meter(context: Context) -> MeterError:
    """The error of a meter that reads volts."""
    return resolve.volt_meter_error(context.job)


def printed_volts(value: float, rounding: Rounding) -> float:
    """Volts as a number with the digits that are printed of them."""
    text = volts(value, rounding).alone("metric")
    return 0.0 if text == NONE_LEFT else float(text.removesuffix(" V").replace(",", ""))


def volts_limit(measures: str, facts: BoxFacts) -> tuple[str, str]:
    """The limit of volts at a box in words, and what comes after it; empty where the box has none."""
    needed = facts.devices.least_volts
    if needed is not None and math.isnan(needed.si):
        return NOT_KNOWN, ""
    device = f"{fmt.written(needed.text)} or more" if needed else ""
    if measures == "path_volts" and (off := off_limit_of(facts)) is not None:
        binds = f", {device}" if off.unread <= off.floor else ""
        return volts(off.most_below, "most").alone("metric"), f"or less below the controller{binds}"
    least = load_least(facts) if measures == "load_volts" else None
    text = volts(least, "least").alone("metric") if least else ""
    if needed is not None and least in (None, needed.si):
        text = fmt.written(needed.text)
    return (text, "or more") if text else ("", "")


def box_values(facts: BoxFacts) -> tuple[tuple[str, str], ...]:
    """Every value of a box by its name, empty ones left out."""
    made = ((name, each.told(facts)) for name, each in BOX_VALUES.items())
    return tuple((name, text) for name, text in made if text)


def _run(facts: BoxFacts) -> str:
    source = "the controller" if facts.run.from_id == "controller" else facts.run.from_id
    return f"{fmt.told(facts.run.length, facts.context.units)} from {source}"


def _dig(facts: BoxFacts) -> str:
    if facts.run.existing:
        return "nothing: the run is there already"
    depth_m = facts.context.analysis.trench.runs[facts.index].depth_m
    return fmt.length(depth_m, facts.context.units, "least")


def _slack(facts: BoxFacts) -> str:
    slack = facts.context.analysis.slack[facts.index]
    ends = fmt.count(slack.tails, "cable end", "cable ends")
    return f"{facts.slack_figure().text(facts.context.units)} or more, {ends}"


def _wires(facts: BoxFacts) -> str:
    splices = facts.context.analysis.splices[facts.index]
    counts = ", ".join(f"{len(each.wires)} wires in the connector of core {each.cores}" for each in splices)
    return counts or "nothing is spliced here"


def _solenoids(facts: BoxFacts) -> str:
    splices = splice_groups(facts.context.analysis.solenoid_splices[facts.index])
    return fmt.listing([f"{len(each.splices)} × {each.wires}" for each in splices])


def _device(facts: BoxFacts) -> str:
    return facts.devices.titles if facts.devices.placed else "none: splices only"


def _address(facts: BoxFacts) -> str:
    return facts.devices.addresses if facts.devices.placed else ""


def _stations(facts: BoxFacts) -> str:
    return facts.devices.numbers


def _lead(facts: BoxFacts) -> str:
    return facts.devices.leads_text()


def _loop(facts: BoxFacts) -> str:
    limits = facts.context.analysis.loops.opened[facts.index].limits
    chosen = limits if len(limits) <= 2 else (limits[0], limits[-1])
    told = (f"{passes(each)} at {soil_text(facts.context, each)}" for each in chosen)
    return "; ".join(dict.fromkeys(told))


def _volts(facts: BoxFacts) -> str:
    found = facts.context.analysis.volts.standby_volts[facts.index]
    limit = " ".join(volts_limit("path_volts", facts)).strip()
    return f"{fmt.lowest_volts(found)} with outputs off{f'; {limit}' if limit else ''}"


BOX_VALUES: MappingProxyType[str, BoxValue] = MappingProxyType(
    {
        "run": BoxValue("Run", _run),
        "surface": BoxValue("Under", lambda facts: facts.context.surface(facts.run.surface)),
        "dig": BoxValue("Dig", _dig),
        "cover": BoxValue("Cover", BoxFacts.cover),
        "slack": BoxValue("Slack", _slack),
        "strip": BoxValue("Bare copper", BoxFacts.strip),
        "wires": BoxValue("Wires", _wires),
        "carry": BoxValue("Carry", BoxFacts.carry_text),
        "device": BoxValue("Device", _device),
        "address": BoxValue("Address", _address),
        "stations": BoxValue("Stations", _stations),
        "leads": BoxValue("Splices", _solenoids),
        "lead": BoxValue("Lead", _lead),
        "electrode": BoxValue("Electrode", BoxFacts.electrode_text),
        "loop": BoxValue("Loop", _loop),
        "volts": BoxValue("Volts", _volts),
    }
)
"""Every value that a section may name in ``my_box``."""
