"""A code basis: what one country's rules say, as typed rows.

A basis may give no cover figures at all; then the handbook says who decides.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from slackloop.reference.rows import Row
from slackloop.site.models import SURFACES
from slackloop.units.unit_table import METRES_PER_FOOT

Binding = Literal["binds", "open", "no figure"]
Laying = Literal["cable", "duct", "armour"]
"""How a run lies in the ground: the bare cable, a duct for its whole length, or a cable with armour."""


class Fixed(BaseModel):
    """A part of a code basis: unknown keys are refused, values never change."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


class CoverCell(Fixed):
    """One printed cell: inches and mm as the source prints them, for direct burial where it prints two figures."""

    inches: float = Field(ge=0)
    mm: float = Field(ge=0)


class CoverRow(Row):
    """Least cover at one location, by the table's own column numbers."""

    id: str
    location: str
    cells: dict[str, CoverCell]


class VoltageColumn(Fixed):
    """Which column is read up to ``up_to_volts`` (None: no upper end), and whether it binds.

    ``laid`` says for which ways of laying it is read; a way that no column names is read as the bare cable.
    ``otherwise`` is the column that is read where the cable or its duct is not of the kind that ``cable_question``
    asks about.
    """

    laid: tuple[Laying, ...] = Field(default=("cable",), min_length=1)

    up_to_volts: float | None = None
    column: str
    binding: Literal["binds", "open"]
    question: str = ""
    otherwise: str = ""
    cable_question: str = ""


class CoverTable(Fixed):
    """Minimum cover: rows, column titles, and the way from surface and volts to one cell."""

    clause: str
    columns: dict[str, str]
    rows: tuple[CoverRow, ...]
    surfaces: dict[str, str]
    voltages: tuple[VoltageColumn, ...] = Field(min_length=1)
    raceway_surfaces: tuple[str, ...] = ()

    @model_validator(mode="after")
    def every_way_leads_to_a_cell(self) -> CoverTable:
        """Refuse a table in which some surface and voltage would find no cell."""
        rows = {row.id: row for row in self.rows}
        missing = [surface for surface in SURFACES if self.surfaces.get(surface) not in rows]
        if missing:
            raise ValueError(f"no cover row for the surface {', '.join(missing)}")
        for voltage in self.voltages:
            for column in filter(None, (voltage.column, voltage.otherwise)):
                if column not in self.columns:
                    raise ValueError(f"column {column} has no title")
                for row in self.rows:
                    if column not in row.cells:
                        raise ValueError(f"row {row.id} has no cell in column {column}")
        if not any(each.up_to_volts is None for each in self._read_for("cable")):
            raise ValueError("the last column for the cable needs no up_to_volts, so that every voltage finds one")
        read = {column for each in self.voltages for column in (each.column, each.otherwise) if column}
        if unread := sorted(set(self.columns) - read):
            raise ValueError(f"nothing reads column {', '.join(unread)}")
        if unread := sorted(set(rows) - set(self.surfaces.values())):
            raise ValueError(f"nothing reads the row {', '.join(unread)}")
        return self

    def row(self, surface: str) -> CoverRow:
        """Return the row that a surface of the job falls in."""
        wanted = self.surfaces[surface]
        return next(row for row in self.rows if row.id == wanted)

    def column(self, volts: float, laying: Laying = "cable") -> VoltageColumn:
        """Return the column read for a path of this many volts: that for the laying, or that for the bare cable."""
        columns = [*self._read_for(laying), *self._read_for("cable")]
        return next(v for v in columns if v.up_to_volts is None or volts <= v.up_to_volts)

    def _read_for(self, laying: Laying) -> list[VoltageColumn]:
        return [column for column in self.voltages if laying in column.laid]


