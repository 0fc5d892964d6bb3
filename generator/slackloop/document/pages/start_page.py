"""The first page: what this copy is worth, the way to a box, and the few ways on, the crew's first."""

from __future__ import annotations

from collections.abc import Sequence

from slackloop.document.blocks import Block, BoxFinder, Doors, Drawing, Fact, Facts, Heading, Note, Paragraph
from slackloop.document.boxes.box_ids import LIST_PAGE
from slackloop.document.context import Context
from slackloop.document.findings_page import LEVEL_NOUNS, LEVELS, is_answered
from slackloop.document.inline import Line, line
from slackloop.document.page import Page
from slackloop.document.pages import control_page, findings_page
from slackloop.document.target import FileTarget, PageTarget, Target
from slackloop.sections import format as fmt
from slackloop.site.answers import open_questions
from slackloop.units.figure import NOT_KNOWN

Door = tuple[Line, Target, Line]


def start_page(context: Context, draft: bool, plan: Drawing | None, printed: Sequence[str]) -> Page:
    """The start page; ``plan`` is the site plan where there is one, ``printed`` the files to print."""
    facts = context.job.job
    document = context.job.document
    line_of_job = (
        f"{facts.site}. Job {facts.number}, revision {document.revision}, {document.date}. "
        f"Issued by {facts.contractor}."
    )
    blocks: list[Block] = [Paragraph(line(line_of_job), "aim"), *_draft(context, draft), _verdict(context, draft)]
    blocks += [BoxFinder(), Doors(_crew(context))]
    if plan is not None:
        blocks.append(plan)
    blocks += [
        Heading(2, line("For the contractor and the inspector"), "office"),
        Doors(tuple(_office(printed))),
        Heading(2, line("Key figures"), "figures"),
        _figures(context),
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
        text = "The job fails its check. Do not build from this copy. Mend the errors and build the handbook again."
    else:
        text = "The document's status is draft. Do not build from this copy."
    return [Note("danger", "Draft", (Paragraph(line(text)),))]


def _verdict(context: Context, draft: bool) -> Facts:
    """Status, open findings, open questions and signatures that are missing."""
    still_open = [each for each in context.findings if not is_answered(each)]
    counts = {level: sum(each.level == level for each in still_open) for level in LEVELS}
    words = [fmt.count(counts[level], *LEVEL_NOUNS[level]) for level in ("error", "warning") if counts[level]]
    document = context.job.document
    signed = {"prepared": document.prepared, "checked": document.checked, "approved": document.approved}
    missing = [word for word, name in signed.items() if not name]
    questions = open_questions(context.findings)
    return Facts(
        (
            Fact("Status", line("draft" if draft else document.status)),
            Fact("Open findings", line(fmt.listing(words) or "none")),
            Fact("Open questions", line(fmt.grouped(questions) if questions else "none")),
            Fact("Signatures missing", line(fmt.listing(missing) or "none")),
        ),
        large=True,
    )


def _crew(context: Context) -> tuple[Door, ...]:
    """The crew's doors."""
    doors: list[Door] = [
        (line("My box"), PageTarget(LIST_PAGE), line("Readings, splices and checks of one box")),
        (line("Today's steps"), PageTarget("method/all"), line("The method, section by section")),
    ]
    if context.part("trouble"):
        doors.append((line("Something is wrong"), PageTarget("trouble/all"), line("What to do, one sheet a fault")))
    emergency = next((each for each in context.part("safety") if each.section.front.id == "emergency-plan"), None)
    if emergency is not None:
        doors.append((line("Emergency"), PageTarget("safety/emergency-plan"), line("Who to call and what to do")))
    return tuple(doors)


def _office(printed: Sequence[str]) -> list[Door]:
    """The doors of those who issue and of those who inspect."""
    doors: list[Door] = [
        (line("Findings"), PageTarget(findings_page.PAGE), line("What the check of the job found")),
        (line("Materials"), PageTarget("tables/materials"), line("What to order")),
        (line("Runs"), PageTarget("tables/runs"), line("Every run with its length, reel and cover")),
        (line("Inspection"), PageTarget("tables/matrix"), line("What is asked and how it is proved")),
        (line("Document control"), PageTarget(control_page.PAGE), line("What this copy is")),
    ]
    doors += [(line(name), FileTarget(name), line("To print")) for name in printed]
    return doors


def _figures(context: Context) -> Facts:
    """The figures that all three readers ask for first."""
    values, analysis = context.values, context.analysis
    rows = (
        ("Boxes", values.box_count),
        ("Cable runs in all, without slack", values.run_total),
        ("Slack", f"{values.slack_length} {values.slack_rule}"),
        ("Bare copper at each conductor end", values.strip),
        ("Cover over the cable", values.cover),
        ("Supply", f"{values.supply_volts} {context.job.supply.current}"),
        ("Lowest volts at any box", f"{values.worst_volts} at {values.worst_box}"),
        ("Most stations at once: asked", values.stations_at_once),
        ("Most stations at once: the path can carry", _most(analysis.supply.most_stations_at_once)),
        ("Earth electrodes", values.electrode_count),
    )
    return Facts(tuple(Fact(word, line(value)) for word, value in rows))


def _most(stations: int | None) -> str:
    return NOT_KNOWN if stations is None else str(stations)
