"""A job that leaves a key out comes to the same as one with what the job format says of it, written."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path
from typing import Any

import pytest

from samples import chain, job_text
from slackloop.document.worked import Refused, Worked, work
from slackloop.site.effective_values import MeterError, volt_meter_error
from slackloop.site.models import Job

LEAD = (
    "lead_cable: lead",
    "  lead: {conductor: 16 AWG, build: solid, cores: {a: red, b: black}, jacket: PE, jacket_od: 7 mm}\ndevices:",
)


def worked(folder: Path, text: str) -> Worked:
    (folder / "job.yml").write_text(text, encoding="utf-8")
    return work(folder / "job.yml")


def described(part: str, key: str) -> str:
    """What the published schema says of a key."""
    schema: dict[str, Any] = Job.model_json_schema()["$defs"][part]
    return str(schema["properties"][key]["description"])


def stated(part: str, key: str) -> str:
    """The value that the schema says that a key has when left out."""
    (found,) = re.findall(r"(\S+ \S+) when left out", described(part, key))
    return str(found)


def changed(old: str, new: str) -> str:
    text = job_text(chain(2))
    assert old in text
    return text.replace(old, new, 1)


def test_a_lead(tmp_path: Path) -> None:
    left_out = worked(tmp_path, job_text(chain(2))).analysis
    written = worked(tmp_path, changed("stations: [1, 2]", f"stations: [1, 2], lead: {stated('Box', 'lead')}")).analysis
    assert stated("Box", "lead") == "1 m"
    assert [each.lead_m for each in left_out.solenoids] == [each.lead_m for each in written.solenoids] == [1.0] * 4
    assert [each.volts for each in left_out.solenoids] == [each.volts for each in written.solenoids]


def test_the_error_of_a_loop_meter(tmp_path: Path) -> None:
    left_out = worked(tmp_path, job_text(chain(2))).analysis
    meter = f"{{percent: {stated('LoopMeter', 'percent')}, ohms: {stated('LoopMeter', 'ohms')}}}"
    written = worked(tmp_path, changed("loop_tolerance: 10 %", f"loop_tolerance: 10 %\n    meter: {meter}")).analysis
    assert left_out.loops == written.loops


def test_the_error_of_a_meter_that_reads_volts(tmp_path: Path) -> None:
    left_out = worked(tmp_path, job_text(chain(2))).job
    meter = f"{{percent: {stated('LoopMeter', 'percent')}, volts: {stated('LoopMeter', 'volts')}}}"
    written = worked(tmp_path, changed("loop_tolerance: 10 %", f"loop_tolerance: 10 %\n    meter: {meter}")).job
    assert volt_meter_error(left_out) == volt_meter_error(written) == MeterError(0.01, 0.1)


def test_a_run_between_two_places_is_their_distance_and_its_detour(tmp_path: Path) -> None:
    """300 and 400 m across: 500 m straight, and 5 % more; 10 % where the job says so."""
    text = job_text(chain(2)).replace("  boxes:\n", "  controller_at: [0, 0]\n  boxes:\n", 1)
    text = text.replace("run: 50 m, surface", "at: [300, 400], surface", 1)
    text = text.replace("from: B1, run: 50 m", "from: B1, run: 50 m, at: [300, 450]", 1)
    assert worked(tmp_path, text).analysis.network.runs[0].length_m == pytest.approx(525.0)
    assert stated("PathFacts", "detour") == "5 %"
    text = text.replace("  boxes:\n", "  detour: 10 %\n  boxes:\n", 1)
    assert worked(tmp_path, text).analysis.network.runs[0].length_m == pytest.approx(550.0)


@pytest.mark.parametrize(("lead", "is_long"), [("1.5 m", False), ("1.501 m", True)])
def test_from_which_length_on_a_lead_is_a_cable(tmp_path: Path, lead: str, is_long: bool) -> None:
    assert "longer than 1.5 m" in described("PathFacts", "lead_cable")
    text = changed("stations: [1, 2]", f"stations: [1, 2], lead: {lead}").replace("devices:", LEAD[1], 1)
    given = worked(tmp_path, text.replace("  solenoid: valve\n", f"  solenoid: valve\n  {LEAD[0]}\n"))
    plans = [plan for plan in given.analysis.reels if plan.cable == "lead"]
    assert bool(plans) is is_long


@pytest.mark.parametrize("year", [1979, 1980, 2107, 2108])
def test_years_that_a_workbook_can_hold(tmp_path: Path, year: int) -> None:
    """Witness: zipfile, which writes the archive that a workbook is."""
    try:
        with zipfile.ZipFile(tmp_path / "archive.zip", "w") as archive:
            archive.writestr(zipfile.ZipInfo("sheet", (year, 4, 14, 0, 0, 0)), "")
        is_held = True
    except Exception:  # the library says so in several ways
        is_held = False
    text = changed("date: 2026-04-14", f"date: {year}-04-14")
    if is_held:
        assert worked(tmp_path, text).job.document.date.year == year
    else:
        with pytest.raises(Refused):
            worked(tmp_path, text)


def test_a_device_does_not_give_volts_in_two_ways(tmp_path: Path) -> None:
    """The pages would show one of two figures of the job."""
    with pytest.raises(Refused):
        worked(tmp_path, changed("output_volts: 24 V}", "output_volts: 24 V, output_drop: 1.5 V}"))
