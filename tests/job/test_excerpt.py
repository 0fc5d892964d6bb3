"""Findings in a terminal: caret under the right column, long lines cut, escapes made harmless."""

from __future__ import annotations

from slackloop.source.finding import WIDEST, Finding, Placed, excerpt_lines, harmless, place_finding, render, render_one


def placed(excerpt: str, column: int, message: str = "run: 62 has no unit") -> Placed:
    finding = Finding("error", "unit-missing", message, ("path",), expected="a length", hint="write 62 m")
    return place_finding(finding, "job.yml", 7, column, excerpt)


def test_whole_finding() -> None:
    assert render_one(placed("  run: 62", 8)) == (
        "job.yml:7:8: error[unit-missing]: run: 62 has no unit\n"
        "7 |   run: 62\n"
        "  |        ^\n"
        "  expected: a length\n"
        "  hint: write 62 m"
    )


def test_colour_only_when_asked() -> None:
    assert "\x1b" not in render([placed("  run: 62", 8)])
    assert "\x1b[31;1m" in render([placed("  run: 62", 8)], colour=True)


def test_a_long_line_is_cut_around_the_caret() -> None:
    line = "x" * 5_000 + "HERE" + "y" * 5_000
    shown, caret = excerpt_lines(line, 5_001)
    assert len(shown) <= WIDEST + 4
    assert shown[caret.index("^") :].startswith("HERE")


def test_caret_past_the_end_and_wide_characters() -> None:
    shown, caret = excerpt_lines("ab", 99)
    assert (shown, caret) == ("ab", "  ^")
    shown, caret = excerpt_lines("樹: x", 4)
    assert caret.index("^") == 4


def test_terminal_escapes_and_hidden_characters_are_shown() -> None:
    assert harmless("a\x1b[2Jb\u202ec\td\x07é") == "a\\u{1b}[2Jb\\u{202e}c d\\u{7}é"
    text = render_one(placed("\x1b]0;x\x07 run", 3, message="bad \x1b[2J"))
    assert "\x1b" not in text
    assert "\x07" not in text
