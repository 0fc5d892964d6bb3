"""For the owner: what to measure each year and how, and how to find a fault."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from slackloop.compute.circuit.conductor import REFERENCE_C, at_temperature
from slackloop.document.blocks import Block, Bullets, Caution, Heading, Paragraph, TableBlock
from slackloop.document.context import Context
from slackloop.document.handover.box_list import BOXES_PAGE
from slackloop.document.handover.built_pages import MENU
from slackloop.document.inline import Line, PageTarget, joined, line, link, strong
from slackloop.document.inserts import Inserts
from slackloop.document.page import Page
from slackloop.document.pages.section_page import section_id
from slackloop.document.recorded import YEAR_PAGE
from slackloop.document.table import Column, Table, cell, number_cell, one_part
from slackloop.sections import format as fmt
from slackloop.sections.inspection_points import spans
from slackloop.units.ladder import System
from slackloop.units.unit_table import KELVIN_OF_F

SERVICE = "service-and-fault-finding"
LOOP_CAUTIONS = "storm-stop", "do-not-unclip-live", "charged-pair"
ELECTRODE_CAUTIONS = ("storm-stop",)
INSULATION_CAUTIONS = "electronics-off", "test-volts", "charged-pair"
FAULT_CAUTIONS = "storm-stop", "do-not-unclip-live"
NO_VOLTS = (
    "Test the meter on a known supply. Check with it that no volts are left on the pair. Test the meter on the known "
    "supply again."
)
SOIL_STEPS = 12
"""Rows of the table of soil temperatures, about."""


def year_page(built: Context, inserts: Inserts, highest_short_ohms: float) -> Page:
    """What to measure each year, and how to find a fault.

    ``highest_short_ohms`` is the most that a short anywhere on the path reads at 20 °C.
    """
    blocks: list[Block] = [
        Paragraph(line(
            "Compare each reading with the first one. What has changed is what to look for. The makers' sheets and the "
            "local code come before this page."
        )),
        Heading(2, line("Each year, without opening a connector"), "each-year"),
        Bullets(tuple(_items(_closed_up(built)))),
        Heading(2, line("Loop readings, the path off"), "loop"), *_cautions(inserts, LOOP_CAUTIONS),
        Bullets(tuple(_items(_loop(built))), ordered=True),
        TableBlock(soil_table(built), titled=True),
        Heading(2, line("Earth electrodes, the path off"), "electrodes"), *_cautions(inserts, ELECTRODE_CAUTIONS),
        Bullets(tuple(_items(_rods(built))), ordered=True),
        Heading(2, line("Insulation"), "insulation"), *_cautions(inserts, INSULATION_CAUTIONS),
        Bullets(tuple(_items(_insulation(built)))),
        Heading(2, line("To find a fault"), "fault"), *_cautions(inserts, FAULT_CAUTIONS),
        Bullets(tuple(_items(_how_to_find(highest_short_ohms))), ordered=True),
    ]  # fmt: skip
    if ways := tuple(_sections(built)):
        blocks.append(Paragraph(line("What to do then: ", joined(ways), ".")))
    return Page(
        YEAR_PAGE, "Each year, and to find a fault", tuple(blocks), "document", "handover", MENU,
        "What to measure each year, and what it means",
    )  # fmt: skip


def _items(lines: Sequence[Line]) -> Iterator[tuple[Block, ...]]:
    return ((Paragraph(each),) for each in lines)


def _cautions(inserts: Inserts, names: Sequence[str]) -> Iterator[Caution]:
    return (caution for name in names if (caution := inserts.caution(name)) is not None)


def _closed_up(built: Context) -> list[Line]:
    current = built.job.supply.current
    rest = fmt.amps(built.analysis.supply.standby_a, "highest")
    return [
        line("Operate every station alone. Write down each one that does not open or close."),
        line(f"Set the meter to {current}. Hold the probes by their insulated handles. Read the volts between the path "
             "terminals, all outputs off. Expected: ", strong(f"{built.values.supply_volts} {current}"), "."),
        line("If the controller shows the current of the path with all outputs off, compare it with ",
             strong(rest), "."),
        line("Look into each box for water, roots, open lids and damaged cable."),
    ]  # fmt: skip


def _rods(built: Context) -> list[Line]:
    count, target = len(built.analysis.electrodes.places), fmt.written(built.job.rules.earthing.target.text)
    return [
        line("Switch the controller off. Lock it off. ", NO_VOLTS),
        line("At each electrode, take the earth lead off. Measure the rods alone. Limit: ", strong(f"{target} or less"),
             f". There are {count}, at {_electrodes(built)}."),
        line("Put the earth lead back and tighten its clamp before you go on to the next electrode."),
    ]  # fmt: skip


def _electrodes(built: Context) -> str:
    order = built.network.index
    boxes = [each.where for each in built.analysis.electrodes.places if each.where in order]
    return fmt.listing(["the controller", *([spans(boxes, order)] if boxes else [])])


def _loop(built: Context) -> list[Line]:
    network = built.network
    ends = fmt.listing([network.boxes[n] for n in network.ends()])
    made: list[Line] = [
        line("Switch the controller off. Lock it off. ", NO_VOLTS),
        line("Take all cores of the path off the terminals of the controller. If several cables start there, read "
             "each alone, the others open."),
    ]
    if network.closures:
        runs = fmt.listing([f"{run.id} in {run.to_id}" for run in network.closures])
        made.append(line(f"Open each ring where its closing run ends: {runs}. The first readings were made so."))
    if ends:
        made.append(line(
            f"Short core a to core b at the last box of a branch: {ends}. If a sealed connector must be opened for it, "
            "cut it off and fit a new one after the test."
        ))  # fmt: skip
    made += [
        line("At the controller, read core a to core b. Take off the resistance of the test leads."),
        line("Measure the soil temperature at the depth of the cable. Multiply the reading by its factor below."),
        line("Compare the result with Later, least and Later, most of that box in ",
             link("the list of boxes", PageTarget(BOXES_PAGE)), "."),
        line("If there is no first reading of that box, there is nothing to compare with: write this one as the "
             "first."),
        line("If it is more than the most, a splice or a core between the controller and that box has changed. If it "
             "is less than the least, the cores touch before that box, or a wrong box was shorted."),
        line("Write the reading, the soil temperature, the meter and the day beside the first reading."),
    ]  # fmt: skip
    return made


def _insulation(built: Context) -> list[Line]:
    values = built.values
    return [
        line("The devices are on the path now. The test volts of new cable destroy them: do not use them."),
        line("Ask the device maker whether the path may be tested with its devices on, with which meter and at how "
             "many volts. If there is no answer, leave this test out."),
        line("After a repair, test a run alone, with nothing joined to it: at least ",
             strong(values.insulation_least), f" at {values.insulation_volts}, core to core and each core to earth."),
        line("Compare it with the insulation in the list of boxes. A reading that falls from year to year shows water "
             "or a cut, even if it is inside the limit."),
    ]  # fmt: skip


def _how_to_find(highest_short_ohms: float) -> list[Line]:
    highest = fmt.ohms(highest_short_ohms, "highest")
    steps: list[Line] = [
        line("Do not open boxes first. Switch the controller off. Lock it off. ", NO_VOLTS,
             " Take all cores of the path off its terminals. If several cables start there, read each alone."),
        line("Read core a to core b at the controller. If nothing is shorted and the reading, turned to 20 °C, is ",
             strong(f"{highest} or less"), ", the cores touch."),
        line("Turn the reading to 20 °C. Look in the last column of ", link("the list of boxes",
             PageTarget(BOXES_PAGE)), ": the fault is in one of the runs whose two figures have it between them."),
        line("If several runs fit, open the box where their ways part. Part the cables there and read each one "
             "outward: the one whose cores touch leads to the fault. Take the figure of that box off the others' "
             "figures, and look again."),
        line("If devices do not answer past one box, short the pair at a box past it and read the loop. An open "
             "reading shows a break between the controller and that box."),
        line("If the loop of a far box is too high, short the pair at a box half-way. The half that is too high has "
             "the bad splice."),
        line("If there is trouble only after rain, part the path at a branch box and compare the insulation of each "
             "part, wet and dry: only as the device maker allows (see Insulation)."),
        line("Repair in a box, with new connectors. Then read the loop again and write it in the record."),
    ]  # fmt: skip
    return steps


def _sections(built: Context) -> Iterator[Line]:
    """The section on service, then the trouble sheets of this job."""
    for each in built.sections:
        front = each.section.front
        if front.id == SERVICE or front.part == "trouble":
            yield line(link(built.prose.plain(front.title), PageTarget(section_id(each))))


def soil_table(built: Context) -> Table:
    """By what a loop reading is multiplied to turn it to 20 °C, for the soil temperatures of the site."""
    soil, alpha = built.job.conditions.soil_temperature, built.tables.copper.alpha_per_c
    degree = float(KELVIN_OF_F) if built.units == "us" else 1.0
    rows = []
    for celsius in soil_degrees(soil.low.si, soil.high.si, degree):
        factor = 1.0 / at_temperature(1.0, celsius, alpha)
        rows.append((cell(_soil(celsius, built.units)), number_cell(factor, f"{factor:.3f}")))
    columns = Column("soil", "Soil at the depth of the cable"), Column("factor", "Multiply by", "number")
    note = (
        f"Copper: {alpha * 100:.2g} % of its resistance for each degree Celsius, so a soil temperature that is wrong "
        "by one degree moves the result by as much."
    )
    return Table(
        "soil-factors", "To turn a loop reading to 20 °C", columns, one_part(rows), ("computed",),
        (built.tables.copper.rows["alpha"],), notes=(line(note),),
    )  # fmt: skip


def soil_degrees(coldest_c: float, hottest_c: float, degree_c: float) -> tuple[float, ...]:
    """Soil temperatures from the coldest to the hottest, 20 °C among them where it lies between; whole degrees of
    ``degree_c`` apart."""
    step = max(round((hottest_c - coldest_c) / SOIL_STEPS / degree_c), 1) * degree_c
    found, at = {coldest_c, hottest_c}, coldest_c
    while at < hottest_c:
        found.add(at)
        at += step
    if coldest_c < REFERENCE_C < hottest_c:
        found.add(REFERENCE_C)
    return tuple(sorted(found))


def _soil(celsius: float, units: System) -> str:
    return fmt.temperature(celsius, units, "nearest")


