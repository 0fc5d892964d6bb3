"""What the checks can see: faults that bury trouble, against the steps that prevent them and the checks that show them.

The second table, for a file, gives the smallest fault that shows at each box.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from slackloop.compute.suspects.job_suspects import Seen, job_seen, leak_seen
from slackloop.document.context import Context
from slackloop.document.inline import Line, PageTarget, joined, line, link, strong
from slackloop.document.pages.section_page import section_id
from slackloop.document.table import Cell, Column, Table, cell, figure_cell, missing_cell, one_part
from slackloop.document.tables.matrix import check_words, matrix_link
from slackloop.document.tables.source_table import once, resistance_rows
from slackloop.sections.catalogue import Fault
from slackloop.sections.conditions import AppliedSection
from slackloop.sections.fault_cover import FaultCover, fault_covers
from slackloop.sections.section import Step
from slackloop.units.figure import Figure, ohms, run_length
from slackloop.units.ladder import Rounding

COLUMNS = (
    Column("fault", "Fault, and what it does", share=8), Column("prevented", "Prevented by", share=7),
    Column("shown", "First shown by", share=8), Column("in-time", "Before the fill", share=3),
    Column("smallest", "Smallest that shows for certain", share=9),
)  # fmt: skip
EACH_COLUMNS = (
    Column("box", "Box"), Column("splice", "Splice, ohms more than", "resistance"),
    Column("longer", "Run longer by", "run"), Column("shorter", "Run shorter by", "run"),
    Column("short", "Short in the middle of the run, up to", "resistance"),
)  # fmt: skip
NOT_EVEN_ALL = "shows not even without the whole run"
NOT_EVEN_METAL = "does not show here, whatever its ohms"


@dataclass(frozen=True, slots=True)
class _Size:
    """A size of fault at each box, where one that shows is counted from: the smaller the better, or the larger."""

    of: Callable[[Seen], float]
    figure: Callable[[float, Rounding], Figure]
    better: Callable[[Sequence[float]], float]
    rounding: Rounding


SIZES = {
    "splice": (("", _Size(lambda each: each.splice_ohms, ohms, min, "highest")),),
    "length": (
        ("longer by ", _Size(lambda each: each.longer_m, run_length, min, "highest")),
        ("shorter by ", _Size(lambda each: each.shorter_m, run_length, min, "highest")),
    ),
    "short": (("a short of up to ", _Size(lambda each: each.short_ohms, ohms, max, "lowest")),),
}


def faults_table(context: Context) -> Table:
    """A row for each fault, in the order of the word file."""
    words, seen = context.content.words.faults, _seen(context)
    covers = fault_covers(context.sections, context.content.words)
    rows = [
        (
            cell(strong(words[each.fault].title), ". ", words[each.fault].harm),
            cell(_steps(context, each.steps)),
            cell(_first(context, each)),
            cell("yes" if each.in_time else strong("no")),
            cell(_smallest(context, words[each.fault], each, seen)),
        )
        for each in covers
    ]
    known = context.tables.constants["fault_readings"].rows
    intro = (
        "A fault that nobody finds before the trench is filled is dug up later. The order is that of the work: the run "
        "beyond a box is covered only after the checks of its splices."
    )
    note = (
        "Smallest that shows for certain: outside the limits even where the meter is off by all that it may be and "
        "the soil is at its worst. The first box named shows the smallest fault, the second the largest. A smaller "
        "fault may show too. A short counts half-way along the run that is read. A file gives each box."
    )
    return Table(
        "faults", "What the checks can see", COLUMNS, one_part(rows), ("method", "job", "computed"),
        once((known["tester-error"], *resistance_rows(context, largest=False))), line(intro), (line(note),),
        landscape=True, row_anchors=tuple(each.fault for each in covers),
    )  # fmt: skip


def each_fault_table(context: Context) -> Table:
    """The smallest fault that the loop reading shows at each box, in path order."""
    return Table(
        "each-fault", "Smallest faults that show", EACH_COLUMNS,
        one_part(_each_row(context, each) for each in _seen(context)), ("job", "computed"),
        resistance_rows(context, largest=False),
    )  # fmt: skip


def _seen(context: Context) -> tuple[Seen, ...]:
    """What shows at each box that a new run leads to."""
    analysis = context.analysis
    every = job_seen(context.job, context.network, context.tables, analysis.lengths, analysis.loops)
    new = {run.to_id for run in context.network.runs if not run.existing}
    return tuple(each for each in every if each.box in new) or every


def _each_row(context: Context, seen: Seen) -> tuple[Cell, ...]:
    shorter = run_length(seen.shorter_m, "highest") if math.isfinite(seen.shorter_m) else None
    short = ohms(seen.short_ohms, "lowest") if seen.short_ohms > 0.0 else None
    return (
        cell(seen.box),
        figure_cell(ohms(seen.splice_ohms, "highest"), context.units),
        figure_cell(run_length(seen.longer_m, "highest"), context.units),
        figure_cell(shorter, context.units) if shorter else missing_cell(NOT_EVEN_ALL),
        figure_cell(short, context.units) if short else missing_cell(NOT_EVEN_METAL),
    )


def _steps(context: Context, steps: Sequence[tuple[AppliedSection, Step]]) -> Line:
    """Links to steps by their numbers, with the section's name before them."""
    found: dict[str, list[Line]] = {}
    for applied, step in steps:
        target = PageTarget(section_id(applied), step.id)
        name = context.prose.plain(applied.section.front.title)
        found.setdefault(name, []).append(line(link(str(applied.numbers[step.id]), target)))
    return joined((line(name, " ", joined(numbers)) for name, numbers in found.items()), "; ")


