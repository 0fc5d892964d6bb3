"""What a person put into a handbook's folder, or changed there, is in the next one and the one after."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from slackloop.output.folder import whole_folder
from slackloop.output.kept import Kept
from slackloop.output.marker import MARKER, Owner

JOB = Owner("job", "T-1", "Test ground")
PAGES = {"index.html": "start", "cards.pdf": "cards", "boxes/B01.html": "box"}


def build(folder: Path, pages: dict[str, str] | None = None) -> tuple[Kept, ...]:
    with whole_folder(folder, JOB) as output:
        for name, text in (pages or PAGES).items():
            (output.fresh / name).parent.mkdir(exist_ok=True)
            (output.fresh / name).write_text(text, encoding="utf-8")
    assert [path.name for path in folder.parent.iterdir()] == [folder.name]
    return output.kept


def listed(folder: Path) -> dict[str, str]:
    """Every file by its path, with what it says; links and empty folders as such."""
    found = {}
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        if path.is_symlink():
            found[name] = f"-> {os.readlink(path)}"
        elif path.is_file():
            found[name] = path.read_text(encoding="utf-8")
        elif path.is_dir() and not any(path.iterdir()):
            found[name] = "(empty)"
    found.pop(MARKER)
    return found


def test_a_file_in_nobodys_way_keeps_its_place_through_three_builds(tmp_path: Path) -> None:
    book = tmp_path / "book"
    build(book)
    (book / "as-built-readings.csv").write_text("1", encoding="utf-8")
    (book / "boxes" / "photos" / "deep").mkdir(parents=True)
    (book / "boxes" / "photos" / "deep" / "B01.jpg").write_text("photo", encoding="utf-8")
    (book / "to come").mkdir()
    mine = {"as-built-readings.csv": "1", "boxes/photos/deep/B01.jpg": "photo", "to come": "(empty)"}
    for _ in range(3):
        kept = build(book)
        assert [(each.was, each.path) for each in kept] == [(name, name) for name in sorted(mine)]
        assert listed(book) == PAGES | mine


def test_a_file_of_ours_that_was_filled_in_goes_into_a_folder_of_its_own(tmp_path: Path) -> None:
    book = tmp_path / "book"
    build(book)
    (book / "cards.pdf").write_text("signed", encoding="utf-8")
    assert build(book) == (Kept("cards.pdf", "kept/cards.pdf"),)
    assert listed(book) == PAGES | {"kept/cards.pdf": "signed"}
    assert build(book) == (Kept("kept/cards.pdf", "kept/cards.pdf"),)
    (book / "cards.pdf").write_text("signed again", encoding="utf-8")
    assert Kept("cards.pdf", "kept/cards-2.pdf") in build(book)
    assert listed(book) == PAGES | {"kept/cards.pdf": "signed", "kept/cards-2.pdf": "signed again"}
    (book / "cards.pdf").write_text("signed again", encoding="utf-8")
    assert Kept("cards.pdf", "kept/cards-2.pdf") in build(book)
    assert listed(book) == PAGES | {"kept/cards.pdf": "signed", "kept/cards-2.pdf": "signed again"}


def test_a_changed_file_that_the_new_handbook_lacks_keeps_its_place(tmp_path: Path) -> None:
    book = tmp_path / "book"
    build(book)
    (book / "boxes" / "B01.html").write_text("noted", encoding="utf-8")
    assert build(book, {"index.html": "start"}) == (Kept("boxes/B01.html", "boxes/B01.html"),)
    assert listed(book) == {"index.html": "start", "boxes/B01.html": "noted"}


def test_an_unchanged_page_of_a_box_that_is_gone_goes_too(tmp_path: Path) -> None:
    book = tmp_path / "book"
    build(book)
    assert build(book, {"index.html": "start"}) == ()
    assert listed(book) == {"index.html": "start"}


def test_a_file_where_the_new_handbook_has_one_of_its_own_makes_room(tmp_path: Path) -> None:
    book = tmp_path / "book"
    build(book)
    (book / "plan.html").write_text("mine", encoding="utf-8")
    (book / "extra").write_text("mine too", encoding="utf-8")
    kept = build(book, PAGES | {"plan.html": "theirs", "extra/page.html": "x"})
    assert kept == (Kept("extra", "kept/extra"), Kept("plan.html", "kept/plan.html"))
    assert listed(book)["kept/plan.html"] == "mine"
    assert listed(book)["plan.html"] == "theirs"


def test_links_go_along_and_are_never_followed(tmp_path: Path) -> None:
    book, far = tmp_path / "here" / "book", tmp_path / "far"
    far.mkdir()
    (far / "secret.txt").write_text("far", encoding="utf-8")
    build(book)
    (book / "to-far").symlink_to(far)
    (book / "broken").symlink_to("nowhere")
    (book / "boxes" / "B01.html").unlink()
    (book / "boxes").rmdir()
    (book / "boxes").symlink_to(far)
    kept = build(book)
    assert Kept("boxes", "kept/boxes") in kept
    build(book)
    links = {"to-far": f"-> {far}", "broken": "-> nowhere", "kept/boxes": f"-> {far}"}
    assert listed(book) == PAGES | links
    assert [path.name for path in far.iterdir()] == ["secret.txt"]


def test_files_and_folders_closed_to_writing_go_along_as_they_are(tmp_path: Path) -> None:
    book = tmp_path / "book"
    build(book)
    (book / "signed").mkdir()
    (book / "signed" / "card.pdf").write_text("signed", encoding="utf-8")
    (book / "signed" / "card.pdf").chmod(0o444)
    (book / "signed").chmod(0o555)
    try:
        for _ in range(3):
            build(book)
            assert (book / "signed" / "card.pdf").read_text(encoding="utf-8") == "signed"
            assert (book / "signed" / "card.pdf").stat().st_mode & 0o777 == 0o444
            assert (book / "signed").stat().st_mode & 0o777 == 0o555
    finally:
        (book / "signed").chmod(0o755)


def test_a_disk_without_links_gets_copies(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*given: object, **named: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    book = tmp_path / "book"
    build(book)
    (book / "mine.csv").write_text("1", encoding="utf-8")
    os.utime(book / "mine.csv", (1_000_000_000, 1_000_000_000))
    monkeypatch.setattr(os, "link", none)
    build(book)
    assert (book / "mine.csv").read_text(encoding="utf-8") == "1"
    assert (book / "mine.csv").stat().st_mtime == 1_000_000_000


def test_a_file_written_while_the_folders_change_places_is_not_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Somebody saves a reading after the files were taken along and before the former folder is removed."""
    from slackloop.output import folder as folder_module

    book, real = tmp_path / "book", folder_module.exchange
    build(book)

    def saved_meanwhile(one: Path, other: Path) -> bool:
        (other / "late.csv").write_text("late", encoding="utf-8")
        (other / "cards.pdf").write_text("signed late", encoding="utf-8")
        return real(one, other)

    monkeypatch.setattr(folder_module, "exchange", saved_meanwhile)
    build(book)
    assert listed(book) == PAGES | {"late.csv": "late", "kept/cards.pdf": "signed late"}


def test_names_of_odd_bytes_go_along(tmp_path: Path) -> None:
    book = tmp_path / "book"
    build(book)
    odd = os.fsencode(book) + b"/\xff\xfe.csv"
    with open(odd, "w", encoding="utf-8") as file:
        file.write("odd")
    build(book)
    build(book)
    assert os.path.exists(odd)
