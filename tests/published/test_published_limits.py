"""Insulation, volts, marks, signs and risk against their published tables."""

from __future__ import annotations

import pytest

from slackloop.compute.circuit.supply_class import above_extra_low
from slackloop.compute.risk import risk, risk_level
from slackloop.reference.tables import ReferenceTables, load_tables


@pytest.fixture(scope="module")
def tables() -> ReferenceTables:
    return load_tables()


def test_iec_60364_6_table_6_1(tables: ReferenceTables) -> None:
    """IEC 60364-6 Table 6.1 = BS 7671 Table 64: test volts dc and least megohm."""
    rows = {name: (row.test_volts_dc, row.least_mohm) for name, row in tables.insulation.items()}
    assert rows == {"selv-pelv": (250, 0.5), "up-to-500": (500, 1.0), "above-500": (1000, 1.0)}


@pytest.mark.parametrize(
    ("volts", "current", "above"), [(50.0, "ac", False), (50.1, "ac", True), (120.0, "dc", False), (121.0, "dc", True)]
)
def test_iec_61140_extra_low_voltage(tables: ReferenceTables, volts: float, current: str, above: bool) -> None:
    """IEC 61140, BS 7671 414: SELV and PELV stop at 50 V ac and 120 V ripple-free dc."""
    assert above_extra_low(volts, current, tables) is above  # type: ignore[arg-type]


def test_apwa_colours(tables: ReferenceTables) -> None:
    """APWA temporary marking colours."""
    marks = {row.colour: row.meaning.lower() for row in tables.marks}
    words = {"white": "excavation", "pink": "survey", "red": "electric", "yellow": "gas", "orange": "communication",
             "blue": "potable", "purple": "irrigation", "green": "sewer"}  # fmt: skip
    assert set(marks) == set(words)
    assert all(word in marks[colour] for colour, word in words.items())


def test_iso_7010_numbers(tables: ReferenceTables) -> None:
    """ISO 7010: the signs used, by number."""
    words = {"W001": "general", "W008": "drop", "W012": "electric", "W014": "vehicle", "W015": "overhead",
             "W022": "sharp", "W051": "edge", "M002": "instruction", "M003": "ear", "M004": "eye", "M008": "footwear",
             "M009": "glove", "M014": "head", "M015": "visib", "M016": "mask"}  # fmt: skip
    assert set(tables.signs) == set(words)
    assert all(word in tables.signs[number].meaning.lower() for number, word in words.items())


# MIL-STD-882E risk matrix: rows A to E, columns 1 catastrophic to 4 negligible.
MIL_STD_882E = {
    "A": ("High", "High", "Serious", "Medium"),
    "B": ("High", "High", "Serious", "Medium"),
    "C": ("High", "Serious", "Medium", "Low"),
    "D": ("Serious", "Medium", "Medium", "Low"),
    "E": ("Medium", "Medium", "Medium", "Low"),
}


def test_mil_std_882e_matrix(tables: ReferenceTables) -> None:
    for probability, levels in MIL_STD_882E.items():
        for severity, level in enumerate(levels, start=1):
            assert risk_level(probability, severity, tables.risk) == level  # type: ignore[arg-type]


def test_mil_std_882e_table_ii_names(tables: ReferenceTables) -> None:
    """MIL-STD-882E Table II."""
    names = {word.id: word.title for word in tables.risk.probabilities.values()}
    assert names == {"A": "Frequent", "B": "Probable", "C": "Occasional", "D": "Remote", "E": "Improbable",
                     "F": "Eliminated"}  # fmt: skip


def test_protective_equipment_alone_never_eliminates(tables: ReferenceTables) -> None:
    """MIL-STD-882E: equipment, training and warnings alone never reach F."""
    with pytest.raises(ValueError, match="takes the hazard away"):
        risk(("B", 2), ("F", 2), ("protect", "administer"), tables.risk)
    answer = risk(("B", 2), ("F", 2), ("eliminate",), tables.risk)
    assert (answer.before, answer.after) == ("High", "Eliminated")
