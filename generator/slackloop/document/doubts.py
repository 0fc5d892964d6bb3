"""Facts that nobody is sure of, ready to be told: what moves with each, and before what it is confirmed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from slackloop.document.context import Context
from slackloop.document.inline import strong
from slackloop.document.table import Cell, cell
from slackloop.sections import format as fmt
from slackloop.site.assumptions import Assumption
from slackloop.site.schema import key_title


@dataclass(frozen=True, slots=True)
class Effect:
    """What rests on one kind of fact, and what may not be done before it is confirmed."""

    moves: str
    before: str


_CABLE = "cable is ordered"
_VOLTS = Effect("volts at every box, stations at once, current of the supply", "devices are ordered")
EFFECTS: dict[str, Effect] = {
    "conductor": Effect("volts, loop readings and their limits, splices, the cable itself", _CABLE),
    "build": Effect("volts, loop readings and their limits", _CABLE),
    "run": Effect("volts and readings at this box and beyond, cable, trench", _CABLE),
    "from": Effect("the path itself: volts, readings, cable, trench", _CABLE),
    "at": Effect("the length of the run, where none is given", _CABLE),
    "volts": _VOLTS, "lowest": _VOLTS, "stations_at_once": _VOLTS, "always_on": _VOLTS, "standby": _VOLTS,
    "per_output": _VOLTS, "load": _VOLTS, "source_resistance": _VOLTS,
    "limit": Effect("whether the supply gives enough", "devices are ordered"),
    "least_volts": Effect("whether each device is in range", "devices are ordered"),
    "soil_temperature": Effect("volts, loop readings, how far a run shortens", _CABLE),
    "inrush": Effect("volts at each solenoid, the longest lead", "solenoids are ordered"),
    "holding": Effect("volts at each solenoid while it holds", "solenoids are ordered"),
    "cable": Effect("volts, readings, splices, reels", _CABLE),
    "device": Effect("volts, splices, stations of the box", "devices are ordered"),
    "reel": Effect("reels to order, and from which each run is pulled", _CABLE),
    "jacket_od": Effect("depth and volumes of a trench without a pipe", "the trench is dug"),
    "cover": Effect("depth and volumes of the trench, whether the cover is enough", "the trench is dug"),
    "surface": Effect("the least cover, how the surface is repaired", "the trench is dug"),
    "soil": Effect("volumes", "the trench is dug"),
    "frost_depth": Effect("whether frost reaches the cable", "the trench is dug"),
    "soil_resistivity": Effect("rods at each electrode", "rods are ordered"),
    "least_bend": Effect("whether the slack can be coiled in its box", "boxes are ordered"),
    "lead": Effect("volts at the solenoid, lead cable", _CABLE),
    "stations": Effect("which valve each output opens", "the device is spliced"),
    "number": Effect("which valve the output opens", "the device is spliced"),
    "listing": Effect("whether the connector is listed for this work", "connectors are ordered"),
    "closing": Effect("how each splice is closed", "the device is spliced"),
    "part": Effect("what is written on the order", "it is ordered"),
    "permit": Effect("whether the crossing is permitted", "the trench is dug"),
    "owner": Effect("who is asked for the permission to cross", "the trench is dug"),
    "address": Effect("what is set in the device", "the device is spliced"),
}  # fmt: skip
"""By the last key of the fact; in the order of their effect on volts, then on what is ordered."""
OTHER = Effect("what this handbook says of it", "work rests on it")


@dataclass(frozen=True, slots=True)
class Doubt:
    """One line of the list: facts that are written in one place, told together."""

    fact: str
    value: str
    of: str
    effect: Effect
    where: str
    count: int


def doubts(context: Context) -> tuple[Doubt, ...]:
    """What is assumed or not known, the facts with most effect first; those of a chain in one line."""
    found = context.reading.assumptions if context.reading else ()
    places: dict[tuple[str, str], list[Assumption]] = {}
    for each in found:
        places.setdefault((each.where, _key(each)), []).append(each)
    ranks = {key: rank for rank, key in enumerate(EFFECTS)}
    ordered = sorted(places.values(), key=lambda some: ranks.get(_kind(some[0]), len(ranks)))
    return tuple(_doubt(context, some) for some in ordered)


def confirming_rows(context: Context) -> Iterable[tuple[Cell, ...]]:
    """Rows of the job sheet: the fact, and that it is confirmed before what rests on it."""
    for number, each in enumerate(doubts(context), 1):
        of = f" of {each.of}" if each.of else ""
        taken = "not known" if each.value == fmt.written("not known") else f"taken as {each.value}"
        yield (
            cell(strong(f"FACT-{number}")), cell(f"{each.fact[:1].upper()}{each.fact[1:]}{of}: {taken}"),
            cell(f"Known, and confirmed before {each.effect.before}"),
        )  # fmt: skip


def _key(each: Assumption) -> str:
    """The last key of a fact's path that is a word of the format."""
    return next((part for part in reversed(each.at) if isinstance(part, str)), "")


def _kind(each: Assumption) -> str:
    """The key that its effect goes by; the volts of a test move none at any box."""
    key = _key(each)
    return "" if each.at[0] == "rules" and key == "volts" else key


def _doubt(context: Context, some: list[Assumption]) -> Doubt:
    first, last = some[0], some[-1]
    texts = list(dict.fromkeys(each.text for each in some))
    value = "not known" if first.kind == "unknown" else fmt.written(" to ".join(dict.fromkeys((texts[0], texts[-1]))))
    names = list(dict.fromkeys(_of(context, each) for each in (first, last)))
    at: tuple[str | int, ...] = first.at
    try:
        title = key_title(at)
    except KeyError:
        title = _key(first).replace("_", " ")
    file, number = first.where.rsplit(":", 2)[:2]
    where = f"{file.replace(chr(92), '/').rsplit('/', 1)[-1]}, line {number}"
    effect = EFFECTS.get(_kind(first), OTHER)
    return Doubt(title, value, " to ".join(name for name in names if name), effect, where, len(some))


def _of(context: Context, each: Assumption) -> str:
    """The box, or the part by its title, that a fact is of."""
    if each.at[:2] == ("path", "boxes"):
        return each.key.split("[", 1)[1].split("]", 1)[0]
    if each.at[0] in ("cables", "devices", "solenoids", "connectors") and len(each.at) > 1:
        part = getattr(context.job, str(each.at[0])).get(each.at[1])
        return getattr(part, "title", "") or str(each.at[1])
    return ""
