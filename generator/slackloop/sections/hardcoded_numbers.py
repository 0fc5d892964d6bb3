"""Figures typed in prose: each needs a source, or stands in the job and is better named by its value.

A value that the job holds too is right for one job, and wrong for the next one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields

from slackloop.sections.catalogue import Words
from slackloop.sections.section import Prose, Section
from slackloop.sections.values import Values
from slackloop.site.models import Job
from slackloop.source.finding import Placed, found_at

_INCH = r"in(?!\s(?!(?:of|long|wide|deep|high|thick|above|below|back|from|apart)\b)[a-z])"
"""The unit, and not the word that leads on to a place."""
_UNITS = (
    rf"mm2?|mm²|cm|km|m|ft|feet|{_INCH}|inch(?:es)?|yd|kV|mV|V|volts?|mA|A|amps?|kohms?|Mohms?|ohms?|kΩ|MΩ|Ω|Hz|AWG|"
    r"°C|°F|degC|degF|%|per cent|kg|lb|kN|N|kPa|bar|psi|seconds?|minutes?|hours?|days|weeks|months|years"
)
_NUMBER = r"\d+(?:[.,]\d+)*(?:\s\d+/\d+|/\d+)?"
_WORD_NUMBER = (
    r"(?:two|three|four|five|six|seven|eight|nine|ten|twelve|fifteen|twenty|thirty|forty|fifty|sixty|ninety|hundred)"
)
_FIGURE = re.compile(
    rf"(?<![\w.-])(?:{_NUMBER}\s?(?:{_UNITS})|{_WORD_NUMBER}\s"
    rf"(?:feet|inches|metres|volts|amps|ohms|seconds|minutes|hours|days|weeks|months|years|per cent))(?![\w²])",
    re.IGNORECASE,
)
_TEMPLATE = re.compile(r"{{.*?}}|{%.*?%}", re.DOTALL)


def figures_in(text: str) -> tuple[str, ...]:
    """Every number with a unit that is typed in a text, with one space before the unit; values are not looked into."""
    bare = _TEMPLATE.sub(" … ", text)
    return tuple(_spaced(match[0]) for match in _FIGURE.finditer(bare))


def _spaced(figure: str) -> str:
    """``0.5m`` as ``0.5 m``."""
    return " ".join(re.sub(r"(?<=\d)(?=[^\d\s./,])", " ", figure, count=1).split())


def section_texts(section: Section) -> Iterator[tuple[str, int]]:
    """Every text of a section that a reader sees, with its line; where a clause stands is no text."""
    front = section.front
    yield front.summary, section.line_of("summary")
    yield from ((each.text, section.line_of(each.id)) for each in front.requirements)
    for check in front.checks:
        yield check.title, section.line_of(check.id)
        yield check.limit, section.line_of(check.id)
    for group in section.groups:
        yield group.title, group.line
        for block in group.blocks:
            if isinstance(block, Prose):
                yield block.text, block.line
    for step in section.steps:
        for prose in (step.action, step.why, step.reject, step.extra):
            if prose is not None:
                yield prose.text, prose.line


def figure_findings(section: Section, words: Words) -> Iterator[Placed]:
    """An error for each figure typed in a section that words/figures.yml does not give a source for there."""
    here = [each for each in words.figures.values() if section.front.id in each.sections]
    sourced = {figure for each in here for figure in each.figures}
    for text, line in section_texts(section):
        for figure in figures_in(text):
            if figure not in sourced:
                message = f"'{figure}' has no source: name it in words/figures.yml, or write the job's value as v.…"
                yield found_at(section.file, line, "figure-without-source", message)


def needless_sources(sections: tuple[Section, ...], words: Words) -> Iterator[Placed]:
    """A warning for each source that is given for a figure which no longer stands where it says."""
    typed = {each.front.id: {f for text, _ in section_texts(each) for f in figures_in(text)} for each in sections}
    for name, each in words.figures.items():
        for section in each.sections:
            for figure in each.figures:
                if figure not in typed.get(section, set()):
                    line = words.places.get("figures", {}).get(name, 1)
                    message = f"'{figure}' does not stand in {section}"
                    yield found_at("words/figures.yml", line, "figure-not-there", message, "warning")


NAMED = ("number", "site", "client", "contractor")
"""Facts of the job that no text should spell out."""
SHORTEST = 4
"""A fact of fewer letters than this is not looked for: it would be found inside other words."""


def typed_values(job: Job, values: Values, words: Words, sections: tuple[Section, ...]) -> Iterator[Placed]:
    """A warning for each figure, core colour or name typed in these sections that the job states as a value."""
    figures = _figures(values)
    names = _names(job)
    sourced = {figure for each in words.figures.values() for figure in each.figures}
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


def _names(job: Job) -> dict[str, tuple[str, str]]:
    """Patterns of what the job names: its core colours before the word core or the like, and its own names."""
    found: dict[str, tuple[str, str]] = {}
    for cable in job.cables.values():
        for value, colour in (("core_a", cable.cores.a), ("core_b", cable.cores.b)):
            pattern = rf"\b{re.escape(colour)}\s+(?:core|wire|conductor|lead)s?\b"
            found.setdefault(pattern, (f"{colour} core", value))
    for name in NAMED:
        text = getattr(job.job, name)
        if len(text) >= SHORTEST:
            found[rf"(?<!\w){re.escape(text)}(?!\w)"] = (text, name)
    return found
