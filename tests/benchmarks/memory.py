"""Peak memory of whole builds, the process tree summed: ``python tests/benchmarks/memory.py JOB…``.

Resident sizes of the command and of every process below it are added up many times a second, and the highest sum is
printed. Pages that two processes share count twice, so the figure is never too low by that.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path
from time import sleep

import psutil

EVERY_S = 0.02


def peak_bytes(job: Path) -> int:
    """Highest sum of resident sizes while one job is built."""
    with tempfile.TemporaryDirectory() as folder:
        words = [sys.executable, "-m", "slackloop", "build", str(job), "-o", str(Path(folder) / "book")]
        highest = 0
        with subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
            top = psutil.Process(process.pid)
            while process.poll() is None:
                highest = max(highest, _sum_bytes(top))
                sleep(EVERY_S)
        if process.returncode == 2:
            raise SystemExit(f"{job} could not be built")
    return highest


def _sum_bytes(top: psutil.Process) -> int:
    total = 0
    try:
        for each in (top, *top.children(recursive=True)):
            total += each.memory_info().rss
    except psutil.Error:
        return total
    return total


def main() -> None:
    """Print a row a job."""
    print("| job | peak memory, MB |\n|:---|---:|")
    for job in map(Path, sys.argv[1:]):
        print(f"| {job.stem} | {peak_bytes(job) / 1e6:.0f} |", flush=True)


if __name__ == "__main__":
    main()
