"""Lowest supply volts, stations that always run, and outputs that follow the path, against independent solutions.

Constant currents against the nodal solution of ``witness.nodal``; constant power against scipy's root finder on the
nodal equations; volts at a solenoid against one ngspice circuit of path, device and lead.
"""

import json
import re
from pathlib import Path

import numpy as np
import pytest
import yaml
from scipy.optimize import fsolve

from samples import chain, job_text, random_boxes
from slackloop.cli import main
from slackloop.compute.alternatives import outlook
from slackloop.compute.circuit.path_volts import off_limit
from slackloop.document.worked import work
from slackloop.site.effective_values import MeterError
from witness.nodal import LARGEST_AWG, loads, number, path_edges, shared_ohms, soil, worst_volts
from witness.spice import NEEDS_NGSPICE, run_spice

MICROVOLT = 1e-6


def record_of(text: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> dict:
    path = folder / "job.yml"
    path.write_text(text, encoding="utf-8")
    main(["check", "--json", str(path)])
    return json.loads(capsys.readouterr().out)


def with_supply(text: str, *lines: str) -> str:
    """The job with more lines in its supply."""
    return text.replace("  current: ac\n", "  current: ac\n" + "".join(f"  {line}\n" for line in lines), 1)


CASES = {
    "lowest": with_supply(job_text(chain(25)), "lowest: 34 V"),
    "always on": with_supply(job_text(chain(25)), "always_on: [50, 7]"),
    "both on a tree": with_supply(
        job_text(random_boxes(60, seed=3), source="0.4 ohm"), "lowest: 33 V", "always_on: [1]"
    ),
    "both on a ring": with_supply(
        job_text(chain(12), ["{from: B12, to: B2, run: 75 m}"], ring="true"), "lowest: 33 V", "always_on: [1, 24]"
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_volts_at_rest_and_at_worst(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record, job = record_of(CASES[name], tmp_path, capsys), yaml.safe_load(CASES[name])
    worst, rest = worst_volts(job), worst_volts(job, at_once=0)
    for box, values in record["boxes"].items():
        assert values["worst_volts"] == pytest.approx(worst[box], abs=MICROVOLT), box
        assert values["standby_volts"] == pytest.approx(rest[box], abs=MICROVOLT), box


@pytest.mark.parametrize("name", CASES)
def test_how_far_below_the_controller_a_good_path_reads_with_all_outputs_off(name: str, tmp_path: Path) -> None:
    """The nodal equations give the most that is lost: no good path loses more of the volts at the controller.

    Good paths are drawn at random: any soil of the job, copper up to the largest resistance, fewer devices on the path.
    One with all of it at its worst loses just that, so with meters that are off it reads just as far below.
    """
    (tmp_path / "job.yml").write_text(CASES[name], encoding="utf-8")
    analysis, job = work(tmp_path / "job.yml").analysis, yaml.safe_load(CASES[name])
    supply, terminal = job["supply"], analysis.volts.terminal_volts
    assert terminal is not None
    ohms, lowest = number(supply.get("source_resistance", "0 ohm")), number(supply.get("lowest", supply["volts"]))
    (coldest, hottest), rng = soil(job), np.random.default_rng(7)
    for trial in range(20):
        celsius = hottest if trial == 0 else rng.uniform(coldest, hottest)
        factor = LARGEST_AWG if trial == 0 else rng.uniform(1.0, LARGEST_AWG)
        index, shared = shared_ohms(path_edges(job, celsius, awg_factor=factor))
        amps = loads(job, index)[0]
        amps = amps if trial == 0 else amps * rng.integers(0, 2, len(amps))
        at_terminals = lowest - ohms * amps.sum()
        for box, here in zip(analysis.network.boxes, analysis.volts.standby_volts, strict=True):
            assert here is not None
            lost = float(shared[index[box]] @ amps)
            assert lost <= terminal - here + MICROVOLT, box
            if trial == 0:
                read = at_terminals * 1.01 + 0.1, (at_terminals - lost) * 0.99 - 0.1
                limit = off_limit(terminal, here, MeterError(0.01, 0.1))
                assert read[0] - read[1] == pytest.approx(limit.most_below, abs=MICROVOLT), box
                assert read[1] == pytest.approx(limit.unread, abs=MICROVOLT), box


@pytest.mark.parametrize("name", CASES)
def test_most_stations_at_once_counts_those_that_always_run(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One more station than the answer puts a device out of range or the supply over its limit; the answer does not."""
    text = CASES[name].replace("conductor: 14 AWG", "conductor: 18 AWG").replace("limit: 4 A", "limit: 0.5 A")
    record, job = record_of(text, tmp_path, capsys), yaml.safe_load(text)
    needs = {box["id"]: number(job["devices"][box["device"]]["least_volts"]) if "device" in box else 0.0
             for box in job["path"]["boxes"]}  # fmt: skip
    index, _ = shared_ohms(path_edges(job, 20.0))
    rest, _, draws = loads(job, index)
    always = len(job["supply"].get("always_on", ()))

    def good(count: int) -> bool:
        amps = rest.sum() + np.sort(draws)[::-1][: count - always].sum()
        volts = worst_volts(job, at_once=count)
        return amps <= 0.5 and all(volts[box] >= need for box, need in needs.items())

    most = record["supply"]["most_stations_at_once"]
    assert always < most < always + len(draws)
    assert good(most)
    assert not good(most + 1)


def test_constant_power_at_the_lowest_volts(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """All outputs run, so there is one case: V = lowest - Z a V0 / V, the sheet's currents stated at full volts."""
    text = with_supply(job_text(chain(6), load="power", at_once="12", conductor="18 AWG"), "lowest: 33 V")
    record, job = record_of(text, tmp_path, capsys), yaml.safe_load(text)
    index, shared = shared_ohms(path_edges(job, soil(job)[1], awg_factor=LARGEST_AWG))
    amps, owners, draws = loads(job, index)
    np.add.at(amps, owners, draws)
    volts = fsolve(lambda v: 33.0 - shared @ (amps * 36.0 / v) - v, np.full(len(index), 33.0), xtol=1e-13)
    for box, i in index.items():
        assert record["boxes"][box]["worst_volts"] == pytest.approx(volts[i], abs=1e-4)
    assert record["supply"]["worst_a"] == pytest.approx((amps * 36.0 / volts).sum(), rel=1e-4)


def solenoid_job(drop: str = "1.5 V", lead: str = "60 m") -> str:
    boxes = chain(6)
    boxes[5] = boxes[5].replace("surface: lawn", f"surface: lawn, lead: {lead}")
    text = with_supply(job_text(boxes, at_once="12", conductor="18 AWG"), "lowest: 33 V", "always_on: [12]")
    text = text.replace("output_volts: 24 V", f"output_drop: {drop}")
    return text.replace("devices:\n", "  lead-18:\n    conductor: 18 AWG\n    build: stranded\n"
                        "    cores: {a: white, b: violet}\ndevices:\n", 1)  # fmt: skip


@NEEDS_NGSPICE
@pytest.mark.parametrize(("key", "drawn"), [("volts", 0.35), ("holding_volts", 0.033)])
def test_an_output_that_follows_the_path(key: str, drawn: float, tmp_path: Path) -> None:
    """ngspice: the path with every output running, a source that copies the volts of B6 less 1.5 V, lead and solenoid.

    Written from the job's text: 18 AWG by ASTM B258 and IEC 60028, soil at 24 degC, UL 1581's 2 %, lay 2 % on the lead.
    """
    path = tmp_path / "job.yml"
    path.write_text(solenoid_job(), encoding="utf-8")
    worked = work(path)
    answer = next(each for each in worked.analysis.solenoids if each.station == 12)
    loop = 2 / (58 * np.pi / 4 * (0.127 * 92 ** (18 / 39)) ** 2) * (1 + 0.00393 * 4) * 1.02
    lines = ["solenoid", "V0 n0 0 DC 33"]
    for i in range(1, 7):
        lines.append(f"R{i} n{i - 1} n{i} {loop * (50.0 + (1.5 if i == 1 else 3.0))!r}")
        lines.append(f"I{i} n{i} 0 DC {0.0006 + 2 * 0.032!r}")
    lines += ["V1 n6 given DC 1.5", "RG given 0 1e15", "E2 copy 0 given 0 1", f"RL copy coil {loop * 1.02 * 60.0!r}",
              f"IL coil 0 DC {drawn!r}", ".options numdgt=12 reltol=1e-9", ".op", ".end", ""]  # fmt: skip
    circuit, raw = tmp_path / "coil.cir", tmp_path / "coil.raw"
    circuit.write_text("\n".join(lines), encoding="ascii")
    run_spice(circuit, raw)
    head, values = raw.read_bytes().split(b"Binary:\n", 1)
    names = [name.decode().lower() for name in re.findall(rb"^\t\d+\t(\S+)\t", head, re.MULTILINE)]
    coil = dict(zip(names, np.frombuffer(values[: 8 * len(names)], dtype="<f8"), strict=True))["v(coil)"]
    assert getattr(answer, key) == pytest.approx(coil, abs=MICROVOLT)
    assert answer.path_volts == worked.analysis.volts.worst_volts[5]


def test_a_solenoid_that_the_path_leaves_short_is_an_error_and_stops_the_stations(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    good = record_of(solenoid_job(), tmp_path, capsys)
    short = record_of(solenoid_job(drop="11 V", lead="110 m"), tmp_path, capsys)
    assert "solenoid-volts-low" not in {finding["code"] for finding in good["findings"]}
    (finding,) = [f for f in short["findings"] if f["code"] == "solenoid-volts-low"]
    assert finding["box"] == "B6"
    assert "follows the path" in finding["message"]
    assert "less 11 V in the device" in finding["message"]
    assert short["supply"]["most_stations_at_once"] < good["supply"]["most_stations_at_once"]


def test_sizes_and_spare_length_take_the_same_basis(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The row of the job's own size has the volts of its own check; a spare box at the answer passes, past it fails."""
    text = with_supply(job_text(chain(20), conductor="16 AWG"), "lowest: 33 V", "always_on: [40]")
    path = tmp_path / "job.yml"
    path.write_text(text, encoding="utf-8")
    worked = work(path)
    found = outlook(worked.job, worked.analysis.network, worked.tables, worked.analysis.lengths)
    own = next(row for row in found.sizes if row.chosen)
    record = record_of(text, tmp_path, capsys)
    assert own.lowest_volts == pytest.approx(min(box["worst_volts"] for box in record["boxes"].values()), abs=1e-9)
    (end,) = found.ends
    assert end.spare_m is not None
    for metres, passes in ((end.spare_m * 0.99, True), (end.spare_m * 1.01 + 0.1, False)):
        box = f"    - {{id: NEW, from: B20, run: {metres:.3f} m, surface: lawn, device: two, stations: [901, 902]}}\n"
        job = yaml.safe_load(text + box)
        assert all(volts >= 22.0 for volts in worst_volts(job).values()) is passes
