"""The job that a survey's boxes are put into: what it defines, and its text with other boxes in it."""

from __future__ import annotations

import os
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from textwrap import wrap

from slackloop.site.assumptions import without_assumed
from slackloop.site.effective_values import DEFAULT_DETOUR
from slackloop.site.raw_job import quantity_of, text_of
from slackloop.site.standard import merge_standard
from slackloop.site.valve_boxes import NO_DEVICE
from slackloop.source.ambiguous_scalar import block_lines, flow_text, remark, scalar_text
from slackloop.source.finding import Placed
from slackloop.source.lost_text import SET_ME
from slackloop.source.source_file import SourceFile, read_source
from slackloop.source.source_map import Entry, MapNode, Places, plain
from slackloop.source.suggestions import FEW, listed
from slackloop.source.yaml_tree import read_tree_of
from slackloop.survey.points import Known

REWRITTEN = ("controller_at", "each", "boxes", "ring_closures")
"""Keys of the path that the survey writes; the base's own lines are left out."""
WIDTH = 100
_TABLES = ("cables", "devices", "connectors", "solenoids")
_OF_PATH = {"cable": "cables", "connector": "connectors", "solenoid": "solenoids"}


@dataclass(frozen=True)
class BaseJob:
    """A job file without its boxes; ``facts`` has the standard under it, as plain maps and lists."""

    source: SourceFile
    entries: dict[str, Entry]
    facts: dict[str, object]
    is_flow: bool

    def _map(self, *keys: str) -> dict[str, object]:
        value: object = self.facts
        for key in keys:
            value = value.get(key) if isinstance(value, dict) else None
        return value if isinstance(value, dict) else {}

    @property
    def in_feet(self) -> bool:
        """Whether the job shows feet first."""
        return text_of(self._map("job").get("units")) == "us"

    @property
    def detour(self) -> float:
        """What the job adds to straight lines, as a fraction."""
        stated = quantity_of(self._map("path").get("detour"), "percent")
        return DEFAULT_DETOUR if stated is None else stated

    @property
    def each(self) -> dict[str, object]:
        """What the base states for every box."""
        return self._map("path", "each")

    def known(self) -> Known:
        """Names and outputs that rows may use, and the device of boxes that name none."""
        outputs = {}
        for name, device in self._map("devices").items():
            number = text_of(device.get("outputs")) if isinstance(device, dict) else None
            digits = without_assumed(number or "")[1]
            if digits.isascii() and digits.isdigit() and len(digits) < 5:
                outputs[name] = int(digits)
        stated = without_assumed(text_of(self.each.get("device")) or "")[1]
        usual = next((name for name, count in outputs.items() if count), None)
        names = {table: tuple(self._map(table)) for table in _TABLES}
        return Known(names, outputs, stated if stated and stated != NO_DEVICE else None if stated else usual)

    def lines_with(self, out: Path, path_keys: dict[str, object], path_lines: Sequence[str]) -> Iterator[str]:
        """The base's lines with other boxes: ``path_keys`` where the path lacks them, then ``path_lines``."""
        if self.is_flow:
            own = {key: plain(entry.node) for key, entry in self.entries.items() if key != "path"}
            if "standard" in own:
                own["standard"] = self._standard(out)
            yield from block_lines(own)
            yield from self._path(path_keys, path_lines)
            return
        starts = sorted((entry.line, key) for key, entry in self.entries.items())
        here, there = (f"slackloop check {Path(name).name}" for name in (self.source.name, out))
        yield from (line.replace(here, there) for line in self.source.lines[: starts[0][0] - 1])
        for (line, key), (after, _) in zip(starts, [*starts[1:], (self._end() + 1, "")], strict=True):
            if key == "path":
                yield from self._path(path_keys, path_lines)
                yield from self._remarks_before(line, after)
            elif key == "standard":
                yield f"standard: {scalar_text(self._standard(out))}"
                yield from self.source.lines[line : after - 1]
            else:
                yield from self.source.lines[line - 1 : after - 1]
        if "path" not in self.entries:
            yield from self._path(path_keys, path_lines)

    def rings(self, boxes: Collection[str], runs: Collection[frozenset[str]]) -> tuple[list[str], list[str]]:
        """Lines of the base's runs that close a ring between the new boxes, and what is said of them.

        ``boxes`` are the new ones with the controller, ``runs`` the pairs of them that a run joins.
        """
        stated = self._map("path").get("ring_closures")
        kept: list[str] = []
        names: list[str] = []
        left: list[str] = []
        for closure in stated if isinstance(stated, list) else ():
            ends = [text_of(closure.get(key)) or "" for key in ("from", "to")] if isinstance(closure, dict) else []
            missing = [end for end in ends if end and end not in boxes]
            if missing:
                left.append(f"{'-'.join(ends)}: the survey has no {' and no '.join(missing)}")
            elif frozenset(ends) in runs:
                left.append(f"{'-'.join(ends)}: a run joins these two already")
            else:
                kept.append(f"    - {flow_text(closure)}")
                names.append("-".join(ends))  # what is wrong in itself is kept, so that a check of the job tells it
        said = f"ring_closures: kept from the base, each with its run as it is there: {listed(names, FEW)}"
        lines = ["  ring_closures:", *kept] if kept else []
        return lines, [*([said] if kept else []), *(f"ring_closures: left out {each}" for each in left)]

    def _end(self) -> int:
        """The number of the last line that says something."""
        return max((i for i, line in enumerate(self.source.lines, 1) if line.strip()), default=1)

    def _remarks_before(self, line: int, after: int) -> list[str]:
        """Empty lines and remarks that lie right before the next key of the job."""
        kept: list[str] = []
        for text in reversed(self.source.lines[line : after - 1]):
            if text.strip() and not text.startswith("#"):
                break
            kept.append(text)
        return kept[::-1] if after <= self._end() else []

    def _path(self, path_keys: dict[str, object], path_lines: Sequence[str]) -> Iterator[str]:
        yield "path:"
        node = self.entries["path"].node if "path" in self.entries else None
        entries = node.entries if isinstance(node, MapNode) else {}
        in_block = isinstance(node, MapNode) and node.line > self.entries["path"].line and not self.is_flow
        if in_block and entries:
            starts = sorted((entry.line, key) for key, entry in entries.items())
            end = min([e.line for e in self.entries.values() if e.line > starts[0][0]], default=self._end() + 1)
            for (line, key), (after, _) in zip(starts, [*starts[1:], (end, "")], strict=True):
                if key not in REWRITTEN:
                    indent = entries[key].column - 1
                    kept = [text for text in self.source.lines[line - 1 : after - 1] if text.strip()]
                    yield from (f"  {text[indent:]}" for text in kept if text[:indent].strip() == "")
        else:
            yield from block_lines({key: plain(each.node) for key, each in entries.items() if key not in REWRITTEN}, 2)
        yield from block_lines({key: value for key, value in path_keys.items() if key not in entries}, 2)
        yield from path_lines

    def path_keys(self) -> dict[str, object]:
        """Cable, connector and solenoid of the path: the first that is defined, for those that the base leaves out."""
        tables = {key: list(self._map(table)) for key, table in _OF_PATH.items()}
        return {key: names[0] if names else SET_ME for key, names in tables.items() if names or key != "solenoid"}

    def left_out(self) -> list[str]:
        """The keys of ``path_keys`` that the base does not state."""
        return [key for key in self.path_keys() if key not in self._map("path")]

    def _standard(self, out: Path) -> str:
        """The path of the standard from the new file."""
        written = text_of(self.facts.get("standard")) or ""
        here, there = Path(self.source.name).resolve().parent, out.resolve().parent
        return written if here == there else Path(os.path.relpath(here / written, there)).as_posix()


def remark_lines(text: str) -> Iterator[str]:
    """A sentence as lines behind ``#``, those after the first further in."""
    for number, line in enumerate(wrap(remark(text), WIDTH)):
        yield f"#   {line}" if number else f"# {line}"


def read_base(path: Path) -> tuple[BaseJob | None, tuple[Placed, ...]]:
    """Read the base, or say what stops it from being read."""
    name = path.as_posix()
    source, failures = read_source(path, name)
    if source is None:
        return None, failures
    tree = read_tree_of(source)
    if tree.root is None or any(each.level == "error" for each in tree.findings):
        return None, tuple(tree.findings)
    own = dict(tree.root.entries)
    merged = merge_standard(tree.root, path, Places(tree.root, name))
    if any(each.level == "error" for each in merged.findings):
        return None, tuple(merged.findings)
    facts = plain(merged.root)
    assert isinstance(facts, dict)
    first = min((entry.line for entry in own.values()), default=1)
    is_flow = len({entry.line for entry in own.values()}) < len(own) or not own or tree.root.column > 1 or (
        source.line(first).lstrip().startswith("{")
    )  # fmt: skip
    return BaseJob(source, own, facts, is_flow), ()
