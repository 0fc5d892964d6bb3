"""Ways from a page to others as HTML: the field for a box number, the boxes beside this one, doors and lists."""

from __future__ import annotations

from markupsafe import Markup

from slackloop.document.blocks import BoxFinder, BoxWay, Doors
from slackloop.document.pages.section_page import EMERGENCY
from slackloop.document.target import FileTarget, PageTarget, Target
from slackloop.language.messages import said
from slackloop.render.html.inline import Place, line_html
from slackloop.render.html.tag import tag

VALUES_FILE = "assets/look/box-values.js"
"""What sections show of each box; only pages that ask for it load it."""


def finder_html(block: BoxFinder, place: Place) -> Markup:
    """The field is hidden where scripts are off; the list of boxes is then the way."""
    if not block.values:
        return _finder(block.label, "")
    rows = [
        tag("div", tag("dt", label), tag("dd", data_value=name), hidden=True) for name, label in block.values
    ]
    values = tag("script", src=place.address(FileTarget(VALUES_FILE)))
    shown = tag("dl", *rows, class_="box-values", aria_live="polite")
    return _finder(block.label, shown, class_="my-box", go=said("Show")) + values


def way_html(block: BoxWay, place: Place) -> Markup:
    """Before, field and after in one bar."""
    before = _near("before", said("Previous"), block.before, place)
    after = _near("after", said("Next"), block.after, place)
    return tag("nav", before, _finder(said("Box number"), ""), after, class_="thumb box-way", aria_label=said("Boxes"))


def _near(side: str, word: str, way: tuple[str, Target] | None, place: Place) -> Markup:
    if way is None:
        return tag("span", class_=side)
    name, target = way
    return tag("a", tag("span", name), class_=side, href=place.address(target), aria_label=f"{word}: {name}")


def _finder(label: str, values: Markup | str, *, class_: str = "", go: str = "") -> Markup:
    field = tag(
        "input", id="box-field", name="box", type="text", autocomplete="off", autocapitalize="off", enterkeyhint="go",
        spellcheck="false", aria_describedby="box-said",
    )  # fmt: skip
    return tag(
        "form", tag("label", label, for_="box-field"), field, tag("button", go or said("Go"), type="submit"),
        tag("p", id="box-said", role="status"), tag("ul", class_="box-found"), values,
        class_=f"box-finder {class_}".strip(), hidden=True,
    )  # fmt: skip


def doors_html(block: Doors, place: Place) -> Markup:
    """Doors, lines of a list, or short names side by side."""
    ways = [
        tag(
            "a", tag("strong", line_html(title, place)), tag("span", line_html(more, place)) if more else "",
            href=place.address(target), class_="emergency" if _is_emergency(target) else "",
        )
        for title, target, more in block.doors
    ]  # fmt: skip
    if block.look == "doors":
        return tag("div", *ways, class_="doors")
    return tag("ul", *(tag("li", way) for way in ways), class_=block.look)


def _is_emergency(target: Target) -> bool:
    return isinstance(target, PageTarget) and target.page.endswith(f"/{EMERGENCY}")
