"""Runs ``check`` on jobs and content of the hostile grammar and counts what comes of it.

``make attack`` runs ten thousand; a short form stands among the tests. Each case is its seed: the same job, content and
answer every time. Time is the processor's own, so that a busy machine makes no hang.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import json
import re
import resource
import shutil
import signal
import sys
import tempfile
import traceback
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from types import FrameType
from typing import Any

if __name__ == "__main__":
    sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2] / "generator")]

from attack.broken_content import broken_content
from attack.grammar import Grammar
from slackloop.cli import main as command
from slackloop.document.book import make_book
from slackloop.document.worked import work_with_content
from slackloop.pipeline.handbook_folder import context_of

MOST_SECONDS = 10
MOST_BYTES = 4 << 30
"""What all cases together may take of the memory: one that wants more fails, and not the machine."""
CONTENT_EVERY, BOOK_EVERY = 10, 20
"""One case in so many has content of the firm's own; one in so many that can be is made into pages."""
_WHERE = re.compile(r".+:[1-9][0-9]*(:[1-9][0-9]*)?$", re.DOTALL)
_INNER_WORDS = re.compile(r"Traceback|object at 0x|NoneType|KeyError|IndexError|<class|pydantic|jinja2|yaml\.")


class Hang(BaseException):
    """A case took more of the processor than it may; no handler of ours may take it for an error of its own."""


@dataclass
class Counts:
    """What came of the cases, and the seeds of those that failed, with the reason."""

    cases: int = 0
    refused: int = 0
    errors: int = 0
    passed: int = 0
    pages: int = 0
    tracebacks: list[tuple[int, str]] = field(default_factory=list)
    hangs: list[tuple[int, str]] = field(default_factory=list)
    no_place: list[tuple[int, str]] = field(default_factory=list)

    @property
    def failures(self) -> list[tuple[int, str]]:
        """Every case that is not as it should be."""
        return self.tracebacks + self.hangs + self.no_place

    def __str__(self) -> str:
        """The counts in one line."""
        return (
            f"{self.cases:,} cases: {self.refused:,} refused, {self.errors:,} with errors, {self.passed:,} passed, "
            f"{self.pages:,} made into pages; {len(self.tracebacks)} tracebacks, {len(self.hangs)} hangs over "
            f"{MOST_SECONDS} s, {len(self.no_place)} messages without a place"
        )


def write_case(seed: int, folder: Path) -> Path:
    """The job and content of one case."""
    job = folder / "job.yml"
    job.write_text(Grammar(seed).text(), encoding="utf-8", errors="surrogatepass")
    if seed % CONTENT_EVERY == 7:
        for name, text in broken_content(seed).items():
            path = folder / "content" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
    return job


def run_case(seed: int, counts: Counts, *, timed: bool = True, pages: bool = True) -> None:
    """Check one case, and count it; ``pages``: now and then make its pages too; ``timed``: break off what hangs."""
    folder = Path(tempfile.mkdtemp(prefix="hostile-"))
    counts.cases += 1
    try:
        job = write_case(seed, folder)
        with _limited() if timed else contextlib.nullcontext():
            said = io.StringIO()
            with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
                status = command(["check", str(job), "--json"])
            _judge(seed, status, said.getvalue(), counts)
            if pages and status != 2 and seed % BOOK_EVERY == 0:
                make_book(context_of(work_with_content(job)))
                counts.pages += 1
    except Hang:
        counts.hangs.append((seed, "no answer"))
    except (Exception, SystemExit) as problem:
        counts.tracebacks.append((seed, "".join(traceback.format_exception(problem, limit=-3))))
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _judge(seed: int, status: int, said: str, counts: Counts) -> None:
    counts.refused += status == 2
    counts.errors += status == 1
    counts.passed += status == 0
    record: dict[str, Any] = json.loads(said)
    found = record["findings"]
    if status and not any(each["level"] == "error" for each in found):
        counts.no_place.append((seed, f"exit {status} and no error told"))
    for each in found:
        if not _WHERE.fullmatch(each.get("where", "")):
            counts.no_place.append((seed, f"{each['code']}: {each['message']} at {each.get('where')!r}"))
        if not each["message"].strip() or _INNER_WORDS.search(f"{each['message']} {each.get('hint', '')}"):
            counts.no_place.append((seed, f"{each['code']} says {each['message']!r}"))


@contextlib.contextmanager
def _limited() -> Iterator[None]:
    """Raise ``Hang`` after so many seconds of the processor."""

    def stop(number: int, frame: FrameType | None) -> None:
        raise Hang

    before = signal.signal(signal.SIGVTALRM, stop)
    signal.setitimer(signal.ITIMER_VIRTUAL, MOST_SECONDS)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        signal.signal(signal.SIGVTALRM, before)


def main() -> int:
    """Run the cases and print the counts; 1 where any failed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=10_000)
    parser.add_argument("--first", type=int, default=0, help="seed of the first case")
    asked = parser.parse_args()
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    counts = Counts()
    for seed in range(asked.first, asked.first + asked.count):
        before = len(counts.failures)
        run_case(seed, counts)
        if len(counts.failures) > before:
            print(f"seed {seed}: {counts.failures[-1][1]}", flush=True)
        if counts.cases % 500 == 0:
            print(counts, flush=True)
    print(counts)
    return 1 if counts.failures else 0


if __name__ == "__main__":
    raise SystemExit(main())
