"""The file that a device saves: rows as typed, nothing lost by saving twice, no formulas, two devices merged."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from book_samples import demonstration
from browser.test_entries import BLOCKED
from render.test_record_schema import faults
from slackloop.records.result import COLUMNS, HANDBOOK_CHECK

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from browser.conftest import Screens

pytestmark = pytest.mark.browser
HEAD = ",".join(COLUMNS)
FORMULAS = ["=1+1", "+44 7700", "-5 to 3", "@SUM(A1)", "\tx", "=HYPERLINK(\"http://x\"; \"y\")"]
Rows = dict[tuple[str, str], dict[str, str]]


def save(page: Page) -> tuple[str, bytes]:
    """One tap: the name of the file and what is in it."""
    with page.expect_download() as saved:
        page.locator(".record-bar .save").tap()
    return saved.value.suggested_filename, saved.value.path().read_bytes()


def rows_of(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8"), newline="")))


def by_name(data: bytes) -> Rows:
    return {(row["box"], row["check"]): row for row in rows_of(data)}


def open_box(page: Page, demo: Path, name: str = "b02", writer: str = "Ann Lee") -> None:
    page.goto((demo / "boxes" / f"{name}.html").as_uri())
    page.locator("#writer").fill(writer)


def take_in(page: Page, folder: Path, data: bytes | str, name: str = "other.csv") -> str:
    """Take in a file; what the page says of it."""
    path = folder / name
    path.write_bytes(data if isinstance(data, bytes) else data.encode())
    page.locator("#record-file").set_input_files(path)
    page.wait_for_function("name => document.querySelector('.record-bar .told').textContent.includes(name)", arg=name)
    return page.locator(".record-bar .told").inner_text()


def row(check: str, value: str, when: str, *, box: str = "B02", unit: str = "mm") -> str:
    return f"{box},{check},{value},{unit},Bo,{when},\r\n"


def file_of(*rows: str, handbook: str = "") -> str:
    fingerprint = handbook or demonstration().header.fingerprint
    return f"{HEAD}\r\njob,{HANDBOOK_CHECK},{fingerprint},,Bo,2026-03-09T15:00:00+01:00,\r\n{''.join(rows)}"


def test_what_was_typed_offline_on_several_pages_is_in_one_file(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.context.set_offline(True)
        open_box(page, demo)
        typed = {"C-LAY-4": "455", "C-TEST-1": "210", "SOIL-C": "16", "C-TEST-3": "1,43", "C-DEVICE-1": "102",
                 "AB-LENGTH": "38,5", "AB-PLACE": "78.5, 14.2", "PHOTO": "IMG_1.jpg", "NOTE": "lid \"A\", cut;\nred",
                 "sign-run": "Ann Lee"}  # fmt: skip
        for name, text in typed.items():
            page.locator(f"[name={name}]").fill(text)
        page.locator("[name=C-SPLICE-3]").check()
        page.locator("[name=C-SPLICE-5]").check()
        page.locator("[name=C-SPLICE-5]").uncheck()
        page.reload()
        open_box(page, demo, "b03")
        page.locator("[name=C-LAY-4]").fill("600")
        name, data = save(page)
        fingerprint = demonstration().header.fingerprint
        assert data.startswith(f"{HEAD}\r\njob,{HANDBOOK_CHECK},{fingerprint},,Ann Lee,".encode())
        assert re.fullmatch(r"HF-2031-B_Ann-Lee_\d{4}-\d\d-\d\d-\d{4}\.csv", name)
        (when,) = {each["when"] for each in rows_of(data) if each["check"] == HANDBOOK_CHECK}
        assert f"_{when[:10]}-{when[11:13]}{when[14:16]}.csv" in name, "two files of one day bear two names"
        rows = by_name(data)
        assert faults(rows_of(data)) == [], "it fits the schema that lies beside the site"
        read = {key: (each["value"], each["unit"]) for key, each in rows.items() if key[1] != HANDBOOK_CHECK}
        assert read == {
            ("B02", "C-LAY-4"): ("455", "mm"), ("B02", "C-TEST-1"): ("210", "MΩ"), ("B02", "SOIL-C"): ("16", "degC"),
            ("B02", "C-TEST-3"): ("1.43", "Ω"), ("B02", "C-DEVICE-1"): ("102", ""),
            ("run:B02", "AB-LENGTH"): ("38.5", "m"), ("B02", "AB-PLACE"): ("78.5,14.2", ""),
            ("B02", "PHOTO"): ("IMG_1.jpg", ""), ("B02", "NOTE"): ("lid \"A\", cut;\nred", ""),
            ("B02", "sign-run"): ("Ann Lee", ""), ("B02", "C-SPLICE-3"): ("yes", ""),
            ("B02", "C-SPLICE-5"): ("no", ""), ("B03", "C-LAY-4"): ("600", "mm"),
        }  # fmt: skip
        assert {each["by"] for each in rows.values()} == {"Ann Lee"}
        assert all(re.search(r"T\d\d:\d\d:\d\d[+-]\d\d:\d\d$", each["when"]) for each in rows.values())
        assert screen.asked_outside == []
        assert screen.complaints == []


def test_a_file_is_saved_only_with_the_name_of_who_wrote_it(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        open_box(page, demo, writer="")
        page.locator("[name=C-LAY-4]").fill("455")
        page.locator(".record-bar .save").tap()
        assert page.locator(".record-bar .told").inner_text() == "Write your name first."
        assert page.evaluate("document.activeElement.id") == "writer"
        page.locator("#writer").fill("Ann Lee")
        assert by_name(save(page)[1])["B02", "C-LAY-4"]["by"] == "Ann Lee"


def test_a_second_save_loses_nothing(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        open_box(page, demo)
        page.locator("[name=C-LAY-4]").fill("455")
        first = by_name(save(page)[1])
        page.locator("[name=C-TEST-1]").fill("210")
        page.locator("[name=C-LAY-4]").fill("")
        second = by_name(save(page)[1])
        assert set(first) < set(second)
        assert second["B02", "C-TEST-1"]["value"] == "210"
        assert second["B02", "C-LAY-4"]["value"] == "", "that a saved value was taken away is said too"
        page.locator("[name=C-TEST-1]").press("End")
        for _ in range(3):
            page.locator("[name=C-TEST-1]").press("Backspace")
        assert by_name(save(page)[1])["B02", "C-TEST-1"]["value"] == "", "also where it was taken away key by key"
        page.locator("[name=C-BOX-1]").fill("1.3")
        page.locator("[name=C-BOX-1]").fill("")
        third = by_name(save(page)[1])
        assert set(third) == set(second), "what no file ever had leaves no row"


def test_what_a_spreadsheet_would_work_out_is_made_plain_and_comes_back_as_typed(
    demo: Path, screens: Screens, tmp_path: Path
) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        open_box(page, demo)
        for text in FORMULAS:
            page.locator("[name=NOTE]").fill(text)
            assert by_name(save(page)[1])["B02", "NOTE"]["value"] == f"'{text}"
        page.locator("[name=SOIL-C]").fill("-5")
        data = save(page)[1]
        assert by_name(data)["B02", "SOIL-C"]["value"] == "-5", "a plain number is left as it is"
        page.evaluate("localStorage.clear()")
        page.reload()
        assert page.locator("[name=NOTE]").input_value() == ""
        take_in(page, tmp_path, data)
        assert page.locator("[name=NOTE]").input_value() == FORMULAS[-1]


def test_two_devices_are_merged_and_the_later_entry_wins(demo: Path, screens: Screens, tmp_path: Path) -> None:
    with screens.open("phone") as one, screens.open("phone") as two:
        open_box(one.page, demo)
        one.page.locator("[name=C-LAY-4]").fill("455")
        one.page.locator("[name=C-TEST-1]").fill("210")
        data = save(one.page)[1]
        open_box(two.page, demo, writer="Bo")
        two.page.locator("[name=C-BOX-1]").fill("1.3")
        two.page.evaluate("window.records.write('B02', 'C-LAY-4', {value: '300', unit: 'mm', by: 'Bo', note: '',"
                          " when: '2020-01-01T08:00:00+00:00'})")  # fmt: skip
        two.page.evaluate("window.records.write('B02', 'C-TEST-1', {value: '99', unit: 'MΩ', by: 'Bo', note: '',"
                          " when: '2099-01-01T08:00:00+00:00'})")  # fmt: skip
        told = take_in(two.page, tmp_path, data)
        assert "1 taken in, 1 not newer than here" in told
        both = by_name(save(two.page)[1])
        assert both["B02", "C-LAY-4"]["value"] == "455"
        assert both["B02", "C-LAY-4"]["by"] == "Ann Lee", "each row says who wrote it"
        assert both["B02", "C-TEST-1"]["value"] == "99"
        assert both["B02", "C-BOX-1"]["value"] == "1.3"
        assert two.page.locator("[name=C-LAY-4]").input_value() == "455"


def test_times_of_different_zones_are_compared_as_times(demo: Path, screens: Screens, tmp_path: Path) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        open_box(page, demo)
        take_in(page, tmp_path, file_of(row("C-LAY-4", "451", "2026-03-09T09:00:00-05:00")), "first.csv")
        take_in(page, tmp_path, file_of(row("C-LAY-4", "452", "2026-03-09T14:30:00+01:00")), "second.csv")
        assert page.locator("[name=C-LAY-4]").input_value() == "451"


def test_bad_rows_are_named_and_good_ones_kept(demo: Path, screens: Screens, tmp_path: Path) -> None:
    when = "2026-03-09T14:05:00+01:00"
    with screens.open("phone") as screen:
        page = screen.page
        open_box(page, demo)
        made = file_of(row("C-LAY-4", "455", when), row("C-TEST-1", "9", "2026-03-09 14:05"), row("", "1", when),
                       row("C-BOX-1", "1.4", when, unit="m"), "B02,C-FILL-6\r\n")  # fmt: skip
        told = take_in(page, tmp_path, made)
        assert "2 taken in" in told
        assert "Rows that cannot be read: 4, 5, 7." in told
        assert page.locator("[name=C-BOX-1]").input_value() == "1.4"
        told = take_in(page, tmp_path, "name;value\r\nx;y\r\n", "list.csv")
        assert "no file of records" in told


def test_a_file_that_a_spreadsheet_saved_again_is_read(demo: Path, screens: Screens, tmp_path: Path) -> None:
    """Each with a later reading than the one before."""
    ways: dict[str, Callable[[str], bytes]] = {
        "semicolons": lambda text: text.replace(",", ";").encode(), "marked": lambda text: text.encode("utf-8-sig"),
        "newlines": lambda text: text.replace("\r\n", "\n").encode(), "windows": lambda text: text.encode("cp1252"),
    }  # fmt: skip
    with screens.open("phone") as screen:
        open_box(screen.page, demo)
        for number, (way, saved) in enumerate(ways.items(), 451):
            when = f"2026-03-09T14:{number - 450:02}:00+01:00"
            text = file_of(row("C-LAY-4", str(number), when), row("NOTE", f"Señal {way}", when))
            assert "2 taken in" in take_in(screen.page, tmp_path, saved(text), f"{way}.csv"), way
            assert screen.page.locator("[name=C-LAY-4]").input_value() == str(number), way
            assert screen.page.locator("[name=NOTE]").input_value() == f"Señal {way}"


def test_a_file_of_another_copy_is_taken_in_only_when_asked(demo: Path, screens: Screens, tmp_path: Path) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        open_box(page, demo)
        page.locator("[name=C-TEST-1]").fill("210")
        told = take_in(page, tmp_path, file_of(row("C-LAY-4", "455", "2026-03-09T14:05:00+01:00"), handbook="ab" * 32))
        assert "another copy of the handbook" in told
        assert page.locator("[name=C-LAY-4]").input_value() == ""
        page.get_by_role("button", name="Take it in all the same").tap()
        assert page.locator("[name=C-LAY-4]").input_value() == "455"
        copies = [each["value"] for each in rows_of(save(page)[1]) if each["check"] == HANDBOOK_CHECK]
        assert copies == [demonstration().header.fingerprint, "ab" * 32], "each row follows the copy it was written on"


def test_taking_in_more_than_the_device_can_keep_is_said(demo: Path, screens: Screens, tmp_path: Path) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        open_box(page, demo)
        page.evaluate(BLOCKED)
        told = take_in(page, tmp_path, file_of(row("C-LAY-4", "455", "2026-03-09T14:05:00+01:00")))
        assert "cannot keep 1 of them" in told
        assert by_name(save(page)[1])["B02", "C-LAY-4"]["value"] == "455"


def test_a_box_that_was_taken_in_is_counted_once_its_page_has_judged_it(
    demo: Path, screens: Screens, tmp_path: Path
) -> None:
    """The start page knows no limits: what came from a file counts neither as good nor as bad before that."""
    when = "2026-03-09T14:05:00+01:00"
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "boxes" / "b02.html").as_uri())
        signs = page.evaluate("[...document.querySelectorAll('.form [data-kind=sign]')].map(each => each.name)")
        start = (demo / "index.html").as_uri()
        page.goto(start)
        signed = [row(name, "Bo", when, unit="") for name in signs]
        other = row("X-OTHER", "7", when, unit="V")
        take_in(page, tmp_path, file_of(*signed, other, row("C-TEST-1", "2", when, unit="MΩ")), "bad.csv")
        counted = page.locator(".progress")
        assert counted.inner_text() == (
            "Boxes signed off on this device: 0 of 40. Begun: 1. "
            "Signed, but not judged yet: 1. Open their pages."
        )  # fmt: skip
        page.goto((demo / "boxes" / "b02.html").as_uri())
        page.goto(start)
        assert "0 of 40. Begun: 1. Signed, but a reading is not good: 1." in counted.inner_text()
        later = when.replace("14", "15")
        take_in(page, tmp_path, file_of(row("C-TEST-1", "200", later, unit="MΩ")), "good.csv")
        page.goto((demo / "boxes" / "b02.html").as_uri())
        page.goto(start)
        assert counted.inner_text() == "Boxes signed off on this device: 0 of 40. Begun: 1.", "changed since"
        take_in(page, tmp_path, file_of(*(row(name, "Bo", later, unit="") for name in signs)), "again.csv")
        page.goto((demo / "boxes" / "b02.html").as_uri())
        page.goto(start)
        assert counted.inner_text() == "Boxes signed off on this device: 1 of 40. Begun: 0."
