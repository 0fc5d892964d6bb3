"""Materials: what to order, each quantity traced to the boxes that need it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from slackloop.compute.cable.order_lines import OrderLine, own_materials, packs, with_spare
from slackloop.compute.cable.reels import ReelPlan
from slackloop.compute.cable.splices import Splice
from slackloop.compute.ground.burial import pipes
from slackloop.compute.ground.electrodes import ElectrodeAnswer
from slackloop.compute.ground.trench import TrenchAnswer
from slackloop.reference.rows import SoilRow
from slackloop.site.effective_values import LONG_LEAD_M
from slackloop.site.models import Job
from slackloop.site.network import CONTROLLER, Network
from slackloop.units.amount import count
from slackloop.units.figure import length, stated

_WITHIN = 1e-9


def bill(
    job: Job,
    network: Network,
    splices: Sequence[Sequence[Splice]],
    solenoid_splices: Sequence[Sequence[Splice]],
    plans: Sequence[ReelPlan],
    trench: TrenchAnswer,
    electrodes: ElectrodeAnswer,
    sand: SoilRow,
) -> tuple[OrderLine, ...]:
    """Everything to order. ``splices`` and ``solenoid_splices`` follow the boxes; ``sand`` is its row of the soils."""
    return (
        *_cables(job, network, plans),
        *_connectors(job, network, splices, solenoid_splices),
        *_devices(job, network),
        *_rods(job, electrodes),
        *_surge_parts(job, electrodes),
        *_trench_goods(job, network, trench, sand),
        *_pipes(job, network),
        *_labels(job, network),
        *own_materials(job, network, _new_electrodes(job, electrodes), plans, trench),
    )


def _cables(job: Job, network: Network, plans: Sequence[ReelPlan]) -> list[OrderLine]:
    lines: list[OrderLine] = []
    for plan in plans:
        boxes = _in_order(network, (box for piece in plan.pieces for box in piece.boxes))
        order, unit = (plan.reel_count, "reel") if plan.reel_m is not None else (math.ceil(plan.order_m), "m")
        basis, holds = _cable_basis(job, plan), plan.reel_m or 1.0
        lines.append(
            OrderLine(plan.cable, "cable", plan.quantity_m, "m", order, unit, basis, boxes, plan.waste, holds,
                     part=job.cables[plan.cable].part,
                     needs=tuple((piece.run_id or piece.boxes[-1], piece.length_m) for piece in plan.pieces))
        )  # fmt: skip
    return lines


def _cable_basis(job: Job, plan: ReelPlan) -> str:
    slack, units = job.rules.slack, job.job.units
    held = []
    if any(piece.run_id for piece in plan.pieces):
        held.append(f"runs, with {stated(slack.length, 'cut').text(units)} of slack per {slack.per}")
    if any(not piece.run_id for piece in plan.pieces):
        held.append(f"leads longer than {length(LONG_LEAD_M, 'most').text(units)}")
    text = f"{' and '.join(held)}; {job.rules.waste.text} waste"
    reel = job.cables[plan.cable].reel
    if reel is None:
        return f"{text}; no reel length given"
    holds = stated(reel, "lowest").text(units)
    return f"{text}; reels of {holds}: {plan.reel_count}, at the fewest {plan.fewest_reels}"


def _connectors(
    job: Job, network: Network, splices: Sequence[Sequence[Splice]], solenoid_splices: Sequence[Sequence[Splice]]
) -> list[OrderLine]:
    path_side: dict[str, int] = dict.fromkeys(job.connectors, 0)
    solenoid_side: dict[str, int] = dict.fromkeys(job.connectors, 0)
    boxes: dict[str, list[str]] = {name: [] for name in job.connectors}
    for counts, per_box in ((path_side, splices), (solenoid_side, solenoid_splices)):
        for box_id, each in zip(network.boxes, per_box, strict=True):
            for splice in each:
                counts[splice.connector] += 1
                boxes[splice.connector].append(box_id)
    return [
        OrderLine(
            item=name,
            kind="connector",
            quantity=path_side[name] + solenoid_side[name],
            unit="piece",
            order=packs(path_side[name] + solenoid_side[name], job.rules.spare.si, connector.pack),
            order_unit="pack",
            basis=f"{_sides(path_side[name], solenoid_side[name])}; "
            f"{job.rules.spare.text} spare; packs of {connector.pack}",
            boxes=_in_order(network, boxes[name]),
            extra=job.rules.spare.si,
            holds=connector.pack,
            part=connector.part,
            needs=_ones(boxes[name]),
        )
        for name, connector in job.connectors.items()
        if boxes[name]
    ]


def _sides(path_side: int, solenoid_side: int) -> str:
    """How many splices a connector makes on each side; a side with none is left out."""
    sides = ((path_side, "path splice"), (solenoid_side, "solenoid splice"))
    return " and ".join(count(number, word, f"{word}s") for number, word in sides if number)


def _devices(job: Job, network: Network) -> list[OrderLine]:
    """Devices by name, then the solenoids that their stations open."""
    devices: dict[str, list[str]] = {name: [] for name in job.devices}
    solenoids: dict[str, list[str]] = {name: [] for name in job.solenoids}
    for box in job.path.boxes:
        for placed in () if box.existing else network.devices[network.index[box.id]]:
            devices[placed.kind].append(box.id)
            for station in placed.stations:
                if station.solenoid is not None:
                    solenoids[station.solenoid].append(box.id)
    lines: list[OrderLine] = []
    for kind, each, basis in (
        ("device", devices, "one for each place that names it; no spare added"),
        ("solenoid", solenoids, "one for each station; no spare added"),
    ):
        for name, where in each.items():
            if where:
                count, part = len(where), job.devices[name].part if kind == "device" else ""
                boxes = _in_order(network, where)
                lines.append(
                    OrderLine(name, kind, count, "piece", count, "piece", basis, boxes, part=part, needs=_ones(where))
                )
    return lines


def _rods(job: Job, electrodes: ElectrodeAnswer) -> list[OrderLine]:
    rod = job.rules.earthing.rod
    each, new = electrodes.rods_for_target or 1, _new_electrodes(job, electrodes)
    count = len(new) * each
    here = f"{len(new)} electrodes, the controller's among them"
    if electrodes.rods_for_target is not None:
        basis = f"{here}, {each} rods each for {job.rules.earthing.target.text}"
    elif electrodes.ohms_each is None:
        basis = f"{here}, one rod each until the soil is measured"
    else:
        basis = f"{here}, one rod each; the target is out of reach and needs a design"
    boxes = tuple(where for where in new if where != CONTROLLER)
    item = f"earth rod {rod.length.text} × {rod.diameter.text}"
    needs = tuple((where, float(each)) for where in new)
    return [OrderLine(item, "rod", count, "piece", count, "piece", basis, boxes, needs=needs)]


def _new_electrodes(job: Job, electrodes: ElectrodeAnswer) -> tuple[str, ...]:
    """Where the job drives rods: those of existing boxes are there."""
    old = {box.id for box in job.path.boxes if box.existing}
    return tuple(electrode.where for electrode in electrodes.places if electrode.where not in old)


def _surge_parts(job: Job, electrodes: ElectrodeAnswer) -> list[OrderLine]:
    part = job.rules.earthing.surge_part
    boxes = tuple(where for where in _new_electrodes(job, electrodes) if where != CONTROLLER)
    if part is None or not boxes:
        return []
    basis = "one for each electrode box; the controller's own protection is its maker's; no spare added"
    number = len(boxes)
    return [OrderLine(part.title, "surge part", number, "piece", number, "piece", basis, boxes, needs=_ones(boxes))]


def _trench_goods(job: Job, network: Network, trench: TrenchAnswer, sand: SoilRow) -> list[OrderLine]:
    lines: list[OrderLine] = []
    dug = tuple(run.to_id for run in network.runs if not run.existing)
    if trench.length_m == 0.0:
        return lines
    if job.trench.warning_tape:
        order = math.ceil(trench.length_m * (1.0 + job.rules.spare.si) - _WITHIN)
        basis = f"length of every trench; {job.rules.spare.text} spare"
        needs = tuple((each.run_id, each.dug_m) for each in trench.runs)
        spare = job.rules.spare.si
        lines.append(
            OrderLine("warning tape", "tape", trench.length_m, "m", order, "m", basis, dug, spare, needs=needs)
        )
    if trench.bedding_m3 > 0.0:
        swell = sand.bank_to_loose / sand.bank_to_compacted
        loose = trench.bedding_m3 * swell
        zone = "bedding zone" if job.trench.shared_with_pipe is None else "bedding zone less the pipe"
        basis = f"{zone}, in place; ordered loose ({sand.source}, sand); no waste added"
        order_m3 = math.ceil(loose * 10.0 - _WITHIN) / 10.0
        lines.append(
            OrderLine("bedding sand", "bedding", trench.bedding_m3, "m3", order_m3, "m3", basis, dug,
                     swell - 1.0, step=0.1, needs=tuple((each.run_id, each.bedding_m3) for each in trench.runs))
        )  # fmt: skip
    return lines


def _pipes(job: Job, network: Network) -> list[OrderLine]:
    """Sleeves and ducts by size, in metres, as whole metres with spares."""
    spare = job.rules.spare.si
    return [
        OrderLine(pipe.title, "sleeve" if pipe.title.startswith("sleeve") else "duct", pipe.length_m, "m",
                 math.ceil(pipe.length_m * (1.0 + spare) - _WITHIN), "m",
                 f"length of each crossing or run that lies in it; {job.rules.spare.text} spare",
                 _in_order(network, pipe.boxes), spare, needs=pipe.parts)
        for pipe in pipes(network)
    ]  # fmt: skip


def _labels(job: Job, network: Network) -> list[OrderLine]:
    """Labels for each device, on it and in its box, and one for each cable end: a box opened later can be read."""
    devices = [box.id for box in job.path.boxes if not box.existing for _ in network.devices[network.index[box.id]]]
    both = [box for box in devices for _ in ("on it", "in its box")]
    new = (run for run in network.all_runs if not run.existing)
    tails = [end for run in new for end in (run.from_id, run.to_id) if end in network.index]
    spare = job.rules.spare.si
    lines: list[OrderLine] = []
    laid = [run.id for run in network.all_runs for end in (run.from_id, run.to_id)
            if not run.existing and end in network.index]  # fmt: skip
    for item, where, basis, needed_by in (
        ("device label", both, "two for each device: on it and in its box", both),
        ("cable label", tails, "one for each cable end in a box", laid),
    ):
        if where:
            order = with_spare(len(where), spare)
            text = f"{basis}; {job.rules.spare.text} spare"
            boxes = _in_order(network, where)
            number, needs = len(where), _ones(needed_by)
            lines.append(OrderLine(item, "label", number, "piece", order, "piece", text, boxes, spare, needs=needs))
    return lines


def _ones(places: Iterable[str]) -> tuple[tuple[str, float], ...]:
    """One for each place that is named, as often as it is."""
    return tuple([(place, 1.0) for place in places])


def _in_order(network: Network, boxes: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted(set(boxes), key=network.index.__getitem__))
