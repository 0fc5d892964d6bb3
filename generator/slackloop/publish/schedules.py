"""Every schedule of a handbook, from the figures that its pages show."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial

from slackloop.compute.cover import CoverAnswer
from slackloop.compute.loop import LoopReading
from slackloop.compute.splices import Splice, Wire
from slackloop.handbook.book import Book
from slackloop.handbook.schedule_files import SCHEDULES, WORKBOOK, csv_file
from slackloop.handbook.tables.ground import cover_verdict
from slackloop.job import resolve
from slackloop.publish.materials_schedule import materials_schedule
from slackloop.publish.schedule import COMPUTED, Column, Formula, Measure, Row, Schedule, csv_bytes, limited, number
from slackloop.publish.workbook import workbook_bytes
from slackloop.units.figure import temperature
from slackloop.units.rounding import Rounding

JOB = "Job file"
MAKER = "Job file, from the maker's sheet"
COPPER = "Copper: ASTM B258 and IEC 60028 (AWG), IEC 60228 (mm2), read in a copy"
RODS = "One rod: Dwight, IEEE Std 142, read in a copy; groups: IEEE Std 142, from memory, to be checked"


class Schedules:
    """Makes the schedules of one book."""

    def __init__(self, book: Book) -> None:
        self.job, self.analysis, self.tables = book.job, book.analysis, book.context.tables
        self.network = book.analysis.network
        self.units = book.job.job.units
        self.boxes_by_id = book.job.path.by_id

    def all(self) -> tuple[Schedule, ...]:
        """Every schedule, in the order of ``SCHEDULES``."""
        makers: dict[str, Callable[[], Schedule]] = {
            "materials": partial(materials_schedule, self.analysis, self.tables, self.units),
            "material-boxes": self.material_boxes,
            "boxes": self.boxes,
            "runs": self.runs,
            "splices": self.splices,
            "reels": self.reels,
            "loop-readings": self.loop_readings,
            "electrodes": self.electrodes,
            "trench": self.trench,
        }
        return tuple(makers[name]() for name in SCHEDULES)

    def material_boxes(self) -> Schedule:
        """A row for each material in each box that needs it, to be filtered either way."""
        columns = tuple(Column(title) for title in ("Item", "Kind", "Box", "Source"))
        rows = [(line.item, line.kind, box, COMPUTED) for line in self.analysis.materials for box in line.boxes]
        return self._schedule("material-boxes", columns, rows)

    def boxes(self) -> Schedule:
        """Every box in path order."""
        path = Measure("Along the path", "length", self.units, "nearest")
        slack, lead = (Measure(name, "length", self.units, "cut") for name in ("Slack", "Lead"))
        columns = (
            *(Column(name) for name in ("Box", "Name", "Device", "Address", "Stations", "Cable ends")),
            *path.columns, *slack.columns, *lead.columns, Column("Electrode"), Column("Note"), Column("Source"),
        )  # fmt: skip
        stand = {place.where: place.reason for place in self.analysis.electrodes.places}
        rows: list[Row] = []
        for i, box_id in enumerate(self.network.boxes):
            box, kept = self.boxes_by_id[box_id], self.analysis.slack[i]
            title = self.job.devices[box.device].title if box.device else ""
            stations = ", ".join(str(station) for station in box.stations)
            lead_m = resolve.lead_m(self.job, box) if box.stations else None
            rows.append((
                box.id, box.name, title, box.address, stations, kept.tails,
                *path.cells(self.network.path_m[i]), *slack.cells(kept.total_m), *lead.cells(lead_m),
                stand.get(box_id, ""), box.note, f"{JOB}; slack computed from it",
            ))  # fmt: skip
        return self._schedule("boxes", columns, rows, (*slack.titles, "Cable ends"))

    def runs(self) -> Schedule:
        """Every run with its slack, its reel and its cover, closing runs last."""
        length, slack, whole = (
            Measure(name, "length", self.units, "cut") for name in ("Length", "Slack", "Length and slack")
        )
        cover = Measure("Cover", "length", self.units, "least")
        columns = (
            *(Column(name) for name in ("From", "To", "Cable", "Reel", "Surface")),
            *length.columns, *slack.columns, *whole.columns, *cover.columns, Column("Closes a ring"), Column("Source"),
        )  # fmt: skip
        pieces = {piece.run_id: piece for plan in self.analysis.reels for piece in plan.pieces if piece.run_id}
        reel = {run: n for plan in self.analysis.reels for run, n in plan.reel_numbers().items()}
        rows: list[Row] = []
        for run in self.network.all_runs:
            own, spare = length.cells(run.length_m), slack.cells(pieces[run.id].length_m - run.length_m)
            rows.append((
                run.from_id, run.to_id, run.cable, reel.get(run.id), self._under(run.surface),
                *own, *spare, *(
                    Formula(f"={{Length ({column.unit})}}+{{Slack ({column.unit})}}", round((a or 0.0) + (b or 0.0), 9))
                    for column, a, b in zip(length.columns, own, spare, strict=True)
                ),
                *cover.cells(run.cover_m), "yes" if run.closure else "no", f"{JOB}; reel computed from it",
            ))  # fmt: skip
        return self._schedule("runs", columns, rows, (*length.titles, *slack.titles, *whole.titles))

    def splices(self) -> Schedule:
        """Every splice of every box, path side then solenoid side."""
        titles = ("Box", "Side", "Splice", "Core colour", "Wires", "Count")
        columns = (*(Column(title) for title in titles), Column("Copper", "mm2", 2), Column("Connector"),
                   Column("Fits"), Column("Source"))  # fmt: skip
        rows = [
            (
                box, side, each.cores, each.colour,
                "; ".join(_wire_text(wire) for wire in each.wires), len(each.wires),
                number(each.area_mm2), each.connector, "yes" if each.fits else "; ".join(each.reasons), MAKER,
            )
            for box, side, each in self._every_splice()
        ]  # fmt: skip
        return self._schedule("splices", columns, rows)

    def _every_splice(self) -> Iterator[tuple[str, str, Splice]]:
        sides = zip(self.network.boxes, self.analysis.splices, self.analysis.solenoid_splices, strict=True)
        for box, path_side, solenoid_side in sides:
            for side, splices in (("path", path_side), ("solenoid", solenoid_side)):
                for each in splices:
                    yield box, side, each

    def reels(self) -> Schedule:
        """A row for each reel: its lengths in pulling order, what they take with waste, what is left."""
        taken = Measure("Taken, with waste", "length", self.units, "cut")
        left, holds = (Measure(name, "length", self.units, "lowest") for name in ("Left", "Reel"))
        columns = (Column("Cable"), Column("Reel number"), Column("Lengths, in pulling order"), Column("Lengths"),
                   *holds.columns, *taken.columns, *left.columns, Column("Source"))  # fmt: skip
        rows: list[Row] = []
        for plan in self.analysis.reels:
            for n, reel in enumerate(plan.reels, start=1):
                names = ", ".join(piece.id for piece in reel.pieces)
                held, used = holds.cells(plan.reel_m), taken.cells(reel.used_m)
                rest = (
                    Formula(f"={{Reel ({column.unit})}}-{{Taken, with waste ({column.unit})}}",
                            round((a or 0.0) - (b or 0.0), 9))
                    for column, a, b in zip(left.columns, held, used, strict=True)
                )
                rows.append((
                    plan.cable, n, names, len(reel.pieces), *held, *used, *rest,
                    f"{COMPUTED}; plan {plan.way}; fewest reels {plan.fewest_reels}: "
                    f"{plan.bound_source}",
                ))  # fmt: skip
        return self._schedule("reels", columns, rows, ("Lengths", *taken.titles, *left.titles))

    def loop_readings(self) -> Schedule:
        """What a meter shows at the controller with the pair shorted at each box, what passes, and room to write."""
        loops, ring = self.analysis.loops, bool(self.network.closures)
        columns = [Column("Box"), Column("Ring"), Column(f"Expected at {self._soil(20.0)}", "ohm", 2)]
        for each in loops.closed[0].limits:
            columns += [Column(f"{name} at {self._soil(each.celsius)}", "ohm", 2) for name in ("Least", "Most")]
        degrees = "F" if self.units == "us" else "C"
        columns += [Column("Soil on the day", degrees, 1), Column("Read on site", "ohm", 2), Column("Source")]
        groups = [(self.network.boxes, loops.opened if ring else loops.closed, "open" if ring else "none")]
        if ring:
            groups.append((tuple(run.id for run in self.network.closures), loops.closures, "open"))
            groups.append((self.network.boxes, loops.closed, "closed"))
        rows = [
            (place, state, number(reading.ohms_20c), *_limits(reading), None, None, f"{COMPUTED}; {COPPER}")
            for places, readings, state in groups
            for place, reading in zip(places, readings, strict=True)
        ]
        note = (
            "Pair off the controller, shorted at the box; a ring run at its open end. Cable alone, slack counted. Take "
            "the test leads' own reading off."
        )
        return self._schedule("loop-readings", tuple(columns), rows, note=note)

    def _soil(self, celsius: float) -> str:
        """A soil temperature for a heading; the coldest and the hottest never told nearer to each other."""
        soil = self.job.conditions.soil_temperature
        ends: dict[float, Rounding] = {soil.low.si: "lowest", soil.high.si: "highest"}
        return temperature(celsius, ends.get(celsius, "nearest")).alone(self.units).replace("°", "")

    def electrodes(self) -> Schedule:
        """Where electrodes stand, why, and the rods at each."""
        answer, rules = self.analysis.electrodes, self.job.rules.earthing
        columns = (Column("Where"), Column("Why here"), Column("Rods"), Column("One rod in the assumed soil", "ohm"),
                   Column("Target", "ohm", 1), Column("Read on site", "ohm", 1), Column("Source"))  # fmt: skip
        rods = answer.rods_for_target or 1
        one_rod = answer.one_rod.earned if answer.one_rod else None
        source = "Job file; soil not measured" if answer.ohms_each is None else f"Placing and target: job file. {RODS}"
        rows = [
            (place.where, place.reason, rods, one_rod, rules.target.si, None, source)
            for place in answer.places
        ]
        return self._schedule("electrodes", columns, rows, ("Rods",))

    def trench(self) -> Schedule:
        """Cover of each run against the code basis, depth and volumes."""
        names = ("Length", "Cover", "Least cover", "Depth")
        length, cover, least, depth = (Measure(name, "length", self.units, "least") for name in names)
        dug_names = ("Dug, in the ground", "Dug, loose", "Bedding, compacted", "Backfill, compacted", "Surplus, loose")
        volumes = [Measure(name, "volume", self.units, "nearest") for name in dug_names]
        columns = (
            Column("Run to"), Column("Surface"), *length.columns, *cover.columns, *least.columns, Column("Verdict"),
            *depth.columns, *(column for each in volumes for column in each.columns), Column("Source"),
        )  # fmt: skip
        basis = self.tables.code_bases[self.job.job.code_basis]
        soil = self.tables.soils.find(self.job.conditions.soil)
        swell = f"; volumes: {soil.source} ({soil.checked})" if soil else ""
        rows: list[Row] = []
        for run, asked, dug in zip(
            self.network.all_runs, self.analysis.covers, self.analysis.trench.runs, strict=True
        ):
            code = f"; least cover: {asked.clause}, {asked.row}, column {asked.column}" if asked.row else ""
            values = (dug.dug_m3, dug.loose_m3, dug.bedding_m3, dug.backfill_m3, dug.surplus_m3)
            rows.append((
                run.id, self._under(run.surface), *length.cells(run.length_m), *cover.cells(run.cover_m),
                *self._least_cover(asked, least), cover_verdict(asked), *depth.cells(dug.depth_m),
                *(cell for each, value in zip(volumes, values, strict=True) for cell in each.cells(value)),
                f"{JOB}{code}{swell}",
            ))  # fmt: skip
        totals = (*length.titles, *(title for each in volumes for title in each.titles))
        return self._schedule("trench", columns, rows, totals, note="" if basis.cover else basis.who_decides_cover)

    def _least_cover(self, asked: CoverAnswer, least: Measure) -> tuple[float | None, ...]:
        """The least cover; in a US job in the inches that its source prints, where it prints both."""
        cells = least.cells(asked.min_m)
        return (asked.min_inches / 12.0, *cells[1:]) if self.units == "us" and asked.min_inches is not None else cells

    def _under(self, surface: str) -> str:
        """A surface in the words of the job's code basis."""
        return self.tables.code_bases[self.job.job.code_basis].words.surfaces[surface]

    def _schedule(
        self, name: str, columns: tuple[Column, ...], rows: Sequence[Row], totals: tuple[str, ...] = (), note: str = ""
    ) -> Schedule:
        return Schedule(name, SCHEDULES[name], columns, tuple(rows), totals, note)


def _wire_text(wire: Wire) -> str:
    """A wire of a splice: its size, its own colour where its cable prints one, and where it comes from."""
    return " ".join(part for part in (wire.conductor_label, wire.colour, wire.origin) if part)


def _limits(reading: LoopReading) -> Row:
    """Least and most at each soil temperature, never looser than they are."""
    return tuple(
        value
        for limit in reading.limits
        for value in (limited(limit.low_ohms, 2, "least"), limited(limit.high_ohms, 2, "most"))
    )


def schedule_files(book: Book) -> dict[str, bytes]:
    """Every schedule of a book as files, by their address in the site: one CSV each, and a workbook of all."""
    schedules = Schedules(book).all()
    files = {csv_file(each.name): csv_bytes(each, book.facts) for each in schedules}
    files[WORKBOOK] = workbook_bytes(schedules, book.facts, paper="letter" if book.job.job.units == "us" else "a4")
    return files
