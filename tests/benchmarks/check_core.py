"""Times the core of ``check`` against one ngspice operating point of the same network, and prints a table.

Ours answers standby and worst volts at every box for every choice of 20 running outputs; ngspice solves one fixed
choice. Run it with ``make bench``.
"""

import os
import platform
import random
import shutil
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from slackloop.compute.circuit.volts import Feeder, Loads, constant_current_volts, standby_drop

AT_ONCE = 20
SIZES = (1_000, 10_000, 100_000)


@dataclass(frozen=True)
class Timing:
    """Seconds for one size of path; ``ngspice`` None where it is not installed or not asked."""

    boxes: int
    ours: float
    ngspice: float | None


def big_path(count: int) -> tuple[Feeder, Loads]:
    """A path with branches on branches: nine boxes in ten follow the one before, two kinds of device."""
    rng = random.Random(count)
    parent = tuple(i - 1 if not i or rng.random() < 0.9 else rng.randint(max(-1, i - 400), i - 1) for i in range(count))
    outputs = np.array([rng.choice([1, 2, 2]) for _ in range(count)], dtype=np.int64)
    loads = Loads(
        standby=np.where(outputs == 1, 0.0005, 0.0006) * 10 / count,
        per_output=np.where(outputs == 1, 0.030, 0.032) * 10 / count,
        outputs=outputs,
        constant_power=np.zeros(count, dtype=bool),
    )
    return Feeder(parent, np.array([rng.uniform(0.3, 1.2) for _ in range(count)]), 36.0, 0.1), loads


def our_seconds(count: int, repeats: int = 3) -> float:
    """Best of some runs; the path is made anew for each, so that nothing is kept from the run before."""
    best = float("inf")
    for _ in range(repeats):
        feeder, loads = big_path(count)
        started = time.perf_counter()
        standby = feeder.supply_volts - standby_drop(feeder, loads.standby)
        worst = constant_current_volts(feeder, loads, AT_ONCE)
        best = min(best, time.perf_counter() - started)
        assert (worst <= standby).all()
    return best


def ngspice_seconds(count: int, repeats: int = 3) -> float:
    """Best of some runs of ngspice from start to end, netlist already written."""
    from witness.spice import netlist, run_spice

    feeder, loads = big_path(count)
    amps = loads.standby.copy()
    amps[-AT_ONCE:] += loads.per_output[-AT_ONCE:]
    with tempfile.TemporaryDirectory() as folder:
        circuit, raw = Path(folder) / "path.cir", Path(folder) / "path.raw"
        circuit.write_text(netlist(feeder, amps), encoding="ascii")
        best = float("inf")
        for _ in range(repeats):
            started = time.perf_counter()
            run_spice(circuit, raw)
            best = min(best, time.perf_counter() - started)
        return best


def timings(sizes: tuple[int, ...] = SIZES) -> list[Timing]:
    """One row a size."""
    spice = shutil.which("ngspice") is not None
    return [Timing(size, our_seconds(size), ngspice_seconds(size) if spice else None) for size in sizes]


def machine() -> str:
    """The machine in a few words, without the name of a maker: what is compared is two programs on one machine."""
    return f"{os.cpu_count()} cores, Python {platform.python_version()}"


def main() -> int:
    """Print the table in Markdown."""
    print(f"Every choice of {AT_ONCE} outputs at every box, against one ngspice operating point. {machine()}.\n")
    print("| boxes | Slackloop, s | ngspice, s | ratio |\n|---:|---:|---:|---:|")
    for row in timings():
        spice = "not installed" if row.ngspice is None else f"{row.ngspice:.3f}"
        ratio = "" if row.ngspice is None else f"{row.ngspice / row.ours:.1f}"
        print(f"| {row.boxes:,} | {row.ours:.3f} | {spice} | {ratio} |")
    return 0


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parent.parent))
    raise SystemExit(main())
