"""The budgets of time and memory, each with what was measured: ``python tests/benchmarks/budgets.py``.

Seconds of wall count on an idle machine with two cores; processor seconds stand beside them, as they are less moved by
what else runs. Memory is the highest sum of the command and of every process below it (``memory.py``).
"""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from benchmarks.memory import peak_bytes
from samples import DEMO, REPOSITORY, chain, job_text

RUNS = 5


@dataclass(frozen=True)
class Budget:
    """One budget: what was measured, what it may be, and the unit of both."""

    what: str
    measured: float
    most: float
    unit: str
    beside: str = ""

    def row(self) -> str:
        """A row of the printed table."""
        verdict = "pass" if self.measured <= self.most else "FAIL"
        figures = f"{self.measured:.4g} {self.unit} | {self.most:g} {self.unit}"
        return f"| {self.what} | {figures} | {verdict} | {self.beside} |"


@dataclass(frozen=True)
class Spent:
    """Seconds of one command on the wall and of the processor, its processes with it."""

    wall: float
    cpu: float


def spent(*words: str) -> Spent:
    """What one run of Python with these words takes."""
    environment = {**os.environ, "PYTHONPATH": str(REPOSITORY / "generator")}
    before, started = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    done = subprocess.run([sys.executable, *words], env=environment, capture_output=True, check=False)
    wall, after = time.perf_counter() - started, resource.getrusage(resource.RUSAGE_CHILDREN)
    if done.returncode == 2:
        raise SystemExit(done.stderr.decode())
    return Spent(wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)


def least(*words: str) -> Spent:
    """The least of some runs."""
    return min((spent(*words) for _ in range(RUNS)), key=lambda each: each.wall)


def job_of(boxes: int, folder: Path) -> Path:
    """A path of that many boxes, one after the other."""
    path = folder / f"path-{boxes}.yml"
    path.write_text(job_text(chain(boxes), volts="56 V"), encoding="utf-8")
    return path


def records_spent() -> Spent:
    """What reading and judging the records of 1,000 boxes takes, the job being computed."""
    from records.record_samples import context, due, good_rows, text_of
    from slackloop.document.boxes.due_records import due_list
    from slackloop.records.record_file import read_records
    from slackloop.records.standing import judge_job

    with tempfile.TemporaryDirectory() as folder:
        job, path = job_of(1_000, Path(folder)), Path(folder) / "records.csv"
        path.write_text(text_of(good_rows(due(job)), context(job).fingerprint), encoding="utf-8")
        taken = []
        for _ in range(RUNS):
            wall, cpu = time.perf_counter(), time.process_time()
            results = judge_job(due_list(context(job)), [read_records(path)], (context(job).fingerprint,))
            taken.append(Spent(time.perf_counter() - wall, time.process_time() - cpu))
        assert results.verdict == "pass"
    return min(taken, key=lambda each: each.wall)


def survey_of(points: int, folder: Path) -> tuple[Path, Path, Path]:
    """Points and lines of a grid of streets, and a base job."""
    street_m, across = 60, 25
    degree = 1 / 111_000
    rows = ["id,lon,lat", "controller,0,0"]
    for i in range(points):
        x, y = i * 37 % (street_m * across), i * 7919 % across * street_m + i % 3
        rows.append(f"B{i},{x * degree:.7f},{y * degree:.7f}")
    end = across * street_m * degree
    ways = [street_m * i * degree for i in range(across + 1)]
    places = [[[0, at], [end, at]] for at in ways] + [[[at, 0], [at, end]] for at in ways]
    features = [{"type": "Feature", "properties": {}, "geometry": {"type": "LineString", "coordinates": each}}
                for each in places]  # fmt: skip
    paths = folder / "points.csv", folder / "lines.geojson", folder / "base.yml"
    paths[0].write_text("\n".join(rows) + "\n", encoding="utf-8")
    paths[1].write_text(json.dumps({"type": "FeatureCollection", "features": features}), encoding="utf-8")
    paths[2].write_text(job_text(chain(2)), encoding="utf-8")
    return paths


def budgets(folder: Path) -> Iterator[Budget]:
    """Each budget as it is measured."""
    run = ("-m", "slackloop")
    bare, helped = least("-c", "pass"), least(*run, "--help")
    yield Budget("--help over bare Python", helped.wall - bare.wall, 0.1, "s", f"{helped.cpu - bare.cpu:.2f} s cpu")
    checked = least(*run, "check", str(DEMO))
    yield Budget("check, demonstration", checked.wall, 0.4, "s", f"{checked.cpu:.2f} s cpu")
    judged = records_spent()
    yield Budget("records of 1,000 boxes", judged.wall, 2, "s", f"{judged.cpu:.2f} s cpu")
    points, lines, base = survey_of(1_000, folder)
    made = folder / "surveyed.yml"
    surveyed = spent(*run, "import", str(points), "--along", str(lines), "--job", str(base), "-o", str(made))
    seen = spent(*run, "check", str(made))
    yield Budget("import and check, 1,000 points", surveyed.wall + seen.wall, 5, "s",
                 f"{surveyed.cpu + seen.cpu:.2f} s cpu")  # fmt: skip
    large = spent(*run, "check", str(job_of(10_000, folder)))
    yield Budget("check, 10,000 boxes", large.wall, 3, "s", f"{large.cpu:.2f} s cpu")
    built = spent(*run, "build", str(job_of(320, folder)), "-o", str(folder / "book"))
    yield Budget("build, 320 boxes", built.wall, 10, "s", f"{built.cpu:.1f} s cpu")
    for boxes, most in ((320, 500), (1_000, 1_300)):
        yield Budget(f"build, {boxes:,} boxes, memory", peak_bytes(job_of(boxes, folder)) / 1e6, most, "MB")


def main() -> int:
    """Print a row a budget; the status says whether all are kept."""
    print("| what | measured | budget | | beside |\n|:---|---:|---:|:---|:---|")
    kept = True
    with tempfile.TemporaryDirectory() as folder:
        for each in budgets(Path(folder)):
            print(each.row(), flush=True)
            kept &= each.measured <= each.most
    return 0 if kept else 1


if __name__ == "__main__":
    raise SystemExit(main())
