"""From the phone to the handbook: a box filled offline, saved, judged by the command, and seen in the rebuilt pages."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from book_samples import page_words
from browser.test_readings import state
from browser.test_record_file import open_box, save
from records.record_samples import context, due
from samples import DEMO
from slackloop.cli import main
from slackloop.document.book import make_book
from slackloop.document.worked import work_with_content
from slackloop.pipeline.recorded_job import context_of, with_records
from slackloop.records.judgement import loop_band

if TYPE_CHECKING:
    from browser.conftest import Screens

pytestmark = pytest.mark.browser
BOX = "B02"


def limits(check: str, celsius: float) -> tuple[float, float]:
    """The printed loop limits of the box in soil of one temperature, as the judge has them."""
    (found,) = (each for each in due(DEMO).dues if each.subject == BOX and check in each.ids)
    assert found.loop is not None
    return loop_band(found.loop, celsius, celsius)


def test_what_a_phone_holds_is_judged_and_seen_in_the_handbook(
    demo: Path, screens: Screens, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    least, most = limits("C-TEST-3", 16.0)
    typed = {"C-LAY-4": "455", "C-TEST-1": "210", "SOIL-C": "16", "C-TEST-3": f"{most:g}".replace(".", ","),
             "C-FILL-6": f"{least - 0.01:.2f}", "AB-LENGTH": "38.5", "sign-run": "Ann Lee"}  # fmt: skip
    with screens.open("phone") as screen:
        page = screen.page
        page.context.set_offline(True)
        open_box(page, demo)
        for name, text in typed.items():
            page.locator(f"[name={name}]").fill(text)
        assert state(page, "C-TEST-3")[0] == "in", "the limit that is printed is inside"
        assert state(page, "C-FILL-6")[0] == "out", "a hundredth below the limit that is printed is not"
        page.reload()
        name, data = save(page)
    saved = tmp_path / name
    saved.write_bytes(data)

    assert main(["records", str(DEMO), str(saved), "--json"]) == 1
    record = json.loads(capsys.readouterr().out)
    found = {(each["box"], each["check"]): each["status"] for each in record["results"] if each["value"]}
    assert record["rows_refused"] == []
    assert (found[BOX, "C-LAY-4"], found[BOX, "C-TEST-3"], found[BOX, "sign-run"]) == ("pass", "pass", "pass")
    assert found[BOX, "C-FILL-6"] == "fail"
    assert not any(status == "void" for status in found.values()), "the page says which handbook it is of"

    worked = with_records(work_with_content(DEMO), [saved])
    book = make_book(context_of(worked))
    told = page_words(book, "boxes/b02")
    assert "Fail: Loop" in told
    assert "Ann Lee" in told
    assert "There is no record of this box." in page_words(book, "boxes/b03")
    assert context(DEMO).fingerprint == worked.fingerprint
