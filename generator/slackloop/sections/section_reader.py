"""Reads a section file: front matter between two lines of dashes, then the body in the step format."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any, TypeVar

import yaml
from pydantic import BaseModel, ValidationError

from slackloop.sections.section import Block, Group, Insert, Prose, Section, SectionFront, Step
from slackloop.source.finding import Placed, found_at
from slackloop.source.syntax import words_for

_INSERT = re.compile(r"\[\[(table|figure|caution|deferral):\s*([a-z0-9-]+)\s*\]\]")
_STEP_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_KEY = re.compile(r"- ([a-z]+):(?: (.*))?")
_LISTS = ("carries", "check", "tools", "caution", "figure", "prevents")
_KINDS = (
    ("extra_forbidden", "there is no such key"),
    ("missing", "this key is needed"),
    ("pattern_mismatch", "it is not in the form that is needed here; compare it with a section of ours"),
    ("too_short", "at least one is needed"),
    ("string", "text is expected"),
    ("bool", "true or false is expected"),
    ("int", "a whole number is expected"),
    ("float", "a number is expected"),
    ("tuple", "a list is expected"),
    ("list", "a list is expected"),
    ("dict", "a map of keys is expected"),
    ("model", "a map of keys is expected"),
)
"""Kinds of refusal as pydantic names them, and the same for a reader."""
DEEPEST = 40
"""Levels of lists and maps in front matter or words; ours have five."""
_TEXTS = ("why", "reject", "applies")
Model = TypeVar("Model", bound=BaseModel)


@lru_cache(maxsize=256)
def read_section(text: str, file: str) -> tuple[Section | None, tuple[Placed, ...]]:
    """The section in ``text``, or what stops it from being read; ``file`` names it in findings.

    A build reads its sections several times, for checks, pages and translations: the same text is read once.
    """
    lines = text.replace("\r\n", "\n").split("\n")
    closing = next((number for number in range(1, len(lines)) if lines[number].rstrip() == "---"), None)
    if lines[0].rstrip() != "---" or closing is None:
        return None, (
            found_at(file, 1, "front-matter-missing", "A section starts with front matter between ---"),
        )
    front, places, findings = read_typed("\n".join(lines[1:closing]), file, 1, SectionFront)
    body = _Body(file, lines, closing + 1)
    groups = body.read()
    found = (*findings, *body.findings)
    if front is None:
        return None, found
    return Section(front=front, file=file, groups=groups, lines=places), found


def read_typed(
    text: str, file: str, lines_before: int, model: type[Model]
) -> tuple[Model | None, dict[str, int], tuple[Placed, ...]]:
    """YAML as ``model``, the line of each key and id in it, and findings for what does not fit."""
    try:
        if (unsafe := _unsafe(text)) is not None:
            return None, {}, (found_at(file, unsafe[0] + lines_before, *unsafe[1:]),)
        node = yaml.compose(text, Loader=yaml.CSafeLoader)
        data = yaml.load(text, Loader=yaml.CSafeLoader) if node is not None else {}
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        line = min(mark.line if mark else 0, text.rstrip().count("\n")) + 1 + lines_before
        words, hint = words_for(str(getattr(error, "problem", "")))
        return None, {}, (found_at(file, line, "yaml-syntax", f"{words}; {hint}"),)
    marks: dict[tuple[str | int, ...], int] = {}
    repeated: list[Placed] = []
    _collect(node, (), marks, repeated, file, lines_before)
    places = {str(path[-1]): line for path, line in sorted(marks.items(), key=lambda entry: -len(entry[0]))}
    places |= _lines_by_id(data, marks)
    try:
        return model.model_validate(data), places, tuple(repeated)
    except ValidationError as error:
        wrong = [_front_finding(detail, marks, file, lines_before) for detail in error.errors()]
        return None, places, (*repeated, *wrong)


def _unsafe(text: str) -> tuple[int, str, str] | None:
    """Line, code and message of a part that is repeated by reference, or of nesting past all use; else nothing."""
    depth = 0
    for event in yaml.parse(text, Loader=yaml.CSafeLoader):
        if isinstance(event, yaml.AliasEvent):
            return _line_of(event), "yaml-alias", f"*{event.anchor}: aliases are not read"
        depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        if depth > DEEPEST:
            return _line_of(event), "yaml-too-deep", f"nests deeper than {DEEPEST} levels"
    return None


def _line_of(event: yaml.Event) -> int:
    return event.start_mark.line + 1 if event.start_mark is not None else 1


def _collect(
    node: Any,
    path: tuple[str | int, ...],
    marks: dict[tuple[str | int, ...], int],
    repeated: list[Placed],
    file: str,
    lines_before: int,
) -> None:
    """Note the line of every key and entry, and every key that stands twice."""
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            here = (*path, key.value)
            line = key.start_mark.line + 1 + lines_before
            if here in marks:
                repeated.append(found_at(file, line, "key-duplicate", f"'{key.value}' is written twice"))
            marks[here] = line
            _collect(value, here, marks, repeated, file, lines_before)
    elif isinstance(node, yaml.SequenceNode):
        for number, value in enumerate(node.value):
            marks[(*path, number)] = value.start_mark.line + 1 + lines_before
            _collect(value, (*path, number), marks, repeated, file, lines_before)


def _lines_by_id(data: Any, marks: dict[tuple[str | int, ...], int]) -> dict[str, int]:
    """Lines of requirements and checks by their ids."""
    found: dict[str, int] = {}
    for key in ("requirements", "checks"):
        entries = data.get(key) if isinstance(data, dict) else None
        for number, entry in enumerate(entries if isinstance(entries, list) else []):
            if isinstance(entry, dict) and isinstance(entry.get("id"), str):
                found[entry["id"]] = marks.get((key, number), 1)
    return found


def _front_finding(
    detail: Any, marks: dict[tuple[str | int, ...], int], file: str, lines_before: int
) -> Placed:
    """One pydantic error as a finding at the nearest place that is in the file."""
    place = tuple(detail["loc"])
    while place and place not in marks:
        place = place[:-1]
    names = {"extra_forbidden": "key-unknown", "missing": "key-missing"}
    key = ".".join(str(part) for part in detail["loc"])
    code = names.get(detail["type"], "value-refused")
    message = f"{key}: {_plain_words(detail)}"
    return found_at(file, marks.get(place, max(lines_before, 1)), code, message)


def _plain_words(detail: Any) -> str:
    """What a value should be, in place of the words of the library that read it."""
    kind = str(detail["type"])
    expected = detail.get("ctx", {}).get("expected")
    if kind == "value_error":
        return str(detail["ctx"]["error"])
    if expected:
        return f"one of these is expected: {expected}"
    return next((words for part, words in _KINDS if part in kind), str(detail["msg"]))


class _Body:
    """Reads the body line by line; ``findings`` holds what went wrong."""

    def __init__(self, file: str, lines: list[str], start: int) -> None:
        """``start`` is the index of the first body line in ``lines``."""
        self.file = file
        self.lines = lines
        self.at = start
        self.findings: list[Placed] = []

    def read(self) -> tuple[Group, ...]:
        """Every group of the body; the preamble comes first when it has anything in it."""
        groups: list[Group] = []
        title, line, blocks = "", self.at + 1, list[Block]()
        while self.at < len(self.lines):
            text = self.lines[self.at]
            if text.startswith("## "):
                groups.append(Group(title, line, tuple(blocks)))
                title, line, blocks = text[3:].strip(), self.at + 1, []
                self.at += 1
            elif text.startswith("### "):
                blocks.append(self._step())
            elif match := _INSERT.fullmatch(text.strip()):
                blocks.append(Insert(match[1], match[2], self.at + 1))  # type: ignore[arg-type]
                self.at += 1
            elif text.strip():
                blocks.append(self._prose())
            else:
                self.at += 1
        groups.append(Group(title, line, tuple(blocks)))
        return tuple(group for group in groups if group.title or group.blocks)

    def _prose(self) -> Prose:
        """Free text up to the next heading or insert."""
        start = self.at
        while self.at < len(self.lines):
            text = self.lines[self.at]
            if text.startswith(("## ", "### ")) or _INSERT.fullmatch(text.strip()):
                break
            if text.startswith("# "):
                self._note(
                    self.at, "heading-level", "The title of a section is in its front matter, not in the body"
                )
            elif text.strip().startswith("[["):
                self._note(self.at, "insert-broken", f"'{text.strip()}' is no table, figure, caution or deferral")
            self.at += 1
        return Prose("\n".join(self.lines[start : self.at]).rstrip(), start + 1)

    def _step(self) -> Step:
        """A heading with the id, one paragraph, then key lines."""
        heading = self.at
        step_id = self.lines[heading][4:].strip()
        if not _STEP_ID.fullmatch(step_id):
            self._note(heading, "step-id", f"'{step_id}' is no step id: small letters, digits and dashes")
        self.at += 1
        action = self._paragraph()
        if not action.text:
            self._note(heading, "step-empty", f"step '{step_id}' says nothing to do")
        keys = self._keys(step_id)
        extra = self._rest()
        texts = {key: keys.get(key) for key in ("why", "reject")}
        lists = {
            key: tuple(part.strip() for part in found.text.split(",") if part.strip())
            for key in _LISTS
            if (found := keys.get(key))
        }
        applies = keys["applies"].text if "applies" in keys else "always"
        return Step(step_id, heading + 1, action, applies=applies, extra=extra, **texts, **lists)  # type: ignore[arg-type]

    def _paragraph(self) -> Prose:
        """The lines up to an empty line, a key line or a heading."""
        while self.at < len(self.lines) and not self.lines[self.at].strip():
            self.at += 1
        start = self.at
        while self.at < len(self.lines):
            text = self.lines[self.at]
            if not text.strip() or text.startswith("#") or _KEY.fullmatch(text) or text.strip().startswith("[["):
                break
            self.at += 1
        return Prose(" ".join(line.strip() for line in self.lines[start : self.at]), start + 1)

    def _keys(self, step_id: str) -> dict[str, Prose]:
        """The key lines of a step; a value may go on in indented lines."""
        while self.at < len(self.lines) and not self.lines[self.at].strip():
            self.at += 1
        found: dict[str, Prose] = {}
        while self.at < len(self.lines) and (match := _KEY.fullmatch(self.lines[self.at].rstrip())):
            start, words = self.at, [(match[2] or "").strip()]
            self.at += 1
            while self.at < len(self.lines) and self.lines[self.at].startswith("  ") and self.lines[self.at].strip():
                words.append(self.lines[self.at].strip())
                self.at += 1
            if match[1] not in _LISTS + _TEXTS:
                self._note(start, "step-key-unknown", f"step '{step_id}' has no key '{match[1]}'")
            elif match[1] in found:
                self._note(start, "step-key-twice", f"step '{step_id}' says '{match[1]}' twice")
            elif not any(words):
                self._note(start, "step-key-empty", f"'{match[1]}' of step '{step_id}' is empty")
            else:
                found[match[1]] = Prose(" ".join(words), start + 1)
        return found

    def _rest(self) -> Prose | None:
        """Free text between the keys of a step and the next heading or insert."""
        while self.at < len(self.lines) and not self.lines[self.at].strip():
            self.at += 1
        if self.at >= len(self.lines) or self.lines[self.at].startswith(("## ", "### ")):
            return None
        if _INSERT.fullmatch(self.lines[self.at].strip()):
            return None
        return self._prose()

    def _note(self, index: int, code: str, message: str) -> None:
        """Keep a finding at the line with this index."""
        self.findings.append(found_at(self.file, index + 1, code, message))
