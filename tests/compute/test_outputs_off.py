"""How far below the volts at the controller a box may read with all outputs off: by hand, and never looser in print."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from records.record_samples import context
from samples import chain, job_text
from slackloop.compute.circuit.path_volts import OffLimit, off_limit
from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.boxes.box_values import controller_least, load_least, off_limit_of, volts_limit
from slackloop.document.worked import work, work_with_content
from slackloop.pipeline.handbook_folder import context_of
from slackloop.site.effective_values import MeterError
from slackloop.units.figure import NOT_KNOWN

METER = MeterError(0.01, 0.1)


def facts_of(text: str, folder: Path, index: int) -> BoxFacts:
    (folder / "job.yml").write_text(text, encoding="utf-8")
    return BoxFacts(context_of(work_with_content(folder / "job.yml")), index)


def test_the_drop_and_the_error_of_both_readings_make_the_limit() -> None:
    """36 V and 35.7 V: 0.3 V lost, 0.46 V that one meter and 0.457 V that the other may be off."""
    found = off_limit(36.0, 35.7, METER, 22.0)
    assert found.most_below == pytest.approx(0.3 + 0.46 + 0.457, abs=1e-12)
    assert found.unread == pytest.approx(35.7 - 0.457, abs=1e-12)


@pytest.mark.parametrize(
    ("controller", "least"), [(None, 35.3), (36.0, 34.8), (34.1, 32.9), (23.2, 22.0), (22.5, 22.0), (40.0, 38.8)]
)
def test_the_least_goes_with_the_volts_at_the_controller_and_stays_over_what_the_device_needs(
    controller: float | None, least: float
) -> None:
    assert OffLimit(1.2, 35.3, 22.0).least(controller) == least


def test_the_devices_of_a_path_take_what_their_sheets_say(tmp_path: Path) -> None:
    """Three boxes 50 m apart, each with 0.6 mA and slack of 1.5 m: B3 loses 0.6 mA × (3 + 2 + 1 runs of it), no more.

    14 AWG by ASTM B258 and IEC 60028 at 24 °C, 2 % over nominal: 17.02 mohm a metre, out and back.
    """
    (tmp_path / "job.yml").write_text(job_text(chain(3)), encoding="utf-8")
    volts = work(tmp_path / "job.yml").analysis.volts
    area_mm2 = math.pi / 4 * (0.127 * 92 ** ((36 - 14) / 39)) ** 2
    a_metre = 2 / (58 * area_mm2) * (1 + 0.00393 * 4) * 1.02
    lost = a_metre * 0.0006 * (51.5 * 3 + 53.0 * 2 + 53.0)
    assert volts.terminal_volts == 36.0
    assert volts.standby_volts[2] == pytest.approx(36.0 - lost, abs=1e-9)


def test_what_is_printed_is_never_looser_than_what_is_computed() -> None:
    book = context()
    answer = book.analysis.volts
    assert answer.terminal_volts is not None
    for index, (off, worst) in enumerate(zip(answer.standby_volts, answer.worst_volts, strict=True)):
        assert off is not None
        assert worst is not None
        facts = BoxFacts(book, index)
        exact, shown, load = off_limit(answer.terminal_volts, off, METER), off_limit_of(facts), load_least(facts)
        assert shown is not None
        assert load is not None
        assert exact.most_below - 0.1 < shown.most_below <= exact.most_below
        assert exact.unread <= shown.unread < exact.unread + 0.1
        assert max(METER.least_shown(worst), 22.0) <= load < METER.least_shown(worst) + 0.1
        assert volts_limit("path_volts", facts)[0] == f"{shown.most_below:.1f} V"
    assert controller_least(book) == pytest.approx(35.6)


def test_a_supply_that_may_give_less_moves_the_least_but_hardly_the_drop(tmp_path: Path) -> None:
    nominal = off_limit_of(facts_of(job_text(chain(25)), tmp_path, 24))
    lower = off_limit_of(facts_of(job_text(chain(25)).replace("ac\n", "ac\n  lowest: 30 V\n", 1), tmp_path, 24))
    assert nominal is not None
    assert lower is not None
    assert lower.unread < nominal.unread - 5.5
    assert nominal.most_below - 0.2 < lower.most_below <= nominal.most_below


def test_a_job_tells_the_error_of_its_own_meter(tmp_path: Path) -> None:
    text = job_text(chain(3)).replace(
        "loop_tolerance: 10 %", "loop_tolerance: 10 %\n    meter: {percent: 0 %, volts: 0.5 V}"
    )
    shown = off_limit_of(facts_of(text, tmp_path, 2))
    assert shown is not None
    assert shown.most_below == 1.0, "0.5 V at each reading, and a drop under a tenth"


def test_where_a_current_is_not_known_there_is_no_such_limit(tmp_path: Path) -> None:
    facts = facts_of(job_text(chain(3)).replace("standby: 0.6 mA", "standby: unknown"), tmp_path, 2)
    assert off_limit_of(facts) is None
    assert volts_limit("path_volts", facts) == ("22 V", "or more")
    facts = facts_of(job_text(chain(3)).replace("least_volts: 22 V", "least_volts: unknown"), tmp_path, 2)
    assert volts_limit("path_volts", facts)[0] == NOT_KNOWN


def test_what_two_readings_may_be_off_by_is_no_rise() -> None:
    """36 V shown may be 36.1 / 0.99 = 36.465 V, which a meter may show as 36.929 V."""
    assert METER.most_after(36.0) == pytest.approx(36.1 / 0.99 * 1.01 + 0.1, abs=1e-9)
    assert MeterError(0.0, 0.5).most_after(30.0) == 31.0
    assert MeterError(1.0, 0.1).most_after(30.0) == math.inf, "a meter that may show anything proves nothing"
    assert off_limit(36.0, 35.7, METER, 22.0).meter == METER
