"""``locate`` finds the place of a short again, the reading having been worked out by networkx, not by our own code.

The path is laid out as a graph with the shorted run cut in two at the short; ``resistance_distance`` of networkx gives
what a meter at the controller reads.
"""

import json
import re
from pathlib import Path

import networkx
import pytest

from samples import chain, job_text, random_boxes
from slackloop.cli import main

CASES = {
    "tree": job_text(random_boxes(25, seed=11)),
    "ring": job_text(chain(12), ["{from: B12, to: B2, run: 75 m}"], ring="true"),
}
AWG_14_LOOP_OHMS_20C = 2 / (58 * 3.141592653589793 / 4 * (0.127 * 92 ** (22 / 39)) ** 2)


def reading(record: dict, run_id: str, metres: float, celsius: float) -> float:
    """Ohms at the controller with the pair shorted ``metres`` along a run."""
    per_metre = AWG_14_LOOP_OHMS_20C * (1 + 0.00393 * (celsius - 20))
    graph = networkx.Graph()
    for name, run in record["runs"].items():
        if name == run_id:
            graph.add_edge(run["from"], "short", ohms=metres * per_metre)
            graph.add_edge("short", run["to"], ohms=(run["length_m"] - metres) * per_metre)
        else:
            graph.add_edge(run["from"], run["to"], ohms=run["length_m"] * per_metre)
    return networkx.resistance_distance(graph, "controller", "short", weight="ohms", invert_weight=True)


@pytest.mark.parametrize("name", CASES)
def test_every_short_is_found_again(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "job.yml"
    path.write_text(CASES[name], encoding="utf-8")
    main(["check", "--json", str(path)])
    record = json.loads(capsys.readouterr().out)
    for run_id, run in list(record["runs"].items())[::3]:
        metres = run["length_m"] * 0.3
        ohms = reading(record, run_id, metres, 12.0)
        assert main(["locate", str(path), "--loop-ohms", f"{ohms:.9f}", "--temperature", "12 degC"]) == 0
        told = capsys.readouterr().out
        line = rf"^run {re.escape(run_id)}: ([\d.]+) m .* from {re.escape(run['from'])} "
        places = re.findall(line, told, re.MULTILINE)
        assert any(float(place) == pytest.approx(metres, abs=0.051) for place in places), (run_id, metres, told)


def test_a_reading_beyond_the_path_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "job.yml"
    path.write_text(CASES["tree"], encoding="utf-8")
    assert main(["locate", str(path), "--loop-ohms", "9999"]) == 1
    assert "No place on this path" in capsys.readouterr().out


@pytest.mark.parametrize(("text", "shown"), [("12", "12 °C (54 °F)"), ("54 degF", "12 °C (54 °F)")])
def test_the_temperature_is_said_back(
    text: str, shown: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "job.yml"
    path.write_text(CASES["tree"], encoding="utf-8")
    assert main(["locate", str(path), "--loop-ohms", "1", "--temperature", text]) == 0
    assert shown in capsys.readouterr().out


@pytest.mark.parametrize("words", [["--loop-ohms", "nan"], ["--loop-ohms", "1", "--temperature", "12 m"]])
def test_a_wrong_reading_is_refused_in_one_line(
    words: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "job.yml"
    path.write_text(CASES["tree"], encoding="utf-8")
    assert main(["locate", str(path), *words]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.count("\n") == 1
