"""Earth electrodes: where the job's rules put them, and what one rod reaches in this soil.

Resistance of earth rods, alone and in groups, and the soil resistivity behind it.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from slackloop.reference.rows import RodGroupRow
from slackloop.site.models import Job
from slackloop.site.network import CONTROLLER, JobPlaces, Network, boxes_in_order
from slackloop.source.finding import Finding
from slackloop.units.amount import count
from slackloop.units.figure import Figure, ohms, run_length, stated


def rod_ohms(resistivity_ohm_m: float, length_m: float, diameter_m: float) -> float:
    """Resistance to earth of one driven rod, ohm.

    R = ρ/(2πL)·(ln(4L/a) − 1), a the RADIUS (Dwight; IEEE Std 142). Uniform soil, rod much longer than thick.
    8 ft × 5/8 in in 100 ohm·m gives 39.9 ohm; with the diameter in place of the radius it would be 35 ohm, which
    is wrong.
    """
    radius_m = diameter_m / 2.0
    return resistivity_ohm_m / (2.0 * math.pi * length_m) * (math.log(4.0 * length_m / radius_m) - 1.0)


def resistivity_for_rod(target_ohms: float, length_m: float, diameter_m: float) -> float:
    """Soil resistivity, ohm·m, in which one driven rod just reaches ``target_ohms``: ``rod_ohms`` turned round."""
    return target_ohms / rod_ohms(1.0, length_m, diameter_m)


def group_factor(rods: int, table: Mapping[int, RodGroupRow]) -> float | None:
    """Factor F for ``rods`` rods one rod length apart (IEEE Std 142).

    1 for one rod; between published rows a straight line, which is our own reading between them;
    None above the last published row (24 rods).
    """
    if rods < 1:
        raise ValueError(f"a group has at least one rod, not {rods}")
    if rods == 1:
        return 1.0
    if rods in table:
        return table[rods].factor
    known = sorted((n, row.factor) for n, row in table.items())
    for (n1, f1), (n2, f2) in itertools.pairwise(known):
        if n1 < rods < n2:
            return f1 + (f2 - f1) * (rods - n1) / (n2 - n1)
    return None


def group_ohms(rods: int, one_rod_ohms: float, table: Mapping[int, RodGroupRow]) -> float | None:
    """Resistance of a group one rod length apart, ohm: F × R1 ÷ n (IEEE Std 142); None above the last row."""
    factor = group_factor(rods, table)
    return None if factor is None else factor * one_rod_ohms / rods


def rods_for_target(one_rod_ohms: float, target_ohms: float, table: Mapping[int, RodGroupRow]) -> int | None:
    """Fewest rods one rod length apart that reach a target, or None where the published rows end before it."""
    for rods in range(1, max(table) + 1):
        ohms = group_ohms(rods, one_rod_ohms, table)
        if ohms is not None and ohms <= target_ohms:
            return rods
    return None


PIN_DEPTH = 1.0 / 20.0
"""Deepest pin of a four-pin test over the spacing of the pins (MIL-HDBK-419A vol. II, figure 1-1)."""


def wenner_ohm_m(spacing_m: float, reading_ohms: float) -> float:
    """Soil resistivity, ohm·m, from a four-pin test: ρ = 2π·a·R (Wenner), pins ``spacing_m`` apart.

    Holds where the pins are driven no deeper than a twentieth of their spacing (MIL-HDBK-419A vol. II, figure 1-1).
    """
    return 2.0 * math.pi * spacing_m * reading_ohms


_WITHIN_M = 1e-9
SMALL_MARGIN = 0.1
"""A group of rods that comes nearer to its target than this fraction is no safe answer: soil is never one figure
(rule of this handbook, no published source)."""
SOIL_DIGITS = 2
"""Soil is never known to three digits: what follows from its resistivity is told to two."""


@dataclass(frozen=True)
class Electrode:
    """One electrode: a box id or ``controller``, and why it stands there."""

    where: str
    reason: str


@dataclass(frozen=True)
class ElectrodeAnswer:
    """Electrodes of the path; resistances are None where the soil's resistivity is not known.

    ``ohms_each`` is one rod; ``rods_for_target`` the fewest rods at one electrode that reach the target, None also
    where the published group factors end before it; ``ohms_together`` what those rods reach. All of them hold in soil
    of the resistivity that the job states, and nowhere else. ``long_runs`` are runs longer than ``every_run``.
    """

    places: tuple[Electrode, ...]
    ohms_each: float | None
    rods_for_target: int | None
    long_runs: tuple[str, ...]
    ohms_together: float | None = None

    @property
    def one_rod(self) -> Figure | None:
        """One rod's resistance for a reader."""
        return None if self.ohms_each is None else ohms(self.ohms_each, "highest", SOIL_DIGITS)

    @property
    def rods_together(self) -> Figure | None:
        """The rods that reach the target, together, for a reader."""
        return None if self.ohms_together is None else ohms(self.ohms_together, "highest", SOIL_DIGITS)


