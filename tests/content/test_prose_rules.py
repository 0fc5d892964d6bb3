"""Rules on what content says: figures have sources, links lead somewhere, nothing of one job is typed for all."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from handbook.section_samples import SECTION, WORDS, write_content
from samples import DEMO, REPOSITORY, chain, job_text
from slackloop.cli import main
from slackloop.document.context import Context
from slackloop.document.drawings.work import WORK_DRAWINGS
from slackloop.document.inserts import FIGURES
from slackloop.document.tables.registry import BY_ID, HOMES, known
from slackloop.document.worked import Refused, work, work_with_content
from slackloop.reference.table_file import data_folder
from slackloop.reference.tables import load_tables
from slackloop.sections.checker import Known, check_content
from slackloop.sections.content import Content, load_content, read_content
from slackloop.sections.hardcoded_numbers import figures_in, typed_values

CLAUSES = {clause.id for basis in load_tables().code_bases.values() for clause in basis.clauses}
KNOWN = Known({**BY_ID, **HOMES}, {**FIGURES, **WORK_DRAWINGS}, CLAUSES)
JOBS = sorted((REPOSITORY / "site_data" / "jobs").glob("*.yml"))


@cache
def standing() -> Content:
    """The content that comes with the program."""
    return load_content(data_folder("content"))


def codes(folder: Path) -> list[str]:
    """Codes of everything wrong with the content in a folder."""
    return [finding.code for finding in check_content(read_content(folder), KNOWN)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Keep 0.5 m away.", ("0.5 m",)),
        ("Keep 0.5m (20 in) away.", ("0.5 m", "20 in")),
        ("Pull it 3/4 in back, then 1 1/2 in.", ("3/4 in", "1 1/2 in")),
        ("Wait thirty minutes, at 20 °C or 500 V.", ("thirty minutes", "20 °C", "500 V")),
        ("A 2.5 mm2 core and 10 % more.", ("2.5 mm2", "10 %")),
        ("Strip {{ v.strip }} and {{ v.cover }} m.", ()),
        ("See NEC 300.5(J), 29 CFR 1926.651 and step 4 in the list.", ()),
        ("Two people in three places. B12 in, B13 out. Table 9 for 2 boxes.", ()),
        ("R-BOX-1 m", ()),
        ("Keep 20 in of slack, 6 in deep, and 12 in.", ("20 in", "6 in", "12 in")),
    ],
)
def test_a_figure_is_a_number_with_a_unit(text: str, expected: tuple[str, ...]) -> None:
    assert figures_in(text) == expected


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("Wipe the end.", "Wipe 50 mm of the end."),
        ("A ring snaps.", "A ring of 50 mm snaps."),
        ("The end is clean.", "The end is clean over 50 mm."),
        ("limit: No nick", "limit: No nick over 50 mm"),
        ("Read this first.", "Read this for five minutes first."),
    ],
)
def test_a_typed_figure_needs_a_source(tmp_path: Path, old: str, new: str) -> None:
    text = SECTION.replace(old, new, 1)
    assert text != SECTION
    assert codes(write_content(tmp_path / "a", text)) == ["figure-without-source"]
    figure = figures_in(new)[0]
    source = f"x:\n  figures: ['{figure}']\n  source: ISO 1\n  checked: read in a copy\n  sections: [opening]\n"
    assert codes(write_content(tmp_path / "b", text, words=WORDS | {"figures": source})) == []
    elsewhere = source.replace("[opening]", "[closing]")
    found = codes(write_content(tmp_path / "c", text, words=WORDS | {"figures": elsewhere}))
    assert sorted(found) == ["figure-not-there", "figure-without-source"]


@pytest.mark.parametrize(
    ("link", "expected"),
    [
        ("[here](opening.md)", []),
        ("[here](opening.md#clean-it)", []),
        ("[here](#c-open-2)", []),
        ("[here](../tables/runs.md)", []),
        ("[here](../index.md)", []),
        ("[here](closing.md)", ["link-dead"]),
        ("[here](../safety/opening.md)", ["link-dead"]),
        ("[here](opening.md#dry-it)", ["link-dead"]),
        ("[here](../tables/lost.md)", ["link-dead"]),
        ("[here](https://example.org/)", ["link-outside"]),
        ("[here](/opening.md)", ["link-outside"]),
        ("[here](mailto:a@example.org)", ["link-outside"]),
    ],
)
def test_a_link_leads_to_a_page(tmp_path: Path, link: str, expected: list[str]) -> None:
    assert codes(write_content(tmp_path, SECTION.replace("A ring snaps.", f"A ring snaps, see {link}.", 1))) == expected


def test_a_link_stands_only_where_its_page_does(tmp_path: Path) -> None:
    folder = write_content(tmp_path, SECTION.replace("A ring snaps.", "See [there](frosty.md).", 1))
    other = SECTION.replace("id: opening", "id: frosty\napplies: frost", 1).replace("OPEN", "FROSTY")
    (folder / "method" / "frosty.md").write_text(other, encoding="utf-8")
    assert codes(folder) == ["link-not-always"]
    guarded = SECTION.replace("A ring snaps.", "See [there](frosty.md).", 1).replace(
        "- carries: R-OPEN-1", "- carries: R-OPEN-1\n- applies: frost", 1
    )
    (folder / "method" / "opening.md").write_text(guarded, encoding="utf-8")
    assert codes(folder) == []


def test_a_requirement_is_checked_on_every_job_that_has_it(tmp_path: Path) -> None:
    where = "    where: each-box\n  - id: C-OPEN-2"
    text = SECTION.replace(where, where.replace("each-box\n", "each-box\n    applies: frost\n"), 1)
    assert codes(write_content(tmp_path / "a", text)) == ["requirement-not-always-checked"]
    guarded = text.replace("    clause: rules.strip\n", "    clause: rules.strip\n    applies: frost\n", 1)
    assert codes(write_content(tmp_path / "b", guarded)) == []


def test_the_standing_content_has_no_fault_and_no_source_too_many() -> None:
    assert [str(found) for found in check_content(standing(), known(load_tables()))] == []


@pytest.mark.parametrize("job", JOBS, ids=[path.stem for path in JOBS])
def test_the_standing_content_types_nothing_of_a_job(job: Path) -> None:
    worked = work(job)
    context = Context(worked.job, worked.analysis, worked.tables, standing(), worked.reading)
    assert [str(f) for f in typed_values(worked.job, context.values, standing().words, standing().sections)] == []


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("Lay it 450 mm deep.", "cover"),
        ("Take the Turquoise cores.", "core_a"),
        ("Ask at Heron Fold Arboretum.", "site"),
    ],
)
def test_a_value_of_the_job_that_is_typed_is_found(tmp_path: Path, typed: str, value: str) -> None:
    worked = work(DEMO)
    folder = write_content(tmp_path, SECTION.replace("Wipe the end.", typed, 1))
    sections = tuple(replace(each, ours=False) for each in read_content(folder).sections)
    context = Context(worked.job, worked.analysis, worked.tables, standing(), worked.reading)
    found = list(typed_values(worked.job, context.values, standing().words, sections))
    assert [(f.code, f.level) for f in found] == [("value-typed", "warning")]
    assert f"v.{value} " in found[0].message


def firm(folder: Path, section: str) -> Path:
    """A job with a section of the firm's own beside it."""
    (folder / "content" / "method").mkdir(parents=True)
    (folder / "content" / "method" / "opening.md").write_text(section, encoding="utf-8")
    path = folder / "job.yml"
    path.write_text(job_text(chain(1)), encoding="utf-8")
    return path


