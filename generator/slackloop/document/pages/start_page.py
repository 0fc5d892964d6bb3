"""The first page: what this copy is worth, the way to a box, and the few ways on, the crew's first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from slackloop.document.blocks import Block, BoxFinder, Doors, Drawing, Fact, Facts, Heading, Note, Paragraph, RecordBar
from slackloop.document.boxes.stages import LIST_PAGE
from slackloop.document.context import Context
from slackloop.document.finding_words import LEVEL_NOUNS, LEVELS, is_answered
from slackloop.document.inline import FileTarget, Line, PageTarget, Target, joined, line, link
from slackloop.document.page import Page
from slackloop.document.pages import control_page, findings_page
from slackloop.document.pages.section_page import EMERGENCY, section_id
from slackloop.document.recorded import (
    BAD,
    HANDOVER_PAGE,
    PROGRESS_PAGE,
    YEAR_PAGE,
    counted,
    told_counts,
)
from slackloop.document.table import WORKBOOK
from slackloop.sections import format as fmt
from slackloop.site.answers import open_questions
from slackloop.units.figure import NOT_KNOWN

Door = tuple[Line, Target, Line]
CARDS = "cards.pdf"
SHEETS = {
    "sheets/facts": "what has to be confirmed first",
    "sheets/daily": "what is looked at each day", "sheets/reels-received": "each reel as it comes",
    "sheets/crossings": "runs under a road, a drive or a path", "sheets/job": "what is checked once",
}  # fmt: skip
WORKED_OUT = (
    ("Job facts", "tables/job-facts"), ("Runs", "tables/runs"), ("Boxes and loop readings", "tables/boxes"),
)  # fmt: skip
"""The tables in which the key figures are worked out."""


def start_page(
    context: Context, draft: bool, plan: Drawing | None, printed: Sequence[str], pages: Iterable[Page] = ()
) -> Page:
    """The start page; ``plan`` is the site plan where there is one, ``printed`` the files to print.

    The sheets to fill in are those among ``pages``.
    """
    facts = context.job.job
    document = context.job.document
    line_of_job = (
        f"{facts.site}. Job {facts.number}, revision {document.revision}, {document.date}. "
        f"Issued by {facts.contractor}."
    )
    first = line(line_of_job, " " if context.recorded else "", _with_results(context))
    blocks: list[Block] = [Paragraph(first, "aim"), *_draft(context, draft)]
    blocks.append(_verdict(context, draft))
    blocks += [BoxFinder(), Doors(_crew(context))]
    if plan is not None:
        blocks.append(plan)
    blocks += [
        Heading(2, line("Records"), "records"),
        RecordBar(counted=True),
        Doors(tuple(_sheets(pages)), "lines"),
        Heading(2, line("Key figures"), "figures"),
        _figures(context),
        Paragraph(line("Each figure with its source", ": ", joined([
            line(link(title, PageTarget(page))) for title, page in WORKED_OUT
        ]), "."), "small"),
        Heading(2, line("Contractor"), "contractor"),
        Doors(tuple(_contractor(context, printed)), "lines"),
        Heading(2, line("Inspector"), "inspector"),
        Doors(tuple(_inspector(context)), "lines"),
        *_owner(context),
        Heading(2, line("Who decides"), "decides"),
        Paragraph(line(context.basis.who_decides_cover)),
    ]
    about = f"Installation handbook {facts.number} for {facts.site}"
    return Page("index", facts.title, tuple(blocks), "start", "document", (), about, paper=False)


def _draft(context: Context, draft: bool) -> list[Block]:
    """Why this copy is a draft."""
    if not draft:
        return []
    if context.analysis.verdict == "fail":
        text = "The job fails its check. Do not build from this copy. Correct the errors and build the handbook again."
    else:
        text = "The document's status is draft. Do not build from this copy."
    return [Note("danger", "Draft", (Paragraph(line(text)),))]


def _verdict(context: Context, draft: bool) -> Facts:
    """Status, open findings, open questions and signatures that are missing: numbers that are read at a glance."""
    still_open = [each for each in context.findings if not is_answered(each)]
    counts = {level: sum(each.level == level for each in still_open) for level in LEVELS}
    found = [fmt.count(counts[level], *LEVEL_NOUNS[level]) for level in ("error", "warning") if counts[level]]
    document = context.job.document
    signed = {"prepared": document.prepared, "checked": document.checked, "approved": document.approved}
    missing = [word for word, name in signed.items() if not name]
    questions = open_questions(context.findings)
    return Facts(
        (
            Fact("Status", line("draft" if draft else document.status)),
            _count(counts["error"] + counts["warning"], "finding", "open", fmt.listing(found), findings_page.PAGE),
            _count(questions, "question", "open", "nobody has answered" if questions else "", findings_page.PAGE),
            _count(len(missing), "signature", "missing", fmt.listing(missing), control_page.PAGE),
            *_results(context),
        ),
        large=True,
    )


def _results(context: Context) -> Iterator[Fact]:
    """How many results are not good, and how many are not recorded; nothing in a handbook without records."""
    if context.recorded is None:
        return
    counts = counted(context.recorded.needed)
    bad = {status: number for status, number in counts.items() if status in BAD}
    yield _count(sum(bad.values()), "result", "not good", fmt.listing(list(told_counts(bad))), PROGRESS_PAGE)
    yield _count(counts["outstanding"], "result", "not recorded", "", PROGRESS_PAGE)


def _with_results(context: Context) -> str:
    """That this copy holds results, how many and up to which day."""
    return f"This copy is that revision {context.recorded.statement}." if context.recorded else ""


def _owner(context: Context) -> list[Block]:
    """The ways of the owner, where there are results to hand over."""
    if context.recorded is None:
        return []
    doors = (
        (line("Handover"), PageTarget(HANDOVER_PAGE), line("what lies there, and what it read when new")),
        (line("Each year, and to find a fault"), PageTarget(YEAR_PAGE), line("what to measure")),
    )
    return [Heading(2, line("Owner"), "owner"), Doors(doors, "lines")]


def _count(number: int, noun: str, state: str, more: str, page: str) -> Fact:
    """How many of something are open; a number that is not zero leads to them."""
    told = fmt.grouped(number)
    word = f"{noun} {state}" if number == 1 else f"{noun}s {state}"
    return Fact(word, line(link(told, PageTarget(page)) if number else told), line(more))


def _crew(context: Context) -> tuple[Door, ...]:
    """The crew's doors."""
    doors: list[Door] = [
        (line("My box"), PageTarget(LIST_PAGE), line("every box by branch")),
        (line("Today's steps"), PageTarget("method/all"), line("the work in order")),
    ]
    if sheets := context.part("trouble"):
        told = fmt.count(len(sheets), "trouble sheet", "trouble sheets")
        doors.append((line("Something is wrong"), PageTarget("trouble/all"), line(told)))
    emergency = next((each for each in context.part("safety") if each.section.front.id == EMERGENCY), None)
    if emergency is not None:
        doors.append((line("Emergency"), PageTarget(section_id(emergency)), line("who to call, where")))
    return tuple(doors)


