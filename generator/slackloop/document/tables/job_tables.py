"""What the job states, what it is not sure of, and where it departs from the firm's standing standard."""

from __future__ import annotations

from collections.abc import Iterator

from slackloop.document.context import Context
from slackloop.document.doubts import Doubt, doubts
from slackloop.document.inline import Line, line, strong
from slackloop.document.table import Cell, Column, Table, cell, one_part
from slackloop.sections import format as fmt
from slackloop.sections.part_titles import part_titles
from slackloop.site.key_titles import key_title
from slackloop.source.finding import At

FACT_COLUMNS = (Column("fact", "Fact"), Column("value", "Value"))
DEPARTURE_COLUMNS = (
    Column("what", "What"), Column("standard", "The standard says"), Column("job", "This job says"),
    Column("why", "Why"),
)  # fmt: skip
DOUBT_COLUMNS = (
    Column("fact", "Fact", share=6), Column("value", "Taken as", share=4), Column("of", "Of", share=5),
    Column("moves", "What moves with it", share=7), Column("before", "Confirm before", share=5),
    Column("place", "In the job file", share=4),
)  # fmt: skip


def job_facts_table(context: Context) -> Table:
    """Every standing fact of the job, as the job file states it."""
    rows = [(cell(fact), cell(value)) for fact, value in _facts(context)]
    intro = "What the job requires. Every other figure in this handbook is calculated from these."
    notes: tuple[Line, ...] = ()
    if context.job.trench.warning_tape:
        notes = (line("Warning tape lies at half the cover."),)
    return Table(
        "job-facts", "Job facts", FACT_COLUMNS, one_part(rows), ("job", *(("practice",) if notes else ())), (),
        line(intro), notes,
    )  # fmt: skip


def _facts(context: Context) -> Iterator[tuple[str, str]]:
    values, job = context.values, context.job
    yield "Supply", f"{values.supply_volts}, {values.supply_kind}"
    yield from _supply_facts(context)
    yield "Most stations at once", values.stations_at_once
    yield "Soil", values.soil
    yield "Soil at cable depth, coldest and hottest", f"{values.coldest} to {values.hottest}"
    yield "Frost depth", values.frost_depth
    yield "Slack", f"{values.slack_length} {values.slack_rule}"
    yield "Bare copper at each wire end", values.strip
    yield "Cover over the cable", values.cover
    yield "Trench width", values.trench_width
    yield "Trench depth", values.trench_depth
    yield "Pipe in the trench, outside diameter", values.pipe_od
    yield "Bedding under and around", values.bedding
    yield "Warning tape", f"yes, {values.tape_depth} below the surface" if job.trench.warning_tape else "no"
    yield "Earth rod", values.rod
    yield "Earth electrode, most resistance", values.target
    yield "Most boxes from one electrode to the next", values.every_boxes
    yield "Most run from one electrode to the next", values.every_run
    yield "Least distance from rod to cable", values.clear_of_cable
    yield "Insulation test", f"{values.insulation_volts}, at least {values.insulation_least}"
    yield "Loop reading, tolerance", values.loop_tolerance
    yield "Loop meter, error", values.loop_meter
    yield "Waste on cable", values.waste
    yield "Spares on small parts", values.spare
    yield "Site hazards", ", ".join(job.conditions.hazards) or "none stated"


def _supply_facts(context: Context) -> Iterator[tuple[str, str]]:
    """What the job states of its supply besides volts and current."""
    supply, hertz = context.job.supply, context.outlook.mains_hz
    if supply.lowest:
        yield "Lowest volts of the supply", fmt.written(supply.lowest.text)
    if hertz:
        yield "Frequency of the supply", f"{hertz:g} Hz"
    if supply.always_on:
        numbers = ", ".join(str(station) for station in supply.always_on)
        yield "Stations that always operate, counted in those at once", numbers


def departures_table(context: Context) -> Table:
    """Every value where the job departs from the firm's standing standard; no rows where it names none."""
    departures = context.reading.departures if context.reading else ()
    rows = [
        (
            cell(_what(context, each.at)), cell(fmt.written(each.standard_text)), cell(fmt.written(each.job_text)),
            cell(each.reason or strong("no reason is given")),
        )
        for each in departures
    ]  # fmt: skip
    intro = "The firm's standing standard says one thing and this job another. The job's own value counts."
    return Table(
        "departures", "Departures from the standard", DEPARTURE_COLUMNS, one_part(rows), ("job", "standard"),
        intro=line(intro),
    )  # fmt: skip


def _what(context: Context, at: At) -> str:
    """What a departure is about, with the part that it belongs to."""
    title = key_title(at)
    words = title[:1].upper() + title[1:]
    part = part_titles(context.job).get(str(at[0]), {}).get(str(at[1]), "") if len(at) > 1 else ""
    return f"{words}: {part}" if part else words


def assumptions_table(context: Context) -> Table:
    """The list with what each fact moves; no rows where the job is sure of everything."""
    rows = [_doubt_row(each) for each in doubts(context)]
    intro = (
        "Facts that the job assumes or does not know, those with most effect on volts and on orders first. Find them "
        "out in this order. Each is a hold point on the job sheet."
    )
    note = "Not known: the figures that rest on it are told as not known too, and never guessed."
    return Table(
        "assumptions", "Facts to confirm", DOUBT_COLUMNS, one_part(rows), ("job",), (), line(intro), (line(note),),
        landscape=True,
    )  # fmt: skip


def _doubt_row(each: Doubt) -> tuple[Cell, ...]:
    fact = each.fact[:1].upper() + each.fact[1:]
    return (
        cell(fact), cell(each.value), cell(each.of), cell(each.effect.moves), cell(each.effect.before),
        cell(each.where),
    )  # fmt: skip
