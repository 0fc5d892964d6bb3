"""Errors of the YAML scanner in words that help the person who typed the file."""

from __future__ import annotations

import re

import yaml

from slackloop.source.ambiguous_scalar import quoted
from slackloop.source.finding import Finding
from slackloop.source.source_file import SourceFile
from slackloop.source.source_map import ListNode, Node, Scalar

CODE = "yaml-syntax"
LONGEST_LINE = 2_000
"""Characters of a line that are looked at for a remark in braces."""

_SWALLOWED_COMMA = re.compile(
    r"[:,\[{]\s+(?P<value>[^\s\[\]{},\"'#:][^\[\]{},\"':]*?\s#[^\s\[\]{},#][^\[\]{}:\"']*?)(?P<rest>\s*,)\s*$"
)
"""The same in a map of several lines, where the remark takes the comma at the end of its line."""
MOST_LINES = 10
"""Lines of one item that are looked at for text without quotes."""
_NEXT_KEY = r",\s*[\w-]+:(?:\s|$)"
_SWALLOWED = re.compile(
    r"(?:^|[:,\[{])\s+"
    r"(?P<value>[^\s\[\]{},\"'#:][^\[\]{},\"':]*?\s#[^\s\[\]{},]*)"
    r"(?P<rest>[^\]}]*[\]}])"
)
"""A value without quotes that goes on with ``#``, and the closing bracket that the remark takes with it."""
_TEXT_WITH_KEY = re.compile(
    rf"[\w-]+:\s+(?P<value>[^\s\[\]{{}},\"'#&*!|>%@`][^\[\]{{}},\"']*?:\s(?:(?!{_NEXT_KEY})[^\[\]{{}}\"'])*)"
)
"""A key with text behind it, not in quotes, that holds a colon and a space; up to the next key or bracket."""
_LINE_WITH_KEY = re.compile(r"^\s*(?:-\s+)?[\w-]+:\s+(?P<value>[^\s\[{\"'#&*!|>%@`][^\"']*?:\s.*?)\s*(?:\s#.*)?$")
"""The same on a line that is not in braces."""

_HINTS: tuple[tuple[str, str, str], ...] = (
    (
        "mapping values are not allowed",
        "a colon and a space make a key, and no key can stand here",
        "put text that holds a colon and a space in quotes, or correct the indent",
    ),
    (
        "did not find expected ',' or '}'",
        "a map in braces is not closed, or a comma is missing in it",
        "look for a missing comma or } here or before",
    ),
    (
        "did not find expected ',' or ']'",
        "a list in brackets is not closed, or a comma is missing in it",
        "look for a missing comma or ] here or before",
    ),
    (
        "did not find expected key",
        "a key of this map is expected here",
        "line it up with the keys above; a closing quote may be missing before",
    ),
    (
        "did not find expected '-' indicator",
        "an item of this list is expected here",
        "start it with a dash and line it up with the items above",
    ),
    ("could not find expected ':'", "a key without a colon after it", "write a colon and a space after the key"),
    ("found unexpected end of stream", "a quote is opened here and never closed", "close the quote"),
    ("found unexpected document indicator", "a quote or a bracket is still open here", "close it"),
    ("block sequence entries are not allowed", "a list cannot start here", "put the dash on a line of its own"),
    ("did not find expected node content", "a value is expected here", "write a value, or put it in quotes"),
    (
        "found unknown escape character",
        "a backslash in double quotes starts an escape that is not known",
        "use single quotes, or write two backslashes",
    ),
    (
        "did not find expected alphabetic or numeric character",
        "& and * have a meaning of their own at the start",
        "put the text in quotes",
    ),
    ("found undefined tag handle", "! starts a tag", "put the text in quotes"),
    ("did not find expected tag URI", "! starts a tag", "put the text in quotes"),
    ("did not find the expected '>'", "! starts a tag", "put the text in quotes"),
    ("did not find URI escaped octet", "! starts a tag", "put the text in quotes"),
    (
        "did not find expected hexdecimal number",
        "a backslash in double quotes starts an escape that is not whole",
        "use single quotes, or write two backslashes",
    ),
    (
        "found invalid Unicode character escape code",
        "a backslash in double quotes starts an escape of no character",
        "use single quotes, or write two backslashes",
    ),
    (
        "did not find expected <document start>",
        "the file is complete before this, and nothing more can follow",
        "look for a bracket or brace that closes too much, or correct the indent",
    ),
    (
        "did not find expected comment or line break",
        "| and > start a text of several lines, and the rest of their line stays empty",
        "start the text on the next line, or put it in quotes",
    ),
    ("found incompatible YAML document", "this version of YAML is not read", "delete the line"),
    ("directive", "a line that starts with % is no part of a job", "delete the line"),
    ("did not find expected version number", "a line that starts with % is no part of a job", "delete the line"),
    ("mapping keys are not allowed", "a key cannot stand here", "put text that starts with ? in quotes"),
    ("indentation indicator", "the number after | or > is not a depth of indent", "leave the number out"),
)
_UNKNOWN = ("the file cannot be read as YAML here", "look here and on the line above for a quote, bracket or colon")


