"""Job files made for tests: plain text, so that a test reads what a person would have written."""

from __future__ import annotations

import random
from collections.abc import Iterable
from pathlib import Path

REPOSITORY = Path(__file__).resolve().parents[1]
DEMO = REPOSITORY / "site_data" / "jobs" / "heron-fold.yml"

HEAD = """\
format: 1
job:
  number: {number}
  title: {title}
  site: {site}
  contractor: Example Groundworks
  units: {units}
  code_basis: {basis}
document:
  revision: A
  date: 2026-04-14
  status: for construction
  prepared: Site engineer
conditions:
  soil: {soil}
  soil_resistivity: 60 ohm m
  soil_temperature: 4 degC to 24 degC
  hazards: {hazards}
supply:
  volts: {volts}
  current: ac
  limit: {limit}
  stations_at_once: {at_once}
  source_resistance: {source}
  ring_allowed: {ring}
cables:
  main:
    conductor: {conductor}
    build: solid
    cores: {{a: orange, b: grey}}
    jacket: polyethylene
    jacket_od: 9.5 mm
    reel: 750 m
devices:
  one: {{title: One-output decoder, outputs: 1, standby: 0.5 mA, per_output: 30 mA, load: {load}, least_volts: 20 V,
        leads: {{conductor: 18 AWG, build: stranded}}, output_volts: 24 V}}
  two: {{title: Two-output decoder, outputs: 2, standby: 0.6 mA, per_output: 32 mA, load: {load}, least_volts: 22 V,
        leads: {{conductor: 18 AWG, build: stranded}}, output_volts: 24 V}}
solenoids:
  valve: {{inrush: 0.35 A, holding: 33 mA, least_volts: 19 V}}
connectors:
  sealed:
    title: Gel-filled sealed connector
    listing: UL 486D
    sizes: 18 AWG to 10 AWG
    wires: 2 to 5
    area: 1.6 mm2 to 14 mm2
    strip: 20 mm (3/4 in)
    pack: 25
rules:
  slack: {{length: 1.5 m (5 ft), per: tail}}
  strip: 20 mm (3/4 in)
  cover: {cover}
  waste: 5 %
  spare: 5 %
  earthing:
    every_boxes: 10
    every_run: 300 m
    branch_ends: true
    rod: {{length: 2.4 m, diameter: 16 mm}}
    target: 10 ohm
    clear_of_cable: 2.4 m
  tests:
    insulation: {{volts: 500 V, least: 10 Mohm}}
    loop_tolerance: 10 %
trench:
  width: 150 mm
  shared_with_pipe: 63 mm
  bedding: 75 mm
  warning_tape: true
path:
  cable: main
  connector: sealed
  solenoid: valve
  boxes:
"""

DEFAULTS = {
    "number": "T-1", "title": "Test path", "site": "Test ground", "units": "metric", "basis": "general",
    "soil": "common earth", "hazards": "[]", "volts": "36 V", "limit": "4 A", "at_once": "8", "source": "0 ohm",
    "ring": "false", "conductor": "14 AWG", "load": "current", "cover": "450 mm",
}  # fmt: skip


def job_text(boxes: Iterable[str], closures: Iterable[str] = (), **changes: str) -> str:
    """A whole job file; ``boxes`` and ``closures`` are the lines of those lists, without their dashes."""
    text = HEAD.format(**(DEFAULTS | changes)) + "".join(f"    - {box}\n" for box in boxes)
    links = "".join(f"    - {closure}\n" for closure in closures)
    return text + (f"  ring_closures:\n{links}" if links else "")


def chain(count: int) -> list[str]:
    """Boxes one after the other, 50 m apart, one two-output device in each."""
    return [
        f"{{id: B{i}, from: {'controller' if i == 1 else f'B{i - 1}'}, run: 50 m, surface: lawn, "
        f"device: two, stations: [{2 * i - 1}, {2 * i}]}}"
        for i in range(1, count + 1)
    ]


def random_boxes(count: int, seed: int) -> list[str]:
    """A tree with branches on branches, both kinds of device, and branch boxes without one."""
    rng = random.Random(seed)
    lines, station = [], 1
    for i in range(1, count + 1):
        before = i - 1 if rng.random() < 0.85 else rng.randint(1, max(1, i - 1))
        parent = "controller" if i == 1 else f"B{before}"
        surface = rng.choice(["lawn", "lawn", "planting", "path"])
        kind = rng.choice(["one", "two", "two", None])
        line = f"id: B{i}, from: {parent}, run: {rng.randint(15, 90)} m, surface: {surface}"
        if kind:
            stations = list(range(station, station + (1 if kind == "one" else 2)))
            station += len(stations)
            line += f", device: {kind}, stations: {stations}"
        lines.append("{" + line + "}")
    return lines


SPANISH_NOTE = "El portón queda abierto para los paseantes. Valle la zanja por ambos lados."


def spanish_job(folder: Path) -> Path:
    """The demonstration for a crew that reads Spanish too; of its notes, that of B01 is in Spanish as well."""
    text = DEMO.read_text(encoding="utf-8")
    path = folder / DEMO.name
    gate = "Fence the trench on both sides."
    note = f"{gate}, note_in: {{es: {SPANISH_NOTE}}}"
    text = text.replace("\nrules:", "\nlanguages: [en, es]\nrules:", 1).replace(gate, note, 1)
    path.write_text(text, encoding="utf-8")
    for beside in DEMO.parent.glob("*.yml"):
        if beside.name != DEMO.name:
            (folder / beside.name).write_bytes(beside.read_bytes())
    return path
