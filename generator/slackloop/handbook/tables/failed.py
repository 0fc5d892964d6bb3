"""The banner of a table whose inputs failed a check."""

from __future__ import annotations

from slackloop.handbook import format as fmt
from slackloop.handbook.context import Context


def failed_banner(context: Context, *words: str) -> str:
    """What is wrong with a table whose errors have codes that start with one of ``words``; empty when nothing is."""
    wrong = [f for f in context.analysis.findings if f.level == "error" and f.code.startswith(words)]
    if not wrong:
        return ""
    more = f" And {fmt.count(len(wrong) - 1, 'more error', 'more errors')}." if len(wrong) > 1 else ""
    return f"{wrong[0].message.rstrip('.')}.{more} See the findings."
