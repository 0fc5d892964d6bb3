"""Points and lines of a survey in metres on one plane, with the controller first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from slackloop.survey.csv_rows import Found
from slackloop.survey.points import UNIT_M, Point, Points

Floats = NDArray[np.float64]

EARTH_M = 6_371_000.0
"""Mean radius of the earth, as any table has it."""
FURTHEST_M = 50_000.0
"""How far a point may be from the middle of the survey: there the projection is 1 cm in 1 km too long."""


@dataclass
class Plane:
    """The survey in metres: ``xy`` of shape ``(n + 1, 2)``, the controller first, then each of ``boxes``."""

    boxes: list[Point]
    xy: Floats
    lines: list[Floats]
    said: str
    """How places were made, for a reader."""
    controller: str
    """Where the controller was taken from, for a reader."""
    guessed: list[str] = field(default_factory=list)


def on_plane(points: Points, found: Found, from_place: tuple[float, float] | None) -> Plane | None:
    """The survey on a plane, or nothing where no box is left or it does not fit together; findings say why."""
    boxes = list(points.points)
    given = [each for each in (*boxes, points.controller) if each is not None]
    if not given:
        return None
    middle = _middle(np.array([each.place for each in given]), points.in_degrees)
    near = _near(given, middle, points.in_degrees, found)
    boxes = [each for each in boxes if id(each) in near]
    controller = points.controller if points.controller is not None and id(points.controller) in near else None
    guessed: list[str] = []
    if from_place is not None:
        start, said = from_place, "the place given with --from"
    elif controller is not None:
        start, said = controller.place, f"the point {controller.id}"
    elif boxes:
        first = boxes.pop(0)
        start, said = first.place, f"the first point, {first.id}"
        guessed.append(f"controller: at {said}; no point has the id controller")
        found.tell(first.row.file, "warning", "survey-controller-guessed",
                   f"the controller is taken to be at {said}, which gets no box", first.row.line,
                   hint="give the place with --from X,Y, or call one point controller")  # fmt: skip
    if not boxes:
        return None
    if from_place is not None:
        scale = UNIT_M.get(points.unit.casefold() or "m", 1.0)
        start = from_place if points.in_degrees else (from_place[0] * scale, from_place[1] * scale)
        if _away_m(np.array([start]), middle, points.in_degrees)[0] > FURTHEST_M:
            _refuse(found, boxes[0], "the place given with --from is far away from all points")
            return None
    places = np.array([start, *(each.place for each in boxes)])
    if any(found.line_files) and not points.in_degrees:
        _refuse(found, boxes[0], "the points have x and y, and the lines have longitude and latitude",
                "both in one system: a table of lines has the columns line, x and y")  # fmt: skip
        return None
    lines = [np.array(each) for each in (*found.lines, *points.lines)]
    if not points.in_degrees:
        said_place = _metres_said(points, found, boxes[0], guessed)
        return Plane(boxes, places, lines, said_place, said, guessed)
    centre = _middle(places, in_degrees=True).round(6)
    xy, lines = _projected(places, lines, centre)
    lat, lon = centre[1], centre[0]
    words = (
        f"at: metres east and north of {abs(lat):.6f} {'N' if lat >= 0 else 'S'}, "
        f"{abs(lon):.6f} {'E' if lon >= 0 else 'W'} (azimuthal equidistant about the middle of the points, WGS 84)"
    )
    return Plane(boxes, xy, lines, words, said, guessed)


def _projected(places: Floats, lines: list[Floats], centre: Floats) -> tuple[Floats, list[Floats]]:
    """Degrees as metres from ``centre`` on the azimuthal equidistant projection, true to length from there."""
    from pyproj import Proj

    plane = Proj(proj="aeqd", lon_0=float(centre[0]), lat_0=float(centre[1]), ellps="WGS84", units="m")

    def metres(degrees: Floats) -> Floats:
        east, north = plane(degrees[:, 0], degrees[:, 1])
        return np.column_stack([east, north])

    return metres(places), [metres(each) for each in lines]


def _metres_said(points: Points, found: Found, first: Point, guessed: list[str]) -> str:
    if points.unit:
        return f"at: x and y as surveyed, unit {points.unit}, in metres"
    guessed.append("unit: x and y taken as metres; the survey names no unit")
    found.tell(first.row.file, "warning", "survey-unit-guessed", "x and y are taken as metres: no unit is named",
               expected="the unit in the first row, as x_m or x_ft, or a column unit")  # fmt: skip
    return "at: x and y as surveyed, taken as metres"


def _refuse(found: Found, near: Point, message: str, expected: str = "") -> None:
    found.tell(near.row.file, "error", "survey-apart", message, near.row.line, expected)
    found.refused = True


def _unit_vectors(degrees: Floats) -> Floats:
    lon, lat = np.radians(degrees[:, 0]), np.radians(degrees[:, 1])
    return np.column_stack([np.cos(lat) * np.cos(lon), np.cos(lat) * np.sin(lon), np.sin(lat)])


def _middle(places: Floats, in_degrees: bool) -> Floats:
    """The median place, which a single point far away does not move; in degrees also where 180 degrees is crossed."""
    if not in_degrees:
        return np.asarray(np.median(places, axis=0))
    east, north, up = np.median(_unit_vectors(places), axis=0)
    return np.degrees([np.arctan2(north, east), np.arctan2(up, np.hypot(east, north))])


def _away_m(places: Floats, middle: Floats, in_degrees: bool) -> Floats:
    """How far places are from ``middle``, metres; in degrees on a sphere, good enough to see a slip."""
    if not in_degrees:
        return np.asarray(np.hypot(*(places - middle).T))
    chord = np.linalg.norm(_unit_vectors(places) - _unit_vectors(middle[None]), axis=1)
    return np.asarray(2 * EARTH_M * np.arcsin(np.minimum(chord / 2, 1.0)))


def _near(given: Sequence[Point], middle: Floats, in_degrees: bool, found: Found) -> set[int]:
    """The points that are near enough to the middle, by ``id``; each of the others is named."""
    away = _away_m(np.array([each.place for each in given]), middle, in_degrees)
    near = set()
    for point, metres in zip(given, away.tolist(), strict=True):
        if metres <= FURTHEST_M:
            near.add(id(point))
            continue
        wrong = f"{point.id} is {metres / 1000:,.0f} km from the middle of the survey"
        hint = "see whether longitude and latitude are swapped, or a sign is missing"
        found.keep(point.row.wrong(wrong, expected=f"at most {FURTHEST_M / 1000:.0f} km", hint=hint))
    return near
