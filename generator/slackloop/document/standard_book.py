"""The firm's installation standard as a document of its own: limits and method, and no figure of any site.

A standing standard read for its own document: what ``check`` and ``build`` start from when they are given one.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from slackloop.control.fingerprint import fingerprint
from slackloop.document.blocks import Block, Bullets, Doors, Fact, Facts, Heading, Paragraph
from slackloop.document.inline import Code, FileTarget, Line, PageTarget, Target, line, strong
from slackloop.document.inserts import Inserts
from slackloop.document.page import DocumentHeader, Page
from slackloop.document.pages.control_page import own_sections
from slackloop.document.pages.lists import PART_TITLES, part_page, table_page, table_page_id
from slackloop.document.pages.section_page import SectionPage
from slackloop.document.standard_context import STANDARD_TABLES, StandardContext
from slackloop.document.table import Table
from slackloop.document.tables.registry import BY_ID, HOMES, MENU, TableDefinition, known
from slackloop.document.walk import check_links
from slackloop.document.worked import Refused, content_folders, own_content_findings
from slackloop.reference.tables import ReferenceTables, load_tables
from slackloop.sections.checker import content_errors
from slackloop.sections.content import Content, load_content, refuse_faults
from slackloop.sections.standard_values import OPEN, OWN
from slackloop.site.standard import MERGED_KEYS, Standard, read_standard
from slackloop.source.finding import Placed

TITLE = "Installation standard"
SITE = "Every job of the firm"
STATUS = "standing standard"
BRACKETS = f"Words in brackets, such as [{OWN}], are for a value that each job states for itself."
CONTROL = "design/document"


@dataclass(frozen=True)
class StandardBook:
    """A finished standard; ``pages`` are in reading order. There is no job and nothing is computed for a site."""

    pages: tuple[Page, ...]
    header: DocumentHeader
    standard: Standard


def make_standard_book(
    standard: Standard, tables: ReferenceTables, content: Content, *, fingerprint: str = "",
    printed: tuple[str, ...] = (),
) -> StandardBook:  # fmt: skip
    """Every page of a standard's document.

    Raises ``ContentError`` with every place at once when the content breaks one of its own rules or a template fails,
    and ``LinksBroken`` where a link leads nowhere.
    """
    refuse_faults(content_errors(content, known(tables)))
    context = StandardContext(standard, tables, content, fingerprint)

    @cache
    def table(name: str) -> Table | None:
        name = HOMES.get(name, name)
        return STANDARD_TABLES[name](context) if name in STANDARD_TABLES else None

    inserts = Inserts(context, table, table_page_id, {})
    lists = [page for part in PART_TITLES if (page := part_page(context, part)) is not None]
    made = [(BY_ID.get(name), found) for name in STANDARD_TABLES if (found := table(name)) is not None]
    pages = (
        _start(context, printed),
        *lists,
        *(SectionPage(context, each, inserts, boxes=False).page() for each in context.sections),
        _control(context),
        *(_table_page(each, found) for each, found in made if found.rows),
    )
    refuse_faults(context.content.told(context.renderer.findings))
    check_links(pages, printed)
    return StandardBook(pages, standard_header(standard, fingerprint), standard)


def _table_page(definition: TableDefinition | None, table: Table) -> Page:
    """The page of a table, in the part and on the paper that a job's handbook gives it."""
    if definition is None:
        return table_page(table, "design", (MENU["design"],))
    return table_page(table, definition.part, (MENU[definition.part],), paper=definition.paper)


def standard_header(standard: Standard, fingerprint: str) -> DocumentHeader:
    """The facts that are on every page; what the standard does not say of itself is left open."""
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


