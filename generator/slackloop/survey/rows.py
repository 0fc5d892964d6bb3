"""What the files of a survey hold: rows of points with their places, and lines of trenches or pipes."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from slackloop.source.finding import Finding, Level, Placed, place_finding
from slackloop.source.source_file import read_source

MOST_BYTES = 16_000_000
"""Most bytes of one file of a survey: 20,000 points with all their columns take about 4 MB."""
MOST_POINTS = 20_000
"""Most points of a survey, as many as the boxes that a job file may hold in chains."""
MOST_PIECES = 10_000
"""Most straight pieces of all lines together: each is compared with every other one."""
MOST_FINDINGS = 200

COLUMNS: dict[str, tuple[str, ...]] = {
    "id": ("id", "box", "point"),
    "lon": ("lon", "longitude", "lng", "long"),
    "lat": ("lat", "latitude"),
    "x": ("x", "easting"),
    "y": ("y", "northing"),
    "unit": ("unit", "units"),
    "name": ("name", "title"),
    "stations": ("stations", "station"),
    "outputs": ("outputs",),
    "line": ("line",),
    **{
        key: (key,)
        for key in ("device", "address", "surface", "lead", "lead_cable", "cable", "connector", "solenoid", "cover",
                    "duct", "phase", "note", "electrode", "existing")
    },
}  # fmt: skip
"""Columns that are read, by the words that head them; the others are passed over."""
KEY_OF = {word: key for key, words in COLUMNS.items() for word in words}


@dataclass(frozen=True)
class SurveyFile:
    """One file by the name that messages use; its lines break where a line of CSV breaks."""

    name: str
    text: str

    @cached_property
    def lines(self) -> list[str]:
        """The lines without their breaks."""
        return [line.removesuffix("\r") for line in self.text.split("\n")]

    def place(self, finding: Finding, line: int = 1, words: str = "") -> Placed:
        """A finding at a line, and where ``words`` are in it."""
        excerpt = self.lines[line - 1] if 0 < line <= len(self.lines) else ""
        found = excerpt.find(words) if words else -1
        return place_finding(finding, self.name, line, max(found, 0) + 1, excerpt)


@dataclass(frozen=True)
class Row:
    """One point as its file states it; ``name`` is what messages call it, as ``row 3`` of a table, the header first."""

    file: SurveyFile
    line: int
    name: str
    cells: dict[str, str]
    """Texts by the key of their column, without outer spaces; an empty cell is left out."""

    def wrong(self, message: str, words: str = "", expected: str = "", hint: str = "") -> Placed:
        """What is wrong with this row."""
        said = f"{self.name}: {message}"
        return self.file.place(
            Finding("error", "survey-row-wrong", said, expected=expected, hint=hint), self.line, words
        )


@dataclass
class Found:
    """What was read of some files: points, lines as lists of places, and what was found on the way."""

    rows: list[Row] = field(default_factory=list)
    lines: list[list[tuple[float, float]]] = field(default_factory=list)
    line_files: list[SurveyFile] = field(default_factory=list)
    findings: list[Placed] = field(default_factory=list)
    refused: bool = False
    """Whether a file as a whole was refused."""
    left_out: int = 0
    """How many findings were not kept."""

    def keep(self, finding: Placed) -> None:
        """Keep a finding, while there are not too many."""
        if len(self.findings) < MOST_FINDINGS:
            self.findings.append(finding)
        else:
            self.left_out += 1

    def tell(self, file: SurveyFile, level: Level, code: str, message: str, line: int = 1, expected: str = "",
            hint: str = "", words: str = "") -> None:  # fmt: skip
        """Keep a finding at a place of a file."""
        self.keep(file.place(Finding(level, code, message, expected=expected, hint=hint), line, words))

    def refuse(self, file: SurveyFile, message: str, line: int = 1, expected: str = "", hint: str = "",
               words: str = "") -> None:  # fmt: skip
        """Refuse a file as a whole."""
        self.refused = True
        self.tell(file, "error", "survey-unreadable", message, line, expected, hint, words)

    def add_row(self, row: Row) -> bool:
        """Keep a point; false where there are too many."""
        if len(self.rows) == MOST_POINTS:
            self.refused = True
            self.tell(row.file, "error", "survey-too-large", f"{row.name}: these are more than {MOST_POINTS:,} points",
                     row.line, hint="split the survey into several jobs")  # fmt: skip
            return False
        self.rows.append(row)
        return True

    def add_line(self, file: SurveyFile, places: list[tuple[float, float]], line: int) -> bool:
        """Keep a line; false where all of them together have too many pieces."""
        if sum(len(each) - 1 for each in self.lines) + len(places) - 1 > MOST_PIECES:
            self.too_many_pieces(file, line)
            return False
        self.lines.append(places)
        if file not in self.line_files:
            self.line_files.append(file)
        return True

    def too_many_pieces(self, file: SurveyFile, line: int) -> None:
        """Refuse lines that are too much work."""
        self.refused = True
        self.tell(file, "error", "survey-too-large", f"the lines have more than {MOST_PIECES:,} straight pieces",
                  line, hint="give the lines of this job alone, or with fewer points on them")  # fmt: skip


def read_survey_file(path: Path) -> tuple[SurveyFile | None, tuple[Placed, ...]]:
    """Read a file as UTF-8 text, or say why not; characters that nothing can print are left for the rows to refuse."""
    source, findings = read_source(path, path.as_posix(), MOST_BYTES, printable_only=False)
    return (None if source is None else SurveyFile(source.name, source.text)), findings
