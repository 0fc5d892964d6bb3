"""The hazard and risk register, and the published matrix with where the hazards are on it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby, zip_longest

from slackloop.compute.risk import Probability, RiskAnswer, Severity, risk, risk_level
from slackloop.document.inline import Break, Line, PageTarget, joined, line, link, strong
from slackloop.document.page import PageSource
from slackloop.document.pages.section_page import section_id
from slackloop.document.table import Cell, Column, Table, cell, one_part
from slackloop.reference.rows import Row
from slackloop.sections import format as fmt
from slackloop.sections.catalogue import Hazard
from slackloop.sections.conditions import AppliedSection
from slackloop.sections.section import Taken

HAZARD_COLUMNS = (
    Column("hazard", "Hazard and injury", share=5), Column("controls", "Control measures, strongest first", share=11),
    Column("before", "Risk before", share=2), Column("after", "Risk after", share=2),
    Column("sections", "Sections", share=5),
)  # fmt: skip
VAN_COLUMNS = (Column("what", "What to take", share=2), Column("use", "What for, or when to wear it", share=3),
               Column("sections", "Sections", share=3))  # fmt: skip
PROBABILITIES: tuple[Probability, ...] = ("A", "B", "C", "D", "E")
SEVERITIES: tuple[Severity, ...] = (1, 2, 3, 4)
STEPS: dict[str, Severity] = {"1": 1, "2": 2, "3": 3, "4": 4}
KIND_WORDS = {
    "eliminate": "Take away", "substitute": "Replace", "engineer": "Keep apart", "administer": "Organise",
    "protect": "Wear",
}  # fmt: skip
Place = tuple[Probability, Severity]
NamedIn = dict[str, list[AppliedSection]]


@dataclass(frozen=True, slots=True)
class Score:
    """Where a hazard is on the matrix before and after its controls, and the levels there."""

    before: Place
    after: Place
    answer: RiskAnswer


def named_in(context: PageSource, key: Taken) -> NamedIn:
    """For each id under a front matter key, the sections that name it, in the order of first use."""
    found: NamedIn = {}
    for each in context.sections:
        for name in each.named(key):
            found.setdefault(name, []).append(each)
    return found


def hazards_table(context: PageSource) -> Table:
    """The hazard register, the site's own hazards last."""
    known, rows, anchors = context.content.words.hazards, [], []
    named = {name: sections for name, sections in named_in(context, "hazards").items() if name in known}
    for name, sections in named.items():
        hazard = known[name]
        anchors.append(name)
        rows.append((
            cell(strong(hazard.title), ". ", context.prose.line(hazard.harm, "words/hazards.yml"),
                 _site_words(context, hazard)),
            cell(_controls(context, hazard)), *(cell(level) for level in _levels(context, hazard)),
            cell(_sections(context, sections)),
        ))  # fmt: skip
    for number, text in enumerate(context.site_hazards, start=1):
        if not any(known[name].scores(text) for name in named):
            score = context.site_score(text)
            anchors.append(f"site-hazard-{number}")
            rows.append((
                cell(strong(f"Site hazard: {text}"), ". As agreed with the site."),
                cell("As the site's own plan says."),
                cell(score), cell(score), cell(""),
            ))  # fmt: skip
    intro = (
        "What can injure a person or do damage on this job, and what keeps it away. In brackets: how likely, A to E, "
        "and how bad, 1 to 4, from the risk matrix. The scores are the judgement of those who wrote the sections: "
        "score them again for each site."
    )
    return Table(
        "hazards", "Hazard and risk register", HAZARD_COLUMNS, one_part(rows), ("job", "practice"),
        (context.tables.formulas["control-order"], *_matrix_rows(context)), line(intro), landscape=True,
        row_anchors=tuple(anchors),
    )  # fmt: skip


def _site_words(context: PageSource, hazard: Hazard) -> Line:
    """The site's own words for this hazard."""
    return line(*(part for text in context.site_hazards if hazard.scores(text) for part in (Break(), f"Here: {text}.")))


def _controls(context: PageSource, hazard: Hazard) -> Line:
    """Controls by kind, strongest first; as they come where they are not sorted."""
    pairs = zip_longest(hazard.controls, hazard.kinds, fillvalue="")
    lines: list[Line] = []
    for kind, group in groupby(pairs, key=lambda pair: pair[1]):
        told = joined((context.prose.line(control.rstrip("."), "words/hazards.yml") for control, _ in group), "; ")
        head = (strong(KIND_WORDS[kind]), ": ") if kind else ()
        lines.append(line(*head, told, "."))
    return joined(lines, " ")


