"""An invented handbook for the tests of print: every kind of page and piece, small."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from types import SimpleNamespace
from typing import Any

from slackloop.handbook.page import DocumentHeader, Page

DATE = datetime(2026, 3, 2, tzinfo=UTC)
FINGERPRINT = "4f1d9c2ab37e" * 5 + "abcd"

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" id="f" viewBox="0 0 320 120" width="320" height="120" role="img" '
    'font-family="sans-serif"><title>Trench section</title><desc>A trench 450 mm deep.</desc>'
    '<rect x="5" y="5" width="300" height="100" fill="none" stroke="currentColor"/>'
    '<text x="20" y="30" font-size="12" fill="currentColor">Pipe &amp; tape&nbsp;450 mm</text></svg>'
)
FIGURE = f'<figure markdown="0">{SVG}<figcaption>Trench section, to scale</figcaption></figure>'


@dataclass(frozen=True)
class SampleBook:
    """What printing needs of a handbook."""

    pages: tuple[Page, ...]
    facts: DocumentHeader
    job: Any


def wide_table(columns: int, rows: int) -> str:
    """A Markdown table of figures."""
    head = "| " + " | ".join(f"Column {number}" for number in range(columns)) + " |\n"
    lines = ["| " + " | ".join(f"{row}.{column}" for column in range(columns)) + " |\n" for row in range(rows)]
    return head + "|" + "---:|" * columns + "\n" + "".join(lines)


def box_page(number: int) -> Page:
    """The page of one box."""
    name = f"B{number:02d}"
    return Page(
        f"boxes/{name.lower()}.md",
        f"Box {name}",
        f'# Box {name}\n\nAddress <strong class="value">{100 + number}</strong>. '
        f"[Opening the jacket](../method/opening.md)\n\n## Checks\n\n"
        "| Check | Limit | Done |\n|---|---|---|\n"
        '| Loop | 0.97 Ω to 1.06 Ω | <span class="tick"></span> |\n\n'
        f"{FIGURE}\n",
        ("Install", "Boxes"),
        "box",
        description=f"Box {name}",
    )


START = Page(
    "index.md",
    "Start here",
    "# Start here\n\n"
    '<div class="doors" markdown="1">\n\n[Only on the screen](method/opening.md)\n\n</div>\n\n'
    '!!! warning "Local code comes first"\n\n    The local code comes before this handbook.\n\n'
    "See [the method](method/opening.md), [a gone page](nowhere.md) and [a place](tables/volts.md#readings).\n\n"
    "Slack\n:   Cable left in a box.\n\nA note[^1].\n\n[^1]: The words of the note.\n",
    (),
    "start",
)
OPENING = Page(
    "method/opening.md",
    "Opening the jacket",
    "# Opening the jacket\n\n## Bring {#bring}\n\n- Tape measure\n    - in metres\n\n## Score\n\n"
    '!!! caution "Sharp blade"\n\n    Cut away from your hand.\n\n'
    '<ol class="steps" start="7" markdown="1">\n<li id="score-it" markdown="block">\n\n'
    'Leave <strong class="value">150 mm (6 in)</strong> of cores.\n\n!!! why "Why"\n\n    A ring cut parts clean.\n\n'
    '</li>\n<li markdown="block">\n\nPull the jacket off.\n\n</li>\n</ol>\n\n' + FIGURE + "\n",
    ("Install", "Method"),
    "section",
)
VOLTS = Page(
    "tables/volts.md",
    "Volts along the path",
    "# Volts along the path\n\n## Readings {#readings}\n\n" + wide_table(5, 90),
    ("Issue", "Tables"),
    "table",
)
WIDE = Page("tables/wide.md", "Everything", "# Everything\n\n" + wide_table(12, 5), ("Issue", "Tables"), "table")


def sample_job(client: str = "Heron Fold Trust") -> Any:
    """The part of a job that the first page reads."""
    entry = SimpleNamespace(revision="A", date="2026-02-10", change="First issue for comment")
    document = SimpleNamespace(prepared="Site engineer", checked="", approved="", history=(entry,))
    return SimpleNamespace(job=SimpleNamespace(client=client), document=document)


def sample_book(
    boxes: int = 3, *, draft: bool = False, title: str = "Control path",
    extra: tuple[Page, ...] = (), only: tuple[Page, ...] = (),
) -> SampleBook:  # fmt: skip
    """A whole small handbook with ``extra`` pages at its end, or one of ``only`` the pages given."""
    header = DocumentHeader(
        number="HF-2031",
        title=title,
        site="Heron Fold Arboretum",
        revision="B",
        date="2026-03-02",
        status="for construction",
        fingerprint=FINGERPRINT,
        draft=draft,
        contractor="Example Groundworks",
    )
    pages = only or (START, VOLTS, WIDE, OPENING, *(box_page(number) for number in range(1, boxes + 1)), *extra)
    return SampleBook(pages, header, sample_job())
