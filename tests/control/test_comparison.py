"""A changed run, limit, step and cable each show with the right boxes and nobody else's."""

from __future__ import annotations

from pathlib import Path

import pytest

from control.control_samples import ELECTRODE_SECTION, changed, own_step, signed_job, snapshot_of, written
from slackloop.control.change_words import chapters, summary
from slackloop.control.comparison import Change, Comparison, compare
from slackloop.control.fingerprint import input_path
from slackloop.control.snapshot import Snapshot, SnapshotUnreadable, Told, read_snapshot, snapshot_bytes

DOWNSTREAM = ("B4", "B5")
"""The boxes behind the run to B4; B6 hangs on B2."""


def after(small: Snapshot, folder: Path, text: str) -> Comparison:
    """The small job compared with the job of ``text``."""
    return compare(small, snapshot_of(written(folder, text)))


def one(changes: tuple[Change, ...], subject: str) -> Change:
    """The only change of a subject."""
    (found,) = (each for each in changes if each.subject == subject)
    return found


def all_words(comparison: Comparison) -> str:
    """Everything that the list of changes says."""
    return "\n".join(text for chapter in chapters(comparison) for part in chapter.parts for text in part.lines)


def why(comparison: Comparison, box: str) -> tuple[str, ...]:
    """What differs on a card."""
    return next(each.labels for each in comparison.cards if each.box == box)


def test_a_changed_run_shows_at_its_box_the_box_before_and_those_behind(small: Snapshot, tmp_path: Path) -> None:
    text = changed(signed_job(), "id: B4, from: B3, run: 50 m", "id: B4, from: B3, run: 58 m")
    found = after(small, tmp_path, text)
    assert found.cards_that_are("void") == ("B3", *DOWNSTREAM)
    assert why(found, "B3") == ("Wiring, run to B4",), "the card of the box before shows the length of the run out"
    assert "Run stage" in why(found, "B4")
    assert why(found, "B5") == ("Loop limits",)
    run = one(found.of("input"), "Length of the run along the trench")
    assert (run.old.text, run.new.text, run.boxes) == ("50 m", "58 m", ("B4",))
    cable = one(found.of("value"), "Length of cable, with slack")
    assert cable.boxes == ("B4",)
    assert cable.move == pytest.approx(8.0)
    assert cable.new.unit == "m"
    assert {box for each in found.of("limit") for box in each.boxes} == set(DOWNSTREAM)
    assert {each.subject for each in found.of("limit", "crew")} == {"Loop limits"}
    assert not found.of("limit", "contractor")
    assert any(each.key == "cable main" for each in found.of("order", "contractor"))
    assert not found.of("step") or all("run" not in each.subject for each in found.of("step"))
    assert "B6" not in all_words(found)


def test_a_changed_limit_shows_where_it_is_measured(small: Snapshot, tmp_path: Path) -> None:
    found = after(small, tmp_path, changed(signed_job(), "target: 10 ohm", "target: 8 ohm"))
    assert found.cards_that_are("void") == ("B5", "B6"), "the boxes with an electrode"
    limit = one(found.of("limit", "inspector"), "C-EARTH-2 Electrode resistance")
    assert limit.boxes == ("B5", "B6")
    assert "10 Ω" in limit.old.text
    assert "8 Ω" in limit.new.text
    assert one(found.of("input"), "Earth electrodes along the path: most resistance of one electrode to earth")
    words = all_words(found)
    assert all(box not in words for box in ("B1", "B2", "B3", "B4"))


def test_a_limit_of_every_run_makes_every_card_void(small: Snapshot, tmp_path: Path) -> None:
    found = after(small, tmp_path, changed(signed_job(), "least: 10 Mohm", "least: 20 Mohm"))
    assert found.cards_that_are("void") == tuple(small.cards)
    now, was = (f"{least} MΩ or more, 500 V" for least in (20, 10))
    assert f"Every box. Insulation, lowest of 3: now {now} (was {was})." in all_words(found)


def test_a_changed_step_shows_to_the_crew_with_the_boxes_where_it_is_done(small: Snapshot, tmp_path: Path) -> None:
    job = written(tmp_path, signed_job())
    was = own_step(job, ELECTRODE_SECTION, "drive-the-rod", "Drive the rod with care.")
    found = compare(small, snapshot_of(job))
    (step,) = found.changes
    assert step.kind == "step"
    assert step.boxes == ("B5", "B6")
    assert step.old.text == was
    assert step.new.text == "Drive the rod with care."
    assert "crew" in step.readers
    assert "contractor" not in step.readers
    assert not found.cards, "the step is in the method, not on a card"


def test_a_step_that_is_new_or_gone_is_told_and_one_that_only_moves_is_not(small: Snapshot, tmp_path: Path) -> None:
    job = written(tmp_path, signed_job())
    was = own_step(job, ELECTRODE_SECTION, "find-the-place", None)
    found = compare(small, snapshot_of(job))
    step, *of_it = found.changes
    assert step.old.text == was
    reject = "the card shows no electrode. Ask the contractor before you drive a rod."
    why, told = (each.old.text for each in of_it)
    assert why.startswith("The electrode at the controller has no card.")
    assert told == reject
    assert {each.new for each in found.changes} == {Told("")}
    assert {each.boxes for each in found.changes} == {("B5", "B6")}


