"""What the checks can see: every fault is shown before the fill on every job, and a method that shows less says so."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from book_samples import demonstration
from samples import DEMO, REPOSITORY
from slackloop.compute.suspects.job_suspects import job_seen
from slackloop.document.context import Context
from slackloop.document.inline import plain
from slackloop.document.table import Table
from slackloop.document.tables.fault_tables import each_fault_table, faults_table
from slackloop.document.worked import own_content_findings, work
from slackloop.pipeline.handbook_folder import context_of
from slackloop.sections.content import Content
from slackloop.sections.fault_cover import fault_covers, late_faults
from slackloop.sections.section import Section
from slackloop.site.effective_values import meter_error
from study.faults import network
from study.two_cores import Fault, opened, readings

JOBS = sorted((REPOSITORY / "tests" / "golden" / "jobs").glob("*.yml"))
CONTENT = REPOSITORY / "content"


def context() -> Context:
    return demonstration().context


def changed(check: str, **changes: object) -> Context:
    """The demonstration with one check of its content changed."""

    def section(each: Section) -> Section:
        checks = tuple(c.model_copy(update=changes) if c.id == check else c for c in each.front.checks)
        return replace(each, front=each.front.model_copy(update={"checks": checks}))

    old = context()
    content = Content(tuple(map(section, old.content.sections)), old.content.words)
    return Context(old.job, old.analysis, old.tables, content, old.reading)


def late(made: Context) -> list[str]:
    return [each.message for each in late_faults(made.sections, made.content.words)]


def said(table: Table, fault: str) -> list[str]:
    return [plain(each.line) for each in table.rows[table.row_anchors.index(fault)]]


@pytest.mark.parametrize("path", [DEMO, *JOBS], ids=lambda path: path.stem)
def test_every_fault_is_shown_before_the_fill_and_prevented_by_a_step(path: Path) -> None:
    made = context_of(work(path))
    assert late(made) == []
    covers = fault_covers(made.sections, made.content.words)
    assert len(covers) == 10
    without = {each.fault for each in covers if not each.steps}
    assert without <= ({"wrong-address"} if not made.holds("has-device-boxes") else set())


def test_a_check_that_shows_no_more_leaves_a_fault_unseen() -> None:
    assert late(changed("C-SPLICE-5", shows=())) == [
        "no check of this job shows 'Connector that is not sealed' before the fill: no check shows it at all"
    ]
    assert said(faults_table(changed("C-SPLICE-5", shows=())), "unsealed-connector")[2:4] == ["no check", "no"]


def test_a_check_that_is_made_when_the_box_is_closed_comes_too_late() -> None:
    assert late(changed("C-SPLICE-5", stage="close")) == [
        "no check of this job shows 'Connector that is not sealed' before the fill: "
        "C-SPLICE-5 shows it when it is buried"
    ]


def test_the_order_is_that_of_the_work() -> None:
    """A splice is pulled when it is made, read at the next box, and read again when the run is covered."""
    covers = {each.fault: each for each in fault_covers(context().sections, context().content.words)}
    assert [check.id for _, check in covers["resistive-splice"].checks] == ["C-SPLICE-3", "C-TEST-3", "C-FILL-6"]
    assert covers["resistive-splice"].in_time == 2
    assert [check.id for _, check in covers["nicked-core"].checks][:2] == ["C-LAY-2", "C-TEST-1"]


def test_a_firm_that_takes_a_check_out_is_told(tmp_path: Path) -> None:
    """The firm's own splice section lies beside the job and shows nothing any more; the words are the standing ones."""
    job = tmp_path / "heron-fold.yml"
    job.write_bytes(DEMO.read_bytes())
    own = tmp_path / "content" / "method" / "waterproof-splice.md"
    own.parent.mkdir(parents=True)
    text = (CONTENT / "method" / "waterproof-splice.md").read_text(encoding="utf-8")
    own.write_text(re.sub(r"\n    shows: .*", "", text), encoding="utf-8")
    worked = work(job)
    found = [each for each in own_content_findings(job, worked.tables, worked) if each.code == "fault-not-shown"]
    named = {re.findall("'(.*)'", each.message)[0] for each in found}
    assert named == {"Swapped cores", "Connector that is not sealed"}
    assert {each.level for each in found} == {"warning"}


def test_the_smallest_faults_stand_in_the_table() -> None:
    table = faults_table(context())
    assert "C-TEST-3: from 0.18 Ω at B37 to 2.36 Ω at B20" in said(table, "resistive-splice")[4]
    assert "less than 9.5 MΩ in any run" in said(table, "leak")[4]
    assert said(table, "swapped-cores")[4] == "no electrical reading shows it"
    assert len(each_fault_table(context()).rows) == 40


@pytest.mark.parametrize("kind", ["splice", "longer", "shorter", "short"])
def test_the_smallest_fault_is_outside_on_a_network_of_resistors_and_one_a_little_smaller_may_pass(kind: str) -> None:
    """Read by a meter that is off by all that it may be, in the soil that hides most; four boxes near and far."""
    made, on = context(), network("demonstration", DEMO)
    warm = 1 + 0.00393 * (12 - 20)
    job, analysis = made.job, made.analysis
    meter = meter_error(job)
    for seen, reading in zip(job_seen(job, made.network, made.tables, analysis.lengths, analysis.loops),
                             analysis.loops.opened, strict=True):  # fmt: skip
        if seen.box not in ("B01", "B02", "B37", "B06"):
            continue
        length_m = analysis.lengths[seen.box].circuit_m
        size = {"splice": seen.splice_ohms, "longer": seen.longer_m, "shorter": seen.shorter_m,
                "short": seen.short_ohms}[kind]  # fmt: skip
        if size in (float("inf"), 0.0):
            continue
        for more, outside in ((1.003, True), (0.997, False)):
            always = True
            for limit in reading.limits:
                factor = (1 + 0.00393 * (limit.celsius - 20)) / warm
                runs = [replace(run, core_ohms=run.core_ohms * factor) for run in on.runs]
                fault = {
                    "splice": Fault("splice", seen.box, ohms=size * more),
                    "longer": Fault("length", seen.box, times=1 + size * more / length_m),
                    "shorter": Fault("length", seen.box, times=1 - size * more / length_m),
                    "short": Fault("short", seen.box, ohms=size / more, at=0.5),
                }[kind]
                (read,) = readings(opened(runs, on.closing), [seen.box], fault)
                high = read * (1 - meter.fraction) - meter.fixed > limit.high_ohms
                low = read * (1 + meter.fraction) + meter.fixed < limit.low_ohms
                always &= bool(high or low)
            assert always is outside, (seen, more)
