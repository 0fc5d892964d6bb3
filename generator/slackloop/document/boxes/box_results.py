"""What was recorded of one box, in few lines: what is not good with what to do, what passed, and what is missing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from slackloop.document.blocks import Block, Heading, Note, Paragraph
from slackloop.document.boxes.stages import STAGES, StageWork
from slackloop.document.inline import Inline, Line, PageTarget, line, link, strong
from slackloop.document.recorded import BAD, Recorded, counted, day_text, told_again, value_text
from slackloop.language.messages import ENGLISH, language
from slackloop.records.holds import SIGN_AFTER, DoubtedSignature, doubted_signatures
from slackloop.records.judgement import STOP
from slackloop.records.result import STATUS_WORDS, Record, Result, Status
from slackloop.sections import format as fmt

ANCHOR = "results"
NO_RECORD = "There is no record of this box."
BAD_WORDS: Mapping[Status, str] = {each: words.capitalize() for each, words in STATUS_WORDS.items() if each in BAD}
SHOWN_STATUS: tuple[tuple[str, frozenset[Status]], ...] = (
    (STATUS_WORDS["pass"], frozenset({"pass"})), ("not good", BAD),
    (STATUS_WORDS["outstanding"], frozenset({"outstanding"})),
)  # fmt: skip
SIGNED = "sign-"
AT_LEAST, ABOUT, AT_WORST = ", at least", ", about ", ", at worst "
"""What the label of a field says of its limit or of what to expect, which no result repeats."""
MOST_EARLIER = 3
"""Earlier records of a bad result that its box shows; the record for programs has all."""
Parts = list[str | Inline | Line]


def box_results(recorded: Recorded | None, place: str, works: Iterable[StageWork]) -> Iterator[Block]:
    """The results of a box or closing run; nothing where nothing is due, or in a handbook built without records."""
    results = recorded.of(place) if recorded else ()
    if recorded is None or not results:
        return
    counts = counted(results)
    told: Parts = ["Results"]
    if recorded.has_record(place):
        for word, states in SHOWN_STATUS:
            number = fmt.grouped(sum(counts[each] for each in states))
            told += [": " if len(told) == 1 else ", ", f"{number} ", word]
    yield Heading(2, line(*told), ANCHOR)
    labels = _labels(works)
    for finding in recorded.as_built.findings:
        if finding.box == place:
            message = f"{finding.message[:1].upper()}{finding.message[1:]}"
            yield Note("danger" if finding.level == "error" else "warning", "", (Paragraph(line(_sentence(message))),))
    if not recorded.has_record(place):
        yield Note("warning", "", (Paragraph(line(NO_RECORD)),))
        return
    for each in results:
        if each.status in BAD and each.to_do != SIGN_AFTER:  # such a hold is told with what was read after it
            yield _bad(each, labels)
    for result, again in recorded.judged_again.get(place, ()):
        words = line(_label(result, labels), ". ", told_again(result, again))
        yield Note("note" if again.status == "pass" else "danger", "", (Paragraph(words),))
    if doubts := _doubts(results):
        yield Note("warning", "", tuple(Paragraph(_doubted(some, labels)) for some in doubts))
    for group in _passed(results, labels):
        yield Paragraph(group, "small")
    missing = [_label(each, labels) for each in results if each.status == "outstanding"]
    if missing:
        yield Paragraph(line(strong("Not recorded"), ": ", *_in_line(missing), "."), "small")


def still_to_see(recorded: Recorded | None, place: str, works: Iterable[StageWork]) -> tuple[StageWork, ...]:
    """The work of each stage: what its signature covers has been seen where the stage is signed.

    Where all of it passed nobody does it again, and its cautions are not repeated.
    """
    results = recorded.of(place) if recorded else ()
    signed = {id for each in results if each.status == "pass" for id in each.due.ids}
    open_stages = {each.due.stage for each in results if each.status != "pass"}
    left: list[StageWork] = []
    for work in works:
        if f"{SIGNED}{work.id}" in signed:
            work = replace(work, seen=()) if work.id in open_stages else replace(work, seen=(), cautions=())
        left.append(work)
    return tuple(left)


def _labels(works: Iterable[StageWork]) -> dict[str, str]:
    """What each check is called on this page."""
    found: dict[str, str] = {}
    for work in works:
        for entry in work.entries:
            label = entry.label.removesuffix(AT_LEAST).partition(ABOUT)[0].partition(AT_WORST)[0]
            found |= dict.fromkeys(entry.ids, label)
        found |= {each.id: each.text for each in (*work.ticks, *work.holds, *work.later)}
        found[f"{SIGNED}{work.id}"] = f"{work.title} signature"
    return found


def _label(result: Result, labels: Mapping[str, str]) -> str:
    return next((labels[id] for id in result.due.ids if id in labels), result.due.title)


def _in_line(labels: Iterable[str]) -> Iterator[str]:
    """Labels one after the other."""
    for number, label in enumerate(labels):
        yield from ("; " if number else "", label)


def _doubts(results: Sequence[Result]) -> list[list[DoubtedSignature]]:
    """The signatures that say more than was recorded, those against which the same stands together."""
    groups: dict[tuple[object, ...], list[DoubtedSignature]] = {}
    for each in doubted_signatures(results):
        key = each.bad, each.missing, each.later, each.since, each.signed.to_do, each.is_own
        groups.setdefault(key, []).append(each)
    return list(groups.values())


def _doubted(doubts: Sequence[DoubtedSignature], labels: Mapping[str, str]) -> Line:
    """Signatures with what stands against each of them: who signed what, and why that is looked into."""
    parts: Parts = []
    for each in doubts:
        parts += [" " if parts else "", _label(each.signed, labels), ": ", strong(each.name), "."]
    doubt = doubts[0]
    for words, some in (
        ("Signed although not good", doubt.bad), ("Signed before it was recorded", doubt.since),
        ("Signed although not recorded", doubt.missing),
    ):  # fmt: skip
        if some:
            parts += [" ", strong(words), ": ", *_in_line(_label(each, labels) for each in some), "."]
    for each_later in doubt.later:
        read = doubt.read_when_signed(each_later)
        parts += [
            " ", _label(each_later, labels), ". ", strong("Good when it was signed"), ": ", strong(read),
            ". ", "Read again later, not good.",
        ]  # fmt: skip
    if doubt.signed.to_do == SIGN_AFTER:
        parts += [" ", strong("Sign again.")]
    if doubt.is_own:
        parts += [" ", strong("Signed by the person who made the readings.")]
    return line(*parts)


def _bad(result: Result, labels: Mapping[str, str]) -> Note:
    """A result that is not good: its value, its limit, who wrote it, and what to do."""
    parts: Parts = [strong(BAD_WORDS[result.status]), ": ", _label(result, labels)]
    record = result.record
    if record is not None:
        if value := value_text(record):
            parts += [": ", strong(value)]
        parts += [". ", record.by, ", ", day_text(record), "."]
        if record.note:
            parts += [" ", _sentence(record.note)]
    for earlier in result.earlier[-MOST_EARLIER:]:
        written = value_text(earlier) or "ticked"
        parts += [" ", "Before", ": ", written, ", ", earlier.by, ", ", day_text(earlier), "."]
    limit = result.limit or result.due.limit
    if limit and limit not in result.why and result.due.kind != "sign":
        parts += [" ", "Limit", ": ", _sentence(limit)]
    if result.why:
        parts += [" ", _sentence(result.why)]
    blocks = [Paragraph(line(*parts))]
    if result.to_do:
        blocks.append(Paragraph(line(strong("Do this"), ": ", *_to_do(result))))
    return Note("danger", "", tuple(blocks))


def _to_do(result: Result) -> Iterator[str | Inline]:
    """What comes next; in another language the way to the section that says it there."""
    due = result.due
    if language() == ENGLISH or result.status != "fail" or not due.stop_if:
        yield _sentence(result.to_do)
    else:
        yield STOP
    if due.section:
        yield from (" ", link("How", PageTarget(due.section)))


def _passed(results: Sequence[Result], labels: Mapping[str, str]) -> Iterator[Line]:
    """What passed, stage by stage, a line for all that one person wrote on one day."""
    titles: dict[str, str] = {**dict(STAGES), "": "Besides"}
    groups: dict[tuple[str, str], dict[str, list[tuple[Result, Record]]]] = {}
    for stage in titles:
        for each in results:
            if each.status == "pass" and each.record is not None and each.due.stage == stage:
                key = each.record.by, str(each.record.when.date())
                groups.setdefault(key, {}).setdefault(stage, []).append((each, each.record))
    for (by, day), stages in groups.items():
        parts: Parts = [strong("Pass"), ", ", by, ", ", day, "."]
        for stage, some in stages.items():
            parts += [" ", strong(titles[stage]), ": "]
            for number, (result, record) in enumerate(some):
                parts += ["; " if number else "", *_item(result, record, labels)]
            parts.append(".")
        yield line(*parts)


def _item(result: Result, record: Record, labels: Mapping[str, str]) -> Iterator[str | Inline | Line]:
    """One result with its value; a signature that is the writer's own is said in a word."""
    if result.due.ids[0].startswith(SIGNED) and record.value == record.by:
        yield "signed"
    else:
        yield _label(result, labels)
        if value := value_text(record):
            yield from (" ", strong(value))
    if record.note:
        yield from (" (", record.note, ")")


def _sentence(text: str) -> str:
    """A text with a full stop."""
    return text if text.endswith((".", "!", "?", "…")) else f"{text}."
