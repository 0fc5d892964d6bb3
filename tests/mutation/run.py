"""Move each number by 1 %, one at a time, and list those that no check against an outside source notices.

``make mutate``, or ``PYTHONPATH=tests python -m mutation.run [PART]`` for the files whose path holds PART. Nothing on
disk is changed: each number is moved in a process of its own, which runs the published, witness and compute tests and
stops at the first that fails. The tests that take long run last, over many numbers at once: where nothing notices that,
nothing notices one of them. A survivor that can do no harm is named in ``allowed.yml`` with the reason. Those are moved
all at once too: as long as nothing notices that, every line of the list holds.
"""

from __future__ import annotations

import importlib.abc
import importlib.machinery
import importlib.util
import json
import os
import resource
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from tempfile import NamedTemporaryFile
from types import ModuleType

import hypothesis  # noqa: F401
import networkx  # noqa: F401
import numpy  # noqa: F401
import pydantic  # noqa: F401
import pytest
import scipy.sparse.linalg  # noqa: F401
import yaml

from mutation.moved import Constant, Entry, constants, entries, module_name, moved_source, moved_table
from samples import REPOSITORY

TESTS = ("tests/published", "tests/compute", "tests/witness")
LONG_S = 0.7
"""A test that takes longer runs after all others, over many numbers at once."""
LEFT_OUT = (
    "tests/witness/test_card_codes.py",
    "tests/witness/test_ring_breaks.py::test_three_hundred_closures_on_two_thousand_boxes_are_answered_and_told",
    "tests/witness/test_ngspice.py::test_volts_agree_with_ngspice[2000-",
)
"""One builds a whole handbook and looks at no figure; the others do at 2000 boxes what their small sisters do."""
LONGEST_S = 900
"""Seconds of work after which a moved number counts as noticed: it keeps a search from ending."""
ALLOWED = Path(__file__).with_name("allowed.yml")
Number = Constant | Entry


def reasons() -> dict[tuple[str, str, int], str]:
    """Why each number of the list may move, by its file, its line or way, and its place there; 0 for all of a line."""
    rows = yaml.safe_load(ALLOWED.read_text("utf-8")) or []
    places = [(row, each if isinstance(each, list) else [each, 0]) for row in rows for each in row["where"]]
    return {(row["file"], where, nth): row["why"] for row, (where, nth) in places}


def reason(number: Number, listed: Mapping[tuple[str, str, int], str]) -> str:
    """Why a number may move; an empty text where it may not."""
    file = number.path.relative_to(REPOSITORY).as_posix()
    return listed.get((file, number.text, number.nth), listed.get((file, number.text, 0), ""))


class Moved(importlib.abc.MetaPathFinder, importlib.machinery.SourceFileLoader):
    """Finds and loads one module with constants moved."""

    def __init__(self, path: Path, moved: Sequence[Constant]) -> None:
        self.file, self.moved = path, moved
        super().__init__(module_name(path), str(path))

    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> importlib.machinery.ModuleSpec | None:
        if fullname != self.name:
            return None
        return importlib.util.spec_from_file_location(fullname, self.path, loader=self)

    def get_code(self, fullname: str) -> object:  # type: ignore[override]
        return compile(moved_source(self.file, self.moved), self.path, "exec")


def _move(numbers: Sequence[Number]) -> None:
    """Make every later import and reading of tables see the numbers moved."""
    inside = [each for each in numbers if isinstance(each, Constant)]
    sys.meta_path[:0] = [Moved(path, inside) for path in dict.fromkeys(each.path for each in inside)]
    listed = [each for each in numbers if isinstance(each, Entry)]
    if not listed:
        return
    from slackloop.reference import table_file, tables

    read = table_file.read_table

    def moved(path: Path) -> table_file.TableMap:
        return moved_table(path.resolve(), listed, read(path))

    table_file.read_table = tables.read_table = moved