def syntax_finding(error: yaml.YAMLError, source: SourceFile) -> tuple[Finding, int, int]:
    """One finding for a scanner's or parser's error, with its line and column."""
    if not isinstance(error, yaml.MarkedYAMLError) or error.problem_mark is None:
        return Finding("error", CODE, "the file cannot be read as YAML: a character in it is not text"), 1, 1
    problem = error.problem or ""
    mark = error.problem_mark
    if "unexpected end of stream" in problem and error.context_mark is not None:
        mark = error.context_mark
    line, column = mark.line + 1, mark.column + 1
    text = source.line(line)
    indent = text[: len(text) - len(text.lstrip())]
    if "\t" in indent:
        finding = Finding("error", CODE, "there is a tab in the indent of this line; YAML indents with spaces only",
                          hint="replace each tab by two spaces")  # fmt: skip
        return finding, line, indent.index("\t") + 1
    if "cannot start any token" in problem or "tab character" in problem:
        return _cannot_start(text, line, column)
    if "mapping values are not allowed" in problem and (whole := _LINE_WITH_KEY.match(text[:LONGEST_LINE])):
        words, _ = words_for(problem)
        hint = f"write {quoted(whole['value'])}, or correct the indent"
        return Finding("error", CODE, words, hint=hint), line, column
    if "mapping values are not allowed" in problem and ":" not in text[: column - 1]:
        finding = Finding(
            "error",
            CODE,
            "there is a key here where the value above is still open",
            hint="write a colon and a space after the key on the line above, or correct the indent",
        )
        return finding, line, column
    if "did not find expected" in problem:
        shape = _swallowed(error, source) or _text_with_key(source, line) or _stray_item(text, line)
        if shape is not None:
            return shape
    words, hint = words_for(problem)
    return Finding("error", CODE, words, hint=hint), line, column


def words_for(problem: str) -> tuple[str, str]:
    """What is wrong and how to mend it, in place of the parser's own words."""
    return next(((words, hint) for piece, words, hint in _HINTS if piece in problem), _UNKNOWN)


def _cannot_start(text: str, line: int, column: int) -> tuple[Finding, int, int]:
    character = text[column - 1 : column]
    if character == "\t":
        message, hint = "there is a tab where a value or a key is expected", "replace the tab by spaces"
    else:
        message = f"a value cannot start with {character}" if character else "a value cannot start here"
        hint = "put the text in quotes"
    return Finding("error", CODE, message, hint=hint), line, column


def _swallowed(error: yaml.MarkedYAMLError, source: SourceFile) -> tuple[Finding, int, int] | None:
    """Braces or brackets that are open because their end stands in a remark that was meant as text."""
    start, end = error.context_mark, error.problem_mark
    if start is None or end is None or "flow" not in str(error.context):
        return None
    for number in range(start.line + 1, min(end.line, start.line + 50) + 2):
        text = source.line(number)[:LONGEST_LINE]
        match = _SWALLOWED.search(text) or (_SWALLOWED_COMMA.search(text) if number <= end.line else None)
        if match is not None:
            taken = "comma" if match["rest"][-1] == "," else match["rest"][-1]
            message = f"a # after a space starts a remark, and the {taken} after it is left out"
            rest = re.split(_NEXT_KEY + r"|[\]}]", match["rest"], maxsplit=1)[0] if match["rest"][-1] == "}" else ""
            hint = f"write {quoted((match['value'] + rest).strip())}"
            finding = Finding("error", CODE, message, expected="text with # in quotes", hint=hint)
            return finding, number, match.start("value") + 1
    return None


def _text_with_key(source: SourceFile, line: int) -> tuple[Finding, int, int] | None:
    """An item in braces, not shorter than its line, with text that holds a colon and a space and has no quotes."""
    if not source.line(line).lstrip().startswith("- {"):
        return None
    for number in range(line, line + MOST_LINES):
        text = source.line(number)[:LONGEST_LINE]
        if number > line and text.lstrip().startswith("- "):
            break
        match = _TEXT_WITH_KEY.search(text)
        if match is not None:
            message = "a colon and a space make a key, and this text in braces has them in it"
            hint = f"write {quoted(match['value'].strip())}, or put a comma before the key"
            finding = Finding("error", CODE, message, expected="text with a colon in quotes", hint=hint)
            return finding, number, match.start("value") + 1
    return None


def _stray_item(text: str, line: int) -> tuple[Finding, int, int] | None:
    """An item of a list that stands further left than its list, or one without its dash."""
    column = len(text) - len(text.lstrip()) + 1
    if text.lstrip().startswith("- "):
        message = "an item of a list is here, further left or right than its list"
        hint = "line the dash up with the dashes above, or indent it more than the key of the list"
    elif text.lstrip().startswith("{"):
        message = "a second map in braces starts here, with no key and no dash before it"
        hint = "start each item of a list with a dash, as - {…}"
    else:
        return None
    return Finding("error", CODE, message, hint=hint), line, column


def no_map_finding(root: Node | None) -> tuple[Finding, int, int]:
    """One finding, with its line and column, for a file whose top is not a map."""
    expected = "a job: format, job, document and so on"
    if root is None or (isinstance(root, Scalar) and root.value is None):
        return Finding("error", "file-empty", "the file says nothing", expected=expected), 1, 1
    what = "a list" if isinstance(root, ListNode) else "one value"
    message = f"the file is {what}, not a map of keys"
    return Finding("error", "file-not-a-map", message, expected=expected), root.line, root.column
