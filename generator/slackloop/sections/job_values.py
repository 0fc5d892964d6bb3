"""Works out the text of every template value from the job, its analysis and its code basis."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from slackloop.compute.circuit.path_volts import least_at_controller
from slackloop.reference.code_basis import CodeBasis, ExcavationRow
from slackloop.reference.tables import ReferenceTables
from slackloop.sections import format as fmt
from slackloop.sections.job_keys import cable_titles, solenoid_current
from slackloop.sections.text import Measure
from slackloop.sections.values import Values
from slackloop.sections.views import NOT_STATED, cable_views, connector_views, contact_values, device_views
from slackloop.site import effective_values as resolve
from slackloop.site.effective_values import LONG_LEAD_M, long_leads
from slackloop.site.models import Cable, Cores, Job
from slackloop.units import figure as fig
from slackloop.units.figure import is_unknown
from slackloop.units.ladder import Rounding, System
from slackloop.units.unit_table import METRES_PER_INCH

if TYPE_CHECKING:
    from slackloop.compute.computed_job import ComputedJob

SLACK_RULES = {"tail": "on each cable end in the box", "box": "in the box, shared by its cable ends"}
SUPPLY_KINDS = {"ac": "alternating current (ac)", "dc": "direct current (dc)"}
TAPE_PART_OF_COVER = 0.5
"""Warning tape lies half-way down the cover: common practice, no published source."""


def job_values(job: Job, analysis: ComputedJob, tables: ReferenceTables) -> Values:
    """Every value that content may name; a fact that the job does not state says so in words."""
    basis = tables.code_bases[job.job.code_basis]
    return Values(
        **_document(job),
        **_trench(job, analysis),
        **_cable(job),
        **_supply(job, analysis),
        **_electrodes(job, analysis),
        **_boxes(job, analysis),
        **contact_values(job),
        **_code(basis, job.job.units),
        **_words(basis, analysis),
        cables=cable_views(job),
        connectors=connector_views(job),
        devices=device_views(job),
    )


def _document(job: Job) -> dict[str, str]:
    """Facts of the document and the standing rules."""
    units, rules = job.job.units, job.rules
    return {
        "number": job.job.number,
        "title": job.job.title,
        "site": job.job.site,
        "client": job.job.client or NOT_STATED,
        "contractor": job.job.contractor,
        "revision": job.document.revision,
        "date": str(job.document.date),
        "status": job.document.status,
        "slack_length": fmt.stated(rules.slack.length, units, "cut"),
        "slack_rule": SLACK_RULES[rules.slack.per],
        "strip": fmt.stated(rules.strip, units, "nearest"),
        "cover": fmt.stated(rules.cover, units, "least"),
        "waste": fmt.written(rules.waste.text),
        "spare": fmt.written(rules.spare.text),
        "insulation_volts": Measure(f"{fmt.written(rules.tests.insulation.volts.text)} dc"),
        "insulation_least": Measure(fmt.written(rules.tests.insulation.least.text)),
        "loop_tolerance": fmt.written(rules.tests.loop_tolerance.text),
        "loop_meter": _meter(job)[0],
        "volt_meter": _meter(job)[1],
    }


def _meter(job: Job) -> tuple[str, str]:
    """The error of a meter in words: for a loop reading, and for one of volts."""
    ohms, volts, units = resolve.meter_error(job), resolve.volt_meter_error(job), job.job.units
    part = f"{fig.percent(ohms.fraction, 'highest').text(units)} of the reading and"
    told = fig.ohms(ohms.fixed, "highest"), fig.volts(volts.fixed, "highest")
    return f"{part} {told[0].text(units)}", f"{part} {told[1].text(units)}"


def tape_depth_m(cover_m: float, units: System) -> float:
    """How deep warning tape lies: half the cover, to a whole 25 mm or inch, as the job is measured."""
    step_m = METRES_PER_INCH if units == "us" else 0.025
    return round(cover_m * TAPE_PART_OF_COVER / step_m) * step_m


def _trench(job: Job, analysis: ComputedJob) -> dict[str, str]:
    """The trench and the ground."""
    units, trench, conditions = job.job.units, job.trench, job.conditions
    pipe = trench.shared_with_pipe
    depths = sorted({round(run.depth_m, 4) for run in analysis.trench.dug_runs})
    zones = sorted({round(run.zone_m, 4) for run in analysis.trench.dug_runs})
    tape_m = tape_depth_m(job.rules.cover.si, units)
    return {
        "trench_width": fmt.stated(trench.width, units, "least"),
        "trench_depth": span(fmt.length(depth, units, "least") for depth in depths[:: max(1, len(depths) - 1)]),
        "bedding": fmt.stated(trench.bedding, units, "least"),
        "bedding_zone": span(fmt.length(zone, units, "least") for zone in zones[:: max(1, len(zones) - 1)]),
        "pipe_od": fmt.stated(pipe, units, "nearest") if pipe else "no pipe in this trench",
        "tape_depth": fmt.length(tape_m, units, "nearest"),
        "soil": conditions.soil,
        "coldest": fmt.stated(conditions.soil_temperature.low, units, "lowest"),
        "hottest": fmt.stated(conditions.soil_temperature.high, units, "highest"),
        "frost_depth": fmt.stated(conditions.frost_depth, units, "highest") if conditions.frost_depth else NOT_STATED,
    }


def run_cables(job: Job) -> tuple[Cable, ...]:
    """The cables that runs use, the path's own first."""
    names = [job.path.cable, *(box.cable for box in job.path.boxes if box.cable)]
    names += [closure.cable for closure in job.path.ring_closures if closure.cable]
    return tuple(job.cables[name] for name in dict.fromkeys(names))


