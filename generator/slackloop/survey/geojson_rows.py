"""Points and lines out of GeoJSON (RFC 7946): longitude and latitude on WGS 84, in decimal degrees."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from slackloop.site.plain_fields import shown
from slackloop.source.finding import Finding
from slackloop.source.suggestions import listed
from slackloop.survey.csv_rows import KEY_OF, Found, Row, SurveyFile

DEEPEST = 40
"""Deepest nesting that is read; a line of a collection in a feature needs ten levels."""
MOST_PARTS = 100_000
"""Most geometries of one file."""
MOST_NAMED = 6
"""So many features of a kind that is not read are named; all are counted."""
MOST_LISTED = 200
"""Most items of a list of stations; no device has as many outputs."""
_TOKEN = re.compile(r'"(?:[^"\\]|\\.)*"|[{}\[\]]', re.DOTALL)
_SPACE = re.compile(r"[ \t\n\r]*")
_EXPECTED = "a FeatureCollection, a Feature or a geometry as RFC 7946 states them"
_SAME_SYSTEM = re.compile(r"CRS84|EPSG:+4326", re.IGNORECASE)


def read_geojson(file: SurveyFile, found: Found, lines_only: bool = False) -> None:
    """Read every point and line of a file into ``found``; with ``lines_only`` points are passed over."""
    too_deep = _too_deep(file.text)
    if too_deep:
        found.refuse(file, f"the file nests deeper than {DEEPEST} levels here", too_deep, _EXPECTED)
        return
    try:
        whole = json.loads(file.text, parse_constant=str)
    except json.JSONDecodeError as problem:
        found.refuse(file, f"this is not JSON: {problem.msg.lower()}", problem.lineno, _EXPECTED)
        return
    except (ValueError, RecursionError):
        found.refuse(file, "the file holds a number that is too long to read", expected=_EXPECTED)
        return
    if not isinstance(whole, dict) or not isinstance(whole.get("type"), str):
        found.refuse(file, "this is not GeoJSON: it has no type", expected=_EXPECTED)
        return
    system = whole.get("crs")
    if system is not None and not _SAME_SYSTEM.search(json.dumps(system)):
        found.refuse(file, "the file names another system of coordinates", expected="longitude and latitude on WGS 84",
                     hint="save it again as RFC 7946, which has no crs")  # fmt: skip
        return
    features = whole.get("features") if whole["type"] == "FeatureCollection" else [whole]
    if not isinstance(features, list):
        found.refuse(file, "features is not a list", expected=_EXPECTED)
        return
    over: dict[str, list[Row]] = {}
    places = _feature_places(file.text) if whole["type"] == "FeatureCollection" else [_place(file.text, 0)]
    for number, (feature, (line, column)) in enumerate(zip(features, places, strict=True), 1):
        row = Row(file, line, f"feature {number}{_named(feature)}", {}, column)
        if not _take(row, feature, found, over, lines_only):
            break
    for kind, rows in over.items():
        said = f"{listed([row.name for row in rows], MOST_NAMED)}: a {kind} is not read"
        if len(rows) > 1:
            said += f" ({len(rows):,} features)"
        expected = "points for boxes, lines for trenches or pipes"
        finding = Finding("warning", "survey-passed-over", said, expected=expected)
        found.keep(file.place(finding, rows[0].line, column=rows[0].column))


def _too_deep(text: str) -> int:
    """The line where the file nests too deep, 0 for none."""
    depth = 0
    for match in _TOKEN.finditer(text):
        if match[0] in "{[":
            depth += 1
            if depth > DEEPEST:
                return text.count("\n", 0, match.start()) + 1
        elif match[0] in "}]":
            depth -= 1
    return 0


def _feature_places(text: str) -> list[tuple[int, int]]:
    """Line and column where each item of the top list ``features`` begins, in a text that is good JSON."""
    read = json.JSONDecoder(parse_constant=str).raw_decode
    places: list[tuple[int, int]] = []
    at = _past_space(text, _past_space(text, 0) + 1)
    while text[at] == '"':
        key, at = read(text, at)
        at = _past_space(text, _past_space(text, at) + 1)
        if key == "features" and text[at] == "[":  # of two that are named so, the last one counts
            places = list(_item_places(text, at))
        _, at = read(text, at)
        at = _past_space(text, at)
        if text[at] == ",":
            at = _past_space(text, at + 1)
    return places


def _item_places(text: str, at: int) -> Iterator[tuple[int, int]]:
    """Line and column of each item of the list that begins at ``at``."""
    read = json.JSONDecoder(parse_constant=str).raw_decode
    line, counted = 1, 0
    at = _past_space(text, at + 1)
    while text[at] != "]":
        line += text.count("\n", counted, at)
        counted = at
        yield line, at - text.rfind("\n", 0, at)
        _, at = read(text, at)
        at = _past_space(text, at)
        if text[at] == ",":
            at = _past_space(text, at + 1)


def _past_space(text: str, at: int) -> int:
    """The first place from ``at`` on that holds no space."""
    match = _SPACE.match(text, at)
    return match.end() if match else at


def _place(text: str, at: int) -> tuple[int, int]:
    """Line and column of the first sign that is no space."""
    at = _past_space(text, at)
    return text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at)


def _named(feature: Any) -> str:
    """The id of a feature in brackets, where it states one."""
    if not isinstance(feature, dict):
        return ""
    properties = feature.get("properties")
    texts = _cells(properties if isinstance(properties, dict) else {}, feature.get("id"))[0]
    return f" ({shown(texts['id'])})" if "id" in texts else ""


def _take(row: Row, feature: Any, found: Found, over: dict[str, list[Row]], lines_only: bool) -> bool:
    """Keep what one feature holds; false where there is too much of it. ``over`` gets what is not read, once each."""
    if not isinstance(feature, dict):
        found.keep(row.wrong("this is not a feature", expected=_EXPECTED))
        return True
    is_feature = feature.get("type") == "Feature"
    geometry = feature.get("geometry") if is_feature else feature
    parts = list(_geometries(geometry)) if isinstance(geometry, dict) else []
    if not parts:
        found.keep(row.wrong("it has no place", expected="a geometry of type Point or LineString"))
        return True
    properties = feature.get("properties") if is_feature else None
    cells, wrong = _cells(properties if isinstance(properties, dict) else {}, feature.get("id"))
    points = sum(kind == "Point" for kind, _ in parts)
    if points and not lines_only and (wrong or points > 1):
        said = wrong or "it holds several points, and a box has one place"
        found.keep(row.wrong(said, expected="" if wrong else "one point for each feature"))
        return True
    for kind, places in parts:
        if kind == "Point" and not lines_only:
            pair = _pair(places)
            texts = {"lon": pair[0], "lat": pair[1]} if pair else {}
            if not found.add_row(replace(row, cells={**cells, **texts})):
                return False
        elif kind == "LineString":
            numbers = [_numbers(place) for place in places] if isinstance(places, list) else []
            good = [each for each in numbers if each is not None]
            if len(good) < 2 or len(good) < len(numbers):
                found.keep(row.wrong("a line needs two places or more, each a longitude and a latitude"))
            elif not found.add_line(row.file, good, row.line):
                return False
        else:
            known = kind if kind in ("Point", "Polygon", "MultiPolygon") else "geometry of another type"
            rows = over.setdefault(known, [])
            if row not in rows[-1:]:
                rows.append(row)
    return True


def _geometries(geometry: dict[str, Any]) -> Iterator[tuple[str, Any]]:
    """Each single geometry with its coordinates, those of collections and of several in one too."""
    waiting: list[Any] = [geometry]
    for _ in range(MOST_PARTS):
        if not waiting:
            return
        each = waiting.pop()
        kind = each.get("type") if isinstance(each, dict) else None
        places = each.get("coordinates") if isinstance(each, dict) else None
        if kind == "GeometryCollection" and isinstance(each.get("geometries"), list):
            waiting += reversed(each["geometries"])
        elif kind in ("MultiPoint", "MultiLineString") and isinstance(places, list):
            yield from ((kind.removeprefix("Multi"), part) for part in places)
        else:
            yield (kind if isinstance(kind, str) else "", places)


def _pair(places: Any) -> tuple[str, str] | None:
    """Longitude and latitude of a place as texts; a height is left out."""
    if not isinstance(places, list) or len(places) < 2:
        return None
    return _text(places[0]) or "", _text(places[1]) or ""


def _numbers(place: Any) -> tuple[float, float] | None:
    """Longitude and latitude of a place on a line; nothing where they are none."""
    if not isinstance(place, list) or len(place) < 2:
        return None
    lon, lat = place[:2]
    if any(isinstance(each, bool) or not isinstance(each, int | float) for each in (lon, lat)):
        return None
    return (float(lon), float(lat)) if abs(lon) <= 180 and abs(lat) <= 90 else None


def _cells(properties: dict[str, Any], identity: Any) -> tuple[dict[str, str], str]:
    """The texts of a feature by key, and what is wrong with them."""
    cells: dict[str, str] = {}
    for word, value in properties.items():
        key = KEY_OF.get(word.strip().casefold(), "")
        if key in ("", "lon", "lat", "x", "y", "unit"):
            continue
        text = _text(value)
        if text is None:
            return cells, f"{word[:40]} is a map or a list of such"
        if text:
            cells.setdefault(key, text)
    text = _text(identity)
    if text:
        cells.setdefault("id", text)
    return cells, ""


def _text(value: Any) -> str | None:
    """A value of JSON as the text that a table would have; numbers of a list with spaces between."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, int | float):
        return f"{value:g}" if isinstance(value, float) and value.is_integer() and abs(value) < 1e6 else repr(value)
    if isinstance(value, list) and all(isinstance(each, int | str) for each in value):
        return " ".join(str(each) for each in value[:MOST_LISTED])
    return None
