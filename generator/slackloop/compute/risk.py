"""Risk level of a hazard before and after its controls.

Hazards that a job lists for its site: each should bring a safety sheet of its own, which scores its risk.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Literal

from slackloop.reference.tables import RiskTable
from slackloop.site.models import Job
from slackloop.source.finding import Finding
from slackloop.source.suggestions import listed

Probability = Literal["A", "B", "C", "D", "E", "F"]
Severity = Literal[1, 2, 3, 4]
Level = Literal["High", "Serious", "Medium", "Low", "Eliminated"]
Control = Literal["eliminate", "substitute", "engineer", "administer", "protect"]

CONTROL_ORDER: tuple[Control, ...] = ("eliminate", "substitute", "engineer", "administer", "protect")
"""Order of controls, strongest first (NIOSH): ``protect`` is personal protective equipment."""


@dataclass(frozen=True)
class RiskAnswer:
    """Level before and after controls."""

    before: Level
    after: Level


def in_order(controls: Sequence[Control]) -> bool:
    """Whether controls stand strongest first."""
    ranks = [CONTROL_ORDER.index(control) for control in controls]
    return ranks == sorted(ranks)


def may_reach_f(controls: Sequence[Control]) -> bool:
    """Whether controls may take a hazard away: one of them must eliminate it (MIL-STD-882E)."""
    return "eliminate" in controls


def risk_level(probability: Probability, severity: Severity, table: RiskTable) -> Level:
    """Level for a probability (A frequent to E improbable, F eliminated) and a severity (1 catastrophic to 4).

    The matrix of MIL-STD-882E; F has no severity and is "Eliminated".
    """
    if probability == "F":
        return "Eliminated"
    return table.cells[probability, severity].level


def risk(
    before: tuple[Probability, Severity],
    after: tuple[Probability, Severity],
    controls: tuple[Control, ...],
    table: RiskTable,
) -> RiskAnswer:
    """Level before and after.

    Raises ValueError where F is claimed without a control that eliminates: personal protective equipment, training
    and warnings alone never reach F (MIL-STD-882E).
    """
    if after[0] == "F" and not may_reach_f(controls):
        raise ValueError("a risk is eliminated only by a control that takes the hazard away")
    return RiskAnswer(risk_level(*before, table), risk_level(*after, table))


HAZARD_WORDS: tuple[str, ...] = (
    "public",
    "overhead",
    "traffic",
    "vehicle",
    "groundwater",
    "water",
    "lake",
    "river",
    "pond",
    "flood",
)
"""Words in a site hazard that bring a sheet; each is asked for by a condition of ``sections.conditions``."""
LIKE = 0.75
"""How like a known word, from 0 to 1, a word must be to be taken for a slip of it."""


def site_hazard_findings(job: Job) -> Iterator[Finding]:
    """A warning for a hazard that looks mistyped, and one for a hazard whose risk nobody has scored."""
    for index, hazard in enumerate(job.conditions.hazards):
        text = hazard.lower()
        if any(word in text for word in HAZARD_WORDS):
            continue
        close = next((near[0] for word in text.split() if (near := get_close_matches(word, HAZARD_WORDS, 1, LIKE))), "")
        at = ("conditions", "hazards", index)
        expected = f"for a sheet, a hazard with one of these words: {listed(HAZARD_WORDS, 20)}"
        if close:
            message = f"the site hazard {hazard} brings no safety sheet of its own"
            hint = f"did you mean {close}?"
            yield Finding("warning", "hazard-without-sheet", message, at, expected=expected, hint=hint)
            continue
        yield Finding("warning", "risk-unscored",
                      f"the site hazard {hazard} is in the risk register without a score, and brings no safety sheet",
                      at, expected=expected, hint=f"score it, and write the score as an answer: risk-unscored {hazard}",
                      asks="the person who plans the work", of=(hazard,))  # fmt: skip
