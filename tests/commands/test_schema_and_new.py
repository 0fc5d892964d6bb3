"""The schema that editors use takes every good job and sees plain mistakes; ``new`` writes a job that passes.

The schema is read by the package jsonschema, an implementation of JSON Schema 2020-12 that is not ours.
"""

import copy
import json
import os
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from samples import DEMO, REPOSITORY, chain, job_text
from slackloop.cli import main

GOOD_JOBS = [DEMO, REPOSITORY / "site_data/jobs/kiln-court.yml", REPOSITORY / "site_data/start/job.yml"]


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


@pytest.mark.parametrize("path", [GOOD_JOBS[0], GOOD_JOBS[2]], ids=lambda path: path.stem)
def test_good_jobs_are_taken(schema: dict[str, Any], path: Path) -> None:
    faults = list(jsonschema.Draft202012Validator(schema).iter_errors(read(path.read_text(encoding="utf-8"))))
    assert not faults, [f"{fault.json_path}: {fault.message}" for fault in faults]


@pytest.mark.parametrize(
    ("keys", "value"),
    [
        (("supply", "volts"), "36 m"),
        (("supply", "volts"), 36),
        (("rules", "cover"), "deep"),
        (("job", "units"), "imperial"),
        (("path", "boxes", 0, "surface"), "grass"),
        (("trench", "depth"), "1 m"),
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


def test_new_writes_a_job_that_passes_and_never_writes_over_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "my job"
    assert main(["new", str(folder)]) == 0
    job = folder / "job.yml"
    assert capsys.readouterr().out.strip() == str(job)
    assert main(["check", str(job)]) == 0
    job.write_text("mine", encoding="utf-8")
    assert main(["new", str(folder)]) == 2
    assert job.read_text(encoding="utf-8") == "mine"


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_new_in_a_folder_that_cannot_be_written_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tmp_path.chmod(0o500)
    assert main(["new", str(tmp_path / "x")]) == 2
    assert capsys.readouterr().err.startswith("slackloop: ")
