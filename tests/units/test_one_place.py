"""Nobody rounds a figure by hand: what a reader is told goes through ``units.figure``, which asks for a side."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import slackloop

ROOT = Path(slackloop.__file__).parent
LENGTH = re.compile(r"^ (?:m|mm|cm|km|ft|in|yd|m³|yd³)(?!\w)")
UNIT = re.compile(r"^ (?:m|mm|cm|km|ft|in|yd|m³|yd³|V|A|mA|ohm|Ω|°C|°F)(?!\w)")
OWN_FIGURES = {
    "document/tables/job_tables.py": "the diameter of a listed wire, a size and no limit",
    "document/drawings/symbols.py": "a scale bar, drawn to a round length",
    "document/handover/built_pages.py": "a place on the plan in metres, as every place is given",
    "records/built_values.py": "a bound of the program's own",
    "site/plain_fields.py": "a bound of the program's own",
    "survey/local_plane.py": "how far off a point is, beside a bound of the program's own",
    "survey/points.py": "a bound of the program's own",
    "survey/survey.py": "how far off the lines are, in words, and a bound of the program's own",
    "units/figure.py": "the one place",
}
"""Modules that may write a number with its unit, and why."""


def by_hand(path: Path) -> list[str]:
    """Places of a module where a number is rounded and a unit follows; a length must not be written plainly either."""
    places = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if not isinstance(node, ast.JoinedStr):
            continue
        for value, after in zip(node.values, node.values[1:], strict=False):
            if not isinstance(value, ast.FormattedValue) or not isinstance(after, ast.Constant):
                continue
            if ast.unparse(value.value).startswith("rounded("):
                continue
            spec = "" if value.format_spec is None else ast.unparse(value.format_spec).strip("f'\"")
            unit = UNIT if "." in spec else LENGTH
            if spec and unit.match(str(after.value)):
                places.append(f"{path.relative_to(ROOT)}:{value.lineno}: {ast.unparse(node)}")
    return places


def test_no_module_rounds_a_figure_by_hand() -> None:
    found = {path.relative_to(ROOT).as_posix(): by_hand(path) for path in sorted(ROOT.rglob("*.py"))}
    wrong = [place for module, places in found.items() if module not in OWN_FIGURES for place in places]
    assert not wrong, "\n".join(wrong)
    assert [module for module in OWN_FIGURES if not found[module]] == []


def test_the_search_sees_what_it_looks_for() -> None:
    assert by_hand(ROOT / "document" / "tables" / "job_tables.py")
    assert by_hand(ROOT / "units" / "figure.py")
