"""What to order, in all and by phase, and in which boxes it is needed."""

from __future__ import annotations

from collections.abc import Iterator

from slackloop.compute.cable.order_lines import OrderLine
from slackloop.document.context import Context
from slackloop.document.finding_words import what_waits
from slackloop.document.inline import Line, line, strong
from slackloop.document.table import Cell, Column, Part, Table, cell, count_cell, number_cell, one_part
from slackloop.document.tables.matrix import check_words
from slackloop.document.tables.source_table import once
from slackloop.reference.rows import Row
from slackloop.sections import format as fmt
from slackloop.sections.inspection_points import CROSSED, spans
from slackloop.site.models import Per
from slackloop.units.amount import EACH
from slackloop.units.figure import Figure, run_length
from slackloop.units.ladder import Rounding, rounded
from slackloop.units.unit_table import CUBIC_METRES_PER_CUBIC_YARD, METRES_PER_FOOT, UNITS

ORDER_DIGITS = 9
"""Orders are rounded up once, where they are worked out, and printed whole."""
KIND_KEYS = {"cable": "cables", "connector": "connectors", "device": "devices", "solenoid": "solenoids"}
US_UNITS = {"m": ("ft", METRES_PER_FOOT, 1.0), "m3": ("yd3", CUBIC_METRES_PER_CUBIC_YARD, 0.1)}
"""Unit, size in the metric one, and step of an order in a US job."""
MATERIAL_COLUMNS = (
    Column("item", "Item", share=7), Column("part", "Part number", share=3), Column("kind", "Kind", in_files_only=True),
    Column("amount", "Quantity", "number", on_pages_only=True, share=4),
    Column("quantity", "Quantity", "number", in_files_only=True), Column("unit", "Unit", in_files_only=True),
    Column("si_quantity", "Quantity, SI", "number", in_files_only=True),
    Column("si_unit", "SI unit", in_files_only=True),
    Column("us_order", "Order, US", "number", in_files_only=True), Column("us_unit", "US unit", in_files_only=True),
    Column("added", "Added (fraction)", "number", in_files_only=True),
    Column("with_added", "With what is added", "number", in_files_only=True),
    Column("holds", "One order unit holds", "number", in_files_only=True),
    Column("ordered", "Order", "number", on_pages_only=True, share=4),
    Column("order", "Order", "number", in_files_only=True), Column("order_unit", "Order unit", in_files_only=True),
    Column("si_order", "Order, SI", "number", in_files_only=True),
    Column("si_order_unit", "SI order unit", in_files_only=True),
    Column("basis", "Counted from", share=9), Column("boxes", "Boxes", "count", in_files_only=True),
    Column("where", "Needed in", share=6),
)  # fmt: skip
PHASE_COLUMNS = (
    Column("phase", "Phase"), Column("item", "Item", share=7), Column("part", "Part number", share=3),
    Column("amount", "Takes", on_pages_only=True, share=4), Column("ordered", "Order", on_pages_only=True, share=4),
    Column("quantity", "Takes", "number", in_files_only=True), Column("unit", "Unit", in_files_only=True),
    Column("order", "Order", "number", in_files_only=True), Column("order_unit", "Order unit", in_files_only=True),
)  # fmt: skip
BOX_COLUMNS = (Column("item", "Item"), Column("part", "Part number"), Column("kind", "Kind"), Column("box", "Box"))


def materials_table(context: Context) -> Table:
    """Everything to order, by title and part number."""
    materials = context.analysis.materials
    columns: tuple[Column, ...] = MATERIAL_COLUMNS
    needless = set() if any(each.part for each in materials) else {"part"}
    needless |= {"us_order", "us_unit"} if context.units == "metric" else set()
    if all((each.unit, each.order_unit) == (each.si_unit, each.si_order[1]) for each in materials):
        needless |= {"si_quantity", "si_unit", "si_order", "si_order_unit"}
    columns = tuple(column for column in columns if column.key not in needless)
    rows = [_material(context, each, {column.key for column in columns}) for each in materials]
    intro = (
        f"The quantity is what the work needs. The order adds waste ({context.values.waste} on cable) and spares "
        f"({context.values.spare} on small parts), in whole reels and packs."
    )
    return Table(
        "materials", "Materials to order", columns, one_part(rows), ("job", "computed"), tuple(_rows_used(context)),
        line(intro), (*_asked_first(context), *_not_stated(context), *arrival_notes(context)), landscape=True,
    )  # fmt: skip


