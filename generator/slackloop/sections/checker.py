"""Holds content against its own rules: nothing asked without a step and a check, nothing named that is not there.

Every rule is a small function that gives its findings; ``check_content`` runs them all, so that a
writer sees every mistake at once. No job is needed.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Container, Iterator, Mapping
from dataclasses import dataclass

from slackloop.sections.catalogue import Words
from slackloop.sections.conditions import CONDITIONS
from slackloop.sections.content import Content
from slackloop.sections.fault_cover import unknown_faults
from slackloop.sections.hardcoded_numbers import figure_findings, needless_sources
from slackloop.sections.job_keys import is_job_key
from slackloop.sections.link_rules import link_findings
from slackloop.sections.page_source import named_clauses
from slackloop.sections.raw_html import html_findings, too_deep
from slackloop.sections.section import Prose, Section
from slackloop.sections.step_wording import word_texts, wording_findings, words_wording
from slackloop.sections.template import template_findings
from slackloop.source.finding import Placed, found_at
from slackloop.source.suggestions import listed

WHOLE_SETS = (
    frozenset({"jacketed-cable", "unjacketed-cable"}),
    frozenset({"shared-trench", "own-trench"}),
    frozenset({"us-code", "uk-code", "general-code"}),
    frozenset({"slack-per-tail", "slack-per-box"}),
    frozenset({"ac-supply", "dc-supply"}),
)
"""Conditions of which one holds on every job."""
NEEDS_CLAUSE = ("job", "code", "standard")


@dataclass(frozen=True, slots=True)
class Known:
    """What content may name besides its own words: tables, drawings and clauses of code bases."""

    tables: Collection[str]
    figures: Collection[str]
    clauses: Container[str] | None = None
    box_values: Collection[str] | None = None
    """Values of one box; nothing where any name passes."""


def content_errors(content: Content, known: Known) -> tuple[Placed, ...]:
    """The mistakes in the content that stop a build, sorted by file and line; how it is worded is not looked at."""
    found = content.told(_mistakes(content, known))
    return tuple(each for each in found if each.level == "error")


def check_content(content: Content, known: Known) -> tuple[Placed, ...]:
    """Every mistake in the content, sorted by file and line; those of level warning do not stop a build."""
    found = _mistakes(content, known)
    for section in content.sections:
        found += wording_findings(section)
    found += words_wording(content.words)
    return content.told(found)


def _mistakes(content: Content, known: Known) -> list[Placed]:
    """Every mistake but those of wording, which are warnings and take longest to find."""
    found: list[Placed] = list(content.findings)
    found += _repeated_ids(content)
    for section in content.sections:
        for rule in _RULES:
            found += rule(section)
        found += _named_words(section, content.words)
        found += unknown_faults(section, content.words)
        found += _inserts(section, known)
        found += _box_values(section, known)
        found += _clauses(section, known)
        found += figure_findings(section, content.words)
    found += needless_sources(content.sections, content.words)
    found += link_findings(content, frozenset(known.tables), frozenset(known.figures))
    found += _words_text(content.words)
    found += _unscored(content.words)
    return found


def _finding(section: Section, line: int, code: str, message: str) -> Placed:
    """An error in a section."""
    return found_at(section.file, line, code, message)


def _repeated_ids(content: Content) -> Iterator[Placed]:
    """Section, requirement and check ids stand once in all content; step ids once in a section."""
    seen: dict[str, str] = {}
    for section in content.sections:
        front = section.front
        named = [(front.id, section.line_of("id"))]
        named += [(each.id, section.line_of(each.id)) for each in front.requirements]
        named += [(each.id, section.line_of(each.id)) for each in front.checks]
        for name, line in named:
            if name in seen:
                yield _finding(section, line, "id-twice", f"'{name}' is already in {seen[name]}")
            seen[name] = section.file
        steps: set[str] = set()
        for step in section.steps:
            if step.id in steps:
                yield _finding(section, step.line, "id-twice", f"two steps are called '{step.id}'")
            steps.add(step.id)


def _requirements(section: Section) -> Iterator[Placed]:
    """Every requirement has a step that does it and a check that proves it."""
    carried = {name for step in section.steps for name in step.carries}
    proved = {name for check in section.front.checks for name in check.proves}
    for each in section.front.requirements:
        line = section.line_of(each.id)
        if each.id not in carried:
            yield _finding(section, line, "requirement-without-step", f"no step carries out {each.id}")
        if each.id not in proved:
            yield _finding(section, line, "requirement-without-check", f"no check proves {each.id}")
        if each.source in NEEDS_CLAUSE and not each.clause.strip():
            message = f"{each.id} is asked by the {each.source}, but no clause says where"
            yield _finding(section, line, "requirement-without-clause", message)


def _always_checked(section: Section) -> Iterator[Placed]:
    """Where a step carries out a requirement, a check proves it on the same jobs."""
    for each in section.front.requirements:
        proving = {check.applies for check in section.front.checks if each.id in check.proves}
        for step in section.steps:
            if each.id not in step.carries or not proving:
                continue
            enough = {"always", each.applies, step.applies, section.front.applies}
            if proving.isdisjoint(enough) and not any(whole <= proving for whole in WHOLE_SETS):
                message = f"step '{step.id}' carries {each.id}, which nothing checks unless {listed(sorted(proving))}"
                yield _finding(section, step.line, "requirement-not-always-checked", message)


def _checks(section: Section) -> Iterator[Placed]:
    """Every check proves requirements of its section, stands at a step, and measures what it says."""
    asked = {each.id for each in section.front.requirements}
    at_steps = {name for step in section.steps for name in step.check}
    for check in section.front.checks:
        line = section.line_of(check.id)
        for name in check.proves:
            if name not in asked:
                message = f"{check.id} proves {name}, which this section does not ask"
                yield _finding(section, line, "check-without-requirement", message)
        if check.id not in at_steps:
            yield _finding(section, line, "check-without-step", f"no step says when {check.id} is done")
        if (check.method == "measure") != bool(check.measures):
            message = f"{check.id}: method 'measure' and a measured quantity go together"
            yield _finding(section, line, "check-measures", message)


def _steps(section: Section) -> Iterator[Placed]:
    """Every step names requirements, checks and tools of its own section."""
    asked = {each.id for each in section.front.requirements}
    checks = {check.id for check in section.front.checks}
    for step in section.steps:
        for name in step.carries:
            if name not in asked:
                message = f"step '{step.id}' carries {name}, which this section does not ask"
                yield _finding(section, step.line, "step-carries-unknown", message)
        for name in step.check:
            if name not in checks:
                message = f"step '{step.id}' names check {name}, which this section does not have"
                yield _finding(section, step.line, "step-check-unknown", message)
        for name in step.tools:
            if name not in section.named("tools"):
                message = f"step '{step.id}' uses '{name}', which the section does not list under tools"
                yield _finding(section, step.line, "step-tool-unlisted", message)


def _conditions(section: Section) -> Iterator[Placed]:
    """Every condition is one that the program knows."""
    named = [(section.front.applies, section.line_of("applies"))]
    named += [(each.applies, section.line_of(each.id)) for each in section.front.requirements]
    named += [(each.applies, section.line_of(each.id)) for each in section.front.checks]
    named += [(step.applies, step.line) for step in section.steps]
    named += [(each.applies, section.line_of("also")) for each in section.front.also]
    for name, line in named:
        if name not in CONDITIONS:
            yield _finding(section, line, "condition-unknown", f"there is no condition '{name}'")


def _templates(section: Section) -> Iterator[Placed]:
    """Every template uses values and loops only, and every value exists."""
    front = section.front
    texts = [(front.title, section.line_of("title")), (front.summary, section.line_of("summary"))]
    for requirement in front.requirements:
        texts.append((requirement.text, section.line_of(requirement.id)))
    for check in front.checks:
        texts += [(check.title, section.line_of(check.id)), (check.limit, section.line_of(check.id))]
    for group in section.groups:
        texts.append((group.title, group.line))
        texts += [(block.text, block.line) for block in group.blocks if isinstance(block, Prose)]
    for step in section.steps:
        texts += [(p.text, p.line) for p in (step.action, step.why, step.reject, step.extra) if p is not None]
    for text, line in texts:
        yield from template_findings(text, section.file, line)


def _nesting(section: Section) -> Iterator[Placed]:
    """Lists and quotes are read as deep as they are written."""
    pieces = [block for group in section.groups for block in group.blocks if isinstance(block, Prose)]
    pieces += [p for step in section.steps for p in (step.action, step.why, step.reject, step.extra) if p is not None]
    for piece in pieces:
        line = too_deep(piece.text)
        if line is not None:
            message = "lists or quotes are nested deeper than can be read; what is deeper would be lost"
            yield _finding(section, piece.line + line, "content-too-deep", message)


def _named_words(section: Section, words: Words) -> Iterator[Placed]:
    """Every tool, piece of equipment, hazard, caution and deferral stands in its word file."""
    front = section.front
    lists: tuple[tuple[str, tuple[str, ...], Mapping[str, object]], ...] = (
        ("tools", section.named("tools"), words.tools),
        ("protective", section.named("protective"), words.protective),
        ("hazards", section.named("hazards"), words.hazards),
        ("deferrals", front.deferrals, words.deferrals),
    )
    for key, names, known in lists:
        for name in names:
            if name not in known:
                code = f"{key.removesuffix('s')}-unknown"
                yield _finding(section, section.line_of(key), code, f"'{name}' is not in words/{key}.yml")
    for step in section.steps:
        for name in step.caution:
            if name not in words.cautions:
                message = f"step '{step.id}': caution '{name}' is not in words/cautions.yml"
                yield _finding(section, step.line, "caution-unknown", message)
    for insert in section.inserts:
        if insert.kind == "caution" and insert.name not in words.cautions:
            yield _finding(section, insert.line, "caution-unknown", f"there is no caution '{insert.name}'")
        if insert.kind == "deferral" and insert.name not in words.deferrals:
            yield _finding(section, insert.line, "deferral-unknown", f"there is no deferral '{insert.name}'")


def _inserts(section: Section, known: Known) -> Iterator[Placed]:
    """Every table and drawing that the body asks for is one that the program makes."""
    for insert in section.inserts:
        if insert.kind == "table" and insert.name not in known.tables:
            yield _finding(section, insert.line, "table-unknown", f"there is no table '{insert.name}'")
        if insert.kind == "figure" and insert.name not in known.figures:
            yield _finding(section, insert.line, "figure-unknown", f"there is no drawing '{insert.name}'")


def _box_values(section: Section, known: Known) -> Iterator[Placed]:
    """Every value of a box that a section shows is one that the program knows."""
    for name in section.front.my_box:
        if known.box_values is not None and name not in known.box_values:
            line = section.line_of("my_box")
            message = f"there is no value of a box called '{name}'; there are {listed(known.box_values)}"
            yield _finding(section, line, "box-value-unknown", message)


def _clauses(section: Section, known: Known) -> Iterator[Placed]:
    """A clause of the job is a key of the job file; one of the code is a row of a code basis."""
    for each in section.front.requirements:
        line = section.line_of(each.id)
        if each.source == "job" and each.clause and not is_job_key(each.clause):
            yield _finding(section, line, "clause-unknown", f"{each.id}: '{each.clause}' is no key of the job file")
        for clause in named_clauses(each.clause) if each.source == "code" else ():
            if known.clauses is not None and clause not in known.clauses:
                yield _finding(section, line, "clause-unknown", f"{each.id}: '{clause}' is in no code basis")


def _words_text(words: Words) -> Iterator[Placed]:
    """Templates in the word files."""
    for file, name, parts in word_texts(words):
        for text in parts:
            yield from template_findings(text, f"words/{file}.yml", words.places.get(file, {}).get(name, 1))


def _unscored(words: Words) -> Iterator[Placed]:
    """Hazards whose risk nobody has scored."""
    for name, hazard in words.hazards.items():
        if not hazard.is_scored:
            line = words.places.get("hazards", {}).get(name, 1)
            message = f"the hazard '{name}' has no score: give severity, before and after"
            yield found_at("words/hazards.yml", line, "hazard-unscored", message, "warning")


_RULES: tuple[Callable[[Section], Iterator[Placed]], ...] = (
    _requirements,
    _always_checked,
    _checks,
    _steps,
    _conditions,
    _templates,
    _nesting,
    html_findings,
)
