"""The document control page of the website: what this copy is, what came before it, and who has signed.

On paper the cover says all of it.

The page of changes: what differs from the revision before, for everybody and for each reader.
"""

from __future__ import annotations

from slackloop.control.change_words import Chapter, Lines, chapters, heading
from slackloop.control.comparison import Comparison
from slackloop.control.releases import history
from slackloop.document.blocks import Block, Bullets, Fact, Facts, Heading, Note, Paragraph, TableBlock
from slackloop.document.context import Context
from slackloop.document.inline import Code, PageTarget, line, link, strong
from slackloop.document.markdown import anchor_of
from slackloop.document.page import Page, PageSource
from slackloop.document.table import Column, Table, cell, one_part
from slackloop.language.messages import ENGLISH
from slackloop.sections.format import count
from slackloop.site.site_contacts import NAMES, checked_words

CHANGES_PAGE = "design/changes"
PAPER_PAGE = "design/changes-in-print"
TITLE = "What changed"
PAPER_LINES = 96
"""Printed lines that two pages hold for certain, titles among them."""
A_LINE = 112
"""Letters that a printed line holds for certain."""
PAPER_LETTERS = 2 * A_LINE
"""Letters of one sentence on paper."""
MOST_SENTENCES = 9
FEWEST_SENTENCES = 2


def changes_pages(comparison: Comparison) -> tuple[Page, ...]:
    """The page of changes; where paper has no room for all of it, a page for screens and a shorter one for paper.

    On paper it comes before the method: whoever held the revision before reads it first.
    """
    whole = chapters(comparison)
    short = _shortened(whole)
    if short == whole:
        return (_page(CHANGES_PAGE, comparison, whole),)
    return (_page(CHANGES_PAGE, comparison, whole, paper=False), _page(PAPER_PAGE, comparison, short, screen=False))


def _page(
    id: str, comparison: Comparison, told: tuple[Chapter, ...], *, paper: bool = True, screen: bool = True
) -> Page:
    blocks: list[Block] = [Paragraph(line(f"{heading(comparison)}."))]
    if not told:
        blocks.append(Note("note", "", (Paragraph(line("No value, limit, step, order or card has changed.")),)))
    for chapter in told:
        blocks.append(Heading(2, line(chapter.title), anchor_of(chapter.title)))
        for part in chapter.parts:
            blocks.append(Paragraph(line(strong(part.title))))
            blocks.append(Bullets(tuple((Paragraph(line(text)),) for text in part.lines)))
    return Page(
        id, TITLE, tuple(blocks), "document", "method", ("Design",), "What differs from the revision before",
        paper=paper, screen=screen, listed=screen,
    )  # fmt: skip


def _shortened(chapters: tuple[Chapter, ...]) -> tuple[Chapter, ...]:
    """As many sentences under each title as two pages hold."""
    for most in range(MOST_SENTENCES, FEWEST_SENTENCES - 1, -1):
        letters = PAPER_LETTERS if most > FEWEST_SENTENCES else A_LINE
        short = tuple(
            Chapter(each.reader, each.title, tuple(_few(part, most, letters) for part in each.parts))
            for each in chapters
        )
        if printed_lines(short) <= PAPER_LINES:
            break
    return short


def printed_lines(chapters: tuple[Chapter, ...]) -> float:
    """How many lines chapters take on paper: the title of a chapter as many as two, of a part as one and more."""
    return sum(
        2.2 + sum(1.3 + sum(-(-len(text) // A_LINE) for text in part.lines) for part in each.parts) for each in chapters
    )


def _few(part: Lines, most: int, letters: int) -> Lines:
    """At most so many sentences; the last says how many more there are, and where."""
    lines = tuple(_cut(text, letters) for text in part.lines)
    if len(lines) > most:
        more = count(len(lines) - most + 1, "more change is", "more changes are")
        lines = (*lines[: most - 1], f"{more[:1].upper()}{more[1:]} on the page {TITLE} of the website.")
    return Lines(part.title, lines)


def _cut(text: str, letters: int) -> str:
    if len(text) <= letters:
        return text
    return text[: letters - 1].rsplit(" ", 1)[0] + " …"


PAGE = "design/document"
NOT_ISSUED = "The results are no part of the revision, and the fingerprint does not cover them."


def control_page(context: Context, draft: bool) -> Page:
    """Number, revision, status, fingerprint, history and signatures; an empty signature is shown as open."""
    facts, document = context.job.job, context.job.document
    rows = [
        ("Number", line(facts.number)),
        ("Title", line(facts.title)),
        ("Site", line(facts.site)),
        ("Client", line(facts.client or "not stated")),
        ("Contractor", line(facts.contractor)),
        ("Revision", line(f"{document.revision}, {document.date}")),
        ("Status", line("draft: not for construction" if draft else document.status)),
        ("Code basis", line(context.basis.title)),
        ("Fingerprint", line(Code(context.fingerprint or "not calculated"))),
    ]
    if context.recorded is not None:
        rows.append(("Results", line(f"The issued revision {context.recorded.statement}. {NOT_ISSUED}")))
    others = (each for each in context.job.languages if each != ENGLISH)
    rows += [(NAMES[each], line(checked_words(context.job.translation, each))) for each in others]
    signed = (("Prepared", document.prepared), ("Checked", document.checked), ("Approved", document.approved))
    names = tuple(Fact(word, line(name) if name else line(strong("Not signed off"))) for word, name in signed)
    revisions = Table(
        "revisions", "Revisions", (Column("revision", "Revision"), Column("date", "Date"), Column("change", "Change")),
        one_part([tuple(cell(text) for text in row) for row in history(context.job, context.releases)]), ("job",),
    )  # fmt: skip
    text = (
        "The fingerprint is a hash of the job file, the text, the tables and the revisions before this one. Two copies "
        "with one fingerprint say the same. A copy with another fingerprint is another issue."
    )
    blocks: tuple[Block, ...] = (
        Facts(tuple(Fact(word, value) for word, value in rows)),
        Heading(2, line("Revisions"), "revisions"),
        TableBlock(revisions),
        *_changed(context),
        *own_sections(context),
        Heading(2, line("Signatures"), "signatures"),
        Facts(names),
        Paragraph(line(text), "small"),
    )
    return Page(PAGE, "Document control", blocks, "document", "design", ("Design",), "What this copy is", paper=False)


def _changed(context: Context) -> list[Block]:
    """The way to what changed since the revision before; nothing where there is none."""
    if not context.releases:
        return []
    before = context.releases[-1].record.revision
    return [Paragraph(line(link(f"What changed since revision {before}", PageTarget(CHANGES_PAGE))))]


def own_sections(context: PageSource) -> list[Block]:
    """The sections that the firm wrote or replaced; nothing where there are none."""
    rows = []
    for each in context.sections:
        section, front = each.section, each.section.front
        if not section.ours:
            title = line(link(context.prose.plain(front.title), PageTarget(f"{front.part}/{front.id}")))
            what = "Replaces the standing section" if section.overrides else "Is added"
            rows.append((cell(title), cell(what)))
    if not rows:
        return []
    columns = (Column("section", "Section"), Column("what", "What it does"))
    own = Table("own-sections", "The firm's own sections", columns, one_part(rows), ("method",))
    return [Heading(2, line("The firm's own sections"), "own"), TableBlock(own)]
