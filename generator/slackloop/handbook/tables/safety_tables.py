"""Tables from the words: hazards, tools, protective equipment; only what the job's sections name."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import zip_longest

from slackloop.compute.risk import Probability, RiskAnswer, Severity, risk
from slackloop.handbook.addresses import section_uri
from slackloop.handbook.applied import AppliedSection
from slackloop.handbook.material import Material
from slackloop.handbook.material import rendered_word as _word
from slackloop.handbook.section import Taken
from slackloop.handbook.sign_mark import sign_mark
from slackloop.handbook.tables.table import PRACTICE, Column, Table, one_part
from slackloop.handbook.text import Trusted, escape, join, link, trusted
from slackloop.handbook.words import Hazard

SITE_HAZARD = ("As agreed with the site", "As the site's own plan says")
RISK_SOURCE = "Risk: matrix of MIL-STD-882E; the scores are the editors' judgement, to be scored again for each site."
SEVERITIES: dict[str, Severity] = {"1": 1, "2": 2, "3": 3, "4": 4}
Place = tuple[Probability, Severity]
NamedIn = dict[str, list[AppliedSection]]


@dataclass(frozen=True, slots=True)
class Score:
    """Where a hazard stands on the matrix before and after its controls, and the levels there."""

    before: Place
    after: Place
    answer: RiskAnswer


def named_in(context: Material, key: Taken) -> NamedIn:
    """For each id under a front matter key, the sections that name it, in the order of first use."""
    found: NamedIn = {}
    for each in context.sections:
        for name in each.named(key):
            found.setdefault(name, []).append(each)
    return found


def section_link(context: Material, applied: AppliedSection) -> Trusted:
    """A link from a table's page to a section."""
    front = applied.section.front
    return link(context.renderer.plain(front.title), f"../{section_uri(front.part, front.id)}")


def _sections(context: Material, sections: list[AppliedSection]) -> Trusted:
    """Links to several sections."""
    return join([section_link(context, each) for each in sections])


def hazards_table(context: Material) -> Table:
    """The hazard register, the site's own hazards last."""
    known, named = context.content.words.hazards, named_in(context, "hazards")
    rows: list[tuple[str, ...]] = []
    for name, sections in named.items():
        if hazard := known.get(name):
            said = "".join(f"<br>Site hazard: {escape(text)}" for text in context.site_hazards if hazard.scores(text))
            title = trusted(f'<span id="{name}">{escape(hazard.title)}</span>{said}')
            controls = trusted("<br>".join(_controls(context, hazard)))
            levels = risk_levels(hazard, context)
            rows.append((title, _word(context, hazard.harm), controls, *levels, _sections(context, sections)))
    scoring = [known[name] for name in named if name in known]
    for text in context.site_hazards:
        if not any(hazard.scores(text) for hazard in scoring):
            score = context.site_score(text)
            rows.append((f"Site hazard: {text}", *SITE_HAZARD, score, score, ""))
    headings = ("Hazard", "Harm", "What holds it off, strongest first", "Risk before", "Risk after", "Where")
    columns = tuple(Column(heading) for heading in headings)
    intro = (
        "What can hurt somebody on this job, and what holds it off, from the sections that name it. Risk in brackets: "
        "how likely, A to E, and how bad, 1 to 4."
    )
    return Table(
        "hazards",
        "Hazard and risk register",
        intro,
        columns,
        one_part(rows),
        (PRACTICE, "Site hazards: the job file.", "Order of controls: NIOSH (read in a copy).", RISK_SOURCE),
        notes=(link("The matrix, with the place of these hazards on it", "risk-matrix.md"),),
    )


def _controls(context: Material, hazard: Hazard) -> Iterator[str]:
    """Each control with its kind."""
    for control, kind in zip_longest(hazard.controls, hazard.kinds):
        yield f"{_word(context, control)}{f' ({kind})' if kind else ''}"


def scored(hazard: Hazard, context: Material) -> Score | None:
    """Where a hazard stands on the matrix; nothing where the word file gives no score."""
    if not hazard.is_scored or not hazard.before or not hazard.after:
        return None
    severity = SEVERITIES[hazard.severity]
    before, after = (hazard.before, severity), (hazard.after, severity)
    return Score(before, after, risk(before, after, hazard.kinds, context.tables.risk))


def risk_levels(hazard: Hazard, context: Material) -> tuple[str, str]:
    """The risk before and after controls, from the matrix."""
    score = scored(hazard, context)
    if score is None:
        return "Not scored", "Not scored"
    (first, severity), (then, _) = score.before, score.after
    return f"{score.answer.before} ({first}{severity})", f"{score.answer.after} ({then}{severity})"


def tools_table(context: Material) -> Table:
    """Every tool that a section names."""
    known, named = context.content.words.tools, named_in(context, "tools")
    rows = [
        (known[name].name, _word(context, known[name].use), _sections(context, sections))
        for name, sections in named.items()
        if name in known
    ]
    columns = (Column("Tool"), Column("For what"), Column("Where"))
    intro = "Every tool that the method names. Load the van from this list."
    return Table("tools", "Tools", intro, columns, one_part(rows), (PRACTICE,), door="Install")


def _sign(number: str) -> Trusted:
    """A sign with its number, or a dash."""
    return trusted(f"{sign_mark(number)} {escape(number)}") if number else trusted("–")


def protective_table(context: Material) -> Table:
    """Protective equipment with its sign and when it is worn."""
    known, named = context.content.words.protective, named_in(context, "protective")
    rows = [
        (known[name].name, _sign(known[name].sign), _word(context, known[name].when), _sections(context, sections))
        for name, sections in named.items()
        if name in known
    ]
    columns = (Column("Wear"), Column("Sign"), Column("When"), Column("Where"))
    sources = (PRACTICE, "Signs: ISO 7010 (read in a copy).")
    return Table(
        "protective",
        "Protective equipment",
        "What is worn, and when.",
        columns,
        one_part(rows),
        sources,
        door="Install",
    )
