"""Reads the YAML table files, the firm's own before the standing ones, and refuses what a table must not hold.

The one error that reading the program's own tables can give.

Where the handbook's own files lie: ``content`` and ``site_data``.

In an installed package both folders stand inside it. In an editable install the
package is read straight from the repository, and the folders stand at its root.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from pathlib import Path
from typing import Any, Literal, TypeVar, cast

from pydantic import BaseModel, ValidationError

from slackloop.reference.code_basis import CodeBasis
from slackloop.reference.rows import Constant, Row


class TableRefused(ValueError):
    """A table is missing or broken; the message names the file, the row and the mend."""


TableMap = Mapping[str, Any]
Model = TypeVar("Model", bound=BaseModel)
RowType = TypeVar("RowType", bound=Row)


def read_table(path: Path) -> TableMap:
    """Return the map that a table file holds.

    Raises TableRefused, with the file named, when the file cannot be read, is not YAML,
    is not a map, or writes one key twice.
    """
    try:
        return _parsed(path.read_text(encoding="utf-8"), path.name)
    except OSError as error:
        raise TableRefused(f"{path.name}: cannot be read ({error.strerror}).") from error
    except UnicodeDecodeError as error:
        raise TableRefused(f"{path.name}: is not UTF-8 text.") from error


@lru_cache(maxsize=64)
def _parsed(text: str, name: str) -> TableMap:
    """The map that the text of a table file holds; the same text is parsed once, and nobody changes the map."""
    import yaml

    class Loader(getattr(yaml, "CSafeLoader", yaml.SafeLoader)):  # type: ignore[misc]
        """A safe loader that refuses a key written twice."""

        def construct_mapping(self, node: yaml.MappingNode, deep: bool = False) -> dict[object, object]:
            seen: set[str] = set()
            for key, _ in node.value:
                if key.value in seen:
                    line = key.start_mark.line + 1
                    raise TableRefused(f"{name}, line {line}: the key {key.value!r} is written twice.")
                seen.add(key.value)
            return cast("dict[object, object]", super().construct_mapping(node, deep=deep))

    try:
        value = yaml.load(text, Loader=Loader)
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        line = f", line {mark.line + 1}" if mark is not None else ""
        problem = getattr(error, "problem", None) or "not YAML"
        raise TableRefused(f"{name}{line}: {problem}.") from error
    if not isinstance(value, dict):
        raise TableRefused(f"{name}: a table file holds a map of tables, as `rows:`.")
    return value


@dataclass(frozen=True)
class ConstantTable:
    """A table file of named constants, which says itself what they are used for; its rows by their ids."""

    used_for: str
    rows: Mapping[str, Constant]


class TableReader:
    """Finds each table file, the firm's own before the standing one, and checks its rows."""

    def __init__(self, folders: Sequence[Path]) -> None:
        self._folders = folders
        self._maps: dict[str, TableMap] = {}
        self._named: set[str] = set()
        self._hash = hashlib.sha256()

    def digest(self) -> str:
        """Return the hash over every file read so far."""
        return self._hash.hexdigest()

    def _note(self, path: Path) -> TableMap:
        table = read_table(path)
        self._hash.update(path.name.encode() + b"\0" + path.read_bytes().replace(b"\r\n", b"\n") + b"\0")
        return table

    def _map(self, file_name: str) -> TableMap:
        if file_name not in self._maps:
            for folder in self._folders:
                if (folder / file_name).is_file():
                    self._maps[file_name] = self._note(folder / file_name)
                    break
            else:
                raise TableRefused(f"{file_name}: the table file is missing.")
        return self._maps[file_name]

    def rows(self, file_name: str, key: str, model: type[RowType]) -> tuple[RowType, ...]:
        """Return the rows under one key of a file, each checked against its model."""
        self._named.add(file_name)
        rows = self._map(file_name).get(key)
        if not isinstance(rows, list) or not rows:
            raise TableRefused(f"{file_name}: needs a list under `{key}:`.")
        return tuple(checked(model, row, f"{file_name}, {key}, row {n}") for n, row in enumerate(rows, start=1))

    def constants(self) -> dict[str, ConstantTable]:
        """Return every table of constants, and refuse a file that nothing reads; asked after all other tables."""
        found: dict[str, ConstantTable] = {}
        for name in sorted({path.name for folder in self._folders for path in folder.glob("*.yml")} - self._named):
            used_for = self._map(name).get("used_for")
            if not isinstance(used_for, str):
                raise TableRefused(f"{name}: nothing reads this file; write `used_for:` and what its rows are for.")
            rows = by(self.rows(name, "rows", Constant), "id", name)
            found[name.removesuffix(".yml")] = ConstantTable(used_for, rows)
        return found

    def code_bases(self) -> Iterator[CodeBasis]:
        """Give each code basis once, the firm's file before the standing one of the same name."""
        seen: set[str] = set()
        for folder in self._folders:
            for path in sorted((folder / "code_basis").glob("*.yml")):
                if path.stem in seen:
                    continue
                seen.add(path.stem)
                yield checked(CodeBasis, {"id": path.stem, **self._note(path)}, f"code_basis/{path.name}")


def checked(model: type[Model], value: Any, place: str) -> Model:
    """The value as ``model``. Raises TableRefused, with the place named, where it does not fit."""
    try:
        return model.model_validate(value)
    except ValidationError as error:
        first = error.errors()[0]
        at = ".".join(str(part) for part in first["loc"])
        raise TableRefused(f"{place}: {at + ': ' if at else ''}{first['msg']}.") from error


def by(rows: Sequence[RowType], key: str, file_name: str) -> dict[Any, RowType]:
    """The rows by one of their keys. Raises TableRefused where two have the same."""
    table: dict[Any, RowType] = {}
    for row in rows:
        name = getattr(row, key)
        if name in table:
            raise TableRefused(f"{file_name}: two rows have the {key} {name!r}.")
        table[name] = row
    return table


DataFolder = Literal["content", "site_data"]


def data_folder(name: DataFolder) -> Path:
    """Return the folder ``content`` or ``site_data`` that came with the program.

    Raises TableRefused when neither place holds it.
    """
    installed = Path(str(files("slackloop"))) / name
    in_repository = Path(__file__).resolve().parents[3] / name
    for place in (installed, in_repository):
        if place.is_dir():
            return place
    raise TableRefused(
        f"The folder {name} that belongs to slackloop is missing. Looked in {installed} and {in_repository}. "
        "Install the program again."
    )
