"""``slackloop build``: website and printable document of one or more jobs, or of a firm's standard.

One build as the command sees it: a process that does the work, and a folder that is put in place when it is done.
"""

from __future__ import annotations

import argparse
import json
import os
import signal
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from slackloop.cli import FINDINGS, GOOD, REFUSED
from slackloop.commands.build_stop import NO_MEMORY, Stop, Stopped, says_no_memory
from slackloop.commands.new import JOB_NAME
from slackloop.commands.screen import Progress, wants_colour
from slackloop.output.folder import check_output, whole_folder
from slackloop.output.kept import Kept
from slackloop.output.marker import OutputRefused, Owner, clear_scratch
from slackloop.render.typst.press import CannotShow, Unset
from slackloop.render.typst.setter import PrintError
from slackloop.source.finding import harmless

MEMORY = (
    "{job}: the build needed more memory than it could get, so it was stopped; nothing in {folder} was changed. "
    "Close other programs, or build one job at a time; the README says how much memory a build needs."
)
STOPPED = "slackloop: stopped; nothing in {folder} was changed"
KILLED = tuple(getattr(signal, name) for name in ("SIGKILL", "SIGABRT", "SIGSEGV", "SIGBUS") if hasattr(signal, name))
"""How a system ends a process that it has no memory for: by itself, or by an allocation that fails inside it."""


@dataclass(frozen=True)
class Order:
    """One handbook to build."""

    name: str
    job: Path
    folder: Path
    paper: str | None
    separate: bool
    strict: bool
    colour: bool
    records: tuple[Path, ...] = ()
    """Files of what was recorded on site."""


@dataclass(frozen=True)
class Ended:
    """How a build ended: its exit status, what to say on standard error, and the files to open first."""

    status: int
    said: str
    files: tuple[Path, ...] = ()


class Failed(Exception):
    """The process gave no handbook; the message is for the person who asked for it."""


def build_one(order: Order, stop: Stop, progress: Callable[[str], None]) -> Ended:
    """Build one handbook; nothing on disk changes unless it is whole."""
    try:
        check_output(order.folder)
        stop.check()
        try:
            return _built(order, stop, progress)
        except CannotShow:
            return _built(order, stop, progress, plain=True)
    except PrintError as problem:
        return Ended(REFUSED, f"slackloop: {harmless(str(problem))}")
    except MemoryError:
        return Ended(REFUSED, "slackloop: " + MEMORY.format(job=order.job, folder=order.folder))
    except (Stopped, Failed, OutputRefused) as problem:
        if stop.signal:
            return Ended(128 + stop.signal, STOPPED.format(folder=order.folder))
        if str(problem) == NO_MEMORY:
            return Ended(REFUSED, "slackloop: " + MEMORY.format(job=order.job, folder=order.folder))
        text = f"slackloop: {harmless(str(problem))}" if isinstance(problem, OutputRefused) else str(problem)
        return Ended(REFUSED, text)


def _built(order: Order, stop: Stop, progress: Callable[[str], None], *, plain: bool = False) -> Ended:
    """One go at a build; ``plain`` prints nothing odd. Raises ``CannotShow`` where that is needed."""
    with (
        tempfile.TemporaryFile("w+", encoding="utf-8", errors="replace") as said,
        _process(said) as process,
        stop.over(process),
    ):
        return _led(order, Talk(process, said, progress), stop, progress, plain)


def _process(said: Any) -> subprocess.Popen[str]:
    """The process that does the work, with this one's search path."""
    start = f"import sys; sys.path[:] = {sys.path!r}; from slackloop.commands.build_worker import main; main()"
    return subprocess.Popen(
        [sys.executable, "-P", "-c", start],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=said,
        text=True,
        encoding="ascii",
    )


class Talk:
    """What is said to the process and what it answers."""

    def __init__(self, process: subprocess.Popen[str], said: Any, progress: Callable[[str], None]) -> None:
        self._process, self._said, self._progress = process, said, progress

    def tell(self, **order: Any) -> None:
        """Send one line; a process that is gone is noticed when its answer is missed."""
        assert self._process.stdin is not None
        try:
            self._process.stdin.write(json.dumps(order) + "\n")
            self._process.stdin.flush()
        except OSError:
            return

    def answer(self, key: str) -> Any:
        """The answer that has ``key``; raises ``Failed`` where there will be none."""
        for said in self._answers():
            if "progress" in said:
                self._progress(said["progress"])
            elif "refused" in said:
                raise Failed(said["refused"])
            elif "failed" in said:
                raise Failed(said["failed"])
            elif key in said:
                return said
        raise Failed(self._how_it_ended())

    def end(self) -> None:
        """Wait until the process has ended and given its memory back."""
        self._process.wait()

    def _answers(self) -> Iterator[dict[str, Any]]:
        assert self._process.stdout is not None
        for line in self._process.stdout:
            yield json.loads(line)

    def _how_it_ended(self) -> str:
        """Why a process ended without an answer: memory, a signal, or a fault of ours with its trace."""
        number = self._process.wait()
        self._said.seek(0)
        said = self._said.read()
        if says_no_memory(said) or (-number in KILLED and not said):
            return NO_MEMORY
        if number < 0:
            return f"slackloop: the build was ended by signal {-number}; nothing was changed\n{said}".rstrip()
        return f"slackloop: the build failed by a fault of this program; nothing was changed\n{said}".rstrip()


