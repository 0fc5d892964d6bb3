"""Two releases and a PDF of each are told apart; so is a byte that was altered, in a PDF, a page or a job."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from control.conftest import Released
from control.control_samples import changed, signed_job, written
from slackloop.cli import main
from slackloop.control.copy_claims import code_claims
from slackloop.control.fingerprint import draft_fingerprint
from slackloop.control.releases import hashes_bytes
from slackloop.control.verification import judge


class Said:
    """What ``verify`` answers: its status, its state, and what it prints."""

    def __init__(self, capsys: pytest.CaptureFixture[str], *words: str) -> None:
        self.status = main(["verify", *words])
        self.text = capsys.readouterr().out
        self.state = self.text.split(":")[0]


@pytest.mark.parametrize("name", ["handbook/handbook.pdf", "handbook/cards.pdf", "source/job.yml"])
@pytest.mark.parametrize("known", ["", "hashes.json"])
def test_a_file_of_each_release_is_told_apart(
    released: Released, capsys: pytest.CaptureFixture[str], name: str, known: str
) -> None:
    where = ("--releases", str(released.folder / known))
    new = Said(capsys, str(released.b / name), *where)
    assert (new.status, new.state) == (0, "current")
    assert "T-1, revision B of 2026-05-04" in new.text
    old = Said(capsys, str(released.a / name), *where)
    assert (old.status, old.state) == (1, "superseded")
    assert "revision A of 2026-04-14, superseded by revision B of 2026-05-04" in old.text


@pytest.mark.parametrize("place", [200, 0.5, -40])
@pytest.mark.parametrize("name", ["handbook/handbook.pdf", "handbook/cards.pdf"])
def test_an_altered_byte_of_a_pdf_is_found(
    released: Released, tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str, place: float
) -> None:
    """Wherever the byte is, the copy is not current; where the PDF still says what it is of, it is called altered."""
    data = bytearray((released.b / name).read_bytes())
    at = int(len(data) * place) if isinstance(place, float) else int(place)
    data[at] ^= 1
    copy = tmp_path / "copy.pdf"
    copy.write_bytes(data)
    said = Said(capsys, str(copy), "--releases", str(released.folder))
    assert said.status != 0
    assert said.state in {"altered", "unknown"}
    if place == 0.5:
        assert said.state == "altered"
        assert "Do not use it" in said.text


def test_an_altered_byte_of_any_released_file_is_found(
    released: Released, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every kind of file of a release, one byte of each changed: nothing altered is called current, or superseded."""
    copies = 0
    for name in released.record("B").files:
        kind = Path(name).suffix
        if kind in {".pdf", ".yml"}:
            continue  # a PDF is tried at three places, and a job is compared by what it states
        data = bytearray((released.b / name).read_bytes())
        if not data:
            continue
        data[len(data) // 2] ^= 1
        copy = tmp_path / f"copy{kind}"
        copy.write_bytes(data)
        said = Said(capsys, str(copy), "--releases", str(released.folder))
        assert said.state in {"altered", "unknown"}, name
        copies += 1
    assert copies > 50


def test_the_code_of_a_card_is_told_apart(released: Released, capsys: pytest.CaptureFixture[str]) -> None:
    where = ("--releases", str(released.folder))
    for revision, status, state in (("A", 1, "superseded"), ("B", 0, "current")):
        short = released.record(revision).fingerprint[:12]
        words = f"job T-1; revision {revision}; fingerprint {short}; box B3"
        address = f"https://example.org/h/boxes/b3.html?job=T-1&revision={revision}&fingerprint={short}"
        for text in (words, address):
            said = Said(capsys, text, *where)
            assert (said.status, said.state) == (status, state)
    mixed = f"job T-1; revision B; fingerprint {released.record('A').fingerprint[:12]}; box B3"
    assert Said(capsys, mixed, *where).state == "altered"
    assert Said(capsys, "job T-1; revision C; fingerprint 0123456789ab; box B3", *where).state == "unknown"
    assert Said(capsys, "job T-1; revision B; fingerprint 0123456789ab; box B3", *where).state == "altered"
    assert Said(capsys, "https://example.org/boxes/b3.html", *where).status == 2


def test_a_short_fingerprint_proves_nothing(released: Released) -> None:
    records = (released.record("A"), released.record("B"))
    short = released.record("B").fingerprint[:6]
    assert judge(code_claims(f"job X; revision B; fingerprint {short}; box B3"), records).state == "unknown"


def test_a_job_is_compared_by_what_it_states(
    released: Released, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    where = ("--releases", str(released.folder))
    text = released.job.read_text(encoding="utf-8")
    remark = written(tmp_path / "remark", f"# a remark\n{text}")
    assert Said(capsys, str(remark), *where).state == "current"
    altered = written(tmp_path / "altered", changed(text, "least: 10 Mohm", "least: 1 Mohm"))
    assert Said(capsys, str(altered), *where).state == "altered"
    later = written(tmp_path / "later", signed_job("C", "2026-06-01"))
    said = Said(capsys, str(later), *where)
    assert (said.status, said.state) == (2, "unknown")
    assert "revision C of T-1 is not among the releases; the newest is revision B" in said.text


def test_a_file_of_records_says_which_handbook_it_is_of(
    released: Released, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    where = ("--releases", str(released.folder))
    head = "box,check,value,unit,by,when,note\nB3,C-BOX-1,1.5,m,Crew,2026-05-06,\n"
    for revision, state in (("A", "superseded"), ("B", "current")):
        place = tmp_path / f"{revision}.csv"
        place.write_text(f"{head}job,HANDBOOK,{released.record(revision).fingerprint},,,,\n", encoding="utf-8")
        assert Said(capsys, str(place), *where).state == state
    place = tmp_path / "nothing.csv"
    place.write_text(head, encoding="utf-8")
    assert Said(capsys, str(place), *where).state == "unknown"


def test_a_folder_is_compared_file_by_file(
    released: Released, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    where = ("--releases", str(released.folder / "hashes.json"))
    assert Said(capsys, str(released.a), *where).state == "superseded"
    assert Said(capsys, str(released.b / "handbook"), *where).state == "current"
    copy = tmp_path / "site"
    shutil.copytree(released.b / "handbook", copy)
    (copy / "notes.txt").write_text("mine", encoding="utf-8")
    said = Said(capsys, str(copy), *where)
    assert said.state == "current"
    assert "1 file is not from the release: notes.txt" in said.text
    page = copy / "boxes" / "b3.html"
    page.write_text(page.read_text(encoding="utf-8").replace("58", "59"), encoding="utf-8")
    said = Said(capsys, str(copy), *where)
    assert (said.status, said.state) == (1, "altered")
    assert "1 file is altered: boxes/b3.html" in said.text
    shutil.copyfile(released.b / "handbook" / "boxes" / "b3.html", page)
    (copy / "cards.pdf").unlink()
    assert "1 file is missing: cards.pdf" in Said(capsys, str(copy), *where).text


def test_other_files_are_unknown(released: Released, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    where = ("--releases", str(released.folder))
    odd = {"a.pdf": b"%PDF-1.7 broken", "a.json": b"[" * 100_000, "a.csv": b"\xff\xfe", "a.yml": b"a: b", "a": b""}
    for name, data in odd.items():
        place = tmp_path / name
        place.write_bytes(data)
        assert Said(capsys, str(place), *where).status == 2, name
    (tmp_path / "empty").mkdir()
    assert Said(capsys, str(tmp_path / "empty"), *where).state == "unknown"
    assert main(["verify", str(tmp_path / "no-such-file")]) == 2
    assert "there is no such file" in capsys.readouterr().err
    assert Said(capsys, str(tmp_path / "a.yml")).status == 2, "no releases beside it"


def test_the_answer_as_data_names_both_releases(released: Released, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", "--json", str(released.a / "handbook" / "handbook.pdf")]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["state"] == "superseded"
    assert (told["release"]["revision"], told["current"]["revision"]) == ("A", "B")


def test_a_build_beside_a_draft_says_the_same_and_is_not_called_altered(
    released: Released, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Its pages do not say that they are a draft, so its fingerprint is another one than that of the release."""
    b = released.record("B")
    draft = replace(b, draft=True, fingerprint=draft_fingerprint(b.fingerprint), files={"handbook/index.html": "0"})
    listed = tmp_path / "hashes.json"
    listed.write_bytes(hashes_bytes((draft,)))
    for name in ("handbook", "handbook/handbook.pdf", "handbook/snapshot.json", "handbook/check.json"):
        said = Said(capsys, str(released.b / name), "--releases", str(listed))
        assert (said.status, said.state) == (2, "unknown"), said.text
        assert "says the same as T-1, revision B of 2026-05-04, which is out as a draft" in said.text
        assert "Do not use it" not in said.text
    other = Said(capsys, str(released.a / "handbook"), "--releases", str(listed))
    assert "says the same" not in other.text


def test_a_draft_does_not_take_the_place_of_a_release(released: Released) -> None:
    a, b = released.record("A"), replace(released.record("B"), draft=True)
    of = {each.revision: code_claims(f"job T-1; revision {each.revision}; fingerprint {each.fingerprint}; box B3")
          for each in (a, b)}  # fmt: skip
    assert judge(of["A"], (a, b)).state == "current"
    assert "is out as a draft" in judge(of["A"], (a, b)).text
    assert judge(of["B"], (a, b)).state == "superseded"
    assert "not for use on site" in judge(of["B"], (b,)).text
