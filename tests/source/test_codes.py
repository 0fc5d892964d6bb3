"""The list of codes: what is raised is listed, what is listed is raised, and each sample triggers its code once."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path
from typing import get_args

import pytest

import slackloop
from samples import DEMO
from slackloop.commands.check import explanation, sample_findings, unknown_code
from slackloop.compute.circuit.makers_limits import LimitName
from slackloop.document.worked import work_with_content
from slackloop.reference.tables import load_tables
from slackloop.sections.content import WORD_FILES
from slackloop.source.codes import code_names, codes
from slackloop.source.finding import Placed
from source.raised_codes import Raised, raised_codes


@pytest.fixture(scope="module")
def raised() -> Raised:
    return raised_codes(Path(slackloop.__file__).parent)


def families() -> dict[str, set[str]]:
    """What each code comes to that is put together from parts."""
    rows = [row for basis in load_tables().code_bases.values() for row in basis.excavation]
    return {
        "trench-.*": {f"trench-{row.id}" for row in rows if row.least_depth_m is not None},
        "limit-.*": {f"limit-{name.replace('_', '-')}" for name in get_args(LimitName)},
        ".*-unknown": {f"{name.removesuffix('s')}-unknown" for name in WORD_FILES if name != "figures"},
    }


def test_every_code_that_is_raised_is_listed(raised: Raised) -> None:
    unlisted = {code: sorted(where) for code, where in raised.codes.items() if code not in codes()}
    assert not unlisted, f"raised and not in source/findings/*_codes.yml: {unlisted}"
    assert set(raised.patterns) == set(families()), "say in families() what a code from parts may come to"
    for made in families().values():
        assert made <= set(codes()), made - set(codes())


def test_every_code_that_is_listed_is_raised(raised: Raised) -> None:
    made = set(raised.codes).union(*families().values())
    assert len(made) > 150
    never = [code for code in codes() if code not in made]
    assert not never, f"in source/findings/*_codes.yml and never raised: {never}"


def test_a_code_that_is_raised_and_not_listed_is_seen(tmp_path: Path) -> None:
    """The walk itself: given by place, by name, over a variable, and through a function that takes a code."""
    (tmp_path / "source").mkdir()
    (tmp_path / "source" / "codes.py").write_text("", encoding="utf-8")
    (tmp_path / "new.py").write_text(
        'Finding("error", "by-place", "text")\nFinding("note", code="by-name", message="text")\n'
        'wanted = "by-variable" if odd else "or-another"\nFinding("error", wanted, "text")\n'
        'def say(message, code):\n    return Finding("error", code, message)\nsay("text", "handed-on")\n'
        'replace(old, code="put-in-place")\nFinding("error", f"part-{name}", "text")\n',
        encoding="utf-8",
    )
    found = raised_codes(tmp_path)
    assert {"by-place", "by-name", "by-variable", "or-another", "handed-on", "put-in-place"} <= set(found.codes)
    assert set(found.patterns) == {"part-.*"}


def twice(findings: tuple[Placed, ...]) -> list[tuple[str, str]]:
    """Codes that stand more than once at one place, with the place."""
    counted = Counter((each.code, each.where) for each in findings)
    return [place for place, times in counted.items() if times > 1]


@pytest.mark.parametrize("code", codes())
def test_each_sample_triggers_its_code_at_its_place_and_once(code: str, tmp_path: Path) -> None:
    row = codes()[code]
    found = sample_findings(row, tmp_path)
    own = [each for each in found if each.code == code]
    assert own, [(each.code, each.message) for each in found]
    assert {each.level for each in own} <= set(row.levels)
    assert not twice(found)
    if any(each.asks for each in own):
        assert row.before, "a question says what waits for its answer"
    for each in found:
        assert each.code in codes()
        assert each.level in codes()[each.code].levels, each
        path = tmp_path / each.file if (tmp_path / each.file).is_file() else tmp_path / "content" / each.file
        if path.is_file() and not row.sample.size:
            lines = re.split("\r?\n", path.read_text(encoding="utf-8", errors="replace"))
            assert each.excerpt == lines[each.line - 1]
            assert 1 <= each.column <= len(each.excerpt) + 1


def test_no_finding_of_the_demonstration_is_told_twice() -> None:
    assert not twice(work_with_content(DEMO).findings)


def test_the_names_alone_are_those_of_the_rows() -> None:
    assert code_names() == set(codes())


def test_a_row_says_what_it_means_and_what_to_do() -> None:
    for each in codes().values():
        for text in (each.means, each.mend):
            assert text[0].isupper(), f"{each.code}: {text}"
            assert text.endswith("."), f"{each.code}: {text}"


def test_a_code_is_explained_with_its_sample_and_mend() -> None:
    told = explanation("volts-low", colour=False)
    row = codes()["volts-low"]
    assert row.means in told
    assert row.mend in told
    assert "+   volts: 22 V" in told
    assert re.search(r"job\.yml:\d+:\d+: error\[volts-low\]: B01", told)
    assert all(table in told for table in ("boxes", "solenoids", "materials", "spare-length"))


def test_a_code_that_is_none_is_told_with_the_nearest() -> None:
    assert unknown_code("volts-low") == ""
    assert unknown_code("volt-low") == "no finding has the code volt-low; did you mean volts-low?"
