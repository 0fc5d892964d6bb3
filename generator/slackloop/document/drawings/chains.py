"""The tree of boxes cut into chains: each arm's main line, then every branch in the order that it leaves."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

CONTROLLER = "controller"


@dataclass(frozen=True)
class Chain:
    """Boxes one after another: ``start`` is the controller or the box that it leaves; ``title`` names it."""

    title: str
    short: str
    start: str
    boxes: tuple[str, ...]


def chains(boxes: Sequence[str], from_id: Mapping[str, str]) -> tuple[Chain, ...]:
    """Cut a tree into chains; at a fork the way with the most boxes in a line goes on, the others are branches.

    ``boxes`` holds ids in path order (each after the box that it comes from); ``from_id`` maps a box to
    the box, or ``controller``, that feeds it. Ties go to the box named first. Arms and branches are
    numbered from 1 in the order drawn, a branch's own branches right after it.
    """
    children: dict[str, list[str]] = {CONTROLLER: []}
    for box in boxes:
        children.setdefault(box, [])
        children[from_id[box]].append(box)
    depth: dict[str, int] = {}
    for box in reversed(boxes):
        depth[box] = 1 + max((depth[child] for child in children[box]), default=0)
    found: list[Chain] = []
    waiting = [(CONTROLLER, root) for root in reversed(children[CONTROLLER])]
    arms = branches = 0
    while waiting:
        start, box = waiting.pop()
        line = [box]
        left_over: list[tuple[str, str]] = []
        while children[line[-1]]:
            here = children[line[-1]]
            onward = max(here, key=lambda child: depth[child])
            left_over.extend((line[-1], child) for child in here if child != onward)
            line.append(onward)
        if start == CONTROLLER:
            arms += 1
            title, short = f"Arm {arms}, from the controller", f"arm {arms}"
        else:
            branches += 1
            title, short = f"Branch {branches}, from {start}", f"branch {branches}"
        found.append(Chain(title, short, start, tuple(line)))
        waiting.extend(reversed(left_over))
    return tuple(found)