def span(texts: Iterable[str]) -> Measure:
    """The first and last of a sorted list of values: one when they are the same."""
    ends = list(dict.fromkeys(texts))
    return Measure(" to ".join(ends)) if ends else Measure(NOT_STATED)


def either(texts: Iterable[str]) -> str:
    """Different values side by side: ``orange or white``."""
    return fmt.listing(list(dict.fromkeys(text for text in texts if text)), "or") or NOT_STATED


def of_each_cable(job: Job, words: Callable[[Cores], str]) -> str:
    """What is said of the cores of every run cable: once where all are alike, else with the cable that it is true of.

    A cable is told by its size, as ``orange (14 AWG) or white (12 AWG)``; two of one size by their titles.
    """
    named = {name: job.cables[name] for name in sorted(job.path.run_cables)}
    said = {name: words(cable.cores) for name, cable in named.items()}
    if len(set(said.values())) < 2:
        return next(iter(said.values()), NOT_STATED)
    sizes = [fmt.conductor_label(cable.conductor) for cable in named.values()]
    titles = cable_titles(job)
    tell = dict(zip(named, sizes if len(set(sizes)) == len(sizes) else map(titles.get, named), strict=True))
    return fmt.listing([f"{said[name]} ({tell[name]})" for name in named], "or")


def _cable(job: Job) -> dict[str, str]:
    """The cable of the path and the connectors."""
    units, cables, connectors = job.job.units, run_cables(job), connector_views(job)
    return {
        "jacket": either(cable.jacket for cable in cables),
        "jacket_od": either(fmt.stated(cable.jacket_od, units, "nearest") for cable in cables if cable.jacket_od),
        "skin": either("jacket" if cable.jacket else "insulation" for cable in cables),
        "core_a": of_each_cable(job, lambda cores: cores.a),
        "core_b": of_each_cable(job, lambda cores: cores.b),
        "core_pairs": of_each_cable(job, lambda cores: f"{cores.a} and {cores.b}"),
        "cable_names": fmt.listing(list(cable_titles(job).values())),
        "conductor_sizes": fmt.listing(list(dict.fromkeys(fmt.conductor(c.conductor) for c in job.cables.values()))),
        "reel_length": either(fmt.stated(cable.reel, units, "lowest") for cable in cables if cable.reel),
        "connector_titles": either(view.title for view in connectors),
        "connector_listing": either(view.listing for view in connectors),
        "connector_strip": either(view.strip for view in connectors),
        "wires_range": either(view.wires for view in connectors),
        "devices_titles": either(device.title for device in job.devices.values()),
        "solenoid_titles": either(map(solenoid_current, job.solenoids.values())),
    }


def _supply(job: Job, analysis: ComputedJob) -> dict[str, str]:
    """The controller's end and the worst box."""
    worst = analysis.volts.worst_volts
    known = [index for index, each in enumerate(worst) if not is_unknown(each)] or range(len(worst))
    lowest = min(known, key=lambda index: worst[index] or 0.0) if worst else None
    used = {each.device for box in job.path.boxes for each in box.fitted}
    least = sorted({job.devices[name].least_volts for name in used}, key=lambda volts: (is_unknown(volts.si), volts.si))
    return {
        "supply_volts": Measure(fmt.written(job.supply.volts.text)),
        "supply_kind": SUPPLY_KINDS[job.supply.current],
        "stations_at_once": fmt.grouped(job.supply.stations_at_once),
        "worst_volts": fmt.lowest_volts(worst[lowest]) if lowest is not None else Measure(NOT_STATED),
        "worst_box": analysis.network.boxes[lowest] if lowest is not None else NOT_STATED,
        "controller_least": _controller_least(job, analysis),
        "least_volts": span(fmt.written(volts.text) for volts in least[:: max(1, len(least) - 1)]),
    }


