"""People, emergency, local code and the utility search: on the job sheet and where they are needed; blanks counted."""

from __future__ import annotations

from pathlib import Path

import pytest

from samples import chain, job_text
from slackloop.document.context import Context
from slackloop.document.pages.front_sheet import front_sheet
from slackloop.document.walk import words
from slackloop.document.worked import work
from slackloop.pipeline.handbook_folder import context_of
from slackloop.site.reader import read_job

STATED = """\
people: {responsible: Ada Field, competent_person: Ben Stone, electrician: Cleo Watt, first_aider: Dan Care}
emergency: {number: "911", hospital: Mercy Street, meeting_point: Gate 2, gas: Gas board, power: Lines, water: Mains}
local_code: {authority: County building department, edition: "NFPA 70, 2023", inspector: Eve Look}
locates: {reference: T-4711, valid_to: 2026-05-01}
job:
"""


def text(stated: str = STATED) -> str:
    return job_text(chain(2)).replace("job:\n", stated, 1)


def context(job: str, folder: Path) -> Context:
    path = folder / "job.yml"
    path.write_text(job, encoding="utf-8")
    return context_of(work(path))


@pytest.mark.parametrize(("stated", "blanks"), [(STATED, "none"), ("job:\n", "15"), ("people: {}\njob:\n", "15")])
def test_blanks_are_counted_on_the_job_sheet(stated: str, blanks: str, tmp_path: Path) -> None:
    told = words(front_sheet(context(text(stated), tmp_path), False).blocks)
    assert f"Blanks to fill in {blanks}" in " ".join(told.replace(":", " ").split())


def test_what_the_job_states_is_on_the_job_sheet_and_in_the_sections(tmp_path: Path) -> None:
    made = context(text(), tmp_path)
    told = words(front_sheet(made, False).blocks)
    for name in ("Ada Field", "Ben Stone", "Cleo Watt", "Dan Care", "911", "Mercy Street", "Eve Look", "T-4711"):
        assert name in told, name
    values = made.values
    assert values.local_code == "County building department: NFPA 70, 2023"
    assert values.utility_search == "number T-4711, good until 2026-05-01"


@pytest.mark.parametrize(("day", "warned"), [("2026-04-13", True), ("2026-04-14", False)])
def test_a_search_that_holds_no_longer_is_a_warning(day: str, warned: bool, tmp_path: Path) -> None:
    path = tmp_path / "job.yml"
    path.write_text(text(STATED.replace("2026-05-01", day)), encoding="utf-8")
    assert bool([each for each in read_job(path).findings if each.code == "locate-expired"]) == warned
