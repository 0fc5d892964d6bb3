"""A survey from its files to a job file: read, put on a plane, joined to a tree, written into the base."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from slackloop.site.assumptions import ASSUMED
from slackloop.site.effective_values import SAME_M
from slackloop.site.plain_fields import CONTROLLER
from slackloop.site.valve_boxes import NO_DEVICE, SURFACES
from slackloop.source.ambiguous_scalar import flow_text, remark, resolve
from slackloop.source.finding import Placed, by_place
from slackloop.source.suggestions import FEW, listed
from slackloop.survey.base_job import BaseJob, read_base, remark_lines
from slackloop.survey.csv_rows import Found, SurveyFile, read_csv, read_survey_file
from slackloop.survey.geojson_rows import read_geojson
from slackloop.survey.line_network import MOST_CROSSINGS, SAME_PLACE_M, LineNetwork, TooManyCrossings
from slackloop.survey.local_plane import Plane, on_plane
from slackloop.survey.points import UNIT_M, Known, take_points
from slackloop.survey.shortest_tree import Tree, straight_tree, tree_along
from slackloop.units.amount import count

FAR_FROM_LINES_M = 1_000.0
"""Lines of which no point is within this are not those of the job."""


@dataclass(frozen=True)
class Imported:
    """The new job, or nothing where the files were refused; and everything that was found."""

    job: SurveyJob | None
    findings: tuple[Placed, ...]
    """Errors first, then by file and line."""
    left_out: int = 0
    """How many findings there were too many to keep."""


def import_survey(
    files: Sequence[Path], base_path: Path, along: Path | None, place: tuple[float, float] | None, out: Path
) -> Imported:
    """Make a job file of surveyed points; ``place`` is the controller's, as the points state theirs."""
    base, failures = read_base(base_path)
    found = Found(findings=list(failures), refused=base is None)
    read: list[SurveyFile] = []
    for path in files:
        _read(path, found, read, lines_only=False)
    if along is not None:
        _read(along, found, read, lines_only=True)
    _one_system(found)
    if base is None or found.refused:
        return _imported(None, found)
    known = base.known()
    points = take_points(found, known)
    plane = None if found.refused else on_plane(points, found, place)
    if plane is None:
        if not found.refused and read:
            found.tell(read[0], "error", "survey-empty", "no point is left that a box can be made of",
                      expected="a point for each box, and one for the controller or --from X,Y")  # fmt: skip
        return _imported(None, found)
    if along is not None and not plane.lines:
        found.refuse(read[-1], "the file has no line", expected="lines of trenches or pipes: LineString")
        return _imported(None, found)
    tree, off_m = _tree(plane, found)
    if tree is None:
        return _imported(None, found)
    names = [path.name for path in (*files, *([along] if along else []))]
    return _imported(survey_job(base, known, plane, tree, off_m, out, names, found.said), found)


def _imported(job: SurveyJob | None, found: Found) -> Imported:
    findings = sorted(found.findings, key=lambda each: (each.level != "error", by_place(each)))
    return Imported(job, tuple(findings), found.left_out)


def _read(path: Path, found: Found, read: list[SurveyFile], lines_only: bool) -> None:
    """Read one file: GeoJSON where it starts as JSON does, else a table."""
    file, findings = read_survey_file(path)
    found.findings += findings
    if file is None:
        found.refused = True
        return
    read.append(file)
    if file.text.lstrip()[:1] in ("{", "["):
        read_geojson(file, found, lines_only)
    else:
        before = len(found.rows)
        read_csv(file, found)
        if lines_only:
            found.rows[before:] = [row for row in found.rows[before:] if "line" in row.cells]


def _one_system(found: Found) -> None:
    """Refuse points of which some have longitude and latitude, and others x and y."""
    degrees = next((row for row in found.rows if "lon" in row.cells or "lat" in row.cells), None)
    metres = next((row for row in found.rows if "x" in row.cells or "y" in row.cells), None)
    if degrees is not None and metres is not None:
        found.refused = True
        found.tell(metres.file, "error", "survey-apart",
                  f"{metres.name} has x and y, and {degrees.name} of {degrees.file.name} longitude and latitude",
                  metres.line, "one system of coordinates for the whole survey")  # fmt: skip


