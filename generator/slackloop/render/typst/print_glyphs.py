"""What is printed where no font has what was written, and the note that says so."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from slackloop.render.typst.print_clusters import clusters, in_words, is_plain, is_shown, odd_runs
from slackloop.render.typst.print_fonts import PrintFonts
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
    for place, texts in texts_by_place.items():
        for text in texts:
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
