"""Results on the crew's pages in Spanish: nothing is left in English but what was written on site."""

from __future__ import annotations

from dataclasses import replace

import pytest

from language.test_spanish import CONTENT, english_in, shown, spanish_job
from records.record_samples import file_of
from records.recorded_book import BAD, LEFT_OUT, LONGER, NOTED, demonstration_rows
from slackloop.document.book import make_book
from slackloop.document.boxes.due_records import due_list
from slackloop.document.edition.edition import Edition, load_edition
from slackloop.document.recorded import Recorded
from slackloop.document.worked import work_with_content
from slackloop.language.messages import speaking
from slackloop.pipeline.recorded_job import context_of
from slackloop.records.as_built import as_built_of
from slackloop.records.standing import judge_job
from slackloop.render.html.page import page_html


@pytest.fixture(scope="module")
def edition(tmp_path_factory: pytest.TempPathFactory) -> Edition:
    worked = work_with_content(spanish_job(tmp_path_factory.mktemp("job")))
    results = judge_job(due_list(context_of(worked)), [file_of(demonstration_rows())])
    built = as_built_of(worked.job, worked.analysis, results, worked.tables)
    return load_edition(make_book(context_of(replace(worked, recorded=Recorded(results, built)))), CONTENT, None, "es")


def said_on(edition: Edition, id: str) -> list[str]:
    (page,) = [page for page in edition.pages if page.id == id]
    with speaking(edition.messages):
        return list(shown(str(page_html(page))))


@pytest.mark.parametrize("box", [BAD, LEFT_OUT, LONGER, NOTED])
def test_the_results_of_a_box_are_said_in_spanish(edition: Edition, box: str) -> None:
    texts = said_on(edition, f"boxes/{box.lower()}")
    assert any(text.startswith("Resultados") for text in texts)
    assert {text: found for text in texts if (found := english_in(text, edition.messages))} == {}


def test_the_start_page_says_in_spanish_how_results_are(edition: Edition) -> None:
    texts = said_on(edition, "index")
    assert any("Esta copia es esa revisión con resultados de" in text for text in texts)
    assert "resultados no conformes" in texts
    assert {text: found for text in texts if (found := english_in(text, edition.messages))} == {}
    assert edition.header.results.startswith("con resultados de")


def test_what_was_written_on_site_stays_as_it_was_written(edition: Edition) -> None:
    words = " ".join(said_on(edition, f"boxes/{BAD.lower()}"))
    assert "meter lead loose?" in words
    assert "99.9 Ω está fuera de los límites" in words
