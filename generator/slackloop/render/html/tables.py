"""Tables as HTML: a caption, a head with scopes, parts with their titles, notes and the source line."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from slackloop.document.inline import Line, line, plain
from slackloop.document.source_line import source_line
from slackloop.document.table import Cell, Column, Part, Table
from slackloop.language.messages import said
from slackloop.render.html.inline import Place, has_only_links, line_html
from slackloop.render.html.tag import tag, together

NOT_GOOD = "Not good: do not build from this table"


def table_html(table: Table, place: Place, *, titled: bool = False, sourced: bool = True,
               folded: bool = False) -> Markup:  # fmt: skip
    """A whole table: what is wrong with it first, then its parts, each in a frame that can be scrolled, or folded."""
    parts = []
    if table.banner:
        parts.append(
            tag("div", tag("p", NOT_GOOD, class_="box-title"), tag("p", table.banner), class_="box danger", role="note")
        )
    if table.intro:
        parts.append(tag("p", line_html(table.intro, place)))
    if not table.rows:
        parts.append(tag("p", "Nothing to list on this job."))
    done = 0
    for part in table.parts:
        anchors = table.row_anchors[done : done + len(part.rows)]
        done += len(part.rows)
        if part.rows:
            frame = _frame(table, part, anchors, place, titled=titled)
            if folded and part.title:
                frame = tag("details", tag("summary", part.title), frame, class_="folded")
            parts.append(frame)
    parts += [tag("p", line_html(note, place), class_="table-note") for note in table.notes]
    if sourced:
        parts.append(tag("p", line_html(_said(source_line(table)), place), class_="table-source"))
    return together(parts)


def _frame(table: Table, part: Part, anchors: Sequence[str], place: Place, *, titled: bool) -> Markup:
    shown = table.page_columns
    title = part.title or (table.title if titled else "")
    name = title or table.title
    heads = [tag("th", table.columns[n].heading, scope="col", class_=_side(table.columns[n])) for n in shown]
    rows = [
        tag(
            "tr",
            *(_cell(row[n], table.columns[n], n == shown[0], place) for n in shown),
            id=anchors[number] if anchors else None,
        )
        for number, row in enumerate(part.rows)
    ]
    caption = tag("caption", title) if title else Markup("")
    grid = tag("table", caption, tag("thead", tag("tr", *heads)), tag("tbody", *rows))
    return tag("div", grid, class_="table-frame", id=part.anchor or None, tabindex=0, role="region", aria_label=name)


def _cell(cell: Cell, column: Column, first: bool, place: Place) -> Markup:
    text = line_html(cell.line, place)
    lone = "lone" if has_only_links(cell.line) else ""
    if first and not column.is_figure:
        return tag("th", text, scope="row", class_=lone)
    return tag("td", text, class_=f"{_side(column)} {lone}".strip(), title=cell.why_not or None)


def _side(column: Column) -> str:
    return "figure" if column.is_figure else ""


def _said(told: Line) -> Line:
    """A line of words alone as it is said."""
    return line(said(plain(told)))
