"""Nothing that decides what a handbook says looks at a clock, at the load of the machine or at chance."""

from __future__ import annotations

import ast
from pathlib import Path

from attack.runs import REPOSITORY

GENERATOR = REPOSITORY / "generator" / "slackloop"
ALLOWED = {
    "commands/screen.py": {"time", "monotonic"},
    "commands/records.py": {"now"},
    **{f"commands/{name}.py": {"signal"} for name in ("build", "build_stop", "build_worker", "serve")},
}
"""Progress on the screen tells how long a step took; signals ask a command to stop.
A record of a day that is still to come is named, and counts as any other."""
CHANCE = {"time", "random", "secrets", "uuid", "signal"}
ASKED = {"now", "today", "utcnow", "cpu_count", "getloadavg", "process_time", "perf_counter", "monotonic", "time_limit"}


def _looks(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {name.name for name in node.names} & CHANCE
        elif isinstance(node, ast.ImportFrom):
            found |= {node.module or ""} & CHANCE
        elif isinstance(node, ast.Attribute):
            found |= {node.attr} & ASKED
        elif isinstance(node, ast.Constant) and node.value in ASKED:
            found.add(str(node.value))
    return found


def test_no_module_looks_at_a_clock() -> None:
    found = {path.relative_to(GENERATOR).as_posix(): _looks(path) for path in GENERATOR.rglob("*.py")}
    looking = {name: what - ALLOWED.get(name, set()) for name, what in found.items()}
    assert {name: what for name, what in looking.items() if what} == {}
    assert [name for name, what in ALLOWED.items() if not what <= found[name]] == []
