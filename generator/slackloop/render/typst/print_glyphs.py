"""What is printed where no font has what was written, and the note that says so.

Labels of drawings in scripts whose letters join, stack or change place: set by Typst, drawn as outlines.

A drawing's own text reaches the PDF glyph by glyph, and where one letter takes several glyphs an archival
PDF refuses them. Set as a page of its own and drawn as outlines, such a label keeps its shape; its words
stand in the drawing's description.
"""

from __future__ import annotations

import functools
import html
import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import typst

from slackloop.render.typst.print_fonts import (
    TEXT_FAMILY,
    PrintFonts,
    clusters,
    in_words,
    is_plain,
    is_shown,
    odd_runs,
    print_fonts,
)
from slackloop.render.typst.print_text import literal
from slackloop.source.finding import Finding

MOST_NAMED = 8
"""Characters that one note names; it counts the rest."""


@dataclass(frozen=True, slots=True)
class Glyphs:
    """Puts what can be printed in the place of each cluster that cannot."""

    substitutes: Mapping[str, str] = field(default_factory=dict)
    nothing_odd: bool = False
    """Print every cluster outside the plainest letters in words: for a document that the fonts refused even so."""

    def shown(self, text: str) -> str:
        """``text`` as it is printed."""
        if is_plain(text) or not (self.substitutes or self.nothing_odd):
            return text
        return "".join(self._shown(cluster) for cluster in clusters(text))

    def _shown(self, cluster: str) -> str:
        if self.nothing_odd and not is_plain(cluster):
            return in_words(cluster)
        return self.substitutes.get(cluster, cluster)


def glyphs_for(
    texts_by_place: Mapping[str, Iterable[str]], fonts: PrintFonts, what: str
) -> tuple[Glyphs, list[Finding]]:
    """Substitutes for what ``fonts`` cannot print of all texts, and a note that names each and its first place.

    ``what`` is how the note calls the document; places are titles of its pages, empty where that says nothing.
    """
    runs: dict[tuple[str, ...], str] = {}
    seen: set[str] = set()
    for place, texts in texts_by_place.items():
        for text in texts:
            if text not in seen:
                seen.add(text)
                for run in odd_runs(text):
                    runs.setdefault(run, place)
    substitutes = fonts.substitutes(runs)
    told: dict[str, str] = {}
    for run, place in runs.items():
        for cluster in run:
            # A sign in its other form, or a mark that only steers, is no loss that a reader would see.
            if cluster in substitutes and "[" in substitutes[cluster]:
                told.setdefault(cluster, place)
    return Glyphs(substitutes), [_note(told, substitutes, what)] if told else []


def _note(told: Mapping[str, str], substitutes: Mapping[str, str], what: str) -> Finding:
    """One note on everything that is printed otherwise than it was written."""
    named = []
    for cluster in list(told)[:MOST_NAMED]:
        place = f", first on “{told[cluster]}”" if told[cluster] else ""
        sign = f"{cluster} (U+{ord(cluster[0]):04X})" if is_shown(cluster) else f"U+{ord(cluster[0]):04X}"
        named.append(f"{sign} as {substitutes[cluster]}{place}")
    rest = len(told) - len(named)
    more = f"; and {rest} more" if rest > 0 else ""
    return Finding(
        level="warning",
        code="print-character",
        message=f"No font of the {what} has all that was written. Printed instead: {'; '.join(named)}{more}.",
        hint="Write it in letters that the fonts have. For Chinese, Japanese and Korean: pip install 'slackloop[cjk]'",
    )


def refused_even_so(what: str) -> Finding:
    """The note where the fonts took each text and refused the document."""
    return Finding(
        level="warning",
        code="print-character",
        message=f"The fonts of the {what} cannot print all that was written; signs and letters outside the plainest "
        "ones are printed as their names or numbers.",
    )


SET_AT_PT = 100
_TEXT = re.compile(r"<text((?:\s[^<>]*)?)>([^<]*)</text\s*>")
_SIZE = re.compile(r'<svg viewBox="0 0 ([0-9.]+) ([0-9.]+)"[^>]*>')
_FILL = 'fill="#000000"'
DEFAULT_SIZE = 16.0
"""The size of a label that states none (CSS Fonts Level 4: medium is 16 px in browsers)."""


def outline_labels(svg: str) -> str:
    """The drawing with each label that needs it as outlines; others stay text."""
    return svg if svg.isascii() and "&#" not in svg else _TEXT.sub(_label, svg)


def _label(match: re.Match[str]) -> str:
    text = unicodedata.normalize("NFC", html.unescape(match[2]))
    if all(map(_stays_text, text)):
        return unicodedata.normalize("NFC", match[0])
    wide, tall, shapes = _outlines(text, _attribute(match[1], "font-weight") == "bold")
    scale = float(_attribute(match[1], "font-size") or DEFAULT_SIZE) / SET_AT_PT
    share = {"middle": 0.5, "end": 1.0}.get(_attribute(match[1], "text-anchor"), 0.0)
    left = float(_attribute(match[1], "x") or 0) - wide * scale * share
    top = float(_attribute(match[1], "y") or 0) - tall * scale
    fill = _attribute(match[1], "fill") or "black"
    inked = shapes.replace(_FILL, f'fill="{fill}"')
    return f'<g transform="translate({left:.3f} {top:.3f}) scale({scale:.5f})">{inked}</g>'


def _stays_text(character: str) -> bool:
    """Whether a drawing's own text can show a character: one glyph, in the order of writing."""
    code = ord(character)
    european = code < 0x0590 or 0x1E00 <= code < 0x2C00
    return (european and unicodedata.category(character)[0] not in "MC") or character in "\t\n\r"


@functools.lru_cache(maxsize=4096)
def _outlines(text: str, bold: bool) -> tuple[float, float, str]:
    """Width and height over the baseline at 100 pt, and the outlines from the upper left corner."""
    source = (
        "#set page(width:auto,height:auto,margin:0pt,fill:none)\n"
        f'#set text(size:{SET_AT_PT}pt,top-edge:"ascender",bottom-edge:"baseline",font:{print_fonts().asked},'
        f'weight:"{"bold" if bold else "regular"}")\n#{literal(text)}\n'
    )
    made = typst.Compiler(input=source.encode(), font_paths=print_fonts().loaded).compile(format="svg")
    page = (made[0] if isinstance(made, list) else made or b"").decode("utf-8")
    size = _SIZE.match(page)
    if size is None:
        raise ValueError(f"the label {text!r} came back without a size")
    shapes = page[size.end() : page.rindex("</svg>")].replace("xlink:href=", "href=")
    return float(size[1]), float(size[2]), shapes


def _attribute(attributes: str, name: str) -> str:
    match = re.search(rf'\s{name}="([^"]*)"', attributes)
    return match[1] if match else ""


_ON_SCREEN = (('="currentColor"', '="#000000"'), ('font-family="sans-serif"', f'font-family="{TEXT_FAMILY}"'))
"""As values of attributes: a quote in text is always escaped, so no words of a drawing can match."""


def print_svg(svg: str) -> str:
    """The drawing as it is printed."""
    for screen, paper in _ON_SCREEN:
        svg = svg.replace(screen, paper)
    return svg
