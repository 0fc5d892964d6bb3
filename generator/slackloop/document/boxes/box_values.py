"""What a section asks of one box: the values behind its field *My box*, by the names that its front matter uses.

Loop readings as text: what passes at each soil temperature, the ring open and closed, limits never looser.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from types import MappingProxyType

from slackloop.compute.circuit.loop import LoopLimit, LoopReading
from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.boxes.splice_groups import splice_groups
from slackloop.document.context import Context
from slackloop.sections import format as fmt
from slackloop.sections.text import Measure

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
    counts = ", ".join(f"{len(each.wires)} in the connector of {each.cores}" for each in splices)
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
    least = facts.devices.least_volts
    needs = f"; the device needs {fmt.written(least.text)} or more" if least else ""
    return f"{fmt.lowest_volts(found)} with outputs off{needs}"


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
