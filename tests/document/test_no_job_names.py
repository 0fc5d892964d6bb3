"""What people read holds no key and no command of the job file, and no name that its maps give to a part.

The names are taken from the job file itself. As many are words of the trade too (``valve``, ``twin``), each is first
changed, wherever the file uses it, into one that no sentence holds. Findings name keys on purpose, and so does the page
that explains their codes: they are excepted.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from book_samples import DEMONSTRATION, LINKS, RING, book_of
from shared import short
from slackloop.document.blocks import Drawing
from slackloop.document.book import Book
from slackloop.document.page import Page
from slackloop.document.pages import codes_page, findings_page
from slackloop.document.walk import walk, words
from slackloop.render.html.page import page_html

MAPS = ("cables", "devices", "solenoids", "connectors")
USES = frozenset({"cable", "device", "solenoid", "connector", "lead_cable", "solenoid_connector", "surge_part"})
COMMAND = re.compile(r"\bslackloop\s+(?:new|check|build|serve|schema|import|records|release|changes|verify|locate)\b")
Strange = tuple[Book, list[str], list[str]]
TAG = re.compile(r"<[^>]+>")


def renamed(given: dict[str, Any]) -> tuple[dict[str, Any], list[str]]:
    """The job with a strange name for each part, and those names."""
    names = {
        name: f"zq{number}-{kind[:-1]}zq"
        for number, (kind, name) in enumerate((kind, name) for kind in MAPS for name in given.get(kind, {}))
    }
    job = {**given}
    for kind in MAPS:
        if kind in job:
            job[kind] = {names[name]: value for name, value in job[kind].items()}
    return {key: _uses(value, names) for key, value in job.items()}, list(names.values())


def _uses(value: Any, names: dict[str, str]) -> Any:
    if isinstance(value, dict):
        return {
            key: names.get(each, each) if key in USES and isinstance(each, str) else _uses(each, names)
            for key, each in value.items()
        }
    return [_uses(each, names) for each in value] if isinstance(value, list) else value


def key_paths(value: Any, above: str = "") -> Iterator[str]:
    """Every key of the job file with those above it, as ``rules.tests.insulation``."""
    if isinstance(value, dict):
        for key, each in value.items():
            path = f"{above}.{key}" if above else str(key)
            if above:
                yield path
            yield from key_paths(each, path)
    elif isinstance(value, list):
        for each in value:
            yield from key_paths(each, above)


def said(book: Book) -> Iterator[tuple[str, str]]:
    """What each page says, in words, drawings and all that its HTML holds; then what each table and file says."""
    told = {finding.message.strip() for finding in book.context.findings}
    for page in book.pages:
        if page.id in (findings_page.PAGE, codes_page.PAGE):
            continue
        yield page.id, _without(told, _page_text(page))


def _page_text(page: Page) -> str:
    drawn = " ".join(TAG.sub(" ", each.svg) for each in walk(page.blocks) if isinstance(each, Drawing))
    shown = TAG.sub(" ", str(page_html(page))) if page.screen else ""
    values = " ".join(text for _, text in page.values)
    return f"{page.title} {page.description} {words(page.blocks)} {drawn} {shown} {values}"


def _without(told: set[str], text: str) -> str:
    for message in told:
        text = text.replace(message, "").replace(message[:1].upper() + message[1:], "")
    return text


JOBS = short([DEMONSTRATION, LINKS, RING], DEMONSTRATION, RING)


@pytest.fixture(scope="module", params=JOBS, ids=lambda job: job.stem)
def strange(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Strange:
    """The book of a job whose parts have strange names, those names, and the key paths of the job."""
    given = yaml.safe_load(Path(request.param).read_text(encoding="utf-8"))
    job, names = renamed(given)
    assert len(names) > 3
    path = tmp_path_factory.mktemp("strange") / "job.yml"
    path.write_text(yaml.safe_dump(job, sort_keys=False, default_flow_style=False), encoding="utf-8")
    return book_of(path), names, sorted(set(key_paths(given)))


def test_no_page_names_a_part_by_its_key(strange: Strange) -> None:
    book, names, _ = strange
    found = [(page, name) for page, text in said(book) for name in names if name in text]
    assert found == []


def test_no_page_holds_a_key_of_the_job_file(strange: Strange) -> None:
    book, _, keys = strange
    assert "rules.earthing.clear_of_cable" in keys
    either = "|".join(map(re.escape, sorted(keys, key=len, reverse=True)))
    pattern = re.compile(rf"(?<![\w.])(?:{either})(?!\w)")
    found = [(page, match) for page, text in said(book) for match in pattern.findall(text)]
    assert found == []


def test_no_page_holds_a_command(strange: Strange) -> None:
    found = [(page, match) for page, text in said(strange[0]) for match in COMMAND.findall(text)]
    assert found == []
