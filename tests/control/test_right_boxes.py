"""Whose cards `changes` calls void, against the cards themselves and against the way the path is wired.

The command compares what a snapshot says of each card. Here the cards as they go to the press are compared, with their
drawings; and of a tree of boxes it is known from the job alone whom a run can concern.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import yaml

from control.control_samples import ELECTRODE_SECTION, SIGNED, changed, own_step, snapshot_of, written
from samples import job_text, random_boxes
from slackloop.cli import main
from slackloop.control.snapshot import snapshot_bytes
from slackloop.document.boxes.card import Card, cards_of
from slackloop.document.worked import work_with_content
from slackloop.pipeline.handbook_folder import context_of

THICK = (
    "  thick:\n    conductor: 12 AWG\n    build: solid\n    cores: {a: orange, b: grey}\n    jacket: polyethylene\n"
    "    jacket_od: 11 mm\n    reel: 500 m\ndevices:\n"
)
BOXES = random_boxes(14, seed=5)
"""A tree with branches."""
MOVED = "B5"
"""The box whose run, or whose cable, is changed: in the middle of the tree."""


@pytest.fixture(scope="module")
def base() -> str:
    text = job_text(BOXES).replace("  prepared: Site engineer\n", SIGNED)
    return changed(text, "devices:\n", THICK)


@pytest.fixture(scope="module")
def old(base: str, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, Card]]:
    """The snapshot of the job as it was, and its cards."""
    folder = tmp_path_factory.mktemp("old")
    job = written(folder, base)
    snapshot = folder / "snapshot.json"
    snapshot.write_bytes(snapshot_bytes(snapshot_of(job)))
    return snapshot, cards(job)


def cards(job: Path) -> dict[str, Card]:
    return {each.id: each for each in cards_of(context_of(work_with_content(job)))}


def told(capsys: pytest.CaptureFixture[str], old: Path, new: Path) -> dict[str, object]:
    assert main(["changes", "--json", str(old), str(new)]) == 0
    said: dict[str, object] = json.loads(capsys.readouterr().out)
    return said


def tree(job: Path) -> dict[str, str]:
    """The box before each, as the job file says."""
    return {each["id"]: each["from"] for each in yaml.safe_load(job.read_text(encoding="utf-8"))["path"]["boxes"]}


def behind(box: str, before: dict[str, str]) -> set[str]:
    """The box and all that hang on it."""
    found = {box}
    while more := {each for each, parent in before.items() if parent in found} - found:
        found |= more
    return found


def line_of(text: str, box: str) -> str:
    (found,) = (each for each in text.splitlines() if each.strip().startswith(f"- {{id: {box},"))
    return found


def longer(text: str) -> str:
    line = line_of(text, MOVED)
    run = line.partition("run: ")[2].partition(" m")[0]
    return text.replace(line, line.replace(f"run: {run} m", f"run: {int(run) + 3} m"))


def thicker(text: str) -> str:
    line = line_of(text, MOVED)
    return text.replace(line, line.replace(", from:", ", cable: thick, from:"))


def earth(text: str) -> str:
    return changed(text, "target: 10 ohm", "target: 8 ohm")


@pytest.mark.parametrize("change", [longer, thicker, earth])
def test_void_cards_are_those_that_read_otherwise(
    change: object, base: str, old: tuple[Path, dict[str, Card]], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert callable(change)
    new = written(tmp_path / "new", change(base))
    snapshot, was = old
    now = cards(new)
    assert list(was) == list(now)
    differ = [box for box in now if was[box] != now[box]]
    said = told(capsys, snapshot, new)
    assert said["void_cards"] == differ
    assert 0 < len(differ) < len(now), "some and not all: else nothing is told apart"
    before = tree(new)
    if change is not earth:
        concerned = behind(MOVED, before) | {before[MOVED]}
        assert {before[MOVED], MOVED} <= set(differ) <= concerned
        changes = said["changes"]
        assert isinstance(changes, list)
        named = {box for each in changes if each["kind"] in ("value", "limit") for box in each["boxes"]}
        assert MOVED in named
    else:
        assert differ == [box for box, card in now.items() if card.electrode is not None]


def test_a_step_concerns_the_boxes_where_it_is_done_and_no_card(
    base: str, old: tuple[Path, dict[str, Card]], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    snapshot, was = old
    new = written(tmp_path / "new", base)
    own_step(new, ELECTRODE_SECTION, "drive-the-rod", "Drive the rod with care.")
    said = told(capsys, snapshot, new)
    assert said["void_cards"] == []
    now = cards(new)
    assert now == was
    changes = said["changes"]
    assert isinstance(changes, list)
    (step,) = changes
    assert step["kind"] == "step"
    assert step["boxes"] == [box for box, card in now.items() if card.electrode is not None]
