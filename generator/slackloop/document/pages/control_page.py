"""The document control page of the website: what this copy is, what came before it, and who has signed.

On paper the cover says all of it.
"""

from __future__ import annotations

from slackloop.control.history import history
from slackloop.document.blocks import Block, Fact, Facts, Heading, Paragraph, TableBlock
from slackloop.document.context import Context
from slackloop.document.inline import Code, line, link, strong
from slackloop.document.page import Page
from slackloop.document.page_source import PageSource
from slackloop.document.pages.changes_page import CHANGES_PAGE
from slackloop.document.table import Column, Table, cell, one_part
from slackloop.document.target import PageTarget
from slackloop.language.messages import ENGLISH
from slackloop.site.languages import NAMES, checked_words

PAGE = "design/document"


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