def _sheets(pages: Iterable[Page]) -> Iterator[Door]:
    """What is filled in beside the boxes."""
    for page in pages:
        if page.id in SHEETS:
            yield line(page.title), PageTarget(page.id), line(SHEETS[page.id])


def _contractor(context: Context, printed: Sequence[str]) -> list[Door]:
    """The ways of those who order and issue; another language has cards of its own."""
    doors: list[Door] = [
        (line("Findings and answers"), PageTarget(findings_page.PAGE), line("what the check of the job found")),
        (line("Materials to order"), PageTarget("tables/materials"), line("cable, devices, connectors, parts")),
        (line("Runs"), PageTarget("tables/runs"), line("length, reel, depth and cover of each")),
        (line("Document control"), PageTarget(control_page.PAGE), line("what this copy is, and who signed")),
        (line("Schedules as a workbook"), FileTarget(WORKBOOK), line("for a spreadsheet")),
    ]
    titles = {"handbook.pdf": "Handbook to print", CARDS: "Box cards to print"}
    for name in printed:
        told = context.cards_file if name == CARDS and context.cards_file else name
        doors.append((line(titles.get(name, f"{name} to print")), FileTarget(name), line(told)))
    return doors


def _inspector(context: Context) -> list[Door]:
    """The ways of those who inspect."""
    doors: list[Door] = []
    if context.recorded is not None:
        doors.append((line("Progress"), PageTarget(PROGRESS_PAGE), line("results by branch and by day")))
    return [
        *doors,
        (line("Hold points in order"), PageTarget("tables/hold-points"), line("what stops work until it is signed")),
        (line("Requirements and checks"), PageTarget("tables/matrix"), line("what is asked and how it is proved")),
        (line("Boxes and loop readings"), PageTarget("tables/boxes"), line("volts, readings and slack of each")),
        (line("Sources"), PageTarget("tables/sources"), line("where each figure comes from")),
    ]


def _figures(context: Context) -> Facts:
    """The figures that all three readers ask for first."""
    values, analysis = context.values, context.analysis
    rows = (
        ("Boxes", values.box_count),
        ("All runs together, without slack", values.run_total),
        ("Slack", f"{values.slack_length} {values.slack_rule}"),
        ("Bare copper at each wire end", values.strip),
        ("Cover over the cable", values.cover),
        ("Supply", f"{values.supply_volts} {context.job.supply.current}"),
        ("Lowest volts at any box", f"{values.worst_volts} at {values.worst_box}"),
        ("Most stations at once: required", values.stations_at_once),
        ("Most stations at once: possible", _most(analysis.supply.most_stations_at_once)),
        ("Earth electrodes", values.electrode_count),
    )
    return Facts(tuple(Fact(word, line(value)) for word, value in rows))


def _most(stations: int | None) -> str:
    return NOT_KNOWN if stations is None else str(stations)
