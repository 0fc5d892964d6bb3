"""At which boxes a check is due, from the network alone.

Ids of boxes and of checks in few words: those whose numbers follow each other are drawn together.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from slackloop.sections.section import Check, Where
from slackloop.site.models import Box, Surface

if TYPE_CHECKING:
    from slackloop.site.network import Network, Run


ON_RUNS: frozenset[Where] = frozenset({"each-run", "each-dug-run", "each-crossing", "each-cut-crossing"})
"""Places of a check that belong to a run; it is recorded at the box that the run feeds."""
IN_PLACE: frozenset[Where] = frozenset({"device-box", "electrode-box"})
"""Places of checks on what an existing box has already."""
CROSSINGS: frozenset[Where] = frozenset({"each-crossing", "each-cut-crossing"})
"""Places of checks on a run that passes under something; the second where its sleeve is not there yet."""
AT_NO_BOX: frozenset[Where] = frozenset({"each-reel", "each-day", "job"})
"""Checks with a sheet of their own."""
CROSSED: frozenset[Surface] = frozenset({"path", "paved", "driveway", "drive", "road", "building"})
"""Surfaces that a run crosses under."""


def is_due_at(where: Where, box: Box, index: int, network: Network, electrodes: Container[str]) -> bool:
    """Whether a check that is done ``where`` is due at the box at ``index``; one of each run at the box it feeds.

    A box is an end where no run goes on, so also where a ring is left open until the path has been read; it is a
    branch where more than one run goes on.
    ``electrodes`` holds the ids of the boxes where an electrode stands. What was there before is not laid, fitted or
    driven again; an existing box is worked in where a new run comes in.
    """
    if where == "joining-box":
        return joins_old(box, index, network)
    if where in ON_RUNS and network.runs[index].existing:
        return False
    if box.existing and (where in IN_PLACE or not _tails(index, network, existing=False)):
        return False
    if where == "device-box":
        return bool(box.fitted)
    if where == "branch-box":
        return len(network.children[index]) > 1
    if where == "end-box":
        return not network.children[index]
    if where == "electrode-box":
        return box.id in electrodes
    if where == "each-dug-run":
        return network.runs[index].dug_m > 0.0
    if where in CROSSINGS:
        crosses = box.surface in CROSSED or box.crossing is not None
        return crosses and not (where == "each-cut-crossing" and network.runs[index].in_old_sleeve)
    return where not in AT_NO_BOX


def joins_old(box: Box, index: int, network: Network) -> bool:
    """Whether new meets old in a box: an existing run's tail is there, and the box or another tail is new."""
    old = _tails(index, network, existing=True)
    return bool(old) and (not box.existing or bool(_tails(index, network, existing=False)))


def _tails(index: int, network: Network, *, existing: bool) -> int:
    """How many tails of existing runs, or of new ones, are in a box."""
    box = network.boxes[index]
    runs = [network.runs[index], *(network.runs[child] for child in network.children[index])]
    runs += [run for run in network.closures if box in (run.from_id, run.to_id)]
    return sum(run.existing == existing for run in runs)


def is_due_on_ring_run(check: Check, run: Run) -> bool:
    """Whether a check is due on a run that closes a ring: those of each run, and the loop reading at its open end."""
    if run.existing:
        return False
    if check.where in CROSSINGS:
        return run.surface in CROSSED
    return check.where in ON_RUNS or check.measures == "loop_ohms"


_NUMBERED = re.compile(r"(.*?)(\d+)$")


def spans(names: Sequence[str], order: Mapping[str, int]) -> str:
    """Names in path order, as ``B01 to B05, B08``; ``every box`` where all of ``order`` are named."""
    if len(names) == len(order) > 1:
        return "every box"
    parts: list[tuple[str, str]] = []
    for name in sorted(names, key=order.__getitem__):
        if parts and order[name] == order[parts[-1][1]] + 1 and _follows(parts[-1][1], name):
            parts[-1] = parts[-1][0], name
        else:
            parts.append((name, name))
    return ", ".join(_span(first, last) for first, last in parts)


def _follows(first: str, second: str) -> bool:
    """Whether the second id is the first with its number one higher, as B09 and B10."""
    one, two = _NUMBERED.fullmatch(first), _NUMBERED.fullmatch(second)
    return one is not None and two is not None and one[1] == two[1] and int(one[2]) + 1 == int(two[2])


def _span(first: str, last: str) -> str:
    if first == last:
        return first
    return f"{first}, {last}" if _follows(first, last) else f"{first} to {last}"


def id_spans(ids: Iterable[str]) -> tuple[str, ...]:
    """Ids in few words: those that differ in their last number alone are told together, as ``C-BOX-1, 3–5``."""
    groups: dict[str, list[int]] = {}
    for each in ids:
        head, _, last = each.rpartition("-")
        groups.setdefault(head if last.isdecimal() else each, []).extend([int(last)] if last.isdecimal() else [])
    return tuple(f"{head}-{_numbers(sorted(numbers))}" if numbers else head for head, numbers in groups.items())


def _numbers(numbers: Sequence[int]) -> str:
    """Numbers that rise; three or more in a row by their first and last."""
    rows: list[list[int]] = []
    for each in numbers:
        if rows and each == rows[-1][-1] + 1:
            rows[-1].append(each)
        else:
            rows.append([each])
    return ", ".join(f"{row[0]}–{row[-1]}" if len(row) > 2 else ", ".join(map(str, row)) for row in rows)
