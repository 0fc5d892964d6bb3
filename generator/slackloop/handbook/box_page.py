"""A page for each box: what meets in it, what is left in it, what a meter shows, what is ticked and signed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from slackloop.handbook import format as fmt
from slackloop.handbook.addresses import box_uri, relative, section_uri
from slackloop.handbook.box_checks import DueCheck, box_checks
from slackloop.handbook.box_facts import BoxFacts
from slackloop.handbook.context import Context
from slackloop.handbook.due_boxes import ON_RUNS
from slackloop.handbook.findings_page import answer_text, is_answered
from slackloop.handbook.groups import BoxGroup
from slackloop.handbook.inserts import figure_markdown
from slackloop.handbook.loop_text import HOW, box_states, loop_rows
from slackloop.handbook.page import Page
from slackloop.handbook.section_page import TICK
from slackloop.handbook.section_words import HOLD_WORDS, METHOD_WORDS
from slackloop.handbook.tables.table import Column, grid
from slackloop.handbook.text import Trusted, admonition, blocks, escape, large, link, one_line
from slackloop.job.finding import Finding, Placed

if TYPE_CHECKING:
    from slackloop.compute.loop import LoopReading
    from slackloop.handbook.figures.svg import Figure


def box_page(context: Context, index: int, group: BoxGroup, figure: Figure | None) -> Page:
    """The page of the box at ``index``; ``figure`` shows what meets in it."""
    facts = BoxFacts(context, index)
    box = facts.box
    uri = box_uri(box.id)
    name = f" – {box.name}" if box.name else ""
    markdown = blocks(
        [
            f"# Box {escape(box.id)}{' – ' if box.name else ''}{escape(box.name)}",
            _way(context, index, group, uri),
            _findings(context, box.id),
            admonition("note", "Note for this box", escape(box.note)) if box.note else "",
            "## Readings {#readings}",
            _readings(facts),
            "## What meets in this box {#wiring}",
            figure_markdown(figure) if figure else "",
            _splices(facts),
            "## Facts {#facts}",
            _facts(facts),
            "## Checks {#checks}",
            _checks(context, facts, uri),
            sign_lines(),
            _methods(context, uri),
        ]
    )
    title = one_line(f"Box {box.id}")
    description = one_line(f"Box {box.id}{name}: wiring, readings and checks")
    return Page(uri, title, markdown, ("Install", "Boxes", group.title), "box", {"box": box.id}, True, description)


def _way(context: Context, index: int, group: BoxGroup, uri: str) -> str:
    """Links to the box before, the group and the box after on the path."""
    network = context.network
    parts: list[str] = []
    if index:
        parts.append(link(f"Previous: {network.boxes[index - 1]}", relative(box_uri(network.boxes[index - 1]), uri)))
    parts.append(link(group.title, relative(group.uri, uri)))
    if index + 1 < len(network.boxes):
        parts.append(link(f"Next: {network.boxes[index + 1]}", relative(box_uri(network.boxes[index + 1]), uri)))
    return f"{' · '.join(parts)}\n{{: .box-way }}"


def _findings(context: Context, box_id: str) -> str:
    """The findings of this box, the worst first."""
    order = {"error": 0, "warning": 1, "note": 2}
    found = sorted((f for f in context.findings if f.box == box_id), key=lambda f: order[f.level])
    return blocks(_finding(each) for each in found) if found else ""


def _finding(finding: Finding | Placed) -> str:
    kinds = {"error": ("danger", "Not good"), "warning": ("warning", "Look into this"), "note": ("note", "Note")}
    kind = ("note", "Answered") if is_answered(finding) else kinds[finding.level]
    return admonition(*kind, escape(f"{finding.message} {answer_text(finding)}".strip()))


def _readings(facts: BoxFacts) -> str:
    """What passes at each soil temperature in large numerals, one value to write, and the volts."""
    states = box_states(facts.context, facts.index)
    rows: list[tuple[str, ...]] = [(f"{label}", large(value), band) for label, value, band in facts.readings()]
    return blocks(
        [
            "Loop from the controller, pair shorted here:",
            loop_limits(facts.context, states),
            grid((Column("Reading"), Column("Value"), Column("Passes")), tuple(rows)),
        ]
    )


def loop_limits(context: Context, states: tuple[tuple[str, LoopReading], ...]) -> str:
    """The limits of a loop reading by soil temperature, how they are used, and where the reading is written."""
    columns = [Column("Soil at cable depth")]
    for title, _ in states:
        columns += [Column(f"{title} passes".strip().capitalize()), Column("Expected", align="right")]
    rows = [
        (row.soil, *(text for passes, expected in row.cells for text in (large(passes), expected)))
        for row in loop_rows(context, tuple(reading for _, reading in states))
    ]
    return blocks([grid(tuple(columns), tuple(rows)), HOW, _to_write("Loop read", "Soil temperature")])


def _to_write(*fields: str) -> str:
    """Lines to write on."""
    return "\n".join(f'<p class="sign-line">{field}: <span class="sign"></span></p>' for field in fields)


def _splices(facts: BoxFacts) -> str:
    """Each splice with its wires and connector."""
    columns = (
        Column("Splice"),
        Column("Splices", align="right"),
        Column("Wires in each"),
        Column("Wires", align="right"),
        Column("Copper"),
        Column("Connector"),
    )
    rows = tuple(facts.splice_rows())
    if not rows:
        return "Nothing is spliced in this box."
    carry = facts.connectors_to_carry()
    line = f"Carry: {escape(fmt.listing(carry))}." if carry else ""
    return blocks([grid(columns, rows), line])


def _facts(facts: BoxFacts) -> str:
    """The box's facts, a line each."""
    lines = []
    for label, value in facts.lines():
        lines.append(f"{escape(label)}\n:   {escape(value)}")
    return "\n\n".join(lines)


