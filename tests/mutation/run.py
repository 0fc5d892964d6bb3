"""Move each number by 1 %, one at a time, and list those that no check against an outside source notices.

``make mutate``, or ``PYTHONPATH=tests python -m mutation.run [PART]`` for the files whose path holds PART. Nothing on
disk is changed: each number is moved in a process of its own, which runs the published, witness and compute tests and
stops at the first that fails. A survivor that can do no harm is named in ``allowed.yml`` with the reason. Those are
moved all at once: as long as nothing notices that, every line of the list holds.
"""

from __future__ import annotations

import importlib
import importlib.abc
import importlib.machinery
import importlib.util
import os
import resource
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
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

LONG = ("tests/witness/test_outlook.py",)
"""A third of all the time goes into this."""
TESTS = (("tests/published",), ("tests/witness",), ("tests/compute",), LONG)
"""In this order, each loaded only where those before it noticed nothing: the quickest first."""
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


def is_noticed(numbers: Sequence[Number], tests: Sequence[Sequence[str]] = TESTS) -> bool:
    """Whether a test fails with the numbers moved, all at once, or with nothing moved."""
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
            failed = any(_fails(paths) for paths in tests)
        finally:
            os._exit(int(failed))
    _, code = os.waitpid(child, 0)
    return code != 0


def _fails(paths: Sequence[str]) -> bool:
    ignored = [f"--deselect={path}" for path in LEFT_OUT]
    ignored += [f"--ignore={path}" for path in LONG if path not in paths]
    quiet = ("-W", "ignore::pytest.PytestAssertRewriteWarning")  # each folder is a run, and packages are loaded once
    return bool(pytest.main(["-x", "-q", *quiet, "-p", "no:cacheprovider", *ignored, *paths]))


def main(part: str) -> int:
    """Try every number; 1 where a survivor is not allowed, or an allowed number is noticed."""
    listed = reasons()
    numbers = [each for each in (*constants(), *entries()) if part in str(each.path.relative_to(REPOSITORY))]
    known = [each for each in numbers if reason(each, listed)]
    others = [each for each in numbers if not reason(each, listed)]
    if is_noticed([]):
        print("a test fails with no number moved: mend that first")
        return 2
    stale = [each for each in known if is_noticed([each])] if known and is_noticed(known) else []
    for number in stale:
        print(f"noticed, so its line of {ALLOWED.name} goes: {number}    {number.text}", flush=True)
    survivors = []
    for count, number in enumerate(others, 1):
        if isinstance(number, Entry):
            # Tables are read anew in each process, so the program can be loaded once for all of them.
            importlib.import_module("slackloop.compute.computed_job")
        if not is_noticed([number]):
            survivors.append(number)
            print(f"\n{number}    {number.text}", flush=True)
        print(f"\r{count} of {len(others)} moved", end="", file=sys.stderr, flush=True)
    print(f"\n{len(numbers)} numbers moved; {len(survivors)} not noticed, {len(known) - len(stale)} allowed")
    return 1 if survivors or stale else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1] if len(sys.argv) > 1 else ""))
