"""The inspector's lists beside the matrix: hold points in the order of the work, and requirements by clause."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from slackloop.document.inline import Line, joined, line, link, strong
from slackloop.document.page_source import PageSource
from slackloop.document.table import EMPTY_CELL, Column, Part, Table, cell, one_part
from slackloop.document.tables.matrix import HOLD_WORDS, MATRIX, when
from slackloop.document.target import PageTarget
from slackloop.reference.code_basis import Clause
from slackloop.sections.section import Requirement, Where
from slackloop.site.key_titles import key_title

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
            file, at = applied.section.file, applied.section.line_of(check.id)
            signed = EMPTY_CELL if check.where == "job" else cell(SHEETS.get(check.where, ELSEWHERE))
            rows.append((
                cell(HOLD_WORDS[check.hold]),
                cell(strong(_matrix_link(check.id)), " ", context.prose.line(check.title, file, at)),
                cell(context.prose.line(check.limit, file, at)), cell(when(check)), signed, EMPTY_CELL,
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


def _matrix_link(check_id: str) -> Line:
    """A check by its id, leading to its row of the matrix."""
    return line(link(check_id, PageTarget(MATRIX, check_id.lower())))


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
            cell(joined(line(link(each.id, PageTarget(MATRIX, each.id.lower()))) for each in found[clause])),
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
