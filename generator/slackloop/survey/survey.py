"""A survey from its files to a job file: read, put on a plane, joined to a tree, written into the base."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from slackloop.source.finding import Finding, Placed, by_place
from slackloop.source.suggestions import FEW, listed
from slackloop.survey.base_job import read_base
from slackloop.survey.csv_rows import Found, SurveyFile, read_csv, read_survey_file
from slackloop.survey.geojson_rows import read_geojson
from slackloop.survey.line_network import MOST_CROSSINGS, LineNetwork, TooManyCrossings
from slackloop.survey.local_plane import Plane, on_plane
from slackloop.survey.points import take_points
from slackloop.survey.shortest_tree import Tree, straight_tree, tree_along
from slackloop.survey.survey_job import SurveyJob, survey_job

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
    is_json = file.text.lstrip()[:1] in ("{", "[")
    if is_json:
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
        finding = Finding("error", "survey-apart", said, expected="lines and points of one site")
        found.keep(first.file.place(finding, first.line))
        return None, None
    tree = tree_along(network.graph, plane.xy)
    if tree.straight:
        ids = listed((plane.boxes[place - 1].id for place in sorted(tree.straight)), FEW)
        nearest = plane.boxes[min(tree.straight) - 1].row
        finding = Finding("warning", "survey-lines-apart",
                          f"the lines do not lead to {ids}: the runs there go straight from the nearest box",
                          hint="join the lines where the trenches meet")  # fmt: skip
        found.keep(nearest.file.place(finding, nearest.line))
    return tree, network.off_m.tolist()
