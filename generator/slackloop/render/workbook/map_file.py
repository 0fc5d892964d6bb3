"""Boxes as a file for maps (GeoJSON, RFC 7946): a point for each box whose longitude and latitude were recorded."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from slackloop.document.page import DocumentHeader
from slackloop.document.table import Table
from slackloop.render.json.json_text import json_text
from slackloop.render.workbook.sheet import document_line, file_columns, file_rows

DECIMALS = 7
"""Of a degree: about a centimetre (RFC 7946, section 11.2)."""


def map_bytes(table: Table, places: Mapping[str, tuple[float, float]], header: DocumentHeader) -> bytes:
    """The rows of ``table`` whose first column names a box of ``places`` (longitude, latitude on WGS 84), in SI units.

    Text is data here as everywhere: JSON escapes it, and what a map shows of it is the map's business.
    """
    columns = file_columns(table, "metric")
    features: list[dict[str, Any]] = []
    for values in file_rows(table, columns):
        place = places.get(str(values[0]))
        if place is not None:
            told = {each.heading: value for each, value in zip(columns, values, strict=True) if value is not None}
            point = {"type": "Point", "coordinates": [round(part, DECIMALS) for part in place]}
            features.append({"type": "Feature", "id": str(values[0]), "geometry": point, "properties": told})
    record = {"type": "FeatureCollection", "document": document_line(header), "features": features}
    return (json_text(record) + "\n").encode("utf-8", "replace")
