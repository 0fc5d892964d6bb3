"""The inspector's one table: each requirement with its clause and step, each check with its limit, place and hold.

The inspector's lists beside the matrix: hold points in the order of the work, and requirements by clause.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from slackloop.document.context import Context
from slackloop.document.inline import Break, Inline, Line, Mark, PageTarget, joined, line, link, strong
from slackloop.document.page import PageSource
from slackloop.document.pages.section_page import section_id
from slackloop.document.recorded import BAD, counted, place_of
from slackloop.document.table import EMPTY_CELL, Cell, Column, Part, Table, cell, one_part
from slackloop.document.tables.run_table import box_line
from slackloop.records.result import JOB, STATUS_WORDS, Result
from slackloop.reference.code_basis import Clause
from slackloop.sections import format as fmt
from slackloop.sections.conditions import AppliedSection
from slackloop.sections.inspection_points import is_due_at
from slackloop.sections.page_source import requirement_source
from slackloop.sections.section import SOURCE_WORDS, WHERE_WORDS, Check, Requirement, Where
from slackloop.site.schema import key_title
from slackloop.source.suggestions import listed

MATRIX = "tables/matrix"
"""The page of the matrix."""
HOLD_WORDS = {"none": "", "witness": "witness", "hold": "HOLD"}
RECORD_WORDS = {"measure": "value", "sign": "signature", "tick": "tick", "covered": "stage"}
SHORT_WHEN = {
    "device-box": "Each device", "branch-box": "Each branch box", "electrode-box": "Each electrode",
    "each-crossing": "Each crossing", "each-cut-crossing": "Each new crossing", "each-dug-run": "Each dug run",
    "job": "Once",
}  # fmt: skip
COLUMNS = (
    Column("requirement", "Requirement", share=72), Column("clause", "Asked by", share=27),
    Column("step", "Step", share=12), Column("check", "Check", share=44), Column("limit", "Limit", share=58),
    Column("when", "When", share=17),
    Column("record", "Record", share=16), Column("hold", "Hold", share=13), Column("result", "Result", share=17),
)  # fmt: skip


def matrix_link(id: str) -> Line:
    """A check or a requirement by its id, leading to its row of the matrix."""
    return line(link(id, PageTarget(MATRIX, id.lower())))


def when(check: Check) -> str:
    """Where and how often a check is made, in few words."""
    return SHORT_WHEN.get(check.where, WHERE_WORDS[check.where])


BY_STAGE = " by stage"
"""What a check that no entry is made of passes by: the signature of its stage, as the lines above the table say."""
MOST_PLACES = 3
"""Boxes, runs and days that the result of a check names."""
ShownResult = Callable[[Check], Cell]


def to_fill_in(check: Check) -> Cell:
    """The result of a check in a handbook without records: a place to write."""
    return EMPTY_CELL


def matrix_table(context: PageSource, result: ShownResult = to_fill_in) -> Table:
    """Every requirement once, with the checks that prove it; a check that proves more than one is told once.

    ``result`` gives the last cell of a check's row.
    """
    parts, anchors, told = [], [], set[str]()
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
                "stage, covered by the signature of its stage; with a check, covered by that check. Result: pass, "
                "fail with its number, or not done. If a check fails, the work after it waits: see “Stop if” at its "
                "step. The card or page of the box gives the figure. No clause: common practice, no published source."
            ),
        ),
    )  # fmt: skip


def _rows(
    context: PageSource, applied: AppliedSection, requirement: Requirement, told: set[str], result: ShownResult
) -> Iterator[tuple[str, tuple[Cell, ...]]]:
    """The rows of one requirement, each with its anchor: the check's id, or the requirement's."""
    text = context.prose.line(requirement.text, applied.section.file, applied.section.line_of(requirement.id))
    anchor = requirement.id.lower()
    head = cell(Mark(anchor), strong(requirement.id), " ", text)
    asked = _asked_by(context, requirement)
    clause = cell(asked) if asked else EMPTY_CELL
    steps = cell(_steps(applied, requirement))
    checks = applied.checks_of(requirement)
    for number, check in enumerate(checks):
        own = (head, clause, steps) if number == 0 else (EMPTY_CELL, EMPTY_CELL, EMPTY_CELL)
        if check.id in told:
            again = cell(matrix_link(check.id), ", above")
            yield f"{anchor}-{number}", (*own, again, *(EMPTY_CELL for _ in range(5)))
            continue
        told.add(check.id)
        yield check.id.lower(), (*own, *_check_cells(context, applied, check), result(check))


def check_words(context: PageSource, applied: AppliedSection, check: Check) -> tuple[Line, Line]:
    """What a check says: its title and its limit."""
    file, at = applied.section.file, applied.section.line_of(check.id)
    return context.prose.line(check.title, file, at), context.prose.line(check.limit, file, at)


def _check_cells(context: PageSource, applied: AppliedSection, check: Check) -> tuple[Cell, ...]:
    """A check: its words, its limit, when it is made, how it is recorded, and whether work stops for it."""
    title, limit = check_words(context, applied, check)
    return (
        cell(strong(check.id), " ", title),
        cell(limit),
        cell(when(check)),
        cell("with ", matrix_link(check.signed_with)) if check.signed_with else cell(RECORD_WORDS[check.record]),
        cell(HOLD_WORDS[check.hold]) if check.hold != "none" else EMPTY_CELL,
    )


def recorded_results(context: Context) -> ShownResult:
    """What gives the results of a check: how many pass, fail or are not recorded, over all boxes, runs and days.

    A check that its stage covers stands as the signatures of that stage stand, at the boxes where it is due.
    """
    recorded = context.recorded
    if recorded is None:
        return to_fill_in
    checks = {check.id: check for applied in context.sections for check in applied.checks}

    def _named(results: Iterable[Result]) -> tuple[str | Inline | Line, ...]:
        """The places of some results, each leading to its page, where they are few; how many where they are not."""
        places = list(dict.fromkeys(place_of(each.due.subject) for each in results))
        if places == [JOB]:
            return ()
        if len(places) > MOST_PLACES:
            return (f", at {len(places)} places",)
        return ": ", joined(box_line(context, each) for each in places)

    def result(check: Check) -> Cell:
        check = checks.get(check.signed_with, check)
        found = recorded.by_check.get(check.id, ())
        if by_stage := not found and bool(check.stage):
            places = (*boxes_due(context, check.where), *context.ring_runs(check))
            found = tuple(
                each for place in places for each in recorded.of(place) if f"sign-{check.stage}" in each.due.ids
            )
        counts, parts = counted(found), list[Line]()
        for status, words in STATUS_WORDS.items():
            if counts[status]:
                told = f"{fmt.grouped(counts[status])} {words}"
                named = () if status == "pass" else _named(each for each in found if each.status == status)
                signed = BY_STAGE if by_stage and status == "pass" else ""
                parts.append(line(strong(told) if status in BAD else told, signed, *named))
        for doubt in recorded.doubted_holds.get(check.id, ()):
            parts += [line(strong(words), *_named(some)) for words, some in doubt.against() if some]
        lines: list[str | Inline | Line] = [piece for each in parts for piece in (Break(), each)]
        return cell(*lines[1:])

    return result


def boxes_due(context: Context, where: Where) -> tuple[str, ...]:
    """The boxes where a check that is made ``where`` is due."""
    network, electrodes = context.network, {each.where for each in context.analysis.electrodes.places}
    return tuple(
        box for index, box in enumerate(network.boxes)
        if is_due_at(where, context.boxes[box], index, network, electrodes)
    )  # fmt: skip


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


HOLD_COLUMNS = (
    Column("hold", "Hold", share=3), Column("point", "Point", share=10), Column("limit", "Signed off when", share=10),
    Column("when", "When", share=4), Column("name", "Name and signature", share=9), Column("date", "Date", share=3),
)  # fmt: skip
CLAUSE_COLUMNS = (
    Column("clause", "Clause", share=2), Column("requirements", "Requirements", share=3),
    Column("words", "What it requires, in our own words", in_files_only=True),
)  # fmt: skip
ELSEWHERE = "on the card or the batch sheet"
SHEETS: Mapping[Where, str] = {"each-day": "on the daily sheet", "each-reel": "on the reel sheet"}
"""Where a point is signed that belongs to no box and no run."""


def hold_points_table(context: PageSource) -> Table:
    """Every hold and witness point in the order of the work, with a place to sign those of the whole job."""
    parts, anchors = [], []
    for applied in context.sections:
        rows = []
        for check in applied.checks:
            if check.hold == "none":
                continue
            anchors.append(f"hold-{check.id.lower()}")
            title, limit = check_words(context, applied, check)
            rows.append((
                cell(HOLD_WORDS[check.hold]), cell(strong(matrix_link(check.id)), " ", title),
                cell(limit), cell(when(check)), *_signed(context, check),
            ))  # fmt: skip
        if rows:
            parts.append(Part(context.prose.plain(applied.section.front.title), tuple(rows)))
    intro = (
        "Work stops at a hold point until it is signed off. At a witness point the inspector is told in time, and work "
        "goes on if nobody comes."
    )
    return Table(
        "hold-points", "Hold points", HOLD_COLUMNS, tuple(parts), ("method",), intro=line(intro), landscape=True,
        row_anchors=tuple(anchors),
    )  # fmt: skip


def _signed(context: PageSource, check: Check) -> tuple[Cell, Cell]:
    """Who signed a point, and the day; a place to sign one of the whole job, or where one of a box is signed."""
    recorded = context.recorded if isinstance(context, Context) else None
    where = "" if check.where == "job" else SHEETS.get(check.where, ELSEWHERE)
    count, names, days = recorded.signed(check.id) if recorded else ("", [], "")
    if not names:
        return cell(where) if where else EMPTY_CELL, EMPTY_CELL
    return cell(f"{where}: {count} signed, " if where else "", listed(names, MOST_PLACES)), cell(days)


def clause_index_table(context: PageSource) -> Table:
    """Each clause that asks for something, with the requirements that it asks for."""
    found: dict[str, list[Requirement]] = {}
    used: dict[str, Clause] = {}
    for applied in context.sections:
        for each in applied.requirements:
            for clause in _clauses(context, each):
                found.setdefault(clause, []).append(each)
            if each.source == "code":
                used |= dict(context.clause_rows(each.clause))
    rows = [
        (
            cell(clause),
            cell(joined(matrix_link(each.id) for each in found[clause])),
            cell(used[clause].text if clause in used else ""),
        )
        for clause in sorted(found)
    ]  # fmt: skip
    intro = (
        "From a clause to the rows of the matrix that prove it. A clause is named by number, and its own words count."
    )
    return Table(
        "clause-index", "Requirements by clause", CLAUSE_COLUMNS, one_part(rows), ("method",), tuple(used.values()),
        line(intro),
    )  # fmt: skip


def _clauses(context: PageSource, requirement: Requirement) -> Iterator[str]:
    """Each clause that a requirement names, in words."""
    if requirement.source == "job":
        yield f"Job specification: {key_title(requirement.clause.split('.'))}"
    elif requirement.source == "code":
        yield from context.code_clauses(requirement.clause)
    elif requirement.source == "standard":
        yield from context.cited(requirement.clause)
