"""One document on its way to paper: what no font can show is found first, then a process of its own sets it."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import Future
from dataclasses import dataclass
from datetime import datetime
from functools import cache, partial
from pathlib import Path
from queue import SimpleQueue
from tempfile import mkdtemp

from slackloop.render.typst.joined_pdf import NotOfOurPress
from slackloop.render.typst.press import CannotShow, Files, Press, lay_sources, set_document
from slackloop.render.typst.print_fonts import print_fonts
from slackloop.render.typst.print_glyphs import Glyphs, glyphs_for, outline_labels, refused_even_so
from slackloop.render.typst.print_text import breakable

Make = Callable[[Callable[[str], str], Callable[[str], str]], Files | Iterable[Files]]
"""Gives the source files of a document, or of each of its parts; what it is given mends each text, and each drawing,
for the fonts at hand."""


@dataclass
class Printing:
    """A document on its way to paper; ``warnings`` say what is printed otherwise than it was written."""

    make: Make
    glyphs: Glyphs
    timestamp: datetime
    folder: Path
    """Where its source files lie while it is set."""
    what: str
    warnings: tuple[str, ...]
    whole: Make | None = None
    """As ``make`` in one part, for parts that cannot be joined."""
    _ahead: Future[bytes] | None = None

    def lay(self) -> list[Path]:
        """Lay its source files into its folder, to be set from there."""
        return list(self._lay(self.make))

    def begin(self, press: Press) -> None:
        """Set it while this process does something else, the first part as soon as it is laid out."""
        laid: SimpleQueue[Path | None] = SimpleQueue()
        self._ahead = press.begin(partial(set_document, iter(laid.get, None)))
        try:
            for part in self._lay(self.make):
                laid.put(part)
        finally:
            laid.put(None)

    def data(self) -> bytes:
        """The PDF, once it is set; raises as ``press.set_document``.

        Parts of a press that builds its files in another way cannot be joined: the document is then set whole, which
        takes more memory.
        """
        try:
            return self._shown()
        except NotOfOurPress:
            if self.whole is None:
                raise
            return self._set(self.whole)

    def _shown(self) -> bytes:
        try:
            return self._ahead.result() if self._ahead else self._set(self.make)
        except CannotShow:
            self.warnings = (refused_even_so(self.what).message,)
            self.glyphs = Glyphs(nothing_odd=True)
            return self._set(self.make)

    def _set(self, make: Make) -> bytes:
        return set_document(list(self._lay(make)))

    def _lay(self, make: Make) -> Iterator[Path]:
        """Lay the sources out anew."""
        shutil.rmtree(self.folder)
        self.folder.mkdir()
        return lay_sources(self._files(make), self.timestamp, self.folder)

    def _files(self, make: Make) -> Iterable[Files]:
        glyphs = self.glyphs

        def drawn(svg: str) -> str:
            return outline_labels(glyphs.shown(svg))

        files = make(cache(lambda text: breakable(glyphs.shown(text))), drawn)
        return [files] if isinstance(files, Mapping) else files


def prepare_printing(
    make: Make, texts: Mapping[str, Iterable[str]], *, what: str, timestamp: datetime, aside: Path, plain: bool = False,
    whole: Make | None = None,
) -> Printing:  # fmt: skip
    """What is needed to print, with a new folder in ``aside``, which is there for files that do not stay.

    ``texts`` are all of the document by the page that they are on, ``what`` its name in notes. ``plain`` shows nothing
    odd: for a document that was refused. ``whole`` gives the document in one part, where ``make`` gives several.
    """
    folder = Path(mkdtemp(prefix=".press-", dir=aside))
    usual = () if plain else glyphs_for(texts, print_fonts(), what)
    glyphs, notes = usual or (Glyphs(nothing_odd=True), [refused_even_so(what)])
    return Printing(make, glyphs, timestamp, folder, what, tuple(note.message for note in notes), whole)
