"""Plain wording: what the rules find, that each exception is needed, and that no text for readers is left out."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import slackloop
from samples import REPOSITORY
from slackloop.reference.table_file import data_folder
from slackloop.sections.content import load_content, read_content
from slackloop.sections.hardcoded_numbers import section_texts
from slackloop.sections.step_wording import OTHER_WORDS, instruction_faults, text_faults, word_texts, wording_findings
from slackloop.sections.wording.vocabulary import ALLOWED_MOST, Vocabulary, plain, sentences, vocabulary, word_count
from slackloop.source.codes import codes

PROGRAM = Path(slackloop.__file__).parent
STAGES = (
    "source", "site", "survey", "compute", "sections", "records", "document", "render", "pipeline", "output",
    "commands", "cli.py",
)  # fmt: skip
"""Where text for readers is written in Python."""
_TWO_WORDS = re.compile(r"[A-Za-z]{2,}[,.;:]? +\(?[A-Za-z]{2,}")
_MARKUP = re.compile(r"[<>\\]|\[\^|--[a-z]")
"""Signs of text that no reader sees: tags, patterns, options."""


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Tape each run and hold it against the run table.", "hold it against"),
        ("Hold the two bared cores apart, in the air.", "Hold the two bared cores apart"),
        ("Run each station alone.", "Run each"),
        ("Each station run alone.", "station run"),
        ("Draw the cable through by hand.", "Draw"),
        ("Keep plant back from the edge.", "plant"),
        ("There is no leave to cross.", "no leave"),
        ("Every splice behind this box is good.", "behind this box"),
        ("It left its band.", "its band"),
        ("The release is signed.", "release"),
        ("The next hand can read it.", "next hand"),
        ("Somebody may need the car.", "Somebody"),
        ("The rod stands clear of the cable.", "stands"),
        ("Water is standing in the box.", "standing in"),
        ("Nothing may harm the cable.", "harm"),
        ("A small hurt grows large.", "hurt"),
        ("Like meets like.", "Like meets like"),
        ("Under a path, dig deeper.", "Under a path"),
        ("Set the tool less deep.", "less deep"),
        ("Take it that no driver has seen you.", "Take it that"),
        ("This clause is cited from memory.", "from memory"),
        ("Then type slackloop check job.yml.", "slackloop check"),
    ],
)
def test_a_word_in_a_sense_that_it_does_not_have_is_found(text: str, found: str) -> None:
    assert found.lower() in [word.lower() for word, _ in vocabulary().misused(text)]


@pytest.mark.parametrize(
    "text",
    [
        "Fix the bared cores apart so that they cannot touch. Do not hold them.",
        "Never stand under a load. Keep hand-held power tools away.",
        "Lay each run in one length, as the drawing shows.",
        "Plant shrubs later: planting is in no step. Leave the lid on.",
        "The pair is at standby. Set the reel on a reel stand.",
    ],
)
def test_the_same_word_in_its_own_sense_is_not_found(text: str) -> None:
    assert list(vocabulary().misused(text)) == [("Plant", "machine, or shrubs and trees for what grows")] * (
        "Plant" in text
    )


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("Cut the end, wipe it dry and cap it.", ["step-two-actions"]),
        ("Cut the end and cap.", ["step-two-actions"]),
        ("Cut the end. Cap it.", []),
        ("If the band is missed, stop the pump and call.", ["step-two-actions"]),
        ("Before you dig, mark the line.", []),
        ("Put the lid on if the box is dry.", ["condition-last"]),
        ("If the box is dry, put the lid on.", []),
        ("Ask if the line can be switched off.", []),
    ],
)
def test_a_step_has_one_instruction_a_sentence_and_its_condition_first(text: str, codes: list[str]) -> None:
    assert [code for code, _ in instruction_faults("step", text)] == codes


def test_sentences_are_counted_as_a_reader_counts_them() -> None:
    text = "Set **the stop** to {{ v.strip }}: [see](a.md) the pack.\n- One entry\n| a cell | two cells |"
    assert sentences(text) == ("Set the stop to some value", "see the pack.", "One entry", "a cell", "two cells")
    assert word_count("Cut – and cap it.") == 4
    assert [code for code, _ in text_faults("word " * 26, OTHER_WORDS)] == ["sentence-too-long"]


def test_a_key_of_the_job_and_a_word_of_a_country_are_found() -> None:
    assert [code for code, _ in text_faults("Set rules.slack first.", OTHER_WORDS)] == ["key-shown"]
    assert [code for code, _ in text_faults("Ask the duty-holder.", OTHER_WORDS)] == ["word-of-a-country"]
    assert list(vocabulary().foreign("Ask the duty-holder at the driveway.", "uk")) == ["driveway"]


@cache
def content_texts() -> tuple[str, ...]:
    """Every text of the content."""
    return tuple(_content_texts())


def _content_texts() -> Iterator[str]:
    """Every text of the standing content, by sentence too, as the rules see it."""
    content = load_content(data_folder("content"))
    for section in content.sections:
        yield from (text for text, _ in section_texts(section))
    for _, _, texts in word_texts(content.words):
        yield from texts


@cache
def program_texts() -> tuple[tuple[str, str], ...]:
    """Every text of the program, with its place."""
    return tuple(_program_texts())


def _program_texts() -> Iterator[tuple[str, str]]:
    """Every text of the program with two words or more, with its place; a docstring is for those who write it."""
    for stage in STAGES:
        top = PROGRAM / stage
        for path in sorted(top.rglob("*.py")) if top.is_dir() else [top]:
            tree = ast.parse(path.read_text(encoding="utf-8"))
            inside = {id(part) for node in ast.walk(tree) if isinstance(node, ast.JoinedStr) for part in node.values}
            told = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
            for node in ast.walk(tree):
                if id(node) in told or id(node) in inside or not isinstance(node, ast.JoinedStr | ast.Constant):
                    continue
                text = _joined(node)
                if _TWO_WORDS.search(text) and not _MARKUP.search(text):
                    yield f"{path.relative_to(PROGRAM)}:{node.lineno}", text


    for code, row in codes().items():
        yield from ((f"code {code}", text) for text in (row.means, row.mend))


def _joined(node: ast.JoinedStr | ast.Constant) -> str:
    if isinstance(node, ast.Constant):
        return node.value if isinstance(node.value, str) else ""
    return "".join(str(part.value) if isinstance(part, ast.Constant) else "{{ v.x }}" for part in node.values)


def test_text_of_the_program_keeps_the_rules_too() -> None:
    found = [
        f"{place}: {code}: {message}"
        for place, text in program_texts()
        for code, message in text_faults(text, OTHER_WORDS, program=True)
    ]
    assert found == []


def test_the_program_has_text_to_look_at() -> None:
    texts = list(program_texts())
    assert len(texts) > 1000
    assert any("Work stops at a hold point" in text for _, text in texts)


def test_the_worked_example_of_a_firm_keeps_the_rules() -> None:
    content = read_content(data_folder("content"), REPOSITORY / "site_data" / "examples" / "firm" / "content")
    own = [section for section in content.sections if not section.ours]
    assert len(own) == 2
    assert [str(found) for section in own for found in wording_findings(section)] == []


def test_each_exception_is_needed_and_says_why() -> None:
    words = vocabulary()
    assert len(words.allowed) < ALLOWED_MOST
    texts = [*content_texts(), *(text for _, text in program_texts())]
    parts = [part for text in texts for part in (plain(text), *sentences(text))]
    bare = Vocabulary(words.banned, (), words.countries, words.instructions)
    assert not bare.allows("step-two-actions", "Switch off and lock off.")
    for each in words.allowed:
        assert len(each.reason.split()) > 3, each.pattern.pattern
        assert any(each.pattern.search(part) for part in parts), f"nothing needs {each.pattern.pattern}"
