"""Raw HTML in content: text, unless a section's front matter says ``raw_html: true``; even then it loads nothing.

How deep lists and quotes of a section may stand in each other: what is deeper, the parser passes over.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from html.parser import HTMLParser

from markdown_it import MarkdownIt

from slackloop.sections.content import Content
from slackloop.sections.hardcoded_numbers import section_texts
from slackloop.sections.section import Section
from slackloop.source.finding import Placed, found_at

_CODE = re.compile(r"(`+)(?!`).*?(?<!`)\1(?!`)", re.DOTALL)
"""Code in a text, which Markdown shows letter by letter already."""
_TAG = re.compile(r"<(?=[A-Za-z/!?])")
_DEFINITION = re.compile(r"^\s{0,3}\[[^\]]+\]:\s*<?(\S+?)>?\s*$", re.MULTILINE)
_SET_ATTRIBUTE = re.compile(r"\{:?[^{}%]*?(?<![\w-])(on\w+|style|src|srcset|href)\s*=", re.IGNORECASE)

# fmt: off
REFUSED_TAGS = frozenset({
    "script", "iframe", "frame", "frameset", "object", "embed", "applet", "portal", "link", "base", "meta", "style",
    "form", "input", "button", "select", "textarea", "audio", "video", "source", "track", "picture", "template",
    "noscript", "dialog", "slot", "foreignobject", "animate", "set",
})
LOADING = frozenset({
    "src", "srcset", "poster", "background", "data", "action", "formaction", "ping", "manifest", "codebase",
})
# fmt: on
_OUTSIDE = re.compile(r"[\s\x00-\x20]*(?:[a-z][a-z0-9+.-]*:|//|\\|/)", re.IGNORECASE)


def tags_as_text(text: str) -> str:
    """``text`` with every tag, comment and bracketed address shown as it is written; code stays as it is."""
    if "<" not in text:
        return text
    parts: list[str] = []
    after = 0
    for code in _CODE.finditer(text):
        parts += [_TAG.sub("&lt;", text[after : code.start()]), code[0]]
        after = code.end()
    return "".join([*parts, _TAG.sub("&lt;", text[after:])])


def raw_html_files(content: Content) -> frozenset[str]:
    """Files of the sections that allow raw HTML."""
    return frozenset(section.file for section in content.sections if section.front.raw_html)


def html_findings(section: Section) -> Iterator[Placed]:
    """An error for whatever a section would load, run or send, and a warning for each tag that is shown as text."""
    for text, line in section_texts(section):
        faults = [(text.count("\n", 0, at.start()), f"'{at[1]}' cannot be set here") for at in
                  _SET_ATTRIBUTE.finditer(text)]  # fmt: skip
        faults += [(text.count("\n", 0, at.start()), f"'{at[1]}' leads out of the handbook") for at in
                   _DEFINITION.finditer(text) if _OUTSIDE.match(at[1])]  # fmt: skip
        if section.front.raw_html:
            faults += _Reader(text).faults
        elif tags_as_text(text) != text:
            message = "a tag is shown as text; raw_html: true in the front matter makes it markup"
            yield found_at(section.file, line, "html-as-text", message, "warning")
        for after, message in faults:
            yield found_at(section.file, line + after, "html-loads", message)


class _Reader(HTMLParser):
    """Collects the line, from 0, and the message of each tag or attribute that could load, run or send something."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.faults: list[tuple[int, str]] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Look at one tag and what it sets."""
        line = self.getpos()[0] - 1
        if tag in REFUSED_TAGS:
            self.faults.append((line, f"<{tag}> is not allowed: a handbook loads, runs and sends nothing"))
        for name, value in attrs:
            bare = name.rpartition(":")[2]
            address = value or ""
            if name.startswith("on") or name == "style":
                self.faults.append((line, f"'{name}' is not allowed on <{tag}>"))
            elif bare in LOADING or (bare == "href" and tag != "a"):
                if not address.startswith("#"):
                    self.faults.append((line, f"'{name}' of <{tag}> would load {address[:60]!r}"))
            elif bare == "href" and _OUTSIDE.match(address):
                self.faults.append((line, f"'{address[:60]}' leads out of the handbook"))
            elif "url(" in address.lower().replace(" ", "") and not re.search(r"url\(\s*['\"]?#", address):
                self.faults.append((line, f"'{name}' of <{tag}> would load {address[:60]!r}"))


MOST_NESTED = 20
"""Levels that are read: a quote is one, a list two (the list and its item)."""
_HOLDS_MORE = ("blockquote_open", "list_item_open")


@lru_cache(maxsize=2)
def parser(raw_html: bool) -> MarkdownIt:
    """The one parser of sections: CommonMark with tables."""
    return MarkdownIt("commonmark", {"html": raw_html, "maxNesting": MOST_NESTED}).enable("table")


@lru_cache(maxsize=2048)
def too_deep(text: str) -> int | None:
    """The line, from 0, of the first list or quote whose content would be passed over; nothing where all is read."""
    for token in parser(False).parse(text):
        if token.type in _HOLDS_MORE and token.level >= MOST_NESTED - 1:
            return token.map[0] if token.map else 0
    return None
