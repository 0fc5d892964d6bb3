"""The schedule of materials: what the work takes, what is added, and what to order, live in a workbook."""

from __future__ import annotations

from slackloop.compute.analysis import BEDDING_SOIL, Analysis
from slackloop.compute.materials import Material
from slackloop.compute.reels import ReelPlan
from slackloop.handbook.schedule_files import SCHEDULES
from slackloop.handbook.spans import spans
from slackloop.publish.schedule import COMPUTED, Column, Formula, Row, Schedule, number
from slackloop.reference.tables import ReferenceTables
from slackloop.units.ladder import System
from slackloop.units.rounding import rounded
from slackloop.units.unit_table import CUBIC_METRES_PER_CUBIC_YARD, METRES_PER_FOOT

NOTE = "Change a quantity or what is added, and the order follows. Reels follow the reel plan on its own sheet."


def materials_schedule(analysis: Analysis, tables: ReferenceTables, units: System) -> Schedule:
    """What to order: the quantity, what is added, whole order units; in a US job the order in its units first."""
    us = (Column("Order, US"), Column("US unit")) if units == "us" else ()
    columns = (
        Column("Item"), Column("Kind"), *us, Column("Quantity", "", 2), Column("Unit"), Column("Added", "fraction"),
        Column("With what is added", "", 2), Column("One order unit holds"), Column("Order"),
        Column("Order unit"), Column("Part number"), Column("From"), Column("Boxes"), Column("Needed in"),
        Column("Source"),
    )  # fmt: skip
    rows = tuple(_row(line, analysis, tables, units) for line in analysis.materials)
    return Schedule("materials", SCHEDULES["materials"], columns, rows, note=NOTE)


def _row(line: Material, analysis: Analysis, tables: ReferenceTables, units: System) -> Row:
    extended = line.quantity * (1.0 + line.extra)
    with_added = Formula("=ROUND({Quantity}*(1+{Added (fraction)}),6)", round(extended, 6))
    where = spans(line.boxes, analysis.network.index) or "controller"
    return (
        line.item, line.kind, *(_us_order(line) if units == "us" else ()), number(line.quantity), line.unit,
        number(line.extra), with_added, number(line.holds), _order(line, analysis), line.order_unit, line.part,
        line.basis, len(line.boxes), where, _source(line, analysis, tables),
    )  # fmt: skip


def _us_order(line: Material) -> Row:
    """What to order in feet or cubic yards; pieces, packs and reels as they are."""
    if line.order_unit not in ("m", "m3"):
        return Formula("={Order}", line.order), line.order_unit
    unit, per, step = ("ft", METRES_PER_FOOT, 1.0)
    if line.order_unit == "m3":
        unit, per, step = ("yd3", CUBIC_METRES_PER_CUBIC_YARD, 0.1)
    return Formula(f"=CEILING(ROUND({{Order}}/{per!r},6),{step:g})", rounded(line.order / per, step, "cut")), unit


def _order(line: Material, analysis: Analysis) -> Formula:
    if line.order_unit == "reel":
        plan = _plan(line, analysis)
        more = plan.reel_count - len(plan.reels)
        text = "=COUNTIF({reels:Cable},{Item})" + (f"+{more}" if more else "")
    elif line.holds != 1.0:
        text = "=CEILING(CEILING({With what is added},1)/{One order unit holds},1)"
    else:
        text = f"=CEILING({{With what is added}},{line.step:g})"
    return Formula(text, line.order)


def _plan(line: Material, analysis: Analysis) -> ReelPlan:
    """The reel plan of a cable."""
    return next(plan for plan in analysis.reels if plan.cable == line.item)


def _source(line: Material, analysis: Analysis, tables: ReferenceTables) -> str:
    if line.kind == "bedding":
        sand = tables.soils.rows[BEDDING_SOIL]
        return f"{COMPUTED}; {sand.source}, sand ({sand.checked})"
    if line.kind == "cable":
        bound = _plan(line, analysis).bound_source
        return f"{COMPUTED}; fewest reels: {bound}" if bound else COMPUTED
    return COMPUTED
