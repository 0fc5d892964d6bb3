"""Boxes that a job file does not write out one by one: chains, and what ``path.each`` says for all of them.

The tree is rewritten before anything checks it, so that all that follows sees single boxes.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from slackloop.site.assumptions import without_assumed
from slackloop.site.chains import MOST_BOXES, ChainReader, is_chain, text_in
from slackloop.site.raw_job import BOXES
from slackloop.site.schema_walk import keys_of
from slackloop.site.valve_boxes import NO_DEVICE, Each
from slackloop.source.finding import At, Placed
from slackloop.source.nodes import Entry, ListNode, MapNode, Node
from slackloop.source.source_map import Places

_EACH_GIVES_WAY = {"device": "devices", "run": "at"}
"""What ``each`` does not give a box that has another key: a device to one with several, a run to one with a place."""


@dataclass
class WrittenOut:
    """A job's tree with every box written out; ``index`` says where each item of the file's own list has gone."""

    root: MapNode
    findings: list[Placed] = field(default_factory=list)
    refused: set[At] = field(default_factory=set)
    index: dict[int, range] = field(default_factory=dict)

    def moved(self, at: At) -> list[At]:
        """Where a key path of the file's own list is now: at each box of its chain."""
        if at[:2] != BOXES or len(at) < 3 or not isinstance(at[2], int):
            return [at]
        return [(*BOXES, i, *at[3:]) for i in self.index.get(at[2], range(at[2], at[2] + 1))]


def write_out(root: MapNode, file: str) -> WrittenOut:
    """The tree with its chains written out as boxes, and each box with what ``path.each`` gives it."""
    path = _node_at(root, "path")
    boxes = _node_at(path, "boxes") if isinstance(path, MapNode) else None
    if not isinstance(path, MapNode) or not isinstance(boxes, ListNode):
        return WrittenOut(root)
    given = _each(path)
    if not given and not any(is_chain(item) for item in boxes.items):
        return WrittenOut(root)
    done, places = WrittenOut(root), Places(root, file)
    made: list[Node] = []
    for number, item in enumerate(boxes.items):
        before = len(made)
        if is_chain(item) and isinstance(item, MapNode):
            made += _chain(root, item, given, number, before, places, done)
        elif isinstance(item, MapNode):
            made.append(replace(item, entries=_with_each(item.entries, given)))
        else:
            made.append(item)
        done.index[number] = range(before, len(made))
    written = ListNode(boxes.source, boxes.line, boxes.column, made)
    done.root = _put(root, "path", _put(path, "boxes", written))
    return done


def _chain(
    root: MapNode, item: MapNode, given: dict[str, Entry], number: int, before: int, places: Places, done: WrittenOut
) -> list[Node]:
    """The boxes of one chain; a chain whose ids cannot be told stays one item, and nothing more is said of it."""
    reader = ChainReader(item)
    ids = reader.ids()
    if before + len(ids) > MOST_BOXES:
        reader.say("chain-ids", f"with this chain the path has {before + len(ids):,} boxes", "ids",
                   f"at most {MOST_BOXES:,} boxes in a file with chains")  # fmt: skip
        ids = []
    own = reader.shared()
    shared = _with_each(own, given)
    if "run" not in shared:
        reader.say("key-missing", "run is missing in this chain", "", "the length of each run, as run: 25 m")
    boxes: list[Node] = reader.boxes(ids, shared, _outputs(root, shared)) if ids else [item]
    if not ids or "run" not in shared:
        done.refused |= {(*BOXES, before + i) for i in range(len(boxes))}
    for finding, key, of_key in reader.found:
        at = (*BOXES, number, key) if key else (*BOXES, number)
        done.findings.append(places.place(replace(finding, at=at, box=ids[0] if ids else ""), of_key))
    return boxes


def _each(path: MapNode) -> dict[str, Entry]:
    """What ``path.each`` states, of the keys that it may state."""
    each, known = _node_at(path, "each"), keys_of(Each)
    if not isinstance(each, MapNode):
        return {}
    return {key: entry for key, entry in each.entries.items() if key in known}


def _with_each(own: dict[str, Entry], given: dict[str, Entry]) -> dict[str, Entry]:
    """A box's own keys, and those of ``each`` that it leaves out."""
    left = {key: entry for key, entry in given.items() if key not in own and _EACH_GIVES_WAY.get(key) not in own}
    return own | left


def _outputs(root: MapNode, shared: dict[str, Entry]) -> int | None:
    """How many outputs the device of a chain's boxes has; 0 without a device, None where that cannot be told."""
    name = without_assumed(text_in(shared["device"].node))[1] if "device" in shared else ""
    if not name or name == NO_DEVICE:
        return 0
    device = _node_at(_node_at(root, "devices"), name)
    text = without_assumed(text_in(_node_at(device, "outputs")))[1]
    return int(text) if text.isascii() and text.isdigit() and len(text) < 4 else None


def _node_at(node: Node | None, key: str) -> Node | None:
    """The value of a key of a map, or nothing."""
    entry = node.entries.get(key) if isinstance(node, MapNode) else None
    return entry.node if entry is not None else None


def _put(node: MapNode, key: str, value: Node) -> MapNode:
    """The same map with another value at one of its keys."""
    entries = dict(node.entries)
    entries[key] = replace(entries[key], node=value)
    return replace(node, entries=entries)
