"""Tables as HTML: a caption, a head with scopes, parts with their titles, notes and the source line.

Fields to fill in, as HTML: a label, the field with its unit and limits, and room for what the page has to say.

The scripts of a page read what a field is, and its limits, from ``data-`` attributes: nothing of it is in a script.
"""

from __future__ import annotations

import json
from collections.abc import Sequence

from markupsafe import Markup

from slackloop.compute.circuit.conductor import REFERENCE_C
from slackloop.compute.circuit.loop import LoopRule
from slackloop.compute.circuit.path_volts import OffLimit
from slackloop.document.blocks import Form, FormField, RecordBar
from slackloop.document.inline import Line, line, plain
from slackloop.document.table import Cell, Column, Part, Table, source_line
from slackloop.language.messages import said
from slackloop.records.judgement import SOIL_LIKELY_K
from slackloop.records.result import CONTROLLER_CHECK
from slackloop.render.html.inline import Place, has_only_links, line_html, tag, together

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
            *(_cell(row[n], table.columns[n], n == shown[0], place, stacks=table.stacks) for n in shown),
            id=anchors[number] if anchors else None, role="row" if table.stacks else None,
        )
        for number, row in enumerate(part.rows)
    ]
    caption = tag("caption", title) if title else Markup("")
    grid = tag(
        "table", caption, tag("thead", tag("tr", *heads)), tag("tbody", *rows), role="table" if table.stacks else None
    )
    kind = "table-frame stacks" if table.stacks else "table-frame"
    return tag("div", grid, class_=kind, id=part.anchor or None, tabindex=0, role="region", aria_label=name)


def _cell(cell: Cell, column: Column, first: bool, place: Place, *, stacks: bool = False) -> Markup:
    text = line_html(cell.line, place)
    lone = "lone" if has_only_links(cell.line) else ""
    if first and not column.is_figure:
        return tag("th", text, scope="row", class_=lone, role="rowheader" if stacks else None)
    told = {"data_head": said(column.heading), "role": "cell"} if stacks else {}
    return tag("td", text, class_=f"{_side(column)} {lone}".strip(), title=cell.why_not or None, **told)


def _side(column: Column) -> str:
    return "figure" if column.is_figure else ""


def _said(told: Line) -> Line:
    """A line of words alone as it is said."""
    return line(said(plain(told)))


TYPES = {"tick": "checkbox", "date": "date"}


def form_html(form: Form, place: Place) -> Markup:
    """The fields of one stage or sheet."""
    about = tag("span", line_html(form.about, place), class_="about") if form.about else Markup("")
    title = tag("h3", form.title, " ", about) if form.title else Markup("")
    limits = tag("p", line_html(form.limits, place), class_="limits") if form.limits else Markup("")
    fields = [_field(each, form, place) for each in form.fields if each.first or each.kind != "sign"]
    codes = Markup(" ").join(tag("span", code, class_="check-id") for code in form.codes)
    seen = tag("p", line_html(form.seen, place), " ", codes, class_="seen") if form.seen else Markup("")
    signed = [_field(each, form, place) for each in form.fields if each.kind == "sign" and not each.first]
    return tag(
        "section", title, limits, *fields, seen, *signed, class_="form", id=form.anchor, aria_label=form.title,
        data_subject=form.subject,
    )  # fmt: skip


def _field(each: FormField, form: Form, place: Place) -> Markup:
    name = f"f-{form.subject}-{each.id}"
    words = line_html(each.label, place)
    entry = _entry(each, name)
    if each.kind == "tick":
        return tag("label", entry, tag("span", words), tag("span", each.id, class_="check-id"), class_="tick-field")
    limit = tag("span", line_html(each.limit, place), class_="limit") if each.limit else Markup("")
    mark = tag("span", class_="mark-of", aria_hidden="true")
    unit = tag("span", each.unit, class_="unit") if each.unit else Markup("")
    asked = tag("p", class_="said", role="status")
    if each.stop:
        asked = tag("div", asked, tag("p", line_html(each.stop, place), class_="stop", hidden=True), class_="told")
    shown = tag("div", entry, unit, mark, class_="entry")
    return tag("div", tag("label", words, for_=name), limit, shown, asked, class_=f"field {each.kind}")


