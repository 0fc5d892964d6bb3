"""Tables of the ground: volumes of the trench, what its depth sets off, marks on the ground, earth electrodes."""

from __future__ import annotations

from collections.abc import Iterator

from slackloop.compute.ground.electrodes import PIN_DEPTH, SOIL_DIGITS, resistivity_for_rod, wenner_ohm_m
from slackloop.compute.ground.trench import Trigger, triggers
from slackloop.document.context import Context
from slackloop.document.inline import Line, joined, line
from slackloop.document.table import Cell, Column, Part, Table, cell, count_cell, figure_cell, missing_cell, one_part
from slackloop.document.tables.run_table import box_line
from slackloop.document.tables.source_table import electrode_rows, soil_rows
from slackloop.reference.code_basis import ExcavationRow
from slackloop.sections import format as fmt
from slackloop.source.suggestions import FEW, listed
from slackloop.units.figure import Figure, length, ohms, printed, run_length, stated, volume
from slackloop.units.ladder import Rounding, rounded
from slackloop.units.unit_table import METRES_PER_FOOT

VOLUME_COLUMNS = (Column("what", "What"), Column("volume", "In all", "volume"), Column("where", "Measured"))
TRIGGER_COLUMNS = (
    Column("what", "What", share=3), Column("depth", "From depth", "length", share=2),
    Column("job", "On this job", share=3), Column("asked", "What is required", share=6),
    Column("distance", "Distance", "length", share=3), Column("clause", "Clause", share=3),
)  # fmt: skip
MARK_COLUMNS = (Column("colour", "Colour"), Column("meaning", "What is there"))
ELECTRODE_COLUMNS = (Column("why", "Why here", share=2), Column("count", "Electrodes", "count"),
                     Column("where", "Where", share=3))  # fmt: skip
EACH_COLUMNS = (
    Column("where", "Where"), Column("why", "Why here"), Column("rods", "Rods", "count", total=True),
    Column("one", "One rod in the assumed soil", "resistance"), Column("target", "Target, at most", "resistance"),
    Column("read", "Read on site", "resistance"),
)  # fmt: skip
MARKS = "marks"
"""The clause of a code basis that gives colours to marks on the ground."""


def volumes_table(context: Context) -> Table:
    """What is dug, filled and left over in all; each run's volumes are in the file of runs."""
    answer, units = context.analysis.trench, context.units
    volumes = (
        ("Dug", answer.dug_m3, "in the ground"),
        ("Dug", answer.loose_m3, "loose, as it is moved"),
        ("Bedding", answer.bedding_m3, "compacted"),
        ("Backfill over the bedding, dug soil", answer.backfill_m3, "compacted"),
        ("Left over", answer.surplus_m3, "loose, as it is moved"),
    )
    rows = [
        (cell(what), figure_cell(volume(value, "cut"), units), cell(measured)) for what, value, measured in volumes
    ]
    intro = (
        f"{run_length(answer.length_m, 'cut').text(units)} of trench, width {context.values.trench_width}, at its "
        f"deepest {length(answer.deepest_m, 'least').text(units)}: cover, pipe or cable, and bedding under it."
    )
    soils, unit = soil_rows(context), "m³" if units == "metric" else "yd³"
    notes = tuple(
        line(
            f"{row.name.capitalize()}: 1 {unit} in the ground is {row.bank_to_loose:.2f} {unit} dug out and "
            f"{row.bank_to_compacted:.2f} {unit} compacted."
        )
        for row in soils
    )
    return Table(
        "volumes", "Trench and volumes", VOLUME_COLUMNS, one_part(rows), ("job", "computed"), soils, line(intro), notes
    )


