"""What is due is what cards and sheets ask for: the same checks, the same limits, each once."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from records.record_samples import DEMO, RING, context, due, due_of
from samples import chain, job_text
from slackloop.document.boxes.card import cards_of
from slackloop.document.boxes.due_records import due_list
from slackloop.document.pages.sheets import sheet_pages
from slackloop.document.worked import work_with_content
from slackloop.pipeline.handbook_folder import context_of
from slackloop.records.result import SIGN_CHECKS, SIGN_DAY, SOIL_CHECK, DueList

JOBS = [DEMO, RING]


def due_of_job(tmp_path: Path, text: str) -> DueList:
    path = tmp_path / "job.yml"
    path.write_text(text, encoding="utf-8")
    return due_list(context_of(work_with_content(path)))


@pytest.mark.parametrize("job", JOBS)
def test_each_card_is_due_with_its_limits(job: Path) -> None:
    """Every value, tick, hold and signature of a card, and nothing else of its box but what may be built otherwise."""
    for card in cards_of(context(job)):
        subject = f"run:{card.id}" if card.kind == "run" else card.id
        dues = [each for each in due(job).dues if each.subject == subject and not each.optional]
        entries = [(each.ids, each.unit, each.least, each.most) for stage in card.stages for each in stage.entries]
        values = [(each.ids, each.unit, each.least, each.most) for each in dues if each.kind in ("number", "text")]
        soil = [each for each in dues if each.kind == "soil"]
        assert values == [each for each in entries if each[0] != (SOIL_CHECK,)]
        assert len(soil) == sum(each[0] == (SOIL_CHECK,) for each in entries)
        ticks = [each.id for stage in card.stages for each in stage.ticks]
        assert [each.ids[0] for each in dues if each.kind == "tick"] == ticks
        holds = [each.id for stage in card.stages for each in stage.holds]
        assert [each.ids[0] for each in dues if each.hold] == holds
        signed = [each.ids[0] for each in dues if each.kind == "sign" and not each.hold]
        by_row = [(f"sign-{stage.id}", *(each.id for each in stage.later)) for stage in card.stages]
        assert signed == [name for names in by_row for name in names]
        later = [each.id for stage in card.stages for each in stage.later]
        assert [each.ids[0] for each in dues if each.later] == later
        assert set(signed) <= {*SIGN_CHECKS, "C-POWER-4"}


@pytest.mark.parametrize("job", JOBS)
def test_a_name_of_a_check_at_a_place_is_one_thing(job: Path) -> None:
    names = Counter(
        (subject, check) for each in due(job).dues for subject in {each.subject, *each.also} for check in each.ids
    )
    assert [each for each, count in names.items() if count > 1] == []


@pytest.mark.parametrize("job", JOBS)
def test_every_check_that_is_recorded_is_due_somewhere(job: Path) -> None:
    """Those that a signature covers, by its requirements; all others by their own id."""
    dues = (*due(job).dues, *due(job).each_day)
    ids = {check for each in dues for check in each.ids}
    proved = {name for each in dues for name in each.requirements}
    for applied in context(job).sections:
        for check in applied.checks:
            somewhere = check.where in ("job", "each-day", "each-reel") or context(job).first_box(check.where)
            if somewhere and check.record in ("measure", "tick"):
                assert check.id in ids
            if somewhere and (check.stage or check.record != "covered"):
                assert proved & set(check.proves), check.id


def test_reels_days_and_the_job_have_what_their_sheets_ask() -> None:
    dues = due().dues
    assert [each.ids for each in dues if each.subject.startswith("reel:")] == [("C-LAY-REEL",)] * sum(
        len(plan.reels) for plan in context().analysis.reels
    )
    reel = due_of("reel:1", "C-LAY-REEL")
    assert (reel.kind, reel.unit, reel.least, reel.limit) == ("number", "MΩ", 10.0, "10 MΩ or more")
    (daily,) = [page for page in sheet_pages(context()) if page.id == "sheets/daily"]
    each_day = [each.ids[0] for each in due().each_day]
    assert [name for name in each_day if name in SIGN_DAY.values()] == ["sign-day", "sign-leave"]
    assert each_day[-1] == SIGN_DAY["leave"]
    assert all(name in str(daily.blocks) for name in each_day)
    before, after = each_day[: each_day.index("sign-day")], each_day[each_day.index("sign-day") :]
    assert {"C-TRENCH-3", "C-EMG-2", "C-WEA-1"} <= set(before)
    assert {"C-EXC-3", "C-PUB-3", "C-TRA-3"} <= set(after)
    held = {each.ids[0] for each in dues if each.subject == "job" and each.hold}
    assert {"C-POWER-1", "C-RECORD-1", "C-EMG-1"} <= held


def test_reels_are_counted_through_all_cables(tmp_path: Path) -> None:
    text = job_text(
        [*chain(3), "{id: B4, from: B3, run: 50 m, surface: lawn, device: one, stations: [9], cable: second}"]
    )
    text = text.replace("devices:\n", "  second: {conductor: 12 AWG, build: solid, cores: {a: orange, b: grey}, "
                        "jacket: polyethylene, jacket_od: 10 mm, reel: 300 m}\ndevices:\n", 1)  # fmt: skip
    found = [each for each in due_of_job(tmp_path, text).dues if each.subject.startswith("reel:")]
    assert [each.subject for each in found] == ["reel:1", "reel:2"]
    assert ["14 AWG" in found[0].title, "12 AWG" in found[1].title] == [True, True]


def test_a_fact_that_is_assumed_is_a_hold_of_the_job(tmp_path: Path) -> None:
    dues = due_of_job(tmp_path, job_text(chain(2)).replace("stations_at_once: 8", "stations_at_once: assumed 8")).dues
    (fact,) = [each for each in dues if each.ids[0].startswith("FACT-")]
    assert (fact.subject, fact.kind, fact.hold) == ("job", "sign", True)
    assert "taken as 8" in fact.title
    assert fact.limit.startswith("Known, and confirmed before")


def test_stop_if_is_what_the_step_of_the_check_says() -> None:
    slack = due_of("B07", "C-BOX-1")
    (section,) = [each for each in context().sections if each.section.front.id == "valve-box-and-slack"]
    (step,) = [each for each in section.steps if "C-BOX-1" in each.check and each.reject]
    assert step.reject is not None
    assert slack.stop_if == step.reject.text
    assert slack.section == "method/valve-box-and-slack"
    nick = next(each for each in due().dues if "sign-splice" in each.ids)
    assert nick.stop_if == ""
    assert not any("[" in each.stop_if or "{{" in each.stop_if for each in due().dues)


def test_an_existing_box_is_due_nothing_that_is_not_done_there(tmp_path: Path) -> None:
    text = job_text([*chain(2), "{id: B3, from: B2, run: 50 m, surface: lawn, existing: true}"])
    text = text.replace("    reel: 750 m\n", "    reel: 750 m\n", 1)
    dues = [each for each in due_of_job(tmp_path, text).dues if each.subject in ("B3", "run:B3")]
    assert {each.ids[0] for each in dues if not each.optional} == set()
