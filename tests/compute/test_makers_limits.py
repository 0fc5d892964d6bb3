"""Limits of the makers' sheets: held with slack counted, told with figures, and where spare length stops."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from book_samples import book_of, rows_of, said_by, table_in
from samples import chain, job_text
from slackloop.compute.alternatives import Outlook, outlook
from slackloop.compute.circuit.makers_limits import MakersLimit
from slackloop.document.worked import Worked, work
from slackloop.source.finding import Placed

BRANCHED = [
    *chain(4),
    "{id: C1, from: B2, run: 30 m, surface: lawn, device: one, stations: [21]}",
    "{id: C2, from: C1, run: 30 m, surface: lawn}",
]
"""Four boxes 50 m apart, two-output devices; a branch from B2 with one device and a bare box. Slack 1.5 m a tail.

Cable: 51.5 + 3 × 53 + 2 × 33 = 276.5 m. Farthest: B4 at 210.5 m. Five devices, four of them on the way to B4.
"""
Work = Callable[..., Worked]


@pytest.fixture
def worked_with(tmp_path: Path) -> Work:
    def run(*supply: str, cable: str = "", **changes: str) -> Worked:
        text = job_text(BRANCHED, **({"basis": "us"} | changes))
        text = text.replace("  current: ac\n", "  current: ac\n" + "".join(f"  {line}\n" for line in supply), 1)
        if cable:
            text = text.replace("    conductor:", f"    {cable}\n    conductor:", 1)
        path = tmp_path / "job.yml"
        path.write_text(text, encoding="utf-8")
        return work(path)

    return run


def outlook_of(worked: Worked) -> Outlook:
    return outlook(worked.job, worked.analysis.network, worked.tables, worked.analysis.lengths)


def of_code(worked: Worked, code: str) -> list[Placed]:
    return [finding for finding in worked.findings if finding.code == code]


@pytest.mark.parametrize(
    ("limit", "code", "kept", "broken", "says"),
    [
        ("devices", "limit-devices", "5", "4", "the path has 5 devices; the makers' sheets allow 4"),
        ("farthest", "limit-farthest", "210.5 m", "210.4 m", "B4 lies at the end of 210.5 m of cable"),
        ("total", "limit-total", "276.5 m", "276.4 m", "the path takes 276.5 m of cable"),
        ("branch_devices", "limit-branch-devices", "4", "3", "the way from the controller to B4 has 4 devices"),
        ("capacitance", "limit-capacitance", "27.66 nF", "27.64 nF", "has 27.7 nF; the makers' sheets allow 27.64 nF"),
    ],
)
def test_each_limit_is_held(limit: str, code: str, kept: str, broken: str, says: str, worked_with: Work) -> None:
    """Capacitance: 276.5 m at 100 nF/km, side by side, is 27.65 nF."""
    cable = "capacitance: 100 nF/km"
    assert not of_code(worked_with(f"limits: {{{limit}: {kept}}}", cable=cable), code)
    (finding,) = of_code(worked_with(f"limits: {{{limit}: {broken}}}", cable=cable), code)
    assert finding.level == "error"
    assert says in finding.message
    assert limit in finding.excerpt
    assert finding.expected.endswith("or less")


def test_a_limit_in_feet_is_told_in_feet(worked_with: Work) -> None:
    (finding,) = of_code(worked_with("limits: {farthest: 600 ft}", units="us"), "limit-farthest")
    assert "691 ft" in finding.message, "210.5 m is 690.6 ft, and what was found is never told smaller"
    assert "allow 600 ft" in finding.message


def test_what_was_found_is_never_told_smaller_and_the_limit_never_larger() -> None:
    limit = MakersLimit("farthest", 100.01, 100.09)
    assert (limit.found_text("metric"), limit.most_text("metric")) == ("100.1 m", "100.0 m")


def test_a_cable_without_a_capacitance_leaves_the_limit_open(worked_with: Work) -> None:
    worked = worked_with("limits: {capacitance: 1 uF}")
    (finding,) = of_code(worked, "capacitance-unknown")
    assert finding.level == "warning"
    assert "main states no capacitance" in finding.message
    assert not of_code(worked_with("limits: {capacitance: 1 uF}", cable="capacitance: 60 nF/km"), "capacitance-unknown")


@pytest.mark.parametrize(
    ("limits", "spare_m", "stopped_by"),
    [
        ("{devices: 6, farthest: 300 m}", 300 - 210.5 - 3.0, "farthest"),
        ("{total: 320 m}", 320 - 276.5 - 3.0, "total"),
        ("{capacitance: 35 nF}", (35 - 27.65) / 0.1 - 3.0, "capacitance"),
        ("{devices: 5}", None, "devices"),
        ("{branch_devices: 4}", None, "branch_devices"),
    ],
)
def test_spare_length_stops_at_the_limit(
    limits: str, spare_m: float | None, stopped_by: str, worked_with: Work
) -> None:
    """Beyond B4: one run with the slack of its two tails, 3 m, and one device."""
    worked = worked_with(f"limits: {limits}", cable="capacitance: 100 nF/km")
    found = outlook_of(worked)
    end = next(each for each in found.ends if each.box == "B4")
    assert end.stopped_by == stopped_by
    assert end.spare_m == (None if spare_m is None else pytest.approx(spare_m, abs=1e-6))


def test_slack_that_is_shared_in_a_box_leaves_more_room(tmp_path: Path) -> None:
    """1.5 m of slack shared by the tails of a box. B4 lies at 50.75 + 51.25 + 51.25 + 52.25 = 205.5 m.

    The tail in B4 gives up half of its 1.5 m, and the new run has 0.75 m there and 1.5 m at its end: 300 − 207 = 93 m.
    """
    text = job_text(BRANCHED, basis="us").replace("per: tail", "per: box")
    path = tmp_path / "job.yml"
    text = text.replace("  current: ac\n", "  current: ac\n  limits: {farthest: 300 m}\n", 1)
    path.write_text(text, encoding="utf-8")
    end = next(each for each in outlook_of(work(path)).ends if each.box == "B4")
    assert (end.stopped_by, end.spare_m) == ("farthest", pytest.approx(93.0, abs=1e-6))


def test_a_job_without_limits_of_the_makers_is_told_once_what_is_not_checked(worked_with: Work) -> None:
    (finding,) = of_code(worked_with(), "limits-unstated")
    assert (finding.level, finding.asks) == ("note", "")
    assert "only volts and current" in finding.message
    assert len(of_code(worked_with("limits: {}"), "limits-unstated")) == 1
    assert not of_code(worked_with("limits: {devices: 100}"), "limits-unstated")


def test_a_capacitance_is_told_to_the_tenth_on_its_safe_side() -> None:
    limit = MakersLimit("capacitance", 5.01e-9, 5.09e-9)
    assert (limit.found_text("metric"), limit.most_text("metric")) == ("5.1 nF", "5.0 nF")


def test_no_size_is_said_to_do_where_a_limit_is_broken(worked_with: Work) -> None:
    for limit, holds in (("5", True), ("4", False)):
        worked = worked_with(f"limits: {{devices: {limit}}}")
        own = next(row for row in outlook_of(worked).sizes if row.chosen)
        assert (own.in_range, own.holds) == (True, holds)


def test_no_size_is_said_to_do_where_the_supply_delivers_too_little(worked_with: Work) -> None:
    worked = worked_with(limit="0.2 A")
    own = next(row for row in outlook_of(worked).sizes if row.chosen)
    assert (own.in_range, own.holds) == (True, False)


def test_a_device_does_not_see_more_volts_than_it_stands(worked_with: Work, tmp_path: Path) -> None:
    """The supply at its full volts with nothing operating, though its lowest volts would do."""
    text = job_text(chain(2), volts="36 V").replace("least_volts: 22 V", "least_volts: 22 V, most_volts: 35 V")
    path = tmp_path / "job.yml"
    path.write_text(text.replace("  current: ac\n", "  current: ac\n  lowest: 30 V\n"), encoding="utf-8")
    (finding,) = of_code(work(path), "volts-high")
    assert (finding.level, finding.excerpt[finding.column - 1 :][:4]) == ("error", "35 V")
    assert "36 V" in finding.message
    path.write_text(text.replace("35 V", "36 V"), encoding="utf-8")
    assert not of_code(work(path), "volts-high")


def test_a_device_that_gives_out_more_than_it_takes_is_questioned(worked_with: Work, tmp_path: Path) -> None:
    """36 V x (32 + 0.6) mA = 1.174 VA in; 24 V x 48.9 mA is the same out, and 49 mA more. Its power stays the same."""
    path = tmp_path / "job.yml"
    for holding, count in (("48.8 mA", 0), ("49 mA", 1)):
        text = job_text(chain(2)).replace("load: current", "load: power")
        path.write_text(text.replace("holding: 33 mA", f"holding: {holding}"), encoding="utf-8")
        found = of_code(work(path), "energy-balance")
        assert [finding.level for finding in found] == ["warning"] * count
    assert "36 V × 32.6 mA = 1.17 VA" in found[0].message
    assert "24.0 V × 49 mA = 1.18 VA" in found[0].message


def low_path(tmp_path: Path, holding: str, **replaced: str) -> list[Placed]:
    """36 V behind 60 ohm: four outputs of 32 mA and two devices at rest leave less than 28.3 V at the boxes."""
    text = re.sub("source_resistance: .*", "source_resistance: 60 ohm", job_text(chain(2)))
    text = text.replace("holding: 33 mA", f"holding: {holding}")
    for old, new in replaced.items():
        text = text.replace(f"{old}: current", f"{old}: {new}")
    path = tmp_path / "job.yml"
    path.write_text(text, encoding="utf-8")
    return of_code(work(path), "energy-balance")


def test_a_device_whose_current_stays_is_questioned_where_the_path_is_low(tmp_path: Path) -> None:
    """32.6 mA at under 28.3 V is less than 0.923 VA; 24 V x 39 mA is 0.936 VA out, and 37 mA 0.888 VA."""
    (found,) = low_path(tmp_path, "39 mA")
    assert (found.level, found.box, found.of) == ("warning", "B2", ("B1", "B2"))
    taken = re.search(r"takes ([0-9.]+) V × 32.6 mA = ([0-9.]+) VA at B2, the worst of 2 of 2 boxes", found.message)
    assert taken is not None, found.message
    assert float(taken[1]) < 28.3
    assert float(taken[2]) == pytest.approx(float(taken[1]) * 0.0326, abs=0.006)
    assert "24.0 V × 39 mA = 0.94 VA" in found.message
    assert "load: power" in found.hint
    assert found.asks == "the maker of the device"
    assert found.excerpt[found.column - 1 :].startswith("current")
    assert not low_path(tmp_path, "37 mA")


def test_one_question_for_a_device_and_a_solenoid_that_fail_at_full_volts_too(tmp_path: Path) -> None:
    (found,) = low_path(tmp_path, "49 mA")
    assert "36 V × 32.6 mA = 1.17 VA" in found.message


def test_a_device_that_takes_the_same_power_at_any_volts_is_not_questioned_where_the_path_is_low(
    tmp_path: Path,
) -> None:
    assert not low_path(tmp_path, "39 mA", load="power")


def test_an_ac_supply_has_a_frequency(worked_with: Work) -> None:
    """60 Hz under us and 50 Hz under uk; under general the job is asked, and its own is taken anywhere."""
    own = ("frequency: 50 Hz",)
    cases = (("us", (), 60.0), ("uk", (), 50.0), ("general", (), None), ("general", own, 50.0), ("us", own, 50.0))
    for basis, stated, hertz in cases:
        worked = worked_with(*stated, basis=basis)
        found = outlook_of(worked)
        assert found.mains_hz == hertz
        assert bool(found.reactances) == (hertz is not None)
        assert bool(of_code(worked, "frequency-unknown")) == (hertz is None)
    at_50, at_60 = (
        outlook_of(each).reactances[0][1].reactance_ohms_per_m
        for each in (worked_with(basis="uk"), worked_with(basis="us"))
    )
    assert at_60 / at_50 == pytest.approx(60 / 50)


def test_a_sensor_needs_no_outputs(tmp_path: Path) -> None:
    boxes = [*chain(2), "{id: S1, from: B2, run: 20 m, surface: lawn, device: sensor}"]
    text = job_text(boxes).replace(
        "devices:\n",
        "devices:\n  sensor: {title: Flow sensor, outputs: 0, standby: 2 mA, load: current, least_volts: 20 V,\n"
        "           leads: {conductor: 18 AWG, build: stranded}}\n",
    )
    path = tmp_path / "job.yml"
    path.write_text(text, encoding="utf-8")
    worked = work(path)
    assert worked.analysis.verdict == "pass"
    assert worked.analysis.supply.standby_a == pytest.approx(2 * 0.0006 + 0.002)
    row = next(row for row in rows_of(table_in(path, "devices")) if row[0] == "Flow sensor")
    assert "–" in row


def test_pages_say_on_which_basis_they_rest(worked_with: Work, tmp_path: Path) -> None:
    """Volts at the largest resistance, readings at the nominal one."""
    worked_with("lowest: 33 V", "always_on: [1]", "limits: {devices: 4, total: 400 m}")
    tables = book_of(tmp_path / "job.yml").tables
    for name in ("boxes", "conductor-sizes", "spare-length", "reactance", "solenoids"):
        assert "UL 1581" in said_by(tables[name]), name
    for name in ("boxes", "conductor-sizes", "spare-length"):
        basis = said_by(tables[name])
        assert re.search(r"33 V at the controller, its lowest; .*largest resistance.*station 1 always in op", basis)
    assert re.search(r"Loop: [^.]*nominal resistance", said_by(tables["boxes"]))
    rows = {row[0]: row for row in rows_of(tables["makers-limits"])}
    assert rows["Devices on the path"][1:3] == ("5", "4")
    assert rows["Devices on the path"][-1] == "more than is allowed"
    assert rows["All cable of the path"][-1] == "inside the limit"
    assert tables["makers-limits"].banner
