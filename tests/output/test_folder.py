"""A handbook's folder: whole or not at all, never over somebody else's files, and cleared up after any stop."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

from slackloop.output import folder as folder_module
from slackloop.output.folder import check_output, whole_folder
from slackloop.output.marker import MARKER, OutputRefused, Owner, read_marker, seal_marker

JOB = Owner("job", "T-1", "Test ground")


def write(folder: Path, text: str, owner: Owner = JOB, name: str = "page.html") -> None:
    with whole_folder(folder, owner) as output:
        (output.fresh / name).write_text(text, encoding="utf-8")


def write_half(folder: Path) -> None:
    with whole_folder(folder, JOB) as output:
        (output.fresh / "page.html").write_text("half", encoding="utf-8")
        raise RuntimeError("half way")


def page(folder: Path) -> str:
    return (folder / "page.html").read_text(encoding="utf-8")


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_new_folder_is_written_and_lists_its_files(tmp_path: Path) -> None:
    write(tmp_path / "deep" / "book", "one")
    assert page(tmp_path / "deep" / "book") == "one"
    marker = read_marker(tmp_path / "deep" / "book")
    assert marker is not None
    assert (marker.owner, list(marker.files or ())) == (JOB, ["page.html"])
    assert names(tmp_path / "deep") == ["book"]


def test_own_folder_is_replaced_whole(tmp_path: Path) -> None:
    write(tmp_path / "book", "one", name="stale.html")
    write(tmp_path / "book", "two")
    assert names(tmp_path / "book") == [MARKER, "page.html"]
    assert page(tmp_path / "book") == "two"


def test_folder_of_somebody_else_is_refused(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(OutputRefused, match="did not make"):
        write(tmp_path, "x")
    assert names(tmp_path) == ["notes.txt"]


def test_folder_of_another_job_is_refused_by_name(tmp_path: Path) -> None:
    write(tmp_path / "book", "one")
    for other in (Owner("job", "T-2", "Test ground"), Owner("job", "T-1", "Far ground"), Owner("standard", "T-1")):
        with pytest.raises(OutputRefused, match=f"holds the handbook of job T-1, Test ground; this is {other}"):
            write(tmp_path / "book", "two", other)
    assert page(tmp_path / "book") == "one"
    assert names(tmp_path) == ["book"]


def test_empty_folder_is_taken_and_stays_as_open_as_it_was(tmp_path: Path) -> None:
    (tmp_path / "book").mkdir(mode=0o700)
    write(tmp_path / "book", "one")
    write(tmp_path / "book", "two")
    assert (tmp_path / "book").stat().st_mode & 0o777 == 0o700


def test_file_link_and_other_formats_are_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x", encoding="utf-8")
    (tmp_path / "link").symlink_to(tmp_path)
    for name, number in (("older", 1), ("newer", 99)):
        (tmp_path / name).mkdir()
        (tmp_path / name / MARKER).write_text(json.dumps({"tool": "slackloop", "format": number}), encoding="utf-8")
    whys = {"file": "is a file", "link": "is a link", "newer": "newer version", "older": "earlier version"}
    for name, why in whys.items():
        with pytest.raises(OutputRefused, match=why):
            write(tmp_path / name, "x")


def test_failed_build_leaves_the_last_good_folder(tmp_path: Path) -> None:
    write(tmp_path / "book", "good")
    with pytest.raises(RuntimeError, match="half way"):
        write_half(tmp_path / "book")
    assert page(tmp_path / "book") == "good"
    assert names(tmp_path) == ["book"]


SLOW_BUILD = textwrap.dedent(
    """
    import sys, time
    from pathlib import Path
    from slackloop.output.folder import whole_folder
    from slackloop.output.marker import Owner
    with whole_folder(Path(sys.argv[1]), Owner("job", "T-1", "Test ground")) as output:
        (output.fresh / "page.html").write_text("half")
        print("writing", flush=True)
        time.sleep(600)
    """
)


def start_slow_build(folder: Path) -> subprocess.Popen[str]:
    generator = str(Path(__file__).parents[2] / "generator")
    process = subprocess.Popen(
        [sys.executable, "-c", SLOW_BUILD, str(folder)],
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": generator},
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "writing\n"
    return process


def test_killed_build_leaves_the_last_good_folder_and_the_next_one_clears_up(tmp_path: Path) -> None:
    write(tmp_path / "book", "good")
    with start_slow_build(tmp_path / "book") as process:
        process.send_signal(signal.SIGKILL)
        process.wait()
    assert page(tmp_path / "book") == "good"
    assert len(list(tmp_path.glob(".book-*.new"))) == 1
    assert (tmp_path / ".book.lock").exists()
    write(tmp_path / "book", "next")
    assert page(tmp_path / "book") == "next"
    assert names(tmp_path) == ["book"]


def test_second_build_to_one_folder_is_refused_while_the_first_writes(tmp_path: Path) -> None:
    with start_slow_build(tmp_path / "book") as process:
        try:
            with pytest.raises(OutputRefused, match=r"Another build is writing .*\. Wait until it ends"):
                write(tmp_path / "book", "second")
            assert process.poll() is None
        finally:
            process.kill()
            process.wait()


def test_a_folder_called_old_that_somebody_made_blocks_nobody(tmp_path: Path) -> None:
    write(tmp_path / "book", "one")
    (tmp_path / ".book.old").mkdir()
    (tmp_path / ".book.old" / "x").touch()
    write(tmp_path / "book", "two")
    assert page(tmp_path / "book") == "two"
    assert names(tmp_path) == [".book.old", "book"]


def test_a_stop_while_the_former_folder_is_removed_blocks_no_later_build(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(tmp_path / "book", "one")

    def stopped(old: Path) -> None:
        (old / "page.html").unlink()
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(folder_module, "remove_folder", lambda path: stopped(path) if path.suffix == ".old" else None)
        with pytest.raises(KeyboardInterrupt):
            write(tmp_path / "book", "two")
    assert page(tmp_path / "book") == "two"
    left = [path for path in tmp_path.iterdir() if path.suffix == ".old"]
    assert [names(path) for path in left] == [[MARKER]]
    write(tmp_path / "book", "three")
    assert page(tmp_path / "book") == "three"
    assert names(tmp_path) == ["book"]


@pytest.mark.parametrize("at_once", [True, False], ids=["at once", "by two renames"])
def test_either_the_old_or_the_new_folder_is_whole_at_every_step_of_the_change(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at_once: bool
) -> None:
    """Stops before each rename, as a kill would: what stands there is whole, and the next build works."""
    if not at_once:
        monkeypatch.setattr(folder_module, "exchange", lambda one, other: False)
    for stop_at in range(1, 6):
        book = tmp_path / f"at-{stop_at}" / "book"
        write(book, "one")
        (book / "mine.txt").write_text("mine", encoding="utf-8")
        code = _killed_at_rename(stop_at, at_once)
        done = subprocess.run(
            [sys.executable, "-c", code, str(book)], env={**os.environ, "PYTHONPATH": _generator()}, check=False
        )
        assert done.returncode in (0, 9)
        if at_once:
            assert page(book) in ("one", "two")
        write(book, "three")
        assert page(book) == "three"
        assert (book / "mine.txt").read_text(encoding="utf-8") == "mine"
        assert names(book.parent) == ["book"]
        if done.returncode == 0:
            break
    else:
        pytest.fail("the change has more renames than were tried")


def _generator() -> str:
    return str(Path(__file__).parents[2] / "generator")


def _killed_at_rename(number: int, at_once: bool) -> str:
    return textwrap.dedent(
        f"""
        import os, sys
        from pathlib import Path
        from slackloop.output import folder
        from slackloop.output.marker import Owner
        left = {number}
        def counted(work):
            def counting(*given):
                global left
                left -= 1
                if not left:
                    os._exit(9)
                return work(*given)
            return counting
        folder.exchange = counted(folder.exchange) if {at_once} else lambda one, other: False
        folder.os.rename = counted(os.rename)
        with folder.whole_folder(Path(sys.argv[1]), Owner("job", "T-1", "Test ground")) as output:
            (output.fresh / "page.html").write_text("two")
        """
    )


def test_folder_left_aside_between_two_renames_is_put_back_by_a_build_that_fails(tmp_path: Path) -> None:
    write(tmp_path / "book", "good")
    (tmp_path / "book").rename(tmp_path / ".book-abcdefgh.old")
    with pytest.raises(RuntimeError):
        write_half(tmp_path / "book")
    assert page(tmp_path / "book") == "good"
    assert names(tmp_path) == ["book"]


def test_left_overs_of_a_folder_with_a_longer_name_are_not_touched(tmp_path: Path) -> None:
    other = tmp_path / ".book-two-abcdefgh.new"
    other.mkdir()
    seal_marker(other, JOB)
    mine = tmp_path / ".book-abcdefgh.new"
    mine.mkdir()
    (mine / "kept.txt").write_text("not a left-over of ours", encoding="utf-8")
    write(tmp_path / "book", "one")
    assert other.is_dir()
    assert (mine / "kept.txt").exists()


def test_a_folder_that_cannot_be_replaced_says_why_and_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(tmp_path / "book", "one")
    (tmp_path / "book" / "mine.csv").touch()

    def full(old: Path, new: Path) -> None:
        raise OSError(28, "No space left on device", str(new / "mine.csv"))

    def full_too(fresh: Path, owner: Owner) -> None:
        raise OSError(28, "No space left on device")

    stops = {"keep_files": (full, "mine.csv: no space"), "seal_marker": (full_too, "book cannot be replaced: no space")}
    for name, (stop, why) in stops.items():
        with monkeypatch.context() as patch:
            patch.setattr(folder_module, name, stop)
            with pytest.raises(OutputRefused, match=f"{why} left on device. It is as it was"):
                write(tmp_path / "book", "two")
    assert page(tmp_path / "book") == "one"
    assert names(tmp_path) == ["book"]


def test_check_alone_changes_nothing(tmp_path: Path) -> None:
    check_output(tmp_path / "none" / "book", JOB)
    assert names(tmp_path) == []
