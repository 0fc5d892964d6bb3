"""Sheets to fill in beside the boxes, progress on the start page, both languages, paper, and a web server."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING

import pytest

from book_samples import RING, demonstration, standing
from samples import REPOSITORY
from slackloop.document.book import PRINTED, book_files
from slackloop.document.edition.edition import load_edition
from slackloop.language.messages import speaking
from slackloop.render.html.site import build_site

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from browser.conftest import Screens

pytestmark = pytest.mark.browser
KINDS = "[...document.querySelectorAll('.form input[name]')].map(e => [e.name, e.dataset.kind])"


def keys(page: Page) -> set[tuple[str, str]]:
    return {(each["subject"], each["check"]) for each in page.evaluate("window.records.all()")}


def sign_all(page: Page, name: str = "Ann") -> None:
    for field in page.locator(".form [data-kind=sign]").all():
        field.fill(name)


def test_progress_is_shown_on_the_start_page_and_on_the_list_of_boxes(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "index.html").as_uri())
        assert page.locator(".progress").inner_text() == "Boxes signed off on this device: 0 of 40. Begun: 0."
        page.goto((demo / "boxes" / "b02.html").as_uri())
        sign_all(page)
        page.goto((demo / "boxes" / "b03.html").as_uri())
        page.locator("[name=C-LAY-4]").fill("600")
        page.goto((demo / "index.html").as_uri())
        assert page.locator(".progress").inner_text() == "Boxes signed off on this device: 1 of 40. Begun: 1."
        page.goto((demo / "boxes" / "all.html").as_uri())
        marked = page.evaluate("[...document.querySelectorAll('.chips a[aria-label]')].map(e => e.ariaLabel)")
        assert marked == ["B02, signed off", "B03, not yet signed off"]
        page.goto((demo / "boxes" / "b02.html").as_uri())
        page.locator("#writer").fill("Ann")
        with page.expect_download():
            page.locator(".record-bar .save").tap()
        page.locator("[name=sign-close]").fill("")
        page.goto((demo / "index.html").as_uri())
        begun = "Boxes signed off on this device: 0 of 40. Begun: 2."
        assert page.locator(".progress").inner_text() == begun, "a signature that is taken away counts no more"


def test_a_day_has_a_sheet_of_its_own(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "sheets" / "daily.html").as_uri())
        today = page.evaluate("window.records.stamp().slice(0, 10)")
        assert page.locator("[name=day]").input_value() == today
        page.locator("[name=C-TRENCH-3]").check()
        page.locator("[name=sign-day]").fill("Ann")
        page.locator("[name=C-EXC-3]").check()
        page.locator("[name=sign-leave]").fill("Ben")
        page.locator("[name=day]").fill("2026-03-10")
        assert not page.locator("[name=C-TRENCH-3]").is_checked()
        page.locator("[name=C-WEA-1]").check()
        first = {(f"day:{today}", name) for name in ("C-TRENCH-3", "sign-day", "C-EXC-3", "sign-leave")}
        assert keys(page) == first | {("day:2026-03-10", "C-WEA-1")}
        page.locator("[name=day]").fill(today)
        assert page.locator("[name=C-TRENCH-3]").is_checked()
        assert page.locator("[name=sign-leave]").input_value() == "Ben"
        assert page.locator("table").count() == 0, "the table is for paper"


def test_each_reel_has_a_form_with_the_limit_of_its_test(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "sheets" / "reels-received.html").as_uri())
        count = sum(len(plan.reels) for plan in demonstration().analysis.reels)
        fields = page.locator("[name=C-LAY-REEL]")
        assert fields.count() == count > 1
        fields.nth(1).fill("9,5")
        around = page.locator(".field", has=fields).nth(1)
        assert "Outside: below 10 MΩ." in around.inner_text()
        assert keys(page) == {("reel:2", "C-LAY-REEL")}


def test_a_crossing_is_written_once_for_its_sheet_and_its_box(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "sheets" / "crossings.html").as_uri())
        form = page.locator(".form").first
        subject = form.get_attribute("data-subject") or ""
        name = form.locator("[data-kind=number]").first.get_attribute("name") or ""
        form.locator("[data-kind=number]").first.fill("777")
        page.goto((demo / "boxes" / f"{subject.lower()}.html").as_uri())
        assert page.locator(f"[name={name}]").input_value() == "777"


def test_what_a_sheet_changes_under_a_signature_is_judged_again_on_the_page_of_its_box(
    demo: Path, screens: Screens
) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "boxes" / "b01.html").as_uri())
        page.locator("[name=C-LAY-4]").fill("900")
        page.locator("[name=C-LAY-4]").blur()
        sign_all(page)
        counted = "Boxes signed off on this device: {} of 40. Begun: {}."
        page.goto((demo / "index.html").as_uri())
        assert page.locator(".progress").inner_text() == counted.format(1, 0)
        page.goto((demo / "sheets" / "crossings.html").as_uri())
        cover = page.locator("[id='f-B01-C-LAY-4']")
        cover.focus()
        cover.blur()
        page.goto((demo / "index.html").as_uri())
        assert page.locator(".progress").inner_text() == counted.format(1, 0), "nothing was written"
        page.goto((demo / "sheets" / "crossings.html").as_uri())
        cover.fill("950")
        cover.blur()
        page.goto((demo / "index.html").as_uri())
        assert page.locator(".progress").inner_text() == counted.format(0, 1), "its row is signed again first"
        page.goto((demo / "sheets" / "crossings.html").as_uri())
        page.locator("[id='f-B01-sign-run']").fill("Ann")
        page.goto((demo / "index.html").as_uri())
        not_yet = "Signed, but not judged yet: 1. Open their pages."
        assert page.locator(".progress").inner_text() == f"{counted.format(0, 1)} {not_yet}"
        page.goto((demo / "boxes" / "b01.html").as_uri())
        page.goto((demo / "index.html").as_uri())
        assert page.locator(".progress").inner_text() == counted.format(0, 1), "then the hold"


def test_a_run_that_is_signed_without_leave_to_cross_says_so(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "boxes" / "b01.html").as_uri())
        leave, run = (page.locator(".field", has=page.locator(f"[name={name}]")) for name in ("C-CROSS-3", "sign-run"))
        page.locator("[name=sign-run]").fill("Ann")
        assert "Permission to cross" in run.locator(".said").inner_text()
        page.locator("[name=C-CROSS-3]").fill("Road keeper")
        assert leave.locator(".said").inner_text() == "", "nothing has to be read before it"
        assert "Permission to cross" not in run.locator(".said").inner_text()
        assert ("B01", "C-CROSS-3") in keys(page)


def test_the_jobs_own_checks_are_ticked_and_signed_on_a_sheet(demo: Path, screens: Screens) -> None:
    checks = [check for each in demonstration().context.sections for check in each.checks
              if check.where == "job" and check.record != "covered"]  # fmt: skip
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "sheets" / "job.html").as_uri())
        recorded = {"sign": "sign", "measure": "text", "tick": "tick"}
        asked = {check.id: recorded[check.record] for check in checks}
        kinds = dict(page.evaluate(KINDS))
        at_the_controller = {name: kinds.pop(name) for name in ("C-EARTH-1", "C-EARTH-2", "C-EARTH-3", "C-BUR-4")}
        assert kinds == asked
        assert at_the_controller == {
            "C-EARTH-1": "sign", "C-EARTH-2": "number", "C-EARTH-3": "sign", "C-BUR-4": "sign"
        }  # fmt: skip
        page.locator("[name=C-DIG-1]").fill("Ann")
        assert keys(page) == {("job", "C-DIG-1")}


@pytest.fixture(scope="module")
def ring(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The website of a ring, in English and in Spanish beside it."""
    folder = tmp_path_factory.mktemp("ring") / "site"
    book = standing(RING)
    files = dict.fromkeys((*PRINTED, *book_files(), "cards-es.pdf"), b"")
    edition = load_edition(book, REPOSITORY / "content", None, "es")
    build_site(book, folder, files=files, also=edition.others)
    with speaking(edition.messages):
        build_site(edition, folder / "es", scripts=edition.scripts, also=edition.others)
    return folder


