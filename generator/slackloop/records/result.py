"""What must be recorded, what was recorded, and how the one stands against the other.

A record is a row of a file with the columns ``box,check,value,unit,by,when,note``. ``box`` is the subject: a box id,
or ``run:B07``, ``reel:2``, ``crossing:C19``, ``day:2026-03-09``, ``job``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from slackloop.compute.circuit.loop import LoopRule
from slackloop.compute.circuit.path_volts import OffLimit
from slackloop.sections.section import Answers
from slackloop.site.effective_values import MeterError

Kind = Literal["number", "text", "tick", "sign", "soil"]
Status = Literal["pass", "fail", "outstanding", "implausible", "void"]
STATUSES: tuple[Status, ...] = ("fail", "implausible", "void", "outstanding", "pass")
"""The worst first."""
STATUS_WORDS: Mapping[Status, str] = {
    "pass": "pass", "fail": "fail", "outstanding": "not recorded", "implausible": "not plausible", "void": "void",
}  # fmt: skip
"""How a result stands, in the words of a reader; the order is that of a sentence. Data for programs has the keys."""
COLUMNS = ("box", "check", "value", "unit", "by", "when", "note")

HANDBOOK_CHECK = "HANDBOOK"
"""Of the subject ``job``: the fingerprint of the handbook whose pages the rows were written on; first in every file."""
SOIL_CHECK = "SOIL-C"
"""Of a box or a run: the soil temperature in degC that its loop reading is judged by."""
SIGN_CHECKS = "sign-run", "sign-test", "sign-splice", "sign-device", "sign-close"
"""Of a box: the signature of a stage; the value is the name of who signed, as it is for a hold."""
SIGN_DAY = {"start": "sign-day", "leave": "sign-leave"}
"""Of ``day:…``: the signatures that cover its ticks, before work and before the crew leaves."""
CONTROLLER_CHECK = "C-POWER-VOLTS"
"""Of ``day:…``: the volts read at the controller with all outputs off, which those at a box are compared with."""
LAST_LOOP = "LOOP-LAST"
"""The loop at an end box once all runs are covered: not due, since paper has it among the notes."""
NOTE_CHECK = "NOTE"
"""Of any subject: notes and changes, as text."""
PHOTO_CHECK = "PHOTO"
"""Of any subject: the name of a file; the picture itself goes nowhere."""
AS_BUILT = "AB-LENGTH", "AB-ADDRESS", "AB-CONNECTOR", "AB-PLACE"
"""Of ``run:…`` (length along the trench) and of a box: what was built, in place of what was planned."""
TICKED, NOT_TICKED = "yes", "no"
JOB, RUN, CROSSING, REEL, DAY = "job", "run:", "crossing:", "reel:", "day:"
"""What subjects are, or begin with, that are no box."""


@dataclass(frozen=True, slots=True)
class Due:
    """A thing to record: of what, which check, and between which numbers in ``unit`` it must lie.

    ``ids`` are the checks that one value answers; a row may name any of them. ``stage`` is empty for what is no work at
    a box; ``section`` is the page that says how; ``stop_if`` is what that section says where it fails.
    """

    subject: str
    ids: tuple[str, ...]
    kind: Kind
    title: str
    unit: str = ""
    least: float | None = None
    most: float | None = None
    limit: str = ""
    stage: str = ""
    hold: bool = False
    requirements: tuple[str, ...] = ()
    section: str = ""
    stop_if: str = ""
    also: tuple[str, ...] = ()
    """Other names of the subject that a row may give, as the run that feeds a box."""
    likely: tuple[float | None, float | None] = (None, None)
    """The least and the most, in ``unit``, that can be true of good work or bad; beyond is a slip of the pen."""
    loop: LoopRule | None = None
    """What gives the limits of a loop reading by the soil temperature of its box."""
    soil: tuple[float, float] = (0.0, 0.0)
    """The coldest and the hottest soil of the job, degC, for a loop reading and for a soil temperature."""
    near: str = ""
    """The check of the same subject that this goes by: the loop before the fill, volts with all outputs off."""
    off: OffLimit | None = None
    """What gives the least volts with all outputs off by those read at the controller on the same day."""
    meter: MeterError | None = None
    """The error of what reads volts under load, which are held against those of ``near``."""
    alone: bool = False
    """Whether no other subject of the job may have the same value, as an address."""
    optional: bool = False
    """Whether nothing is missing where it is not recorded."""
    later: bool = False
    """Whether it is signed for by itself after its stage, whose signature then does not answer for it."""
    answers: Answers = ""
    """What a hold answers for, where that is not the values of its stage and those before it."""


@dataclass(frozen=True, slots=True)
class DueList:
    """All that is due: for the job, and once more for each day on which work is recorded (subjects ``day:``)."""

    dues: tuple[Due, ...]
    each_day: tuple[Due, ...] = ()


@dataclass(frozen=True, slots=True)
class Record:
    """One good row of a file, as it was written; ``row`` counts from 1 and the head is row 1."""

    subject: str
    check: str
    value: str
    unit: str
    by: str
    when: datetime
    note: str
    file: str
    row: int


@dataclass(frozen=True, slots=True)
class Refused:
    """A row that cannot be read, or a file: nothing of it is used, and it is named."""

    file: str
    row: int
    message: str


@dataclass(frozen=True, slots=True)
class Older:
    """An older handbook that rows were written on: which subjects have changed since, each with the reason."""

    name: str
    changed: dict[str, str]


@dataclass(frozen=True, slots=True)
class Result:
    """How one due thing stands: by its last record, those before it being kept in ``earlier``, oldest first.

    ``number`` is the value in the unit of the limit; ``why`` says what is wrong or void, ``to_do`` what comes next.
    ``limit``, ``least`` and ``most`` are those it was judged by: for a loop reading those of its soil temperature.
    """

    due: Due
    status: Status
    record: Record | None = None
    number: float | None = None
    why: str = ""
    to_do: str = ""
    earlier: tuple[Record, ...] = ()
    stood: tuple[Status, ...] = ()
    """How each of the earlier records stood by itself."""
    limit: str = ""
    least: float | None = None
    most: float | None = None


@dataclass(frozen=True, slots=True)
class NonConformance:
    """A record that failed or cannot be true; ``closed_by`` is the later one that passes, if there is one."""

    due: Due
    record: Record
    status: Status
    why: str
    to_do: str
    closed_by: Record | None = None


@dataclass(frozen=True, slots=True)
class Results:
    """All that is due, in the order of the path and of the work, and the rows that were refused.

    ``notes`` say what is not known of a file, such as which handbook its rows were written on.
    """

    results: tuple[Result, ...]
    refused: tuple[Refused, ...] = ()
    non_conformances: tuple[NonConformance, ...] = ()
    notes: tuple[str, ...] = ()

    def counts(self) -> Counter[Status]:
        """How many results have each status."""
        return Counter(each.status for each in self.results)

    @property
    def verdict(self) -> Status:
        """``fail`` where anything fails or cannot be true, ``outstanding`` where anything is missing, else ``pass``."""
        found = self.counts()
        if found["fail"] or found["implausible"]:
            return "fail"
        return "outstanding" if found["outstanding"] or found["void"] else "pass"
