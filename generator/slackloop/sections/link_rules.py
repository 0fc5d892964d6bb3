"""Links in content: each leads to a page that there is on every job that have the link.

Addresses of pages: safe in a file name and a link, stable, and unique for any box id.

An id of capitals and digits (with single dashes between) keeps its own spelling in lower case, as
``B01``. Any other id is spelled with what is safe in it and the first eight hex digits of its
SHA-256 hash, so that two ids never share an address, also where file names ignore letter case.
"""

from __future__ import annotations

import hashlib
import posixpath
import re
from collections.abc import Iterator

from slackloop.sections.content import Content
from slackloop.sections.hardcoded_numbers import section_texts
from slackloop.sections.section import Prose, Section
from slackloop.source.finding import Placed, found_at

_PLAIN = re.compile(r"[A-Z0-9]+(?:-[A-Z0-9]+)*")
_LIKE_HASHED = re.compile(r"-[0-9A-F]{8}$")
_RESERVED = re.compile(r"CON|PRN|AUX|NUL|INDEX|(?:COM|LPT)[0-9]")
_UNSAFE = re.compile(r"[^a-z0-9]+")
_LONGEST = 40


def slug(name: str) -> str:
    """A safe spelling of ``name``, the same on every machine.

    A kept spelling never ends in a dash and eight hex digits, so a hashed one cannot meet it;
    names that a file system keeps for itself (``CON``, ``NUL``) are hashed too.
    """
    plain = len(name) <= _LONGEST and _PLAIN.fullmatch(name)
    if plain and not _LIKE_HASHED.search(name) and not _RESERVED.fullmatch(name):
        return name.lower()
    digest = hashlib.sha256(name.encode("utf-8", "surrogatepass")).hexdigest()[:8]
    safe = _UNSAFE.sub("-", name.lower()).strip("-")[:_LONGEST].strip("-")
    return f"{safe or 'box'}-{digest}"


def section_uri(part: str, section_id: str) -> str:
    """Address of a section's page."""
    return f"{part}/{section_id}.md"


def table_uri(table_id: str) -> str:
    """Address of a table's page."""
    return f"tables/{table_id}.md"


def drawing_uri(figure_id: str) -> str:
    """Address of a drawing's page."""
    return f"drawings/{figure_id}.md"


def anchor(*parts: str) -> str:
    """A stable anchor inside a page."""
    return "-".join(slug(part) if not re.fullmatch(r"[a-z0-9-]+", part) else part for part in parts)


_LINK = re.compile(r"\]\(\s*<?([^)\s>]+)>?[^)]*\)")
_OUTSIDE = re.compile(r"(?:[a-z][a-z0-9+.-]*:|//|/)", re.IGNORECASE)
STANDING_PAGES = frozenset({"index.md", "issue/document.md", "issue/findings.md"})
OWN_ANCHORS = frozenset({"wear", "bring", "checks", "requirements", "hazards"})


def link_findings(content: Content, tables: frozenset[str], figures: frozenset[str]) -> Iterator[Placed]:
    """An error for each link that leads nowhere, outside, or to a section that not every such job has."""
    sections = {section_uri(each.front.part, each.front.id): each for each in content.sections}
    others = {table_uri(name) for name in tables} | {drawing_uri(name) for name in figures} | STANDING_PAGES
    others |= {each.file for each in content.findings}  # a section that could not be read is one fault, not many
    for uri, section in sections.items():
        for text, line, applies in _texts(section):
            for address in _LINK.findall(text):
                fault = _fault(address, uri, sections, others, {section.front.applies, applies})
                if fault:
                    code, message = fault
                    yield found_at(section.file, line, code, message)


def _texts(section: Section) -> Iterator[tuple[str, int, str]]:
    """Every text of a section with its line and the condition on which it stands."""
    conditions: dict[int, str] = {}
    for step in section.steps:
        for prose in (step.action, step.why, step.reject, step.extra):
            if isinstance(prose, Prose):
                conditions[prose.line] = step.applies
    for text, line in section_texts(section):
        yield text, line, conditions.get(line, "always")


def _fault(
    address: str, page: str, sections: dict[str, Section], others: set[str], conditions: set[str]
) -> tuple[str, str] | None:
    """Code and message of what is wrong with a link on a page; nothing for a good one."""
    if _OUTSIDE.match(address):
        return "link-outside", f"'{address}' leads out of the handbook, which must work without a network"
    path, _, place = address.partition("#")
    target = posixpath.normpath(posixpath.join(posixpath.dirname(page), path)) if path else page
    if target in others:
        return None
    section = sections.get(target)
    if section is None:
        return "link-dead", f"'{address}' leads to no section, table or drawing"
    if section.front.applies not in {"always", *conditions}:
        message = f"'{address}' leads to a section that is there only where '{section.front.applies}' holds"
        return "link-not-always", message
    if place and place not in _places(section):
        return "link-dead", f"'{address}': there is no step or check '{place}' in {section.file}"
    return None


def _places(section: Section) -> set[str]:
    """Every anchor of a section's page that content may link to."""
    front = section.front
    asked = {each.id.lower() for each in front.requirements}
    checked = {each.id.lower() for each in front.checks}
    return {*OWN_ANCHORS, *asked, *checked, *(step.id for step in section.steps)}
