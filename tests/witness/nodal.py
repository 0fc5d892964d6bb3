"""A path as a network of resistors, from the text of its job file alone: an independent witness of volts and readings.

PyYAML's safe loader reads the file, scipy's sparse solver solves the nodal equations, and the lengths are added up
here: every run with the slack of its two cable ends, none at the controller. Nothing of ours stands between the job
file and the figures.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import yaml
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import SuperLU, splu

JOBS = Path(__file__).parent / "jobs"
CONTROLLER = "controller"
METRES = {"m": 1.0, "ft": 0.3048, "mm": 0.001, "in": 0.0254}
IEC_60228_OHMS_PER_KM = {"2.5": 7.41, "4": 4.61}
"""Greatest resistance of one core at 20 °C, classes 1 and 2, as printed."""

SAME_PLACE = 1e-6
"""A short nearer to the end of a run than this part of it is at that end; a shorter resistor spoils the solution."""

Job = dict


@dataclass(frozen=True)
class Section:
    """One run: its ends, its length along the trench, the slack at either end, its cable; metres."""

    id: str
    one: str
    other: str
    run_m: float
    slack_one_m: float
    slack_other_m: float
    cable: str
    closes: bool = False

    @property
    def circuit_m(self) -> float:
        return self.run_m + self.slack_one_m + self.slack_other_m


def job_from(text: str) -> Job:
    return yaml.safe_load(text)


def number(text: str) -> float:
    return float(re.match(r"[\d.]+", str(text))[0])


def metres(text: str) -> float:
    return number(text) * METRES[re.match(r"[\d.]+ (\w+)", text)[1]]


def soil(job: Job) -> tuple[float, float]:
    """Coldest and hottest soil, °C."""
    parts = job["conditions"]["soil_temperature"].split(" to ")
    return tuple(number(p) if "degC" in p else (number(p) - 32) / 1.8 for p in parts)


def loop_ohms_a_metre(conductor: str, celsius: float) -> float:
    """Out and back. AWG: ASTM B258 for the diameter, IEC 60028 for the copper. mm²: the printed limit."""
    if "mm2" in conductor:
        at_20c = 2 * IEC_60228_OHMS_PER_KM[conductor.split()[0]] / 1000
    else:
        gauge = int(conductor.split()[0])
        at_20c = 2 / (58 * np.pi / 4 * (0.127 * 92 ** ((36 - gauge) / 39)) ** 2)
    return at_20c * (1 + 0.00393 * (celsius - 20))


def sections(job: Job) -> list[Section]:
    """Every run in the order of the file, closing runs last."""
    path, rule = job["path"], job["rules"]["slack"]
    plain = [(box["id"], box["from"], box["id"], box["run"], box.get("cable"), False) for box in path["boxes"]]
    for ring in path.get("ring_closures", ()):
        name = f"{ring['from']}-{ring['to']}"
        plain.append((name, ring["from"], ring["to"], ring["run"], ring.get("cable"), True))
    tails = Counter(end for _, one, other, *_ in plain for end in (one, other))
    length = metres(rule["length"])
    slack = {end: length if rule["per"] == "tail" else length / count for end, count in tails.items()}
    slack[CONTROLLER] = 0.0
    return [
        Section(name, one, other, metres(run), slack[one], slack[other], cable or path["cable"], closes)
        for name, one, other, run, cable, closes in plain
    ]


def factored(edges: list[tuple[str, str, float]]) -> tuple[dict[str, int], SuperLU]:
    """Nodes by name, and the nodal conductance matrix, the controller as reference; edges are (end, end, ohm)."""
    names = dict.fromkeys(end for one, other, _ in edges for end in (one, other) if end != CONTROLLER)
    index = {name: i for i, name in enumerate(names)}
    count = len(index)
    at = index | {CONTROLLER: count}
    one, other = (np.array([at[edge[end]] for edge in edges]) for end in (0, 1))
    siemens = 1 / np.array([ohms for _, _, ohms in edges])
    rows, columns = np.concatenate([one, other, one, other]), np.concatenate([one, other, other, one])
    values = np.concatenate([siemens, siemens, -siemens, -siemens])
    inside = (rows < count) & (columns < count)
    matrix = csc_matrix((values[inside], (rows[inside], columns[inside])), shape=(count, count))
    return index, splu(matrix)


def shared_ohms(edges: list[tuple[str, str, float]]) -> tuple[dict[str, int], np.ndarray]:
    """Nodes by name, and the loop resistance that each two share seen from the controller, ohm."""
    index, factors = factored(edges)
    return index, factors.solve(np.eye(len(index)))


def path_edges(job: Job, celsius: float, *, opened: bool = False, awg_factor: float = 1.0) -> list:
    """Every run's loop resistance at a soil temperature. ``opened`` cuts each closing run at its ``to`` end."""
    edges = []
    for section in sections(job):
        conductor = job["cables"][section.cable]["conductor"]
        factor = awg_factor if "AWG" in conductor else 1.0
        other = f"open end of {section.id}" if opened and section.closes else section.other
        edges.append((section.one, other, section.circuit_m * loop_ohms_a_metre(conductor, celsius) * factor))
    return edges


