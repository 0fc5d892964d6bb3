"""Boxes that a job file does not write out one by one: chains, and what ``path.each`` says for all of them.

The tree is rewritten before anything checks it, so that all that follows sees single boxes.

A chain of boxes: ``ids: B03..B12`` written out as ten boxes, each fed from the one before.

Every box shares its values with the chain, and so their places: a finding names the box that it is about and the line
of the chain.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from slackloop.site.assumptions import without_assumed
from slackloop.site.plain_fields import LONGEST_ID
from slackloop.site.raw_job import BOXES
from slackloop.site.schema import keys_of
from slackloop.site.valve_boxes import NO_DEVICE, Box, Chain, Each
from slackloop.source.ambiguous_scalar import TypedScalar
from slackloop.source.finding import At, Finding, Placed
from slackloop.source.source_map import Entry, ListNode, MapNode, Node, Places, Scalar
from slackloop.source.suggestions import listed, nearest

MOST_BOXES = 20_000
"""Most boxes that one chain may stand for, and all chains of a file together: what its own lines could hold."""
FIRST = 0
_IDS = re.compile(r"(?P<first>.*?)(?P<low>[0-9]{1,9})\s*\.\.\s*(?P<last>.*?)(?P<high>[0-9]{1,9})")
_FROM_NUMBER = re.compile(r"from\s+([1-9][0-9]{0,6})")
_FROM_ADDRESS = re.compile(r"from\s+(\S*?)([0-9]{1,9})")
_COUNTED = ("ids", "from", "stations", "address")
_IDS_EXPECTED = "first and last id, as ids: B03..B12"


def is_chain(item: Node) -> bool:
    """Whether an item of ``path.boxes`` is a chain: it has ``ids``."""
    return isinstance(item, MapNode) and "ids" in item.entries


def text_in(node: Node | None) -> str:
    """The text of a scalar, empty for anything else."""
    return str(node.value).strip() if isinstance(node, Scalar) and node.value is not None else ""


class ChainReader:
    """Reads one chain; ``found`` are its findings, each with its key (empty for the chain) and whether it is the key's.

    ``shared`` are the keys that hold for every box of it, ``path.each`` among them; ``outputs`` how many outputs the
    device of a box has, None where that cannot be told.
    """

    def __init__(self, item: MapNode) -> None:
        self.item = item
        self.found: list[tuple[Finding, str, bool]] = []
        self.assumed_ids = self.assumed_stations = self.assumed_address = ""

    def say(self, code: str, message: str, key: str, expected: str = "", hint: str = "", of_key: bool = False) -> None:
        """Keep one error at a key of the chain."""
        self.found.append((Finding("error", code, message, (), expected=expected, hint=hint), key, of_key))

    def ids(self) -> list[str]:
        """The ids of its boxes, or nothing where they cannot be told."""
        self.assumed_ids, text = without_assumed(text_in(self.item.entries["ids"].node))
        match = _IDS.fullmatch(text)
        if match is None:
            self.say("chain-ids", f"ids: {text[:60] or 'nothing'} is not a first and a last id", "ids", _IDS_EXPECTED)
            return []
        prefix, low, high = match["first"], int(match["low"]), int(match["high"])
        if match["last"] not in ("", prefix) or low > high:
            ends = sorted((match["low"], match["high"]), key=int)
            why = "counts down" if match["last"] in ("", prefix) else "joins two kinds of id"
            hint = f"write {prefix}{ends[0]}..{prefix}{ends[1]}"
            self.say("chain-ids", f"ids: {text[:60]} {why}", "ids", _IDS_EXPECTED, hint)
            return []
        if high - low >= MOST_BOXES:
            self.say("chain-ids", f"ids: {text[:60]} means {high - low + 1:,} boxes", "ids",
                     f"at most {MOST_BOXES:,} boxes in one file")  # fmt: skip
            return []
        width = len(match["low"])
        if len(prefix) + max(width, len(match["high"])) > LONGEST_ID:
            self.say("text-too-long", f"an id has at most {LONGEST_ID} characters", "ids", _IDS_EXPECTED)
            return []
        return [f"{prefix}{number:0{width}d}" for number in range(low, high + 1)]

    def shared(self) -> dict[str, Entry]:
        """The keys that hold for every box; one that no chain can state is told and left out."""
        known, of_box = keys_of(Chain), keys_of(Box)
        kept: dict[str, Entry] = {}
        for key, entry in self.item.entries.items():
            if key in known:
                if key not in _COUNTED:
                    kept[key] = entry
                continue
            expected = f"one of {listed(known, 40)}"
            if key in of_box:
                self.say("chain-key", f"{key} is of one box alone and cannot stand in a chain", key, expected,
                         "delete id; ids names every box" if key == "id" else "give that box a line of its own",
                         of_key=True)  # fmt: skip
            else:
                close = nearest(key, known)
                hint = f"did you mean {close}?" if close else "delete it; a remark starts with #"
                self.say("key-unknown", f"{key} is not a key of a chain of boxes", key, expected, hint, of_key=True)
        return kept

    def boxes(self, ids: list[str], shared: Mapping[str, Entry], outputs: int | None) -> list[Node]:
        """One node a box. ``outputs`` are those of the device in each box, None where they cannot be told."""
        first, address = self._first_station(outputs), self._first_address()
        feeding = self.item.entries.get("from")
        made: list[Node] = []
        for place, identity in enumerate(ids):
            entries = {"id": _with_text(self.item.entries["ids"], f"{self.assumed_ids}{identity}")}
            if feeding is not None:
                entries["from"] = feeding
                feeding = _with_text(feeding, identity)
            entries.update(shared)
            if first is not None and outputs is not None:
                stated, start = self.item.entries["stations"], first + place * outputs
                entries["stations"] = _numbers(stated, start, outputs, self.assumed_stations)
            if address is not None:
                prefix, digits = address
                text = f"{self.assumed_address}{prefix}{int(digits) + place:0{len(digits)}d}"
                entries["address"] = _with_text(self.item.entries["address"], text)
            made.append(MapNode(self.item.source, self.item.line, self.item.column, entries))
        return made

    def _first_station(self, outputs: int | None) -> int | None:
        """The first station number, nothing where the chain states none or a wrong one."""
        if "stations" not in self.item.entries:
            return None
        node = self.item.entries["stations"].node
        self.assumed_stations, text = without_assumed(text_in(node))
        match = _FROM_NUMBER.fullmatch(text)
        if match is None:
            hint = ""
            if isinstance(node, ListNode) and node.items and text_in(node.items[FIRST]).isdigit():
                hint = f"write stations: from {text_in(node.items[FIRST])}"
            elif text_in(node).isdigit():
                hint = f"write stations: from {text_in(node)}"
            self.say("chain-count", "stations: every box of a chain needs numbers of its own", "stations",
                     "the first number, as stations: from 5", hint)  # fmt: skip
            return None
        if outputs == 0:
            self.say("station-without-device", "the boxes of this chain have stations and no device with outputs",
                     "stations", "a device with outputs, or no stations")  # fmt: skip
            return None
        return int(match[1])

    def _first_address(self) -> tuple[str, str] | None:
        """What comes before the number of the first address, and that number with its zeros."""
        if "address" not in self.item.entries:
            return None
        self.assumed_address, text = without_assumed(text_in(self.item.entries["address"].node))
        match = _FROM_ADDRESS.fullmatch(text)
        if match is None:
            hint = f"write from {text}" if re.fullmatch(r"\S*[0-9]", text) else ""
            self.say("chain-count", "address: every box of a chain needs an address of its own", "address",
                     "the first address, as address: from 105", hint)  # fmt: skip
            return None
        return match[1], match[2]


def _with_text(entry: Entry, text: str) -> Entry:
    """The same key with a text at the place of its value."""
    node = entry.node
    return replace(entry, node=Scalar(node.source, node.line, node.column, text))


def _numbers(entry: Entry, first: int, count: int, assumed: str) -> Entry:
    """The same key with a list of whole numbers at the place of its value, each with ``assumed`` where that is said."""
    node = entry.node
    numbers: list[Node] = []
    for number in range(first, first + count):
        value = f"{assumed}{number}" if assumed else TypedScalar(str(number), number)
        numbers.append(Scalar(node.source, node.line, node.column, value))
    return replace(entry, node=ListNode(node.source, node.line, node.column, numbers))


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
