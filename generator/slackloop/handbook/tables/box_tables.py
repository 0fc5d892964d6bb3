"""Tables of what is done in boxes: splices, slack, electrodes."""

from __future__ import annotations

from slackloop.compute.earth_rods import PIN_DEPTH, resistivity_for_rod, wenner_ohm_m
from slackloop.compute.electrodes import SOIL_DIGITS
from slackloop.handbook import format as fmt
from slackloop.handbook.box_facts import BoxFacts
from slackloop.handbook.context import Context
from slackloop.handbook.tables.failed import failed_banner
from slackloop.handbook.tables.path_tables import box_link, by_arm
from slackloop.handbook.tables.table import COMPUTED, JOB, Column, Row, Table, TablePart, one_part
from slackloop.units.figure import Figure
from slackloop.units.rounding import rounded

WENNER_SOURCES = (
    "Four pins: Wenner, ρ = 2π·a·R (recomputed from its formula).",
    "Depth of the pins: MIL-HDBK-419A vol. II, figure 1-1 (read in a copy).",
)


def splices_table(context: Context) -> Table:
    """Every splice of every box: how many conductors of which sizes, and whether the connector takes them."""
    parts = []
    for group in context.groups:
        rows: list[Row] = []
        for index in group.indices:
            name = box_link(context, context.network.boxes[index])
            rows += [(name, *row) for row in BoxFacts(context, index).splice_rows()]
        parts.append(TablePart(group.title, tuple(rows)))
    return Table(
        "splices",
        "Splices",
        "Every splice: what meets in it, and the connector that takes it. Like splices of a box share a row.",
        (
            Column("Box"),
            Column("Splice"),
            Column("Splices", align="right"),
            Column("Wires in each"),
            Column("Wires", align="right"),
            Column("Copper", align="right"),
            Column("Connector"),
        ),
        tuple(parts),
        (
            COMPUTED,
            "Areas of AWG sizes: ASTM B258 (recomputed from its formula).",
            "Connector limits: the maker's, as the job gives them.",
        ),
        notes=("A connector takes only what its maker lists. The pack in your hand wins over this table.",),
        banner=failed_banner(context, "connector", "splice"),
        door="Install",
    )


def slack_table(context: Context) -> Table:
    """Slack left in each box, and what it has to allow for."""
    units = context.units

    def row(index: int) -> Row:
        slack = context.analysis.slack[index]
        coil = "Not known"
        if slack.coil_turns is not None and slack.coil_diameter_m is not None:
            coil = f"{fmt.plain(slack.coil_turns, 1)} turns of {fmt.length(slack.coil_diameter_m, units, 'most')}"
        each = BoxFacts(context, index).slack_text(slack.per_tail_m)
        total, shorter = fmt.run_length(slack.total_m, units, "cut"), fmt.length(slack.contraction_m, units, "highest")
        name = box_link(context, context.network.boxes[index])
        return (name, str(slack.tails), each, total, shorter, coil)

    return Table(
        "slack",
        "Slack",
        f"{fmt.stated(context.job.rules.slack.length, units, 'cut')} {context.values.slack_rule}.",
        (
            Column("Box"),
            Column("Cable ends", align="right"),
            Column("Each", align="right"),
            Column("In all", align="right"),
            Column("A run may shorten by up to", align="right"),
            Column("Coil"),
        ),
        by_arm(context, row),
        (JOB, COMPUTED, "Expansion of copper 17 × 10⁻⁶ per °C (from memory, to be checked)."),
        notes=("Soil holds a buried cable, so it shortens by less than the figure shown.",),
        banner=failed_banner(context, "slack", "coil"),
        door="Install",
    )


