"""The numbers that figures rest on, each with its place: constants of compute, units and site, and our tables."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from samples import REPOSITORY

PACKAGES = ("compute", "units", "site")
SOURCE = REPOSITORY / "generator" / "slackloop"
DATA = REPOSITORY / "site_data"
TABLES = (*sorted(DATA.glob("*.yml")), *sorted((DATA / "code_basis").glob("*.yml")))
MOVE = 1.01


@dataclass(frozen=True)
class Constant:
    """A number in a source file; the place is that of its first character, lines from 1, columns from 0."""

    path: Path
    line: int
    column: int
    value: float
    nth: int
    """Which of the numbers of its line it is, from 1."""

    def __str__(self) -> str:
        """Where it is and what it is, as an editor opens it."""
        return f"{self.path.relative_to(REPOSITORY)}:{self.line}:{self.column + 1} {self.value:g}"

    @property
    def text(self) -> str:
        """The line that it stands in: a remark on a survivor is tied to it, so that it moves with the code."""
        return self.path.read_text(encoding="utf-8").splitlines()[self.line - 1].strip()


@dataclass(frozen=True)
class Entry:
    """A number in a table file, by the keys and places that lead to it."""

    path: Path
    keys: tuple[str | int, ...]
    value: float
    nth: int = 1

    def __str__(self) -> str:
        """The file, the way to the number, and the number."""
        return f"{self.path.relative_to(REPOSITORY)} {self.text} {self.value:g}"

    @property
    def text(self) -> str:
        """The way to the number; rows by what names them, so that a new row moves nothing."""
        return ".".join(map(str, self.keys))


def constants() -> Iterator[Constant]:
    """Every number in compute, units and site but 0, whole ones, which count and negate, and places in a list."""
    for package in PACKAGES:
        for path in sorted((SOURCE / package).rglob("*.py")):
            tree = ast.parse(path.read_text(encoding="utf-8"))
            slices = [each.slice for each in ast.walk(tree) if isinstance(each, ast.Subscript)]
            places = {id(each) for inside in slices for each in ast.walk(inside)}
            found: dict[int, list[tuple[int, float]]] = {}
            for node in ast.walk(tree):
                if isinstance(node, ast.Constant) and type(node.value) in (int, float) and id(node) not in places:
                    value = node.value
                    assert isinstance(value, int | float)
                    if value != 0 and not (isinstance(value, int) and abs(value) == 1):
                        found.setdefault(node.lineno, []).append((node.col_offset, value))
            for line, numbers in sorted(found.items()):
                for nth, (column, value) in enumerate(sorted(numbers), 1):
                    yield Constant(path, line, column, value, nth)


def entries() -> Iterator[Entry]:
    """Every number in the tables."""
    for path in TABLES:
        yield from (Entry(path, keys, value) for keys, value in _numbers(yaml.safe_load(path.read_text("utf-8")), ()))


def _numbers(node: Any, keys: tuple[str | int, ...]) -> Iterator[tuple[tuple[str | int, ...], float]]:
    if isinstance(node, dict):
        for key, value in node.items():
            yield from _numbers(value, (*keys, key))
    elif isinstance(node, list):
        for place, value in enumerate(node):
            yield from _numbers(value, (*keys, place))
    elif isinstance(node, int | float) and not isinstance(node, bool) and node != 0:
        yield keys, node


def module_name(path: Path) -> str:
    """What a source file is imported as."""
    return ".".join(("slackloop", *path.relative_to(SOURCE).with_suffix("").parts))


def moved_source(path: Path, moved: Sequence[Constant]) -> ast.Module:
    """The tree of a file with those of the constants that stand in it moved by 1 %."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    values = {(each.line, each.column): each.value * MOVE for each in moved if each.path == path}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and (node.lineno, node.col_offset) in values:
            node.value = values[node.lineno, node.col_offset]
    return tree


def moved_table(path: Path, moved: Sequence[Entry], table: Any) -> Any:
    """The table of a file with those of the entries that stand in it moved by 1 %; the table itself is changed."""
    for entry in moved:
        if entry.path == path:
            inner = table
            for key in entry.keys[:-1]:
                inner = inner[key]
            inner[entry.keys[-1]] = entry.value * MOVE
    return table
