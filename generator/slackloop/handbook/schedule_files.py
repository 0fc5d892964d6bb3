"""The schedules that a build puts beside its pages: their names, so that pages can link to them."""

from __future__ import annotations

from types import MappingProxyType

from slackloop.handbook.addresses import relative
from slackloop.handbook.text import Trusted, link, trusted

FOLDER = "schedules"
WORKBOOK = f"{FOLDER}/schedules.xlsx"

SCHEDULES: MappingProxyType[str, str] = MappingProxyType(
    {
        "materials": "Materials to order",
        "material-boxes": "Boxes that need each material",
        "boxes": "Boxes",
        "runs": "Runs",
        "splices": "Splices",
        "reels": "Reels",
        "loop-readings": "Loop readings",
        "electrodes": "Earth electrodes",
        "trench": "Cover and trench",
    }
)
"""Every schedule by its file name, in the order of the workbook's sheets."""

OF_TABLE: MappingProxyType[str, str] = MappingProxyType(
    {name: name for name in SCHEDULES if name != "material-boxes"} | {"cover": "trench"}
)
"""The schedule that holds the figures of a table's page."""


def csv_file(name: str) -> str:
    """Address of one schedule as comma-separated values."""
    return f"{FOLDER}/{name}.csv"


def file_links(table_id: str, page: str) -> str:
    """A line that links a table's page to its schedule; empty where it has none. It is not printed."""
    name = OF_TABLE.get(table_id)
    if name is None:
        return ""
    links = [link("comma-separated values (CSV)", relative(csv_file(name), page))]
    if name == "materials":
        links.append(link("the boxes that need each line (CSV)", relative(csv_file("material-boxes"), page)))
    links.append(link("workbook of all schedules (XLSX)", relative(WORKBOOK, page)))
    return trusted("As a file: " + ", ".join(links) + ".\n{: .screen-only }")


def workbook_link(page: str) -> Trusted:
    """A link to the workbook."""
    return link("Schedules as a workbook (XLSX)", relative(WORKBOOK, page))
