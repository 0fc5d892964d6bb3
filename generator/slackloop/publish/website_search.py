"""What the search looks in: the words of a page under their headings, and nothing that every box repeats.

The theme reads a page's HTML tag by tag to find its words. It is given the words with few tags around
them, which halves the time of a build, and without the checks on the sheet of a box: they are the
method's own, and a search for one of them should lead to the method.
"""

from __future__ import annotations

import re

from slackloop.handbook.page import PageKind

_TAG = re.compile(r"<(/?)([a-zA-Z][\w-]*)((?:[^<>\"']|\"[^\"]*\"|'[^']*')*)>")
_FORM = re.compile(r"<form\b.*?</form>", re.DOTALL)
_PERMALINK = re.compile(r'<a class="headerlink".*?</a>', re.DOTALL)
_SPACES = re.compile(r"\s+")
_KEPT = frozenset({"h1", "h2", "h3", "h4", "h5", "h6", "p", "li", "ul", "ol", "code", "pre", "sub", "sup"})
_INLINE = frozenset({"a", "abbr", "b", "em", "i", "small", "span", "strong"})
_REPEATED = {"box": '<h2 id="checks"'}
"""By kind of page, where the part begins that is said elsewhere already."""


def searchable(html: str, kind: PageKind) -> str:
    """The words of a page's content under their headings, as HTML with few tags."""
    end = html.find(_REPEATED[kind]) if kind in _REPEATED else -1
    words = _FORM.sub(" ", _PERMALINK.sub("", html[:end] if end >= 0 else html))
    return _SPACES.sub(" ", _TAG.sub(_kept, words))


def _kept(tag: re.Match[str]) -> str:
    """A heading with its id, a tag that the results show, or the space between two cells."""
    name = tag[2].lower()
    if name not in _KEPT:
        return "" if name in _INLINE else " "
    if not tag[1] and name[0] == "h":
        return tag[0]
    return f"<{tag[1]}{name}>"
