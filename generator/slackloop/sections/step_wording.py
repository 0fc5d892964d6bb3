"""Warnings on wording: words with another sense, long sentences, two instructions in one, the condition last."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from slackloop.sections.catalogue import Words
from slackloop.sections.hardcoded_numbers import section_texts
from slackloop.sections.job_keys import is_job_key
from slackloop.sections.section import Section
from slackloop.sections.wording.vocabulary import plain, sentences, vocabulary, word_count
from slackloop.source.finding import Placed, found_at

STEP_WORDS = 20
OTHER_WORDS = 25
_CONDITION = re.compile(r"(?<!^)\b(\w+) (if|when|unless)\b", re.IGNORECASE)
_ASKING = frozenset({"ask", "check", "out", "look", "see", "say", "says", "decides", "find", "know", "down", "show"})
"""Words before an "if" or a "when" that is no condition but a question."""
_SECOND = re.compile(
    r"(?:,| and|, and|;| then)\s(?:then )?(?P<verb>[a-z]+)"
    r"(?: (?:the|a|an|it|them|its|this|that|each|every|both|all|off|out|down|up|back|your|any|no|at|core|again)\b|\.?$)"
)
_OPENING = re.compile(
    r"(?:If|When|Where|Unless|Until|While|Before|After|During|At|In|On|With|For|From|Near|To|Only|Under|Below|As)\b"
)
"""How a sentence begins that says first when, where or for what it holds."""
_FIRST = re.compile(r", (?:then )?(?P<verb>[a-z]+)\b")
_KEY = re.compile(r"\b[a-z_]+(?:\.[a-z_]+)+\b")


def wording_findings(section: Section) -> Iterator[Placed]:
    """A warning for each place in a section where a reader may stumble or read another thing."""
    for text, line in section_texts(section):
        for code, message in text_faults(text, OTHER_WORDS):
            yield found_at(section.file, line, code, message, "warning")
    for step in section.steps:
        for prose in (step.action, step.reject):
            for sentence in sentences(prose.text) if prose is not None else ():
                if STEP_WORDS < word_count(sentence) <= OTHER_WORDS:
                    found = long_sentence(sentence, STEP_WORDS)
                    if found and prose is not None:
                        yield found_at(section.file, prose.line, *found, "warning")
        for code, message in instruction_faults(step.id, step.action.text):
            yield found_at(section.file, step.action.line, code, message, "warning")


def words_wording(words: Words) -> Iterator[Placed]:
    """As ``wording_findings``, for the texts of the word files; what a caution tells to do is held as a step is."""
    for file, name, parts in word_texts(words):
        line = words.places.get(file, {}).get(name, 1)
        for text in parts:
            found = [*text_faults(text, OTHER_WORDS)]
            found += instruction_faults(name, text) if file == "cautions" else []
            for code, message in found:
                yield found_at(f"words/{file}.yml", line, code, message, "warning")


def word_texts(words: Words) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """File, id and texts of each entry of the word files that a reader sees."""
    yield from (("tools", name, (each.name, each.use)) for name, each in words.tools.items())
    yield from (("protective", name, (each.name, each.when)) for name, each in words.protective.items())
    yield from (("hazards", name, (each.title, each.harm, *each.controls)) for name, each in words.hazards.items())
    yield from (("cautions", name, (each.title, each.text, each.card)) for name, each in words.cautions.items())
    yield from (("deferrals", name, (each.title, each.text)) for name, each in words.deferrals.items())
    yield from (("faults", name, (each.title, each.harm)) for name, each in words.faults.items())


@lru_cache(maxsize=16384)
def text_faults(text: str, most_words: int, *, program: bool = False) -> tuple[tuple[str, str], ...]:
    """Code and message of each fault of wording in a text; ``program`` where no crew reads it."""
    return tuple(_text_faults(text, most_words, program))


def _text_faults(text: str, most_words: int, program: bool) -> Iterator[tuple[str, str]]:
    words, bare = vocabulary(), plain(text)
    for found, say in words.misused(bare, program=program):
        yield "word-misused", f"'{found}' has another sense here; say {say}"
    if not program:
        for found in words.foreign(bare):
            if not words.allows("word-of-a-country", bare):
                yield "word-of-a-country", f"'{found}' is a word of one country: write it as a value of the code basis"
        for key in _KEY.findall(bare):
            if is_job_key(key):
                yield "key-shown", f"'{key}' is a key of the job file: say its title in words"
    for sentence in sentences(text):
        if found_long := long_sentence(sentence, most_words):
            yield found_long


def long_sentence(sentence: str, most_words: int) -> tuple[str, str] | None:
    """A sentence with too many words, as code and message."""
    count = word_count(sentence)
    if count <= most_words or vocabulary().allows("sentence-too-long", sentence):
        return None
    return "sentence-too-long", f"a sentence of {count} words, at most {most_words}: '{sentence[:60]}…'"


def instruction_faults(name: str, text: str) -> Iterator[tuple[str, str]]:
    """Faults in what a step tells to do: two instructions in one sentence, or the condition after the instruction."""
    words = vocabulary()
    for sentence in sentences(text):
        told = _after_opening(sentence)
        second = [m["verb"] for m in _SECOND.finditer(told) if m["verb"] in words.instructions]
        if second and not words.allows("step-two-actions", sentence):
            yield "step-two-actions", f"step '{name}' has two instructions in one sentence: '{second[0]}' is the second"
        late = [m[2] for m in _CONDITION.finditer(sentence) if m[1].lower() not in _ASKING]
        if late and not re.match(r"(?:If|When|Unless)\b", sentence) and not words.allows("condition-last", sentence):
            yield "condition-last", f"step '{name}' gives its condition last: put '{late[0]} …' first"


def _after_opening(sentence: str) -> str:
    """A sentence from its first instruction on, where it begins with a condition, a time or a place."""
    if _OPENING.match(sentence):
        for match in _FIRST.finditer(sentence):
            if match["verb"] in vocabulary().instructions:
                return sentence[match.start("verb") :]
    return sentence
