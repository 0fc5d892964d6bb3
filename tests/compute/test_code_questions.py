"""What each code basis asks of a job, on jobs changed one key at a time."""

from __future__ import annotations

from pathlib import Path

import pytest

from samples import chain, job_text
from slackloop.compute.circuit.supply_class import class_limit_amps
from slackloop.document.context import Context
from slackloop.document.inline import plain
from slackloop.document.tables.run_table import run_table
from slackloop.document.worked import Worked, work
from slackloop.reference.table_file import data_folder
from slackloop.reference.tables import load_tables
from slackloop.sections.content import load_content
from slackloop.source.finding import Placed

ARMOUR = ("    jacket: polyethylene\n", "    jacket: polyethylene\n    armour: true\n")
DUCT = ("surface: lawn,", "surface: lawn, duct: 50 mm,")


def worked(folder: Path, *swaps: tuple[str, str], count: int = 3, **changes: str) -> Worked:
    """A chain of boxes under a code basis, with pieces of its text changed everywhere."""
    text = job_text(chain(count), **changes)
    for old, new in swaps:
        assert old in text
        text = text.replace(old, new)
    (folder / "job.yml").write_text(text, encoding="utf-8")
    return work(folder / "job.yml")


def only(job: Worked, code: str) -> Placed:
    """The one finding with a code."""
    (found,) = [finding for finding in job.findings if finding.code == code]
    return found


def codes(job: Worked) -> set[str]:
    return {finding.code for finding in job.findings}


def test_a_bare_cable_is_asked_for_armour_or_a_duct_in_the_uk(tmp_path: Path) -> None:
    """BS 7671 522.8.10: armour, or a duct."""
    found = only(worked(tmp_path, basis="uk"), "burial-armour")
    assert found.level == "warning"
    assert "BS 7671 522.8.10" in found.message
    assert "armour" in found.message
    assert "duct" in found.message
    assert "3 runs" in found.message


@pytest.mark.parametrize("swap", [ARMOUR, DUCT])
def test_armour_or_ducts_answer_the_rule(tmp_path: Path, swap: tuple[str, str]) -> None:
    assert "burial-armour" not in codes(worked(tmp_path, swap, basis="uk"))


def test_one_run_without_a_duct_is_named(tmp_path: Path) -> None:
    job = worked(tmp_path, ("id: B1, ", "id: B1, duct: 50 mm, "), ("id: B3, ", "id: B3, duct: 50 mm, "), basis="uk")
    found = only(job, "burial-armour")
    assert found.box == "B2"
    assert "(B2)" in found.message


def test_a_cable_that_nothing_marks_is_a_finding_in_the_uk(tmp_path: Path) -> None:
    job = worked(tmp_path, ("warning_tape: true", "warning_tape: false"), ARMOUR, basis="uk")
    assert "522.8.10" in only(job, "burial-mark").message
    assert "burial-mark" not in codes(worked(tmp_path, ARMOUR, basis="uk"))


@pytest.mark.parametrize("basis", ["us", "general"])
def test_no_other_basis_asks_for_armour(tmp_path: Path, basis: str) -> None:
    job = worked(tmp_path, ("warning_tape: true", "warning_tape: false"), basis=basis)
    assert not codes(job) & {"burial-armour", "burial-mark"}


@pytest.mark.parametrize(
    ("volts", "current", "amps"),
    [
        (24.0, "ac", None), (30.0, "ac", None), (30.1, "ac", 0.005), (150.0, "ac", 0.005), (151.0, "ac", 0.0),
        (60.0, "dc", None), (60.1, "dc", 0.005), (150.0, "dc", 0.005), (151.0, "dc", 0.0),
    ],
)  # fmt: skip
def test_class_2_current_above_its_volts(volts: float, current: str, amps: float | None) -> None:
    """NFPA 70 Chapter 9 Table 11: 0.005 A from over 30 V ac (60 V dc) to 150 V."""
    bases = load_tables().code_bases
    assert class_limit_amps(volts, bases["us"], current) == amps
    assert class_limit_amps(volts, bases["uk"], current) is None