def material_title(context: Context, material: OrderLine) -> str:
    """A material as a reader knows it: the part's title, never the name that the job file gives it."""
    titles = context.part_titles.get(KIND_KEYS.get(material.kind, ""), {})
    title = titles.get(material.item, fmt.written(material.item))
    return title[:1].upper() + title[1:]


def quantity_text(context: Context, material: OrderLine) -> str:
    """What the work takes of a material, with its unit."""
    return amount_text(material.quantity, material.unit, context.units)


def order_text(context: Context, material: OrderLine) -> str:
    """What is ordered of a material, with its unit."""
    return amount_text(material.order, material.order_unit, context.units)


def _material(context: Context, material: OrderLine, keys: set[str]) -> tuple[Cell, ...]:
    extended = round(material.quantity * (1.0 + material.extra), 6)
    cells = {
        "item": cell(material_title(context, material)),
        "part": cell(material.part),
        "kind": cell(material.kind),
        "amount": cell(quantity_text(context, material)),
        "quantity": number_cell(material.quantity),
        "unit": cell(material.unit),
        "si_quantity": number_cell(material.si_quantity),
        "si_unit": cell(material.si_unit),
        "us_order": _us_order(material),
        "us_unit": cell(US_UNITS.get(material.order_unit, (material.order_unit,))[0]),
        "added": number_cell(material.extra),
        "with_added": number_cell(extended, formula="=ROUND({quantity}*(1+{added}),6)"),
        "holds": number_cell(material.holds),
        "ordered": cell(order_text(context, material)),
        "order": number_cell(material.order, formula=_order_formula(context, material)),
        "order_unit": cell(material.order_unit),
        "si_order": number_cell(material.si_order[0]),
        "si_order_unit": cell(material.si_order[1]),
        "basis": cell(fmt.written(material.basis)),
        "boxes": count_cell(len(material.boxes)),
        "where": cell(spans(material.boxes, context.network.index) or "controller"),
    }
    return tuple(made for key, made in cells.items() if key in keys)


def _us_order(material: OrderLine) -> Cell:
    """What to order in feet or cubic yards; pieces, packs and reels as they are."""
    if material.order_unit not in US_UNITS:
        return number_cell(material.order, formula="={order}")
    _, per, step = US_UNITS[material.order_unit]
    formula = f"=CEILING(ROUND({{order}}/{per!r},6),{step:g})"
    return number_cell(rounded(material.order / per, step, "cut"), formula=formula)


def amount_text(quantity: float, unit: str, units: fmt.Units, rounding: Rounding = "cut") -> str:
    """A quantity with its unit: both systems for lengths and volumes, whole pieces, packs and reels counted."""
    if unit == "m":
        return run_length(quantity, rounding).text(units)
    if unit == "m3":
        return Figure(quantity, "volume", rounding, digits=ORDER_DIGITS).text(units)
    if unit == EACH:
        return f"{quantity:,.10g}"
    if unit in UNITS:
        return fmt.written(f"{quantity:,.10g} {unit}")
    return fmt.count(round(quantity), unit, f"{unit}s")


def _order_formula(context: Context, material: OrderLine) -> str:
    """How a workbook works out the order: reels from their own sheet, else whole packs or pieces."""
    if material.order_unit == "reel":
        plan = next(plan for plan in context.analysis.reels if plan.cable == material.item)
        more = plan.reel_count - len(plan.reels)
        return "=COUNTIF({reels:cable},{item})" + (f"+{more}" if more else "")
    if material.holds != 1.0:
        return "=CEILING(CEILING({with_added},1)/{holds},1)"
    return f"=CEILING({{with_added}},{material.step:g})"


def _rows_used(context: Context) -> Iterator[Row]:
    """Rows behind quantities: how sand loosens, by which bound reels are the fewest, and the rods of a group."""
    kinds = {each.kind for each in context.analysis.materials}
    if "bedding" in kinds:
        yield context.tables.soils.rows["sand"]
    yield from bound_rows(context)
    answer = context.analysis.electrodes
    if answer.ohms_each is not None:
        yield context.tables.formulas["one-rod"]
        if (answer.rods_for_target or 1) > 1:
            yield from context.tables.rod_groups.values()


def bound_rows(context: Context) -> tuple[Row, ...]:
    """The rows of the bounds that say how few reels there can be."""
    named = {plan.bound_source for plan in context.analysis.reels}
    return once(row for row in context.tables.formulas.values() if row.source in named)