def test_a_changed_cable_shows_at_both_ends_of_its_run_and_behind(small: Snapshot, tmp_path: Path) -> None:
    thick = "  thick:\n    conductor: 12 AWG\n    build: solid\n    cores: {a: orange, b: grey}\n" \
        "    jacket: polyethylene\n    jacket_od: 11 mm\n    reel: 500 m\ndevices:\n"  # fmt: skip
    base = changed(signed_job(), "devices:\n", thick)
    before = snapshot_of(written(tmp_path / "a", changed(base, "id: B6, from: B2", "id: B6, cable: thick, from: B2")))
    both = changed(base, "id: B6, from: B2", "id: B6, cable: thick, from: B2")
    found = compare(
        before,
        snapshot_of(written(tmp_path / "b", changed(both, "id: B5, from: B4", "id: B5, cable: thick, from: B4"))),
    )
    assert found.cards_that_are("void") == ("B4", "B5")
    assert "Wiring, run to B5" in why(found, "B4")
    assert one(found.of("value"), "Cable of the run").boxes == ("B5",)
    assert one(found.of("value", "crew"), "Cable of the run").new.text.startswith("12 AWG")
    assert {"cable main", "cable thick"} <= {each.key for each in found.of("order")}
    assert not {box for each in found.of("limit") for box in each.boxes} - {"B5"}


def test_a_run_that_closes_a_ring_has_a_card_of_its_own(tmp_path: Path) -> None:
    base = signed_job(ring="true") + "  ring_closures:\n    - {from: B6, to: B5, run: 70 m}\n"
    before = snapshot_of(written(tmp_path / "a", base))
    found = compare(before, snapshot_of(written(tmp_path / "b", changed(base, "run: 70 m", "run: 75 m"))))
    assert "B6-B5" in found.cards_that_are("void")
    assert one(found.of("input"), "Length of the run").boxes == ("B6-B5",)
    assert one(found.of("value"), "Length of cable, with slack").boxes == ("B6-B5",)


def test_new_boxes_and_boxes_that_are_gone_are_told_once(small: Snapshot, tmp_path: Path) -> None:
    found = after(small, tmp_path, changed(signed_job(), "{id: B6, from: B2", "{id: B7, from: B2"))
    assert found.cards_that_are("new") == ("B7",)
    assert found.cards_that_are("gone") == ("B6",)
    assert "B2" in found.cards_that_are("void"), "its drawing names the box that the run goes to"


def test_nothing_is_told_of_a_revision_that_changes_nothing(small: Snapshot, tmp_path: Path) -> None:
    found = after(small, tmp_path, "# a remark\n" + signed_job("B", "2026-05-04"))
    assert found.is_empty, found
    assert chapters(found) == ()
    assert summary(found) == "No value, limit, step or order changed"


def test_an_answer_that_is_taken_back_is_told_to_contractor_and_inspector(small: Snapshot, tmp_path: Path) -> None:
    text = signed_job().replace("answers:\n  surge-part-missing:", "answers:\n  frequency-unknown:")
    found = after(small, tmp_path, text)
    assert all(each.readers == ("contractor", "inspector") for each in found.of("question"))
    assert any(each.new.text == "not answered by the maker of the device" for each in found.of("question"))


def test_a_snapshot_comes_back_from_its_bytes_and_nothing_else_does(small: Snapshot) -> None:
    data = snapshot_bytes(small)
    assert read_snapshot(data) == small
    for wrong in (b"", b"{}", b"[1]", data[: len(data) // 2], data.replace(b'"format":1', b'"format":9', 1)):
        with pytest.raises(SnapshotUnreadable):
            read_snapshot(wrong)


def test_an_answer_to_what_was_not_known_is_told_of_the_thing(tmp_path: Path) -> None:
    sure = changed(signed_job(), "{id: B6, from: B2,", "{id: B6, address: A7, from: B2,")
    unsure = changed(sure, "address: A7", "address: unknown")
    for old, new in (("soil_resistivity: 60 ohm m", "soil_resistivity: unknown"), ("reel: 750 m", "reel: unknown"),
                     ("least_volts: 20 V", "least_volts: unknown"), ("limit: 4 A", "limit: assumed 4 A")):  # fmt: skip
        unsure = changed(unsure, old, new)
    first, last = (snapshot_of(written(tmp_path / name, text)) for name, text in (("1", unsure), ("2", sure)))
    found = compare(first, last)
    told = all_words(found)
    cable = last.names["cables"]["main"]
    for line in (
        "Measured soil resistivity: now 60 ohm m (was not known).",
        "Address set in the device, B6: now A7 (was not known).",
        f"{cable}: length of cable on one reel: now 750 m (was not known).",
        "One-output decoder: least volts of the device: now 20 V (was not known).",
        "Facts that nobody is sure of: no longer: 1 assumed, 4 not known, not answered by the designer.",
        "The cable main is used by runs and states no reel length: no longer: a warning.",
    ):  # fmt: skip
        assert line in told.split("\n"), told
    part = compare(first, snapshot_of(written(tmp_path / "3", changed(unsure, "reel: unknown", "reel: 750 m"))))
    counted = one(part.of("question"), "Facts that nobody is sure of")
    assert counted.old.text == "1 assumed, 4 not known, not answered by the designer"
    assert counted.new.text == "1 assumed, 3 not known, not answered by the designer"
    assert not any("Other figures" in each.subject or "." in each.subject for each in part.of("question"))


@pytest.mark.parametrize(
    ("key", "path"),
    [("conditions.frost_depth", "conditions.frost_depth"), ("path.boxes[B07].address", "path.boxes[B07].address"),
     ("path.boxes[12].devices[0].address", "path.boxes[12].devices[1].address")],
)  # fmt: skip
def test_a_fact_is_found_among_the_values_of_a_job(key: str, path: str) -> None:
    assert input_path(key) == path
