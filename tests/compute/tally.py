"""An independent tally of a job file: plain loops over its YAML, sharing no code with the program.

Reads the same keys with its own few lines of unit conversion, and counts what the job format says.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

JOBS = Path(__file__).parent / "jobs"
METRES = {"m": 1.0, "mm": 0.001, "ft": 0.3048, "in": 0.0254}
SOIL = {"common earth": (1.25, 0.90), "sand": (1.11, 0.95), "clay": (1.43, 0.90), "rock": (1.50, 1.30)}


def metres(text: str) -> float:
    """The first number and unit of a length."""
    match = re.match(r"([0-9.]+) (\w+)", text)
    assert match is not None, text
    return float(match[1]) * METRES[match[2]]


@dataclass
class Tally:
    """A job as plain dictionaries, and what was counted."""

    job: dict[str, Any]
    runs: list[dict[str, Any]] = field(default_factory=list)
    ends: dict[str, list[dict[str, Any]]] = field(default_factory=dict)

    def boxes(self) -> list[dict[str, Any]]:
        boxes: list[dict[str, Any]] = self.job["path"]["boxes"]
        return boxes

    def tails(self) -> dict[str, list[dict[str, Any]]]:
        if not self.ends:
            self.ends = {box["id"]: [] for box in self.boxes()}
            for run in self.runs:
                for end in {run["from"], run["to"]} - {"controller"}:
                    self.ends[end].append(run)
        return self.ends

    def tail_m(self, box: str) -> float:
        slack = self.job["rules"]["slack"]
        length = metres(slack["length"])
        return length if slack["per"] == "tail" else length / len(self.tails()[box])

    def cable_m(self) -> dict[str, float]:
        totals: dict[str, float] = {}
        for run in self.runs:
            slack = sum(self.tail_m(end) for end in (run["from"], run["to"]) if end != "controller")
            totals[run["cable"]] = totals.get(run["cable"], 0.0) + run["m"] + slack
        used = {run["cable"] for run in self.runs}
        spare = [name for name in self.job["cables"] if name not in used]
        for box in self.boxes():
            if metres(box.get("lead", "1 m")) > 1.5:
                totals[spare[0]] = totals.get(spare[0], 0.0) + metres(box["lead"]) * len(box["stations"])
        return totals

    def connectors(self) -> dict[str, int]:
        path, counts = self.job["path"], dict[str, int]()
        for box in self.boxes():
            meet = len(self.tails()[box["id"]]) + ("device" in box)
            on_path = box.get("connector", path["connector"])
            counts[on_path] = counts.get(on_path, 0) + (2 if meet >= 2 else 0)
            side = box.get("solenoid_connector", path.get("solenoid_connector", on_path))
            each = 4 if metres(box.get("lead", "1 m")) > 1.5 else 2
            counts[side] = counts.get(side, 0) + each * len(box.get("stations", []))
        return counts

    def trench(self) -> dict[str, float]:
        ditch, sums = self.job["trench"], dict.fromkeys(("length", "dug", "loose", "bedding", "surplus"), 0.0)
        loose, compacted = SOIL[self.job["conditions"]["soil"]]
        width, bedding = metres(ditch["width"]), metres(ditch["bedding"])
        for run in self.runs:
            pipe = metres(ditch["shared_with_pipe"]) if "shared_with_pipe" in ditch else None
            diameter = pipe if pipe is not None else metres(self.job["cables"][run["cable"]]["jacket_od"])
            dug = width * (run["cover"] + diameter + bedding) * run["m"]
            zone = width * (2 * bedding + diameter) * run["m"]
            hole = math.pi * pipe * pipe / 4 * run["m"] if pipe is not None else 0.0
            takes = min((dug - zone) / compacted, dug)
            for key, value in (("length", run["m"]), ("dug", dug), ("loose", dug * loose), ("bedding", zone - hole),
                               ("surplus", (dug - takes) * loose)):  # fmt: skip
                sums[key] += value
        return sums

    def electrodes(self) -> set[str]:
        """Walks down from the controller, box by box; the count goes on into every branch."""
        rules = self.job["rules"]["earthing"]
        most_boxes, most_m = rules["every_boxes"], metres(rules["every_run"])
        placed = {"controller"}
        below: dict[str, list[dict[str, Any]]] = {}
        for run in self.runs:
            if not run["closes"]:
                below.setdefault(run["from"], []).append(run)
        by_id = {box["id"]: box for box in self.boxes()}
        way = [(run, 1, run["m"]) for run in below["controller"]]
        while way:
            run, boxes, length = way.pop()
            here = run["to"]
            onward = [r["m"] for r in below.get(here, [])]
            onward += [r["m"] for r in self.runs if r["closes"] and here in (r["from"], r["to"])]
            too_far = any(boxes + 1 > most_boxes or length + m > most_m + 1e-9 for m in onward)
            if too_far or by_id[here].get("electrode") or (rules["branch_ends"] and len(self.tails()[here]) == 1):
                placed.add(here)
                boxes, length = 0, 0.0
            way.extend((r, boxes + 1, length + r["m"]) for r in below.get(here, []))
        return placed


def read(name: str) -> Tally:
    """Read one job of ``tests/compute/jobs``."""
    tally = Tally(yaml.safe_load((JOBS / f"{name}.yml").read_text(encoding="utf-8")))
    path, cover = tally.job["path"], tally.job["rules"]["cover"]
    feeding = [(box["id"], box, False) for box in path["boxes"]]
    closing = [(run["to"], run, True) for run in path.get("ring_closures", [])]
    for to, part, closes in feeding + closing:
        run = {"from": part["from"], "to": to, "m": metres(part["run"]), "closes": closes}
        run["cable"] = part.get("cable", path["cable"])
        run["cover"] = metres(part.get("cover", cover))
        tally.runs.append(run)
    return tally
