"""Splices and solenoids: alike ones said once, with the boxes or stations where they are; in files, one by one."""

from __future__ import annotations

from collections.abc import Iterator

from slackloop.compute.cable.splices import Splice, Wire
from slackloop.compute.circuit.solenoids import SolenoidAnswer
from slackloop.document.boxes.splice_groups import splice_groups
from slackloop.document.context import Context
from slackloop.document.inline import Line, line, strong
from slackloop.document.table import Cell, Column, Table, cell, count_cell, figure_cell, one_part
from slackloop.document.tables.source_table import resistance_rows, splice_rows, where
from slackloop.sections import format as fmt
from slackloop.sections.job_keys import connector_titles
from slackloop.units.figure import Figure, ohms, stated, volts

SPLICE_COLUMNS = (
    Column("splice", "Splice", share=5), Column("wires", "Wires in each", share=8), Column("count", "Wires", "count"),
    Column("copper", "Copper", "area"), Column("connector", "Connector", share=6), Column("where", "Where", share=8),
)  # fmt: skip
EACH_SPLICE_COLUMNS = (
    Column("box", "Box"), Column("side", "Side"), Column("splice", "Splice"), Column("colour", "Core colour"),
    Column("wires", "Wires"), Column("count", "Count", "count"), Column("copper", "Copper", "area"),
    Column("connector", "Connector"), Column("fits", "Fits"),
)  # fmt: skip
_FIGURES = (
    Column("lead", "Lead", "length"), Column("ohms", "Lead, both cores", "resistance"),
    Column("output", "Volts at the output", "volts"), Column("inrush", "At inrush", "volts"),
    Column("holding", "Holding", "volts"), Column("needs", "It needs", "volts"),
    Column("longest", "Longest lead", "run"),
)  # fmt: skip
SOLENOID_COLUMNS = (*_FIGURES, Column("where", "Stations", share=1))
EACH_SOLENOID_COLUMNS = (Column("box", "Box"), Column("station", "Station", "count"), *_FIGURES)


def splice_table(context: Context) -> Table:
    """Every kind of splice: what meets in it, the connector that takes it, and the boxes that have it."""
    boxes: dict[tuple[Cell, ...], list[str]] = {}
    for index, box in enumerate(context.network.boxes):
        splices = (*context.analysis.splices[index], *context.analysis.solenoid_splices[index])
        for group in splice_groups(splices):
            boxes.setdefault(_kind(context, group.splices, index), []).append(box)
    total, order = len(context.network.boxes), context.network.index
    rows = [(*kind, cell(where(names, total, order, "box", "boxes"))) for kind, names in boxes.items()]
    note = "A connector takes only what its maker lists. If the pack and this table differ, follow the pack."
    return Table(
        "splices", "Splices", SPLICE_COLUMNS, one_part(rows), ("job", "computed"), splice_rows(context),
        notes=(line(note),), landscape=True,
    )  # fmt: skip


def _kind(context: Context, splices: tuple[Splice, ...], index: int) -> tuple[Cell, ...]:
    """Alike splices of one box, in words that fit every box with the like."""
    like = splices[0]
    path_side = like.cores in ("a", "b")
    if path_side:
        colours = [f"core {each.cores}{f' ({each.colour})' if each.colour else ''}" for each in splices]
        label = fmt.listing(colours)
    else:
        leads = list(dict.fromkeys(each.cores.split(" ", 2)[2] for each in splices))
        stations = len(splices) // len(leads)
        label = f"{fmt.listing(leads)} of {fmt.count(stations, 'station', 'stations')}"
    title = connector_titles(context.job).get(like.connector, like.connector)
    fits = line(title) if like.fits else line(strong("DOES NOT FIT "), f"{title}: {'; '.join(like.reasons)}")
    if like.fits is None:
        fits = line(f"{title}: whether it fits is not known")
    return (
        cell(label[:1].upper() + label[1:]), cell(_wires(context, like, index)), count_cell(len(like.wires)),
        figure_cell(Figure(like.area_mm2, "area", "nearest"), context.units), Cell(fits),
    )  # fmt: skip


def _wires(context: Context, splice: Splice, index: int) -> str:
    """What meets, alike wires counted, with no box's or station's number in it."""
    mixed = len({wire.colour for wire in splice.wires if wire.colour}) > 1
    counts: dict[str, int] = {}
    for wire in splice.wires:
        text = f"{fmt.written(wire.conductor_label)} {_origin(wire)}"
        text += f" ({wire.colour})" if mixed and wire.colour else ""
        counts[text] = counts.get(text, 0) + 1
    return ", ".join(f"{number} × {text}" if number > 1 else text for text, number in counts.items())