class Times:
    """The seconds that each test took with nothing moved; the tests that are run are those of a length."""

    def __init__(self, seconds: dict[str, float] | None = None, *, long: bool = False) -> None:
        self.seconds: dict[str, float] = {} if seconds is None else seconds
        self.chosen = seconds is not None
        self.long = long

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note what a test took, and what was made ready for it."""
        self.seconds[report.nodeid] = self.seconds.get(report.nodeid, 0.0) + report.duration

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Run the files in the order of what they take, the quickest first."""
        if not self.chosen:
            return
        took = {each.nodeid: self.seconds.get(each.nodeid, 0.0) for each in items}
        items[:] = [each for each in items if (took[each.nodeid] > LONG_S) == self.long]
        files: dict[Path, float] = {}
        for each in items:
            files[each.path] = files.get(each.path, 0.0) + took[each.nodeid]
        items.sort(key=lambda each: (files[each.path], str(each.path)))


def measured() -> dict[str, float]:
    """What each test takes with nothing moved; raises ``ValueError`` where one fails even so."""
    with NamedTemporaryFile("r", suffix=".json") as file:
        if _failed([], Times(), Path(file.name)):
            raise ValueError("a test fails with no number moved: mend that first")
        return dict(json.load(file))


def is_noticed(numbers: Sequence[Number], seconds: dict[str, float], *, long: bool = False) -> bool:
    """Whether a test of that length fails with the numbers moved, all at once."""
    return _failed(numbers, Times(seconds, long=long))


def _failed(numbers: Sequence[Number], times: Times, told: Path | None = None) -> bool:
    """Run the tests in a process of its own with the numbers moved; what they took goes to ``told``."""
    sys.stdout.flush()
    child = os.fork()
    if child == 0:
        resource.setrlimit(resource.RLIMIT_CPU, (LONGEST_S, LONGEST_S))
        if numbers:
            silent = os.open(os.devnull, os.O_WRONLY)
            os.dup2(silent, 1)
            os.dup2(silent, 2)
        failed = True
        try:
            os.chdir(REPOSITORY)
            _move(numbers)
            left_out = [f"--deselect={path}" for path in LEFT_OUT]
            quiet = ("-q", "-W", "ignore::pytest.PytestAssertRewriteWarning")  # some packages are loaded before
            failed = bool(pytest.main(["-x", *quiet, "-p", "no:cacheprovider", *left_out, *TESTS], plugins=[times]))
            if told:
                told.write_text(json.dumps(times.seconds))
        finally:
            os._exit(int(failed))
    _, code = os.waitpid(child, 0)
    return code != 0


def unnoticed(numbers: Sequence[Number], seconds: dict[str, float], *, long: bool) -> list[Number]:
    """Those that no test of that length notices: halved until each that is noticed stands alone."""
    if not numbers or not is_noticed(numbers, seconds, long=long):
        return list(numbers)
    if len(numbers) == 1:
        return []
    middle = len(numbers) // 2
    return [
        *unnoticed(numbers[:middle], seconds, long=long),
        *unnoticed(numbers[middle:], seconds, long=long),
    ]


def main(parts: Sequence[str]) -> int:
    """Try every number; 1 where a survivor is not allowed, or an allowed number is noticed."""
    listed = reasons()
    files = {each: str(each.path.relative_to(REPOSITORY)) for each in (*constants(), *entries())}
    numbers = [each for each, file in files.items() if any(part in file for part in parts)]
    known = [each for each in numbers if reason(each, listed)]
    others = [each for each in numbers if not reason(each, listed)]
    seconds = measured()
    harmless = unnoticed(unnoticed(known, seconds, long=False), seconds, long=True)
    for number in known:
        if number not in harmless:
            print(f"noticed, so its line of {ALLOWED.name} goes: {number}    {number.text}", flush=True)
    left = []
    for count, number in enumerate(others, 1):
        if not is_noticed([number], seconds):
            left.append(number)
        told = f"\r{count} of {len(others)} moved, {len(left)} for the long tests"
        print(told, end="", file=sys.stderr, flush=True)
    survivors = unnoticed(left, seconds, long=True)
    for number in survivors:
        print(f"\n{number}    {number.text}", flush=True)
    print(f"\n{len(numbers)} numbers moved; {len(survivors)} not noticed, {len(harmless)} allowed")
    return 1 if survivors or len(harmless) < len(known) else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:] or [""]))