def test_class_2_notes_as_printed() -> None:
    """Notes 2 and 4 of NFPA 70 Chapter 9 Table 11: wet contact, sources that are no sine, interrupted dc."""
    limits = load_tables().code_bases["us"].power_limit
    assert limits is not None
    ac, dc = limits.row("ac"), limits.row("dc")
    assert ac is not None
    assert dc is not None
    assert (ac.wet_volts, ac.odd_peak_volts, ac.odd_wet_peak_volts) == (15, 42.4, 21.2)
    assert (dc.wet_volts, dc.odd_peak_volts, dc.odd_wet_peak_volts) == (30, 24.8, 12.4)


def test_a_path_above_30_volts_is_asked_about_its_class(tmp_path: Path) -> None:
    found = only(worked(tmp_path, basis="us", volts="36 V"), "power-class")
    assert "up to 5 mA above 30 V" in found.message
    assert "authority having jurisdiction" in found.expected


def test_a_path_of_few_volts_is_asked_about_wet_contact(tmp_path: Path) -> None:
    job = worked(tmp_path, ("least_volts: 22 V", "least_volts: 20 V"), basis="us", volts="26 V")
    assert "15 V ac" in only(job, "power-class-wet").message
    assert "power-class" not in codes(job)


def test_sources_that_are_no_sine_are_asked_about(tmp_path: Path) -> None:
    job = worked(tmp_path, basis="us")
    assert "42.4 V peak" in only(job, "power-class-waveform").message
    job = worked(tmp_path, ("current: ac", "current: dc"), basis="us")
    assert "24.8 V peak" in only(job, "power-class-waveform").message


def test_no_other_basis_has_classes(tmp_path: Path) -> None:
    for basis in ("uk", "general"):
        assert not any(code.startswith("power-class") for code in codes(worked(tmp_path, basis=basis)))


def test_a_shallow_cable_below_30_volts_is_asked_whether_it_is_type_uf(tmp_path: Path) -> None:
    """NFPA 70 Table 300.5: column 5 is for Type UF or other identified cable; else column 1 asks for 24 in."""
    swap = ("least_volts: 22 V", "least_volts: 20 V")
    found = only(worked(tmp_path, swap, basis="us", volts="26 V", cover="300 mm"), "cover-cable")
    assert "Type UF" in found.message
    assert "600 mm (24 in)" in found.message
    for volts, cover in (("26 V", "600 mm"), ("36 V", "300 mm")):
        assert "cover-cable" not in codes(worked(tmp_path, swap, basis="us", volts=volts, cover=cover))


def test_driveway_says_whose_it_is(tmp_path: Path) -> None:
    job = worked(tmp_path, ("surface: lawn", "surface: driveway"), basis="us")
    found = only(job, "surface-driveway")
    assert "one- or two-family dwelling" in found.message
    assert found.level == "note"
    assert job.analysis.covers[0].row == "One- and two-family dwelling driveways and parking"


@pytest.mark.parametrize(
    ("surface", "row"),
    [
        ("drive", "Streets, roads, alleys, driveways, parking"), ("paved", "Not listed below"),
        ("gravel", "Not listed below"),
    ],
)  # fmt: skip
def test_other_surfaces_have_their_own_rows(tmp_path: Path, surface: str, row: str) -> None:
    job = worked(tmp_path, ("surface: lawn", f"surface: {surface}"), basis="us")
    assert {cover.row for cover in job.analysis.covers} == {row}
    assert "surface-driveway" not in codes(job)


