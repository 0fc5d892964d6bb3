"""The press sets documents while something else is done: one at a time, in the language of who asks, and none after."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import CancelledError
from datetime import UTC, datetime
from pathlib import Path

import pytest

from slackloop.language.messages import read_catalogue, said, speaking
from slackloop.reference.table_file import data_folder
from slackloop.render.typst.press import Over, Press
from slackloop.render.typst.print_glyphs import Glyphs
from slackloop.render.typst.printed import Printing
from slackloop.render.typst.setter import PrintError

SLEEPER = "import sys; print('up', flush=True); sys.stdin.read()"
WHEN = datetime(2026, 1, 1, tzinfo=UTC)


def sleep(over: Over) -> bytes:
    """A process that would never end by itself, in place of one that sets a document."""
    with (
        subprocess.Popen([sys.executable, "-c", SLEEPER], stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process,
        over(process),
    ):
        assert process.stdout is not None
        process.stdout.readline()
        return b"ended by %d" % -process.wait()


def test_what_is_not_done_at_the_end_is_dropped() -> None:
    with Press() as press:
        first, second = press.begin(sleep), press.begin(sleep)
        while not first.running():
            pass
    assert first.result() == b"ended by 9"
    with pytest.raises(CancelledError):
        second.result()


def test_it_speaks_the_language_of_who_asks() -> None:
    messages = read_catalogue(data_folder("content") / "es", "es").messages()
    with Press() as press:
        with speaking(messages):
            spanish = press.begin(lambda over: said("Box cards").encode())
        english = press.begin(lambda over: said("Box cards").encode())
        assert spanish.result() != english.result() == b"Box cards"


def test_a_part_that_cannot_be_made_ends_the_document(tmp_path: Path) -> None:
    def parts(shown: object, drawn: object) -> Iterator[dict[str, bytes]]:
        yield {"main.typ": b'#set document(title: "A")\nA'}
        raise PrintError("no second part")

    printing = Printing(parts, Glyphs(), WHEN, tmp_path / "sources", "cards", ())
    printing.folder.mkdir()
    with pytest.raises(PrintError, match="no second part"), Press() as press:
        printing.begin(press)
    assert printing._ahead is not None
    assert printing._ahead.done()
