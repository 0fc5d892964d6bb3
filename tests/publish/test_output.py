"""Safe output: whole or not at all, and never over somebody else's files."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

from slackloop.output.output import MARKER, OutputRefused, is_ours, whole_folder


def write(folder: Path, text: str) -> None:
    with whole_folder(folder) as aside:
        (aside / "page.html").write_text(text, encoding="utf-8")


def write_half(folder: Path) -> None:
    with whole_folder(folder) as aside:
        (aside / "page.html").write_text("half", encoding="utf-8")
        raise RuntimeError("half way")


def test_new_folder_is_written_and_marked(tmp_path: Path) -> None:
    write(tmp_path / "deep" / "book", "one")
    assert (tmp_path / "deep" / "book" / "page.html").read_text(encoding="utf-8") == "one"
    assert is_ours(tmp_path / "deep" / "book")
    assert [path.name for path in (tmp_path / "deep").iterdir()] == ["book"]


def test_own_folder_is_replaced_whole(tmp_path: Path) -> None:
    write(tmp_path / "book", "one")
    (tmp_path / "book" / "stale.html").write_text("old", encoding="utf-8")
    write(tmp_path / "book", "two")
    assert sorted(path.name for path in (tmp_path / "book").iterdir()) == [MARKER, "page.html"]
    assert (tmp_path / "book" / "page.html").read_text(encoding="utf-8") == "two"


def test_folder_of_somebody_else_is_refused(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(OutputRefused, match="did not make"), whole_folder(tmp_path):
        pytest.fail("the block must not run")
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]


def test_empty_folder_is_taken(tmp_path: Path) -> None:
    (tmp_path / "book").mkdir()
    write(tmp_path / "book", "one")
    assert is_ours(tmp_path / "book")


def test_file_link_and_newer_format_are_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x", encoding="utf-8")
    (tmp_path / "link").symlink_to(tmp_path)
    (tmp_path / "newer").mkdir()
    (tmp_path / "newer" / MARKER).write_text(json.dumps({"tool": "slackloop", "format": 99}), encoding="utf-8")
    for name, why in (("file", "is a file"), ("link", "is a link"), ("newer", "newer version")):
        with pytest.raises(OutputRefused, match=why):
            write(tmp_path / name, "x")


def test_failed_build_leaves_the_last_good_folder(tmp_path: Path) -> None:
    write(tmp_path / "book", "good")
    with pytest.raises(RuntimeError, match="half way"):
        write_half(tmp_path / "book")
    assert (tmp_path / "book" / "page.html").read_text(encoding="utf-8") == "good"
    assert [path.name for path in tmp_path.iterdir()] == ["book"]


SLOW_BUILD = textwrap.dedent(
    """
    import sys, time
    from pathlib import Path
    from slackloop.output.output import whole_folder
    with whole_folder(Path(sys.argv[1])) as aside:
        (aside / "page.html").write_text("half")
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
    assert (tmp_path / "book" / "page.html").read_text(encoding="utf-8") == "good"
    assert len(list(tmp_path.glob(".book-*.new"))) == 1
    write(tmp_path / "book", "next")
    assert (tmp_path / "book" / "page.html").read_text(encoding="utf-8") == "next"
    assert [path.name for path in tmp_path.iterdir()] == ["book"]


def test_second_build_to_one_folder_is_refused_while_the_first_writes(tmp_path: Path) -> None:
    with start_slow_build(tmp_path / "book") as process:
        try:
            with pytest.raises(OutputRefused, match="Another build"):
                write(tmp_path / "book", "second")
            assert process.poll() is None, "the refusal came only after the other build had ended"
        finally:
            process.kill()
            process.wait()


def test_folder_left_aside_between_the_two_renames_is_put_back(tmp_path: Path) -> None:
    write(tmp_path / "book", "good")
    (tmp_path / "book").rename(tmp_path / ".book.old")
    with pytest.raises(RuntimeError), whole_folder(tmp_path / "book"):
        raise RuntimeError
    assert (tmp_path / "book" / "page.html").read_text(encoding="utf-8") == "good"


def test_left_overs_of_a_folder_with_a_longer_name_are_not_touched(tmp_path: Path) -> None:
    other = tmp_path / ".book-two-abcdefgh.new"
    other.mkdir()
    (other / MARKER).write_text(json.dumps({"tool": "slackloop", "format": 1}), encoding="utf-8")
    mine = tmp_path / ".book-abcdefgh.new"
    mine.mkdir()
    (mine / "kept.txt").write_text("not a left-over of ours", encoding="utf-8")
    write(tmp_path / "book", "one")
    assert other.is_dir()
    assert (mine / "kept.txt").exists()