def test_a_run_that_closes_a_ring_is_recorded_as_a_run(ring: Path, screens: Screens) -> None:
    book = standing(RING)
    run = book.analysis.network.closures[0].id
    page_id = next(page.id for page in book.pages if page.box == run)
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((ring / f"{page_id}.html").as_uri())
        page.locator("[name=SOIL-C]").fill("16")
        page.locator("[name=AB-LENGTH]").fill("30")
        sign_all(page)
        subjects = {subject for subject, _ in keys(page)}
        assert subjects == {f"run:{run}"}
        page.goto((ring / "index.html").as_uri())
        assert "Ring runs signed off: 1 of 1." in page.locator(".progress").inner_text()


def test_spanish_pages_share_the_entries_and_speak_spanish(ring: Path, screens: Screens) -> None:
    box = standing(RING).analysis.network.boxes[0].lower()
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((ring / "boxes" / f"{box}.html").as_uri())
        page.locator("#writer").fill("Ana")
        page.locator("[name=C-TEST-3]").fill("500")
        page.goto((ring / "es" / "boxes" / f"{box}.html").as_uri())
        assert page.locator("#writer").input_value() == "Ana"
        assert page.locator("[name=C-TEST-3]").input_value() == "500"
        page.locator("[name=SOIL-C]").fill("16")
        field = page.locator(".field", has=page.locator("[name=C-TEST-3]"))
        assert field.locator(".said").inner_text().startswith("Fuera")
        assert page.locator(".record-bar .save").inner_text() == "Guardar como CSV"
        assert screen.complaints == []