@dataclass(frozen=True)
class TooFar:
    """Going on to the next box would make ``run_m`` of run since the last electrode, more than the rules allow."""

    run_m: float

    def words(self, job: Job) -> str:
        """The reason in the job's own units."""
        far, most = run_length(self.run_m, "highest"), stated(job.rules.earthing.every_run, "most")
        units = job.job.units
        return f"the next box would be {far.brief(units)} from the last electrode; {most.brief(units)} is the most"


@dataclass(frozen=True)
class _Way:
    """How far a way has come since its last electrode."""

    boxes: int = 0
    run_m: float = 0.0

    def on(self, length_m: float) -> _Way:
        return _Way(self.boxes + 1, self.run_m + length_m)


def place_electrodes(
    parent: Sequence[int],
    onward_m: Sequence[Sequence[float]],
    run_m: Sequence[float],
    by_hand: Sequence[bool],
    ends: frozenset[int],
    every_boxes: int,
    every_run_m: float,
) -> tuple[tuple[int, str | TooFar], ...]:
    """Boxes (by index) that get an electrode, with the reason, in path order.

    ``parent`` and ``run_m`` (metres) of shape n give the tree, parents first, -1 the controller, where an electrode
    always stands. ``onward_m[i]`` are the lengths of the runs by which the path goes on from box i; ``ends`` are
    the branch ends that get an electrode. The rule is the job format's: an electrode stands wherever going on to
    the next box would make more than ``every_boxes`` boxes or more than ``every_run_m`` since the last one on that
    way. An electrode starts the count anew for every way on from its box; without one the count goes on into each.
    """
    placed: list[tuple[int, str | TooFar]] = []
    reason: str | TooFar
    ways: list[_Way] = []
    for i, above in enumerate(parent):
        way = (ways[above] if above >= 0 else _Way()).on(run_m[i])
        if by_hand[i]:
            reason = "placed by hand"
        elif i in ends:
            reason = "branch end"
        else:
            reason = _spacing(way, onward_m[i], every_boxes, every_run_m)
        if reason:
            placed.append((i, reason))
        ways.append(_Way() if reason else way)
    return tuple(placed)


def _spacing(way: _Way, onward_m: Sequence[float], every_boxes: int, every_run_m: float) -> str | TooFar:
    """Why the count asks for an electrode before the path goes on, or an empty text."""
    if not onward_m:
        return ""
    next_box = way.on(max(onward_m))
    if next_box.boxes > every_boxes:
        return f"the next box would be number {next_box.boxes} since the last electrode; {every_boxes} is the most"
    if next_box.run_m > every_run_m + _WITHIN_M:
        return TooFar(next_box.run_m)
    return ""


def plan(job: Job, network: Network, rod_groups: Mapping[int, RodGroupRow]) -> ElectrodeAnswer:
    """Electrodes of a job. A closing run counts as a way on from both of its ends."""
    rules = job.rules.earthing
    onward: list[list[float]] = [[network.runs[child].length_m for child in below] for below in network.children]
    for run in network.closures:
        for end in (run.from_id, run.to_id):
            if end != CONTROLLER:
                onward[network.index[end]].append(run.length_m)
    placed = place_electrodes(
        parent=network.parent,
        onward_m=onward,
        run_m=[run.length_m for run in network.runs],
        by_hand=[box.electrode for box in boxes_in_order(job, network.boxes)],
        ends=frozenset(network.ends()) if rules.branch_ends else frozenset(),
        every_boxes=rules.every_boxes,
        every_run_m=rules.every_run.si,
    )
    resistivity = job.conditions.soil_resistivity
    each = None
    if resistivity is not None:
        each = rod_ohms(resistivity.si, rules.rod.length.si, rules.rod.diameter.si)
    rods = None if each is None else rods_for_target(each, rules.target.si, rod_groups)
    return ElectrodeAnswer(
        places=(
            Electrode(CONTROLLER, "at the controller"),
            *(Electrode(network.boxes[i], why.words(job) if isinstance(why, TooFar) else why) for i, why in placed),
        ),
        ohms_each=each,
        rods_for_target=rods,
        long_runs=tuple(run.id for run in network.all_runs if run.length_m > rules.every_run.si + _WITHIN_M),
        ohms_together=None if each is None or rods is None else group_ohms(rods, each, rod_groups),
    )