def _sections(context: PageSource, sections: list[AppliedSection]) -> Line:
    """Links to several sections."""
    return joined(
        line(link(context.prose.plain(each.section.front.title), PageTarget(section_id(each)))) for each in sections
    )


def scored(context: PageSource, hazard: Hazard) -> Score | None:
    """Where a hazard is on the matrix; nothing where the word file gives no score."""
    if not hazard.is_scored or not hazard.before or not hazard.after:
        return None
    severity = STEPS[hazard.severity]
    before, after = (hazard.before, severity), (hazard.after, severity)
    return Score(before, after, risk(before, after, hazard.kinds, context.tables.risk))


def _levels(context: PageSource, hazard: Hazard) -> tuple[str, str]:
    """The risk before and after controls, from the matrix."""
    score = scored(context, hazard)
    if score is None:
        return "not scored", "not scored"
    (first, severity), (then, _) = score.before, score.after
    return f"{score.answer.before} ({first}{severity})", f"{score.answer.after} ({then}{severity})"


def risk_matrix_table(context: PageSource) -> Table:
    """The level at each probability and severity, and how many hazards are there before and after controls."""
    table, known = context.tables.risk, context.content.words.hazards
    scores = [
        score for name in named_in(context, "hazards") if name in known and (score := scored(context, known[name]))
    ]
    before, after = Counter(score.before for score in scores), Counter(score.after for score in scores)
    columns = (
        Column("probability", "How likely"),
        *(Column(f"severity-{step}", f"{step} {table.severities[str(step)].title}") for step in SEVERITIES),
    )
    rows = [
        (
            cell(f"{step} {table.probabilities[step].title}"),
            *(_place(context, before, after, (step, severity)) for severity in SEVERITIES),
        )
        for step in PROBABILITIES
    ]
    intro = (
        f"How likely, downward; how bad, across. {fmt.count(len(scores), 'hazard is', 'hazards are')} scored. In "
        "brackets: how many are at a place before their control measures → with all of them."
    )
    gone = sum(score.after[0] == "F" for score in scores)
    rule = (
        "F (eliminated) is reached only where the hazard itself is taken away. Protective equipment, training and "
        "warnings alone never reach it."
    )
    return Table(
        "risk-matrix", "Risk matrix", columns, one_part(rows), (), _matrix_rows(context), line(intro),
        (line(rule), *((line(f"Eliminated (F): {gone}."),) if gone else ())),
    )  # fmt: skip


def _place(context: PageSource, before: Mapping[Place, int], after: Mapping[Place, int], place: Place) -> Cell:
    """The level at a place, and how many hazards are there, where any are."""
    first, then = before.get(place, 0), after.get(place, 0)
    return cell(risk_level(*place, context.tables.risk) + (f" ({first} → {then})" if first or then else ""))


def _matrix_rows(context: PageSource) -> tuple[Row, ...]:
    """Every cell and every name of the published matrix."""
    table = context.tables.risk
    return (*table.cells.values(), *table.severities.values(), *table.probabilities.values())


def van_table(context: PageSource) -> Table:
    """Everything that the sections name to bring or to wear: one list to load the van from."""
    rows = [*_tools(context), *_protective(context)]
    signs = _signs_used(context)
    intro = "Load the van from this list. Each section says what it takes."
    return Table(
        "van", "Tools and protective equipment", VAN_COLUMNS, one_part(rows), ("practice",), signs, line(intro)
    )


def _tools(context: PageSource) -> Iterator[tuple[Cell, ...]]:
    known = context.content.words.tools
    for name, sections in named_in(context, "tools").items():
        if name in known:
            use = context.prose.line(known[name].use, "words/tools.yml")
            yield cell(known[name].name), cell(use), cell(_sections(context, sections))


def _protective(context: PageSource) -> Iterator[tuple[Cell, ...]]:
    known = context.content.words.protective
    for name, sections in named_in(context, "protective").items():
        if name in known:
            sign = f" (sign {known[name].sign})" if known[name].sign else ""
            when = context.prose.line(known[name].when, "words/protective.yml")
            yield cell(f"{known[name].name}{sign}"), cell(when), cell(_sections(context, sections))


def _signs_used(context: PageSource) -> tuple[Row, ...]:
    """The rows of the signs of protective equipment."""
    known, signs = context.content.words.protective, context.tables.signs
    numbers = {known[name].sign for name in named_in(context, "protective") if name in known}
    return tuple(signs[number] for number in sorted(numbers) if number in signs)
