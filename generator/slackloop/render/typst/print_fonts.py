"""The fonts of the printed handbook, and which characters they can show.

The text face and the faces for other scripts are open-licensed packages (SIL Open Font License). Where
they lack a sign, the open faces that come inside the Typst package stand in. Nothing is taken from the
system, so that every machine prints the same.

Written characters as a reader counts them: a letter with its marks, a sign with its selector, a flag.

A font may have every code point of such a cluster and not the cluster, or the other way round, so what
can be printed is asked for whole clusters and for whole runs of them, never for single code points.

The fonts of the printed handbook.
"""

from __future__ import annotations

import functools
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from importlib.util import find_spec
from pathlib import Path

import regex
import typst

from slackloop.render.typst.print_text import literal, never_shown, number_of

_CLUSTER = regex.compile(r"\X")
"""An extended grapheme cluster (Unicode Standard Annex 29)."""

_ALWAYS_THERE = "\x20-\x7e\t\n\r\f\v°×·–—‘’“”…²³½¼¾±§©µÉéüöäñ€"
_ODD = regex.compile(f"[^{_ALWAYS_THERE}]")
"""What the text face may lack; a text without such a character is printed as it stands."""

_ADDED = regex.compile(
    "[\ufe00-\ufe0f\U000e0100-\U000e01ef\u200c\u200d\u20e3\U0001f3fb-\U0001f3ff\U000e0020-\U000e007f]"
)
"""Selectors of a form, joiners, key caps, skin tones and tags: without them the sign is still that sign."""

Run = tuple[str, ...]


def is_plain(text: str) -> bool:
    """Whether the text face surely has all of ``text``."""
    return _ODD.search(text) is None


def clusters(text: str) -> list[str]:
    """The clusters of ``text``, in order; together they are the text."""
    found: list[str] = _CLUSTER.findall(text)
    return found


def odd_runs(text: str) -> Iterator[Run]:
    """Each run of clusters that hold more than the plainest letters and marks."""
    if is_plain(text):
        return
    run: list[str] = []
    for cluster in clusters(text):
        if is_plain(cluster):
            if run:
                yield tuple(run)
            run = []
        else:
            run.append(cluster)
    if run:
        yield tuple(run)


def is_shown(cluster: str) -> bool:
    """Whether every character of a cluster has a printed form in some font."""
    return not any(never_shown(character) for character in cluster)


def simpler_forms(cluster: str) -> Iterable[str]:
    """Other ways to write a cluster that mean the same to a reader, the nearest first."""
    forms = (_ADDED.sub("", cluster), unicodedata.normalize("NFC", cluster), unicodedata.normalize("NFKC", cluster))
    return [form for form in dict.fromkeys(forms) if form and form != cluster]


def in_words(cluster: str) -> str:
    """A cluster that no font has, for a reader: the name of a sign, else the numbers of its characters."""
    bare = _ADDED.sub("", cluster)
    if len(bare) == 1 and unicodedata.category(bare) == "So":
        return f"[{unicodedata.name(bare).lower()}]"
    return "".join(character if character.isascii() and character.isprintable() else number_of(character)
                   for character in cluster)  # fmt: skip


TEXT_FAMILY = "Source Sans Pro"
BUILT_IN_FAMILIES = ("DejaVu Sans Mono", "New Computer Modern Math")
"""Inside the Typst package: Greek, Cyrillic, Arabic, Hebrew letters, arrows, mathematical signs."""

WIDE_FAMILY = "Noto Sans"
PACKAGES = ("font_source_sans_pro", "manimgx_fonts")
"""Packages of open faces (SIL Open Font License): the text face, and Noto Sans for most of the world's scripts."""

MORE_PACKAGES = ("manimgx_fonts_cjk",)
"""A package that is too large for everybody: Noto Sans for Chinese, Japanese and Korean."""

SIGNS = ("Noto Sans Symbols", "Noto Emoji")


class PrintFonts:
    """Loaded fonts, in the order they are asked for a character."""

    def __init__(self, folders: Iterable[Path]) -> None:
        self.loaded = typst.Fonts(
            include_system_fonts=False, include_embedded_fonts=True, font_paths=[str(folder) for folder in folders]
        )
        present = set(self.loaded.families())
        if TEXT_FAMILY not in present:
            raise FileNotFoundError(f"the package font-source-sans-pro holds no face called {TEXT_FAMILY}")
        scripts = sorted(name for name in present if name.startswith(WIDE_FAMILY) and name not in SIGNS)
        asked = (TEXT_FAMILY, *scripts, *BUILT_IN_FAMILIES, *SIGNS)
        self.families: tuple[str, ...] = tuple(name for name in asked if name in present)

    @property
    def asked(self) -> str:
        """The families in their order as Typst writes them."""
        return f"({''.join(literal(name) + ',' for name in self.families)})"

    def substitutes(self, runs: Iterable[Run]) -> dict[str, str]:
        """What to print for each cluster of ``runs`` that cannot be printed as it stands.

        Asks Typst itself, which refuses an archival document with such a cluster in it: whole runs first,
        then the clusters of those that it refuses, then the runs again with substitutes in them.
        """
        asked = list(dict.fromkeys(runs))
        found = {each: in_words(each) for run in asked for each in run if not is_shown(each)}
        bad = self._bad_runs(asked, found)
        for cluster in sorted(self._refused(sorted({each for run in bad for each in run if each not in found}))):
            accepted = (form for form in simpler_forms(cluster) if is_shown(form) and self._accepts([form]))
            found[cluster] = next(accepted, in_words(cluster))
        for run in self._bad_runs(bad, found):
            found.update({each: in_words(each) for each in run})
        return found

    def _bad_runs(self, runs: list[Run], found: Mapping[str, str]) -> list[Run]:
        """Those runs that Typst refuses with the substitutes ``found`` in them."""
        written = {run: "".join(found.get(each, each) for each in run) for run in runs}
        refused = self._refused(sorted(set(written.values())))
        return [run for run in runs if written[run] in refused]

    def _refused(self, marks: list[str]) -> set[str]:
        """Halve until each text that Typst refuses stands alone."""
        if not marks or self._accepts(marks):
            return set()
        if len(marks) == 1:
            return set(marks)
        middle = len(marks) // 2
        return self._refused(marks[:middle]) | self._refused(marks[middle:])

    def _accepts(self, marks: list[str]) -> bool:
        shown = "\n".join(f"#{literal(mark)}\n" for mark in marks)
        source = f'#set document(title: "characters")\n#set text(font: {self.asked})\n{shown}'
        try:
            typst.Compiler(input=source.encode(), font_paths=self.loaded).compile(format="pdf", pdf_standards=["a-3a"])
        except typst.TypstError:
            return False
        return True


@functools.cache
def print_fonts() -> PrintFonts:
    """The fonts of this machine's installed packages, loaded once."""
    return PrintFonts(_folders())


def _folders() -> tuple[Path, ...]:
    """Folders of the font packages that are installed; those of every machine must be."""
    found = []
    for package in (*PACKAGES, *MORE_PACKAGES):
        spec = find_spec(package)
        name = package.replace("_", "-")
        if spec is not None and spec.origin is not None:
            found.append(Path(spec.origin).parent)
        elif package in PACKAGES:
            raise FileNotFoundError(f"the package {name} is missing: pip install {name}")
    return tuple(found)

