"""Reads one YAML table file and refuses what a table must not hold."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, cast

from slackloop.reference.refusal import TableRefused

TableMap = Mapping[str, Any]


def read_table(path: Path) -> TableMap:
    """Return the map that a table file holds.

    Raises TableRefused, with the file named, when the file cannot be read, is not YAML,
    is not a map, or writes one key twice.
    """
    import yaml

    class Loader(getattr(yaml, "CSafeLoader", yaml.SafeLoader)):  # type: ignore[misc]
        """A safe loader that refuses a key written twice."""

        def construct_mapping(self, node: yaml.MappingNode, deep: bool = False) -> dict[object, object]:
            seen: set[str] = set()
            for key, _ in node.value:
                if key.value in seen:
                    raise TableRefused(
                        f"{path.name}, line {key.start_mark.line + 1}: the key {key.value!r} is written twice."
                    )
                seen.add(key.value)
            return cast("dict[object, object]", super().construct_mapping(node, deep=deep))

    try:
        text = path.read_text(encoding="utf-8")
        value = yaml.load(text, Loader=Loader)
    except OSError as error:
        raise TableRefused(f"{path.name}: cannot be read ({error.strerror}).") from error
    except UnicodeDecodeError as error:
        raise TableRefused(f"{path.name}: is not UTF-8 text.") from error
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        line = f", line {mark.line + 1}" if mark is not None else ""
        problem = getattr(error, "problem", None) or "not YAML"
        raise TableRefused(f"{path.name}{line}: {problem}.") from error
    if not isinstance(value, dict):
        raise TableRefused(f"{path.name}: a table file holds a map of tables, as `rows:`.")
    return value
