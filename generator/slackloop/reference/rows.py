"""Rows of the tables in ``site_data``: each says where it comes from and how that was checked.

Every row keeps the units of its own source; code converts. The three words for
``checked`` are the only ones allowed, so that a printed table can show them.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

Checked = Literal["read in a copy", "from memory, to be checked", "recomputed from its formula"]


class Row(BaseModel):
    """A row with its source: without ``source`` or ``checked`` it is refused."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    source: str = Field(min_length=3)
    checked: Checked


class AwgSize(Row):
    """One AWG size; its diameter and resistance follow from formulas."""

    awg: int


class IecOhms(Row):
    """Greatest resistance of one nominal area, ohm per km at 20 °C, plain copper."""

    mm2: float = Field(gt=0)
    ohms_per_km: float = Field(gt=0)


class Constant(Row):
    """One named constant with its unit."""

    id: str
    title: str
    value: float
    unit: str


class FormulaRow(Row):
    """One formula or order that figures rest on."""

    id: str
    title: str


class SoilRow(Row):
    """How one soil swells and shrinks: loose or compacted volume over volume in the ground."""

    name: str
    aliases: tuple[str, ...] = ()
    bank_to_loose: float = Field(gt=0)
    bank_to_compacted: float = Field(gt=0)


class RodGroupRow(Row):
    """Factor F for ``rods`` rods one rod length apart: R of the group = F × R of one ÷ rods."""

    rods: int = Field(ge=1)
    factor: float = Field(ge=1)


class ResistivityRow(Row):
    """Resistivity of one group of soils in ohm centimetre, as its source prints it."""

    soil: str
    mean_ohm_cm: float = Field(gt=0)
    least_ohm_cm: float = Field(gt=0)
    most_ohm_cm: float = Field(gt=0)


class InsulationRow(Row):
    """Test volts (dc) and least insulation resistance (megohm) for one kind of circuit."""

    id: str
    circuit: str
    test_volts_dc: float = Field(gt=0)
    least_mohm: float = Field(gt=0)


class MarkRow(Row):
    """Meaning of one colour of temporary marking on the ground."""

    colour: str
    meaning: str


class SignRow(Row):
    """One safety sign by its ISO 7010 number."""

    number: str = Field(pattern=r"^[WMPFE]\d{3}$")
    meaning: str


class VoltageLimitRow(Row):
    """One published limit on volts, for alternating and for ripple-free direct current."""

    id: str
    title: str
    ac_volts: float | None = None
    dc_volts: float | None = None


class RiskCell(Row):
    """Risk level for one probability (A to E) and one severity (1 to 4)."""

    probability: Literal["A", "B", "C", "D", "E"]
    severity: Literal[1, 2, 3, 4]
    level: Literal["High", "Serious", "Medium", "Low"]


class RiskWord(Row):
    """Name of one severity or probability step."""

    id: str
    title: str
