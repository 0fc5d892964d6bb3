"""What is kept of a golden job: what it asks, does, checks and guards against, and the pages that matter."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

from book_samples import page_of, rows_of, standing
from golden.plain_page import page_text
from slackloop.document.book import Book

HERE = Path(__file__).parent
JOBS = HERE / "jobs"
EXPECTED = HERE / "expected"
PAGES: dict[str, tuple[str, ...]] = {
    "plain": ("method/trench", "method/backfill-and-tape"),
    "rock": ("method/trench", "method/backfill-and-tape"),
    "high-groundwater": (
        "method/trench",
        "method/valve-box-and-slack",
        "method/waterproof-splice",
        "method/closing-a-box",
    ),
    "frost": ("method/trench", "method/laying-the-cable", "method/backfill-and-tape"),
    "public-access": ("safety/public-access",),
    "overhead-lines": ("safety/working-near-overhead-lines",),
    "driveway": ("method/surfaces-and-crossings",),
}
"""The pages kept of each job."""
_LEVEL = re.compile(r"(High|Serious|Medium|Low) \([A-F][1-4]\)|Eliminated.*")


@cache
def book(name: str) -> Book:
    """The book of a golden job."""
    return standing(JOBS / f"{name}.yml")


@cache
def facts(name: str) -> dict[str, frozenset[str]]:
    """Sections, steps, requirements, checks, hazards, tools and equipment of a golden job, by their ids."""
    found: dict[str, set[str]] = {
        key: set() for key in ("sections", "steps", "requirements", "checks", "hazards", "tools", "protective")
    }
    for applied in book(name).context.sections:
        section = applied.section.front.id
        found["sections"].add(section)
        found["steps"] |= {f"{section}#{step.id}" for step in applied.steps}
        found["requirements"] |= {each.id for each in applied.requirements}
        found["checks"] |= {each.id for each in applied.checks}
        found["hazards"] |= {f"{each} in {section}" for each in applied.named("hazards")}
        found["tools"] |= {f"{each} in {section}" for each in applied.named("tools")}
        found["protective"] |= {f"{each} in {section}" for each in applied.named("protective")}
    return {key: frozenset(names) for key, names in found.items()}


def risks(name: str) -> frozenset[str]:
    """Each hazard with its risk before and after its control measures, from the register's cells."""
    found = set()
    for row in rows_of(book(name).tables["hazards"]):
        before, after = (text for text in row if _LEVEL.fullmatch(text))
        found.add(f"{re.split(r'[.] | Site hazard: ', row[0])[0]}: {before}, then {after}")
    return frozenset(found)


def kept(name: str) -> dict[str, str]:
    """The files kept of a golden job, by their names: what it asks and does, and the pages.

    Of a job with a condition only what the plain one has not (``+``) and what it alone has (``-``) is kept.
    """
    found, plain = ({**facts(each), "risks": risks(each)} for each in (name, "plain"))
    lists = []
    for key, names in found.items():
        marked = dict.fromkeys(names - plain[key], "+") | dict.fromkeys(plain[key] - names, "-")
        shown = marked if name != "plain" else dict.fromkeys(names, " ")
        lists.append(f"{key}\n" + "".join(f"{mark} {each}\n" for each, mark in sorted(shown.items())))
    files = {f"{id.replace('/', '.')}.txt": page_text(page_of(book(name), id)) for id in PAGES[name]}
    return {"facts.txt": "\n".join(lists), **files}