def test_electrodes_without_a_surge_part_are_a_finding(tmp_path: Path) -> None:
    found = only(worked(tmp_path, basis="general"), "surge-part-missing")
    assert found.level == "warning"
    assert "surge_part" in found.expected
    part = ("    target:", "    surge_part: {title: Arrester, leads: {conductor: 16 AWG, build: solid}}\n    target:")
    assert "surge-part-missing" not in codes(worked(tmp_path, part, basis="general"))


@pytest.mark.parametrize(("target", "small"), [("24.9 ohm", True), ("26 ohm", True), ("30 ohm", False)])
def test_a_rod_that_just_reaches_its_target_is_no_pass_to_boast_of(tmp_path: Path, target: str, small: bool) -> None:
    """One rod of 2.4 m × 16 mm in 60 ohm m is 24.2 ohm (Dwight)."""
    job = worked(tmp_path, ("target: 10 ohm", f"target: {target}"))
    assert job.analysis.electrodes.rods_for_target == 1
    assert ("electrode-margin-small" in codes(job)) == small
    if small:
        assert "60 ohm m" in only(job, "electrode-margin-small").message


def test_a_duct_needs_the_cover_of_its_own_column_and_asks_whether_it_is_listed(tmp_path: Path) -> None:
    """450 mm is too little over a bare cable in lawn at 36 V, and enough over a listed duct (NFPA 70 Table 300.5)."""
    bare, duct = (worked(tmp_path, *swaps, basis="us", volts="36 V", cover="450 mm") for swaps in ((), (DUCT,)))
    assert {"cover-open", "cover-cable"} & codes(bare) == {"cover-open"}
    assert {"cover-open", "cover-cable"} & codes(duct) == {"cover-cable"}
    found = only(duct, "cover-cable")
    assert "listed for direct burial" in found.message
    assert "24 in" in found.message, "what binds where the duct is not listed"
    assert "duct" in found.hint


def test_too_little_over_a_duct_is_asked_about_in_the_column_of_the_duct(tmp_path: Path) -> None:
    found = only(worked(tmp_path, DUCT, basis="us", volts="36 V", cover="300 mm"), "cover-open")
    assert "column 3" in found.message
    assert "18 in" in found.message


def test_a_sleeve_over_part_of_a_run_is_no_duct(tmp_path: Path) -> None:
    sleeve = ("surface: lawn,", "surface: lawn, crossing: {sleeve: 50 mm, length: 3 m, depth: 700 mm},")
    assert "column 1" in only(worked(tmp_path, sleeve, basis="us", volts="36 V", cover="450 mm"), "cover-open").message


def test_armour_is_read_as_direct_burial_and_the_handbook_says_so(tmp_path: Path) -> None:
    job = worked(tmp_path, ARMOUR, basis="us", volts="36 V", cover="450 mm")
    assert "column 1" in only(job, "cover-open").message
    found = only(job, "cover-armour")
    assert found.level == "note"
    assert "column 1: Direct-buried cable" in found.message
    assert "cover-armour" not in codes(worked(tmp_path, ARMOUR, DUCT, basis="us", cover="450 mm"))
    assert "cover-armour" not in codes(worked(tmp_path, ARMOUR, basis="uk"))


def test_the_run_table_says_which_column_is_read(tmp_path: Path) -> None:
    boxes = chain(2)
    text = job_text([boxes[0].replace(*DUCT), boxes[1]], basis="us", volts="36 V", cover="450 mm")
    (tmp_path / "job.yml").write_text(text, encoding="utf-8")
    job = work(tmp_path / "job.yml")
    table = run_table(Context(job.job, job.analysis, job.tables, load_content(data_folder("content"))))
    notes = " ".join(plain(note) for note in table.notes)
    assert "column 3: Nonmetallic raceway listed for direct burial, for cable in a duct" in notes
    assert "column 1: Direct-buried cable, for cable laid in the ground" in notes
    verdicts = [plain(row[[column.key for column in table.columns].index("verdict")].line) for row in table.rows]
    assert verdicts == ["ask: is it of the kind that the column is for?", "ask: does the row apply?"]
