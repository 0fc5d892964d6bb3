"""The firm's installation standard as a document of its own: limits and method, and no figure of any site."""

from __future__ import annotations

from dataclasses import dataclass, field

from slackloop.handbook.addresses import clashes
from slackloop.handbook.book import known
from slackloop.handbook.checker import check_content
from slackloop.handbook.content import Content
from slackloop.handbook.content_finding import refuse_faults
from slackloop.handbook.document_page import own_sections
from slackloop.handbook.page import DocumentHeader, Page
from slackloop.handbook.section_page import SectionPage
from slackloop.handbook.standard_context import StandardContext
from slackloop.handbook.standard_inserts import StandardInserts
from slackloop.handbook.standard_tables import STANDARD_TABLES
from slackloop.handbook.standard_values import OPEN, OWN
from slackloop.handbook.start_page import doors
from slackloop.handbook.table_pages import table_pages
from slackloop.handbook.tables.table import Column, grid
from slackloop.handbook.text import Trusted, blocks, escape, large, one_line, trusted
from slackloop.job.standard import MERGED_KEYS
from slackloop.job.standard_reading import Standard
from slackloop.reference.tables import ReferenceTables

TITLE = "Installation standard"
SITE = "Every job of the firm"
STATUS = "standing standard"
BRACKETS = f"Words in brackets, such as [{OWN}], stand for a value that each job states for itself."


@dataclass(frozen=True)
class StandardBook:
    """A finished standard; ``pages`` stand in printed order. There is no job and nothing is computed for a site."""

    pages: tuple[Page, ...]
    facts: DocumentHeader
    standard: Standard
    job: None = field(default=None)


def make_standard_book(
    standard: Standard, tables: ReferenceTables, content: Content, *, fingerprint: str = ""
) -> StandardBook:
    """Every page of a standard's document.

    Raises ``ContentError`` with every place at once when the content breaks one of its own rules or a template fails.
    """
    refuse_faults(check_content(content, known(tables)))
    context = StandardContext(standard, tables, content, fingerprint)
    writer = StandardInserts(context)
    by_door: dict[str, list[Page]] = {"Issue": [], "Install": [], "Inspect": []}
    for name in STANDARD_TABLES:
        table = writer.table(name)
        if table.rows or not table.omit_when_empty:
            by_door[table.door] += table_pages(table)
    sections = [SectionPage(context, each, writer).page() for each in context.sections]
    inner = (_control(context), *by_door["Issue"], *sections, *by_door["Install"], *by_door["Inspect"])
    refuse_faults(tuple(sorted(set(context.renderer.findings))))
    pages = (_start(context, inner), *inner)
    if twice := clashes(page.uri for page in pages):
        raise ValueError(f"two pages have one address: {', '.join(twice)}")
    return StandardBook(pages, standard_header(standard, fingerprint), standard)


def standard_header(standard: Standard, fingerprint: str) -> DocumentHeader:
    """The facts that stand on every page; what the standard does not say of itself is left open."""
    return DocumentHeader(
        number=standard.number or "No number",
        title=standard.title or TITLE,
        site=SITE,
        revision=standard.revision or OPEN,
        date=str(standard.date) if standard.date else OPEN,
        status=STATUS,
        fingerprint=fingerprint,
        draft=False,
        contractor=standard.contractor or OPEN,
        name=TITLE,
    )


def _start(context: StandardContext, pages: tuple[Page, ...]) -> Page:
    """The start page: what this is, three doors, and what each job states for itself."""
    facts = standard_header(context.standard, context.fingerprint)
    words = {
        "Issue": "What the firm asks, and what each job must add.",
        "Install": "The steps, the safety sheets, the tools and what is worn.",
        "Inspect": "What is asked, how it is proved, and what it is based on.",
    }
    markdown = blocks(
        [
            f"# {escape(facts.title)}",
            _named(context.standard),
            "This is what the firm asks on every job. It holds no site, no box and no length of any job. "
            "The handbook of a job is built over it; where the job states another value, the job's value wins, "
            f"and its handbook lists the departure. {escape(BRACKETS)}",
            doors(pages, words),
            "## Limits at a glance {#figures}",
            _glance(context),
            "## What each job states {#job}",
            _left_to_the_job(context.standard),
            "## Who decides {#decides}",
            "Local code, the device maker's sheet and the electrician come before this standard. "
            "Where they differ from it, they win: stop, and tell the contractor.",
        ]
    )
    return Page("index.md", "Start", markdown, (), "start", description=one_line(f"{TITLE} {facts.number}"))


def _named(standard: Standard) -> str:
    """What the standard says of itself, in one line."""
    said = {"Number": standard.number, "Revision": standard.revision, "Date": standard.date}
    parts = [f"{word} {escape(str(value))}" for word, value in said.items() if value]
    parts += [f"Issued by {escape(standard.contractor)}"] if standard.contractor else []
    return f"{TITLE}. {'. '.join(parts)}." if parts else f"{TITLE}."


def _glance(context: StandardContext) -> str:
    """The limits that a reader asks for first."""
    values = context.values
    rows: tuple[tuple[str, Trusted], ...] = (
        ("Slack", trusted(f"{large(values.slack_length)} {escape(values.slack_rule)}")),
        ("Bare copper at each conductor end", large(values.strip)),
        ("Cover over the cable", large(values.cover)),
        ("Insulation test", trusted(f"{large(values.insulation_least)} or more at {escape(values.insulation_volts)}")),
        ("Earth electrode, most resistance", large(values.target)),
    )
    source = '<p class="table-source">Source: the standard\'s own file.</p>'
    return blocks([grid((Column("Limit"), Column("Value")), rows), source])


def _left_to_the_job(standard: Standard) -> str:
    """The parts that the standard states and those that it leaves to each job."""
    stated = [key for key in MERGED_KEYS if standard.stated(key)]
    left = [key for key in MERGED_KEYS if key not in stated]
    lines = [f"- The standard states {', '.join(stated)}. A job may add to these or depart from them."]
    if left:
        lines.append(f"- Each job states {', '.join(left)} for itself.")
    lines.append("- Each job states its site, its code basis, its document and its path of boxes.")
    return "\n".join(lines)


def _control(context: StandardContext) -> Page:
    """What this copy is."""
    facts = standard_header(context.standard, context.fingerprint)
    rows = (
        ("Number", facts.number),
        ("Title", facts.title),
        ("Firm", facts.contractor),
        ("Revision", facts.revision),
        ("Date", facts.date),
        ("Status", facts.status),
        ("Fingerprint", trusted(f"<code>{escape(facts.fingerprint or 'not worked out')}</code>")),
    )
    open_line = trusted('<span class="open">Open: not signed</span>')
    signatures = tuple((word, open_line, "", "") for word in ("Prepared", "Checked", "Approved"))
    markdown = blocks(
        [
            "# Document control",
            grid((Column("Fact"), Column("Value")), rows),
            *own_sections(context),
            "## Signatures {#signatures}",
            grid((Column("Step"), Column("Who"), Column("Signature"), Column("Date")), signatures),
            "The fingerprint is a hash of the standard, the text and the tables. Two copies with one fingerprint say "
            "the same.",
            '<p class="table-source">Source: the standard\'s own file.</p>',
        ]
    )
    uri, what = "issue/document.md", "What this copy is"
    return Page(uri, "Document control", markdown, ("Issue",), "document", description=what)
