"""The rules that content is held to: each fires on its own fault and on nothing else."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from handbook.section_samples import SECTION, WORDS, write_content
from slackloop.document.drawings.work import WORK_DRAWINGS
from slackloop.document.inserts import FIGURES
from slackloop.document.tables.registry import BY_ID, HOMES
from slackloop.reference.table_file import data_folder
from slackloop.reference.tables import load_tables
from slackloop.sections.checker import Known, check_content, content_errors
from slackloop.sections.content import Content, ContentError, load_content, read_content

KNOWN = Known({**BY_ID, **HOMES}, {**FIGURES, **WORK_DRAWINGS}, {"cover"})
CHECK_2 = SECTION[SECTION.index("  - id: C-OPEN-2") : SECTION.index("---\nRead")]


def codes(folder: Path) -> list[str]:
    """Codes of everything wrong with the content in a folder."""
    return [finding.code for finding in check_content(read_content(folder), KNOWN)]


def test_the_sample_section_is_good(tmp_path: Path) -> None:
    assert codes(write_content(tmp_path)) == []


def test_a_build_stops_for_every_error_and_for_no_wording(tmp_path: Path) -> None:
    wordy = "Read the sheet before you begin, and " + "then read it once more, and " * 12 + "begin."
    text = SECTION.replace("- carries: R-OPEN-2\n", "").replace("---\nRead", f"---\n{wordy} Read")
    content = read_content(write_content(tmp_path, text))
    found = check_content(content, KNOWN)
    assert {(each.code, each.level) for each in found} >= {
        ("requirement-without-step", "error"), ("sentence-too-long", "warning")
    }  # fmt: skip
    assert content_errors(content, KNOWN) == tuple(each for each in found if each.level == "error")


def test_a_hazard_without_a_score_is_told(tmp_path: Path) -> None:
    words = WORDS | {"hazards": WORDS["hazards"].replace(", before: C", "")}
    (finding,) = check_content(read_content(write_content(tmp_path, words=words)), KNOWN)
    assert (finding.code, finding.level, finding.file) == ("hazard-unscored", "warning", "words/hazards.yml")


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("- carries: R-OPEN-2\n", "", ["requirement-without-step"]),
        ("proves: [R-OPEN-2]", "proves: [R-OPEN-1]", ["requirement-without-check"]),
        ("proves: [R-OPEN-2]", "proves: [R-OPEN-2, R-LOST-1]", ["check-without-requirement"]),
        ("- check: C-OPEN-2\n", "", ["check-without-step"]),
        ("    clause: rules.strip\n", "", ["requirement-without-clause"]),
        ("clause: rules.strip", "clause: rules.stripe", ["clause-unknown"]),
        ("source: job\n    clause: rules.strip", "source: code\n    clause: lost", ["clause-unknown"]),
        ("    measures: strip_m\n", "", ["check-measures"]),
        ("- check: C-OPEN-2", "- check: C-OPEN-2, C-LOST-1", ["step-check-unknown"]),
        ("- carries: R-OPEN-2", "- carries: R-OPEN-2, R-LOST-1", ["step-carries-unknown"]),
        ("- tools: jacket-scorer", "- tools: saw", ["step-tool-unlisted"]),
        ("tools: [jacket-scorer]", "tools: [jacket-scorer, saw]", ["tool-unknown"]),
        ("protective: [gloves]", "protective: [gloves, hat]", ["protective-unknown"]),
        ("hazards: [sharp-blade]", "hazards: [sharp-blade, bear]", ["hazard-unknown"]),
        ("deferrals: [cable-maker-decides]", "deferrals: [cable-maker-decides, king]", ["deferral-unknown"]),
        ("- caution: sharp-blade", "- caution: bear", ["caution-unknown"]),
        ("[[table: runs]]", "[[caution: bear]]", ["caution-unknown"]),
        ("[[table: runs]]", "[[deferral: king]]", ["deferral-unknown"]),
        ("[[table: runs]]", "[[table: lost]]", ["table-unknown"]),
        ("path-diagram]]", "lost]]", ["figure-unknown"]),
        ("- carries: R-OPEN-2", "- carries: R-OPEN-2\n- applies: full-moon", ["condition-unknown"]),
        ("### clean-it", "### score-it", ["id-twice"]),
        ("id: opening\n", "id: closing\n", ["id-not-file-name"]),
        ("{{ v.jacket }}", "{{ v.jackets }}", ["value-unknown"]),
        ("{{ v.jacket }}", "{{ v.jacket.upper() }}", ["template-not-allowed"]),
        ("{{ v.jacket }}", "{% if v.jacket %}x{% endif %}", ["template-not-allowed"]),
        ("{{ v.jacket }}", "{{ v.jacket", ["template-syntax"]),
        ("Wipe the end.", "Wipe the end, then dry it.", ["step-two-actions"]),
        ("Wipe the end.", "Wipe " + "the end " * 13 + ".", ["sentence-too-long"]),
    ],
)
def test_each_rule_fires_on_its_own_fault(tmp_path: Path, old: str, new: str, expected: list[str]) -> None:
    text = SECTION.replace(old, new, 1)
    assert text != SECTION
    assert sorted(set(codes(write_content(tmp_path, text)))) == expected


def test_a_check_taken_out_leaves_its_requirement_bare(tmp_path: Path) -> None:
    folder = write_content(tmp_path, SECTION.replace(CHECK_2, ""))
    assert set(codes(folder)) == {"requirement-without-check", "step-check-unknown"}


def test_one_id_in_two_sections_is_found(tmp_path: Path) -> None:
    folder = write_content(tmp_path)
    other = SECTION.replace("id: opening", "id: second")
    (folder / "method" / "second.md").write_text(other, encoding="utf-8")
    assert set(codes(folder)) == {"id-twice"}


def test_a_fault_in_a_word_file_has_its_line(tmp_path: Path) -> None:
    words = WORDS | {"tools": "# first\njacket-scorer: {name: Scorer, use: Scores., colour: red}\n"}
    with pytest.raises(ContentError) as error:
        load_content(write_content(tmp_path, words=words))
    assert [(f.file, f.line, f.code) for f in error.value.findings] == [("words/tools.yml", 2, "key-unknown")]


def standing() -> Content:
    """The content that comes with the program."""
    return load_content(data_folder("content"))


def known() -> Known:
    """What the program makes."""
    bases = load_tables().code_bases.values()
    clauses = {clause.id for basis in bases for clause in basis.clauses}
    return Known({**BY_ID, **HOMES}, {**FIGURES, **WORK_DRAWINGS}, clauses)


def test_the_standing_content_keeps_every_rule() -> None:
    errors = [str(f) for f in check_content(standing(), known()) if f.level == "error"]
    assert errors == []


def test_taking_out_any_one_check_of_the_standing_content_is_an_error() -> None:
    content, made = standing(), known()
    for section in content.sections:
        for check in section.front.checks:
            rest = tuple(each for each in section.front.checks if each is not check)
            front = section.front.model_copy(update={"checks": rest})
            found = check_content(Content((replace(section, front=front),), content.words), made)
            assert any(f.level == "error" and check.id in f.message for f in found), check.id


def test_a_firms_own_folder_is_searched_first(tmp_path: Path) -> None:
    ours = write_content(tmp_path / "ours")
    firm = tmp_path / "firm"
    (firm / "method").mkdir(parents=True)
    (firm / "method" / "opening.md").write_text(SECTION.replace("Opening the jacket", "Our way"), encoding="utf-8")
    added = SECTION.replace("id: opening", "id: added").replace("OPEN", "ADD")
    (firm / "method" / "added.md").write_text(added, encoding="utf-8")
    (firm / "words").mkdir()
    (firm / "words" / "tools.yml").write_text("jacket-scorer: {name: Our scorer}\nsaw: {name: Saw}\n", encoding="utf-8")
    content = load_content(ours, firm)
    marks = {each.front.id: (each.front.title, each.ours, each.overrides) for each in content.sections}
    assert marks == {"opening": ("Our way", False, True), "added": ("Opening the jacket", False, False)}
    names = {name: tool.name for name, tool in content.words.tools.items()}
    assert names == {"jacket-scorer": "Our scorer", "saw": "Saw"}