class Words(Fixed):
    """The words that this country uses for what every country has: looked up, never typed into a page."""

    authority: str = Field(min_length=3)
    """Who decides where the rules leave a question open, without an article."""
    electrician: str = Field(min_length=3)
    """Who may work on the supply of the controller, without an article."""
    raceway: str = Field(min_length=3)
    """A pipe that a cable is pulled through."""
    drive: str = Field(min_length=3)
    """What cars come to a house on."""
    mains: str = Field(min_length=3)
    """The supply that feeds the controller, as a word before side, wiring or parts."""
    leakage_switch: str = Field(min_length=3)
    """The device that cuts the power when current leaks, as it is marked."""
    locate: str = Field(min_length=3)
    """How buried services are asked for, as a whole sentence."""
    surfaces: dict[str, str]
    """Each surface of the job format as it is written on a page."""

    @model_validator(mode="after")
    def every_surface_has_a_word(self) -> Words:
        """Refuse words that leave a surface of the job format out."""
        missing = [surface for surface in SURFACES if not self.surfaces.get(surface)]
        if missing:
            raise ValueError(f"no word for the surface {', '.join(missing)}")
        return self


class BurialRule(Fixed):
    """A rule that a buried cable has armour or lies in a duct: the clause that asks for it."""

    clause: str


class ClassLimit(Row):
    """How many volts a power-limited source may have, and the current above that; ``peak`` figures are volts peak."""

    id: str
    title: str
    current: Literal["ac", "dc"]
    volts: float = Field(gt=0)
    up_to_volts: float = Field(gt=0)
    above_amps: float = Field(gt=0)
    wet_volts: float = Field(gt=0)
    odd_source: str
    """What the source is called whose volts do not follow the plain rule."""
    odd_peak_volts: float = Field(gt=0)
    odd_wet_peak_volts: float = Field(gt=0)


class PowerLimit(Fixed):
    """The limits of power-limited circuits under one clause, one row for ac and one for dc."""

    clause: str
    rows: tuple[ClassLimit, ...]

    def row(self, current: str) -> ClassLimit | None:
        """Return the row for this kind of current, or None."""
        return next((row for row in self.rows if row.current == current), None)


class Clause(Row):
    """One clause in our own words; ``source`` names the standard, ``clause`` its number."""

    id: str
    clause: str
    text: str


class ExcavationRow(Row):
    """What the depth of a trench sets off; ``from_depth_ft`` None means at any depth."""

    id: str
    clause: str
    title: str
    text: str
    from_depth_ft: float | None = None
    from_depth_m: float | None = None
    distance_ft: float | None = None
    distance_m: float | None = None

    @property
    def least_depth_m(self) -> float | None:
        """Depth from which the row is set off, metres: its feet converted where the source writes feet."""
        return self.from_depth_m if self.from_depth_ft is None else self.from_depth_ft * METRES_PER_FOOT


class MainsRow(Row):
    """Frequency of the public supply, hertz."""

    hertz: float = Field(gt=0)


class CodeBasis(Fixed):
    """One code basis with everything the handbook takes from it."""

    id: str
    name: str
    title: str
    edition_note: str
    who_decides: str
    who_decides_cover: str
    mains: MainsRow | None = None
    cover: CoverTable | None = None
    words: Words
    burial: BurialRule | None = None
    power_limit: PowerLimit | None = None
    insulation: dict[str, str] = Field(default_factory=dict)
    excavation: tuple[ExcavationRow, ...] = ()
    clauses: tuple[Clause, ...] = ()

    @model_validator(mode="after")
    def every_clause_exists(self) -> CodeBasis:
        """Refuse a clause id that nothing defines, and an id used twice."""
        ids = [clause.id for clause in self.clauses]
        if len(ids) != len(set(ids)):
            raise ValueError("two clauses have one id")
        named = [row.clause for row in self.excavation]
        named += [part.clause for part in (self.cover, self.burial, self.power_limit) if part is not None]
        lost = sorted({name for name in named if name not in ids})
        if lost:
            raise ValueError(f"no clause with the id {', '.join(lost)}")
        return self

    def clause(self, clause_id: str) -> Clause | None:
        """Return one clause by its id, or None."""
        return next((clause for clause in self.clauses if clause.id == clause_id), None)

    def cite(self, clause_id: str) -> str:
        """Return a clause by its standard and number; empty where this basis has none of that id."""
        clause = self.clause(clause_id)
        return f"{clause.source} {clause.clause}".strip() if clause is not None else ""
