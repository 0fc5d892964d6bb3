"""The document control page: what this copy is, what came before it, and who has signed."""

from __future__ import annotations

from slackloop.handbook.addresses import relative, section_uri
from slackloop.handbook.context import Context
from slackloop.handbook.material import Material
from slackloop.handbook.page import Page
from slackloop.handbook.tables.table import Column, grid
from slackloop.handbook.text import Trusted, blocks, escape, link, trusted

URI = "issue/document.md"


def document_page(context: Context, draft: bool) -> Page:
    """Number, revision, status, fingerprint, history and signatures; an empty signature is shown as open."""
    facts, document = context.job.job, context.job.document
    rows: list[tuple[str, str]] = [
        ("Number", facts.number),
        ("Title", facts.title),
        ("Site", facts.site),
        ("Client", facts.client or "Not stated"),
        ("Contractor", facts.contractor),
        ("Revision", document.revision),
        ("Date", str(document.date)),
        ("Status", "draft: not for construction" if draft else document.status),
        ("Code basis", context.basis.title),
        ("Fingerprint", trusted(f"<code>{escape(context.fingerprint or 'not worked out')}</code>")),
    ]
    history = tuple((entry.revision, str(entry.date), entry.change) for entry in document.history)
    signed = (("Prepared", document.prepared), ("Checked", document.checked), ("Approved", document.approved))
    signatures = tuple((word, _signed(name), "", "") for word, name in signed)
    markdown = blocks(
        [
            "# Document control",
            grid((Column("Fact"), Column("Value")), tuple(rows)),
            "## Revisions {#revisions}",
            grid((Column("Revision"), Column("Date"), Column("Change")), (*history, _this(context))),
            *own_sections(context),
            "## Signatures {#signatures}",
            grid((Column("Step"), Column("Who"), Column("Signature"), Column("Date")), signatures),
            "The fingerprint is a hash of the job file, the text and the tables. Two copies with one fingerprint say "
            "the same. A copy with another fingerprint is another issue.",
            '<p class="table-source">Source: the job file.</p>',
        ]
    )
    return Page(
        URI, "Document control", markdown, ("Issue",), "document", description="What this copy is"
    )


def own_sections(context: Material) -> list[str]:
    """The sections that the firm wrote or replaced; nothing where there are none."""
    rows = []
    for each in context.sections:
        section, front = each.section, each.section.front
        if not section.ours:
            title = link(context.renderer.plain(front.title), relative(section_uri(front.part, front.id), URI))
            rows.append((title, "Takes the place of the standing section" if section.overrides else "Is added"))
    if not rows:
        return []
    return ["## The firm's own sections {#own}", grid((Column("Section"), Column("What it does")), tuple(rows))]


def _this(context: Context) -> tuple[str, str, str]:
    """The row of this revision."""
    return context.job.document.revision, str(context.job.document.date), "This issue"


def _signed(name: str) -> Trusted:
    """Who signed, or that the signature is open."""
    return escape(name) if name else trusted('<span class="open">Open: not signed</span>')
