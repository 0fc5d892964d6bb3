"""Named conditions, each on a job where it holds and one where it does not."""

from __future__ import annotations

from pathlib import Path

import pytest
from pydantic import ValidationError

from book_samples import demonstration
from samples import chain, job_text
from slackloop.document.worked import Worked, work
from slackloop.sections.conditions import CONDITIONS, apply_sections, holds
from slackloop.sections.section import Check

BRANCHED = [*chain(2), "{id: B3, from: B1, run: 20 m, surface: road}"]
ROCK = {"soil": "blasted rock"}


def worked(folder: Path, boxes: list[str], old: str = "", new: str = "", **changes: str) -> Worked:
    """A job read and computed, with one piece of its text changed."""
    text = job_text(boxes, **changes)
    assert old in text
    path = folder / "job.yml"
    path.write_text(text.replace(old, new, 1) if old else text, encoding="utf-8")
    return work(path)


@pytest.fixture
def plain(tmp_path: Path) -> set[str]:
    """Conditions that hold on a plain chain of two boxes."""
    job = worked(tmp_path, chain(2))
    return {name for name in CONDITIONS if holds(name, job.job, job.analysis)}


def test_a_plain_job(plain: set[str]) -> None:
    assert plain == {
        "always", "jacketed-cable", "shared-trench", "warning-tape", "has-device-boxes", "has-electrodes",
        "general-code", "slack-per-tail", "ac-supply",
        "surge-part-open",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "gained", "lost"),
    [
        ("    jacket: polyethylene\n", "", {"unjacketed-cable"}, {"jacketed-cable"}),
        ("  shared_with_pipe: 63 mm\n", "", {"own-trench"}, {"shared-trench"}),
        ("warning_tape: true", "warning_tape: false", set(), {"warning-tape"}),
        ("per: tail", "per: box", {"slack-per-box"}, {"slack-per-tail"}),
        ("  soil_resistivity: 60 ohm m\n", "", {"resistivity-unknown"}, set()),
        ("current: ac", "current: dc", {"dc-supply"}, {"ac-supply"}),
        ("code_basis: general", "code_basis: us", {"us-code", "cover-question"}, {"general-code"}),
        ("code_basis: general", "code_basis: uk", {"uk-code"}, {"general-code"}),
        ("soil: common earth", "soil: blasted rock", {"rock-soil"}, set()),
        ("hazards: []", "hazards: [Public access]", {"public-access"}, set()),
        ("hazards: []", "hazards: [overhead lines]", {"overhead-lines"}, set()),
        ("hazards: []", "hazards: [traffic]", {"traffic"}, set()),
        ("hazards: []", "hazards: [deep water]", {"water-near"}, set()),
        ("hazards: []", "hazards: [High groundwater]", {"water-near", "high-groundwater"}, set()),
        ("  hazards:", "  frost_depth: 450 mm\n  hazards:", {"frost"}, set()),
        ("surface: lawn", "surface: path", {"crossings"}, set()),
        ("surface: lawn", "surface: driveway", {"crossings", "driveway-crossing"}, set()),
        ("surface: lawn", "surface: drive", {"crossings", "driveway-crossing"}, set()),
        ("surface: lawn", "surface: paved", {"crossings"}, set()),
        ("surface: lawn", "surface: gravel", set(), set()),
        ("    pack: 25", "    pack: 25\n    closing: Turn the cap", {"connector-closing-stated"}, set()),
        ("surface: lawn", "surface: road", {"crossings", "road-crossing", "traffic"}, set()),
        ("surface: lawn", "surface: building", {"crossings", "building-crossing"}, set()),
        ("surface: lawn", "surface: lawn, lead: 2 m", {"has-long-leads"}, set()),
    ],
)
def test_each_condition_follows_its_fact(
    tmp_path: Path, plain: set[str], old: str, new: str, gained: set[str], lost: set[str]
) -> None:
    job = worked(tmp_path, chain(2), old, new)
    held = {name for name in CONDITIONS if holds(name, job.job, job.analysis)}
    assert (held - plain, plain - held) == (gained, lost)


def test_branches_rings_and_mixed_conductors(tmp_path: Path) -> None:
    job = worked(tmp_path, BRANCHED)
    assert holds("has-branches", job.job, job.analysis)
    thick = "  thick: {conductor: 12 AWG, build: solid, cores: {a: red, b: black}, jacket_od: 10 mm}\ndevices:"
    text = job_text(chain(2)).replace("devices:", thick, 1).replace("surface: lawn", "surface: lawn, cable: thick", 1)
    (tmp_path / "mixed.yml").write_text(text, encoding="utf-8")
    mixed = work(tmp_path / "mixed.yml")
    assert holds("mixed-conductors", mixed.job, mixed.analysis)
    ring = job_text(chain(3), ["{from: B1, to: B3, run: 40 m}"], ring="true")
    (tmp_path / "ring.yml").write_text(ring, encoding="utf-8")
    closed = work(tmp_path / "ring.yml")
    assert holds("ring", closed.job, closed.analysis)


def test_a_name_that_is_none_is_refused(tmp_path: Path) -> None:
    job = worked(tmp_path, chain(1))
    with pytest.raises(KeyError):
        holds("full-moon", job.job, job.analysis)


def test_a_check_that_is_signed_with_another_has_no_place_of_its_own_while_that_one_is_there() -> None:
    """Trench, electrician, thunder, roads, lock-off: each is signed once; without the other it is ticked by itself."""
    sections = demonstration().context.content.sections
    checks = {check.id: check for each in apply_sections(sections, lambda _: True) for check in each.checks}
    pairs = {name: check.signed_with for name, check in checks.items() if check.signed_with}
    assert pairs == {
        "C-EXC-1": "C-TRENCH-3", "C-POWER-3": "C-ELE-1", "C-ELE-2": "C-POWER-6", "C-LIG-2": "C-STORM-1",
        "C-TRA-1": "C-DIG-2", "C-SERVICE-1": "C-SERVICE-2",
    }  # fmt: skip
    assert all(checks[other].record != "covered" for other in pairs.values())
    alone = [each for each in sections if each.front.id != "trench"]
    (found,) = [check for each in apply_sections(alone, lambda _: True) for check in each.checks
                if check.id == "C-EXC-1"]  # fmt: skip
    assert (found.record, found.signed_with) == ("tick", "")


def test_only_what_is_covered_and_holds_nothing_is_signed_with_another() -> None:
    (check,) = [check for section in demonstration().context.content.sections for check in section.front.checks
                if check.id == "C-EXC-1"]  # fmt: skip
    whole = check.model_dump()
    for change in ({"record": "tick"}, {"stage": "run"}, {"hold": "hold"}):
        with pytest.raises(ValidationError, match="signed with another"):
            Check.model_validate({**whole, **change})
