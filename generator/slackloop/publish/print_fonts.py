"""The fonts of the printed handbook, and which characters they can show.

The text face is an open-licensed package (SIL Open Font License). Where it lacks a character, the
open faces that come inside the Typst package stand in, and a wide set of open faces when that
package is installed too. Nothing is taken from the system, so that every machine prints the same.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable
from importlib.util import find_spec
from pathlib import Path

import typst

from slackloop.publish.print_text import literal, never_shown

TEXT_FAMILY = "Source Sans Pro"
BUILT_IN_FAMILIES = ("DejaVu Sans Mono", "New Computer Modern Math")
"""Inside the Typst package: Greek, Cyrillic, Arabic, Hebrew letters, arrows, mathematical signs."""

WIDE_PACKAGES = ("manimgx_fonts", "manimgx_fonts_cjk")
"""Optional packages of open faces (SIL Open Font License) for most of the world's scripts."""

_ALWAYS_THERE = frozenset(map(chr, range(0x20, 0x7F))) | frozenset("°×·–—‘’“”…²³½¼¾±§©µÉéüöäñ€")


class PrintFonts:
    """Loaded fonts, in the order they are asked for a character."""

    def __init__(self, folders: Iterable[Path]) -> None:
        self.loaded = typst.Fonts(
            include_system_fonts=False, include_embedded_fonts=True, font_paths=[str(folder) for folder in folders]
        )
        present = set(self.loaded.families())
        if TEXT_FAMILY not in present:
            raise FileNotFoundError(f"the package font-source-sans-pro holds no face called {TEXT_FAMILY}")
        wide = sorted(present - {TEXT_FAMILY, *BUILT_IN_FAMILIES, "Libertinus Serif", "New Computer Modern"})
        noto = [name for name in wide if name.startswith("Noto")]
        # What every machine has comes first: an optional face changes no page that was whole without it.
        self.families: tuple[str, ...] = (TEXT_FAMILY, *(name for name in BUILT_IN_FAMILIES if name in present), *noto)

    def missing(self, characters: Iterable[str]) -> frozenset[str]:
        """Those of ``characters`` that cannot be printed: no face has them, or they have no form.

        Asks Typst itself, which refuses an archival document with such a character in it.
        """
        asked = sorted(set(characters) - _ALWAYS_THERE)
        gone = {mark for mark in asked if never_shown(mark)}
        return frozenset(gone | self._refused([mark for mark in asked if mark not in gone]))

    def _refused(self, marks: list[str]) -> set[str]:
        """Halve until each character that Typst refuses stands alone."""
        if not marks or self._accepts(marks):
            return set()
        if len(marks) == 1:
            return set(marks)
        middle = len(marks) // 2
        return self._refused(marks[:middle]) | self._refused(marks[middle:])

    def _accepts(self, marks: list[str]) -> bool:
        families = ", ".join(literal(name) for name in self.families)
        shown = "\n".join(f"#{literal(mark)}\n" for mark in marks)
        source = f'#set document(title: "characters")\n#set text(font: ({families},))\n{shown}'
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
    """Folders of the font packages that are installed; the text face must be."""
    found = []
    for package in ("font_source_sans_pro", *WIDE_PACKAGES):
        spec = find_spec(package)
        if spec is not None and spec.origin is not None:
            found.append(Path(spec.origin).parent)
        elif package == "font_source_sans_pro":
            raise FileNotFoundError("the package font-source-sans-pro is missing: pip install font-source-sans-pro")
    return tuple(found)
