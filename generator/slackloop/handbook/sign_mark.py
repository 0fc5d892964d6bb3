"""A safety sign small enough to stand in a line: the shape of its group with its ISO 7010 number.

The words beside it say the same, so it is hidden from readers who hear the page.
"""

from __future__ import annotations

import re
from functools import cache

from slackloop.handbook.figures.signs import sign_figure
from slackloop.handbook.text import Trusted

SIZE_PX = 30
_HEAD = re.compile(r"<svg[^>]*>")
_WORDS = re.compile(r"<(title|desc)\b[^>]*>.*?</\1>", re.DOTALL)


@cache
def sign_mark(number: str) -> Trusted:
    """The sign as inline HTML; nothing for an empty number. Raises ``ValueError`` for what is no sign number."""
    if not number:
        return Trusted("")
    drawn = _WORDS.sub("", sign_figure("sign", number, number).svg)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 72 72" width="{SIZE_PX}" height="{SIZE_PX}" '
        'aria-hidden="true" fill="none" font-family="sans-serif">'
    )
    return Trusted(f'<span class="sign-mark">{_HEAD.sub(head, drawn, count=1)}</span>')
