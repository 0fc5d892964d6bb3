"""What the check of the job found, in words that a reader can act on."""

from __future__ import annotations

from slackloop.handbook import format as fmt
from slackloop.handbook.addresses import box_uri, relative
from slackloop.handbook.context import Context
from slackloop.handbook.page import Page
from slackloop.handbook.text import Trusted, admonition, blocks, escape, link, trusted
from slackloop.job.answers import open_questions
from slackloop.job.finding import Finding, Level, Placed, path_text

LEVELS: tuple[Level, ...] = ("error", "warning", "note")
LEVEL_WORDS = {"error": "Error", "warning": "Warning", "note": "Note"}
LEVEL_NOUNS = {"error": ("error", "errors"), "warning": ("warning", "warnings"), "note": ("note", "notes")}
URI = "issue/findings.md"
_COMMON_WORDS = frozenset({"a", "an", "the", "each", "no", "run", "ask", "delete", "name", "use", "write", "add"})


def level_mark(level: str) -> Trusted:
    """The level in words, with the style hook that colours it as well."""
    return trusted(f'<span class="level-{level}">{LEVEL_WORDS[level]}</span>')


def found_summary(context: Context) -> str:
    """How many findings of each level, in one plain sentence."""
    counts = {level: sum(each.level == level for each in context.findings) for level in LEVELS}
    if not any(counts.values()):
        return "The check of the job found nothing to mend."
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
        return f"{_name(finding.file)}, line {finding.line} ({path_text(finding.at)})"
    if context.reading is None:
        return path_text(finding.at)
    place = context.reading.places.locate(finding.at)
    return f"{_name(place.file)}, line {place.line} ({path_text(finding.at)})"


def _name(file: str) -> str:
    """The name of a file without its folders."""
    return file.replace("\\", "/").rsplit("/", 1)[-1]


def sentence(text: str) -> str:
    """A message as a sentence of a page: its full stop, and a capital unless it starts with a name of the job's."""
    first = text.split(" ", 1)[0]
    text = text[:1].upper() + text[1:] if first in _COMMON_WORDS else text
    return text if text.endswith((".", "?", "!")) else f"{text}."


def findings_page(context: Context) -> Page:
    """Every finding, errors first, each with its place and its box."""
    parts = ["# Findings", escape(found_summary(context))]
    if context.analysis.verdict == "fail":
        text = "The job fails its check. This handbook is a draft: do not build from it."
        parts.append(admonition("danger", "Not good", text))
    for level in LEVELS:
        found = [each for each in context.findings if each.level == level]
        closed = [each for each in found if is_answered(each)]
        for title, some in (
            (LEVEL_NOUNS[level][1].capitalize(), [each for each in found if not is_answered(each)]),
            (f"{LEVEL_NOUNS[level][1].capitalize()} that are answered", closed),
        ):
            if some:
                parts.append(f"## {title}")
                parts.append("\n".join(f"- {_line(context, each)}" for each in some))
    parts.append('<p class="table-source">Source: computed from the job file; the key path stands beside each.</p>')
    return Page(URI, "Findings", blocks(parts), ("Issue",), "document", description="What the check of the job found")


def _line(context: Context, finding: Finding | Placed) -> str:
    """One finding in one list entry."""
    box = ""
    if finding.box in context.network.index:
        box = f" Box {link(finding.box, relative(box_uri(finding.box), URI))}."
    hint = f" {escape(sentence(finding.hint))}" if finding.hint and not is_answered(finding) else ""
    answers = answer_text(finding)
    hint += f" <strong>{escape(answers)}</strong>" if answers else ""
    place = f"<small>{escape(where(context, finding))}, {escape(finding.code)}</small>"
    return f"{level_mark(finding.level)} {escape(sentence(finding.message))}{box}{hint} {place}"
