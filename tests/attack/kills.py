"""Kills real builds at random moments and looks at what is left: ``python tests/attack/kills.py --count 200``.

One revision of a job after the other is built into one folder, with files of a person's in it. Each build is stopped
at a random moment of a random stage by one of three signals, sent to the command or to the process that works for it;
one in four is stopped just as the folders change places. Afterwards the folder must hold the earlier handbook or the
new one, whole, and every file of the person's. A stop that the command could answer leaves nothing beside it; what a
kill leaves is gone after the next build. The same ``--seed`` gives the same signals and stages.
"""

from __future__ import annotations

import argparse
import os
import random
import re
import signal
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass, field
from pathlib import Path
from time import sleep

import psutil

TESTS = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(TESTS), str(TESTS.parent / "generator")]

from slackloop.output.folder import whole_folder  # noqa: E402
from slackloop.output.kept import files_of_a_person  # noqa: E402
from slackloop.output.marker import Owner, digest_of, read_marker  # noqa: E402
from slackloop.source.codes import Sample  # noqa: E402

BASE = Sample().job_text()
OWNER = Owner("job", "T-1", "Heron Fold Arboretum")
REVISION = re.compile(r"revision: \w+")
SIGNALS = ("SIGINT", "SIGTERM", "SIGKILL")
STAGES = 4
"""Lines of progress that a build writes before its handbook is put in place."""
LONGEST_WAIT_S = 2.5
MINE = {"as-built-readings.csv": "B01,12.3", "boxes/photos/B01.jpg": "photo", "kept/earlier.txt": "kept"}


def heed_signals() -> None:
    """A process that was begun in the background may have been told to ignore signals; a build here heeds them."""
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        signal.signal(getattr(signal, name), signal.SIG_DFL)


