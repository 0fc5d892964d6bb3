"""Jobs of the hostile grammar: no traceback, no message without a place, no words of the machine's own.

``make proofs`` runs five hundred; ``make attack`` runs ten thousand, and counts what takes too long. Here nothing is
judged by time.
"""

from __future__ import annotations

import pytest
import yaml

from attack.broken_content import broken_content
from attack.grammar import SCHEMA, Grammar, dumped, keys_of_schema
from attack.hostile import Counts, run_case
from shared import short

CASES = (60, 500)
FIRST = 1_000_000
"""The suite's cases are others than the first ten thousand of ``make attack``."""


@pytest.mark.parametrize("cases", short(CASES, 60))
def test_hostile_jobs_are_answered(cases: int) -> None:
    counts = Counts()
    for seed in range(FIRST, FIRST + cases):
        run_case(seed, counts, timed=False, pages=False)
    assert counts.failures == [], counts
    assert min(counts.refused, counts.errors, counts.passed) >= cases // 50, counts
    assert counts.refused < cases * 0.7, "the grammar writes too few jobs that can be computed: does it know new keys?"


def test_a_few_of_them_are_made_into_pages() -> None:
    counts = Counts()
    for seed in range(FIRST, FIRST + 40, 20):
        run_case(seed, counts, timed=False)
    assert counts.failures == []


def test_the_same_seed_gives_the_same_case() -> None:
    first = [Grammar(seed).text() for seed in range(20)]
    assert [Grammar(seed).text() for seed in range(20)] == first
    assert broken_content(7) == broken_content(7)
    assert Grammar(7).text() != Grammar(8).text()


def test_the_grammar_writes_every_key_of_the_schema() -> None:
    """What stands in a standard or needs one is left to the tests of standards."""
    wanted = keys_of_schema() - {("Job", "standard"), ("Job", "departures")}
    written: set[tuple[str, str]] = set()
    for seed in range(60):
        written |= _keys(yaml.load(dumped(Grammar(seed).tree(), readable=True), Loader=yaml.CSafeLoader), "Job")
    assert wanted - written == set()


def _keys(value: object, part: str) -> set[tuple[str, str]]:
    """The keys of a part that stand in a value, and those of the parts in it."""
    if not isinstance(value, dict):
        return set()
    rules = ({**SCHEMA["$defs"], "Job": SCHEMA})[part].get("properties", {})
    found: set[tuple[str, str]] = set()
    for key, each in value.items():
        if key not in rules:
            continue
        found.add((part, key))
        for below in _parts(rules[key]):
            inside = each.values() if isinstance(each, dict) and "additionalProperties" in str(rules[key]) else [each]
            for one in inside:
                for item in one if isinstance(one, list) else [one]:
                    found |= _keys(item, below)
    return found


def _parts(rule: object) -> set[str]:
    """The parts that a rule names."""
    if isinstance(rule, dict):
        named = {str(rule["$ref"]).rpartition("/")[2]} if "$ref" in rule else set()
        return named.union(*(_parts(each) for each in rule.values()))
    return set().union(*(_parts(each) for each in rule)) if isinstance(rule, list) else set()
