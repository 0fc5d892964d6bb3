"""Like splices of one box told together: the same wires, the same connector, made more than once."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from slackloop.compute.cable.splices import Splice
from slackloop.sections import format as fmt

_STATION = re.compile(r"station (\d+) (.+)")


@dataclass(frozen=True, slots=True)
class SpliceGroup:
    """Splices that differ in nothing but the core or the station they serve; ``label`` names them all."""

    label: str
    wires: str
    splices: tuple[Splice, ...]

    @property
    def like(self) -> Splice:
        """One of them, for what all share."""
        return self.splices[0]


def splice_groups(splices: Iterable[Splice]) -> tuple[SpliceGroup, ...]:
    """The splices of one box in groups, in the order in which each kind first stands."""
    groups: dict[tuple[object, ...], list[Splice]] = {}
    for splice in splices:
        kind = "core" if splice.cores in ("a", "b") else "station"
        key = (kind, _wires(splice), splice.connector, splice.fits, splice.reasons)
        groups.setdefault(key, []).append(splice)
    return tuple(SpliceGroup(_label(each), _wires(each[0]), tuple(each)) for each in groups.values())


def _wires(splice: Splice) -> str:
    """What meets, with no station's number in it; each wire's own colour where they are not all alike."""
    mixed = len({wire.colour for wire in splice.wires if wire.colour}) > 1
    texts = (
        f"{fmt.written(wire.conductor_label)} {wire.origin}" + (f" ({wire.colour})" if mixed and wire.colour else "")
        for wire in splice.wires
    )
    return re.sub(r"station \d+", "the station", ", ".join(texts))


def _label(splices: list[Splice]) -> str:
    """What the splices serve, as ``Core a (orange) and core b (grey)`` or ``Stations 3 and 4: lead a and lead b``."""
    found = [_STATION.fullmatch(splice.cores) for splice in splices]
    if any(match is None for match in found):
        cores = [f"core {each.cores}" + (f" ({each.colour})" if each.colour else "") for each in splices]
        text = fmt.listing(cores)
        return text[:1].upper() + text[1:]
    stations = list(dict.fromkeys(match[1] for match in found if match))
    leads = list(dict.fromkeys(match[2] for match in found if match))
    return f"{'Station' if len(stations) == 1 else 'Stations'} {fmt.listing(stations)}: {fmt.listing(leads)}"
