"""The published risk matrix, with where this job's hazards stand on it before and after their controls."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from slackloop.compute.risk import Probability, Severity, risk_level
from slackloop.handbook import format as fmt
from slackloop.handbook.material import Material
from slackloop.handbook.tables.safety_tables import RISK_SOURCE, Place, named_in, scored
from slackloop.handbook.tables.table import Column, Table, one_part

PROBABILITIES: tuple[Probability, ...] = ("A", "B", "C", "D", "E")
SEVERITIES: tuple[Severity, ...] = (1, 2, 3, 4)
MATRIX_SOURCE = "Levels and the names of steps 1 to 4, A, E and F: read in a copy. Names of B, C and D: from memory."
RULE = (
    "F (eliminated) is reached only where the hazard itself is taken away. Protective equipment, training and "
    "warnings alone never reach it."
)


def risk_matrix_table(context: Material) -> Table:
    """Levels of MIL-STD-882E by probability and severity, and how many hazards stand at each place."""
    table, known = context.tables.risk, context.content.words.hazards
    scores = [
        score for name in named_in(context, "hazards") if name in known and (score := scored(known[name], context))
    ]
    before, after = Counter(score.before for score in scores), Counter(score.after for score in scores)
    rows = [
        (
            f"{probability} {table.probabilities[probability].title}",
            *(
                risk_level(probability, severity, table) + _standing(before, after, (probability, severity))
                for severity in SEVERITIES
            ),
        )
        for probability in PROBABILITIES
    ]
    severities = (f"{severity} {table.severities[str(severity)].title}" for severity in SEVERITIES)
    gone = sum(score.after[0] == "F" for score in scores)
    return Table(
        "risk-matrix",
        "Risk matrix",
        f"How likely, downward; how bad, across. {fmt.count(len(scores), 'hazard', 'hazards')} of this handbook are "
        "scored. In brackets: how many stand at a place before their controls → with all controls in place.",
        (Column("How likely"), *(Column(title) for title in severities)),
        one_part(rows),
        (RISK_SOURCE, MATRIX_SOURCE),
        notes=(RULE, *((f"Eliminated (F): {gone}.",) if gone else ())),
    )


def _standing(before: Mapping[Place, int], after: Mapping[Place, int], place: Place) -> str:
    """How many hazards stand at a place, where any do."""
    first, then = before.get(place, 0), after.get(place, 0)
    return f" ({first} → {then})" if first or then else ""