@pytest.fixture
def served(ring: Path) -> Iterator[str]:
    """The same website from a web server of this machine."""
    quiet = type("Quiet", (SimpleHTTPRequestHandler,), {"log_message": lambda *_: None})
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(quiet, directory=str(ring)))
    Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_address[1]}"
    server.shutdown()
    server.server_close()


def test_it_works_from_a_web_server_too_and_sends_nothing(served: str, screens: Screens) -> None:
    box = standing(RING).analysis.network.boxes[0].lower()
    with screens.open("phone") as screen:
        page = screen.page
        sent: list[str] = []
        page.on("request", lambda request: sent.append(request.method) if request.method != "GET" else None)
        page.goto(f"{served}/boxes/{box}.html")
        page.locator("[name=C-LAY-4]").fill("455")
        page.reload()
        assert page.locator("[name=C-LAY-4]").input_value() == "455"
        asked = len(screen.asked)
        page.locator("[name=C-LAY-4]").fill("460")
        page.locator("#writer").fill("Ann")
        with page.expect_download():
            page.locator(".record-bar .save").tap()
        assert [url for url in screen.asked[asked:] if not url.startswith("blob:")] == []
        assert sent == []


def test_a_filled_page_is_printed_as_filled_paper(demo: Path, screens: Screens) -> None:
    with screens.open("phone", own=True) as screen:
        page = screen.page
        page.goto((demo / "boxes" / "b02.html").as_uri())
        page.locator("[name=C-LAY-4]").fill("300")
        page.locator("[name=NOTE]").fill("\n".join(f"line {n}" for n in range(12)))
        page.emulate_media(media="print")
        page.evaluate("dispatchEvent(new Event('beforeprint'))")
        assert page.locator("[name=C-LAY-4]").is_visible()
        assert page.locator(".field", has=page.locator("[name=C-LAY-4]")).locator(".mark-of").inner_text() == "✗"
        tall = page.evaluate("(e => [e.scrollHeight, e.clientHeight])(document.querySelector('[name=NOTE]'))")
        assert tall[0] <= tall[1], "all lines of the note are on paper"
        for gone in (".record-bar", ".kept", ".form button", ".thumb"):
            assert page.locator(f"{gone}:visible").count() == 0, gone
