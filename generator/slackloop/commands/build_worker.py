"""One build in a process of its own, so that it can be stopped, or run out of memory, without harm.

It reads from standard input and answers on standard output, one JSON object a line. It first reads and computes the
job and says whose handbook this is; then it waits for the folder to write into. When its standard input is closed,
the process that gave the order is gone, and this one ends at once.
"""

from __future__ import annotations

import gc
import io
import json
import os
import signal
import sys
import tempfile
import threading
from collections.abc import Callable
from dataclasses import asdict
from functools import partial
from pathlib import Path
from typing import Any

from slackloop.commands.build_stop import NO_MEMORY, SIGNALS, lacks_memory

Answer = dict[str, Any]


def main() -> None:
    """Work on one order, answer it and end."""
    for each in SIGNALS:  # a terminal sends them to both, and the other one decides
        signal.signal(each, signal.SIG_IGN)
    gc.disable()  # a build makes few circles and ends soon; to look for them takes an eighth of its time
    answers = os.fdopen(os.dup(1), "w", encoding="ascii")
    os.dup2(2, 1)  # what a library prints is no answer

    def answer(said: Answer) -> None:
        print(json.dumps(said), file=answers, flush=True)

    try:
        answer(_work(json.loads(sys.stdin.readline()), answer))
    except BaseException as problem:  # a library's panic is no Exception
        if not lacks_memory(problem):
            raise
        answer({"failed": NO_MEMORY})
    os._exit(0)


def _work(order: Answer, answer: Callable[[Answer], None]) -> Answer:
    """Read, compute and write all but the document that is set last; gives the last answer."""
    from slackloop.commands.screen import closing_line, print_findings
    from slackloop.document.worked import Refused
    from slackloop.output.marker import OutputRefused
    from slackloop.pipeline.handbook_folder import BuildFaulty, Prepared, prepare_handbook
    from slackloop.pipeline.recorded_job import NothingRead
    from slackloop.pipeline.standard_folder import prepare_standard
    from slackloop.site.reader import is_standard

    job, folder = Path(order["job"]), Path(order["folder"])
    records = tuple(map(Path, order["records"]))
    prepare: Callable[..., Prepared] = prepare_standard
    if not is_standard(job):
        prepare = partial(prepare_handbook, records=records)
    elif records:
        return {"refused": "slackloop: a standard has no records; name the job that they were made for"}
    found = io.StringIO()
    fresh: Path | None = None
    try:
        prepared = prepare(
            job, folder, paper=order["paper"], separate=order["separate"], strict=order["strict"],
            progress=lambda what: answer({"progress": what}),
        )  # fmt: skip
        print_findings(prepared.findings, found, order["colour"])
        answer({"owner": asdict(prepared.owner)})
        fresh = _folder_given()
        with tempfile.TemporaryDirectory(prefix=".temp-", dir=fresh) as aside:
            tempfile.tempdir = aside  # what a killed build leaves lies in the folder that the next one clears away
            written = prepared.written(fresh, plain=order["plain"])
    except Refused as refused:
        print_findings(refused.findings, found, order["colour"])
        return {"refused": f"{found.getvalue()}{job}: {closing_line(refused)}; nothing was written"}
    except (OutputRefused, BuildFaulty, NothingRead) as problem:
        return {"refused": f"slackloop: {_harmless_lines(str(problem))}"}
    except OSError as problem:
        if lacks_memory(problem):
            raise
        return {"refused": f"slackloop: {_harmless_lines(_not_written(problem, fresh, folder))}"}
    printed = (f"{job}: in print: {warning}" for warning in written.warnings)
    said = found.getvalue() + "".join(f"{_harmless_lines(each)}\n" for each in (*prepared.said, *printed))
    return {
        "done": True, "passes": prepared.verdict == "pass", "files": prepared.files, "said": said,
        "unset": [asdict(each) for each in written.unset],
    }  # fmt: skip


def _harmless_lines(text: str) -> str:
    """Text for a terminal: each line without what could steer it."""
    from slackloop.source.finding import harmless

    return "\n".join(map(harmless, text.splitlines()))


def _folder_given() -> Path:
    """The folder to write into; from here on the end of standard input is the end of this process."""
    line = sys.stdin.readline()
    if not line:
        os._exit(1)
    threading.Thread(target=_end_with_the_other, daemon=True).start()
    return Path(json.loads(line)["fresh"])


def _end_with_the_other() -> None:
    sys.stdin.read()
    os._exit(1)


def _not_written(problem: OSError, fresh: Path | None, folder: Path) -> str:
    """What could not be read or written, by the name that a person knows, and why."""
    why = (problem.strerror or str(problem)).lower()
    named = problem.filename2 or problem.filename  # of a copy, the file that was written
    if fresh is None:
        return f"{named}: {why}" if named else why
    file = Path(os.fsdecode(named)) if isinstance(named, str | bytes) else fresh
    if file == fresh:
        return f"the handbook for {folder} cannot be written: {why}. Nothing was changed."
    known = folder / file.relative_to(fresh) if file.is_relative_to(fresh) else file
    return f"{known}: {why}. Nothing was changed."
