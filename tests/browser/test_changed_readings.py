"""A reading that is written over: what was not good stays, and a signature over what has changed counts no more."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from browser.test_readings import state
from browser.test_record_file import by_name, file_of, open_box, row, rows_of, save, take_in
from records.record_samples import context, due, result_of
from samples import DEMO
from slackloop.records.record_file import records_of
from slackloop.records.result import Results
from slackloop.records.standing import judge_job

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from browser.conftest import Screens

pytestmark = pytest.mark.browser
AGAIN = "Changed after it was signed. Sign again."
GOOD = {"C-LAY-4": "455", "C-TEST-1": "200", "SOIL-C": "16", "C-TEST-3": "5.6"}
COUNTED = "Boxes signed off on this device: {} of 40. Begun: {}."


def write(page: Page, name: str, text: str) -> None:
    """Type into a field and leave it."""
    page.locator(f"[name={name}]").fill(text)
    page.locator(f"[name={name}]").blur()


def values(data: bytes, check: str) -> list[str]:
    return [each["value"] for each in rows_of(data) if each["check"] == check]


def judged(data: bytes) -> Results:
    return judge_job(due(DEMO), [records_of(data.decode("utf-8"), "phone.csv")], (context(DEMO).fingerprint,))


def age(page: Page, box: str, minutes: int) -> None:
    """Let everything that is kept of a box be so much older."""
    page.evaluate(
        """([box, minutes]) => {
          const older = (entry) => {
            const at = Date.parse(entry.when) - minutes * 60000;
            return {...entry, when: window.records.stamp(new Date(at)), at};
          };
          for (const {subject, check, ...entry} of window.records.all().filter(each => each.subject === box)) {
            const before = entry.earlier ? {earlier: entry.earlier.map(older)} : {};
            window.records.write(subject, check, {...older(entry), ...before});
          }
        }""",
        [box, minutes],
    )
    page.reload()


def test_a_reading_that_is_changed_after_it_was_signed_is_signed_again(demo: Path, screens: Screens) -> None:
    """Hold and row, on the page, after a reload, and in the count of boxes; the same value typed again is no change."""
    with screens.open("phone") as screen:
        page = screen.page
        open_box(page, demo, "b07")
        for name, text in (GOOD | {"C-TEST-3": "7.9"}).items():
            write(page, name, text)
        for field in page.locator(".form [data-kind=sign]").all():
            field.fill("Bo Inspector" if field.get_attribute("data-hold") is not None else "Ann Lee")
        assert state(page, "C-TEST-4")[0] == "out"
        write(page, "C-TEST-3", "5.6")
        for name in ("C-TEST-4", "sign-test"):
            assert state(page, name)[1].startswith(AGAIN), name
            assert state(page, name)[0] == "out"
        assert AGAIN not in state(page, "sign-run")[1], "its own readings are as they were"
        assert AGAIN not in state(page, "C-FILL-PIPE")[1]
        page.reload()
        assert state(page, "C-TEST-4") == ("out", AGAIN)
        page.goto((demo / "index.html").as_uri())
        assert page.locator(".progress").inner_text() == COUNTED.format(0, 1)
        open_box(page, demo, "b07")
        page.locator(".field.sign", has=page.locator("[name=sign-test]")).get_by_role("button", name="Sign").tap()
        write(page, "C-TEST-4", "Bo Inspector")
        assert state(page, "C-TEST-4") == ("", "")
        write(page, "C-TEST-3", "5.61")
        write(page, "C-TEST-3", "5.6")
        assert state(page, "C-TEST-4") == ("out", AGAIN)
        write(page, "C-TEST-4", "Bo Inspector")
        page.locator("[name=C-TEST-3]").press("End")
        page.locator("[name=C-TEST-3]").press("1")
        assert state(page, "C-TEST-4") == ("out", AGAIN)
        page.locator("[name=C-TEST-3]").press("Backspace")
        page.locator("[name=C-TEST-3]").blur()
        assert state(page, "C-TEST-4") == ("", ""), "a slip of a key that is taken back changes nothing"


def test_a_signature_over_what_only_another_soil_temperature_makes_good_is_signed_again(
    demo: Path, screens: Screens
) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        open_box(page, demo, "b07")
        for name, text in (GOOD | {"SOIL-C": "28", "C-TEST-3": "4.9"}).items():
            write(page, name, text)
        write(page, "C-TEST-4", "Bo Inspector")
        assert state(page, "C-TEST-4")[0] == "out"
        write(page, "SOIL-C", "16")
        assert state(page, "C-TEST-3")[0] == "in"
        assert state(page, "C-TEST-4") == ("out", AGAIN)
        write(page, "C-TEST-4", "Bo Inspector")
        write(page, "SOIL-C", "15")
        assert state(page, "C-TEST-4") == ("", ""), "the soil is read anew with each loop"


def test_page_and_records_agree_on_a_hold_that_is_older_than_a_reading(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        open_box(page, demo, "b07")
        for name, text in GOOD.items():
            write(page, name, text)
        write(page, "C-TEST-4", "Bo Inspector")
        age(page, "B07", 10)
        assert state(page, "C-TEST-4") == ("", "")
        assert result_of(judged(save(page)[1]), "B07", "C-TEST-4").status == "pass"
        write(page, "C-TEST-3", "5.7")
        assert state(page, "C-TEST-4") == ("out", AGAIN)
        found = result_of(judged(save(page)[1]), "B07", "C-TEST-4")
        assert (found.status, found.why) == ("fail", "signed before these were recorded: C-TEST-3 (5.7 Ω)")
        write(page, "C-TEST-4", "Bo Inspector")
        assert result_of(judged(save(page)[1]), "B07", "C-TEST-4").status == "pass"


def test_a_reading_that_failed_stays_when_it_is_written_over(demo: Path, screens: Screens, tmp_path: Path) -> None:
    """What was left standing, and no key by key; also through a reload, a second device and a file taken in twice."""
    with screens.open("phone") as screen, screens.open("phone") as other:
        page = screen.page
        open_box(page, demo, "b07")
        write(page, "C-LAY-4", "455")
        write(page, "SOIL-C", "16")
        write(page, "C-TEST-1", "2")
        age(page, "B07", 10)
        page.locator("[name=C-TEST-1]").clear()
        page.locator("[name=C-TEST-1]").press_sequentially("210")
        page.locator("[name=C-TEST-1]").blur()
        write(page, "C-TEST-3", "7.9")
        age(page, "B07", 10)
        page.locator("#writer").fill("Bo")
        write(page, "C-TEST-3", "9.9")
        age(page, "B07", 10)
        write(page, "C-TEST-3", "5.6")
        write(page, "C-LAY-4", "460")
        page.reload()
        data = save(page)[1]
        assert values(data, "C-TEST-1") == ["2", "210"]
        assert values(data, "C-TEST-3") == ["7.9", "9.9", "5.6"]
        assert values(data, "C-LAY-4") == ["460"], "a value that was good is no reading that failed"
        whens = [each["when"] for each in rows_of(data) if each["check"] == "C-TEST-3"]
        assert whens[0] < whens[1] < whens[2], "each with its own time"
        assert [each["by"] for each in rows_of(data) if each["check"] == "C-TEST-3"] == ["Ann Lee", "Bo", "Bo"]
        told = {each.record.value: each.closed_by for each in judged(data).non_conformances}
        assert set(told) == {"2", "7.9"}
        assert all(closed is not None for closed in told.values()), "it was repaired"
        open_box(other.page, demo, "b07", writer="Bo")
        for number in range(2):
            take_in(other.page, tmp_path, data, f"phone-{number}.csv")
        assert other.page.locator("[name=C-TEST-3]").input_value() == "5.6"
        again = save(other.page)[1]
        assert sorted(rows_of(again)[1:], key=str) == sorted(rows_of(data)[1:], key=str)


def test_a_failed_reading_that_is_taken_away_stays_too(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        open_box(page, demo, "b07")
        write(page, "C-TEST-1", "2")
        write(page, "C-TEST-1", "")
        assert values(save(page)[1], "C-TEST-1") == ["2", ""]
        write(page, "C-LAY-4", "455")
        write(page, "C-LAY-4", "")
        write(page, "C-TEST-1", "210")
        assert values(save(page)[1], "C-TEST-1") == ["2", "210"]


def test_of_two_devices_the_older_reading_stays_before_the_newer(
    demo: Path, screens: Screens, tmp_path: Path
) -> None:
    """Whichever file comes first: a reading that failed on one phone is not rubbed out by a good one of another."""
    bad = row("C-LAY-4", "300", "2026-03-09T09:00:00+01:00")
    good = row("C-LAY-4", "455", "2026-03-09T14:05:00+01:00")
    for first, second in ((bad, good), (good, bad)):
        with screens.open("phone") as screen:
            page = screen.page
            open_box(page, demo)
            take_in(page, tmp_path, file_of(first), "first.csv")
            take_in(page, tmp_path, file_of(second), "second.csv")
            data = save(page)[1]
            assert by_name(data)["B02", "C-LAY-4"]["value"] == "455"
            assert values(data, "C-LAY-4") == ["300", "455"]


def test_who_signs_that_the_stations_were_operated_is_told_what_is_open_at_the_box(
    demo: Path, screens: Screens
) -> None:
    """A message, and no refusal: the name is kept."""
    with screens.open("phone") as screen:
        page = screen.page
        open_box(page, demo, "b07")
        write(page, "C-DEVICE-1", "999")
        write(page, "sign-run", "Ann Lee")
        write(page, "C-POWER-4", "Ann Lee")
        found, told = state(page, "C-POWER-4")
        assert found == "ask"
        assert told == (
            "Not good at this box: Address. "
            "Not signed at this box: Test, Inspector, Pipe passed its pressure test, Splice, Device, Close."
        )
        assert page.evaluate("window.records.read('B07', 'C-POWER-4').value") == "Ann Lee"
        write(page, "C-DEVICE-1", "106")
        for field in page.locator(".form [data-kind=sign]").all():
            field.fill("Bo Inspector" if field.get_attribute("data-hold") is not None else "Ann Lee")
        assert state(page, "C-POWER-4") == ("", "")


def test_a_tick_that_is_missing_is_called_by_its_words(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        open_box(page, demo, "b07")
        write(page, "sign-close", "Ann Lee")
        holds = "Inspector: both readings pass, Pipe passed its pressure test"
        assert state(page, "sign-close")[1] == f"Signed although not recorded: {holds}, Photo with the lid off."


def test_a_reading_that_fails_leads_to_what_to_do(demo: Path, screens: Screens) -> None:
    """To the step of its section that says when to stop; there is no such way where nothing fails."""
    with screens.open("phone") as screen:
        page = screen.page
        open_box(page, demo, "b07")
        field = page.locator(".field", has=page.locator("[name=C-TEST-1]"))
        assert not field.locator(".stop").is_visible()
        write(page, "C-TEST-1", "2")
        way = field.get_by_role("link", name="What to do")
        assert way.is_visible()
        assert state(page, "C-TEST-1") == ("out", "Outside: below 10 MΩ.")
        way.click()
        step = page.locator(":target")
        assert "tests-before-backfill.html#" in page.url
        due_here = next(each for each in due(DEMO).dues if each.subject == "B07" and "C-TEST-1" in each.ids)
        assert due_here.stop_if.split(". ")[0] in " ".join(step.inner_text().split())
        page.goto((demo / "sheets" / "reels-received.html").as_uri())
        page.locator("[name=C-LAY-REEL]").first.fill("2")
        assert page.locator(".field", has=page.locator("[name=C-LAY-REEL]")).first.get_by_role("link").is_visible()


def test_the_last_loop_is_judged_beside_the_volts_and_no_row_answers_for_it(demo: Path, screens: Screens) -> None:
    """The row that closes the box may be signed before the loop is read for the last time."""
    with screens.open("phone") as screen:
        page = screen.page
        open_box(page, demo, "b20")
        write(page, "SOIL-C", "16")
        write(page, "sign-close", "Ann Lee")
        assert "Last loop" not in state(page, "sign-close")[1]
        write(page, "LOOP-LAST", "99.9")
        assert state(page, "LOOP-LAST")[0] == "out"
        assert "Last loop" not in state(page, "sign-close")[1]
        write(page, "C-POWER-4", "Ann Lee")
        assert "Not good at this box: Last loop" in state(page, "C-POWER-4")[1]
        form = page.locator(".form", has=page.locator("[name=LOOP-LAST]"))
        assert form.locator("[name=C-POWER-2]").count() == 1


def test_what_was_signed_for_stays_when_it_is_written_over(demo: Path, screens: Screens) -> None:
    """The reading that the inspector saw, and the signature that no longer holds: both are in the saved file."""
    with screens.open("phone") as screen:
        page = screen.page
        open_box(page, demo, "b07")
        for name, text in GOOD.items():
            write(page, name, text)
        write(page, "C-TEST-4", "Bo Inspector")
        age(page, "B07", 30)
        write(page, "C-TEST-3", "5.7")
        write(page, "C-TEST-3", "5.8")
        assert state(page, "C-TEST-4") == ("out", AGAIN)
        age(page, "B07", 10)
        write(page, "C-TEST-4", "Bo Inspector jr")
        data = save(page)[1]
    assert values(data, "C-TEST-3") == ["5.6", "5.8"], "5.7 was seen by nobody"
    assert values(data, "C-TEST-4") == ["Bo Inspector", "Bo Inspector jr"]


def test_a_tick_after_the_signature_is_signed_for_again(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        open_box(page, demo, "b07")
        write(page, "sign-close", "Ann Lee")
        page.locator("[name=C-CLOSE-3]").check()
        assert AGAIN in state(page, "sign-close")[1]
        page.goto((demo / "sheets" / "daily.html").as_uri())
        signed = page.locator("[name=sign-leave]").first
        signed.fill("Ann Lee")
        page.locator(".form:has([name=sign-leave]) [data-kind=tick]").first.check()
        assert AGAIN in page.locator(".field:has([name=sign-leave]) .said").first.inner_text()


def test_a_first_loop_that_was_read_after_the_fill_is_compared_with_nothing(demo: Path, screens: Screens) -> None:
    """As ``records`` does: it is not the reading before the fill any more."""
    with screens.open("phone") as screen:
        page = screen.page
        open_box(page, demo, "b07")
        for name, text in (GOOD | {"C-TEST-3": "5.6", "C-FILL-6": "5.1"}).items():
            write(page, name, text)
        assert state(page, "C-FILL-6")[0] == "out"
        age(page, "B07", 30)
        write(page, "C-TEST-3", "5.5")
        assert state(page, "C-FILL-6")[0] == "in"
        data = save(page)[1]
    assert result_of(judged(data), "B07", "C-FILL-6").status == "pass"