@dataclass
class Site:
    """A folder with a job and its handbook, and what was seen there; ``faults`` should stay empty."""

    home: Path
    seen: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)
    builds: int = 0

    def __post_init__(self) -> None:
        self.place, self.temporary = self.home / "out", self.home / "tmp"
        self.book = self.place / "book"
        for folder in (self.place, self.temporary):
            folder.mkdir()
        with whole_folder(self.book, OWNER) as output:
            (output.fresh / "check.json").write_text("the first", encoding="utf-8")
        for name, text in MINE.items():
            (self.book / name).parent.mkdir(parents=True, exist_ok=True)
            (self.book / name).write_text(text, encoding="utf-8")

    def start(self) -> subprocess.Popen[str]:
        """Begin a build of the next revision."""
        self.builds += 1
        job = self.home / "job.yml"
        job.write_text(REVISION.sub(f"revision: R{self.builds}", BASE, count=1), encoding="utf-8")
        return subprocess.Popen(
            [sys.executable, "-m", "slackloop", "build", str(job), "-o", str(self.book)],
            env={**os.environ, "PYTHONPATH": str(TESTS.parent / "generator"), "TMPDIR": str(self.temporary)},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
            errors="replace",
            preexec_fn=heed_signals,
        )

    def build(self) -> None:
        """Build to the end."""
        with self.start() as process:
            said = process.communicate()[1]
        if process.returncode:
            self.faults.append(f"a build after a stop ended with {process.returncode}: {said}")
        self.look("after a whole build")
        self.look_for_litter("after a whole build")

    def look(self, when: str) -> None:
        """One handbook stands there, whole, with every file of the person's."""
        marker = read_marker(self.book)
        if marker is None or marker.files is None:
            self.faults.append(f"{when}: no handbook in place")
            return
        for name, digest in marker.files.items():
            if not (self.book / name).is_file() or digest_of(self.book / name) != digest:
                self.faults.append(f"{when}: {name} is missing or changed")
        theirs = set(files_of_a_person(self.book))
        for name, text in MINE.items():
            if not (self.book / name).is_file() or (self.book / name).read_text(encoding="utf-8") != text:
                self.faults.append(f"{when}: the file {name} of a person is lost")
        for name in sorted(theirs - set(MINE)):
            self.faults.append(f"{when}: {name} is neither listed nor a person's")

    def litter(self) -> set[str]:
        """What lies beside the handbook, and where temporary files go."""
        beside = {path.name for path in self.place.iterdir() if path != self.book}
        return beside | {path.name for path in self.temporary.iterdir()}

    def look_for_litter(self, when: str, before: Collection[str] = ()) -> None:
        """Nothing is left but what lay there ``before``: a stop may come sooner than the clearing away of a kill's."""
        self.faults += [f"{when}: {name} is left" for name in sorted(self.litter() - set(before))]

    def stop_one(self, rng: random.Random) -> None:
        """Stop one build at a random moment."""
        name, stage, wait_s = rng.choice(SIGNALS), rng.randrange(STAGES + 1), rng.uniform(0.0, LONGEST_WAIT_S)
        at_change, to_worker = rng.random() < 0.25, rng.random() < 0.2
        before, litter = self.record(), self.litter()
        with self.start() as process:
            begun = [process.stderr.readline() for _ in range(STAGES if at_change else stage)] if process.stderr else []
            running = _wait_for_change(process, self.place) if at_change else _wait(process, wait_s)
            workers = psutil.Process(process.pid).children() if running and process.poll() is None else []
            if not running or process.poll() is not None:
                what = "ended before"
            elif to_worker and workers:
                what = "SIGKILL to the worker"
                workers[0].kill()
            else:
                what = f"{name} as folders change" if at_change else name
                process.send_signal(getattr(signal, name))
            said = "".join(begun) + process.communicate()[1]
        self.seen[what] += 1
        where = f"build {self.builds}, {what} in stage {stage} after {wait_s:.2f} s, status {process.returncode}"
        self.look(where)
        if process.returncode != -signal.SIGKILL:
            self.look_for_litter(where, litter)
            self.hold_to_its_word(where, process.returncode, said, before)
        self.seen["earlier handbook in place" if self.record() == before else "new handbook in place"] += 1

    def record(self) -> str:
        """What tells one handbook from the other."""
        return (self.book / "check.json").read_text(encoding="utf-8")

    def hold_to_its_word(self, where: str, status: int, said: str, before: str) -> None:
        """What the command says of the folder is so, and is no trace of the program."""
        new = self.record() != before
        if "Traceback" in said and said.strip().splitlines()[0].startswith("job"):  # before that Python itself answers
            self.faults.append(f"{where}: {said}")
        if "nothing in" in said and new:
            self.faults.append(f"{where}: said that nothing was changed, and the new handbook stands there")
        if ("the new handbook is in" in said or status == 0) and not new:
            self.faults.append(f"{where}: said that the new handbook is there, and the earlier one is")


def _wait(process: subprocess.Popen[str], seconds: float) -> bool:
    """Whether the process still ran after so many seconds."""
    try:
        process.wait(seconds)
    except subprocess.TimeoutExpired:
        return True
    return False


def _wait_for_change(process: subprocess.Popen[str], place: Path) -> bool:
    """Whether the moment was met at which the new folder is about to take its place."""
    while process.poll() is None:
        if any(name.endswith(".old") for name in os.listdir(place)):
            return True
        sleep(0.0005)
    return False


def kill_builds(site: Site, count: int, seed: int, whole_every: int = 20) -> None:
    """Stop ``count`` builds, with a whole build after every so many and at the end."""
    rng = random.Random(seed)
    for number in range(1, count + 1):
        site.stop_one(rng)
        if number % whole_every == 0 or number == count:
            site.build()
            print(f"{number} of {count} stopped, {len(site.faults)} faults", file=sys.stderr, flush=True)


def main() -> int:
    """Count and print, also when stopped by Ctrl-C; 1 where anything was lost, left or untrue."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as home:
        site = Site(Path(home))
        try:
            kill_builds(site, asked.count, asked.seed)
        except KeyboardInterrupt:
            print("stopped before the end")
            running = psutil.Process().children(recursive=True)
            for process in running:
                process.kill()
            psutil.wait_procs(running)
        print(f"{site.builds} builds, seed {asked.seed}:")
        for what, times in sorted(site.seen.items()):
            print(f"  {times:5d}  {what}")
        print(f"  {len(site.faults):5d}  faults")
        for fault in site.faults:
            print(fault)
    return 1 if site.faults else 0


if __name__ == "__main__":
    raise SystemExit(main())
