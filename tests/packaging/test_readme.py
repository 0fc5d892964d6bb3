"""The README tells of the machine only what the benchmark prints: cores and Python."""

import re

from samples import REPOSITORY


def test_the_machine_of_the_times_is_told_without_a_maker() -> None:
    text = (REPOSITORY / "README.md").read_text(encoding="utf-8")
    told = text[text.index("## How fast") :].split("\n| boxes")[0].strip().splitlines()[-1]
    assert re.fullmatch(r"[0-9]+ cores, Python [0-9.]+:", told), told
