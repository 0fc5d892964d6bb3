"""What is kept of a golden job: what it asks, does, checks and guards against, and the pages that matter."""

from __future__ import annotations

import html
import re
from functools import cache
from pathlib import Path

from slackloop.handbook.assemble import book_from_job
from slackloop.handbook.book import Book

HERE = Path(__file__).parent
JOBS = HERE / "jobs"
EXPECTED = HERE / "expected"
PAGES: dict[str, tuple[str, ...]] = {
    "plain": ("method/trench.md", "method/backfill-and-tape.md", "tables/hazards.md"),
    "rock": ("method/trench.md", "method/backfill-and-tape.md"),
    "high-groundwater": (
        "method/trench.md",
        "method/valve-box-and-slack.md",
        "method/waterproof-splice.md",
        "method/closing-a-box.md",
    ),
    "frost": ("method/trench.md", "method/laying-the-cable.md", "method/backfill-and-tape.md"),
    "public-access": ("safety/public-access.md", "tables/hazards.md"),
    "overhead-lines": ("safety/working-near-overhead-lines.md", "tables/hazards.md"),
    "driveway": ("method/surfaces-and-crossings.md", "tables/hazards.md"),
}
"""The pages kept of each job; drawings and computed tables in them are named, since they have tests of their own."""
_TABLE = re.compile(r"\*\*([^*\n]+)\*\*\n\n(?:[^\n]*\n\n)?\|.*?<p class=\"table-source\">.*?</p>", re.DOTALL)
_FIGURE = re.compile(r"<figure.*?<figcaption>(.*?)</figcaption>\n</figure>", re.DOTALL)


@cache
def book(name: str) -> Book:
    """The book of a golden job."""
    return book_from_job(JOBS / f"{name}.yml")


@cache
def facts(name: str) -> dict[str, frozenset[str]]:
    """Sections, steps, requirements, checks, hazards, tools and equipment of a golden job, by their ids."""
    found: dict[str, set[str]] = {
        key: set() for key in ("sections", "steps", "requirements", "checks", "hazards", "tools", "protective")
    }
    for applied in book(name).sections:
        section = applied.section.front.id
        found["sections"].add(section)
        found["steps"] |= {f"{section}#{step.id}" for step in applied.steps}
        found["requirements"] |= {each.id for each in applied.requirements}
        found["checks"] |= {each.id for each in applied.checks}
        found["hazards"] |= {f"{each} in {section}" for each in applied.named("hazards")}
        found["tools"] |= {f"{each} in {section}" for each in applied.named("tools")}
        found["protective"] |= {f"{each} in {section}" for each in applied.named("protective")}
    return {key: frozenset(names) for key, names in found.items()}


def kept(name: str) -> dict[str, str]:
    """The files kept of a golden job, by their path under its folder: one list of ids, and the pages."""
    lists = [f"{key}\n" + "".join(f"  {each}\n" for each in sorted(names)) for key, names in facts(name).items()]
    pages = {page.uri: page.markdown for page in book(name).pages}
    files = {uri.replace("/", "."): _TABLE.sub(_table, _FIGURE.sub(_drawing, pages[uri])) for uri in PAGES[name]}
    return {"facts.txt": "\n".join(lists), **files}


def _table(match: re.Match[str]) -> str:
    """A computed table by its title."""
    return f"(table: {html.unescape(match[1])})"


def _drawing(match: re.Match[str]) -> str:
    """A drawing by its caption."""
    return f"(drawing: {html.unescape(match[1])})"
