"""What the computing modules find fault with, on jobs changed one key at a time."""

from __future__ import annotations

import copy
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

from compute.tally import JOBS
from slackloop.compute.computed_job import compute_job
from slackloop.reference.tables import ReferenceTables, load_tables
from slackloop.site.reader import read_job
from slackloop.source.finding import Finding

Change = Callable[[dict[str, Any]], None]


@pytest.fixture
def findings_after(tmp_path: Path, tables: ReferenceTables) -> Callable[[str, Change], list[Finding]]:
    def run(name: str, change: Change) -> list[Finding]:
        job = copy.deepcopy(yaml.safe_load((JOBS / f"{name}.yml").read_text(encoding="utf-8")))
        change(job)
        path = tmp_path / "job.yml"
        path.write_text(yaml.safe_dump(job, allow_unicode=True, sort_keys=False), encoding="utf-8")
        reading = read_job(path)
        assert reading.job is not None, [finding.message for finding in reading.findings]
        return list(compute_job(reading.job, tables).findings)

    return run


def levels(findings: list[Finding], code: str) -> list[str]:
    return [finding.level for finding in findings if finding.code == code]


def nothing(job: dict[str, Any]) -> None:
    """Leave the job as it is."""


After = Callable[[str, Change], list[Finding]]


def test_mixed_job_as_it_stands(findings_after: After) -> None:
    findings = findings_after("mixed", nothing)
    codes = sorted((finding.level, finding.code) for finding in findings if finding.level != "note")
    assert codes == [
        ("error", "connector-misfit"), ("error", "cover-low"), ("warning", "cover-cable"),
        ("warning", "energy-balance"), ("warning", "power-class-wet"), ("warning", "run-longer-than-every-run"),
        ("warning", "splice-without-purpose"), ("warning", "strip-differs"), ("warning", "surge-part-missing"),
    ]  # fmt: skip
    by_code = {finding.code: finding for finding in findings}
    assert by_code["connector-misfit"].at == ("path", "boxes", 5, "connector")
    assert by_code["splice-without-purpose"].box == "B5"
    assert "18 in" in by_code["cover-low"].message
    assert by_code["raceway-needed"].box == "B5"


def test_bare_copper_of_rules_and_connector_is_compared_as_closely_as_two_units_are(findings_after: After) -> None:
    """5/8 in is 15.9 mm, within 5 % the same as 16 mm; 1 in is not. A connector that is not used may differ."""

    def strips(rule: str, own: str) -> Change:
        def change(job: dict[str, Any]) -> None:
            job["rules"]["strip"] = rule
            (used,) = {job["path"]["connector"]}
            job["connectors"][used]["strip"] = own
            job["connectors"]["spare"] = {**job["connectors"][used], "strip": "40 mm"}

        return change

    assert not levels(findings_after("garden", strips("16 mm", "5/8 in")), "strip-differs")
    (finding,) = (each for each in findings_after("garden", strips("1 in", "5/8 in")) if each.code == "strip-differs")
    assert finding.level == "warning"
    assert "rules.strip is 25 mm (1 in)" in finding.message
    assert f"{'.'.join(map(str, finding.at))} is 15.9 mm (5/8 in)" in finding.message


def set_at(*keys: str, to: str) -> Change:
    def change(job: dict[str, Any]) -> None:
        for key in keys[:-1]:
            job = job[key]
        job[keys[-1]] = to

    return change


@pytest.mark.parametrize(
    ("code", "keys", "beyond", "inside"),
    [
        ("insulation-volts-high", ("rules", "tests", "insulation", "volts"), ("5000 V", "1001 V"), "1000 V"),
        ("loop-tolerance-small", ("rules", "tests", "loop_tolerance"), ("0 %", "0.9 %"), "1 %"),
        ("soil-temperature-unlikely", ("conditions", "soil_temperature"),
         ("45 degC to 80 degC", "4 degC to 50.1 degC", "-30.1 degC to 28 degC"), "-30 degC to 50 degC"),
        ("electrode-target-small", ("rules", "earthing", "target"), ("0.01 ohm", "0.995 ohm"), "1 ohm"),
    ],
)  # fmt: skip
def test_a_value_beyond_our_own_bound_is_a_warning_that_says_whose_bound_it_is(
    findings_after: After, code: str, keys: tuple[str, ...], beyond: tuple[str, ...], inside: str
) -> None:
    def change_to(value: str) -> Change:
        def change(job: dict[str, Any]) -> None:
            job["conditions"].pop("soil_resistivity", None)  # else no rods may reach the target, which is told
            set_at(*keys, to=value)(job)

        return change

    for value in beyond:
        (finding,) = (each for each in findings_after("garden", change_to(value)) if each.code == code)
        assert (finding.level, finding.at) == ("warning", keys)
        assert "our own bound" in finding.message
    assert not levels(findings_after("garden", change_to(inside)), code)