def _tree(plane: Plane, found: Found) -> tuple[Tree | None, list[float] | None]:
    """The tree of runs, and how far each place is off the lines."""
    if not plane.lines:
        return straight_tree(plane.xy), None
    first = plane.boxes[0].row
    try:
        network = LineNetwork(plane.lines, plane.xy)
    except TooManyCrossings:
        said = f"the lines cross one another more than {MOST_CROSSINGS:,} times"
        found.tell(first.file, "error", "survey-too-large", said, first.line, hint="give the lines of this job alone")
        return None, None
    if network.off_m.min() > FAR_FROM_LINES_M:
        said = f"the lines are {network.off_m.min() / 1000:,.0f} km away from the nearest point"
        found.tell(first.file, "error", "survey-apart", said, first.line, "lines and points of one site")
        return None, None
    tree = tree_along(network.graph, plane.xy)
    if tree.straight:
        ids = listed((plane.boxes[place - 1].id for place in sorted(tree.straight)), FEW)
        nearest = plane.boxes[min(tree.straight) - 1].row
        said = f"the lines do not lead to {ids}: the runs there go straight from the nearest box"
        hint = "join the lines where the trenches meet"
        found.tell(nearest.file, "warning", "survey-lines-apart", said, nearest.line, hint=hint)
    return tree, network.off_m.tolist()


FAR_OFF_M = 2.0
"""A box farther than this from the nearest line is told."""
LEAST_RUN_M = 0.1
"""A run between points in the same place: two boxes are never that near, so it is told."""
_TEXT_KEYS = ("device", "address", "stations", "name", "surface")


@dataclass(frozen=True)
class SurveyJob:
    """The text of the new job file, and what was done and guessed, in lines for a reader."""

    text: str
    said: tuple[str, ...]


def survey_job(base: BaseJob, known: Known, plane: Plane, tree: Tree, off_m: list[float] | None, out: Path,
               files: list[str], read: Sequence[str] = ()) -> SurveyJob:  # fmt: skip
    """Put the boxes into the base; ``off_m`` says how far each place is off the lines, nothing where there are none.

    ``read`` says how the files were read.
    """
    writer = _Boxes(base, known, plane, tree, off_m)
    boxes = list(writer.lines())
    runs = {frozenset((writer.names[i], writer.names[tree.parent[i]])) for i in tree.order[1:]}
    rings, of_rings = base.rings(writer.names, runs)
    said = [*writer.said(), *of_rings, *read, *writer.guesses()]
    head = [f"# Imported from {remark(', '.join(files))}", *(line for each in said for line in remark_lines(each)), ""]
    east, north = plane.xy[0].tolist()
    path_lines = [
        f"  controller_at: [{_number(east)}, {_number(north)}]",
        *([f"  each: {flow_text(writer.each)}{writer.each_remark}"] if writer.each else []),
        "  boxes:",
        *boxes,
        *rings,
    ]
    lines = [*head, *base.lines_with(out, base.path_keys(), path_lines)]
    return SurveyJob("\n".join(lines).rstrip("\n") + "\n", tuple(said))


