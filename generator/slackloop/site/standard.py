"""The firm's standing standard: found beside the job, merged under it, and every departure from it listed."""

from __future__ import annotations

import os
from dataclasses import dataclass, field
from pathlib import Path

from slackloop.source.finding import At, Finding, Placed
from slackloop.source.lost_text import Lost
from slackloop.source.source_file import read_source
from slackloop.source.source_map import Entry, ListNode, MapNode, Node, Places, Scalar
from slackloop.source.suggestions import did_you_mean
from slackloop.source.yaml_tree import Tree, read_tree_of

MERGED_KEYS: tuple[str, ...] = (
    "conditions",
    "supply",
    "cables",
    "devices",
    "connectors",
    "solenoids",
    "rules",
    "trench",
)
OWN_KEYS: tuple[str, ...] = ("format", "title", "number", "revision", "date", "contractor")
"""Keys that say what the standard itself is; they are not merged into a job."""


@dataclass(frozen=True, slots=True)
class Departure:
    """One value where the job departs from the standard."""

    at: At
    standard_text: str
    job_text: str
    reason: str = ""
    """Why, in the job's own words; empty where the job gives no reason."""


@dataclass
class Merged:
    """The job's tree over the standard's, with what was found on the way."""

    root: MapNode
    findings: list[Placed] = field(default_factory=list)
    refused: set[At] = field(default_factory=set)
    departures: list[Departure] = field(default_factory=list)
    lost: list[Lost] = field(default_factory=list)


def merge_standard(root: MapNode, job_path: Path, places: Places) -> Merged:
    """Read the standard that the job names, if any, and lay the job over it."""
    entry = root.entries.get("standard")
    if entry is None or not isinstance(entry.node, Scalar) or entry.node.value is None:
        return Merged(root)
    written = str(entry.node.value)
    path, failure = _find(written, job_path)
    if path is None:
        return Merged(root, [places.place(failure)])
    name = Path(os.path.normpath(job_path.parent / written)).as_posix()
    source, findings = read_source(path, name)
    if source is None:
        return Merged(root, list(findings))
    tree = read_tree_of(source)
    if tree.root is None:
        return Merged(root, tree.findings)
    found = tree.findings + _foreign_keys(tree.root, name)
    merged = Merged(root, found, tree.refused, lost=tree.lost)
    for key in MERGED_KEYS:
        theirs = tree.root.entries.get(key)
        if theirs is not None and isinstance(theirs.node, MapNode):
            ours = root.entries.get(key)
            root.entries[key] = theirs if ours is None else _merge(theirs, ours, (key,), merged.departures)
    return merged


def _find(written: str, job_path: Path) -> tuple[Path | None, Finding]:
    """The standard's real path, or the finding that refuses it."""
    at: At = ("standard",)
    fine = Finding("note", "", "", at)
    if "\x00" in written or len(written) > 1_000 or Path(written).is_absolute() or "\\" in written:
        return None, Finding(
            "error",
            "standard-outside",
            f"{written[:80]!r} is not a relative path with /",
            at,
            expected="a path from the job file, as ../standards/house.yml",
        )
    try:
        folder = job_path.resolve().parent
        real = (folder / written).resolve()
        allowed = real.is_relative_to(folder.parent) and folder.parent != folder
        if not (allowed or real.is_relative_to(folder)):
            return None, Finding(
                "error",
                "standard-outside",
                f"{written} lies outside the folder of the job file and its parent",
                at,
                expected="a file in the folder of the job file or in its parent",
            )
        if not real.is_file():
            return None, Finding(
                "error",
                "standard-missing",
                f"there is no file {written} beside this job",
                at,
                expected="the path from the folder of the job file",
            )
        if real == job_path.resolve():
            return None, Finding("error", "standard-outside", "the standard is the job file itself", at)
    except (OSError, RuntimeError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else "its links lead in a circle"
        return None, Finding("error", "standard-missing", f"{written[:80]} cannot be reached: {why.lower()}", at)
    return real, fine


def _foreign_keys(root: MapNode, name: str) -> list[Placed]:
    """Refuse keys that a standard cannot state, and parts that are no maps; a part left empty states nothing."""
    places = Places(root, name)
    found: list[Placed] = []
    for key, entry in root.entries.items():
        if key in MERGED_KEYS and not isinstance(entry.node, MapNode) and node_text(entry.node):
            finding = Finding("error", "map-needed", f"{key} is not a map of keys", (key,), expected="a map of keys")
            found.append(places.place(finding, of_key=True))
        elif key not in MERGED_KEYS + OWN_KEYS:
            finding = Finding(
                "error",
                "standard-key",
                f"{key} cannot stand in a standard",
                (key,),
                expected=f"one of {', '.join(MERGED_KEYS)}, or {', '.join(OWN_KEYS)}",
                hint=did_you_mean(key, MERGED_KEYS + OWN_KEYS),
            )
            found.append(places.place(finding, of_key=True))
    return found


def _merge(theirs: Entry, ours: Entry, at: At, departures: list[Departure]) -> Entry:
    """Lay the job's value over the standard's: maps key by key, anything else whole."""
    base, top = theirs.node, ours.node
    if not (isinstance(base, MapNode) and isinstance(top, MapNode)):
        standard_text, job_text = node_text(base), node_text(top)
        if standard_text != job_text:
            departures.append(Departure(at, standard_text, job_text))
        return ours
    merged = MapNode(top.source, top.line, top.column)
    for key, entry in base.entries.items():
        over = top.entries.get(key)
        merged.entries[key] = entry if over is None else _merge(entry, over, (*at, key), departures)
    for key, entry in top.entries.items():
        merged.entries.setdefault(key, entry)
    return Entry(ours.source, ours.line, ours.column, merged)


def node_text(node: Node) -> str:
    """A value in one line, for the list of departures."""
    if isinstance(node, MapNode):
        return "{" + ", ".join(f"{key}: {node_text(entry.node)}" for key, entry in node.entries.items()) + "}"
    if isinstance(node, ListNode):
        return "[" + ", ".join(node_text(item) for item in node.items) + "]"
    return str(node.value) if isinstance(node, Scalar) and node.value is not None else ""


def read_standard_tree(path: Path, name: str) -> tuple[Tree, tuple[Placed, ...]]:
    """Read a standard file by itself: its tree, and every finding of reading it."""
    source, findings = read_source(path, name)
    if source is None:
        return Tree(None, [], set()), findings
    tree = read_tree_of(source)
    foreign = _foreign_keys(tree.root, name) if tree.root is not None else []
    return tree, (*tree.findings, *foreign)
