"""The part for the owner: what was handed over, how it stands, and the pages and files that records add."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from slackloop.document.blocks import Block, Bullets, Doors, Fact, Facts, Heading, Paragraph, TableBlock
from slackloop.document.context import Context
from slackloop.document.handover.box_list import BOXES_FILE, BOXES_PAGE, MAP_FILE, BoxList
from slackloop.document.handover.built_pages import (
    DIFFERENCES_PAGE,
    MENU,
    PATH_PAGE,
    built_context,
    built_path_page,
    differences_page,
)
from slackloop.document.handover.progress import place_line, progress_page, without_record
from slackloop.document.handover.year_page import year_page
from slackloop.document.inline import FileTarget, Line, PageTarget, Target, line, link, strong
from slackloop.document.inserts import Inserts
from slackloop.document.page import BookPart, Page
from slackloop.document.recorded import (
    BAD,
    HANDOVER_PAGE,
    PROGRESS_PAGE,
    YEAR_PAGE,
    Recorded,
    counted,
    told_counts,
    value_text,
)
from slackloop.document.table import Table
from slackloop.records.result import STATUS_WORDS, Status
from slackloop.sections import format as fmt

PART: tuple[BookPart, str] = ("handover", "Part 4. Handover")


@dataclass(frozen=True)
class HandoverPart:
    """The pages of progress and of the owner, and the list of boxes; ``files`` lie beside the pages."""

    pages: tuple[Page, ...] = ()
    boxes: Table | None = None
    files: tuple[str, ...] = ()


NO_HANDOVER = HandoverPart()


def handover_part(context: Context, inserts: Inserts) -> HandoverPart:
    """What records add to a handbook; nothing without records."""
    recorded = context.recorded
    if recorded is None:
        return NO_HANDOVER
    built = built_context(context, recorded)
    box_list = BoxList(context, built, recorded)
    boxes, highest = box_list.table(), max(high for _, high in box_list.bands.values())
    pages = (
        progress_page(context, recorded), handover_page(context, built, recorded), built_path_page(built, recorded),
        boxes_page(boxes), year_page(built, inserts, highest),
        differences_page(context, built, recorded),
    )  # fmt: skip
    files = (BOXES_FILE, MAP_FILE) if recorded.as_built.lon_lat else (BOXES_FILE,)
    return HandoverPart(pages, boxes, files)


MOST_BAD = 20
"""Results that are not good and are named on the first page."""
NO_MAP = (
    "The places of this job are metres on a plan of its own. No longitude and latitude were recorded, so there is no "
    "file for a map."
)
NO_PLACES = "No place of a box is known, so there is no file for a map."


def handover_page(context: Context, built: Context, recorded: Recorded) -> Page:
    """The first page of the part for the owner."""
    as_built, values = recorded.as_built, built.values
    runs = [run for run in built.network.all_runs if not run.existing]
    counts = counted(recorded.needed)
    boxes = built.network.boxes
    empty = sum(bool(recorded.of(box)) and not recorded.has_record(box) for box in boxes)
    facts = (
        Fact("Results", line(strong(_stand(counts))), line(fmt.listing(list(told_counts(counts))))),
        Fact("Site", line(context.job.job.site)),
        Fact("Owner", line(context.job.job.client or "not stated")),
        Fact("Installed by", line(context.job.job.contractor)),
        Fact("Handbook", line(f"{context.job.job.number}, revision {context.job.document.revision}"),
             line(f"{recorded.statement}")),
        Fact("Boxes", line(f"{len(boxes)}, {len(boxes) - empty} with a record")),
        Fact("Runs", line(f"{values.run_total} in all"),
             line(f"{len(as_built.measured_runs)} of {len(runs)} measured as built")),
        Fact("Lowest volts as built", line(values.worst_volts), line(f"at {values.worst_box}")),
        Fact("Volts by the lengths built", line("calculated, inside the limits"))
        if built.analysis.verdict == "pass" else
        Fact("Calculation as built", line(strong("FAILS")), line("see Differences from the plan")),
    )  # fmt: skip
    blocks: list[Block] = [
        Paragraph(line("Keep this part. It says what lies in the ground, and what it read when it was new."), "aim"),
        Facts(facts),
        Doors(tuple(_ways()), "lines"),
        Heading(2, line("Results that are not good"), "not-good"), *_not_good(context, recorded),
        Heading(2, line("Boxes without a record"), "no-record"),
        Paragraph(without_record(context, recorded, boxes)),
        Heading(2, line("Files"), "files"),
        Paragraph(line("Boxes for a spreadsheet: ", link(BOXES_FILE, FileTarget(BOXES_FILE)), ".")),
        Paragraph(_map(built, recorded)),
    ]
    return Page(HANDOVER_PAGE, "Handover", tuple(blocks), "document", "handover", MENU, "The part for the owner")


def _stand(counts: Mapping[Status, int]) -> str:
    """Whether all that was asked for was recorded, and is good."""
    told = []
    if any(counts.get(status) for status in BAD):
        told.append("not good")
    if counts.get("outstanding"):
        told.append("not complete")
    return ", ".join(told) or "complete"


def _not_good(context: Context, recorded: Recorded) -> Iterator[Block]:
    """A line for each result that is not good; the page of progress says what to do about it."""
    bad = [each for each in recorded.needed if each.status in BAD and each.record is not None]
    if not bad:
        yield Paragraph(line("Nothing that was recorded is outside its limits."))
        return
    lines = (
        line(place_line(context, each.due.subject), f", {each.due.title}: ", strong(value_text(each.record)),
             f" {STATUS_WORDS[each.status]}. ", each.why)
        for each in bad[:MOST_BAD] if each.record is not None
    )  # fmt: skip
    yield Bullets(tuple((Paragraph(each),) for each in lines))
    more = f"{fmt.count(len(bad) - MOST_BAD, 'more is', 'more are')} not good. " if len(bad) > MOST_BAD else ""
    yield Paragraph(line(more, "What to do, and what was repaired: ", link("Progress", PageTarget(PROGRESS_PAGE)), "."))


def _map(built: Context, recorded: Recorded) -> Line:
    """The file for maps and how many boxes it has; why there is none."""
    known = len(recorded.as_built.lon_lat)
    if known:
        words = f", with {known} of {len(built.network.boxes)} boxes (GeoJSON; longitude and latitude as recorded)."
        return line("Boxes for a map: ", link(MAP_FILE, FileTarget(MAP_FILE)), words)
    return line(NO_MAP if any(box.at for box in built.job.path.boxes) else NO_PLACES)


def _ways() -> Iterator[tuple[Line, Target, Line]]:
    yield line("The path as built"), PageTarget(PATH_PAGE), line("site plan and one-line diagram")
    yield line("Boxes and first readings"), PageTarget(BOXES_PAGE), line("a line for each box")
    yield line("Each year, and to find a fault"), PageTarget(YEAR_PAGE), line("what to measure, and what it means")
    yield line("Differences from the plan"), PageTarget(DIFFERENCES_PAGE), line("and the materials used")
    yield line("Progress"), PageTarget(PROGRESS_PAGE), line("results by branch and by day")


def boxes_page(table: Table) -> Page:
    """The list of boxes."""
    return Page(
        BOXES_PAGE, "Boxes and first readings",
        (TableBlock(table), Paragraph(line("As a file: ", link("CSV", FileTarget(BOXES_FILE)), "."), "screen")),
        "table", "handover", MENU, "A line for each box",
    )  # fmt: skip
