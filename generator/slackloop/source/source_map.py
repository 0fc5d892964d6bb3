"""From a key path to a place in a file; keys that came from the standard lead into the standard's file.

Nodes of a job file: values and keys that know where they stand, and which file they came from.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from slackloop.source.ambiguous_scalar import TypedScalar
from slackloop.source.finding import At, Finding, Placed, path_text, place_finding
from slackloop.source.source_file import SourceFile


@dataclass(slots=True)
class Node:
    """A value with the place where it starts; lines and columns count from 1, in characters."""

    source: SourceFile
    line: int
    column: int


@dataclass(slots=True)
class Scalar(Node):
    """A single value; ``value`` is text, ``TypedScalar`` text with a number or truth value, or nothing."""

    value: str | TypedScalar | None


@dataclass(slots=True)
class Entry:
    """A key with its own place, and its value."""

    source: SourceFile
    line: int
    column: int
    node: Node


@dataclass(slots=True)
class MapNode(Node):
    """A map; the order is the file's."""

    entries: dict[str, Entry] = field(default_factory=dict)


@dataclass(slots=True)
class ListNode(Node):
    """A list."""

    items: list[Node] = field(default_factory=list)


def plain(node: Node) -> object:
    """The node as plain maps, lists and scalars; nesting is at most ``tree.DEEPEST``."""
    if isinstance(node, MapNode):
        return {key: plain(entry.node) for key, entry in node.entries.items()}
    if isinstance(node, ListNode):
        return [plain(item) for item in node.items]
    return node.value if isinstance(node, Scalar) else None


@dataclass(frozen=True, slots=True)
class Place:
    """A place in a file: line and column count from 1, in characters; ``excerpt`` is the whole line."""

    file: str
    line: int
    column: int
    excerpt: str


class Places:
    """Where every key and value of one job stands."""

    def __init__(self, root: MapNode | None, file: str) -> None:
        self._root = root
        self._file = file

    def locate(self, at: At) -> Place:
        """The place of a value, or of the nearest parent that is in the file."""
        return self._walk(at, of_key=False)[0]

    def locate_key(self, at: At) -> Place:
        """The place of the key itself, or of the nearest parent that is in the file."""
        return self._walk(at, of_key=True)[0]

    def has(self, at: At) -> bool:
        """Whether the whole key path is in the file."""
        return self._walk(at, of_key=False)[1]

    def raw(self, at: At) -> Node | None:
        """The node at a key path, or nothing."""
        node: Node | None = self._root
        for part in at:
            node = _child(node, part)
        return node

    def line_of(self, at: At) -> str:
        """``line 12``, with the file's name where it is another file."""
        place = self.locate(at)
        return f"line {place.line}" if place.file == self._file else f"{place.file} line {place.line}"

    def key_text(self, at: At) -> str:
        """A key path for a reader; a box by its id, since boxes of a chain have no number in the file's list."""
        if at[:2] == ("path", "boxes") and len(at) > 2:
            identity = self.raw((*at[:3], "id"))
            if isinstance(identity, Scalar) and identity.value is not None:
                rest = path_text(at[3:]) if len(at) > 3 else ""
                return f"path.boxes[{identity.value}]" + (f".{rest}" if rest else "")
        return path_text(at)

    def place(self, finding: Finding, of_key: bool = False) -> Placed:
        """Put a finding at its place; the box is filled in from the key path where it is not stated."""
        place = self._walk(finding.at, of_key)[0]
        placed = place_finding(finding, place.file, place.line, place.column, place.excerpt)
        if placed.box or finding.at[:2] != ("path", "boxes") or len(finding.at) < 3:
            return placed
        identity = self.raw((*finding.at[:3], "id"))
        box = str(identity.value) if isinstance(identity, Scalar) and identity.value is not None else ""
        return replace(placed, box=box)

    def _walk(self, at: At, of_key: bool) -> tuple[Place, bool]:
        if self._root is None:
            return Place(self._file, 1, 1, ""), not at
        node: Node = self._root
        best: Node | Entry = node
        for depth, part in enumerate(at):
            child = _child(node, part)
            if child is None:
                return self._at(best), False
            entry = node.entries[part] if isinstance(node, MapNode) and isinstance(part, str) else None
            last = depth == len(at) - 1
            use_key = entry is not None and (not isinstance(child, Scalar) or child.value is None or (last and of_key))
            best = entry if use_key and entry is not None else child
            node = child
        return self._at(best), True

    @staticmethod
    def _at(node: Node | Entry) -> Place:
        return Place(node.source.name, node.line, node.column, node.source.line(node.line))


def _child(node: Node | None, part: str | int) -> Node | None:
    if isinstance(node, MapNode) and isinstance(part, str):
        entry = node.entries.get(part)
        return entry.node if entry is not None else None
    if isinstance(node, ListNode) and isinstance(part, int) and 0 <= part < len(node.items):
        return node.items[part]
    return None