def _led(order: Order, talk: Talk, stop: Stop, progress: Callable[[str], None], plain: bool) -> Ended:
    """Lead one build from its order to a folder in place."""
    talk.tell(
        job=str(order.job), folder=str(order.folder), paper=order.paper, separate=order.separate, strict=order.strict,
        colour=order.colour, plain=plain, records=[str(path) for path in order.records],
    )  # fmt: skip
    owner = Owner(**talk.answer("owner")["owner"])
    with whole_folder(order.folder, owner) as output:
        talk.tell(fresh=str(output.fresh))
        done = talk.answer("done")
        talk.end()
        stop.check()
        progress("setting what is printed")
        try:
            for each in done["unset"]:
                Unset(**each).set(output.fresh, stop.over)
        except MemoryError:
            stop.check()
            raise
        stop.check()
    said = done["said"] + _kept_lines(order.folder, output.kept)
    if stop.signal:
        return Ended(128 + stop.signal, f"{said}slackloop: stopped; the new handbook is in {order.folder}")
    files = tuple(order.folder / name for name in done["files"])
    return Ended(GOOD if done["passes"] else FINDINGS, said.rstrip("\n"), files)


def _kept_lines(folder: Path, kept: tuple[Kept, ...]) -> str:
    """What became of a person's files in the folder."""
    staying = [harmless(each.path) for each in kept if each.path == each.was]
    lines = ""
    if staying:
        files = "1 file that is" if len(staying) == 1 else f"{len(staying)} files that are"
        lines += f"{folder}: kept {files} not from a build: {', '.join(staying)}\n"
    for each in kept:
        if each.path != each.was:
            was, now = harmless(each.was), harmless(each.path)
            lines += f"{folder}: {was} was changed since the last build; your copy is kept as {now}\n"
    return lines


def run(asked: argparse.Namespace) -> int:
    """Build every job asked for; the worst status of all is the answer."""
    colour = wants_colour(sys.stderr)
    orders = [
        Order(
            handbook_name(job), job, folder, asked.paper, asked.separate, asked.strict, colour, tuple(asked.records)
        )
        for job, folder in zip(asked.jobs, output_folders(asked.jobs, asked.output), strict=True)
    ]
    if len({os.path.realpath(order.folder) for order in orders}) < len(orders):
        print("slackloop: two of these jobs would be written to one folder; build them one by one", file=sys.stderr)
        return REFUSED
    if asked.records and len(orders) > 1:
        print("slackloop: records belong to one job; build the jobs one by one", file=sys.stderr)
        return REFUSED
    clear_scratch()
    stop, telling = Stop(), threading.Lock()

    def build(order: Order) -> int:
        progress = Progress(order.name)
        ended = build_one(order, stop, progress)
        with telling:
            tell(ended, progress)
        return ended.status

    with stop.ready(), ThreadPoolExecutor(max_workers=min(asked.workers, len(orders))) as pool:
        return max(list(pool.map(build, orders)))


def tell(ended: Ended, progress: Progress) -> None:
    """Say how a build ended: words on standard error, files on standard output."""
    if ended.said:
        print(ended.said, file=sys.stderr)
    if ended.files:
        progress("done")
    for file in ended.files:
        print(file, flush=True)


def handbook_name(job: Path) -> str:
    """What a handbook is called after: the job file, or its folder where the file has the name that ``new`` gives."""
    return job.resolve().parent.name or job.stem if job.name == JOB_NAME else job.stem


def output_folders(jobs: Sequence[Path], output: Path | None) -> list[Path]:
    """Where each job's handbook goes: DIR itself for one job, a folder in it for each of several."""
    if output is None:
        return [Path(f"{handbook_name(job)}-handbook") for job in jobs]
    return [output] if len(jobs) == 1 else [output / handbook_name(job) for job in jobs]
