"""The step format: what is read, and that every fault is named with its line, all at once."""

from __future__ import annotations

import pytest

from handbook.section_samples import SECTION
from slackloop.sections.section import Insert, Prose
from slackloop.sections.section_reader import read_section


def line_of(text: str, words: str) -> int:
    """The line that holds ``words``, counted from 1."""
    return next(n for n, line in enumerate(text.split("\n"), start=1) if words in line)


def test_a_section_is_read_with_its_lines() -> None:
    section, findings = read_section(SECTION, "method/opening.md")
    assert findings == ()
    assert section is not None
    assert [group.title for group in section.groups] == ["", "Score"]
    assert section.line_of("C-OPEN-2") == line_of(SECTION, "id: C-OPEN-2")
    score, clean = section.steps
    assert score.line == line_of(SECTION, "### score-it")
    assert score.action == Prose("Score the {{ v.jacket }} jacket.", score.line + 1)
    assert score.reject is not None
    assert score.reject.text == "A core shows. Start again from new cable."
    assert (score.carries, score.check, score.tools, score.caution) == (
        ("R-OPEN-1",),
        ("C-OPEN-1",),
        ("jacket-scorer",),
        ("sharp-blade",),
    )
    assert clean.why is None
    assert [insert.name for insert in section.inserts] == ["runs", "path-diagram"]
    last = section.groups[1].blocks[-1]
    assert isinstance(last, Prose)
    assert last.text == "After the table."
    assert isinstance(section.groups[1].blocks[-2], Insert)


@pytest.mark.parametrize(
    ("old", "new", "code", "at"),
    [
        ("order: 10", "order: ten", "value-refused", "order: ten"),
        ("order: 10", "order: 10\ncolour: red", "key-unknown", "colour: red"),
        ("summary: The jacket comes off.\n", "", "key-missing", "---"),
        ("order: 10", "order: 10\norder: 11", "key-duplicate", "order: 11"),
        ("order: 10", "order: [10", "yaml-syntax", "title:"),
        ("    where: each-box\n  - id: C-OPEN-2", "    where: moon\n  - id: C-OPEN-2", "value-refused", "where: moon"),
        ("- why: A ring", "- because: A ring", "step-key-unknown", "- because: A ring"),
        ("- tools: jacket-scorer", "- why: Twice.", "step-key-twice", "- why: Twice."),
        ("- tools: jacket-scorer", "- tools:", "step-key-empty", "- tools:"),
        ("Wipe the end.\n", "", "step-empty", "### clean-it"),
        ("### clean-it", "### Clean it", "step-id", "### Clean it"),
        ("[[table: runs]]", "[[tabel: runs]]", "insert-broken", "[[tabel"),
        ("Read this first.", "# Read this first", "heading-level", "# Read this first"),
    ],
)
def test_each_fault_is_named_where_it_stands(old: str, new: str, code: str, at: str) -> None:
    text = SECTION.replace(old, new, 1)
    assert text != SECTION
    _, findings = read_section(text, "method/opening.md")
    assert [finding.code for finding in findings] == [code]
    if code != "yaml-syntax":
        assert findings[0].line == line_of(text, at)


def test_all_faults_come_at_once() -> None:
    text = SECTION.replace("order: 10", "order: ten").replace("- why:", "- because:")
    _, findings = read_section(text, "x.md")
    assert {finding.code for finding in findings} == {"value-refused", "step-key-unknown"}


def test_a_file_without_front_matter_is_refused() -> None:
    section, findings = read_section("Only text.", "x.md")
    assert section is None
    assert findings[0].code == "front-matter-missing"