def _checks(context: Context, facts: BoxFacts, uri: str) -> str:
    """The checks that are due on the run to this box and in the box, with boxes to tick."""
    due = tuple(box_checks(context, facts))
    on_run = tuple(each for each in due if each.check.where in ON_RUNS)
    in_box = tuple(each for each in due if each.check.where not in ON_RUNS)
    parts = []
    for title, anchor, checks in (
        ("On the run to this box", "checks-run", on_run),
        ("In this box", "checks-box", in_box),
    ):
        if checks:
            parts += [f"### {title} {{#{anchor}}}", check_grid(checks, uri)]
    return blocks(parts) if parts else "No check is due at this box."


def check_grid(checks: Sequence[DueCheck], uri: str) -> str:
    """Checks with boxes to tick."""
    rows: list[tuple[str, ...]] = []
    for due in checks:
        name = link(due.check.id, relative(f"{due.section_uri}#{due.check.id.lower()}", uri))
        hold = f". {HOLD_WORDS[due.check.hold]}" if due.check.hold != "none" else ""
        how = f"{METHOD_WORDS[due.check.method]}{hold}"
        rows.append((name, due.title, due.limit, how, TICK))
    columns = (Column("Check"), Column("What"), Column("Limit"), Column("How"), Column("Done"))
    return grid(columns, tuple(rows))


def sign_lines() -> str:
    """Where the crew signs."""
    return _to_write("Name", "Signature", "Date")


def _methods(context: Context, uri: str) -> str:
    """Links to the method sections that apply to work in a box."""
    links: list[Trusted] = []
    for each in context.part("method"):
        front = each.section.front
        if any(check.where != "job" and check.where not in ON_RUNS for check in each.checks):
            links.append(link(context.renderer.plain(front.title), relative(section_uri(front.part, front.id), uri)))
    return blocks(["## How it is done {#method}", "\n".join(f"- {each}" for each in links)]) if links else ""
