"""One document on its way to paper: what no font can show is found first, then a process of its own sets it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import mkdtemp

from slackloop.render.typst.fonts import print_fonts
from slackloop.render.typst.press import CannotShow, Press, start_press
from slackloop.render.typst.print_glyphs import Glyphs, glyphs_for, refused_even_so
from slackloop.render.typst.print_lettering import outline_labels
from slackloop.render.typst.text import breakable

Files = Mapping[str, bytes]
Make = Callable[[Callable[[str], str], Callable[[str], str]], Files]
"""Gives the source files of a document; what it is given mends each text, and each drawing, for the fonts at hand."""


@dataclass
class Printing:
    """A document that is being printed; ``warnings`` say what is printed otherwise than it was written."""

    make: Make
    timestamp: datetime
    aside: Path
    what: str
    press: Press
    warnings: tuple[str, ...]

    def data(self) -> bytes:
        """The PDF, once it is set; raises as ``Press.data``."""
        try:
            return self.press.data()
        except CannotShow:
            self.warnings = (refused_even_so(self.what).message,)
            self.press = _start(self.make, Glyphs(nothing_odd=True), self.timestamp, self.aside)
            return self.press.data()


def start_printing(
    make: Make, texts: Mapping[str, Iterable[str]], *, what: str, timestamp: datetime, aside: Path
) -> Printing:
    """Begin to print; ``texts`` are all of the document by the page that they are on, ``what`` its name in notes.

    ``aside`` is a folder for files that go when the build is done.
    """
    glyphs, notes = glyphs_for(texts, print_fonts(), what)
    press = _start(make, glyphs, timestamp, aside)
    return Printing(make, timestamp, aside, what, press, tuple(note.message for note in notes))


def _start(make: Make, glyphs: Glyphs, timestamp: datetime, aside: Path) -> Press:
    folder = Path(mkdtemp(prefix="press-", dir=aside))

    def drawn(svg: str) -> str:
        return outline_labels(glyphs.shown(svg))

    return start_press(make(lambda text: breakable(glyphs.shown(text)), drawn), timestamp, folder)