def soil_test_rows(context: Context) -> tuple[Row, ...]:
    """How to measure the soil with four pins at three spacings, and what reading lets one rod do."""
    units, rules = context.units, context.job.rules.earthing
    length_m = rules.rod.length.si
    enough = resistivity_for_rod(rules.target.si, length_m, rules.rod.diameter.si)
    rows: list[Row] = [
        (
            "Four pins in a straight line, clear of pipes and cables",
            "Drive current through the outer pins and read the volts between the inner pins. The tester shows ohms.",
        )
    ]
    soil = Figure(enough, "resistivity", "most", SOIL_DIGITS).text(units)
    for share in (0.5, 1.0, 2.0):
        spacing_m = share * length_m
        per_ohm = wenner_ohm_m(spacing_m, 1.0)
        deepest = fmt.length(spacing_m * PIN_DEPTH, units, "most")
        reading = fmt.ohms(enough / per_ohm, "most", SOIL_DIGITS)
        rows.append(
            (
                f"Pins {fmt.length(spacing_m, units, 'nearest')} apart, none deeper than {deepest}",
                f"Soil resistivity in Ω·m is {rounded(per_ohm, 0.01, 'highest'):.2f} × the reading in Ω. Where every "
                f"spacing gives {soil} or less (here {reading}), one rod reaches {fmt.written(rules.target.text)}.",
            )
        )
    rows.append(
        (
            "More than one rod at an electrode",
            f"Keep rods one rod length apart, {fmt.stated(rules.rod.length, units, 'least')}: the factors for groups "
            "hold there.",
        )
    )
    return tuple(rows)


def planning_rows(context: Context) -> tuple[Row, ...]:
    """Published resistivity of kinds of soil, to show how far one kind reaches."""
    return tuple(
        (
            row.soil,
            f"{row.least_ohm_cm / 100:g} to {row.most_ohm_cm / 100:g} Ω·m, mean {row.mean_ohm_cm / 100:g} Ω·m "
            f"({row.source}, {row.checked})",
        )
        for row in context.tables.resistivity
    )


NOT_MEASURED = (
    "That is worked out, not measured. Soil differs from place to place and from season to season. "
    "The measurement at each electrode decides, and more rods may be needed."
)


def _on_paper(context: Context, one_rod: Figure) -> str:
    """What rods reach in the soil that the job assumes."""
    answer, rules = context.analysis.electrodes, context.job.rules.earthing
    rods, together = answer.rods_for_target, answer.rods_together
    reach = "no number of rods in the table comes down to the target"
    if rods is not None and together is not None:
        words = fmt.count(rods, "rod comes", "rods, one rod length apart, come")
        reach = f"{words} to {fmt.told(together, context.units)}"
    return (
        f"In soil of {context.values.resistivity}, which the job assumes at every electrode, one rod is "
        f"{fmt.told(one_rod, context.units)}; the target is {fmt.written(rules.target.text)} or less; {reach}."
    )


def electrodes_table(context: Context) -> Table:
    """Where electrodes stand and why."""
    answer = context.analysis.electrodes
    parts = one_part([(box_link(context, place.where), place.reason) for place in answer.places])
    notes = []
    if answer.one_rod is None:
        parts = (
            TablePart("Electrodes", parts[0].rows),
            TablePart("Measure the soil first", soil_test_rows(context)),
            TablePart("Published resistivity, for planning only", planning_rows(context)),
        )
        notes.append(
            "Soil resistivity is not known. Measure it by the four-pin (Wenner) method before rods are ordered. "
            "Then write it in the job file as soil_resistivity and build again."
        )
    else:
        notes += [_on_paper(context, answer.one_rod), NOT_MEASURED]
    if answer.long_runs:
        notes.append(f"Runs longer than the spacing of electrodes: {fmt.listing(list(answer.long_runs))}.")
    return Table(
        "electrodes",
        "Earth electrodes",
        f"Rod: {context.values.rod}. At most {context.values.every_boxes} boxes or {context.values.every_run} of run "
        f"from one electrode to the next. Keep each rod {context.values.clear_of_cable} from the cable.",
        (Column("Where"), Column("Why here")),
        parts,
        (
            "Spacing, target and distance: job specification; no published figure for this trade could be confirmed.",
            "One rod: Dwight, IEEE Std 142 (read in a copy).",
            "Groups of rods: IEEE Std 142 Table 14 (read in a copy).",
            *(() if answer.ohms_each is not None else WENNER_SOURCES),
        ),
        notes=tuple(notes),
        banner=failed_banner(context, "electrode", "rod"),
        door="Install",
    )