def loop_readings(job: Job, celsius: float, *, opened: bool = False) -> dict[str, float]:
    """What a meter at the controller reads with the pair shorted at each node, ohm."""
    index, shared = shared_ohms(path_edges(job, celsius, opened=opened))
    return {name: float(shared[i, i]) for name, i in index.items()}


class Shorts:
    """Readings with the pair shorted anywhere, at one soil temperature; the network is solved anew for each place."""

    def __init__(self, job: Job, celsius: float, *, opened: bool = False) -> None:
        self.runs = sections(job)
        self._edges = path_edges(job, celsius, opened=opened)
        self._at = {section.id: i for i, section in enumerate(self.runs)}

    def reading(self, run_id: str, cable_m: float) -> float:
        """Ohms at the controller, the pair shorted ``cable_m`` along the cable of a run from where it starts."""
        at, edges = self._at[run_id], list(self._edges)
        one, other, ohms = edges[at]
        part = cable_m / self.runs[at].circuit_m
        place = one if part < SAME_PLACE else other if part > 1 - SAME_PLACE else "short"
        if place == "short":
            edges[at : at + 1] = [(one, "short", ohms * part), ("short", other, ohms * (1 - part))]
        if place == CONTROLLER:
            return 0.0
        index, factors = factored(edges)
        ampere = np.zeros(len(index))
        ampere[index[place]] = 1.0
        return float(factors.solve(ampere)[index[place]])


def fitted_devices(box: Job) -> list[Job]:
    """The devices of a box, each with its stations."""
    return box.get("devices") or ([box] if box.get("device", "none") != "none" else [])


def loads(job: Job, index: dict[str, int]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Amperes of each node that are always drawn; and of each other output the node and the amperes that it adds."""
    standby, owners, draws = np.zeros(len(index)), [], []
    always = job["supply"].get("always_on", ())
    for box in job["path"]["boxes"]:
        for fitted in fitted_devices(box):
            device, at = job["devices"][fitted["device"]], index[box["id"]]
            standby[at] += number(device["standby"]) / 1000
            for station in fitted.get("stations", ()):
                if (station["number"] if isinstance(station, dict) else station) in always:
                    standby[at] += number(device["per_output"]) / 1000
                    continue
                owners.append(at)
                draws.append(number(device["per_output"]) / 1000)
    return standby, np.array(owners), np.array(draws)


LARGEST_AWG = 1.02
"""Largest resistance of a listed AWG conductor over its nominal (UL 1581, from memory)."""


def worst_volts(job: Job, at_once: int | None = None) -> dict[str, float]:
    """Lowest volts at each box for constant currents: for each box the outputs that take most from it.

    At the lowest supply volts, the hottest soil and the largest resistance; stations that always run are among those
    ``at_once`` (as the job says where it is left out; 0 gives the case at rest).
    """
    supply = job["supply"]
    index, shared = shared_ohms(path_edges(job, soil(job)[1], awg_factor=LARGEST_AWG))
    shared = shared + number(job["supply"].get("source_resistance", "0 ohm"))
    standby, owners, draws = loads(job, index)
    at_once = max((supply["stations_at_once"] if at_once is None else at_once) - len(supply.get("always_on", ())), 0)
    taken = np.sort(shared[:, owners] * draws, axis=1)[:, ::-1][:, :at_once].sum(axis=1)
    left = number(supply.get("lowest", supply["volts"])) - shared @ standby - taken
    return {box["id"]: float(left[index[box["id"]]]) for box in job["path"]["boxes"]}
