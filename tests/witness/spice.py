"""ngspice as an independent witness: writes a netlist of a path, runs one operating point, reads the volts."""

import re
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from slackloop.compute.circuit.volts import Feeder

NEEDS_NGSPICE = pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice (Debian package) is not installed")


def netlist(feeder: Feeder, amps: np.ndarray) -> str:
    """The path as one resistor for each run's loop and one current source for each box, in SPICE's own words."""
    lines = ["path", f"V0 s 0 DC {feeder.supply_volts!r}", f"Rs s n0 {max(feeder.source_ohms, 1e-9)!r}"]
    for i, (above, ohms) in enumerate(zip(feeder.parent, feeder.run_ohms.tolist(), strict=True)):
        lines.append(f"R{i} n{above + 1} n{i + 1} {ohms!r}")
        lines.append(f"I{i} n{i + 1} 0 DC {float(amps[i])!r}")
    for i, link in enumerate(feeder.links):
        lines.append(f"RL{i} n{link.one + 1} n{link.other + 1} {link.ohms!r}")
    return "\n".join([*lines, ".options numdgt=12 reltol=1e-9", ".op", ".end", ""])


def run_spice(circuit: Path, raw: Path) -> None:
    """Run ngspice once in batch on a netlist; it writes the raw file."""
    words = ["ngspice", "-b", "-r", str(raw), str(circuit)]
    subprocess.run(words, capture_output=True, check=True, cwd=circuit.parent)


def operating_point(feeder: Feeder, amps: np.ndarray, folder: Path) -> np.ndarray:
    """Volts at each box, by ngspice."""
    circuit, raw = folder / "path.cir", folder / "path.raw"
    circuit.write_text(netlist(feeder, amps), encoding="ascii")
    run_spice(circuit, raw)
    head, values = raw.read_bytes().split(b"Binary:\n", 1)
    names = re.findall(rb"^\t\d+\t(\S+)\t", head, re.MULTILINE)
    numbers = np.frombuffer(values[: 8 * len(names)], dtype="<f8")
    by_name = dict(zip((name.decode().lower() for name in names), numbers, strict=True))
    return np.array([by_name[f"v(n{i + 1})"] for i in range(len(amps))])
