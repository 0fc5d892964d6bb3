"""What ``check`` answers: the JSON record of job format 1, and a short summary for a person."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from slackloop.compute.cable.circuit_length import cable_to_boxes_m
from slackloop.compute.cable.order_lines import OrderLine
from slackloop.compute.cable.splices import Splice
from slackloop.compute.computed_job import ComputedJob
from slackloop.document.worked import Worked
from slackloop.sections import format as fmt
from slackloop.site.answers import open_questions
from slackloop.source.finding import Answered, Placed
from slackloop.units.figure import amps, is_unknown, run_length, volts

if TYPE_CHECKING:
    from slackloop.compute.circuit.short_places import ShortPlace

FORMAT = 1
DIGITS = 9

Record = dict[str, Any]


def check_record(worked: Worked) -> Record:
    """The record of a job that was read and computed; SI units stand in the names, order is path order."""
    analysis = worked.analysis
    return {
        "format": FORMAT,
        "fingerprint": worked.fingerprint,
        "verdict": analysis.verdict,
        "findings": [finding_record(finding) for finding in worked.findings],
        "assumptions": [
            {"key": each.key, "kind": each.kind, "text": each.text, "where": each.where}
            for each in worked.reading.assumptions
        ],
        "supply": {
            "standby_a": number(analysis.supply.standby_a),
            "worst_a": number(analysis.supply.worst_a),
            "most_stations_at_once": analysis.supply.most_stations_at_once,
        },
        "limits": {limit.name: {"found": limit.found, "most": limit.most} for limit in analysis.limits},
        "boxes": _boxes(analysis),
        "runs": _runs(analysis),
        "closures": _closures(analysis),
        "ring_breaks": _breaks(analysis),
        "electrodes": {
            "count": len(analysis.electrodes.places),
            "ohms_each": number(analysis.electrodes.ohms_each),
            "rods_for_target": analysis.electrodes.rods_for_target,
        },
        "materials": [
            {
                "item": material.item,
                "kind": material.kind,
                "quantity": number(material.quantity),
                "unit": material.unit,
                "order": number(material.order),
                "order_unit": material.order_unit,
                **_in_si(material),
                **({"part": material.part} if material.part else {}),
            }
            for material in analysis.materials
        ],
        "trench": {
            name: number(getattr(analysis.trench, name))
            for name in ("length_m", "dug_m3", "loose_m3", "bedding_m3", "surplus_m3")
        },
    }


def _in_si(material: OrderLine) -> Record:
    """The quantity and the order in SI units, where the job's own unit is another."""
    order, order_unit = material.si_order
    if (material.si_unit, order_unit) == (material.unit, material.order_unit):
        return {}
    return {
        "si_quantity": number(material.si_quantity), "si_unit": material.si_unit,
        "si_order": number(order), "si_order_unit": order_unit,
    }  # fmt: skip


def refused_record(findings: Iterable[Placed]) -> Record:
    """The record of a file that was refused: only its findings are known."""
    return {
        "format": FORMAT,
        "fingerprint": None,
        "verdict": "refused",
        "findings": [finding_record(finding) for finding in findings],
    }


def finding_record(finding: Placed) -> Record:
    """One finding as data; ``line`` is the line of the file as it stands there."""
    record: Record = {
        "level": finding.level,
        "code": finding.code,
        "message": finding.message,
        "where": finding.where,
    }
    extra = {"box": finding.box, "expected": finding.expected, "hint": finding.hint, "line": finding.excerpt}
    if finding.answer is not None:
        record["answer"] = _answer(finding.answer)
    if finding.part_answers:
        record["part_answers"] = {place: _answer(each) for place, each in finding.part_answers}
    return record | {key: value for key, value in extra.items() if value}


def _answer(answer: Answered) -> Record:
    given = {"by": answer.by, "date": answer.date, "reference": answer.reference, "answer": answer.answer}
    return {key: value for key, value in given.items() if value}


def number(value: float | None) -> float | int | None:
    """A figure as data: whole or to ``DIGITS`` places; nothing where it is not known."""
    if value is None or isinstance(value, int):
        return value
    return None if is_unknown(value) else round(value, DIGITS)


def _boxes(analysis: ComputedJob) -> Record:
    stand = {place.where for place in analysis.electrodes.places}
    cable_m = cable_to_boxes_m(analysis.network, analysis.lengths)
    rings = bool(analysis.network.closures)
    boxes: Record = {}
    for i, box in enumerate(analysis.network.boxes):
        reading = analysis.loops.closed[i]
        opened = {"loop_open_ohms_20c": number(analysis.loops.opened[i].ohms_20c)} if rings else {}
        boxes[box] = {
            "path_m": number(analysis.network.path_m[i]),
            "cable_m": number(cable_m[i]),
            "standby_volts": number(analysis.volts.standby_volts[i]),
            "worst_volts": number(analysis.volts.worst_volts[i]),
            "loop_ohms_20c": number(reading.ohms_20c),
            "loop_ohms_cold": number(reading.ohms_cold),
            "loop_ohms_hot": number(reading.ohms_hot),
            **opened,
            "electrode": box in stand,
            "splices": [_splice(splice) for splice in analysis.splices[i]],
            "solenoid_splices": [_splice(splice) for splice in analysis.solenoid_splices[i]],
        }
    return boxes