def phase_table(context: Context) -> Table:
    """What to have on site when each phase begins; no row where the job names no phase."""
    parts: dict[str, list[tuple[Cell, ...]]] = {}
    for each in context.analysis.phased_orders:
        material, phase = each.line, f"Phase {each.phase}" if each.phase else "No phase"
        order = amount_text(each.order, material.order_unit, context.units) if each.order else "from what is left over"
        parts.setdefault(phase, []).append((
            cell(each.phase), cell(material_title(context, material)), cell(material.part),
            cell(amount_text(each.quantity, material.unit, context.units)), cell(order),
            number_cell(each.quantity), cell(material.unit), number_cell(each.order), cell(material.order_unit),
        ))  # fmt: skip
    intro = (
        "What each phase takes, and what to order for it. What is left of a pack or a reel goes on into the next "
        "phase; the orders of all phases add up to the whole order."
    )
    return Table(
        "order-phases", "Materials by phase", PHASE_COLUMNS,
        tuple(Part(title, tuple(rows)) for title, rows in parts.items()), ("job", "computed"), (), line(intro),
    )  # fmt: skip


def _not_stated(context: Context) -> Iterator[Line]:
    """What the method takes and no line of the order is for, each counted, so that nobody forgets it."""
    job, network = context.job, context.network
    new = [run for run in network.all_runs if not run.existing]
    boxes = sum(not box.existing for box in job.path.boxes)
    old = {box.id for box in job.path.boxes if box.existing}
    electrodes = sum(each.where not in old for each in context.analysis.electrodes.places)
    rods = sum(round(each.quantity) for each in context.analysis.materials if each.kind == "rod")
    bare = [run for run in new if run.surface in CROSSED and run.crossing is None and run.duct is None]
    crossed = spans([run.to_id for run in bare if not run.closure], network.index)
    named = ", ".join(filter(None, (crossed, *(run.id for run in bare if run.closure))))
    goods: tuple[tuple[Per, tuple[str, ...], int, str], ...] = (
        ("box", ("box", "arqueta"), boxes, f"{fmt.count(boxes, 'valve box', 'valve boxes')}"),
        ("box", ("gravel", "grava"), boxes, f"gravel under {fmt.count(boxes, 'box', 'boxes')}"),
        ("cable end", ("cap",), 2 * len(new), f"end caps for {fmt.count(2 * len(new), 'cable end', 'cable ends')}"),
        ("crossing", ("sleeve", "tubo"), len(bare), f"sleeves for the runs that cross and name none ({named})"),
        ("electrode", ("clamp", "abrazadera"), rods, f"clamps for {fmt.count(rods, 'earth rod', 'earth rods')}"),
        ("electrode", ("lead", "wire", "cable", "conductor"), electrodes,
         f"the earth leads of {fmt.count(electrodes, 'electrode', 'electrodes')}"),
    )  # fmt: skip
    stated_goods = [(each.per, each.title.casefold()) for each in job.materials]
    missing = [
        told for per, words, number, told in goods
        if number and not any(own == per and any(word in title for word in words) for own, title in stated_goods)
    ]  # fmt: skip
    if missing:
        yield line(strong("Not stated by the job, so not ordered here: "), "; ".join(missing), ".")


def _asked_first(context: Context) -> Iterator[Line]:
    """Whose answer comes before the order, where one is open."""
    waits = dict.fromkeys(what_waits(each) for each in context.findings)
    told = " ".join(each for each in waits if each.endswith(" ordered."))
    if told:
        yield line(strong("Ask before you order: "), told, " The questions are with the findings.")


def arrival_notes(context: Context) -> Iterator[Line]:
    """What is tested when it arrives: each check of a reel, for how many reels, with its limit."""
    reels = sum(plan.reel_count for plan in context.analysis.reels if plan.reel_m is not None)
    number = fmt.count(reels, "reel", "reels") if reels else "each length as it arrives"
    for applied in context.sections:
        for check in applied.checks:
            if check.where == "each-reel":
                title, limit = check_words(context, applied, check)
                yield line("Before it is laid, ", strong(check.id), " ", title, f" ({number}): ", limit, ".")


def material_boxes_table(context: Context) -> Table:
    """A row for each material in each box that needs it, to be filtered either way."""
    rows = [
        (cell(material_title(context, each)), cell(each.part), cell(each.kind), cell(box))
        for each in context.analysis.materials
        for box in each.boxes
    ]
    return Table(
        "material-boxes", "Boxes that need each material", BOX_COLUMNS, one_part(rows), ("job", "computed")
    )  # fmt: skip
