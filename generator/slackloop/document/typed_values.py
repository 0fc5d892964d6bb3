"""Values typed in prose that the job holds too: right for one job, and wrong for the next one."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields

from slackloop.document.context import Context
from slackloop.sections.hardcoded_numbers import figures_in, section_texts
from slackloop.sections.section import Section
from slackloop.sections.values import Values
from slackloop.source.finding import Placed, found_at

NAMED = ("number", "site", "client", "contractor")
"""Facts of the job that no text should spell out."""
SHORTEST = 4
"""A fact of fewer letters than this is not looked for: it would be found inside other words."""
_TEMPLATE = re.compile(r"{{.*?}}|{%.*?%}", re.DOTALL)


def typed_values(context: Context, sections: tuple[Section, ...]) -> Iterator[Placed]:
    """A warning for each figure, core colour or name typed in these sections that the job states as a value."""
    figures = _figures(context.values)
    names = _names(context)
    sourced = {figure for each in context.content.words.figures.values() for figure in each.figures}
    for section in sections:
        for text, line in section_texts(section):
            for figure in figures_in(text):
                if figure in figures and figure not in sourced:
                    yield _finding(section, line, figure, figures[figure])
            bare = _TEMPLATE.sub(" … ", text)
            for pattern, (typed, value) in names.items():
                if re.search(pattern, bare, re.IGNORECASE):
                    yield _finding(section, line, typed, value)


def _finding(section: Section, line: int, typed: str, value: str) -> Placed:
    """What is typed, and the value that says it on every job."""
    message = f"'{typed}' is what this job states: write {{{{ v.{value} }}}}, so that the next job gets its own"
    return found_at(section.file, line, "value-typed", message, "warning")


def _figures(values: Values) -> dict[str, str]:
    """Every figure in the job's values, by how it is typed, with the name of its value."""
    found: dict[str, str] = {}
    for each in fields(Values):
        text = getattr(values, each.name)
        if isinstance(text, str):
            for figure in figures_in(text):
                found.setdefault(figure, each.name)
    return found


def _names(context: Context) -> dict[str, tuple[str, str]]:
    """Patterns of what the job names: its core colours before the word core or the like, and its own names."""
    found: dict[str, tuple[str, str]] = {}
    for cable in context.job.cables.values():
        for value, colour in (("core_a", cable.cores.a), ("core_b", cable.cores.b)):
            pattern = rf"\b{re.escape(colour)}\s+(?:core|wire|conductor|lead)s?\b"
            found.setdefault(pattern, (f"{colour} core", value))
    for name in NAMED:
        text = getattr(context.job.job, name)
        if len(text) >= SHORTEST:
            found[rf"(?<!\w){re.escape(text)}(?!\w)"] = (text, name)
    return found
