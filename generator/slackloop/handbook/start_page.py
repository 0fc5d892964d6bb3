"""The first page: three doors, the key figures, and what the check of the job found."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from slackloop.handbook import box_index
from slackloop.handbook.context import Context
from slackloop.handbook.findings_page import found_summary
from slackloop.handbook.page import Page
from slackloop.handbook.schedule_files import workbook_link
from slackloop.handbook.tables.table import Column, grid
from slackloop.handbook.text import Trusted, admonition, blocks, escape, large, link, one_line, trusted
from slackloop.job.answers import open_questions

FEW_GROUPS = 4
READERS = {"Issue": "For the contractor", "Install": "For the crew", "Inspect": "For the inspector"}
DOOR_WORDS = {
    "Issue": "Check the job, order the material, sign and issue.",
    "Install": "The steps, the safety sheets and a page for each box.",
    "Inspect": "What is asked, how it is proved, and what it is based on.",
}
NOTHING: Mapping[str, Trusted] = MappingProxyType({})


def start_page(context: Context, pages: tuple[Page, ...], draft: bool) -> Page:
    """The start page; ``pages`` are all others, so that every door leads somewhere."""
    facts = context.job.job
    more = {"Issue": workbook_link("index.md"), "Inspect": link("Every box", box_index.URI)}
    if context.cards_file:
        more["Install"] = link("Print the cards", context.cards_file)
    markdown = blocks(
        [
            f"# {escape(facts.title)}",
            f"{escape(facts.site)}. Job {escape(facts.number)}, revision {escape(context.job.document.revision)}, "
            f"{escape(str(context.job.document.date))}. Issued by {escape(facts.contractor)}.",
            _draft(context) if draft else "",
            doors(pages, DOOR_WORDS, more),
            "## Key figures {#figures}",
            _figures(context),
            "## What the check found {#found}",
            f"{escape(found_summary(context))} {link('Read the findings', 'issue/findings.md')}.",
            "## Who decides {#decides}",
            escape(context.basis.who_decides_cover),
            escape(
                f"The device maker's sheet, the local code and the {context.basis.words.electrician} come before this "
                "handbook. "
                "Where they differ from it, they win: stop, and tell the contractor."
            ),
        ]
    )
    description = one_line(f"Installation handbook {facts.number} for {facts.site}")
    return Page("index.md", "Start", markdown, (), "start", description=description)


def _draft(context: Context) -> str:
    """Why this copy is a draft."""
    if context.analysis.verdict == "fail":
        text = "The job fails its check. Do not build from this copy. Mend the errors and build the handbook again."
    else:
        text = "The document's status is draft. Do not build from this copy."
    return admonition("danger", "Draft", text)


def doors(pages: tuple[Page, ...], words: Mapping[str, str], more: Mapping[str, Trusted] = NOTHING) -> str:
    """A door for each reader with what stands behind it; ``words`` says so in a line, ``more`` adds a link."""
    items = [_door(name, READERS[name], text, pages, more.get(name)) for name, text in words.items()]
    return '<div class="doors" markdown="1">\n\n' + "\n\n".join(items) + "\n\n</div>"


def _door(name: str, reader: str, text: str, pages: tuple[Page, ...], more: Trusted | None) -> str:
    """One door: a heading, a line, and links to what is behind it; a door with few groups shows every page."""
    behind = [page for page in pages if page.listed and page.navigation[:1] == (name,)]
    groups = {page.navigation[1] if len(page.navigation) > 1 else page.title for page in behind}
    links: dict[str, Trusted] = {}
    for page in behind:
        title = page.title if len(groups) < FEW_GROUPS else (*page.navigation, page.title)[1]
        links.setdefault(title, link(title, page.uri))
    if more is not None:
        links.setdefault(more, more)
    lines = "\n".join(f"- {each}" for each in links.values())
    inner = blocks([f"## {name} {{#{name.lower()}}}", f"**{reader}.** {text}", lines])
    return f'<div class="door" markdown="1">\n\n{inner}\n</div>'


def _figures(context: Context) -> str:
    """The figures that all three readers ask for first."""
    values, analysis = context.values, context.analysis
    rows: list[tuple[str, Trusted]] = [
        ("Boxes", large(values.box_count)),
        ("Cable runs in all, without slack", large(values.run_total)),
        ("Slack", trusted(f"{large(values.slack_length)} {escape(values.slack_rule)}")),
        ("Bare copper at each conductor end", large(values.strip)),
        ("Cover over the cable", large(values.cover)),
        ("Supply", trusted(f"{large(values.supply_volts)} {escape(context.job.supply.current)}")),
        ("Lowest volts at any box", trusted(f"{large(values.worst_volts)} at {escape(values.worst_box)}")),
        ("Most stations at once: asked", large(values.stations_at_once)),
        ("Most stations at once: the path can carry", large(str(analysis.supply.most_stations_at_once))),
        ("Earth electrodes", large(values.electrode_count)),
        ("Questions that nobody has answered", large(str(open_questions(context.findings)))),
    ]
    source = '<p class="table-source">Source: the job file, and computed from it.</p>'
    return blocks([grid((Column("Figure"), Column("Value")), tuple(rows)), source])
