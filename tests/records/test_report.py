"""The lines of the report of ``slackloop records``: what somebody in the office reads, each thing once, in words."""

from __future__ import annotations

from records.record_samples import DEMO, context, due, due_of, file_of, good_rows, judge, row
from slackloop.records.report import report


def lines_of(*rows: tuple[str, ...]) -> list[str]:
    return list(report(judge(file_of(rows, fingerprint=context().fingerprint))))


def under(lines: list[str], title: str) -> list[str]:
    """The lines of one list."""
    start = next(number for number, line in enumerate(lines) if line.startswith(title)) + 1
    return lines[start : lines.index("", start)] if "" in lines[start:] else lines[start:]


def test_who_inspects_their_own_work_is_told_once() -> None:
    rows = good_rows(due(DEMO), {("B07", "C-TEST-4"): "A. Smith"})
    lines = lines_of(*(each for each in rows if each[0] != "B40"))
    assert [line for line in lines if "who made the readings" in line] == [
        "  Hold signed by the person who made the readings: C-TEST-4 at B07 (A. Smith)."
    ]


def test_a_check_in_small_letters_gets_a_suggestion_as_a_box_does() -> None:
    lines = lines_of(row("B07", "c-test-1", "200", "MΩ"), row("b07", "C-TEST-1", "200", "MΩ"),
                     row("B07", "C-TEST-33", "5", "Ω"))  # fmt: skip
    told = under(lines, "Void: record again (3)")
    assert any("B07 has no check c-test-1 in this handbook; did you mean C-TEST-1? (" in line for line in told)
    assert any("this handbook has no b07; did you mean B07? (" in line for line in told)
    assert any("; did you mean C-TEST-3? (" in line for line in told)


def test_what_was_built_is_mentioned() -> None:
    lines = lines_of(row("run:B07", "AB-LENGTH", "38.5", "m"), row("B07", "AB-PLACE", "12.5,40"))
    built = under(lines, "As built (2)")
    assert any("run:B07  AB-LENGTH  Length of the run as built: 38.5 m (A. Smith, 2024-03-11" in line for line in built)


def test_a_reading_that_waits_for_another_says_for_what() -> None:
    rule = due_of("B07", "C-TEST-3").loop
    assert rule is not None
    read = f"{rule.at(20).expected_ohms:.2f}"
    lines = lines_of(row("B07", "SOIL-C", "33", "degC"), row("B07", "C-TEST-3", read, "Ω"))
    (told,) = under(lines, "Recorded, and not good yet (1)")
    assert "goes by soil of 33 °C, and that of the job is of 4 to 28 °C: read the soil again first" in told