def _entry(each: FormField, name: str) -> Markup:
    """The field itself, with all that a script has to know of it."""
    facts: dict[str, str | bool] = {
        "id": name, "name": each.id, "data_kind": each.kind, "data_unit": each.unit, "data_least": _bound(each.least),
        "data_most": _bound(each.most), "data_expected": each.expected, "data_subject": each.subject,
        "data_loop": _loop(each.loop) if each.loop else "", "data_hold": each.hold, "data_near": _near(each),
        "data_alone": each.alone, "data_later": each.later,
        "data_soil": json.dumps([*each.soil, SOIL_LIKELY_K], separators=(",", ":")) if each.soil else "",
        "data_off": _off(each.off) if each.off else "",
        "data_lowest": _bound(each.likely[0]), "data_highest": _bound(each.likely[1]),
        "placeholder": said("Signer's name") if each.hold else "",
    }  # fmt: skip
    if each.kind == "note":
        return tag("textarea", rows=2, **facts)
    if each.kind in TYPES:
        return tag("input", type=TYPES[each.kind], **facts)
    numeric = each.kind in ("number", "soil")
    return tag(
        "input", type="text", autocomplete="off", inputmode="decimal" if numeric else "", spellcheck="false", **facts
    )  # fmt: skip


def _bound(value: float | None) -> str:
    return "" if value is None else repr(value)


def _loop(rule: LoopRule) -> str:
    """What the limits at a soil temperature are worked out from, by ``LoopRule.at``'s own names."""
    return json.dumps({
        "expected": rule.expected_20c, "least": rule.least_20c, "tolerance": rule.tolerance,
        "fraction": rule.meter.fraction, "ohms": rule.meter.fixed, "alpha": rule.alpha_per_c, "reference": REFERENCE_C,
    }, separators=(",", ":"))  # fmt: skip


def _near(each: FormField) -> str:
    """The check that a reading is compared with: a loop in the coldest and the hottest soil and how far it may be from
    it, volts by their meter."""
    return json.dumps(each.near, separators=(",", ":")) if each.near else ""


def _off(limit: OffLimit) -> str:
    """What gives the least volts, by ``OffLimit.least``'s own names, and the check of those at the controller."""
    return json.dumps(
        {
            "check": CONTROLLER_CHECK, "below": limit.most_below, "unread": limit.unread, "floor": limit.floor,
            "meter": [limit.meter.fraction, limit.meter.fixed],
        },
        separators=(",", ":"),
    )  # fmt: skip


def writer_html(words: str) -> Markup:
    """Before the first field: what becomes of what is written, and who writes; the name is asked for by a script."""
    name = tag(
        "div", tag("label", said("Your name"), for_="writer"),
        tag("input", id="writer", type="text", autocomplete="name", spellcheck="false"), class_="writer", hidden=True,
    )  # fmt: skip
    return tag("p", words, class_="kept", role="status") + name


def bar_html(block: RecordBar, place: Place) -> Markup:
    """Save, take in, and what came of it; hidden where scripts are off."""
    taken = tag("input", type="file", id="record-file", accept=".csv,text/csv", multiple=True)
    progress = tag("p", class_="progress", hidden=True) if block.counted else Markup("")
    return tag(
        "div", progress,
        tag("button", said("Save as CSV"), type="button", class_="save"),
        tag("label", said("Take in a file"), taken, class_="take-in", for_="record-file"),
        tag("p", class_="count"), tag("p", class_="told", role="status"), class_="record-bar", hidden=True,
    )  # fmt: skip