def _origin(wire: Wire) -> str:
    """Where a wire comes from, without the number of a box or station."""
    for start, words in (("run from", "run in"), ("run to", "run out"), ("lead to station", "lead to the solenoid")):
        if wire.origin.startswith(start):
            return words
    return wire.origin


def each_splice_table(context: Context) -> Table:
    """Every splice of every box, the path's before the solenoids'."""
    titles, units = connector_titles(context.job), context.units
    rows = [
        (
            cell(box), cell(side), cell(each.cores), cell(each.colour),
            cell("; ".join(_wire_text(wire) for wire in each.wires)), count_cell(len(each.wires)),
            figure_cell(Figure(each.area_mm2, "area", "nearest"), units),
            cell(titles.get(each.connector, each.connector)),
            cell("yes" if each.fits else "; ".join(each.reasons) or "not known"),
        )
        for box, side, each in _every_splice(context)
    ]  # fmt: skip
    return Table(
        "each-splice", "Splices, one by one", EACH_SPLICE_COLUMNS, one_part(rows), ("job", "computed"),
        splice_rows(context),
    )  # fmt: skip


def _every_splice(context: Context) -> Iterator[tuple[str, str, Splice]]:
    analysis = context.analysis
    for box, path_side, solenoid_side in zip(
        context.network.boxes, analysis.splices, analysis.solenoid_splices, strict=True
    ):
        for side, splices in (("path", path_side), ("solenoid", solenoid_side)):
            for each in splices:
                yield box, side, each


def _wire_text(wire: Wire) -> str:
    """A wire of a splice: its size, its own colour where its cable prints one, and where it comes from."""
    return " ".join(part for part in (fmt.written(wire.conductor_label), wire.colour, wire.origin) if part)


def solenoid_table(context: Context) -> Table:
    """Volts at the solenoids, alike stations said once, the worst first."""
    alike: dict[tuple[Line, ...], tuple[tuple[Cell, ...], list[str]]] = {}
    answers = context.analysis.solenoids
    for each in sorted(answers, key=lambda answer: answer.volts - answer.least_volts):
        cells = _solenoid(context, each)
        key = tuple(part.line for part in cells)
        alike.setdefault(key, (cells, []))[1].append(str(each.station))
    order = {str(station): n for n, station in enumerate(sorted(each.station for each in answers))}
    rows = [
        (*cells, cell(where(sorted(names, key=order.__getitem__), len(answers), order, "station", "stations")))
        for cells, names in alike.values()
    ]
    intro = (
        "Volts at each solenoid over its lead, at inrush and while it holds: soil at its hottest, and the largest "
        "resistance that the lead may have."
    )
    follows = (
        "Where an output follows the path, it has the lowest volts of the path at that box less what the device loses."
    )
    notes = (line(follows),) if any(each.path_volts is not None for each in answers) else ()
    return Table(
        "solenoids", "Solenoids", SOLENOID_COLUMNS, one_part(rows), ("job", "computed"),
        resistance_rows(context, largest=True), line(intro), notes, landscape=True,
    )  # fmt: skip


def each_solenoid_table(context: Context) -> Table:
    """Volts at every solenoid, a row a station."""
    rows = [
        (cell(each.box_id), count_cell(each.station), *_solenoid(context, each)) for each in context.analysis.solenoids
    ]
    return Table(
        "each-solenoid", "Solenoids, one by one", EACH_SOLENOID_COLUMNS, one_part(rows), ("job", "computed"),
        resistance_rows(context, largest=True),
    )  # fmt: skip


def _solenoid(context: Context, each: SolenoidAnswer) -> tuple[Cell, ...]:
    least = context.job.solenoids[each.of.solenoid or ""].least_volts
    figures = (
        each.of.lead, ohms(each.lead_ohms, "highest"), volts(each.output_volts, "lowest"),
        volts(each.volts, "lowest"), volts(each.holding_volts, "lowest"), stated(least, "least"),
    )  # fmt: skip
    longest = cell("none is short enough")
    if each.longest_lead_m > 0:
        longest = figure_cell(each.longest_lead, context.units)
    return (*(figure_cell(figure, context.units) for figure in figures), longest)
