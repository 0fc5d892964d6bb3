"""Pages that list the boxes of an arm, in path order, at most forty a page."""

from __future__ import annotations

from slackloop.handbook import format as fmt
from slackloop.handbook.addresses import box_uri, relative
from slackloop.handbook.context import Context
from slackloop.handbook.groups import BoxGroup
from slackloop.handbook.page import Page
from slackloop.handbook.tables.table import Column, grid
from slackloop.handbook.text import blocks, escape, link, one_line

URI = "boxes-by-arm/all.md"


def group_page(context: Context, group: BoxGroup) -> Page:
    """The boxes of one group with their device, stations and readings."""
    rows = tuple(_row(context, index, group.uri) for index in group.indices)
    columns = (
        Column("Box"),
        Column("From"),
        Column("Run"),
        Column("Device"),
        Column("Stations"),
        Column("Loop at 20 °C", align="right"),
        Column("Lowest volts", align="right"),
    )
    markdown = blocks(
        [
            f"# {escape(group.title)}",
            "Boxes in the order in which the path reaches them. Each has a page of its own on the website"
            + (", and a card of its own in print." if context.cards_file else "."),
            _cards_line(context, group.uri),
            grid(columns, rows),
            '<p class="table-source">Source: the job file, and computed from it.</p>',
        ]
    )
    menu = ("Install", "Boxes", group.title)
    return Page(group.uri, one_line(group.title), markdown, menu, "index", description=one_line(group.title))


def _cards_line(context: Context, page: str) -> str:
    """A link to the printable cards, where there are any. It is not printed."""
    if not context.cards_file:
        return ""
    return f"{link('Print the cards', relative(context.cards_file, page))}\n{{: .screen-only }}"


def _row(context: Context, index: int, page: str) -> tuple[str, ...]:
    """One box."""
    box, analysis = context.box(index), context.analysis
    device = context.device(box)
    run = context.network.runs[index]
    return (
        link(box.id, relative(box_uri(box.id), page)),
        run.from_id,
        fmt.told(run.length, context.units),
        device.title if device else "None",
        ", ".join(str(station) for station in box.stations),
        fmt.ohms(analysis.loops.closed[index].ohms_20c, "nearest"),
        fmt.lowest_volts(analysis.volts.worst_volts[index]),
    )


def all_boxes_page(context: Context) -> Page:
    """Every group, with a link to each box in it."""
    parts = ["# Boxes", f"{fmt.count(len(context.network.boxes), 'box', 'boxes')} in path order."]
    for group in context.groups:
        parts.append(f"## {link(group.title, relative(group.uri, URI))}")
        names = [context.network.boxes[index] for index in group.indices]
        parts.append(", ".join(link(name, relative(box_uri(name), URI)) for name in names) + "\n{: .box-links }")
    if context.network.closures:
        rings = [link(run.id, relative(box_uri(run.id), URI)) for run in context.network.closures]
        parts += ["## Ring runs", ", ".join(rings) + "\n{: .box-links }"]
    return Page(URI, "All boxes", blocks(parts), ("Install", "Boxes"), "index", description="Every box of the path")
