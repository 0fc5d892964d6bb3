"""How a finding reads: its sentence, whether it is answered, and what its levels are called."""

from __future__ import annotations

from slackloop.document.context import Context
from slackloop.sections import format as fmt
from slackloop.site.answers import open_questions
from slackloop.source.codes import codes
from slackloop.source.finding import Finding, Level, Placed, path_text

LEVELS: tuple[Level, ...] = ("error", "warning", "note")
LEVEL_NOUNS = {"error": ("error", "errors"), "warning": ("warning", "warnings"), "note": ("note", "notes")}
_COMMON_WORDS = frozenset({"a", "an", "the", "each", "no", "run", "ask", "delete", "name", "use", "write", "add"})


def found_summary(context: Context) -> str:
    """How many findings of each level, in one plain sentence."""
    counts = {level: sum(each.level == level for each in context.findings) for level in LEVELS}
    if not any(counts.values()):
        return "The check of the job found no faults."
    words = [fmt.count(counts[level], *LEVEL_NOUNS[level]) for level in LEVELS if counts[level]]
    answered = sum(is_answered(each) for each in context.findings)
    told = f" {fmt.count(answered, 'warning is', 'warnings are')} answered." if answered else ""
    return f"The check of the job found {fmt.listing(words)}.{told} {questions_text(context)}".strip()


def questions_text(context: Context) -> str:
    """How many questions nobody has answered yet, and whom they are put to; an empty text where there are none."""
    count = open_questions(context.findings)
    if not count:
        return ""
    asked = [each.asks for each in context.findings if each.level == "warning" and each.asks and not is_answered(each)]
    whom = fmt.listing(sorted(dict.fromkeys(asked)))
    return f"{fmt.count(count, 'question is', 'questions are')} not answered: ask {whom}."


def is_answered(finding: Finding | Placed) -> bool:
    """Whether the job holds an answer that closes the finding."""
    return isinstance(finding, Placed) and finding.answer is not None


def what_waits(finding: Finding | Placed) -> str:
    """Who must answer a question before which work; an empty text where nothing is asked, or all is answered."""
    if finding.level != "warning" or not finding.asks or is_answered(finding):
        return ""
    return f"{finding.asks[:1].upper()}{finding.asks[1:]} must answer before {codes()[finding.code].before}."


def answer_text(finding: Finding | Placed) -> str:
    """The answers to a finding in sentences; an empty text where there are none."""
    if not isinstance(finding, Placed):
        return ""
    told = [f"{name}: {each.sentence}" for name, each in finding.part_answers]
    told += [finding.answer.sentence] if finding.answer is not None else []
    return " ".join(sentence(each) for each in told)


def where(context: Context, finding: Finding | Placed) -> str:
    """The place in the job file: its name and line where it was read from one, else the key path.

    The folder is left out, so that a handbook does not tell where it was built.
    """
    if isinstance(finding, Placed):
        key = context.reading.places.key_text(finding.at) if context.reading else path_text(finding.at)
        return f"{_name(finding.file)}, line {finding.line} ({key})"
    if context.reading is None:
        return path_text(finding.at)
    place = context.reading.places.locate(finding.at)
    return f"{_name(place.file)}, line {place.line} ({context.reading.places.key_text(finding.at)})"


def _name(file: str) -> str:
    """The name of a file without its folders."""
    return file.replace("\\", "/").rsplit("/", 1)[-1]


def sentence(text: str) -> str:
    """A message as a sentence of a page: its full stop, and a capital unless it starts with a name of the job's."""
    first = text.split(" ", 1)[0]
    text = text[:1].upper() + text[1:] if first in _COMMON_WORDS else text
    return text if text.endswith((".", "?", "!")) else f"{text}."
