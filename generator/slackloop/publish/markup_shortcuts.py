"""Two shortcuts through the Markdown renderer that leave its answer as it was.

Most text in a handbook is plain words with marks written as numeric references (``&#44;``), which the
renderer would look at with each of its patterns and take apart one by one. References are put aside as
single signs before rendering and put back after it; text without any sign that means something inside a
line is not looked at again. ``tests/publish/test_markup.py`` holds both against the plain renderer.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from markdown.extensions import Extension
from markdown.extensions.toc import slugify
from markdown.treeprocessors import Treeprocessor
from markdown.util import AtomicString

from slackloop.publish.markup_rows import CLOSING, OPENING

if TYPE_CHECKING:
    import xml.etree.ElementTree as ElementTree

    from markdown import Markdown

_FIRST = 0x10FF00
"""Signs of the last private plane stand in for references; a page that holds any of them takes no shortcut."""
_REFERENCE = re.compile(r"&#(3[3-9]|4[0-7]|5[89]|6[0-4]|9[1-6]|12[3-6]);")
_STAND_IN = re.compile("[\U0010ff21-\U0010ff7e]")
_TAKEN = re.compile(f"[\U0010ff21-\U0010ff7e{OPENING}{CLOSING}]")
_MEANS_SOMETHING = re.compile(r"[`\\\[!<&*_\x02]| {2}\n")
"""What the renderer's patterns for the inside of a line begin with."""


def can_be_cut_short(text: str) -> bool:
    """Whether the signs that stand in for references and tables are free in ``text``."""
    return not _TAKEN.search(text)


def set_aside(text: str) -> str:
    """``text`` with each numeric reference to an ASCII mark as one sign."""
    return _REFERENCE.sub(lambda found: chr(_FIRST + int(found[1])), text)


def put_back(rendered: str) -> str:
    """HTML with each sign as its reference again."""
    return _STAND_IN.sub(lambda found: f"&#{ord(found[0]) - _FIRST};", rendered)


def put_back_heading(token: dict[str, Any]) -> dict[str, Any]:
    """The token of a heading and of those under it, with each sign as its reference again."""
    said = {key: put_back(value) if isinstance(value, str) else value for key, value in token.items()}
    return {**said, "children": [put_back_heading(one) for one in token["children"]]}


def heading_id(text: str, separator: str) -> str:
    """The renderer's own spelling of a heading's id, the signs read first."""
    return slugify(_STAND_IN.sub(_mark, text), separator)


def _mark(found: re.Match[str]) -> str:
    return chr(ord(found[0]) - _FIRST)


class PlainText(Treeprocessor):
    """Marks text that no pattern can match, so that none is tried."""

    def run(self, root: ElementTree.Element) -> None:
        """Before the patterns."""
        for element in root.iter():
            if element.text and not _MEANS_SOMETHING.search(element.text):
                element.text = AtomicString(element.text)


class Shortcuts(Extension):
    """Puts ``PlainText`` before the patterns."""

    def extendMarkdown(self, md: Markdown) -> None:  # the renderer's own name
        """Called by the renderer."""
        md.treeprocessors.register(PlainText(md), "plain-text", 25)
