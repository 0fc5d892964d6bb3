"""Risk level of a hazard before and after its controls."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from slackloop.reference.tables import RiskTable

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
