"""Boxes in groups that a phone page can hold: by arm, in path order, at most forty a group."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from slackloop.site.network import Network

MOST_IN_GROUP = 40


@dataclass(frozen=True, slots=True)
class BoxGroup:
    """Boxes of one arm that stand on one page; ``title`` is ``Arm 1: B001 to B040``."""

    title: str
    arm: int
    number: int
    indices: tuple[int, ...]

    @property
    def uri(self) -> str:
        """Address of the group's page."""
        return f"boxes-by-arm/group-{self.number}.md"


def box_groups(network: Network, most: int = MOST_IN_GROUP) -> tuple[BoxGroup, ...]:
    """Every box of the path, once, in path order."""
    groups: list[BoxGroup] = []
    for arm, members in groupby(range(len(network.boxes)), key=lambda index: network.arm[index]):
        indices = tuple(members)
        for start in range(0, len(indices), most):
            part = indices[start : start + most]
            title = f"Arm {arm}: {network.boxes[part[0]]}"
            title += f" to {network.boxes[part[-1]]}" if len(part) > 1 else ""
            groups.append(BoxGroup(title, arm, len(groups) + 1, part))
    return tuple(groups)
