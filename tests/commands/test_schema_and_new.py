"""The schema that editors use takes every good job and sees plain mistakes; ``new`` writes a job that passes.

The schema is read by the package jsonschema, an implementation of JSON Schema 2020-12 that is not ours.
"""

import copy
import itertools
import json
import os
import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from samples import DEMO, REPOSITORY, chain, job_text
from slackloop.cli import main
from slackloop.site.reader import read_job

GOOD_JOBS = [DEMO, REPOSITORY / "site_data/jobs/kiln-court.yml"]
START = REPOSITORY / "site_data/start/job.yml"
FILLED = {
    ("job", "number"): "N-1", ("job", "title"): "Path", ("job", "site"): "Yard", ("job", "contractor"): "A firm",
    ("job", "units"): "metric", ("job", "code_basis"): "general", ("document", "date"): "2026-05-04",
    ("document", "prepared"): "Site engineer", ("conditions", "soil"): "clay",
    ("conditions", "soil_temperature"): "3 degC to 21 degC", ("supply", "volts"): "30 V", ("supply", "current"): "dc",
    ("supply", "limit"): "1 A", ("supply", "stations_at_once"): "2", ("path", "conductor"): "2.5 mm2",
    ("path", "build"): "solid", ("cores", "a"): "pink", ("cores", "b"): "tan", ("path", "jacket"): "polyethylene",
    ("path", "jacket_od"): "9 mm", ("path", "reel"): "300 m", ("one", "title"): "Decoder", ("one", "standby"): "1 mA",
    ("one", "per_output"): "70 mA", ("one", "load"): "current", ("one", "least_volts"): "20 V",
    ("leads", "conductor"): "1 mm2", ("leads", "build"): "stranded", ("one", "output_volts"): "24 V",
    ("valve", "inrush"): "0.3 A", ("valve", "holding"): "60 mA", ("valve", "least_volts"): "18 V",
    ("sealed", "title"): "Cap", ("sealed", "listing"): "as on the pack", ("sealed", "sizes"): "0.75 mm2 to 4 mm2",
    ("sealed", "wires"): "2 to 5", ("sealed", "area"): "1.5 mm2 to 16 mm2", ("sealed", "strip"): "14 mm",
    ("sealed", "pack"): "20", ("slack", "length"): "1.1 m", ("slack", "per"): "tail", ("rules", "strip"): "14 mm",
    ("rules", "cover"): "500 mm", ("rules", "waste"): "5 %", ("rules", "spare"): "5 %",
    ("earthing", "every_boxes"): "7", ("earthing", "every_run"): "210 m", ("earthing", "branch_ends"): "true",
    ("rod", "length"): "1.6 m", ("rod", "diameter"): "14 mm", ("earthing", "target"): "25 ohm",
    ("earthing", "clear_of_cable"): "2 m", ("insulation", "volts"): "500 V", ("insulation", "least"): "10 Mohm",
    ("tests", "loop_tolerance"): "10 %", ("trench", "width"): "150 mm", ("trench", "shared_with_pipe"): "63 mm",
    ("trench", "bedding"): "75 mm", ("trench", "warning_tape"): "true", ("boxes", "run"): "40 m",
}  # fmt: skip
"""A value for every placeholder of the start file, by the last two names of its key path."""


class EditorLoader(yaml.SafeLoader):
    """YAML as a JSON Schema editor sees it: dates stay text."""


EditorLoader.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in pairs if tag != "tag:yaml.org,2002:timestamp"]
    for first, pairs in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


@pytest.fixture(scope="module")
def schema() -> dict[str, Any]:
    from contextlib import redirect_stdout
    from io import StringIO

    out = StringIO()
    with redirect_stdout(out):
        assert main(["schema"]) == 0
    made: dict[str, Any] = json.loads(out.getvalue())
    jsonschema.Draft202012Validator.check_schema(made)
    return made


def read(text: str) -> dict[str, Any]:
    loaded: dict[str, Any] = yaml.load(text, Loader=EditorLoader)
    return loaded


def filled_in() -> str:
    """The start file with every placeholder replaced, place by place as ``check`` names them."""
    lines = START.read_text(encoding="utf-8").split("\n")
    addresses = itertools.count(1)
    for finding in sorted(read_job(START).findings, key=lambda each: (each.line, -each.column)):
        names = [part for part in finding.at if isinstance(part, str)]
        value = str(next(addresses)) if names[-1] == "address" else FILLED[names[-2], names[-1]]
        line, start = lines[finding.line - 1], finding.column - 1
        assert line.startswith("SET-ME", start)
        lines[finding.line - 1] = line[:start] + value + line[start + len("SET-ME") :]
    return "\n".join(lines)


REPEATS = REPOSITORY / "tests/job/repeats.yml"
"""Chains, several devices in a box, crossings, materials, facts that are assumed or unknown."""


@pytest.mark.parametrize(
    "text",
    [DEMO.read_text(encoding="utf-8"), filled_in(), REPEATS.read_text(encoding="utf-8")],
    ids=["demonstration", "start", "repeats"],
)
def test_good_jobs_are_taken(schema: dict[str, Any], text: str) -> None:
    faults = list(jsonschema.Draft202012Validator(schema).iter_errors(read(text)))
    assert not faults, [f"{fault.json_path}: {fault.message}" for fault in faults]


