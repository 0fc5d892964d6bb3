"""A stage imports only from itself and from those before it; inside a stage, nothing imports in a circle."""

import ast
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import slackloop

STAGES = (
    "language", "units", "source", "site", "survey", "reference", "compute", "sections", "records", "control",
    "document", "output", "render", "pipeline", "commands",
)  # fmt: skip
"""``cli`` stands beside ``commands``: each imports the other's names, and nothing imports them."""
ONLY_PLACE = {"mkdocs": "render/html", "typst": "render/typst"}
ROOT = Path(slackloop.__file__).parent


@cache
def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def imported(path: Path) -> set[str]:
    """Every module that a file imports, at the top or inside a function."""
    names: set[str] = set()
    for node in ast.walk(parsed(path)):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            names.add(node.module or "")
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return names


def is_for_types(node: ast.AST) -> bool:
    return isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"


def without_types(node: ast.AST) -> Iterator[ast.AST]:
    """Every node below one, those apart that only a checker of types reads."""
    for child in ast.iter_child_nodes(node):
        if not is_for_types(child):
            yield child
            yield from without_types(child)


@cache
def imported_when_run(path: Path) -> set[str]:
    """Every module that a file imports when it is run, at the top or inside a function."""
    names: set[str] = set()
    for node in without_types(parsed(path)):
        if isinstance(node, ast.ImportFrom):
            names |= {node.module or "", *(f"{node.module}.{alias.name}" for alias in node.names)}
        elif isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
    return names


def name_of(path: Path) -> str:
    parts = ("slackloop", *path.relative_to(ROOT).with_suffix("").parts)
    return ".".join(parts).removesuffix(".__init__")


def circle(graph: Mapping[str, Iterable[str]]) -> list[str]:
    """One circle of imports; nothing where there is none."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        return [str(each) for each in error.args[1]]
    return []


def modules() -> list[Path]:
    return sorted(ROOT.rglob("*.py"))


def test_every_folder_is_a_stage() -> None:
    folders = {path.relative_to(ROOT).parts[0] for path in modules() if len(path.relative_to(ROOT).parts) > 1}
    assert folders <= set(STAGES) | {"content", "site_data"}


def test_no_stage_imports_a_later_one() -> None:
    wrong = []
    for path in modules():
        here = path.relative_to(ROOT).parts[0]
        if here not in STAGES:
            continue
        later = STAGES[STAGES.index(here) + 1 :]
        for name in imported(path):
            parts = name.split(".")
            if parts[0] == "slackloop" and len(parts) > 1 and parts[1] in later:
                wrong.append(f"{path.relative_to(ROOT)} imports {name}")
    assert not wrong, "\n".join(wrong)


def test_mkdocs_and_typst_have_one_door_each() -> None:
    wrong = []
    for path in modules():
        place = path.relative_to(ROOT).as_posix()
        for name in imported(path):
            door = ONLY_PLACE.get(name.split(".")[0])
            if door and not place.startswith(door):
                wrong.append(f"{place} imports {name}")
    assert not wrong, "\n".join(wrong)


def test_no_module_imports_itself_over_others() -> None:
    """The command line and its commands apart: each takes the other's names."""
    known = {name_of(path): path for path in modules()}
    graph = {name: (imported_when_run(path) & set(known)) - {name} for name, path in known.items()}
    for name in graph:
        if name.startswith("slackloop.commands."):
            graph[name].discard("slackloop.cli")
    found = circle(graph)
    assert not found, " imports ".join(reversed(found))


def test_no_folder_of_a_stage_imports_in_a_circle() -> None:
    """Inside a stage each sub-folder, and each module that lies beside them, comes before or after every other."""
    for stage in STAGES:
        known = {name_of(path): path for path in modules() if path.relative_to(ROOT).parts[0] == stage}
        unit = {name: ".".join(name.split(".")[:3]) for name in known}
        graph: dict[str, set[str]] = {}
        for name, path in known.items():
            others = {unit[other] for other in imported_when_run(path) & set(known)}
            graph.setdefault(unit[name], set()).update(others - {unit[name], f"slackloop.{stage}"})
        found = circle(graph)
        assert not found, " imports ".join(reversed(found))


def test_a_circle_is_seen() -> None:
    assert circle({"a": ["b"], "b": ["c"], "c": ["a"]})
    assert not circle({"a": ["b", "c"], "b": ["c"]})


MOST_LINES = 300
MOST_MODULES = 284
"""A module more than this asks whether two small ones are one noun; the aim is far fewer."""


def test_modules_are_short_and_not_too_many() -> None:
    long = {path: len(path.read_text(encoding="utf-8").splitlines()) for path in modules()}
    over = [f"{path.relative_to(ROOT)} has {lines} lines" for path, lines in long.items() if lines >= MOST_LINES]
    assert not over, "\n".join(over)
    assert len(long) <= MOST_MODULES