class _Boxes:
    """Writes the boxes in path order, and counts what is guessed."""

    def __init__(self, base: BaseJob, known: Known, plane: Plane, tree: Tree, off_m: list[float] | None) -> None:
        self.base, self.known, self.plane, self.tree, self.off_m = base, known, plane, tree, off_m
        self.counted: Counter[str] = Counter()
        self.each: dict[str, object] = dict(base.each)
        self.each_remark = ""
        taken = []
        if "surface" not in self.each and any("surface" not in point.facts for point in plane.boxes):
            self.each["surface"] = f"{ASSUMED}{SURFACES[0]}"
            taken.append("surface")
        lacks = any("device" not in point.facts for point in plane.boxes)
        if lacks and "device" not in self.each and known.device is not None:
            self.each["device"] = f"{ASSUMED}{known.device}"
            taken.append("device")
        if taken:
            self.each_remark = f"  # guessed: {' and '.join(taken)} of every box that states none"
        self.taken = taken
        self.used = {number for point in plane.boxes for number in point.stations}
        self.next = 1
        self.names = [CONTROLLER, *(point.id for point in plane.boxes)]

    def lines(self) -> Iterator[str]:
        """One line for each box."""
        for place in self.tree.order[1:]:
            entry, notes = self._entry(place)
            for note in notes:
                self.counted[note[0]] += 1
            told = "; ".join(note[1] for note in notes if note[1])
            yield f"    - {flow_text(entry)}{f'  # {remark(told)}' if told else ''}"

    def _entry(self, place: int) -> tuple[dict[str, object], list[tuple[str, str]]]:
        point, fed_from = self.plane.boxes[place - 1], self.tree.parent[place]
        entry: dict[str, object] = {"id": point.id, "from": self.names[fed_from]}
        run_m, notes = self._run(place, fed_from)
        entry["run"] = _length(run_m, self.base.in_feet)
        entry["at"] = [resolve(_number(each)) for each in self.plane.xy[place].tolist()]
        entry.update((key, point.facts[key]) for key in _TEXT_KEYS if key in point.facts)
        entry.update((key, text) for key, text in point.facts.items() if key not in _TEXT_KEYS)
        for key in ("electrode", "existing"):
            if key in entry:
                entry[key] = resolve(str(entry[key]))
        name = point.facts.get("device", self.known.device or NO_DEVICE)
        wanted = self.known.outputs.get(name, 0) if point.outputs is None else point.outputs
        if point.stations:
            entry["stations"] = list(point.stations)
        elif wanted:
            entry["stations"] = self._numbers(wanted)
            notes.append(("stations numbered along the path", ""))
        notes += [(guess, guess) for guess in point.guessed]
        return entry, notes

    def _run(self, place: int, fed_from: int) -> tuple[float, list[tuple[str, str]]]:
        """Length of the run to a place, metres, with what is guessed about it."""
        metres, notes = float(self.tree.run_m[place]), []
        if math.dist(self.plane.xy[place], self.plane.xy[fed_from]) < SAME_PLACE_M:
            said = f"in the same place as {self.names[fed_from]}"
            return max(metres, LEAST_RUN_M), [("in the same place as another point", said)]
        if self.off_m is None:
            metres *= 1 + self.base.detour
        elif place in self.tree.straight:
            notes.append(("straight, as no line leads there", "straight: no line leads here"))
            metres *= 1 + self.base.detour
        if self.off_m is not None and self.off_m[place] > FAR_OFF_M:
            told = _length(self.off_m[place], self.base.in_feet, 1)
            notes.append((f"more than {FAR_OFF_M:g} m off the lines", f"{told} off the nearest line"))
        return max(metres, LEAST_RUN_M), notes

    def _numbers(self, wanted: int) -> list[int]:
        """The next station numbers that no point has."""
        numbers: list[int] = []
        while len(numbers) < wanted:
            if self.next not in self.used:
                numbers.append(self.next)
            self.next += 1
        return numbers

    def said(self) -> list[str]:
        """How places and runs were made."""
        whole = sum(float(each) for each in self.tree.run_m)
        added = f"{100 * self.base.detour:g} %"
        if self.off_m is None:
            runs = (
                "run: each box is joined to the nearest so that the sum of the straight lines is least (minimum "
                f"spanning tree); {added} is added. A trench is longer than a straight line: measure it and correct "
                "the run."
            )
        else:
            off = sum(self.off_m)
            runs = (
                "run: along the lines, by the shortest way from box to box. The sum of all runs is the least there is "
                "(minimum spanning tree over these ways). Cables branch in boxes only: where lines branch without a "
                "box, two runs share a trench. From a line to a box the way is straight, "
                f"{_length(off, self.base.in_feet, 1)} in all."
            )
        total = _length(whole * (1 + self.base.detour if self.off_m is None else 1), self.base.in_feet, 1)
        whole_job = f"{count(len(self.plane.boxes), 'box', 'boxes')}, {total} of runs"
        return [whole_job, self.plane.said, f"controller: {self.plane.controller}", runs]

    def guesses(self) -> list[str]:
        """What was guessed, each with how many boxes it concerns."""
        told = [f"Guessed: {each}" for each in self.plane.guessed]
        if "surface" in self.taken:
            told.append(f"Guessed: the surface is {SURFACES[0]} where none is stated; other surfaces need more cover")
        if "device" in self.taken:
            told.append(f"Guessed: the device is {self.known.device} where none is stated")
        given = self.base.path_keys()
        told += [f"Guessed: {key} is {given[key]}; the base states none" for key in self.base.left_out()]
        told += [f"Guessed: {what} ({count(number, 'box', 'boxes')})" for what, number in sorted(self.counted.items())]
        return told


def _number(value: float) -> str:
    """A coordinate to the centimetre."""
    return f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")


def _length(metres: float, in_feet: bool, digits: int = 2) -> str:
    """A length as a job writes it, never shorter than it is: ``43.05 m``, or ``141.2 ft``."""
    unit = UNIT_M["ft"] if in_feet else 1.0
    parts = 10.0**digits
    up = math.ceil((metres - SAME_M) / unit * parts) / parts
    return f"{up:.{digits}f}".rstrip("0").rstrip(".") + (" ft" if in_feet else " m")
