"""The job file as a tree whose every node knows its place; built from YAML events, never by recursion.

Anchors, aliases, tags, merge keys, duplicate keys, keys that are not text, more than one document and nesting over
``DEEPEST`` are refused, each with its place; what can be read beside them is read.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import yaml

from slackloop.source.ambiguous_scalar import MAY_BE_NO_TEXT, TypedScalar, resolve, surprise
from slackloop.source.finding import At, Finding, Placed, path_text
from slackloop.source.lost_text import SET_ME, Braces, Doubtful, Lost, PlainValue, Unset, find_cut, index_of
from slackloop.source.source_file import SourceFile
from slackloop.source.source_map import Entry, ListNode, MapNode, Node, Scalar
from slackloop.source.syntax import no_map_finding, syntax_finding

DEEPEST = 40
"""Deepest nesting read; a job file needs six levels."""
MOST_VALUES = 400_000
"""Most keys and values of one file: 20,000 boxes of seven keys each. It bounds the memory that mistakes can take."""
MOST_FINDINGS = 200
"""Most findings kept of one reading; the rest are counted."""

_BLANKS = frozenset((" ", "\t"))
_LOADER: type = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass
class Tree:
    """What was read of a file: the top map where there is one, findings, paths already refused, text that was lost."""

    root: MapNode | None
    findings: list[Placed]
    refused: set[At]
    lost: list[Lost] = field(default_factory=list)


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
    braces: Braces | None = None


class _Builder:
    """Turns events into nodes; ``stopped`` says that the rest of the file is not worth reading."""

    def __init__(self, source: SourceFile) -> None:
        self.source = source
        self.findings: list[Placed] = []
        self.refused: set[At] = set()
        self.lost: list[Lost] = []
        self.frames: list[_Frame] = []
        self.root: Node | None = None
        self.documents = 0
        self.values = 0
        self.stopped = False
        self.keys: set[str] = set()  # plain ones that were read before, and of which nothing is said

    def say(
        self, code: str, message: str, line: int, column: int, at: At = (), expected: str = "", hint: str = ""
    ) -> None:
        """Keep one error at a place of this file."""
        if len(self.findings) < MOST_FINDINGS:
            finding = Finding("error", code, message, at, expected=expected, hint=hint)
            self.findings.append(self.source.place(finding, line, column))

    def say_finding(self, finding: Finding, line: int, column: int) -> None:
        """Keep a finding that is made already."""
        self.say(finding.code, finding.message, line, column, finding.at, finding.expected, finding.hint)

    def take(self, event: yaml.events.Event) -> None:
        """Handle one event."""
        self.values += 1
        if self.values < MOST_VALUES and isinstance(event, yaml.ScalarEvent) and self._known(event):
            return
        mark = event.start_mark
        line, column = (mark.line + 1, mark.column + 1) if mark is not None else (1, 1)
        if self.values == MOST_VALUES:
            message = f"the file holds more than {MOST_VALUES:,} keys and values; the rest is not read"
            expected = "a job file: a box takes about 16 keys and values"
            self.say("file-too-many-values", message, line, column, expected=expected)
            self.stopped = True
            return
        if isinstance(event, yaml.ScalarEvent):
            self._properties(event, line, column)
            self._scalar(event, line, column)
        elif isinstance(event, yaml.AliasEvent):
            at = self._here()
            message = f"*{event.anchor} repeats another part of the file; aliases are not read"
            self.say("yaml-alias", message, line, column, at, hint="write the value out")
            self._refuse(at)
            self._put(Scalar(self.source, line, column, None), "")
        elif isinstance(event, yaml.MappingStartEvent | yaml.SequenceStartEvent):
            self._properties(event, line, column)
            self._open(isinstance(event, yaml.MappingStartEvent), line, column, bool(event.flow_style))
        elif isinstance(event, yaml.MappingEndEvent | yaml.SequenceEndEvent):
            self._close()
        elif isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                message = "a second document starts here; a job file is one document"
                hint = "delete the line --- and what follows, or put it in a file of its own"
                self.say("yaml-second-document", message, line, column, hint=hint)
                self.stopped = True

    def _known(self, event: yaml.ScalarEvent) -> bool:
        """Take a plain key that was read before, or a plain value, where nothing is to be said; whether that was done.

        It does what ``_scalar`` does, in a third of the time; nearly every key and value of a file is of that kind.
        """
        text: str = event.value
        mark, stop = event.start_mark, event.end_mark
        if event.style or event.anchor is not None or event.tag is not None or not self.frames or not mark or not stop:
            return False
        top, node, end = self.frames[-1], self.frames[-1].node, stop.index
        if isinstance(node, MapNode) and not top.waiting:
            if text not in self.keys or text in node.entries:
                return False
            top.waiting, top.drop_value, top.key, top.key_place = True, False, text, (mark.line + 1, mark.column + 1)
            if top.braces is not None:
                top.braces.key_end = end
            return True
        if not text or text.startswith(SET_ME) or self.source.text[end : end + 1] in _BLANKS:
            return False
        odd = text[0] in MAY_BE_NO_TEXT
        if odd and surprise(text)[0]:
            return False
        scalar = Scalar(self.source, mark.line + 1, mark.column + 1, resolve(text) if odd else text)
        if isinstance(node, ListNode):
            node.items.append(scalar)
            return True
        key = top.key or ""
        if top.braces is not None:
            if top.braces.parts:
                return False
            top.braces.value = PlainValue((*top.path, key), text, scalar.line, scalar.column, mark.index)
        if not top.drop_value:
            node.entries[key] = Entry(self.source, *top.key_place, scalar)
        top.waiting = False
        return True

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
            message = f"&{event.anchor} marks a part to be repeated; anchors are not read"
            hint = f"delete &{event.anchor} and write repeated values out"
            self.say("yaml-anchor", message, line, column, self._here(), hint=hint)
        tag = getattr(event, "tag", None)
        if tag is not None:
            message, hint = f"the tag {str(tag)[:60]} is not read", "delete the tag; put text in quotes where needed"
            self.say("yaml-tag", message, line, column, self._here(), hint=hint)

    def _scalar(self, event: yaml.ScalarEvent, line: int, column: int) -> None:
        text: str = event.value
        is_plain = not event.style
        at = self._here()
        as_key = self._expects_key()
        refused = False
        if self._is_lost(event, PlainValue(at, text, line, column, index_of(event.start_mark)), is_plain, as_key):
            return
        if is_plain:
            reason, plain = surprise(text)
            if reason:
                key_path = (*at, text) if as_key else at
                if text == "<<":
                    self.say("yaml-merge-key", reason, line, column, key_path, hint="write the keys out")
                elif len(self.lost) < MOST_FINDINGS:
                    self.lost.append(Doubtful(self.source, line, column, key_path, text, reason, plain))
                self._refuse(key_path)
                refused = True
        value = resolve(text) if is_plain and not refused else text
        if as_key and is_plain and not refused and (value is None or isinstance(value, TypedScalar)):
            message, hint = f"{text or 'nothing'} is a key and is not text", f'write "{text}"' if text else ""
            self.say("key-not-text", message, line, column, at, expected="a key that is text", hint=hint)
            refused = True
        if as_key and is_plain and not refused and text:
            self.keys.add(text)
        self._put(Scalar(self.source, line, column, value), text, drop=refused and as_key)

    def _is_lost(self, event: yaml.ScalarEvent, value: PlainValue, is_plain: bool, as_key: bool) -> bool:
        """Note text that a remark or a comma takes away; whether this value belongs to a word that was split off."""
        end = index_of(event.end_mark)
        top = self.frames[-1] if self.frames else None
        if top is not None and top.braces is not None:
            if as_key:
                top.braces.key_end = end
                return False
            word = PlainValue(value.at, value.text, *top.key_place, value.start)
            if is_plain and not value.text and not top.drop_value and top.braces.splits_off(word):
                top.waiting = False
                return True
            self._follow(top.braces, value if is_plain and value.text else None)
        if value.text.startswith(SET_ME) and not as_key and len(self.lost) < MOST_FINDINGS:
            self.lost.append(Unset(self.source, value.line, value.column, value.at, value.text))
        elif is_plain and not as_key and len(self.lost) < MOST_FINDINGS:
            cut = find_cut(self.source, end, value.line, value.column, value.at, value.text)
            self.lost += [cut] if cut is not None else []
        return False

    def _follow(self, braces: Braces | None, value: PlainValue | None) -> None:
        split = braces.follow(value) if braces is not None else None
        self.lost += [split] if split is not None and len(self.lost) < MOST_FINDINGS else []

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
            places = f"first on line {earlier.line}, again on line {node.line}"
            message = f"{text} is written twice in {path_text(top.path)}: {places}"
            self.say("key-duplicate", message, node.line, node.column, at, hint="keep one of the two")

    def _open(self, is_map: bool, line: int, column: int, in_braces: bool) -> None:
        kind = MapNode if is_map else ListNode
        node: MapNode | ListNode = kind(self.source, line, column)
        if len(self.frames) >= DEEPEST:
            message, expected = f"the file nests deeper than {DEEPEST} levels here", "a job file; it needs six levels"
            self.say("yaml-too-deep", message, line, column, self._here()[:8], expected=expected)
            self.stopped = True
            return
        at = self._here()
        if self.frames:
            self._follow(self.frames[-1].braces, None)
        if self._expects_key():
            message, hint = "a list or a map is written as a key", "text that starts with { or [ needs quotes"
            self.say("key-not-text", message, line, column, at, expected="a key that is text", hint=hint)
            self.frames.append(_Frame(node, at, is_key=True))
            return
        self._put(node, "")
        self.frames.append(_Frame(node, at, braces=Braces(self.source) if is_map and in_braces else None))

    def _close(self) -> None:
        frame = self.frames.pop()
        self._follow(frame.braces, None)
        if frame.is_key:
            self._put(frame.node, "", drop=True)


def read_tree_of(source: SourceFile) -> Tree:
    """Read a whole file; a syntax error ends the reading, everything before it is still reported."""
    builder = _Builder(source)
    broken = False
    try:
        for event in iter(_LOADER(source.text).get_event, None):
            builder.take(event)
            if builder.stopped:
                break
    except yaml.YAMLError as error:
        builder.say_finding(*syntax_finding(error, source))
        broken = True
    too_deep = builder.stopped and builder.documents <= 1
    root = builder.root if isinstance(builder.root, MapNode) else None
    if not broken and not too_deep and root is None:
        builder.say_finding(*no_map_finding(builder.root))
    return Tree(None if broken or too_deep else root, builder.findings, builder.refused, builder.lost)
