"""Nodes of a job file: values and keys that know where they stand, and which file they came from."""

from __future__ import annotations

from dataclasses import dataclass, field

from slackloop.source.ambiguous_scalar import TypedScalar
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