def _controller_least(job: Job, analysis: ComputedJob) -> Measure:
    least = least_at_controller(analysis.volts, resolve.volt_meter_error(job))
    return fmt.volts(least, "least") if least is not None else Measure(NOT_STATED)


def _electrodes(job: Job, analysis: ComputedJob) -> dict[str, str]:
    """Earth electrodes, all from the job's own specification."""
    units, earthing, answer = job.job.units, job.rules.earthing, analysis.electrodes
    rods, soil = answer.rods_for_target, job.conditions.soil_resistivity
    rod = (fmt.stated(earthing.rod.length, units, "least"), fmt.stated(earthing.rod.diameter, units, "nearest"))
    return {
        "rod": "{} long, {} thick".format(*rod),
        "target": Measure(fmt.written(earthing.target.text)),
        "every_boxes": fmt.grouped(earthing.every_boxes),
        "every_run": fmt.stated(earthing.every_run, units, "most"),
        "clear_of_cable": fmt.stated(earthing.clear_of_cable, units, "least"),
        "electrode_count": fmt.grouped(len(answer.places)),
        "resistivity": fmt.written(soil.text) if soil else NOT_STATED,
        "rods_for_target": fmt.grouped(rods) if rods is not None else "not known until the soil is measured",
    }


def _boxes(job: Job, analysis: ComputedJob) -> dict[str, str]:
    """Counts and lengths of the path."""
    units, network = job.job.units, analysis.network
    in_order = (network.devices[network.index[box.id]] for box in job.path.boxes)
    leads = [station.lead for devices in in_order for station in long_leads(devices)]
    longest = max(leads, key=lambda lead: lead.value, default=fig.length(LONG_LEAD_M, "most"))
    return {
        "box_count": fmt.grouped(len(network.boxes)),
        "run_total": fmt.run_length(sum(run.length_m for run in (*network.runs, *network.closures)), units, "cut"),
        "longest_lead": fmt.told(longest, units),
    }


def _code(basis: CodeBasis, units: fmt.Units) -> dict[str, str]:
    """What the code basis says about digging, and who decides."""
    rows = {row.id: row for row in basis.excavation}
    nobody = "the distance that your site rules state"
    return {
        "code_name": basis.name,
        "code_decides": basis.who_decides_cover or basis.who_decides,
        "spoil_back": printed_distance(rows.get("spoil"), units, nobody),
        "way_out_depth": printed_depth(rows.get("way-out"), units, "the depth that your site rules state"),
        "support_depth": printed_depth(rows.get("support"), units, "the depth that your site rules state"),
        "way_out_distance": printed_distance(rows.get("way-out"), units, nobody),
        "tools_distance": printed_distance(rows.get("hand-dig"), units, nobody),
    }


def _words(basis: CodeBasis, analysis: ComputedJob) -> dict[str, str]:
    """The words that the code basis uses, and its clauses by what they are about."""
    words = basis.words
    questions = dict.fromkeys(cover.question for cover in analysis.covers if cover.question)
    clauses = ("spoil", "support", "way-out", "report")
    cited = {f"{name.replace('-', '_')}_clause": basis.cite(name) or basis.title for name in clauses}
    return {
        "authority": words.authority,
        "electrician": words.electrician,
        "raceway": words.raceway,
        "drive": words.drive,
        "mains": words.mains,
        "leakage_switch": words.leakage_switch,
        "locate": words.locate,
        "cover_question": " ".join(questions) or basis.who_decides_cover,
        "cover_clause": basis.cite(basis.cover.clause) if basis.cover else basis.title,
        "tools_clause": basis.cite("power-tools") or basis.title,
        **cited,
    }


def printed_depth(row: ExcavationRow | None, units: fmt.Units, otherwise: str) -> str:
    """The depth from which an excavation row counts, as its source prints it."""
    return _printed(row.from_depth_ft, row.from_depth_m, units, "most", otherwise) if row else otherwise


def printed_distance(row: ExcavationRow | None, units: fmt.Units, otherwise: str) -> str:
    """The distance that an excavation row asks for, as its source prints it."""
    return _printed(row.distance_ft, row.distance_m, units, "least", otherwise) if row else otherwise


def _printed(feet: float | None, metres: float | None, units: fmt.Units, rounding: Rounding, otherwise: str) -> str:
    return otherwise if feet is None and metres is None else fmt.printed(units, rounding, metres=metres, feet=feet)