def _splice(splice: Splice) -> Record:
    return {
        "cores": splice.cores,
        "wires": len(splice.wires),
        "area_mm2": number(splice.area_mm2),
        "connector": splice.connector,
        "fits": splice.fits,
    }


def _runs(analysis: ComputedJob) -> Record:
    covers = {cover.run_id: cover for cover in analysis.covers}
    return {
        run.id: {
            "from": run.from_id,
            "to": run.to_id,
            "length_m": number(run.length_m),
            "circuit_m": number(analysis.lengths[run.id].circuit_m),
            "cable": run.cable,
            "cover_m": number(covers[run.id].cover_m),
            "cover_min_m": number(covers[run.id].min_m),
            "cover_binding": covers[run.id].binding,
            **({"existing": True} if run.existing else {}),
        }
        for run in analysis.network.all_runs
    }


def _closures(analysis: ComputedJob) -> Record:
    """The reading at the ``to`` end of each closing run before it is joined; ``cable_m`` is all the way there."""
    network = analysis.network
    cable_m = cable_to_boxes_m(network, analysis.lengths)
    found: Record = {}
    for run, reading in zip(network.closures, analysis.loops.closures, strict=True):
        before_m = cable_m[network.index[run.from_id]] if run.from_id in network.index else 0.0
        found[run.id] = {
            "cable_m": number(before_m + analysis.lengths[run.id].circuit_m),
            "loop_open_ohms_20c": number(reading.ohms_20c),
        }
    return found


def places_record(places: Iterable[ShortPlace]) -> Record:
    """The places of a short in path order; metres along the trench from ``from``."""
    return {
        "places": [
            {
                "from": place.from_id,
                "to": place.to_id,
                "nearest_m": number(place.nearest_m),
                "likely_m": number(place.likely_m),
                "farthest_m": number(place.farthest_m),
            }
            for place in places
        ]
    }


def _breaks(analysis: ComputedJob) -> list[Record]:
    boxes = analysis.network.boxes
    return [
        {
            "run": run,
            "lowest_box": None if each.lowest_box is None else boxes[each.lowest_box],
            "lowest_volts": number(each.lowest_volts),
            "passes": each.holds,
        }
        for run, each in analysis.breaks
    ]


def _open_facts(worked: Worked) -> str:
    """How many facts are not known and how many are assumed, as ``3 facts are not known, 2 are assumed``."""
    kinds: Counter[str] = Counter(each.kind for each in worked.reading.assumptions)
    told: list[str] = []
    for kind, words in (("unknown", "not known"), ("assumed", "assumed")):
        if kinds[kind]:
            one, many = ("is", "are") if told else ("fact is", "facts are")
            told.append(f"{fmt.count(kinds[kind], one, many)} {words}")
    return ", ".join(told)


def summary_text(worked: Worked) -> str:
    """A few lines for a person: verdict, worst box, supply, what to order first."""
    analysis = worked.analysis
    counts = {level: sum(f.level == level for f in worked.findings) for level in ("error", "warning", "note")}
    worst = zip(analysis.volts.worst_volts, analysis.network.boxes, strict=True)
    reached = [(value, box) for value, box in worst if value is not None and not is_unknown(value)]
    whole = run_length(sum(run.length_m for run in analysis.network.all_runs), "cut")
    lines = [
        f"{worked.job.job.number} {worked.job.job.title}, {worked.job.job.site}: "
        f"{len(analysis.network.boxes)} boxes, {whole.brief(worked.job.job.units)} of run",
    ]
    if reached:
        lowest, box = min(reached, key=lambda each: each[0])
        lines.append(f"lowest volts: {volts(lowest, 'lowest').alone('metric')} at {box}")
    if analysis.supply.most_stations_at_once is None:
        lines.append("what the supply has to give, and how many stations may operate at once, is not known")
    elif analysis.supply.worst_a is not None:
        lines.append(
            f"supply {amps(analysis.supply.worst_a, 'highest').alone('metric')} at most; "
            f"{fmt.count(analysis.supply.most_stations_at_once, 'station', 'stations')} may operate at once"
        )
    told = ", ".join(fmt.count(counts[level], level, f"{level}s") for level in ("error", "warning", "note"))
    answered = sum(each.answer is not None for each in worked.findings)
    asked = open_questions(worked.findings)
    told += f"; {fmt.count(answered, 'warning is', 'warnings are')} answered" if answered else ""
    told += f"; {fmt.count(asked, 'question is', 'questions are')} not answered" if asked else ""
    if facts := _open_facts(worked):
        told += f"; {facts}"
    lines.append(f"{analysis.verdict}: {told}")
    return "\n".join(lines)