def electrode_findings(
    job: Job, network: Network, answer: ElectrodeAnswer, rod_groups: Mapping[int, RodGroupRow]
) -> tuple[Finding, ...]:
    """Runs longer than the spacing, no surge part, a target out of reach or just reached, a soil that is not known."""
    rules, places, units = job.rules.earthing, JobPlaces(job), job.job.units
    by_id = {run.id: run for run in network.all_runs}
    findings = [
        Finding("warning", "run-longer-than-every-run",
                f"Run {run_id} is {by_id[run_id].length.brief(units)}, longer than the "
                f"{stated(rules.every_run, 'most').brief(units)} between electrodes; no electrode can be on it.",
                at=places.run(by_id[run_id]),
                box="" if by_id[run_id].closure else run_id, hint="Add a box on this run, or ask for a longer spacing.",
                asks="the designer", of=(run_id,))
        for run_id in answer.long_runs
    ]  # fmt: skip
    findings += _no_surge_part(job, answer)
    if answer.one_rod is None or answer.ohms_each is None:
        findings.append(
            Finding("note", "resistivity-unknown", "Soil resistivity is not given: the electrode table says what to "
                    "measure.", at=("conditions",), expected="soil_resistivity, as 60 ohm m")
        )  # fmt: skip
    elif answer.rods_for_target is None:
        most = max(rod_groups)
        together = group_ohms(most, answer.ohms_each, rod_groups)
        assert together is not None
        reached = ohms(together, "highest", SOIL_DIGITS)
        findings.append(
            Finding("warning", "electrode-target-not-reached",
                    f"One rod is {answer.one_rod.brief(units)} in this soil, and {most} rods, the most with a "
                    f"published factor, reach {reached.brief(units)}; the target is "
                    f"{stated(rules.target, 'most').brief(units)}.",
                    at=("rules", "earthing", "target"), hint="Ask for longer rods, or a design by a specialist.",
                    asks="the designer")
        )  # fmt: skip
    elif answer.rods_together is not None and answer.rods_together.value > rules.target.si * (1.0 - SMALL_MARGIN):
        rods = answer.rods_for_target
        soil = job.conditions.soil_resistivity
        findings.append(
            Finding("warning", "electrode-margin-small",
                    f"{count(rods, 'rod', 'rods')} at an electrode would reach "
                    f"{answer.rods_together.brief(units)}, and the target is "
                    f"{stated(rules.target, 'most').brief(units)}. That is true only in soil of "
                    f"{soil.text if soil else ''}, which the job assumes everywhere.",
                    at=("rules", "earthing", "target"),
                    hint="Carry more rods. The measurement at each electrode decides.", asks="the designer")
        )  # fmt: skip
    return tuple(findings)


def _no_surge_part(job: Job, answer: ElectrodeAnswer) -> list[Finding]:
    """A warning where electrodes are asked for and no part is stated that joins the path to them."""
    if job.rules.earthing.surge_part is not None or not answer.places:
        return []
    asked = count(len(answer.places), "electrode is", "electrodes are")
    return [
        Finding("warning", "surge-part-missing",
                f"{asked} asked for, and no surge part is stated. Its leads are not counted in the splices, and it is "
                "not ordered.", at=("rules", "earthing"),
                expected="surge_part: {title: …, leads: {conductor: …, build: …}}",
                hint="Ask the device maker which part joins the path to the rod.", asks="the maker of the device")
    ]  # fmt: skip
