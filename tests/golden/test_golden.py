"""Golden jobs: pages kept as they were read by a person, and the differences that each site condition must make."""

from __future__ import annotations

import difflib
from pathlib import Path

import pytest

from book_samples import page_of
from golden.golden_book import EXPECTED, JOBS, PAGES, book, facts, kept
from slackloop.document.blocks import Form


@pytest.mark.parametrize("name", PAGES)
def test_pages_are_as_they_were_kept(name: str) -> None:
    folder = EXPECTED / name
    now = kept(name)
    assert sorted(path.name for path in folder.iterdir()) == sorted(now)
    differences = [line for file, text in now.items() for line in _difference(folder / file, text)]
    told = "\n".join(differences[:200])
    assert not differences, f"{name} reads differently; if that is right: python tests/golden/rewrite.py\n{told}"


def _difference(path: Path, now: str) -> list[str]:
    """What changed in one file, a line each."""
    before = path.read_text(encoding="utf-8").splitlines()
    return list(difflib.unified_diff(before, now.splitlines(), f"kept {path.name}", "now", lineterm="", n=1))


def test_every_golden_job_is_compared() -> None:
    assert {path.stem for path in JOBS.glob("*.yml")} == set(PAGES)
    assert all(book(name).analysis.verdict == "pass" for name in PAGES)


GAINS: dict[str, dict[str, set[str]]] = {
    "rock": {
        "steps": {
            "trench#break-the-rock", "trench#wet-the-rock", "trench#stack-rock-apart", "trench#trim-the-rock",
            "backfill-and-tape#bring-soft-fill", "backfill-and-tape#keep-rock-out",
            "surge-and-earth-electrodes#ask-where-rock-stops-it",
        },
        "requirements": {"R-TRENCH-ROCK", "R-FILL-ROCK"},
        "checks": {"C-TRENCH-ROCK", "C-FILL-ROCK"},
        "hazards": {"flying-rock in trench", "rock-dust in trench", "rock-dust in backfill-and-tape"},
    },
    "high-groundwater": {
        "steps": {
            "trench#dig-a-sump", "trench#guard-the-pump", "trench#dig-short-lengths", "trench#pump-before-the-bed",
            "trench#keep-water-out", "laying-the-cable#tie-the-ends-high", "valve-box-and-slack#pump-the-hole",
            "valve-box-and-slack#mark-the-water", "waterproof-splice#pump-out-the-box",
            "waterproof-splice#cut-back-to-dry", "waterproof-splice#splice-above-the-rim",
            "closing-a-box#hang-the-splices", "backfill-and-tape#pump-to-the-end",
        },
        "requirements": {
            "R-TRENCH-WATER", "R-LAY-WATER", "R-BOX-WATER", "R-SPLICE-WATER", "R-CLOSE-WATER", "R-FILL-WATER",
        },
        "checks": {
            "C-TRENCH-WATER", "C-LAY-WATER", "C-BOX-WATER", "C-SPLICE-WATER", "C-CLOSE-WATER", "C-FILL-WATER",
        },
        "hazards": {
            "wet-ground in trench", "wet-electrics in trench", "wet-electrics in valve-box-and-slack",
            "wet-electrics in waterproof-splice",
        },
    },
    "frost": {
        "steps": {
            "trench#check-the-frost-line", "laying-the-cable#warm-the-reel", "laying-the-cable#wave-it-for-frost",
            "backfill-and-tape#no-frozen-fill",
        },
        "requirements": {"R-TRENCH-FROST", "R-LAY-FROST", "R-FILL-FROST"},
        "checks": {"C-TRENCH-FROST", "C-LAY-FROST", "C-FILL-FROST"},
        "hazards": {"frozen-ground in trench"},
    },
    "public-access": {
        "sections": {"public-access"},
        "requirements": {"R-PUB-1", "R-PUB-2", "R-PUB-3"},
        "checks": {"C-PUB-1", "C-PUB-2", "C-PUB-3"},
        "hazards": {"open-trench-edge in public-access", "public-near-work in public-access"},
    },
    "overhead-lines": {
        "sections": {"working-near-overhead-lines"},
        "requirements": {"R-OHL-1", "R-OHL-2"},
        "checks": {"C-OHL-1", "C-OHL-2"},
        "hazards": {"overhead-line in working-near-overhead-lines"},
    },
    "driveway": {
        "sections": {"surfaces-and-crossings"},
        "requirements": {"R-CROSS-1", "R-CROSS-2", "R-CROSS-3", "R-CROSS-DRIVE"},
        "checks": {"C-CROSS-1", "C-CROSS-2", "C-CROSS-3", "C-CROSS-DRIVE"},
    },
}  # fmt: skip
"""What each job has that the plain one has not; kinds that are not named here are held by the tests below."""


@pytest.mark.parametrize("name", GAINS)
def test_a_condition_adds_what_it_should_and_takes_nothing(name: str) -> None:
    plain, here = facts("plain"), facts(name)
    assert not {key: plain[key] - here[key] for key in plain if plain[key] - here[key]}
    for key, gained in GAINS[name].items():
        assert here[key] - plain[key] == gained, key


def test_a_driveway_brings_its_own_steps_and_hazard() -> None:
    gained = facts("driveway")["steps"] - facts("plain")["steps"]
    assert {f"surfaces-and-crossings#{step}" for step in ("close-half-the-drive", "plate-the-drive")} <= gained
    assert "surfaces-and-crossings#get-road-leave" not in gained
    assert "cars-on-a-drive in surfaces-and-crossings" in facts("driveway")["hazards"]
    assert "traffic in surfaces-and-crossings" not in facts("driveway")["hazards"]


@pytest.mark.parametrize("name", ["public-access", "overhead-lines"])
def test_the_public_and_lines_change_the_survey_too(name: str) -> None:
    gained = facts(name)["steps"] - facts("plain")["steps"]
    assert any(each.startswith("before-digging#") for each in gained)
    assert any(not each.startswith("before-digging#") for each in gained)


@pytest.mark.parametrize("name", PAGES)
def test_every_requirement_has_its_step_and_its_check(name: str) -> None:
    for applied in book(name).context.sections:
        for requirement in applied.requirements:
            assert applied.steps_of(requirement), requirement.id
            assert applied.checks_of(requirement), requirement.id


def test_a_wet_box_has_its_checks_on_its_page() -> None:
    forms = [block for block in page_of(book("high-groundwater"), "boxes/b2").blocks if isinstance(block, Form)]
    asked = {field.id for form in forms for field in form.fields}
    signed = {code for form in forms for code in form.codes if f"sign-{form.title.lower()}" in asked}
    for check in ("C-SPLICE-WATER", "C-BOX-WATER", "C-FILL-WATER"):
        assert check in asked | signed, f"{check} has neither a field nor a signature of its stage"
