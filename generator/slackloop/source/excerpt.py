"""Findings as text for a terminal: place, message, the line with a caret, what was expected, the mend."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

from slackloop.source.finding import Placed

WIDEST = 100
"""Most characters of a line that are shown; longer lines are cut around the caret."""

_COLOURS = {"error": "\x1b[31;1m", "warning": "\x1b[33;1m", "note": "\x1b[36;1m"}
_RESET, _DIM = "\x1b[0m", "\x1b[2m"
_ZERO_WIDTH = frozenset(("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp", "Mn", "Me"))


def render(findings: Iterable[Placed], colour: bool = False) -> str:
    """All findings, a blank line between two; an empty text for none."""
    return "\n\n".join(render_one(finding, colour) for finding in findings)


def render_one(finding: Placed, colour: bool = False) -> str:
    """One finding in up to five lines."""
    paint = _COLOURS[finding.level] if colour else ""
    reset, dim = (_RESET, _DIM) if colour else ("", "")
    place = f"{harmless(finding.file)}:{finding.line}:{finding.column}"
    lines = [f"{place}: {paint}{finding.level}[{harmless(finding.code)}]{reset}: {harmless(finding.message)}"]
    if finding.excerpt.strip():
        shown, caret = excerpt_lines(finding.excerpt, finding.column)
        number = str(finding.line)
        lines.append(f"{dim}{number} |{reset} {shown}")
        lines.append(f"{dim}{' ' * len(number)} |{reset} {caret[:-1]}{paint}^{reset}")
    if finding.expected:
        lines.append(f"  expected: {harmless(finding.expected)}")
    if finding.hint:
        lines.append(f"  hint: {harmless(finding.hint)}")
    lines += [f"  {harmless(name)}: {harmless(each.sentence)}" for name, each in finding.part_answers]
    if finding.answer is not None:
        lines.append(f"  {harmless(finding.answer.sentence)}")
    return "\n".join(lines)


def excerpt_lines(line: str, column: int) -> tuple[str, str]:
    """The line, cut around ``column`` (from 1) where it is long, and a line with a caret under that column."""
    column = max(1, min(column, len(line) + 1))
    start = 0 if len(line) <= WIDEST else max(0, min(column - 1 - WIDEST // 2, len(line) - WIDEST))
    end = min(len(line), start + WIDEST)
    before, after = harmless(line[start : column - 1]), harmless(line[column - 1 : end])
    head = "… " if start > 0 else ""
    tail = " …" if end < len(line) else ""
    return f"{head}{before}{after}{tail}", " " * _width(head + before) + "^"


def harmless(text: str) -> str:
    """The text with characters that could steer a terminal or hide written as ``\\u{…}``; a tab as a space."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(_harmless_character(character) for character in text)


def _harmless_character(character: str) -> str:
    if character == "\t":
        return " "
    if character.isprintable() and unicodedata.category(character) not in _ZERO_WIDTH:
        return character
    if unicodedata.combining(character):
        return character
    return f"\\u{{{ord(character):x}}}"


def _width(text: str) -> int:
    """Columns that a text takes in a terminal: wide East Asian characters take two, combining marks none."""
    return sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)
