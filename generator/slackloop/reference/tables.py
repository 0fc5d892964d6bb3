"""All reference tables together, read once for a run of the program."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from slackloop.reference.code_basis import CodeBasis
from slackloop.reference.folder import data_folder
from slackloop.reference.refusal import TableRefused
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
from slackloop.reference.table_file import TableMap, read_table

Model = TypeVar("Model", bound=BaseModel)
RowType = TypeVar("RowType", bound=Row)


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
    digest: str


class _TableReader:
    """Finds each table file, the firm's own before the standing one, and checks its rows."""

    def __init__(self, folders: Sequence[Path]) -> None:
        self._folders = folders
        self._maps: dict[str, TableMap] = {}
        self._hash = hashlib.sha256()

    def digest(self) -> str:
        """Return the hash over every file read so far."""
        return self._hash.hexdigest()

    def _note(self, path: Path) -> TableMap:
        table = read_table(path)
        self._hash.update(path.name.encode() + b"\0" + path.read_bytes().replace(b"\r\n", b"\n") + b"\0")
        return table

    def _map(self, file_name: str) -> TableMap:
        if file_name not in self._maps:
            for folder in self._folders:
                if (folder / file_name).is_file():
                    self._maps[file_name] = self._note(folder / file_name)
                    break
            else:
                raise TableRefused(f"{file_name}: the table file is missing.")
        return self._maps[file_name]

    def rows(self, file_name: str, key: str, model: type[RowType]) -> tuple[RowType, ...]:
        """Return the rows under one key of a file, each checked against its model."""
        rows = self._map(file_name).get(key)
        if not isinstance(rows, list) or not rows:
            raise TableRefused(f"{file_name}: needs a list under `{key}:`.")
        return tuple(_checked(model, row, f"{file_name}, {key}, row {n}") for n, row in enumerate(rows, start=1))

    def code_bases(self) -> Iterator[CodeBasis]:
        """Give each code basis once, the firm's file before the standing one of the same name."""
        seen: set[str] = set()
        for folder in self._folders:
            for path in sorted((folder / "code_basis").glob("*.yml")):
                if path.stem in seen:
                    continue
                seen.add(path.stem)
                yield _checked(CodeBasis, {"id": path.stem, **self._note(path)}, f"code_basis/{path.name}")


def _checked(model: type[Model], value: Any, place: str) -> Model:
    try:
        return model.model_validate(value)
    except ValidationError as error:
        first = error.errors()[0]
        at = ".".join(str(part) for part in first["loc"])
        raise TableRefused(f"{place}: {at + ': ' if at else ''}{first['msg']}.") from error


def _by(rows: Sequence[RowType], key: str, file_name: str) -> dict[Any, RowType]:
    table: dict[Any, RowType] = {}
    for row in rows:
        name = getattr(row, key)
        if name in table:
            raise TableRefused(f"{file_name}: two rows have the {key} {name!r}.")
        table[name] = row
    return table


def _conductors(reader: _TableReader) -> ConductorTables:
    name = "conductors.yml"
    return ConductorTables(
        awg_sizes=_by(reader.rows(name, "awg_sizes", AwgSize), "awg", name),
        iec_60228=_by(reader.rows(name, "iec_60228_20c", IecOhms), "mm2", name),
        iec_60228_class_5=_by(reader.rows(name, "iec_60228_class_5_20c", IecOhms), "mm2", name),
    )


def _copper(reader: _TableReader) -> CopperTable:
    rows = _by(reader.rows("copper.yml", "rows", Constant), "id", "copper.yml")
    for needed in ("conductivity", "alpha", "lay-factor", "largest-over-nominal", "expansion", "density"):
        if needed not in rows:
            raise TableRefused(f"copper.yml: needs a row with the id {needed}.")
    return CopperTable(rows)


def _risk(reader: _TableReader) -> RiskTable:
    name = "risk.yml"
    cells = reader.rows(name, "matrix", RiskCell)
    matrix = {(cell.probability, cell.severity): cell for cell in cells}
    if len(matrix) != 20 or len(cells) != 20:
        raise TableRefused(f"{name}: the matrix needs each of A to E with each of 1 to 4, once.")
    return RiskTable(
        cells={(str(p), int(s)): cell for (p, s), cell in matrix.items()},
        severities=_by(reader.rows(name, "severities", RiskWord), "id", name),
        probabilities=_by(reader.rows(name, "probabilities", RiskWord), "id", name),
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
    reader = _TableReader(folders)
    rods = _by(reader.rows("rod_groups.yml", "rows", RodGroupRow), "rods", "rod_groups.yml")
    return ReferenceTables(
        conductors=_conductors(reader),
        copper=_copper(reader),
        soils=SoilTable(_by(reader.rows("soils.yml", "rows", SoilRow), "name", "soils.yml")),
        rod_groups=dict(sorted(rods.items())),
        resistivity=reader.rows("resistivity.yml", "rows", ResistivityRow),
        insulation=_by(reader.rows("insulation.yml", "rows", InsulationRow), "id", "insulation.yml"),
        marks=reader.rows("marks.yml", "rows", MarkRow),
        signs=_by(reader.rows("signs.yml", "rows", SignRow), "number", "signs.yml"),
        voltage_limits=_by(reader.rows("voltage_limits.yml", "rows", VoltageLimitRow), "id", "voltage_limits.yml"),
        risk=_risk(reader),
        formulas=_by(reader.rows("formulas.yml", "rows", FormulaRow), "id", "formulas.yml"),
        code_bases={basis.id: basis for basis in reader.code_bases()},
        digest=reader.digest(),
    )


@dataclass(frozen=True, slots=True)
class RowList:
    """Rows of one kind and what they are used for."""

    used_for: str
    rows: tuple[Row, ...]


def row_lists(tables: ReferenceTables, bases: Sequence[CodeBasis]) -> tuple[RowList, ...]:
    """Every list of the reference tables and of these code bases: what the sources page walks, in its order.

    A new reference table gets one line here; a test finds one that has none.
    """
    conductors, risk = tables.conductors, tables.risk
    limits = tuple(row for basis in bases if basis.power_limit for row in basis.power_limit.rows)
    return (
        RowList("conductor sizes", (*conductors.awg_sizes.values(),)),
        RowList("resistance of mm² sizes", (*conductors.iec_60228.values(), *conductors.iec_60228_class_5.values())),
        RowList("copper", (*tables.copper.rows.values(),)),
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
