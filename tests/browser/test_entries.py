"""What is typed on a page is there after a reload, closing and in two pages; a device that keeps nothing says so."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from browser.conftest import Screens

pytestmark = pytest.mark.browser
FIELDS = ".form input[name], .form textarea[name]"
VALUES = f"[...document.querySelectorAll('{FIELDS}')].map(e => e.type === 'checkbox' ? e.checked : e.value)"
BLOCKED = "void (Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError') })"
STORED = "window.records.all()"


def fill(page: Page) -> int:
    """Write into every field; how many there are."""
    fields = page.locator(FIELDS).all()
    for number, field in enumerate(fields):
        if field.get_attribute("type") == "checkbox":
            field.check()
        else:
            field.fill(f"{number},5 <b>&\"' Ω")
    return len(fields)


def box(demo: Path, name: str) -> str:
    return (demo / "boxes" / f"{name}.html").as_uri()


def test_every_field_is_there_after_a_reload_and_only_on_its_own_box(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.context.set_offline(True)
        page.goto(box(demo, "b02"))
        assert fill(page) > 15
        written = page.evaluate(VALUES)
        page.reload()
        assert page.evaluate(VALUES) == written
        assert "kept on this device only" in page.locator("p.kept").inner_text()
        again = page.context.new_page()
        page.close()
        again.goto(box(demo, "b02"))
        assert again.evaluate(VALUES) == written, "also after the page was closed"
        again.goto(box(demo, "b03"))
        assert not any(again.evaluate(VALUES))
        assert screen.complaints == []


def test_every_field_knows_its_check_its_kind_its_unit_and_its_limits(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        screen.page.goto(box(demo, "b02"))
        fields = screen.page.evaluate(
            f"[...document.querySelectorAll('{FIELDS}')].map(e => ({{name: e.name, ...e.dataset,"
            " of: e.dataset.subject || e.closest('.form').dataset.subject}))"
        )
        by_name = {each["name"]: each for each in fields}
        assert len(by_name) == len(fields), "one field for each check"
        assert {each["kind"] for each in fields} == {"number", "soil", "text", "place", "tick", "sign", "photo", "note"}
        assert by_name["C-LAY-4"] | {"kind": "number", "unit": "mm", "least": "450.0"} == by_name["C-LAY-4"]
        assert set(json.loads(by_name["C-TEST-3"]["loop"])) == {
            "expected", "least", "tolerance", "fraction", "ohms", "alpha", "reference"
        }  # fmt: skip
        assert {name for name, each in by_name.items() if each["of"] != "B02"} == {"AB-LENGTH"}
        assert by_name["AB-LENGTH"]["of"] == "run:B02"
        assert {"AB-ADDRESS", "AB-CONNECTOR", "AB-PLACE", "PHOTO", "NOTE", "SOIL-C", "sign-run"} <= set(by_name)


def test_two_open_pages_of_a_box_do_not_undo_each_other(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        one, two = screen.page, screen.page.context.new_page()
        for page in (one, two):
            page.goto(box(demo, "b02"))
        one.locator(FIELDS).nth(0).fill("455")
        two.locator(FIELDS).nth(1).fill("210")
        one.locator(FIELDS).nth(0).fill("456")
        two.wait_for_function(f"document.querySelectorAll('{FIELDS}')[0].value === '456'")
        one.reload()
        assert one.evaluate(VALUES)[:2] == ["456", "210"]


def test_an_entry_knows_who_wrote_it_and_when_with_the_zone(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto(box(demo, "b02"))
        page.locator("#writer").fill("Ann Lee")
        page.locator("[name=C-LAY-4]").fill("455")
        page.goto(box(demo, "b03"))
        assert page.locator("#writer").input_value() == "Ann Lee", "typed once for all pages"
        signed = page.locator(".field.sign", has=page.locator("[name=sign-run]"))
        signed.get_by_role("button").tap()
        assert page.locator("[name=sign-run]").input_value() == "Ann Lee"
        assert re.fullmatch(r"\d{4}-\d\d-\d\d \d\d:\d\d", signed.locator("time").inner_text())
        lacking = "Cover, Insulation"
        assert signed.locator(".said").inner_text() == f"Signed although not recorded: {lacking}."
        entries = page.evaluate(STORED)
        assert {each["by"] for each in entries} == {"Ann Lee"}
        zoned = r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d\d:\d\d"
        assert all(re.fullmatch(zoned, each["when"]) for each in entries)
        assert len(entries) == 2


def test_a_hold_is_signed_by_a_name_that_is_typed_and_asks_for_readings_that_are_not_good(
    demo: Path, screens: Screens
) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto(box(demo, "b02"))
        page.locator("#writer").fill("Ann Lee")
        hold = page.locator(".field.sign", has=page.locator("[name=C-TEST-4]"))
        assert hold.get_by_role("button").count() == 0, "no tap fills in the name of the writer"
        assert page.locator("[name=C-TEST-4]").get_attribute("placeholder") == "Signer's name"
        page.locator("[name=C-LAY-4]").fill("300")
        page.locator("[name=C-TEST-4]").fill("Bo Inspector")
        told = hold.locator(".said").inner_text()
        assert hold.get_attribute("data-state") == "out"
        assert told == "Not signed off: Cover is below 450 mm. Do not fill. First: Insulation, Soil, Loop."
        for name, typed in (("C-LAY-4", "455"), ("C-TEST-1", ">1000"), ("SOIL-C", "16"), ("C-TEST-3", "OL")):
            page.locator(f"[name={name}]").fill(typed)
        assert hold.locator(".said").inner_text() == "Not signed off: Loop does not pass. Do not fill."
        page.locator("[name=C-TEST-3]").fill("1.43")
        assert hold.locator(".said").inner_text() == "Changed after it was signed. Sign again."
        page.locator("[name=C-TEST-4]").fill("Bo Inspector")
        assert hold.locator(".said").inner_text() == ""
        assert hold.get_attribute("data-state") == ""


def test_a_name_over_a_reading_that_fails_signs_nothing_off(demo: Path, screens: Screens) -> None:
    """Hold, row and later: each names the readings with their limits; the name is kept, and the box is not counted."""
    with screens.open("phone") as screen:
        page = screen.page
        page.goto(box(demo, "b40"))
        for name, typed in (("C-LAY-4", "455"), ("C-TEST-1", "2"), ("SOIL-C", "16"), ("C-TEST-3", "5")):
            page.locator(f"[name={name}]").fill(typed)
        for field in page.locator(".form [data-kind=sign]").all():
            field.fill("Bo Inspector" if field.get_attribute("data-hold") is not None else "Ann Lee")
        told = {
            name: page.locator(".field.sign", has=page.locator(f"[name={name}]"))
            for name in ("sign-run", "sign-test", "C-TEST-4", "C-FILL-PIPE", "C-POWER-4")
        }  # fmt: skip
        loop = page.locator(".field", has=page.locator("[name=C-TEST-3]")).locator(".said").inner_text()
        over = re.fullmatch(r"Outside: above (.+ Ω)\.", loop)
        assert over is not None, loop
        hold = told["C-TEST-4"].locator(".said").inner_text()
        fails = re.fullmatch(
            r"Not signed off: Insulation is below 10 MΩ, Loop is outside [0-9.]+ Ω to (.+ Ω)\. Do not fill\.", hold
        )  # fmt: skip
        assert fails is not None, hold
        assert fails[1] == over[1], "the limit that the field itself says"
        assert told["C-TEST-4"].locator(".mark-of").inner_text() == "✗"
        assert told["C-TEST-4"].get_attribute("data-state") == "out"
        assert told["sign-run"].locator(".said").inner_text() == "Not signed off: Insulation is below 10 MΩ."
        assert told["sign-test"].locator(".said").inner_text().startswith("Not signed off: Loop is outside ")
        assert told["C-FILL-PIPE"].locator(".said").inner_text() == "", "who signs for the pipe signs for no cable"
        elsewhere = "Not good at this box: Insulation, Loop."
        assert told["C-POWER-4"].locator(".said").inner_text() == elsewhere
        page.locator("[name=C-POWER-VOLTS]").fill("36.2")
        page.locator("[name=C-POWER-LOAD]").fill("20")
        said = f"Not signed off: Volts under load is below 35 V. {elsewhere}"
        assert told["C-POWER-4"].locator(".said").inner_text() == said
        page.locator("[name=C-POWER-LOAD]").fill("")
        assert page.evaluate("window.records.read('B40', 'C-TEST-4').value") == "Bo Inspector", "kept as it was typed"
        start = (demo / "index.html").as_uri()
        page.goto(start)
        counted = page.locator(".progress").inner_text()
        assert counted == (
            "Boxes signed off on this device: 0 of 40. Begun: 1. Signed, but a reading is not good: 1."
        )  # fmt: skip
        page.goto((demo / "boxes" / "all.html").as_uri())
        assert page.locator(".chips a[aria-label]").get_attribute("aria-label") == "B40, a reading is not good"
        page.goto(box(demo, "b40"))
        page.locator("[name=C-TEST-1]").fill("200")
        page.locator("[name=C-TEST-3]").fill("3.1")
        assert told["C-TEST-4"].locator(".said").inner_text() == "Changed after it was signed. Sign again."
        page.goto(start)
        assert page.locator(".progress").inner_text() == "Boxes signed off on this device: 0 of 40. Begun: 1."
        page.goto(box(demo, "b40"))
        for field in page.locator(".form [data-kind=sign]").all():
            field.fill("Bo Inspector" if field.get_attribute("data-hold") is not None else "Ann Lee")
        assert told["C-TEST-4"].locator(".said").inner_text() == ""
        page.goto(start)
        assert page.locator(".progress").inner_text() == "Boxes signed off on this device: 1 of 40. Begun: 0."


def test_who_signs_a_row_or_makes_its_readings_does_not_sign_its_hold(demo: Path, screens: Screens) -> None:
    own = "Nobody inspects their own work."
    with screens.open("phone") as screen:
        page = screen.page
        page.goto(box(demo, "b40"))
        hold = page.locator(".field.sign", has=page.locator("[name=C-TEST-4]")).locator(".said")
        for name, typed in (("C-LAY-4", "455"), ("C-TEST-1", "200"), ("SOIL-C", "16"), ("C-TEST-3", "3.1")):
            page.locator(f"[name={name}]").fill(typed)
        page.locator("[name=sign-test]").fill("Ann Lee")
        page.locator("[name=C-TEST-4]").fill(" ann  lee")
        assert hold.inner_text() == own
        assert page.evaluate("window.records.read('B40', 'C-TEST-4').value") == "ann  lee", "it is kept all the same"
        page.locator("[name=C-TEST-4]").fill("Bo Inspector")
        assert hold.inner_text() == ""
        page.locator("#writer").fill("Bo Inspector")
        page.locator("[name=C-TEST-3]").fill("3.12")
        assert hold.inner_text().endswith(own), "the same person read the loop"


def test_a_device_that_keeps_nothing_says_so(demo: Path, screens: Screens) -> None:
    with screens.open("phone", own=True) as screen:
        page = screen.page
        page.add_init_script(BLOCKED)
        page.goto(box(demo, "b02"))
        assert "cannot keep" in page.locator("p.kept").inner_text()


def test_a_device_that_refuses_its_store_altogether_says_so_too(demo: Path, screens: Screens) -> None:
    refuse = "get() { throw new DOMException('no', 'SecurityError') }"
    with screens.open("phone", own=True) as screen:
        page = screen.page
        page.add_init_script(f"Object.defineProperty(window, 'localStorage', {{ {refuse} }})")
        page.goto(box(demo, "b02"))
        assert "cannot keep" in page.locator("p.kept").inner_text()
        page.locator("[name=C-LAY-4]").fill("455")
        assert page.evaluate("window.records.all().map(each => each.value)") == ["455"], "the page itself holds it"


def test_a_store_that_fills_up_while_writing_is_told_at_once(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto(box(demo, "b02"))
        page.locator(FIELDS).nth(1).fill("210")
        page.evaluate(BLOCKED)
        page.locator(FIELDS).first.fill("455")
        assert "cannot keep" in page.locator("p.kept").inner_text()
        page.locator("#writer").fill("Ann")
        assert "cannot keep" in page.locator("p.kept").inner_text()
        with page.expect_download() as saved:
            page.locator(".record-bar .save").tap()
        text = saved.value.path().read_text(encoding="utf-8")
        assert "B02,C-LAY-4,455,mm," in text, "what the device cannot keep is in the file all the same"
        assert "B02,C-TEST-1,210," in text


def test_without_scripts_the_page_says_that_nothing_is_kept(demo: Path, screens: Screens) -> None:
    with screens.open("phone", scripts=False) as screen:
        screen.page.goto(box(demo, "b02"))
        assert "lost when it closes" in screen.page.locator("p.kept").inner_text()
        assert screen.page.locator(".writer:visible, .record-bar:visible").count() == 0


def test_an_entry_that_cannot_be_read_is_put_aside_and_not_thrown_away(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto(box(demo, "b02"))
        page.locator(FIELDS).nth(0).fill("455")
        page.locator(FIELDS).nth(1).fill("210")
        key = page.evaluate("Object.keys(localStorage).find(name => name.includes('C-LAY-4'))")
        page.evaluate("key => localStorage.setItem(key, '{broken')", key)
        page.reload()
        assert page.evaluate(VALUES)[:2] == ["", "210"], "one bad entry spoils no other"
        page.locator(FIELDS).first.fill("460")
        assert page.evaluate("key => localStorage.getItem(key + ' put aside')", key) == "{broken"


def test_an_entry_of_another_revision_is_not_shown_and_not_lost(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto(box(demo, "b02"))
        page.locator("#writer").fill("Ann")
        key = json.dumps(["slackloop", "HF-2031", "A", "B02", "C-LAY-4"], separators=(",", ":"))
        entry = {"value": "451", "unit": "mm", "by": "Ann", "when": "2026-03-01T10:00:00+00:00", "handbook": "0ld"}
        page.evaluate("([key, text]) => localStorage.setItem(key, text)", [key, json.dumps(entry)])
        page.reload()
        assert page.locator("[name=C-LAY-4]").input_value() == ""
        with page.expect_download() as saved:
            page.get_by_role("button", name="Save entries of revision A").tap()
        rows = saved.value.path().read_text(encoding="utf-8").splitlines()
        assert rows[1].startswith("job,HANDBOOK,0ld,")
        assert rows[2] == "B02,C-LAY-4,451,mm,Ann,2026-03-01T10:00:00+00:00,"


def test_a_screen_that_is_opened_again_holds_nothing_of_the_last(demo: Path, screens: Screens) -> None:
    """Profiles serve several tests: guards every test that takes its screen for a new device."""
    with screens.open("phone") as screen:
        screen.page.goto(box(demo, "b02"))
        screen.page.locator(FIELDS).first.fill("455")
        assert any(screen.page.evaluate(VALUES))
        with screens.open("phone") as other:
            other.page.goto(box(demo, "b02"))
            assert not any(other.page.evaluate(VALUES)), "two screens at once are two devices"
    with screens.open("phone") as screen:
        screen.page.goto(box(demo, "b02"))
        assert not any(screen.page.evaluate(VALUES))
        assert screen.page.evaluate("window.records.all()") == []


def test_a_button_is_hit_by_the_tap_that_leaves_a_field(demo: Path, screens: Screens) -> None:
    """The bar of the boxes comes back after the tap: it would lie over the button and take it."""
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "boxes" / "b30.html").as_uri())
        field, bar = page.locator("[name=C-LAY-4]"), page.locator(".thumb")
        field.focus()
        assert not bar.is_visible()
        left = "e => { e.blur(); return getComputedStyle(document.querySelector('.thumb')).display; }"
        assert field.evaluate(left) == "none", "not at once"
        bar.wait_for(state="visible", timeout=30_000)
