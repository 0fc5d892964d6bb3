"""`make mutate` moves what it says that it moves, and its list of survivors is in step with the tree."""

from __future__ import annotations

import subprocess
import sys
from importlib.util import find_spec

import pytest

from mutation.moved import PACKAGES, SOURCE, Constant, constants, entries, module_name, moved_table
from mutation.run import ALLOWED, reason, reasons
from samples import REPOSITORY
from shared import short

LOOK = """
import importlib, sys
from mutation.moved import constants
from mutation.run import Moved
file, line, column, name = sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), sys.argv[4]
(number,) = [each for each in constants() if each.path.as_posix().endswith(file) and (each.line, each.column) == (line, column)]
was = number.value
sys.meta_path.insert(0, Moved(number.path, [number]))
module, _, inside = name.rpartition(".")
print(repr(getattr(importlib.import_module(module), inside)), repr(was))
"""  # noqa: E501


def test_each_file_is_one_that_the_program_imports() -> None:
    """A module that is looked for under another name is never moved, and every number in it would survive."""
    for path in {each.path for each in constants()}:
        found = find_spec(module_name(path))
        assert found is not None, path
        assert found.origin == str(path)


CONSTANTS = (
    "slackloop.compute.ground.electrodes.SMALL_MARGIN", "slackloop.units.unit_table.METRES_PER_FOOT",
    "slackloop.site.effective_values.LONG_LEAD_M",
)  # fmt: skip


@pytest.mark.parametrize("name", short(CONSTANTS, CONSTANTS[0]))
def test_a_moved_constant_is_what_the_program_then_has(name: str) -> None:
    module, _, inside = name.rpartition(".")
    own = [each for each in constants() if module_name(each.path) == module]
    (number,) = [each for each in own if each.text.startswith(f"{inside} =")]
    place = number.path.relative_to(REPOSITORY).as_posix()
    done = subprocess.run(
        [sys.executable, "-c", f"import sys; sys.path[:] = {sys.path!r}\n{LOOK}",
         place, str(number.line), str(number.column), name],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    got, was = map(float, done.stdout.split())
    assert was == number.value
    assert got == pytest.approx(1.01 * was, rel=1e-12)


def test_a_moved_entry_is_the_only_one_that_moves() -> None:
    import yaml

    number = next(entries())
    table = yaml.safe_load(number.path.read_text("utf-8"))
    moved = moved_table(number.path, [number], yaml.safe_load(number.path.read_text("utf-8")))

    def numbers(node: object) -> list[float]:
        match node:
            case dict():
                return [each for value in node.values() for each in numbers(value)]
            case list():
                return [each for value in node for each in numbers(value)]
            case bool():
                return []
            case int() | float():
                return [float(node)]
        return []

    differ = [(a, b) for a, b in zip(numbers(table), numbers(moved), strict=True) if a != b]
    assert differ == [(number.value, pytest.approx(1.01 * number.value))]


def test_compute_units_and_site_are_all_tried() -> None:
    assert {each.path.relative_to(SOURCE).parts[0] for each in constants()} == set(PACKAGES)
    assert set(PACKAGES) == {"compute", "units", "site"}
    assert len(list(constants())) > 250
    assert len(list(entries())) > 150


def test_each_line_of_the_list_is_of_a_number_that_is_there_and_has_a_reason() -> None:
    listed = reasons()
    there = {(each.path.relative_to(REPOSITORY).as_posix(), each.text, nth) for each in (*constants(), *entries())
             for nth in (0, each.nth)}  # fmt: skip
    assert [each for each in listed if each not in there] == [], f"in {ALLOWED.name} and nowhere else"
    assert all(len(why) > 10 for why in listed.values())
    assert any(reason(each, listed) for each in constants() if isinstance(each, Constant))
