"""The README tells of the machine only what the benchmark prints: cores and Python."""

import re
import shlex
from pathlib import Path

import pytest

from samples import REPOSITORY
from slackloop.cli import main
from slackloop.records.result import STATUS_WORDS


def test_the_machine_of_the_times_is_told_without_a_maker() -> None:
    text = (REPOSITORY / "README.md").read_text(encoding="utf-8")
    told = text[text.index("## How fast") :].split("\n| boxes")[0].strip().splitlines()[-1]
    assert re.fullmatch(r"[0-9]+ cores, Python [0-9.]+:", told), told


def test_what_follows_import_uses_the_file_that_it_wrote(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    text = (REPOSITORY / "README.md").read_text(encoding="utf-8")
    block = next(each for each in re.findall(r"```sh\n(.*?)```", text, re.DOTALL) if "slackloop import" in each)
    first, *after = (shlex.split(line, comments=True) for line in block.splitlines())
    assert first[:2] == ["slackloop", "import"]
    assert len(after) > 1
    monkeypatch.chdir(tmp_path)
    assert main(["new", "my-job"]) == 0
    Path(first[2]).write_text("id,x_m,y_m\ncontroller,0,0\nB01,40,3\n", encoding="utf-8")
    assert main(first[1:]) == 0
    written = capsys.readouterr().out.split()[-1]
    for words in after:
        assert words == ["slackloop", words[1], written], words
        assert words[1] in ("check", "build")
    assert Path(written).is_file()


def test_a_record_stands_in_the_readme_as_it_does_in_the_pages() -> None:
    text = " ".join((REPOSITORY / "README.md").read_text(encoding="utf-8").split())
    for status, words in STATUS_WORDS.items():
        assert f"*{words}*" in text
        if status != words:
            assert f"*{words}* is `{status}`" in text, "the word of the JSON is told once, beside that of the pages"
            assert text.count(status) == 1
