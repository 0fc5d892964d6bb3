"""All reference tables together, read once for a run of the program."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from slackloop.reference.code_basis import CodeBasis
from slackloop.reference.rows import (
    AwgSize,
    Constant,
    FormulaRow,
    IecOhms,
    InsulationRow,
    MarkRow,
    ResistivityRow,
    RiskCell,
    RiskWord,
    RodGroupRow,
    Row,
    SignRow,
    SoilRow,
    VoltageLimitRow,
)
from slackloop.reference.table_file import ConstantTable, TableReader, TableRefused, by, data_folder


@dataclass(frozen=True)
class ConductorTables:
    """Sizes and resistances of conductors, each table as its source prints it."""

    awg_sizes: Mapping[int, AwgSize]
    iec_60228: Mapping[float, IecOhms]
    iec_60228_class_5: Mapping[float, IecOhms]


@dataclass(frozen=True)
class CopperTable:
    """Constants of annealed copper by their ids."""

    rows: Mapping[str, Constant]

    @property
    def conductivity_m_per_ohm_mm2(self) -> float:
        """Conductivity at 20 °C, m/(ohm·mm²)."""
        return self.rows["conductivity"].value

    @property
    def alpha_per_c(self) -> float:
        """Temperature coefficient of resistance at 20 °C, 1/°C."""
        return self.rows["alpha"].value

    @property
    def lay_factor(self) -> float:
        """Resistance of a stranded conductor over a solid one of the same area."""
        return self.rows["lay-factor"].value

    @property
    def largest_over_nominal(self) -> float:
        """Largest resistance that a listed AWG conductor may have over its nominal resistance."""
        return self.rows["largest-over-nominal"].value

    @property
    def expansion_per_c(self) -> float:
        """Linear expansion, 1/°C."""
        return self.rows["expansion"].value

    @property
    def density_kg_per_m3(self) -> float:
        """Density at 20 °C, kg/m³."""
        return self.rows["density"].value


@dataclass(frozen=True)
class SoilTable:
    """Soils by name; ``find`` also takes an alias."""

    rows: Mapping[str, SoilRow]

    def find(self, name: str) -> SoilRow | None:
        """Return the row of that name or alias, or None."""
        if name in self.rows:
            return self.rows[name]
        return next((row for row in self.rows.values() if name in row.aliases), None)

    def names(self) -> tuple[str, ...]:
        """Return every name and alias that a job may use."""
        return tuple(name for row in self.rows.values() for name in (row.name, *row.aliases))


@dataclass(frozen=True)
class RiskTable:
    """The risk matrix and the names of its steps."""

    cells: Mapping[tuple[str, int], RiskCell]
    severities: Mapping[str, RiskWord]
    probabilities: Mapping[str, RiskWord]


@dataclass(frozen=True)
class ReferenceTables:
    """Every table of ``site_data``; ``digest`` is a SHA-256 over the files that were read."""

    conductors: ConductorTables
    copper: CopperTable
    soils: SoilTable
    rod_groups: Mapping[int, RodGroupRow]
    resistivity: tuple[ResistivityRow, ...]
    code_bases: Mapping[str, CodeBasis]
    insulation: Mapping[str, InsulationRow]
    marks: tuple[MarkRow, ...]
    signs: Mapping[str, SignRow]
    voltage_limits: Mapping[str, VoltageLimitRow]
    risk: RiskTable
    formulas: Mapping[str, FormulaRow]
    constants: Mapping[str, ConstantTable]
    """Every file with ``used_for``, by its name without the ending: read, and listed among the sources, as it is."""
    digest: str


def _conductors(reader: TableReader) -> ConductorTables:
    name = "conductors.yml"
    return ConductorTables(
        awg_sizes=by(reader.rows(name, "awg_sizes", AwgSize), "awg", name),
        iec_60228=by(reader.rows(name, "iec_60228_20c", IecOhms), "mm2", name),
        iec_60228_class_5=by(reader.rows(name, "iec_60228_class_5_20c", IecOhms), "mm2", name),
    )


def _copper(constants: Mapping[str, ConstantTable]) -> CopperTable:
    rows = constants["copper"].rows
    for needed in ("conductivity", "alpha", "lay-factor", "largest-over-nominal", "expansion", "density"):
        if needed not in rows:
            raise TableRefused(f"copper.yml: needs a row with the id {needed}.")
    return CopperTable(rows)


def _risk(reader: TableReader) -> RiskTable:
    name = "risk.yml"
    cells = reader.rows(name, "matrix", RiskCell)
    matrix = {(cell.probability, cell.severity): cell for cell in cells}
    if len(matrix) != 20 or len(cells) != 20:
        raise TableRefused(f"{name}: the matrix needs each of A to E with each of 1 to 4, once.")
    return RiskTable(
        cells={(str(p), int(s)): cell for (p, s), cell in matrix.items()},
        severities=by(reader.rows(name, "severities", RiskWord), "id", name),
        probabilities=by(reader.rows(name, "probabilities", RiskWord), "id", name),
    )


def load_tables(extra_site_data: Path | None = None) -> ReferenceTables:
    """Read every table.

    ``extra_site_data`` is a firm's own folder: a table file or code basis in it replaces
    the standing one of the same name, and a new code basis is added.
    Raises TableRefused for a missing or broken table, with the file, row and fault named.
    """
    folders = [data_folder("site_data")]
    if extra_site_data is not None and extra_site_data.is_dir():
        folders.insert(0, extra_site_data)
    reader = TableReader(folders)
    rods = by(reader.rows("rod_groups.yml", "rows", RodGroupRow), "rods", "rod_groups.yml")
    return ReferenceTables(
        conductors=_conductors(reader),
        soils=SoilTable(by(reader.rows("soils.yml", "rows", SoilRow), "name", "soils.yml")),
        rod_groups=dict(sorted(rods.items())),
        resistivity=reader.rows("resistivity.yml", "rows", ResistivityRow),
        insulation=by(reader.rows("insulation.yml", "rows", InsulationRow), "id", "insulation.yml"),
        marks=reader.rows("marks.yml", "rows", MarkRow),
        signs=by(reader.rows("signs.yml", "rows", SignRow), "number", "signs.yml"),
        voltage_limits=by(reader.rows("voltage_limits.yml", "rows", VoltageLimitRow), "id", "voltage_limits.yml"),
        risk=_risk(reader),
        formulas=by(reader.rows("formulas.yml", "rows", FormulaRow), "id", "formulas.yml"),
        code_bases={basis.id: basis for basis in reader.code_bases()},
        constants=(constants := reader.constants()),
        copper=_copper(constants),
        digest=reader.digest(),
    )


@dataclass(frozen=True, slots=True)
class RowList:
    """Rows of one kind and what they are used for."""

    used_for: str
    rows: tuple[Row, ...]


def row_lists(tables: ReferenceTables, bases: Sequence[CodeBasis]) -> tuple[RowList, ...]:
    """Every list of the reference tables and of these code bases: what the sources page walks, in its order.

    A table of rows of its own kind gets one line here; a test finds one that has none.
    """
    conductors, risk = tables.conductors, tables.risk
    limits = tuple(row for basis in bases if basis.power_limit for row in basis.power_limit.rows)
    return (
        RowList("conductor sizes", (*conductors.awg_sizes.values(),)),
        RowList("resistance of mm² sizes", (*conductors.iec_60228.values(), *conductors.iec_60228_class_5.values())),
        *(RowList(each.used_for, (*each.rows.values(),)) for each in tables.constants.values()),
        RowList("soil volumes", (*tables.soils.rows.values(),)),
        RowList("groups of rods", (*tables.rod_groups.values(),)),
        RowList("soil resistivity", tables.resistivity),
        RowList("formulas", (*tables.formulas.values(),)),
        RowList("insulation tests", (*tables.insulation.values(),)),
        RowList("marks on the ground", tables.marks),
        RowList("safety signs", (*tables.signs.values(),)),
        RowList("limits on volts", (*tables.voltage_limits.values(), *limits)),
        RowList("risk", (*risk.cells.values(), *risk.severities.values(), *risk.probabilities.values())),
        RowList("frequency of the supply", tuple(basis.mains for basis in bases if basis.mains)),
        RowList("cover", tuple(row for basis in bases if basis.cover for row in basis.cover.rows)),
        RowList("digging", tuple(row for basis in bases for row in basis.excavation)),
        RowList("clauses", tuple(row for basis in bases for row in basis.clauses)),
    )
