"""The Spanish edition: nothing is missing, nothing differs but the words, and no English is left on a crew's page."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest

from samples import DEMO, SPANISH_NOTE, spanish_job
from slackloop.document.book import make_book
from slackloop.document.boxes.card import cards_of
from slackloop.document.edition.edition import Edition, load_edition
from slackloop.document.worked import Worked, translation_findings, work, work_with_content
from slackloop.language.messages import Catalogue, Messages, noun, places, read_catalogue, said, speaking
from slackloop.pipeline.handbook_folder import context_of
from slackloop.render.html.page import page_html
from slackloop.render.html.settings import THEME_FOLDER
from slackloop.render.typst.cards import PRINTED_WORDS
from slackloop.sections.content import load_content
from slackloop.sections.translated import differences, translated_content

REPOSITORY = Path(__file__).parents[2]
CONTENT = REPOSITORY / "content"
SAME = frozenset({"water", "off", "pdf", "handbook", "cards", "gfci", "rcd", "cfr", "table", "hsg", "awg", "mm",
                  "ft", "ma", "uniform", "color", "code", "complete", "note"})  # fmt: skip
"""Words of a mark on the ground and of a switch, file names, names of standards, and words that are Spanish too."""


def _english() -> frozenset[str]:
    """Words that our English uses and our Spanish does not."""
    parts = ("method", "scope", "safety", "trouble")
    english = {word for part in parts for path in (CONTENT / part).glob("*.md")
               for word in re.findall(r"[^\W\d_]+", _prose(path.read_text(encoding="utf-8").lower()))}  # fmt: skip
    catalogue = read_catalogue(CONTENT / "es", "es")
    english |= {word for text in catalogue.texts for word in
                re.findall(r"[a-z]+", re.sub(r"\{.*?\}", "", text.lower()))}  # fmt: skip
    spanish = {word for part in parts for path in (CONTENT / "es" / part).glob("*.md")
               for word in re.findall(r"[^\W\d_]+", _prose(path.read_text(encoding="utf-8").lower()))}  # fmt: skip
    spanish |= {word for text in catalogue.texts.values() for word in re.findall(r"[^\W\d_]+", text.lower())}
    return frozenset(word for word in english - spanish if len(word) > 1 and word.isascii()) - SAME


def _prose(text: str) -> str:
    """A section's text without what is the same in every language: keys, ids, values, links."""
    text = re.sub(r"\{\{.*?\}\}|\{%.*?%\}|\]\([^)]*\)|\[\[.*?\]\]|^### .*$", "", text, flags=re.MULTILINE | re.DOTALL)
    kept = r"^\s*(?:- )?(?:title|summary|limit|card|text|label|value|more|why|reject): (.*)$|^([^-\s].*)$"
    return "\n".join(first or second for first, second in re.findall(kept, text, flags=re.MULTILINE))


ENGLISH = _english()
GLOSSARY = (
    ("splice", "empalme", ("empate", "unión por empalme")),
    ("valve box", "arqueta", ("registro de válvula", "caja de válvula")),
    ("sleeve", "tubo pasante", ("manguito", "camisa")), ("earth rod", "pica", ("varilla de tierra", "jabalina")),
    ("trench", "zanja", ("trinchera",)), ("controller", "programador", ("controlador",)),
    ("connector", "conector", ("ficha de empalme",)), ("hold point", "punto de espera", ("punto de parada",)),
)  # fmt: skip


@pytest.fixture(scope="module")
def worked(tmp_path_factory: pytest.TempPathFactory) -> Worked:
    return work_with_content(spanish_job(tmp_path_factory.mktemp("job")))


@pytest.fixture(scope="module")
def edition(worked: Worked) -> Edition:
    return load_edition(make_book(context_of(worked)), CONTENT, None, "es")


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return read_catalogue(CONTENT / "es", "es")


def shown(html: str) -> Iterator[str]:
    """Every text that a reader sees or hears, one element each."""
    for text in re.findall(r'(?:aria-label|title|alt)="([^"]*)"', html) + re.split(r"<[^>]+>", html):
        if text.strip():
            yield unescape(text).strip()


