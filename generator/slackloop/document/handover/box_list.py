"""The owner's list of boxes: a line each with its address, its place and its first readings, and what they allow later.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cached_property

from slackloop.compute.circuit.conductor import REFERENCE_C
from slackloop.compute.circuit.short_places import ShortFinder
from slackloop.document.box_devices import BoxDevices
from slackloop.document.context import Context
from slackloop.document.handover.progress import place_line
from slackloop.document.inline import line
from slackloop.document.recorded import BAD, Recorded
from slackloop.document.table import NO_CELL, Cell, Column, Part, Table, cell, figure_cell, missing_cell, number_cell
from slackloop.document.tables.source_table import once, resistance_rows
from slackloop.records.built_values import Baseline, baseline
from slackloop.records.result import Record
from slackloop.sections import format as fmt
from slackloop.site.effective_values import meter_error
from slackloop.site.network import Run
from slackloop.units.figure import Figure, ohms, run_length, temperature
from slackloop.units.ladder import Rounding

BOXES_PAGE = "handover/boxes"
BOXES_FILE = "handover/boxes.csv"
"""The list as a file beside the pages."""
MAP_FILE = "handover/boxes.geojson"
"""The boxes as a file for maps, where longitude and latitude were recorded."""
LON_LAT = (
    Column("lon", "Longitude, degrees", "number", in_files_only=True),
    Column("lat", "Latitude, degrees", "number", in_files_only=True),
)
NOT_RECORDED = "not recorded"
COLUMNS = (
    Column("box", "Box"), Column("address", "Address"), Column("path", "Along the path", "run"),
    Column("place", "Place, m", on_pages_only=True), Column("east", "Easting, m", "number", in_files_only=True),
    Column("north", "Northing, m", "number", in_files_only=True),
    Column("day", "Read on"), Column("soil", "Soil", "temperature"), Column("loop", "Loop as read", "resistance"),
    Column("loop20", "Loop at 20 °C", "resistance"), Column("least", "Later, least", "resistance"),
    Column("most", "Later, most", "resistance"), Column("insulation", "Insulation", "resistance"),
    Column("short", "Short in its run, at 20 °C", on_pages_only=True),
    Column("short-least", "Short in its run at 20 °C, least", "resistance", in_files_only=True),
    Column("short-most", "Short in its run at 20 °C, most", "resistance", in_files_only=True),
    Column("device", "Device", in_files_only=True), Column("stations", "Stations", in_files_only=True),
    Column("run", "Run to it", "run", in_files_only=True), Column("measured", "Run measured", in_files_only=True),
    Column("by", "Read by", in_files_only=True), Column("record", "Records", in_files_only=True),
)  # fmt: skip


class BoxList:
    """Makes the list of one job as built."""

    def __init__(self, context: Context, built: Context, recorded: Recorded) -> None:
        """``built`` is the context of the job as built."""
        self.context, self.built, self.recorded = context, built, recorded

    @cached_property
    def bands(self) -> dict[str, tuple[float, float]]:
        """What a short somewhere on each run may read at 20 °C, the rings open."""
        return ShortFinder(
            self.built.job, self.built.network, self.built.tables, REFERENCE_C, opened=True
        ).bands()

    def _checks(self, measures: str) -> frozenset[str]:
        return frozenset(
            check.id for applied in self.context.sections for check in applied.checks
            if check.measures == measures and check.where in ("each-box", "each-run", "each-dug-run")
        )  # fmt: skip

    @cached_property
    def baselines(self) -> tuple[Baseline, ...]:
        """The first readings of each box in path order, then of each closing run."""
        loop, insulation = self._checks("loop_ohms"), self._checks("insulation_ohms")
        meter, alpha = meter_error(self.built.job), self.context.tables.copper.alpha_per_c
        return tuple(
            baseline(run.id, self.recorded.as_it_was_built(run.id), loop, insulation, meter, alpha)
            for run in self.built.network.all_runs
        )

    def table(self) -> Table:
        """The list, with a part for each branch."""
        rows = [
            self._row(run, first) for run, first in zip(self.built.network.all_runs, self.baselines, strict=True)
        ]
        parts = [Part(group.title, tuple(rows[n] for n in group.indices)) for group in self.built.groups]
        if closing := rows[len(self.built.network.boxes) :]:
            parts.append(Part("Runs that close a ring", tuple(closing)))
        columns = (*COLUMNS, *(LON_LAT if self._lon_lat else ()))
        return Table(
            "handover-boxes", "Boxes", columns, tuple(parts), ("job", "computed"),
            once((*resistance_rows(self.built, largest=True), *resistance_rows(self.built, largest=False))),
            notes=tuple(line(note) for note in self._notes()), landscape=True,
        )  # fmt: skip

    def _notes(self) -> Iterator[str]:
        meter = meter_error(self.built.job)
        error = f"{fmt.written(f'{meter.fraction * 100:g} %')} of the reading and {fmt.ohms(meter.fixed, 'highest')}"
        yield (
            "Loop: core a to core b with the pair shorted at this box, off the controller. Later: between which a "
            f"reading of a later year lies, turned to 20 °C, where nothing has changed; the meter may be wrong by "
            f"{error} each time. Insulation: the lowest of the readings of the run to this box, before it was spliced."
        )
        yield (
            "Short in its run: what a meter at the controller shows where the cores touch somewhere on the run "
            "to this box, turned to 20 °C."
            + (" Rings are open where their closing run ends." if self.built.network.closures else "")
        )

    def _row(self, run: Run, first: Baseline) -> tuple[Cell, ...]:
        units, index = self.built.units, self.built.network.index.get(run.id)
        box = self.built.boxes.get(run.id)
        devices = BoxDevices(self.built.job, box) if box is not None else None
        addresses = [each.address for each in devices.placed if each.address] if devices else []
        at = box.at if box is not None else None
        low, high = self.bands[run.id]
        as_built = self.recorded.as_built
        measured = run.id in as_built.measured_runs
        record = first.loop_record or first.insulation_record
        path_m = self.built.network.path_m[index] if index is not None else None
        return (
            cell(place_line(self.context, run.id)),
            cell("; ".join(addresses)),
            NO_CELL if path_m is None else figure_cell(run_length(path_m, "nearest"), units, brief=True),
            NO_CELL if at is None else cell(f"{at[0]:,.1f}, {at[1]:,.1f}"),
            *(missing_cell("no place is known") if at is None else number_cell(at[n]) for n in (0, 1)),
            cell(self._day(run.id, record)),
            _figure(first.celsius, temperature, "nearest", units),
            _figure(first.loop_ohms, _ohms, "nearest", units),
            _figure(first.loop_20c, _ohms, "nearest", units),
            _figure(first.least_20c, _ohms, "least", units),
            _figure(first.most_20c, _ohms, "most", units),
            _figure(first.insulation_ohms, _ohms, "lowest", units),
            cell(band_text(low, high)),
            figure_cell(ohms(low, "lowest"), units), figure_cell(ohms(high, "highest"), units),
            cell(devices.titles if devices and devices.placed else ""),
            cell(devices.numbers if devices else ""),
            figure_cell(run.length, units), cell("yes" if measured else "no, as planned"),
            cell(record.by if record else ""),
            cell("yes" if self.recorded.has_record(run.id) else "none"),
            *self._degrees(run.id),
        )  # fmt: skip

    @property
    def _lon_lat(self) -> Mapping[str, tuple[float, float]]:
        return self.recorded.as_built.lon_lat

    def _degrees(self, place: str) -> Iterator[Cell]:
        """Longitude and latitude, in a list of boxes of which some have them."""
        known = self._lon_lat.get(place)
        for n in range(len(LON_LAT) if self._lon_lat else 0):
            yield missing_cell(NOT_RECORDED) if known is None else number_cell(known[n])

    def _day(self, place: str, record: Record | None) -> str:
        """The day of its readings; that a box has no record, none of its readings, or none that is good."""
        if record is not None:
            return str(record.when.date())
        readings = self._checks("loop_ohms") | self._checks("insulation_ohms")
        results = self.recorded.as_it_was_built(place)
        if any(each.status in BAD and not readings.isdisjoint(each.due.ids) for each in results):
            return "reading not good"
        return "no reading" if self.recorded.has_record(place) else "no record"


def band_text(low_ohms: float, high_ohms: float) -> str:
    """From the least to the most, with the unit once where it is the same."""
    low, high = fmt.ohms(low_ohms, "lowest"), fmt.ohms(high_ohms, "highest")
    number, _, unit = low.partition(" ")
    return f"{number if high.endswith(f' {unit}') else low} to {high}"


def _ohms(value: float, rounding: Rounding) -> Figure:
    return ohms(value, rounding)


def _figure(
    value: float | None, kind: Callable[[float, Rounding], Figure], rounding: Rounding, units: fmt.Units
) -> Cell:
    """A figure of a reading; that it was not recorded where there is none."""
    if value is None:
        return missing_cell(NOT_RECORDED)
    return figure_cell(kind(value, rounding), units, brief=True)
