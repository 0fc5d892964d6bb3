"""A table whose inputs failed a check says so over its figures, and says nothing where they held."""

from __future__ import annotations

from pathlib import Path

import pytest

from samples import chain, job_text
from slackloop.document.finding_words import sentence
from slackloop.document.tables.registry import page_tables
from slackloop.document.worked import work
from slackloop.pipeline.handbook_folder import context_of


def banners(folder: Path, **changes: tuple[str, str]) -> dict[str, str]:
    """The banner of each table that has one, after pieces of the job's text are changed."""
    text = job_text(chain(4), basis="us", volts="28 V", limit="1 A")
    for old, new in changes.values():
        assert old in text
        text = text.replace(old, new)
    path = folder / "job.yml"
    path.write_text(text, encoding="utf-8")
    return {each.id: table.banner for each, table in page_tables(context_of(work(path))) if table.banner}


def test_a_job_that_holds_has_no_banner(tmp_path: Path) -> None:
    assert banners(tmp_path) == {}


@pytest.mark.parametrize(
    ("old", "new", "spoilt"),
    [
        ("reel: 750 m", "reel: 40 m", {"reels", "runs", "materials"}),
        ("cover: 450 mm", "cover: 100 mm", {"runs", "volumes", "trench-triggers"}),
        ("limit: 1 A", "limit: 0.1 A", {"boxes", "solenoids", "spare-length"}),
        ("least_volts: 22 V", "least_volts: 27.9 V", {"boxes", "solenoids", "materials", "reels", "spare-length"}),
        ("output_volts: 24 V", "output_volts: 18 V", {"solenoids"}),
        ("wires: 2 to 5", "wires: 2 to 2", {"splices", "connectors", "materials"}),
    ],
)
def test_each_table_that_an_error_spoils_says_so(old: str, new: str, spoilt: set[str], tmp_path: Path) -> None:
    assert set(banners(tmp_path, change=(old, new))) == spoilt


def test_a_finding_is_a_sentence_and_keeps_the_names_of_the_job() -> None:
    assert sentence("the path may take 0.2 A") == "The path may take 0.2 A."
    assert sentence("run at most 4 at once") == "Run at most 4 at once."
    assert sentence("b1: cover is 100 mm.") == "b1: cover is 100 mm."
