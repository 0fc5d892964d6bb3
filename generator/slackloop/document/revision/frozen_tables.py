"""Which columns of which tables are compared between two revisions, what they are called there, and who reads them.

What the job states is compared where it is stated; here is what follows from it, place by place.
"""

from __future__ import annotations

from collections.abc import Callable, Container
from dataclasses import dataclass
from itertools import chain, count

from slackloop.control.snapshot import READERS, Kind, Reader, Sheet, SheetColumn, SheetRow, Told
from slackloop.document.context import Context
from slackloop.document.inline import plain
from slackloop.document.table import Cell, Column, Table
from slackloop.document.tables.registry import table_of
from slackloop.units.ladder import SI_UNITS

CONTRACTOR: tuple[Reader, ...] = ("contractor",)
INSPECTOR: tuple[Reader, ...] = ("inspector",)
DESIGN: tuple[Reader, ...] = ("contractor", "inspector")
ON_SITE: tuple[Reader, ...] = ("crew", "inspector")
WORK: tuple[Reader, ...] = ("contractor", "crew")


@dataclass(frozen=True, slots=True)
class Watched:
    """A column that is compared; ``key`` may end in ``*`` for all columns that begin so, told apart by headings."""

    key: str
    words: str
    readers: tuple[Reader, ...]
    kind: Kind = "value"

    def holds(self, column: Column) -> bool:
        """Whether a column is meant."""
        return column.key == self.key or (self.key.endswith("*") and column.key.startswith(self.key[:-1]))


@dataclass(frozen=True, slots=True)
class Frozen:
    """A table that is compared: the columns that say which row is which, those compared, and the column of its box."""

    id: str
    keys: tuple[str, ...]
    watched: tuple[Watched, ...]
    box: str = ""
    place: Callable[[tuple[str, ...]], str] = " ".join


def _run(ends: tuple[str, ...]) -> str:
    return f"run from {ends[0]} to {ends[1]}"


def _first(names: tuple[str, ...]) -> str:
    return names[0]


FROZEN: tuple[Frozen, ...] = (
    Frozen("runs", ("from", "to"), (
        Watched("length", "Length of the run", WORK), Watched("cable", "Length of cable, with slack", WORK),
        Watched("kind", "Cable of the run", READERS), Watched("reel", "Reel that the run is pulled from", WORK),
        Watched("under", "What the run passes under", READERS), Watched("depth", "Depth to dig", WORK),
        Watched("cover", "Cover over the cable", READERS), Watched("least", "Least cover", DESIGN, "limit"),
        Watched("verdict", "Whether the cover is enough", DESIGN),
    ), "to", _run),
    Frozen("boxes", ("box",), (
        Watched("name", "Name of the box", READERS), Watched("device", "Device", READERS),
        Watched("address", "Address", ON_SITE), Watched("stations", "Stations", READERS),
        Watched("rest", "Volts, outputs off", DESIGN), Watched("lowest", "Lowest volts", DESIGN),
        Watched("needs", "Volts that the device needs", DESIGN, "limit"),
        Watched("ends", "Cable ends", ON_SITE), Watched("slack", "Slack on each cable end", READERS),
        Watched("electrode", "Electrode", READERS), Watched("lead", "Solenoid lead", WORK),
    ), "box", _first),
    Frozen("each-loop", ("place", "ring"), (
        Watched("expected", "Loop reading expected", INSPECTOR),
        Watched("least*", "Loop limits", ON_SITE, "limit"), Watched("most*", "Loop limits", ON_SITE, "limit"),
    ), "place", _first),
    Frozen("each-splice", ("box", "side", "splice"), (
        Watched("wires", "Wires in a splice", INSPECTOR), Watched("connector", "Connector of a splice", READERS),
        Watched("colour", "Core colour of a splice", INSPECTOR), Watched("fits", "Whether the connector fits", READERS),
    ), "box"),
    Frozen("each-solenoid", ("box", "station"), (
        Watched("inrush", "Volts of a solenoid at inrush", DESIGN),
        Watched("holding", "Volts of a solenoid, holding", DESIGN),
        Watched("needs", "Volts that a solenoid needs", DESIGN, "limit"),
    ), "box", " station ".join),
    Frozen("each-electrode", ("where",), (
        Watched("rods", "Rods of an electrode", READERS),
        Watched("target", "Most resistance of an electrode", ON_SITE, "limit"),
    ), "where", _first),
    Frozen("volumes", ("what",), (Watched("volume", "Volume", CONTRACTOR),)),
    Frozen("makers-limits", ("limit",), (
        Watched("found", "This path", DESIGN), Watched("most", "Most that the maker allows", DESIGN, "limit"),
    )),
)  # fmt: skip


def sheets(context: Context) -> dict[str, Sheet]:
    """Every table that is compared, cut down to what is."""
    found = {}
    places = {*context.network.index, *(run.id for run in context.network.closures)}
    for frozen in FROZEN:
        table = table_of(context, frozen.id)
        if table is not None and table.rows:
            found[frozen.id] = _sheet(frozen, table, places)
    return found


def _sheet(frozen: Frozen, table: Table, boxes: Container[str]) -> Sheet:
    at = {column.key: number for number, column in enumerate(table.columns)}
    watched = {
        column.key: (number, column, each)
        for number, column in enumerate(table.columns) for each in frozen.watched if each.holds(column)
    }  # fmt: skip
    columns = {
        key: SheetColumn(each.words, each.kind, each.readers, _detail(column) if each.key.endswith("*") else "")
        for key, (_, column, each) in watched.items()
    }
    rows: dict[str, SheetRow] = {}
    for row in table.rows:
        names = tuple(_text(row[at[key]]) for key in frozen.keys)
        closure = "-".join(names)
        box = closure if closure in boxes else _text(row[at[frozen.box]]) if frozen.box else ""
        place = frozen.place(tuple(name for name in names if name))
        cells = {key: _told(row[number], column) for key, (number, column, _) in watched.items()}
        rows[_free(" ".join(names), rows)] = SheetRow(place, (box,) if box in boxes else (), cells)
    return Sheet(table.title, columns, rows)


def _detail(column: Column) -> str:
    return f"{column.heading[:1].lower()}{column.heading[1:]}"


def _free(key: str, rows: dict[str, SheetRow]) -> str:
    """The key, or the key with a count where a row has it already."""
    return next(each for each in chain((key,), (f"{key} {number}" for number in count(2))) if each not in rows)


def _text(cell: Cell) -> str:
    text = " ".join(plain(cell.line).split())
    return "" if text == "–" else text


def _told(cell: Cell, column: Column) -> Told:
    return Told(_text(cell), cell.number, SI_UNITS.get(column.kind, "") if cell.number is not None else "")