def test_check_names_every_placeholder_of_the_start_file_and_nothing_else() -> None:
    written = [
        (number, match.start() + 1)
        for number, line in enumerate(START.read_text(encoding="utf-8").split("\n"), 1)
        for match in re.finditer("SET-ME", line.split(" #")[0])
        if not line.startswith("#")
    ]
    found = read_job(START).findings
    assert sorted((each.line, each.column) for each in found) == written
    assert {each.code for each in found} == {"value-not-set"}
    assert len(written) > 60


def test_the_start_file_states_no_figure_of_a_sheet() -> None:
    """No quantity stands in it but in the remarks that show how one is written."""
    values = [line.split(" #")[0] for line in START.read_text(encoding="utf-8").split("\n") if not line.startswith("#")]
    assert not [line for line in values if re.search(r"[0-9]\s?(m|mm|cm|ft|in|V|A|mA|ohm|Mohm|AWG|mm2|%|degC)\b", line)]


def test_the_start_file_filled_in_passes(tmp_path: Path) -> None:
    (tmp_path / "job.yml").write_text(filled_in(), encoding="utf-8")
    assert main(["check", str(tmp_path / "job.yml")]) == 0


def test_the_ring_that_the_start_file_shows_as_a_remark_can_be_taken_in(tmp_path: Path) -> None:
    text = re.sub(r"^  # (ring_|  - )", r"  \1", filled_in(), flags=re.MULTILINE).replace("run: SET-ME", "run: 30 m")
    path = tmp_path / "job.yml"
    path.write_text(text, encoding="utf-8")
    job = read_job(path).job
    assert job is not None
    assert job.supply.ring_allowed
    assert [(each.from_, each.to) for each in job.path.ring_closures] == [("B02", "B05")]
    assert "`ring_closures: [" in (REPOSITORY / "README.md").read_text(encoding="utf-8")


def test_a_placeholder_in_a_standard_is_named_there(tmp_path: Path) -> None:
    (tmp_path / "house.yml").write_text("trench: {width: SET-ME}\n", encoding="utf-8")
    text = job_text(chain(2)).replace("job:\n", "standard: house.yml\njob:\n", 1).replace("  width: 150 mm\n", "")
    (tmp_path / "job.yml").write_text(text, encoding="utf-8")
    (finding,) = [each for each in read_job(tmp_path / "job.yml").findings if each.level == "error"]
    assert (finding.code, Path(finding.file).name, finding.at) == ("value-not-set", "house.yml", ("trench", "width"))


@pytest.mark.parametrize(
    ("keys", "value"),
    [
        (("supply", "volts"), "36 m"),
        (("supply", "volts"), 36),
        (("rules", "cover"), "deep"),
        (("job", "units"), "imperial"),
        (("path", "boxes", 0, "surface"), "grass"),
        (("trench", "depth"), "1 m"),
        (("trench", "width"), "unknown"),
        (("path", "boxes", 0, "stations", 0), "three"),
        (("path", "boxes", 0), {"ids": "B1..B3", "from": "controller", "run": "5 m", "note": "Gate"}),
        (("path", "each"), {"surfase": "lawn"}),
        (("materials",), [{"title": "Cap", "per": "box", "quantity": "some"}]),
    ],
)
def test_plain_mistakes_are_seen(schema: dict[str, Any], keys: tuple[str | int, ...], value: object) -> None:
    job: Any = copy.deepcopy(read(job_text(chain(3))))
    part = job
    for key in keys[:-1]:
        part = part[key]
    part[keys[-1]] = value
    assert not jsonschema.Draft202012Validator(schema).is_valid(job)


def test_every_key_has_a_description(schema: dict[str, Any]) -> None:
    """Its own, or that of the part it refers to, which is what an editor then shows."""

    def described(each: dict[str, Any]) -> bool:
        name = each.get("$ref", "").removeprefix("#/$defs/")
        return bool(each.get("description") or schema["$defs"].get(name, {}).get("description"))

    lacking = [
        f"{name}.{key}"
        for name, part in {"Job": schema, **schema["$defs"]}.items()
        for key, each in part.get("properties", {}).items()
        if not described(each)
    ]
    assert not lacking


def test_new_writes_a_job_to_fill_in_and_never_writes_over_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "my job"
    assert main(["new", str(folder)]) == 0
    job = folder / "job.yml"
    assert capsys.readouterr().out.strip() == str(job)
    assert main(["check", str(job)]) == 2
    assert "job.number is not set yet" in capsys.readouterr().out
    job.write_text("mine", encoding="utf-8")
    assert main(["new", str(folder)]) == 2
    assert job.read_text(encoding="utf-8") == "mine"


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_new_in_a_folder_that_cannot_be_written_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tmp_path.chmod(0o500)
    assert main(["new", str(tmp_path / "x")]) == 2
    assert capsys.readouterr().err.startswith("slackloop: ")
