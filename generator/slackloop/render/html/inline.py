"""Lines as HTML, and the address of each target from the page that links to it.

HTML elements built in code: all text is escaped, attributes keep their order, empty ones are left out.

Ways from a page to others as HTML: the field for a box number, the boxes beside this one, doors and lists.
"""

from __future__ import annotations

import posixpath
from dataclasses import dataclass
from functools import lru_cache
from urllib.parse import quote

from markupsafe import Markup, escape

from slackloop.document import inline
from slackloop.document.blocks import BoxFinder, BoxWay, Doors
from slackloop.document.inline import (
    FileTarget,
    Inline,
    Line,
    OtherLanguage,
    PageTarget,
    Target,
    WebTarget,
    links_in,
    plain,
)
from slackloop.document.pages.section_page import EMERGENCY
from slackloop.language.messages import said

Child = str | Markup
EMPTY = frozenset({"br", "hr", "img", "input", "link", "meta"})


def tag(name: str, /, *children: Child, **attributes: str | int | bool | None) -> Markup:
    """One element. ``class_`` and ``for_`` lose their underscore, others turn it into a hyphen.

    A child that is not ``Markup`` is text. ``True`` writes an attribute without a value; ``None``, ``False`` and an
    empty text write none.
    """
    given = [(key, value) for key, value in attributes.items() if value is not None and value is not False]
    shown = "".join([_attribute(key, value) for key, value in given if value != ""])
    if name in EMPTY:
        return Markup(f"<{name}{shown}>")
    inner = "".join([child if type(child) is Markup else _escaped(child) for child in children])
    return Markup(f"<{name}{shown}>{inner}</{name}>")


def together(parts: list[Markup]) -> Markup:
    """Parts one after another, a line each."""
    return Markup("\n".join(part for part in parts if part))


@lru_cache(maxsize=65536, typed=True)
def _escaped(text: str) -> Markup:
    """Kept: the pages of boxes by the hundred share most of their words; by type, as finished markup is no text."""
    return escape(text)


@lru_cache(maxsize=65536, typed=True)
def _attribute(key: str, value: str | int | bool) -> str:
    name = key.rstrip("_").replace("_", "-")
    return f" {name}" if value is True else f' {name}="{escape(str(value))}"'


@dataclass(frozen=True, slots=True)
class Place:
    """The page that is being written; addresses are relative to it, so that the folder works from a stick."""

    page: str

    def address(self, target: Target) -> str:
        """Where ``target`` is, seen from this page."""
        match target:
            case PageTarget(page, anchor):
                path = "" if page == self.page else self._relative(f"{page}.html")
                return path + (f"#{quote(anchor)}" if anchor else "") or "#"
            case FileTarget(name):
                return self._relative(name)
            case OtherLanguage(page, anchor):
                return self._relative(f"{page}.html") + (f"#{quote(anchor)}" if anchor else "")
            case WebTarget(address):
                return address

    def _relative(self, path: str) -> str:
        return _relative(path, posixpath.dirname(self.page) or ".")


@lru_cache(maxsize=65536)
def _relative(path: str, folder: str) -> str:
    return quote(posixpath.relpath(path, folder))


def line_html(line: Line, place: Place) -> Markup:
    """A line as HTML."""
    return Markup("".join([_inline(part, place) for part in line]))


def has_only_links(line: Line) -> bool:
    """Whether a line is links and no other words: each then is a target for a thumb, not a link inside text."""
    linked = "".join(plain(each.line) for each in links_in(line))
    return bool(linked) and _letters(plain(line)) == _letters(linked)


def _letters(text: str) -> int:
    return sum(map(str.isalnum, text))


def _inline(part: Inline, place: Place) -> Markup:
    match part:
        case inline.Text(text):
            return _escaped(text)
        case inline.Value(text):
            return tag("strong", text, class_="value")
        case inline.Strong(inner):
            return tag("strong", line_html(inner, place))
        case inline.Emphasis(inner):
            return tag("em", line_html(inner, place))
        case inline.Code(text):
            return tag("code", text)
        case inline.Link(inner, target):
            outside = isinstance(target, WebTarget)
            return tag("a", line_html(inner, place), href=place.address(target), rel="noreferrer" if outside else "")
        case inline.Mark(anchor):
            return tag("span", id=anchor)
        case inline.Break():
            return tag("br")


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
