"""Fields to fill in, as HTML: a label, the field with its unit and limits, and room for what the page has to say."""

from __future__ import annotations

from markupsafe import Markup

from slackloop.document.blocks import Form, FormField
from slackloop.render.html.inline import Place, line_html
from slackloop.render.html.tag import tag


def form_html(form: Form, place: Place) -> Markup:
    """The fields of one stage; the page's script reads names and limits from ``data-`` attributes."""
    about = tag("span", line_html(form.about, place), class_="about") if form.about else Markup("")
    title = tag("h3", form.title, " ", about) if form.title else Markup("")
    limits = tag("p", line_html(form.limits, place), class_="limits") if form.limits else Markup("")
    fields = [_field(each, place) for each in form.fields if each.kind != "sign"]
    codes = Markup(" ").join(tag("span", code, class_="check-id") for code in form.codes)
    seen = tag("p", line_html(form.seen, place), " ", codes, class_="seen") if form.seen else Markup("")
    signed = [_field(each, place) for each in form.fields if each.kind == "sign"]
    return tag("section", title, limits, *fields, seen, *signed, class_="form", id=form.anchor, aria_label=form.title)


def _field(each: FormField, place: Place) -> Markup:
    name = f"f-{each.id}"
    words = line_html(each.label, place)
    if each.kind == "tick":
        box = tag("input", type="checkbox", id=name, name=each.id)
        return tag("label", box, tag("span", words), tag("span", each.id, class_="check-id"), class_="tick-field")
    limit = tag("span", line_html(each.limit, place), class_="limit") if each.limit else Markup("")
    label = tag("label", words, for_=name)
    if each.kind == "note":
        entry = tag("textarea", id=name, name=each.id, rows=3)
    else:
        entry = tag(
            "input", id=name, name=each.id, type="text", autocomplete="off",
            inputmode="decimal" if each.kind == "number" else "", data_kind=each.kind, data_unit=each.unit,
            data_least=_bound(each.least), data_most=_bound(each.most),
        )  # fmt: skip
    unit = tag("span", each.unit, class_="unit") if each.unit else Markup("")
    said = tag("p", class_="said", role="status")
    return tag("div", label, limit, tag("div", entry, unit, class_="entry"), said, class_=f"field {each.kind}")


def _bound(value: float | None) -> str:
    return "" if value is None else repr(value)