def english_in(text: str, own: Messages) -> set[str]:
    """English words of a text; what the job's writer wrote stays as it is written."""
    for words in sorted(own.kept, key=len, reverse=True):
        if len(words) > 1:
            text = text.replace(words, "")
    if any(text in words for words in own.kept):  # a row of a title that a drawing breaks
        return set()
    return set(re.findall(r"[^\W\d_]+", re.sub(r"C-[A-Z-]+\d*", "", text).lower())) & ENGLISH


def test_every_section_and_word_is_there_and_differs_in_words_alone() -> None:
    content = load_content(CONTENT)
    made = translated_content(content, CONTENT, None, "es")
    assert [f"{each.file}: {each.message}" for each in made.findings] == []
    assert not made.english
    assert len(made.content.sections) == len(content.sections) > 40
    for english, spanish in zip(content.sections, made.content.sections, strict=True):
        assert [step.id for step in english.steps] == [step.id for step in spanish.steps]
        assert english.front.title != spanish.front.title


def test_a_translation_that_lost_a_check_is_not_used(tmp_path: Path) -> None:
    content = load_content(CONTENT)
    section = next(each for each in content.sections if each.front.id == "closing-a-box")
    path = tmp_path / "es" / section.file
    path.parent.mkdir(parents=True)
    whole = (CONTENT / "es" / section.file).read_text(encoding="utf-8")
    path.write_text(re.sub(r"\n- check: .*", "", whole, count=1), encoding="utf-8")
    made = translated_content(content, tmp_path, None, "es")
    told = next(each for each in made.findings if each.file == section.file)
    assert "has fallen behind" in told.message
    assert section.file in made.english
    kept = next(each for each in made.content.sections if each.file == section.file)
    assert kept is section
    assert not any(differences(section, each) for each in load_content(CONTENT).sections if each.file == section.file)


def test_no_english_is_left_on_a_page_of_the_crew(edition: Edition) -> None:
    left: Counter[str] = Counter()
    with speaking(edition.messages):
        for page in edition.pages:
            assert page.language == "es"
            for text in shown(page_html(page)):
                if english_in(text, edition.messages) and not text.startswith("NFPA 70 "):
                    left[text] += 1
    assert not left, " | ".join(left)
    assert len(edition.pages) > 85


def test_a_tag_of_a_card_is_in_spanish_wherever_it_stands(edition: Edition) -> None:
    stages = [stage for card in edition.cards for stage in card.stages]
    tags = {each.tag for stage in stages for each in (*stage.entries, *stage.ticks, *stage.seen, *stage.later)}
    assert "PRESENCIA" in tags
    assert tags <= {"", "PRESENCIA", "ESPERA"}


def test_no_english_is_left_on_a_card(edition: Edition) -> None:
    left = set()
    for card in edition.cards:
        drawn = card.figure.svg.split("<") if card.figure else []
        texts = [card.title, card.about, card.group, *drawn]
        texts += [text for fact in card.facts for text in (fact.label, fact.value, fact.more)]
        texts += [text for watch in card.watch for text in (watch.title, watch.text)]
        for stage in card.stages:
            texts += [stage.title, stage.about, *(each.text for each in (*stage.ticks, *stage.seen, *stage.holds))]
            texts += [text for warned in stage.warned for text in warned]
            texts += [text for each in stage.entries for text in (each.label, each.limit, each.after)]
        left |= {text for text in texts if english_in(re.sub(r"^[^>]*>", "", unescape(text)), edition.messages)}
    assert not left, sorted(left)[:20]


def test_a_note_is_in_spanish_where_the_job_gives_it_and_else_says_that_it_is_not(edition: Edition) -> None:
    notes = {card.id: watch.text for card in edition.cards for watch in card.watch if watch.title == "Nota"}
    assert notes["B01"] == SPANISH_NOTE
    assert notes["B28"] == (
        "Wasps nested in the old box in 2025. Look before you reach in. (En inglés. Pida que se lo expliquen.)"
    )
    pages = {page.id: page_html(page) for page in edition.pages}
    for box in ("B01", "B28"):
        assert notes[box] in unescape(pages[f"boxes/{box.lower()}"])
    assert "portón" not in "".join(str(card) for card in cards_of(context_of(work_with_content(DEMO))))


def test_the_check_for_english_sees_english(edition: Edition) -> None:
    assert english_in("Lift the lid before you splice.", edition.messages)
    assert not english_in("Levante la tapa antes de empalmar.", edition.messages)


