"""The job file as a tree whose every node knows its place; built from YAML events, never by recursion.

Anchors, aliases, tags, merge keys, duplicate keys, keys that are not text, more than one document and nesting over
``DEEPEST`` are refused, each with its place; what can be read beside them is read.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import yaml

from slackloop.job.finding import At, Finding, Placed, path_text
from slackloop.job.nodes import Entry, ListNode, MapNode, Node, Scalar
from slackloop.job.scalars import resolve, surprise
from slackloop.job.source_file import SourceFile
from slackloop.job.syntax import syntax_finding
from slackloop.job.written import Written

DEEPEST = 40
"""Deepest nesting read; a job file needs six levels."""
MOST_FINDINGS = 200
"""Most findings kept of one reading; the rest are counted."""

_LOADER: type = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass
class Tree:
    """What was read of a file: the top map where there is one, findings, and paths already refused."""

    root: MapNode | None
    findings: list[Placed]
    refused: set[At]


@dataclass(slots=True)
class _Frame:
    """An open map or list; ``key`` waits for its value; a value to be dropped is read but not kept."""

    node: MapNode | ListNode
    path: At
    is_key: bool = False
    key: str | None = None
    key_place: tuple[int, int] = (1, 1)
    waiting: bool = False
    drop_value: bool = False


class _Builder:
    """Turns events into nodes; ``stopped`` says that the rest of the file is not worth reading."""

    def __init__(self, source: SourceFile) -> None:
        self.source = source
        self.findings: list[Placed] = []
        self.refused: set[At] = set()
        self.frames: list[_Frame] = []
        self.root: Node | None = None
        self.documents = 0
        self.stopped = False

    def say(
        self, code: str, message: str, line: int, column: int, at: At = (), expected: str = "", hint: str = ""
    ) -> None:
        """Keep one error at a place of this file."""
        if len(self.findings) < MOST_FINDINGS:
            finding = Finding("error", code, message, at, expected=expected, hint=hint)
            self.findings.append(self.source.place(finding, line, column))

    def take(self, event: yaml.events.Event) -> None:
        """Handle one event."""
        mark = event.start_mark
        line, column = (mark.line + 1, mark.column + 1) if mark is not None else (1, 1)
        if isinstance(event, yaml.ScalarEvent):
            self._properties(event, line, column)
            self._scalar(event, line, column)
        elif isinstance(event, yaml.AliasEvent):
            at = self._here()
            self.say(
                "yaml-alias",
                f"*{event.anchor} repeats another part of the file; aliases are not read",
                line,
                column,
                at,
                hint="write the value out",
            )
            self._refuse(at)
            self._put(Scalar(self.source, line, column, None), "")
        elif isinstance(event, yaml.MappingStartEvent | yaml.SequenceStartEvent):
            self._properties(event, line, column)
            self._open(isinstance(event, yaml.MappingStartEvent), line, column)
        elif isinstance(event, yaml.MappingEndEvent | yaml.SequenceEndEvent):
            self._close()
        elif isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                self.say(
                    "yaml-second-document",
                    "a second document starts here; a job file is one document",
                    line,
                    column,
                    hint="delete the line --- and what follows, or put it in a file of its own",
                )
                self.stopped = True

    def _here(self) -> At:
        if not self.frames:
            return ()
        top = self.frames[-1]
        if isinstance(top.node, ListNode):
            return (*top.path, len(top.node.items))
        return (*top.path, top.key) if top.waiting and top.key is not None else top.path

    def _refuse(self, at: At) -> None:
        if len(self.refused) < 10 * MOST_FINDINGS:
            self.refused.add(at)

    def _properties(self, event: yaml.NodeEvent, line: int, column: int) -> None:
        if event.anchor is not None:
            self.say(
                "yaml-anchor",
                f"&{event.anchor} marks a part to be repeated; anchors are not read",
                line,
                column,
                self._here(),
                hint=f"delete &{event.anchor} and write repeated values out",
            )
        tag = getattr(event, "tag", None)
        if tag is not None:
            self.say(
                "yaml-tag",
                f"the tag {str(tag)[:60]} is not read",
                line,
                column,
                self._here(),
                hint="delete the tag; put text in quotes where needed",
            )

    def _scalar(self, event: yaml.ScalarEvent, line: int, column: int) -> None:
        text: str = event.value
        is_plain = not event.style
        at = self._here()
        as_key = self._expects_key()
        refused = False
        if is_plain:
            reason, mend = surprise(text)
            if reason:
                key_path = (*at, text) if as_key else at
                self.say(
                    "yaml-merge-key" if text == "<<" else "yaml-ambiguous", reason, line, column, key_path, hint=mend
                )
                self._refuse(key_path)
                refused = True
        value = resolve(text) if is_plain and not refused else text
        if as_key and is_plain and not refused and (value is None or isinstance(value, Written)):
            what = text or "nothing"
            self.say(
                "key-not-text",
                f"{what} stands as a key and is not text",
                line,
                column,
                at,
                expected="a key that is text",
                hint=f'write "{text}"' if text else "",
            )
            refused = True
        self._put(Scalar(self.source, line, column, value), text, drop=refused and as_key)

    def _expects_key(self) -> bool:
        return bool(self.frames) and isinstance(self.frames[-1].node, MapNode) and not self.frames[-1].waiting

    def _put(self, node: Node, text: str, drop: bool = False) -> None:
        """Place a finished or just opened node: as the top, as a key, as a value or as an item."""
        if not self.frames:
            self.root = node
            return
        top = self.frames[-1]
        if isinstance(top.node, ListNode):
            top.node.items.append(node)
            return
        if not top.waiting:
            self._key(top, node, text, drop or not isinstance(node, Scalar) or node.value is None)
            return
        if not top.drop_value and top.key is not None:
            line, column = top.key_place
            top.node.entries[top.key] = Entry(self.source, line, column, node)
        top.waiting = False

    def _key(self, top: _Frame, node: Node, text: str, drop: bool) -> None:
        assert isinstance(top.node, MapNode)
        top.waiting, top.drop_value, top.key, top.key_place = True, drop, text, (node.line, node.column)
        earlier = top.node.entries.get(text)
        if earlier is not None and not drop:
            top.drop_value = True
            at = (*top.path, text)
            self.say(
                "key-duplicate",
                f"{text} stands twice in {path_text(top.path)}: first on line {earlier.line}, "
                f"again on line {node.line}",
                node.line,
                node.column,
                at,
                hint="keep one of the two",
            )

    def _open(self, is_map: bool, line: int, column: int) -> None:
        kind = MapNode if is_map else ListNode
        node: MapNode | ListNode = kind(self.source, line, column)
        if len(self.frames) >= DEEPEST:
            self.say(
                "yaml-too-deep",
                f"the file nests deeper than {DEEPEST} levels here",
                line,
                column,
                self._here()[:8],
                expected="a job file; it needs six levels",
            )
            self.stopped = True
            return
        at = self._here()
        if self._expects_key():
            self.say(
                "key-not-text",
                "a list or a map stands as a key",
                line,
                column,
                at,
                expected="a key that is text",
                hint="text that starts with { or [ needs quotes",
            )
            self.frames.append(_Frame(node, at, is_key=True))
            return
        self._put(node, "")
        self.frames.append(_Frame(node, at))

    def _close(self) -> None:
        frame = self.frames.pop()
        if frame.is_key:
            self._put(frame.node, "", drop=True)


def _events(source: SourceFile) -> Iterator[yaml.events.Event]:
    events: Iterator[yaml.events.Event] = yaml.parse(source.text, Loader=_LOADER)
    return events


def read_tree_of(source: SourceFile) -> Tree:
    """Read a whole file; a syntax error ends the reading, everything before it is still reported."""
    builder = _Builder(source)
    broken = False
    try:
        for event in _events(source):
            builder.take(event)
            if builder.stopped:
                break
    except yaml.YAMLError as error:
        finding, line, column = syntax_finding(error, source)
        builder.say(finding.code, finding.message, line, column, (), finding.expected, finding.hint)
        broken = True
    too_deep = builder.stopped and builder.documents <= 1
    root = builder.root if isinstance(builder.root, MapNode) else None
    if not broken and not too_deep and root is None:
        _say_no_map(builder)
    return Tree(None if broken or too_deep else root, builder.findings, builder.refused)


def _say_no_map(builder: _Builder) -> None:
    node = builder.root
    if node is None or (isinstance(node, Scalar) and node.value is None):
        builder.say("file-empty", "the file says nothing", 1, 1, expected="a job: format, job, document and so on")
        return
    what = "a list" if isinstance(node, ListNode) else "one value"
    builder.say(
        "file-not-a-map",
        f"the file is {what}, not a map of keys",
        node.line,
        node.column,
        expected="a job: format, job, document and so on",
    )