def trench_triggers_table(context: Context) -> Table:
    """What the depth of the trench sets off in the code basis, each row with its clause."""
    basis, trench = context.basis, context.analysis.trench
    found = triggers(trench, basis)
    rows = [
        (
            cell(each.row.title),
            cell("any depth") if each.row.least_depth_m is None else _printed(context, each.row, "depth"),
            cell(_set_off(each, context)),
            cell(each.row.text),
            _printed(context, each.row, "distance"),
            cell(each.row.source),
        )
        for each in found
    ]
    no_depth = all(row.least_depth_m is None for row in basis.excavation)
    notes = (line(f"No depth is printed where the rules give none: {basis.who_decides}."),) if no_depth else ()
    intro = (
        f"Rules of digging under {basis.title}, compared with this trench: at its deepest "
        f"{length(trench.deepest_m, 'least').text(context.units)}."
    )
    return Table(
        "trench-triggers", "Rules that apply from a depth", TRIGGER_COLUMNS, one_part(rows), ("computed",),
        tuple(each.row for each in found), line(intro), notes,
    )  # fmt: skip


def _printed(context: Context, row: ExcavationRow, what: str) -> Cell:
    """A depth or distance with the figures that its source prints, the job's unit first."""
    feet, metres = (row.from_depth_ft, row.from_depth_m) if what == "depth" else (row.distance_ft, row.distance_m)
    if feet is None and metres is None:
        return cell("")
    rounding: Rounding = "most" if what == "depth" else "least"
    inside = feet * METRES_PER_FOOT if feet is not None else metres
    return Cell(line(printed(context.units, rounding, metres=metres, feet=feet)), inside)


def _set_off(trigger: Trigger, context: Context) -> str:
    """Whether this trench sets the row off, and on which runs."""
    if not trigger.set_off:
        return "no: nowhere so deep"
    if trigger.row.least_depth_m is None:
        return "yes, at any depth"
    every = len(trigger.run_ids) == len(context.analysis.trench.dug_runs)
    return "yes, on every run" if every else f"yes, runs to {listed(trigger.run_ids, FEW)}"


def utility_marks_table(context: Context) -> Table:
    """Colours and what they mean; no rows where the code basis has no clause on them."""
    clause = context.basis.clause(MARKS)
    marks = context.tables.marks if clause else ()
    rows = [(cell(mark.colour), cell(mark.meaning)) for mark in marks]
    intro = "The colour of a mark says what kind of service is under it."
    return Table(
        "utility-marks", "Colours of marks on the ground", MARK_COLUMNS, one_part(rows), () if marks else ("method",),
        (*((clause,) if clause else ()), *marks), line(intro),
    )  # fmt: skip


def electrodes_table(context: Context) -> Table:
    """Where electrodes are and why, alike reasons said once; where the soil is not known, how to measure it."""
    answer = context.analysis.electrodes
    reasons: dict[str, list[str]] = {}
    for place in answer.places:
        reasons.setdefault(place.reason, []).append(place.where)
    rows = tuple(
        (cell(reason), count_cell(len(where)), cell(joined(box_line(context, each) for each in where)))
        for reason, where in reasons.items()
    )
    notes = list(_electrode_notes(context))
    if answer.long_runs:
        notes.append(line(f"Runs longer than the spacing of electrodes: {fmt.listing(list(answer.long_runs))}."))
    intro = (
        f"Rod: {context.values.rod}. At most {context.values.every_boxes} boxes or {context.values.every_run} of run "
        f"from one electrode to the next. Keep each rod {context.values.clear_of_cable} from the cable."
    )
    return Table(
        "electrodes", "Earth electrodes", ELECTRODE_COLUMNS, (Part("", rows),), ("job", "computed"),
        electrode_rows(context), line(intro), tuple(notes),
    )  # fmt: skip


def soil_test_table(context: Context) -> Table:
    """How to measure the soil with four pins, and what reading lets one rod do; no rows where the soil is known."""
    columns = (Column("what", "What to do", share=1), Column("then", "What it means", share=2))
    rows = [*_pin_rows(context), *_planning_rows(context)] if context.analysis.electrodes.ohms_each is None else []
    intro = (
        "The soil resistivity is not known. Measure it by the four-pin method before rods are ordered, write it in the "
        "job file and build the handbook again."
    )
    return Table(
        "soil-test", "Measure the soil first", columns, one_part(rows), ("job", "computed"),
        electrode_rows(context) if rows else (), line(intro) if rows else (),
    )  # fmt: skip