def _start(context: StandardContext, printed: tuple[str, ...]) -> Page:
    """The start page: what this is, the ways on, and what each job states for itself."""
    header = standard_header(context.standard, context.fingerprint)
    said = {"Number": context.standard.number, "Revision": context.standard.revision, "Date": context.standard.date}
    named = [f"{word} {value}" for word, value in said.items() if value]
    named += [f"Issued by {context.standard.contractor}"] if context.standard.contractor else []
    about = (
        "This is what the firm requires on every job. It has no site, no box and no length of any job. The handbook of "
        "a job is built from it. If the job states another value, that value counts, and its handbook lists the "
        f"departure. {BRACKETS}"
    )
    decides = (
        "Local code, the device maker's sheet and the electrician come before this standard. If they differ from "
        "it, stop and tell the contractor: they come first."
    )
    doors: tuple[tuple[Line, Target, Line], ...] = (
        (line("Steps"), PageTarget("method/all"), line("The method, section by section")),
        (line("Limits"), PageTarget("tables/limits"), line("What the firm requires, and what each job must add")),
        (line("Inspection"), PageTarget("tables/matrix"), line("What is required and how it is proved")),
        (line("Document control"), PageTarget(CONTROL), line("What this copy is")),
        *((line(name), FileTarget(name), line("To print")) for name in printed),
    )
    blocks: tuple[Block, ...] = (
        Paragraph(line(". ".join([TITLE, *named]) + "."), "aim"),
        Paragraph(line(about)),
        Doors(doors),
        Heading(2, line("Limits at a glance"), "figures"),
        _glance(context),
        Heading(2, line("What each job states"), "job"),
        _left_to_the_job(context.standard),
        Heading(2, line("Who decides"), "decides"),
        Paragraph(line(decides)),
    )
    return Page("index", header.title, blocks, "start", "document", (), f"{TITLE} {header.number}", paper=False)


def _glance(context: StandardContext) -> Facts:
    """The limits that a reader asks for first."""
    values = context.values
    rows = (
        ("Slack", f"{values.slack_length} {values.slack_rule}"),
        ("Bare copper at each wire end", values.strip),
        ("Cover over the cable", values.cover),
        ("Insulation test", f"{values.insulation_least} or more at {values.insulation_volts}"),
        ("Earth electrode, most resistance", values.target),
    )
    return Facts(tuple(Fact(word, line(value)) for word, value in rows))


def _left_to_the_job(standard: Standard) -> Bullets:
    """The parts that the standard states and those that it leaves to each job."""
    stated = [key for key in MERGED_KEYS if standard.stated(key)]
    left = [key for key in MERGED_KEYS if key not in stated]
    lines = [f"The standard states {', '.join(stated)}. A job may add to these or depart from them."]
    if left:
        lines.append(f"Each job states {', '.join(left)} for itself.")
    lines.append("Each job states its site, its code basis, its document and its path of boxes.")
    return Bullets(tuple((Paragraph(line(text)),) for text in lines))


def _control(context: StandardContext) -> Page:
    """What this copy is."""
    header = standard_header(context.standard, context.fingerprint)
    rows = (
        ("Number", header.number), ("Title", header.title), ("Firm", header.contractor),
        ("Revision", header.revision), ("Date", header.date), ("Status", header.status),
    )  # fmt: skip
    facts = (
        *(Fact(word, line(value)) for word, value in rows),
        Fact("Fingerprint", line(Code(header.fingerprint or "not calculated"))),
    )
    signed = tuple(Fact(word, line(strong("Not signed off"))) for word in ("Prepared", "Checked", "Approved"))
    blocks: tuple[Block, ...] = (
        Facts(facts), *own_sections(context), Heading(2, line("Signatures"), "signatures"), Facts(signed)
    )  # fmt: skip
    return Page(CONTROL, "Document control", blocks, "document", "design", ("Design",), "What this copy is")


@dataclass(frozen=True)
class WorkedStandard:
    """A standard that was read, with what was found; nothing is computed, since there is no site."""

    path: Path
    standard: Standard
    tables: ReferenceTables
    findings: tuple[Placed, ...]
    fingerprint: str


def work_standard(path: Path) -> WorkedStandard:
    """Read one standard. Raises Refused with every finding when the file is not good enough."""
    tables = load_tables()
    reading = read_standard(path, soils=tables.soils.names())
    if reading.standard is None:
        raise Refused(reading.findings)
    found = (*reading.findings, *own_content_findings(path, tables))
    if any(finding.level == "error" for finding in found):
        raise Refused(found)
    hashed = fingerprint(b"standard\n" + reading.standard.meaning(), tables.digest, content_folders(path))
    return WorkedStandard(path, reading.standard, tables, found, hashed)


def standard_book_of(worked: WorkedStandard, printed: tuple[str, ...] = ()) -> StandardBook:
    """The document of a standard. Raises ``content_error.ContentError`` where the content is faulty."""
    *own, standing = content_folders(worked.path)
    content = load_content(standing, own[0] if own and own[0].is_dir() else None)
    return make_standard_book(worked.standard, worked.tables, content, fingerprint=worked.fingerprint, printed=printed)
