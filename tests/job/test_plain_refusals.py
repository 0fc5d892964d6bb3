"""A file that cannot be read is told in words of our own, at a line that is in the file."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from job.refusal_samples import BASE_JOB
from slackloop.cli import main
from slackloop.sections.section_reader import read_section
from slackloop.site.reader import read_job
from slackloop.source.syntax import words_for

BROKEN = [
    "a: [\n", "a: {b: 1\n\n\n", "a: 'x\n", "a: {\n  b: 1,\n", "%YAML 9.9\n---\na: 1\n", "a: &\n", "a: !<\n",
    'a: "\\q"\n', 'a: "\\u12"\n', 'a: "\\uD800"\n', "a: @x\n", "{a: 1}}\n", "a: >x\n", "a: |0\n  x\n",
    "%FOO bar\n---\na: 1\n", "a: |\n\t x\n  y\n", 'a: "\n---\n', "-\n-a\n- [\n}\n", "%YAML\n---\na\n",
    "%YAML 1.1\n%YAML 1.1\n---\na", "a: !x!y z\n", "!<tag:x y> z", "a: !<%zz> b", "- a\nb: 1\n", "a:\n  - b\n c: 1\n",
    "a: [1,\n\n# the end\n", "key\nother: 1\n", "a: b: c\n", "[a: 1, b", "a: *\n", "? [\n",
]  # fmt: skip
JARGON = ("did not find", "found ", "scanning", "parsing", "token", "Errno", "document start", "mapping", "node")


@pytest.mark.parametrize("text", BROKEN)
def test_a_broken_file_is_told_in_plain_words_inside_the_file(tmp_path: Path, text: str) -> None:
    path = tmp_path / "job.yml"
    path.write_text(text, encoding="utf-8")
    findings = [finding for finding in read_job(path).findings if finding.code == "yaml-syntax"]
    assert findings
    lines = text.splitlines()
    for finding in findings:
        assert not [word for word in JARGON if word in f"{finding.message} {finding.expected} {finding.hint}"]
        assert 1 <= finding.line <= len(lines)
        assert 1 <= finding.column <= len(lines[finding.line - 1]) + 1
        assert finding.excerpt == lines[finding.line - 1]


def test_every_complaint_of_the_parser_has_words_of_its_own() -> None:
    """All of its complaints about the samples, so that none falls to the general sentence."""
    complaints = set()
    for text in BROKEN:
        try:
            list(yaml.parse(text, Loader=yaml.CSafeLoader))
        except yaml.MarkedYAMLError as error:
            complaints.add(str(error.problem))
    general = words_for("no such complaint")
    handled = ("cannot start any token", "tab character")
    assert len(complaints) >= 20
    assert [each for each in complaints if words_for(each) == general and not any(h in each for h in handled)] == []


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ("title: [a]", "title: text is expected"),
        ("title: x\ncolour: red", "colour: there is no such key"),
        ("order: first", "order: a whole number is expected"),
        ("tools: knife", "tools: a list is expected"),
        ("part: garden", "part: one of these is expected: "),
        ("title: [a", "a list in brackets is not closed"),
    ],
)
def test_front_matter_is_refused_in_plain_words(change: str, words: str) -> None:
    front = {"id": "x", "title": "X", "part": "method", "order": "1", "summary": "Short."}
    key = change.partition(":")[0]
    lines = [f"{name}: {value}" for name, value in front.items() if name != key]
    _, findings = read_section("\n".join(["---", *lines, change, "---", "Text.", ""]), "method/x.md")
    messages = [finding.message for finding in findings]
    assert any(message.startswith(words) for message in messages), messages
    assert not [message for message in messages if "Input" in message or "did not find" in message]
    assert all(finding.line <= len(lines) + 4 for finding in findings)


def test_behind_a_slip_that_ends_the_reading_there_may_be_more_errors(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    base = BASE_JOB.read_text(encoding="utf-8").replace("cover: 450 mm", "cover: 450")
    for text, closing in (
        (base, "refused: 1 error"),
        (base.replace("id: B03", "id: B03, name: Tee #3, fork"),
         "refused: 1 error; the rest of job.yml was not looked at, and may hold more"),
    ):  # fmt: skip
        (tmp_path / "job.yml").write_text(text, encoding="utf-8")
        assert main(["check", str(tmp_path / "job.yml")]) == 2
        assert capsys.readouterr().out.splitlines()[-1] == closing


def test_a_name_too_long_for_the_disk_is_told_without_a_number(tmp_path: Path) -> None:
    base = BASE_JOB.read_text(encoding="utf-8")
    (tmp_path / "job.yml").write_text(f"standard: {'a' * 300}.yml\n{base}", encoding="utf-8")
    messages = [finding.message for finding in read_job(tmp_path / "job.yml").findings if finding.level == "error"]
    assert messages == [f"{'a' * 80} cannot be reached: file name too long"]