def test_a_closing_run_that_no_reel_holds_is_shown_at_its_own_entry(findings_after: After) -> None:
    """5,000 m on a reel of 750 m; the boxes at its ends are not at fault."""

    def change(job: dict[str, Any]) -> None:
        job["path"]["ring_closures"][0]["run"] = "5000 m"
        job["cables"][job["path"]["cable"]]["reel"] = "750 m"

    found = [each for each in findings_after("ring", change) if each.code == "run-longer-than-reel"]
    assert [each.at for each in found] == [("path", "ring_closures", 0)]


def test_a_target_that_no_rods_reach_is_told_once(findings_after: After) -> None:
    def change(job: dict[str, Any]) -> None:
        job["conditions"]["soil_resistivity"] = "60 ohm m"
        job["rules"]["earthing"]["target"] = "0.01 ohm"

    found = findings_after("garden", change)
    assert levels(found, "electrode-target-not-reached") == ["warning"]
    assert not levels(found, "electrode-target-small")


def test_a_bound_of_our_own_says_so_as_its_source() -> None:
    rows = load_tables().constants["likely_values"].rows.values()
    assert {row.source for row in rows} == {"Our own bound, no published source"}


def test_a_trench_is_wider_than_what_is_laid_in_it(findings_after: After) -> None:
    """A cable of 9.5 mm beside a pipe or alone; a pipe that does not fit is told in its place."""

    def narrow(width: str, pipe: str | None) -> Change:
        def change(job: dict[str, Any]) -> None:
            for cable in job["cables"].values():
                cable["jacket_od"] = "9.5 mm"
            job["trench"]["width"] = width
            job["trench"].pop("shared_with_pipe", None)
            job["trench"].update({"shared_with_pipe": pipe} if pipe else {})

        return change

    for width, pipe, expected in (("0.2 in", None, ["error"]), ("10 mm", None, []), ("0.2 in", "63 mm", ["error"]),
                                  ("9 mm", "8 mm", ["error"])):  # fmt: skip
        found = findings_after("garden", narrow(width, pipe))
        assert levels(found, "trench-narrow") == expected, (width, pipe)


def test_above_30_volts_the_cover_is_a_question(findings_after: After) -> None:
    findings = findings_after("mixed", lambda job: job["supply"].update(volts="36 V"))
    assert levels(findings, "cover-low") == []
    questions = [finding for finding in findings if finding.code == "cover-open"]
    assert {finding.level for finding in questions} == {"warning"}
    assert len(questions) == 2
    assert all("Ask the authority" in finding.message for finding in questions)


def test_cover_of_exactly_the_printed_millimetres_is_enough(findings_after: After) -> None:
    for cover, expected in (("450 mm", []), ("449 mm", ["error"])):
        assert (
            levels(findings_after("mixed", lambda job, c=cover: job["rules"].update(cover=c)), "cover-low") == expected
        )


def test_no_figure_under_the_uk_basis(findings_after: After) -> None:
    findings = findings_after("ring", lambda job: job["rules"].update(cover="50 mm"))
    assert levels(findings, "cover-low") == levels(findings, "cover-open") == []
    assert levels(findings, "cover-no-figure") == ["note"]


def narrow(job: dict[str, Any]) -> None:
    job["connectors"]["sealed"]["area"] = "2.1 mm2 to 14 mm2"


def test_solenoid_misfit_is_a_warning_while_its_lead_is_not_given(findings_after: After) -> None:
    """Two 18 AWG leads are 1.65 mm2 together, under 2.1 mm2."""
    assert levels(findings_after("garden", narrow), "connector-misfit-solenoid") == ["warning"]


def test_solenoid_misfit_is_an_error_once_its_lead_is_given(findings_after: After) -> None:
    def change(job: dict[str, Any]) -> None:
        narrow(job)
        job["solenoids"]["valve"]["leads"] = {"conductor": "18 AWG", "build": "stranded"}

    assert set(levels(findings_after("garden", change), "connector-misfit-solenoid")) == {"error"}


