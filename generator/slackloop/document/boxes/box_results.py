"""What was recorded of one box, in few lines: how many results stand in which way, then each by stage."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby

from slackloop.document.blocks import Block, Bullets, Fact, Facts, Heading, Note, Paragraph
from slackloop.document.boxes.stage_work import StageWork
from slackloop.document.boxes.stages import STAGES
from slackloop.document.inline import Inline, Line, line, strong
from slackloop.document.recorded import BAD, Recorded, counted, day_text, value_text
from slackloop.records.result import Result, Status
from slackloop.sections import format as fmt

ANCHOR = "results"
NO_RECORD = "There is no record of this box."
BAD_WORDS: Mapping[Status, str] = {"fail": "Fail", "implausible": "Not plausible", "void": "Void"}
SHOWN_STATUS: tuple[tuple[str, frozenset[Status]], ...] = (
    ("Pass", frozenset({"pass"})), ("Not good", BAD), ("Not recorded", frozenset({"outstanding"})),
)  # fmt: skip
SIGNED = "sign-"


def box_results(recorded: Recorded | None, place: str, works: Iterable[StageWork]) -> Iterator[Block]:
    """The results of a box or closing run; nothing where nothing is due, or in a handbook built without records."""
    results = recorded.of(place) if recorded else ()
    if recorded is None or not results:
        return
    yield Heading(2, line("Results"), ANCHOR)
    if not recorded.has_record(place):
        yield Note("warning", "", (Paragraph(line(NO_RECORD)),))
        return
    labels = _labels(works)
    counts = counted(results)
    totals = ((word, sum(counts[each] for each in states)) for word, states in SHOWN_STATUS)
    yield Facts(tuple(Fact(word, line(fmt.grouped(number))) for word, number in totals), large=True)
    for each in results:
        if each.status in BAD:
            yield _bad(each, labels)
    if said := tuple(_stages(results, labels)):
        yield Bullets(said)


def _labels(works: Iterable[StageWork]) -> dict[str, str]:
    """What each check is called on this page."""
    found: dict[str, str] = {}
    for work in works:
        for entry in work.entries:
            found |= dict.fromkeys(entry.ids, entry.label)
        for each in (*work.ticks, *work.seen, *work.holds):
            found[each.id] = each.text
        found[f"{SIGNED}{work.id}"] = "Signed by"
    return found


def _label(result: Result, labels: Mapping[str, str]) -> str:
    return next((labels[id] for id in result.due.ids if id in labels), result.due.title)


def _bad(result: Result, labels: Mapping[str, str]) -> Note:
    """A result that is not good: its value, its limit, who wrote it, and what to do."""
    parts: list[str | Inline | Line] = [strong(BAD_WORDS[result.status]), ": ", _label(result, labels)]
    record = result.record
    if record is not None:
        if value := value_text(record):
            parts += [": ", strong(value)]
        parts += [". ", record.by, ", ", day_text(record), "."]
        if record.note:
            parts += [" ", record.note]
    if limit := result.limit or result.due.limit:
        parts += [" ", "Limit", ": ", limit, "."]
    if result.why:
        parts += [" ", _sentence(result.why)]
    blocks = [Paragraph(line(*parts))]
    if result.to_do:
        blocks.append(Paragraph(line(strong("Do this"), ": ", _sentence(result.to_do))))
    return Note("danger", "", tuple(blocks))


def _stages(results: Sequence[Result], labels: Mapping[str, str]) -> Iterator[tuple[Block, ...]]:
    """A line for each stage with what passed, by whom and when, then one with all that is not recorded."""
    for stage, title in (*STAGES, ("", "Besides")):
        passed = [each for each in results if each.due.stage == stage and each.status == "pass"]
        if passed:
            yield (Paragraph(line(strong(f"{title}, pass"), ": ", _passed(passed, labels))),)
    missing = [_label(each, labels) for each in results if each.status == "outstanding"]
    if missing:
        parts: list[str | Inline | Line] = [strong("Not recorded"), ": "]
        for number, label in enumerate(missing):
            parts += ["; " if number else "", label]
        yield (Paragraph(line(*parts, ".")),)


def _passed(results: Sequence[Result], labels: Mapping[str, str]) -> Line:
    """Results with their values; who wrote them and when stands once behind those that were written together."""
    parts: list[str | Inline | Line] = []
    for (by, when), some in groupby(results, key=_written):
        parts.append(" " if parts else "")
        for number, each in enumerate(some):
            parts += ["; " if number else "", _label(each, labels)]
            record = each.record
            if record is not None:
                if value := value_text(record):
                    parts += [" ", strong(value)]
                if record.note:
                    parts += [" (", record.note, ")"]
        parts += [". ", by, ", ", when, "."]
    return line(*parts)


def _written(result: Result) -> tuple[str, str]:
    record = result.record
    return (record.by, day_text(record)) if record else ("", "")


def _sentence(text: str) -> str:
    """A text with a full stop."""
    return text if text.endswith((".", "!", "?")) else f"{text}."
