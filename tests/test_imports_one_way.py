"""Stages are folders, and a stage imports only from itself and from those before it."""

import ast
from pathlib import Path

import slackloop

STAGES = (
    "units", "job", "reference", "path", "compute", "handbook", "output", "publish", "records", "control", "commands",
)  # fmt: skip
"""``cli`` stands beside ``commands``: each imports the other's names, and nothing imports them."""
ONLY_PLACE = {"mkdocs": "publish/website", "typst": "publish/print"}
ROOT = Path(slackloop.__file__).parent


def imported(path: Path) -> set[str]:
    """Every module that a file imports, at the top or inside a function."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            names.add(node.module or "")
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return names


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