def _first(context: Context, cover: FaultCover) -> Line:
    """The first check that shows a fault, and the others by their ids."""
    if not cover.checks:
        return line(strong("no check"))
    (applied, check), *others = cover.checks
    title, _ = check_words(context, applied, check)
    also = joined(matrix_link(each.id) for _, each in others)
    return line(strong(matrix_link(check.id)), " ", title, *((", then ", also) if others else ()))


def _smallest(context: Context, fault: Fault, cover: FaultCover, seen: Sequence[Seen]) -> Line:
    """The smallest fault that each check shows by a reading, at its best and its worst box."""
    if not fault.reading:
        return line("no electrical reading shows it")
    told: list[Line] = []
    measured = {check.measures: check for _, check in reversed(cover.checks) if check.measures}
    if "insulation_ohms" in measured and fault.reading in ("leak", "short"):
        fraction = context.tables.constants["fault_readings"].rows["tester-error"].value
        least = leak_seen(context.job.rules.tests.insulation.least.si, fraction)
        found = ohms(least, "lowest", 2).text(context.units)
        told.append(line(f"{measured['insulation_ohms'].id}: less than {found} in any run"))
    if "loop_ohms" in measured and fault.reading in SIZES:
        parts = joined(_sizes(context, fault.reading, seen), "; ")
        told.append(line(f"{measured['loop_ohms'].id}: ", parts))
    return joined(told, ". ")


def _sizes(context: Context, reading: str, seen: Sequence[Seen]) -> Iterator[Line]:
    """Each way that a fault may go, from the box that shows the smallest to the one that shows least."""
    for name, size in SIZES[reading]:
        shown = [each for each in seen if math.isfinite(size.of(each)) and size.of(each) > 0.0]
        if not shown:
            yield line(f"{name}nothing that shows for certain".strip())
            continue
        ordered = sorted(shown, key=size.of, reverse=size.better is max)
        pieces = [f"{size.figure(size.of(each), size.rounding).text(context.units)} at {each.box}"
                  for each in (ordered[0], ordered[-1])]  # fmt: skip
        hidden = len(seen) - len(shown)
        whole = f"{pieces[0]}, not at {hidden} of {len(seen)} boxes" if hidden else f"from {pieces[0]} to {pieces[1]}"
        yield line(f"{name}{whole}")
