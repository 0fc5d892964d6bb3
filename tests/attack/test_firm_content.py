"""A firm's own content, however broken, gives findings at its file and line, never a traceback and never a hang."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from attack.runs import BASE, REPOSITORY, answer, slackloop
from book_samples import build_handbook, html_of, page_of
from paper.printed_pages import printed
from samples import DEMO
from slackloop.control.fingerprint import content_digest
from slackloop.document.book import make_book
from slackloop.document.markdown import markdown_blocks
from slackloop.document.tables.registry import known
from slackloop.document.walk import words
from slackloop.document.worked import Refused, work, work_with_content
from slackloop.pipeline.handbook_folder import context_of
from slackloop.sections.checker import check_content
from slackloop.sections.content import read_content
from slackloop.source.finding import Placed
from work_count import lines_run

OURS = REPOSITORY / "content"
NAME = "trouble/wet-reel-end.md"
GOOD = (OURS / NAME).read_text(encoding="utf-8")
BOMB = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{new}: &{new} [" + ", ".join([f"*{old}"] * 9) + "]\n" for old, new in zip("abcdefghi", "bcdefghij", strict=True)
)


def _before_title(text: str) -> str:
    return GOOD.replace("title: ", f"{text}title: ", 1)


BROKEN = {
    "an alias bomb": (_before_title(BOMB), "yaml-alias", 4),
    "a list that holds itself": (_before_title("x: &a [*a]\n"), "yaml-alias", 3),
    "deep nesting": (_before_title("x: " + "[" * 3_000 + "]" * 3_000 + "\n"), "yaml-syntax", 3),
    "a control character in front matter": (GOOD.replace("title: ", "title: a\x07", 1), "file-control-character", 3),
    "a NUL in the body": (GOOD + "\x00\n", "file-control-character", GOOD.count("\n") + 1),
    "an unknown tag": (_before_title("x: !!python/object/apply:os.system [id]\n"), "yaml-syntax", 3),
}


@pytest.mark.parametrize(("text", "code", "line"), BROKEN.values(), ids=BROKEN)
def test_a_broken_section_is_told_at_its_line(tmp_path: Path, text: str, code: str, line: int) -> None:
    (tmp_path / "trouble").mkdir()
    (tmp_path / NAME).write_text(text, encoding="utf-8")
    findings: list[Placed] = []
    lines_run(lambda: findings.extend(read_content(OURS, tmp_path).findings), most=20_000_000)
    assert [(each.file, each.line, each.code) for each in findings if each.level == "error"] == [(NAME, line, code)]


def test_broken_words_are_told_at_their_line(tmp_path: Path) -> None:
    (tmp_path / "words").mkdir()
    (tmp_path / "words" / "tools.yml").write_text(BOMB, encoding="utf-8")
    errors = [(each.file, each.line, each.code) for each in read_content(OURS, tmp_path).findings]
    assert errors == [("words/tools.yml", 2, "yaml-alias")]
    (tmp_path / "words" / "tools.yml").write_text("- a\n", encoding="utf-8")
    errors = [(each.file, each.line, each.code) for each in read_content(OURS, tmp_path).findings]
    assert errors == [("words/tools.yml", 1, "value-refused")]


def test_a_section_that_cannot_be_read_is_never_passed_over(tmp_path: Path) -> None:
    """A firm that overrides a section must not get ours because its own file is a broken link."""
    (tmp_path / "trouble").mkdir()
    (tmp_path / NAME).symlink_to("nowhere.md")
    (tmp_path / "trouble" / "folder.md").mkdir()
    found = {(each.file, each.code) for each in read_content(OURS, tmp_path).findings}
    assert found == {(NAME, "file-unreadable"), ("trouble/folder.md", "file-unreadable")}


def test_a_file_name_that_is_not_text_is_a_finding(tmp_path: Path) -> None:
    (tmp_path / "trouble").mkdir()
    (tmp_path / "trouble" / os.fsdecode(b"w\xe9t.md")).write_text(GOOD, encoding="utf-8")
    assert len(content_digest([tmp_path])) == 64
    assert [each.code for each in read_content(OURS, tmp_path).findings] == ["id-not-file-name"]


@pytest.mark.parametrize(
    "template",
    ["{{ v.nonesuch }}", "{{ v. }}", "{{ v.__class__ }}", "{{ 9**9**9 }}", "{% include '/etc/passwd' %}", "{{ 1/0 }}"],
)
def test_a_broken_template_is_told_and_nothing_is_written(tmp_path: Path, template: str) -> None:
    (tmp_path / "content" / "trouble").mkdir(parents=True)
    (tmp_path / "content" / NAME).write_text(GOOD + f"\n{template}\n", encoding="utf-8")
    (tmp_path / "job.yml").write_text(BASE, encoding="utf-8")
    with pytest.raises(Refused) as refused:
        build_handbook(tmp_path / "job.yml", tmp_path / "book")
    errors = {(each.file.endswith(NAME), each.line) for each in refused.value.findings if each.level == "error"}
    assert errors == {(True, GOOD.count("\n") + 2)}
    assert sorted(path.name for path in tmp_path.iterdir()) == ["content", "job.yml"]


def test_the_command_tells_a_broken_template_and_writes_nothing(tmp_path: Path) -> None:
    (tmp_path / "content" / "trouble").mkdir(parents=True)
    (tmp_path / "content" / NAME).write_text(GOOD + "\n{{ 9**9**9 }}\n", encoding="utf-8")
    (tmp_path / "job.yml").write_text(BASE, encoding="utf-8")
    outcome = slackloop("build", "job.yml", "-o", "book", cwd=tmp_path)
    assert outcome.returncode == 2
    assert f"{NAME}:{GOOD.count(chr(10)) + 2}:" in outcome.stderr.decode("utf-8")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["content", "job.yml"]


LIST = "\n".join("  " * depth + f"- item {depth}" for depth in range(12))


@pytest.mark.parametrize(("text", "line"), [("> " * 2_000 + "x", 0), ("> " * 20 + "x", 0), (LIST, 9)])
def test_nesting_past_what_is_read_is_told_at_its_line(tmp_path: Path, text: str, line: int) -> None:
    """CommonMark parsers pass over what stands too deep: the crew would never see it."""
    (tmp_path / "trouble").mkdir()
    (tmp_path / NAME).write_text(f"{GOOD}\n{text}\n", encoding="utf-8")
    found = check_content(read_content(OURS, tmp_path), known(work(DEMO).tables))
    told = [each.line for each in found if (each.file, each.code) == (NAME, "content-too-deep")]
    assert told == [GOOD.count("\n") + 2 + line]


@pytest.mark.parametrize("text", ["> " * 19 + "deepest", LIST.partition("- item 8")[0] + "- deepest"])
def test_what_is_nested_less_is_shown(text: str) -> None:
    assert "deepest" in words(markdown_blocks(text, "trouble/wet-reel-end"))


def test_deep_tags_of_sections_that_may_have_them_are_shown_and_printed(tmp_path: Path) -> None:
    (tmp_path / "content" / "trouble").mkdir(parents=True)
    for name, text in ((NAME, "x " + "<b>" * 2_000), ("trouble/nicked-core.md", '<div markdown="1">\n' * 600)):
        good = (OURS / name).read_text(encoding="utf-8")
        allowed = good.replace("\ntitle: ", "\nraw_html: true\ntitle: ", 1)
        assert allowed != good
        (tmp_path / "content" / name).write_text(f"{allowed}\n{text}\n", encoding="utf-8")
    (tmp_path / "job.yml").write_text(BASE, encoding="utf-8")
    book = make_book(context_of(work_with_content(tmp_path / "job.yml")))
    handbook = printed(book, "a4", tmp_path)
    for name in ("wet-reel-end", "nicked-core"):
        assert len(html_of(book, f"trouble/{name}")) > 1_000
        assert page_of(book, f"trouble/{name}").title in handbook.outline()


def test_templates_in_every_text_of_the_words_are_checked_at_their_line(tmp_path: Path) -> None:
    (tmp_path / "content" / "words").mkdir(parents=True)
    words = tmp_path / "content" / "words" / "tools.yml"
    words.write_text('# ours\ntape-measure: {name: "Tape {{ 7*7 }}", use: "To measure"}\n', encoding="utf-8")
    (tmp_path / "job.yml").write_text(BASE, encoding="utf-8")
    outcome = answer("check", "job.yml", cwd=tmp_path)
    assert outcome.status == 2
    assert "words/tools.yml:2:" in outcome.told
    assert "template-not-allowed" in outcome.told
