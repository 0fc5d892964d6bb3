"""The table of cables: what it says where the answer is proved, where it is not, and where prices decide."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from book_samples import rows_of
from samples import chain, job_text
from slackloop.document.context import Context
from slackloop.document.inline import plain
from slackloop.document.tables.alternative_tables import choice_runs_table, choice_table, sizes_table
from slackloop.document.worked import work
from slackloop.pipeline.handbook_folder import context_of

THIN = (
    "  thin: {{conductor: 18 AWG, build: solid, cores: {{a: red, b: black}}, jacket: polyethylene, jacket_od: 7 mm, "
    "reel: 500 m{price}}}\n"
)


def context(folder: Path, thin: str = "", price: str = "", volts: str = "26 V") -> Context:
    text = job_text(chain(12), volts=volts).replace("devices:\n", f"{thin}devices:\n", 1)
    if price:
        text = text.replace("    reel: 750 m\n", f"    reel: 750 m\n    price: {price}\n", 1)
    (folder / "job.yml").write_text(text, encoding="utf-8")
    return context_of(work(folder / "job.yml"))


def notes(made: object) -> str:
    return " ".join(plain(note) for note in made.notes)  # type: ignore[attr-defined]


def test_each_way_has_its_cables_and_copper_and_the_answer_is_proved(tmp_path: Path) -> None:
    here = context(tmp_path, THIN.format(price=""))
    table = choice_table(here)
    rows = {row[0]: row for row in rows_of(table)}
    assert list(rows) == ["this job", "one cable throughout", "a cable for each run"]
    assert "Price" not in [column.heading for column in table.columns]
    assert "14 AWG" in rows["this job"][1]
    assert "the other" in rows["a cable for each run"][1]
    assert "Proved: no other choice of these cables takes less copper" in notes(table)
    each = rows_of(choice_runs_table(here))
    assert len(each) == 12
    thick = [row[1] for row in each if "14 AWG" in row[4]]
    assert thick == [f"B{i}" for i in range(1, len(thick) + 1)], "the thick cable lies next to the controller"
    assert 0 < len(thick) < 12
    assert here.job.path.cable == "main"


def test_a_price_of_each_cable_decides_in_place_of_copper(tmp_path: Path) -> None:
    table = choice_table(context(tmp_path, THIN.format(price=", price: 0.90 /m"), "0.62 /m"))
    rows = {row[0]: row for row in rows_of(table)}
    assert "Price" in [column.heading for column in table.columns]
    assert rows["a cable for each run"] == ("a cable for each run", *rows["this job"][1:]), "the thick one is cheaper"
    assert "costs less" in notes(table)


def test_what_is_not_proved_is_told_with_its_bound(tmp_path: Path) -> None:
    here = context(tmp_path, THIN.format(price=""))
    found = here.cable_choice
    assert found.sized is not None
    here.__dict__["cable_choice"] = replace(found, bound=found.sized.copper_kg * 0.97, is_proved=False)
    said = notes(choice_table(here))
    assert "Not proved to be the least: no choice can do with less than" in said
    assert "at most 3" in said


def test_where_nothing_holds_or_there_is_one_cable_it_is_said(tmp_path: Path) -> None:
    low = choice_table(context(tmp_path, THIN.format(price=""), volts="23 V"))
    assert len(rows_of(low)) == 1
    assert "No cable of the job keeps every box in range" in notes(low)
    alone = context(tmp_path)
    assert rows_of(choice_table(alone)) == []
    assert "A cable for each run is not calculated: the job has one cable only" in notes(sizes_table(alone))