def test_too_many_conductors_in_one_splice(findings_after: After) -> None:
    def change(job: dict[str, Any]) -> None:
        job["connectors"]["sealed"]["wires"] = "2 to 2"

    findings = [f for f in findings_after("garden", change) if f.code == "connector-misfit"]
    assert "3 conductors, and it takes 2 to 2" in findings[0].message
    ends = {"B012", "B019"}
    assert {finding.box for finding in findings} == {f"B{n:03}" for n in range(1, 20)} - ends


def test_run_longer_than_its_reel(findings_after: After) -> None:
    """With slack B012 takes 71.5 m; with 5 % waste too B002 takes 70.4 m and B019 70.9 m; the next, B014, 69.3 m."""
    findings = findings_after("garden", lambda job: job["cables"]["main"].update(reel="70 m"))
    assert {f.box for f in findings if f.code == "run-longer-than-reel"} == {"B012"}
    assert {f.box for f in findings if f.code == "run-without-waste"} == {"B002", "B019"}


def test_deep_trench_sets_off_way_out_and_support(findings_after: After) -> None:
    def change(job: dict[str, Any]) -> None:
        job["rules"]["cover"] = "1.1 m"

    findings = findings_after("links", change)
    assert levels(findings, "trench-way-out") == ["warning"]
    assert levels(findings, "trench-support") == []
    assert levels(findings_after("garden", change), "trench-way-out") == []


def test_trench_of_exactly_4_ft_sets_off_the_way_out(findings_after: After) -> None:
    """29 CFR 1926.651(c) says 4 ft: 1.2192 m, a little under its printed 1.22 m."""

    def change(job: dict[str, Any]) -> None:
        job["trench"] = {"width": "6 in", "shared_with_pipe": "3 in", "bedding": "3 in", "warning_tape": True}
        job["rules"]["cover"] = "42 in"

    assert levels(findings_after("links", change), "trench-way-out") == ["warning"]


def test_solenoid_over_a_long_lead(findings_after: After) -> None:
    """18 AWG lead of 100 m: 2 x 100 x 0.0209 ohm, 0.35 A: about 1.5 V; 24 V less 1.5 V is under 23 V."""

    def change(job: dict[str, Any]) -> None:
        job["solenoids"]["valve"]["least_volts"] = "23 V"
        job["path"]["boxes"][0]["lead"] = "100 m"

    findings = findings_after("garden", change)
    assert [f.box for f in findings if f.code == "solenoid-volts-low"] == ["B001"]


@pytest.mark.parametrize(
    ("key", "value", "code"),
    [
        (("rules", "slack", "length"), "1 mm", "slack-below-contraction"),
        (("rules", "tests", "insulation", "least"), "0.1 Mohm", "insulation-least-low"),
        (("rules", "tests", "insulation", "volts"), "100 V", "insulation-volts-low"),
        (("supply", "volts"), "60 V", "above-extra-low-voltage"),
        (("trench", "width"), "50 mm", "trench-narrow"),
        (("rules", "cover"), "50 mm", "bedding-above-ground"),
        (("rules", "earthing", "target"), "0.1 ohm", "electrode-target-not-reached"),
        (("rules", "earthing", "every_run"), "60 m", "run-longer-than-every-run"),
    ],
)
def test_one_key_one_finding(findings_after: After, key: tuple[str, ...], value: str, code: str) -> None:
    def change(job: dict[str, Any]) -> None:
        part = job
        for each in key[:-1]:
            part = part[each]
        part[key[-1]] = value

    assert levels(findings_after("garden", nothing), code) == []
    assert levels(findings_after("garden", change), code)


@pytest.mark.parametrize(("bend", "across"), [("100 mm", ""), ("101 mm", "needs 202 mm")])
def test_a_coil_is_twice_the_least_bend_across(findings_after: After, bend: str, across: str) -> None:
    def change(job: dict[str, Any]) -> None:
        job["path"]["box"] = {"length": "300 mm", "width": "200 mm", "depth": "300 mm"}
        for cable in job["cables"].values():
            cable["least_bend"] = bend

    told = [each.message for each in findings_after("mixed", change) if each.code == "coil-too-tight"]
    assert len(told) == bool(across)
    assert all(across in each for each in told)


def test_box_too_shallow_and_too_small(findings_after: After) -> None:
    def change(job: dict[str, Any]) -> None:
        job["path"]["box"] = {"length": "300 mm", "width": "200 mm", "depth": "600 mm"}

    findings = findings_after("mixed", change)
    assert levels(findings, "slack-short") == ["warning"]
    assert levels(findings, "coil-too-tight") == ["warning"]
