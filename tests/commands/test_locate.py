"""``locate`` finds the place of a short again; the reading comes from ``witness.nodal``, not from our own code."""

import re
from pathlib import Path

import pytest

from samples import chain, job_text, random_boxes
from slackloop.cli import main
from witness.nodal import Shorts, job_from, sections

CASES = {
    "tree": job_text(random_boxes(25, seed=11)),
    "ring": job_text(chain(12), ["{from: B12, to: B2, run: 75 m}"], ring="true"),
}


@pytest.mark.parametrize("name", CASES)
def test_every_short_is_found_again(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "job.yml"
    path.write_text(CASES[name], encoding="utf-8")
    job = job_from(CASES[name])
    for run in sections(job)[::3]:
        metres = run.run_m * 0.3
        ohms = Shorts(job, 12.0).reading(run.id, run.slack_one_m + metres)
        assert main(["locate", str(path), "--loop-ohms", f"{ohms:.9f}", "--temperature", "12 degC"]) == 0
        told = capsys.readouterr().out
        line = rf"^run {re.escape(run.id)}: likely ([\d.]+) m .* from {re.escape(run.one)} "
        places = re.findall(line, told, re.MULTILINE)
        assert any(float(place) == pytest.approx(metres, abs=0.051) for place in places), (run.id, metres, told)


def test_a_reading_beyond_the_path_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "job.yml"
    path.write_text(CASES["tree"], encoding="utf-8")
    assert main(["locate", str(path), "--loop-ohms", "9999"]) == 1
    assert "No place on this path" in capsys.readouterr().out


@pytest.mark.parametrize(("text", "shown"), [("12 degC", "12 °C (54 °F)"), ("54 degF", "12 °C (54 °F)")])
def test_the_temperature_is_said_back(
    text: str, shown: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "job.yml"
    path.write_text(CASES["tree"], encoding="utf-8")
    assert main(["locate", str(path), "--loop-ohms", "1", "--temperature", text]) == 0
    assert shown in capsys.readouterr().out


@pytest.mark.parametrize(
    "words",
    [["--loop-ohms", "nan"], ["--loop-ohms", "1,234"], ["--loop-ohms", "six"], ["--loop-ohms=-1"],
     ["--loop-ohms", "1e999"], ["--loop-ohms", "6,1,2"], ["--loop-ohms", ""],
     ["--loop-ohms", "1", "--temperature", "12 m"]],
)  # fmt: skip
def test_a_wrong_reading_is_refused_in_one_line(
    words: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "job.yml"
    path.write_text(CASES["tree"], encoding="utf-8")
    assert main(["locate", str(path), *words]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.count("\n") == 1
    assert "is expected" in told.err or "needed" in told.err


def test_a_temperature_without_a_unit_is_refused_with_what_to_write(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """60 in a US job is 60 degF, and as degC it would move every place."""
    path = tmp_path / "job.yml"
    path.write_text(job_text(chain(3), units="us"), encoding="utf-8")
    assert main(["locate", str(path), "--loop-ohms", "1", "--temperature", "60"]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "60 has no unit" in told.err
    assert 'write "60 degF" or "60 degC"' in told.err


def test_a_decimal_comma_is_read_as_a_point(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "job.yml"
    path.write_text(CASES["tree"], encoding="utf-8")
    said = []
    for ohms, soil in (("1.5", "12.5 degC"), ("1,5", "12,5 degC"), (" 1,50 ", "12,5degC")):
        assert main(["locate", str(path), "--loop-ohms", ohms, "--temperature", soil]) == 0
        said.append(capsys.readouterr().out)
    assert "reads 1.5 Ω" in said[0]
    assert said[0] == said[1] == said[2]


def test_the_help_says_what_each_exit_status_means(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["locate", "--help"])
    told = " ".join(capsys.readouterr().out.split())
    assert "Exit status: 0 places found, 1 no place on the path would read so, 2" in told