def test_a_firms_own_content_is_held_to_the_rules(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = firm(tmp_path / "good", SECTION)
    assert [f for f in work_with_content(path).findings if f.file.endswith(".md")] == []
    bad = firm(tmp_path / "bad", SECTION.replace("Wipe the end.", "Wipe 50 mm of the end."))
    with pytest.raises(Refused) as refused:
        work_with_content(bad)
    finding = refused.value.findings[0]
    assert finding.code == "figure-without-source"
    assert finding.file == (tmp_path / "bad" / "content" / "method" / "opening.md").as_posix()
    assert finding.excerpt == "Wipe 50 mm of the end."
    assert main(["check", str(bad)]) == 2
    assert "opening.md" in capsys.readouterr().out


def test_a_value_typed_in_a_firms_section_is_told_with_the_job(tmp_path: Path) -> None:
    path = firm(tmp_path, SECTION.replace("Wipe the end.", "Wipe the orange core."))
    found = [f for f in work_with_content(path).findings if f.code == "value-typed"]
    assert [(f.level, f.excerpt) for f in found] == [("warning", "Wipe the orange core.")]


def test_one_id_in_two_sections_of_a_firm_is_told(tmp_path: Path) -> None:
    path = firm(tmp_path, SECTION)
    replaced = SECTION.replace("id: opening\n", "id: wet-reel-end\n", 1).replace("part: method", "part: trouble")
    (tmp_path / "content" / "trouble").mkdir()
    (tmp_path / "content" / "trouble" / "wet-reel-end.md").write_text(replaced, encoding="utf-8")
    with pytest.raises(Refused) as refused:
        work_with_content(path)
    assert {f.code for f in refused.value.findings if f.level == "error"} == {"id-twice"}
