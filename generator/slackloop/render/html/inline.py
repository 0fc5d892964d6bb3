"""Lines as HTML, and the address of each target from the page that links to it."""

from __future__ import annotations

import posixpath
from dataclasses import dataclass
from urllib.parse import quote

from markupsafe import Markup, escape

from slackloop.document.inline import (
    Break,
    Code,
    Emphasis,
    Inline,
    Line,
    Link,
    Mark,
    Strong,
    Text,
    Value,
    links_in,
    plain,
)
from slackloop.document.target import FileTarget, OtherLanguage, PageTarget, Target, WebTarget
from slackloop.render.html.tag import tag


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
        return quote(posixpath.relpath(path, posixpath.dirname(self.page) or "."))


def line_html(line: Line, place: Place) -> Markup:
    """A line as HTML."""
    return Markup("").join(_inline(part, place) for part in line)


def has_only_links(line: Line) -> bool:
    """Whether a line is links and no other words: each then is a target for a thumb, not a link inside text."""
    linked = "".join(plain(each.line) for each in links_in(line))
    return bool(linked) and _letters(plain(line)) == _letters(linked)


def _letters(text: str) -> int:
    return sum(map(str.isalnum, text))


def _inline(part: Inline, place: Place) -> Markup:
    match part:
        case Text(text):
            return escape(text)
        case Value(text):
            return tag("strong", text, class_="value")
        case Strong(inner):
            return tag("strong", line_html(inner, place))
        case Emphasis(inner):
            return tag("em", line_html(inner, place))
        case Code(text):
            return tag("code", text)
        case Link(inner, target):
            outside = isinstance(target, WebTarget)
            return tag("a", line_html(inner, place), href=place.address(target), rel="noreferrer" if outside else "")
        case Mark(anchor):
            return tag("span", id=anchor)
        case Break():
            return tag("br")
