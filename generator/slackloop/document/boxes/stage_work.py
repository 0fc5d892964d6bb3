"""The work of one stage at one box, as a card and a page show it: what is written, ticked, seen, and held for.

A check that is *measured* is a value to write with its limit; two checks of the same quantity are one value. One that
is *signed* is among the things seen, which the signature of the stage covers, unless work stops for it: it then is a
hold, with a signature of its own, as has one that is made *later* than the row is signed. One that is *ticked* has a
tick. One that is *covered* is in the method: its id is named, and the signature covers it.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from slackloop.compute.circuit.loop import LoopLimit, LoopReading
from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.boxes.box_values import load_least, off_limit_of, passes, soil_text, volt_meter, volts_limit
from slackloop.document.boxes.stages import (
    LENGTHS,
    LIVE_END,
    TAGS,
    VOLTS,
    DueCheck,
    Entry,
    Said,
    SoilBand,
    Stage,
    StageId,
    StageWork,
    card_cautions_of,
    likely_of,
    stage_cautions,
    stops_of,
)
from slackloop.document.context import Context
from slackloop.records.result import SOIL_CHECK
from slackloop.sections import format as fmt
from slackloop.units.figure import Figure

MOST_BANDS = 3
_SECOND_UNIT = re.compile(r" \([^()]*\d[^()]*\)")
"""A figure told again in the other unit system: there is no room for it in a few words."""
UNIT_M = {"mm": 0.001, "m": 1.0, "in": 0.0254, "ft": 0.3048}


def stage_works(facts: BoxFacts, stages: Iterable[Stage], *, with_bands: bool = True) -> tuple[StageWork, ...]:
    """The work of every stage of a box; without the loop limits as text for one who takes them from the entries."""
    stages = tuple(stages)
    loop = facts.context.analysis.loops.opened[facts.index]
    maker = _Maker(facts.context, stages, loop, facts, with_bands=with_bands)
    return tuple(maker.work(number, stage) for number, stage in enumerate(stages, 1))


def closing_run_works(
    context: Context, loop: LoopReading, stages: Iterable[Stage], cover: Figure
) -> tuple[StageWork, ...]:
    """The work of every stage of a run that closes a ring; ``loop`` is read at its far end before it is joined."""
    stages = tuple(stages)
    maker = _Maker(context, stages, loop, None, cover)
    return tuple(maker.work(number, stage) for number, stage in enumerate(stages, 1))


class _Maker:
    """Makes the work of the stages of one place."""

    def __init__(
        self, context: Context, stages: Iterable[Stage], loop: LoopReading, facts: BoxFacts | None,
        cover: Figure | None = None, *, with_bands: bool = True,
    ) -> None:  # fmt: skip
        self.context = context
        self.reads = {each.check.measures: each.check.id for stage in stages for each in stage.checks}
        self.with_bands = with_bands
        self.units = context.units
        self.loop = loop
        self.facts = facts
        self.cover = cover or (facts.run.cover if facts else None)

    def work(self, number: int, stage: Stage) -> StageWork:
        """One stage."""
        entries: list[Entry] = []
        ticks, seen, holds, later = [], [], [], []
        for due in stage.checks:
            said = Said(due.check.id, self._words(due), TAGS[due.check.hold])
            record = due.check.record
            if record == "measure":
                _join(entries, list(self._entries(due)))
            elif record == "tick":
                ticks.append(said)
            elif record == "sign" and (stops := stops_of(due.check)):
                holds.append(replace(said, stops=stops, answers=due.check.answers))
            elif due.check.later:
                later.append(said)
            elif record == "sign":
                seen.append(said)
        entries.sort(key=lambda each: each.kind != "text")  # the address is read before a splice is made
        measured = {due.check.measures for due in stage.checks}
        bands = self._bands(self.loop) if "loop_ohms" in measured else ()
        if "loop_closed_ohms" in measured and self.facts:
            bands = self._bands(self.context.analysis.loops.closed[self.facts.index])
        is_end = self.facts is not None and self.facts.is_end
        cautions, warned = stage_cautions(self.context, stage.id, "insulation_ohms" in measured, is_end)
        return StageWork(
            stage.id, number, stage.title, self._about(stage.id), tuple(entries), tuple(ticks), tuple(seen),
            tuple(holds), bands, _section_of(stage),
            cautions, warned, tuple(later), tuple(each.check.id for each in stage.recorded("covered")),
            self._waits(stage.id),
        )  # fmt: skip

    def _words(self, due: DueCheck) -> str:
        words = due.title
        if due.check.card:
            words = _SECOND_UNIT.sub("", self.context.prose.plain(due.check.card))
        if due.check.id == "C-SPLICE-3" and self.facts:
            counts = [f"{each.cores} {len(each.wires)}" for each in self.context.analysis.splices[self.facts.index]]
            words += f": {', '.join(counts)}" if counts else ""
        return words

    def _about(self, stage: StageId) -> str:
        """What the stage is about at this box, in a few words."""
        facts = self.facts
        if stage == "test":
            return "Short here. Read at the controller."
        if facts is None:
            return ""
        if stage == "run":
            source = "controller" if facts.run.from_id == "controller" else facts.run.from_id
            length = fmt.told(facts.run.length, self.units).split(" (")[0]
            return f"from {source}, {length}"
        if stage == "splice":
            count = len(self.context.analysis.splices[facts.index])
            return fmt.count(count, "connector", "connectors") if count else ""
        if stage == "device":
            count = len(self.context.analysis.solenoid_splices[facts.index])
            return fmt.count(count, "connector", "connectors") if count else ""
        return ""

    def _waits(self, stage: StageId) -> str:
        """What the work of a stage waits for at this box: a box is closed once the runs that go on are good, an end is
        read with somebody on guard.
        """
        if stage == "close" and self.facts and self.facts.is_end and not self.facts.box.existing:
            return " ".join(f"{title}. {text}" for title, text in card_cautions_of(self.context, (LIVE_END,)))
        on = self.facts.goes_on() if stage == "close" and self.facts else []
        if not on:
            return ""
        runs, are = ("run", "is") if len(on) == 1 else ("runs", "are")
        return f"Not before {runs} {fmt.listing(on)} {are} signed off."

    def _bands(self, reading: LoopReading) -> tuple[SoilBand, ...]:
        """The loop limits at the coldest soil, the hottest and half way; a limit is rounded to its stricter side."""
        limits = reading.limits if self.with_bands else ()
        chosen = limits if len(limits) <= MOST_BANDS else (limits[0], limits[len(limits) // 2], limits[-1])
        return tuple(self._band(each) for each in chosen)

    def _band(self, limit: LoopLimit) -> SoilBand:
        soil = soil_text(self.context, limit).split(" (")[0]
        about = fmt.ohms(limit.expected_ohms, "nearest").removesuffix(" Ω")
        return SoilBand(soil, passes(limit), about)

    def _entries(self, due: DueCheck) -> Iterator[Entry]:
        """The values of one check that is measured, each with what it can be."""
        for each in self._values(due):
            likely = likely_of(due.check.measures, each.least, each.most, self.context.job.supply.volts.si)
            yield replace(each, likely=likely) if each.kind == "number" else each

    def _values(self, due: DueCheck) -> Iterator[Entry]:
        base = Entry((due.check.id,), self._words(due), tag=TAGS[due.check.hold])
        measures = due.check.measures
        if measures in LENGTHS:
            yield self._length(base, measures)
        elif measures == "insulation_ohms":
            test = self.context.job.rules.tests.insulation
            limit, after = fmt.written(test.least.text), f"or more, {fmt.written(test.volts.text)}"
            yield replace(base, limit=limit, after=after, unit="MΩ", least=_exact(test.least.si / 1e6))
        elif measures == "electrode_ohms":
            target = self.context.job.rules.earthing.target
            yield replace(base, limit=fmt.written(target.text), after="or less", unit="Ω", most=target.si)
        elif measures == "loop_ohms":
            unit = "°F" if self.units == "us" else "°C"
            yield Entry((SOIL_CHECK,), "Soil", unit=unit, kind="soil")
            yield replace(base, unit="Ω", loop=self.loop.rule)
        elif measures == "loop_closed_ohms":
            closed = self.context.analysis.loops.closed[self.facts.index] if self.facts else self.loop
            yield replace(base, unit="Ω", loop=closed.rule)
        elif measures in VOLTS:
            yield self._volts(base, measures)
        elif measures == "loop_again_ohms":
            apart = fmt.ohms(self.loop.rule.repeat_ohms(min(self.loop.soil_c)), "most")
            after = f"and within {apart} of it"
            yield replace(
                base, limit="as in Test", after=after, unit="Ω", loop=self.loop.rule,
                near=self.reads.get("loop_ohms", ""),
            )
        else:
            yield from self._address(base)

    def _length(self, base: Entry, measures: str) -> Entry:
        """Cover, slack or bared length, in the unit in which the crew measures it."""
        unit = LENGTHS[measures][self.units == "us"]
        if measures == "strip_m":
            strip = self.facts.strip() if self.facts else ""
            first, _, other = str(strip).partition(" (")
            return replace(base, limit=first, after=f"({other}" if other else "", unit=unit)
        figure = self.cover if measures == "depth_m" else self.facts.slack_figure() if self.facts else None
        if figure is None:
            return replace(base, unit=unit)
        first, _, other = figure.text(self.units).partition(" (")
        label, after = f"{base.label}, at least", f"({other}" if other else ""
        least = _exact(figure.value / UNIT_M[unit])
        return replace(base, label=label, limit=first, after=after, unit=unit, least=least)

    def _volts(self, base: Entry, measures: str) -> Entry:
        """Volts on the pair: with all outputs off by those at the controller, under load by the worst that is computed.
        """
        facts = self.facts
        if facts is None:
            return base
        limit, after = volts_limit(measures, facts)
        if measures == "load_volts":
            least, meter = load_least(facts), volt_meter(self.context)
            near = self.reads.get("path_volts", "")
            return replace(base, limit=limit, after=after, unit="V", least=least, near=near, meter=meter)
        off = off_limit_of(facts)
        label = f"{base.label}, about {fmt.lowest_volts(self.context.analysis.volts.standby_volts[facts.index])}"
        return replace(
            base, label=label, limit=limit, after=after, unit="V", least=off.least(None) if off else None, off=off
        )

    def _address(self, base: Entry) -> Iterator[Entry]:
        """The address read off each device; further devices of a box have fields of their own."""
        placed = self.facts.devices.placed if self.facts else ()
        for number, each in enumerate(placed, 1):
            label = base.label if len(placed) == 1 else f"{base.label}, {each.device.title}"
            ids = base.ids if number == 1 else tuple(f"{name}-{number}" for name in base.ids)
            after = "" if each.address else "not set in the job"
            yield replace(base, ids=ids, label=label, limit=each.address, after=after, kind="text")
        if not placed:
            yield replace(base, after="not set in the job", kind="text")


def _section_of(stage: Stage) -> str:
    """The section that most of what is written, ticked or seen in a stage comes from."""
    asked = [each for each in stage.checks if each.check.record != "covered"] or stage.checks
    return Counter(each.section for each in asked).most_common(1)[0][0]


def _exact(number: float) -> float:
    """A limit without what division leaves behind the ninth decimal: 1.2 m is met by a reading of 1.2 m."""
    return round(number, 9)


def _join(entries: list[Entry], new: Sequence[Entry]) -> None:
    """Add values to those of a stage; one that is asked for already is written once, for both checks."""
    for each in new:
        for place, there in enumerate(entries):
            if (there.label, there.limit, there.unit) == (each.label, each.limit, each.unit):
                entries[place] = replace(there, ids=(*there.ids, *each.ids), tag=there.tag or each.tag)
                break
        else:
            entries.append(each)
