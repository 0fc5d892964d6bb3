"""The inspector's one table: each requirement with its clause and step, each check with its limit, place and hold."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from slackloop.document.context import Context
from slackloop.document.inline import Break, Inline, Line, Mark, joined, line, link, strong
from slackloop.document.page_source import PageSource
from slackloop.document.pages.section_page import section_id
from slackloop.document.recorded import BAD, STATUS_WORDS, counted
from slackloop.document.table import EMPTY_CELL, Cell, Column, Part, Table, cell
from slackloop.document.target import PageTarget
from slackloop.sections import format as fmt
from slackloop.sections.applied import AppliedSection
from slackloop.sections.inspection_points import is_due_at, is_due_on_ring_run
from slackloop.sections.section import Check, Requirement
from slackloop.sections.section_words import SOURCE_WORDS, WHERE_WORDS, requirement_source
from slackloop.site.key_titles import key_title

MATRIX = "tables/matrix"
"""The page of the matrix."""
HOLD_WORDS = {"none": "", "witness": "witness", "hold": "HOLD"}
RECORD_WORDS = {"measure": "value", "sign": "signature", "tick": "tick", "covered": "stage"}
SHORT_WHEN = {
    "device-box": "Each device", "branch-box": "Each branch box", "electrode-box": "Each electrode",
    "each-crossing": "Each crossing", "job": "Once",
}  # fmt: skip
COLUMNS = (
    Column("requirement", "Requirement", share=72), Column("clause", "Asked by", share=27),
    Column("step", "Step", share=12), Column("check", "Check", share=44), Column("limit", "Limit", share=58),
    Column("when", "When", share=17),
    Column("record", "Record", share=16), Column("hold", "Hold", share=13), Column("result", "Result", share=17),
)  # fmt: skip


def when(check: Check) -> str:
    """Where and how often a check is made, in few words."""
    return SHORT_WHEN.get(check.where, WHERE_WORDS[check.where])


ShownResult = Callable[[Check], Cell]


def to_fill_in(check: Check) -> Cell:
    """The result of a check in a handbook without records: a place to write."""
    return EMPTY_CELL


def matrix_table(context: PageSource, result: ShownResult = to_fill_in) -> Table:
    """Every requirement once, with the checks that prove it; a check that proves more than one is told once.

    ``result`` gives the last cell of a check's row.
    """
    parts, anchors = [], []
    told: set[str] = set()
    for applied in context.sections:
        rows: list[tuple[Cell, ...]] = []
        for requirement in applied.requirements:
            for anchor, row in _rows(context, applied, requirement, told, result):
                rows.append(row)
                anchors.append(anchor)
        if rows:
            parts.append(Part(context.prose.plain(applied.section.front.title), tuple(rows)))
    return Table(
        "matrix", "Requirements, checks and records", COLUMNS, tuple(parts), ("method",), landscape=True,
        row_anchors=tuple(anchors),
        notes=(
            line(
                "Record: value, a figure is written down; signature, a name and a day; tick, a tick on the card; "
                "stage, covered by the signature of its stage. Result: pass, fail with its number, or not done. The "
                "card or page of the box gives the figure itself. If no clause is named, it is common practice with "
                "no published source."
            ),
        ),
    )  # fmt: skip


def _rows(
    context: PageSource, applied: AppliedSection, requirement: Requirement, told: set[str], result: ShownResult
) -> Iterator[tuple[str, tuple[Cell, ...]]]:
    """The rows of one requirement, each with its anchor: the check's id, or the requirement's."""
    file = applied.section.file
    text = context.prose.line(requirement.text, file, applied.section.line_of(requirement.id))
    anchor = requirement.id.lower()
    head = cell(Mark(anchor), strong(requirement.id), " ", text)
    asked = _asked_by(context, requirement)
    clause = cell(asked) if asked else EMPTY_CELL
    steps = cell(_steps(applied, requirement))
    checks = applied.checks_of(requirement)
    for number, check in enumerate(checks):
        own = (head, clause, steps) if number == 0 else (EMPTY_CELL, EMPTY_CELL, EMPTY_CELL)
        if check.id in told:
            again = cell(link(check.id, PageTarget(MATRIX, check.id.lower())), ", above")
            yield f"{anchor}-{number}", (*own, again, *(EMPTY_CELL for _ in range(5)))
            continue
        told.add(check.id)
        yield check.id.lower(), (*own, *_check_cells(context, file, applied, check), result(check))


def _check_cells(context: PageSource, file: str, applied: AppliedSection, check: Check) -> tuple[Cell, ...]:
    """A check: its words, its limit, when it is made, how it is recorded, and whether work stops for it."""
    line_number = applied.section.line_of(check.id)
    return (
        cell(strong(check.id), " ", context.prose.line(check.title, file, line_number)),
        cell(context.prose.line(check.limit, file, line_number)),
        cell(when(check)),
        cell(RECORD_WORDS[check.record]),
        cell(HOLD_WORDS[check.hold]) if check.hold != "none" else EMPTY_CELL,
    )


def recorded_results(context: Context) -> ShownResult:
    """What gives the results of a check: how many pass, fail or are not recorded, over all boxes, runs and days.

    A check that its stage covers stands as the signatures of that stage stand, at the boxes where it is due.
    """
    recorded = context.recorded
    if recorded is None:
        return to_fill_in

    def result(check: Check) -> Cell:
        found = recorded.by_check.get(check.id, ())
        if not found and check.stage:
            places = _places(context, check)
            found = tuple(
                each for place in places for each in recorded.of(place) if f"sign-{check.stage}" in each.due.ids
            )
        counts, parts = counted(found), []
        for status, words in STATUS_WORDS.items():
            if counts[status]:
                told = f"{fmt.grouped(counts[status])} {words}"
                parts.append(line(strong(told) if status in BAD else told))
        lines: list[str | Inline | Line] = []
        for each in parts:
            lines += [Break(), each] if lines else [each]
        return cell(*lines)

    return result


def _places(context: Context, check: Check) -> Iterator[str]:
    """The boxes and closing runs where a check is due."""
    network = context.network
    electrodes = {each.where for each in context.analysis.electrodes.places}
    for index, box in enumerate(network.boxes):
        if is_due_at(check.where, context.boxes[box], index, network, electrodes):
            yield box
    yield from (run.id for run in network.closures if is_due_on_ring_run(check, run))


def _asked_by(context: PageSource, requirement: Requirement) -> str:
    """Who asks for a requirement: the clause by its number, the job by the title of its value; else the trade."""
    if requirement.source == "job":
        return f"Job: {key_title(requirement.clause.split('.'))}"
    words = requirement_source(requirement.source, requirement.clause, context)
    return "" if words == SOURCE_WORDS["practice"] else words


def _steps(applied: AppliedSection, requirement: Requirement) -> Line:
    """Links to the steps that carry a requirement, by their numbers; three or more in a row as ``5 to 8``."""
    page = section_id(applied)
    numbers = {int(applied.numbers[step.id]): step.id for step in applied.steps_of(requirement)}
    spans: list[list[int]] = []
    for number in sorted(numbers):
        if spans and number == spans[-1][-1] + 1:
            spans[-1].append(number)
        else:
            spans.append([number])

    def step(number: int) -> Line:
        return line(link(str(number), PageTarget(page, numbers[number])))

    return joined(
        part
        for span in spans
        for part in (
            [line(step(span[0]), " to ", step(span[-1]))] if len(span) > 2 else [step(number) for number in span]
        )
    )