def _pin_rows(context: Context) -> Iterator[tuple[Cell, ...]]:
    """The test at three spacings, and how far apart the rods of one electrode are."""
    units, rules = context.units, context.job.rules.earthing
    length_m = rules.rod.length.si
    enough = resistivity_for_rod(rules.target.si, length_m, rules.rod.diameter.si)
    soil = Figure(enough, "resistivity", "most", SOIL_DIGITS).text(units)
    yield (
        cell("Set four pins in a straight line, clear of pipes and cables"),
        cell("Feed current through the outer pins and read the volts between the inner pins. The tester shows ohms."),
    )
    for share in (0.5, 1.0, 2.0):
        spacing_m = share * length_m
        per_ohm = wenner_ohm_m(spacing_m, 1.0)
        deepest = length(spacing_m * PIN_DEPTH, "most").text(units)
        least = ohms(enough / per_ohm, "most", SOIL_DIGITS).text(units)
        yield (
            cell(f"Pins {length(spacing_m, 'nearest').text(units)} apart, none deeper than {deepest}"),
            cell(
                f"Soil resistivity in Ω·m is {rounded(per_ohm, 0.01, 'highest'):.2f} × the reading in Ω. Where every "
                f"spacing gives {soil} or less (here {least}), one rod reaches {fmt.written(rules.target.text)}."
            ),
        )
    yield (
        cell("More than one rod at an electrode"),
        cell(
            f"Keep rods one rod length apart, {stated(rules.rod.length, 'least').text(units)}: the factors for groups "
            "are for that distance."
        ),
    )


def _planning_rows(context: Context) -> Iterator[tuple[Cell, ...]]:
    """Published resistivity of kinds of soil, to show how far one kind reaches."""
    for row in context.tables.resistivity:
        span = f"{row.least_ohm_cm / 100:g} to {row.most_ohm_cm / 100:g} Ω·m, mean {row.mean_ohm_cm / 100:g} Ω·m"
        yield cell(f"For planning only: {row.soil}"), cell(f"{span} ({row.source})")


def _electrode_notes(context: Context) -> Iterator[Line]:
    """What rods reach in the soil that the job assumes, and that only measuring decides."""
    answer, rules, units = context.analysis.electrodes, context.job.rules.earthing, context.units
    if answer.one_rod is None:
        yield line("The soil is not measured: one rod at each electrode is ordered until it is.")
        return
    rods, together = answer.rods_for_target, answer.rods_together
    reach = "no number of rods in the table reaches the target"
    if rods is not None and together is not None:
        words = fmt.count(rods, "rod reads", "rods, one rod length apart, read")
        reach = f"{words} {together.text(units)}"
    yield line(
        f"In soil of {context.values.resistivity}, which the job assumes at every electrode, one rod is "
        f"{answer.one_rod.text(units)}; the target is {fmt.written(rules.target.text)} or less; "
        f"{reach}."
    )
    yield line(
        "This is calculated, not measured. Soil differs from place to place and from season to season. The measurement "
        "at each electrode decides, and more rods may be needed."
    )


def each_electrode_table(context: Context) -> Table:
    """A row for each electrode, with room for what is measured there."""
    answer, rules, units = context.analysis.electrodes, context.job.rules.earthing, context.units
    one = missing_cell("the soil is not measured")
    if answer.one_rod is not None:
        one = figure_cell(answer.one_rod, units)
    rows = [
        (
            cell(place.where), cell(place.reason), count_cell(answer.rods_for_target or 1), one,
            figure_cell(stated(rules.target, "most"), units), cell(" "),
        )
        for place in answer.places
    ]  # fmt: skip
    return Table(
        "each-electrode", "Earth electrodes, one by one", EACH_COLUMNS, one_part(rows), ("job", "computed"),
        electrode_rows(context),
    )  # fmt: skip
