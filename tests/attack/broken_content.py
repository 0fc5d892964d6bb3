"""A firm's content, broken at random: our own sections and words cut, doubled and filled with what does not belong."""

from __future__ import annotations

import random

from attack.runs import REPOSITORY

OURS = REPOSITORY / "content"
SECTIONS = sorted(path.relative_to(OURS).as_posix() for path in OURS.glob("*/*.md"))
WORDS = sorted(path.relative_to(OURS).as_posix() for path in OURS.glob("words/*.yml"))
PUT = [
    "{{ v.cables }}", "{{ v.nonesuch }}", "{{ 9**9**9 }}", "{% for a in range(9) %}", "{% endif %}",
    "{{ v.__class__ }}",
    "[[table: nonesuch]]", "[[table: volts]]", "[[figure: ]]", "[[", "<script>alert(1)</script>", "<b>", "</div>",
    "![x](y)",
    "# Title", "### nonesuch", "why: ", "check: ", "caution: x", "---", "...", "{", "}", ": ", "\t", "|", "🌳",
    "\u202e", "a" * 900,
    "[a](http://example.org)", "[a](../up.md)", "> " * 50, "- " * 40, "`" * 7, "$$", "\\", "%", "&a [*a]",
    "!!python/name:x",
]  # fmt: skip


def broken_content(seed: int) -> dict[str, str]:
    """Files of a firm's content folder, by name."""
    chance = random.Random(seed)
    files: dict[str, str] = {}
    for _ in range(chance.randint(1, 2)):
        name = chance.choice([*SECTIONS, *SECTIONS, *WORDS])
        text = (OURS / name).read_text(encoding="utf-8")
        for _ in range(chance.randint(0, 4)):
            text = _slip(text, chance)
        if chance.random() < 0.1:
            name = name.replace("/", chance.choice(["/x", "s/", "/../", "/🌳"]), 1).replace("/../", "/")
        files[name] = text
    return files


def _slip(text: str, chance: random.Random) -> str:
    lines = text.split("\n")
    number = chance.randrange(len(lines))
    kind = chance.randrange(5)
    if kind == 0:
        del lines[number]
    elif kind == 1:
        lines.insert(number, lines[chance.randrange(len(lines))])
    elif kind == 2:
        lines.insert(number, chance.choice(PUT))
    elif kind == 3:
        place = chance.randint(0, len(lines[number]))
        lines[number] = lines[number][:place] + chance.choice(PUT) + lines[number][place:]
    else:
        lines = lines[:number]
    return "\n".join(lines)