def test_ids_and_limits_are_those_of_the_english_pages(edition: Edition, worked: Worked) -> None:
    english = {page.id: page for page in make_book(context_of(worked)).pages}
    for page in edition.pages:
        first, second = page_html(english[page.id]), page_html(page)
        limits = (r'data-least="([^"]*)"', r'data-most="([^"]*)"', r'\bname="([^"]*)"', r'class="check-id">([^<]*)<')
        for mark in limits:
            assert re.findall(mark, first) == re.findall(mark, second), (page.id, mark)


def test_messages_keep_the_places_for_values(catalogue: Catalogue) -> None:
    for english, spanish in catalogue.texts.items():
        assert places(english) == places(spanish), english
    for english, spanish in catalogue.scripts.items():
        assert sorted(re.findall(r"\$\{[^}]*\}", english)) == sorted(re.findall(r"\$\{[^}]*\}", spanish)), english


def test_every_word_of_the_scripts_and_the_look_of_cards_is_found(catalogue: Catalogue) -> None:
    scripts = "".join(path.read_text(encoding="utf-8") for path in (THEME_FOLDER / "assets" / "look").glob("*.js"))
    assert [each for each in catalogue.scripts if each not in scripts] == []
    look = "".join(path.read_text(encoding="utf-8") for path in (CONTENT / "print").glob("card*.typ"))
    asked = set(re.findall(r'say\("([^"]*)"\)', look))
    assert asked == set(PRINTED_WORDS)
    messages = catalogue.messages()
    unsaid = {each for each in asked if each not in catalogue.texts and each not in ("rev.",)}
    assert not unsaid
    assert messages.text("Name or role") == "Nombre o función"


def test_every_sentence_of_the_scripts_of_records_has_its_message(catalogue: Catalogue) -> None:
    look = THEME_FOLDER / "assets" / "look"
    scripts = [look / f"{name}.js" for name in (
        "store", "reading", "compared", "standing", "record-file", "signatures", "entries", "record-bar",
    )]  # fmt: skip
    found = [each for path in scripts for each in sentences_of(path.read_text(encoding="utf-8"))]
    assert len(found) > 25
    assert [each for each in found if each not in catalogue.scripts] == []


def sentences_of(script: str) -> list[str]:
    """Literals of a script that begin with a capital letter or end with a stop, as they are written in it."""
    bare = re.sub(r"/\*.*?\*/", "", script, flags=re.DOTALL)
    literals = re.findall(r'"(?:[^"\\\n]|\\.)*"|`(?:[^`\\]|\\.)*`', bare)
    words = [(each, re.sub(r"\$\{[^}]*\}", "", each)) for each in literals]
    return [each for each, text in words if re.search(r'^["`][A-Z“][a-z]+\b(?!-)|[a-z] [a-z]+.*[.?:] ?["`]$', text)]


def test_plurals_go_by_the_count(catalogue: Catalogue) -> None:
    with speaking(catalogue.messages()):
        assert [noun(number, "box", "boxes") for number in (0, 1, 2)] == ["arquetas", "arqueta", "arquetas"]
    assert noun(2, "box", "boxes") == "boxes"


def test_the_words_of_the_job_stay_as_they_are_written(catalogue: Catalogue) -> None:
    with speaking(catalogue.messages({"Device"})):
        assert said("Device") == "Device"
        assert said("Slack") == "Reserva de cable"
        assert said("16 mm (5/8 in)") == "16 mm (5/8 in)"
        assert said("a text that nobody knows and Device") == "a text that nobody knows and Device"
    assert said("Slack") == "Slack"


@pytest.mark.parametrize(("english", "spanish", "others"), GLOSSARY)
def test_one_thing_has_one_word(english: str, spanish: str, others: tuple[str, ...]) -> None:
    texts = {path: path.read_text(encoding="utf-8").lower() for path in (CONTENT / "es").rglob("*.*") if path.is_file()}
    assert any(spanish in text for text in texts.values())
    used = [(path.name, word) for path, text in texts.items() for word in others if re.search(rf"\b{word}s?\b", text)]
    assert not used, f"{english} is {spanish}"


def test_english_alone_is_as_it_was() -> None:
    alone = work(DEMO)
    assert alone.job.languages == ("en",)
    assert b"languages" not in alone.reading.fingerprint_source
    assert not tuple(translation_findings(alone))
