"""Whatever bytes a file holds, reading gives findings and never raises."""

from __future__ import annotations

import random
import tempfile
from collections.abc import Callable
from pathlib import Path
from unittest.mock import patch

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from job.refusal_samples import BASE_JOB
from slackloop.site.reader import Reading, read_job
from slackloop.source import yaml_tree
from slackloop.source.codes import codes
from slackloop.source.finding import render
from slackloop.source.source_file import SourceFile
from slackloop.source.yaml_tree import Tree, read_tree_of
from slackloop.units.conductor_size import parse_conductor, parse_conductor_range
from slackloop.units.quantity import parse_quantity, parse_range
from slackloop.units.unit_table import DIMENSIONS, QuantityError
from work_count import growth

BASE = BASE_JOB.read_text(encoding="utf-8")
WORDS = [
    "no", "~", "{}", "[]", "&a", "*a", "!x", "<<", "1:30", "?", "|", ">", "'", "{", "}", "-5e9", "1e99",
    "null", "true", "B01", "controller", "é", "🌳", ":", "#", "%", "@", "-", "0", "- -", "\t", "0 m", "-5 m",
    "\u2028", '"', ": ", "9" * 40,
]  # fmt: skip


def read_bytes(content: bytes) -> Reading:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "job.yml"
        path.write_bytes(content)
        reading = read_job(path, soils=["sand"], code_bases=["us"])
    check(reading)
    return reading


def check(reading: Reading) -> None:
    assert (reading.job is None) == any(f.level == "error" for f in reading.findings)
    assert len(reading.findings) <= 200
    for finding in reading.findings:
        assert finding.code in codes()
        assert finding.line >= 1
        assert 1 <= finding.column <= len(finding.excerpt) + 1
    render(reading.findings).encode("utf-8")


def refusal_of(read: Callable[[], object]) -> QuantityError | None:
    try:
        read()
    except QuantityError as error:
        return error
    return None


FUZZ = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@FUZZ
@given(st.binary(max_size=300))
def test_random_bytes(content: bytes) -> None:
    read_bytes(content)


@FUZZ
@given(st.text(max_size=200))
def test_random_text(content: str) -> None:
    read_bytes(content.encode("utf-8", errors="surrogatepass"))


def mutated(seed: int) -> str:
    """Cut, repeat, replace: one to six random changes of a good job."""
    chance = random.Random(seed)
    text = BASE
    for _ in range(chance.randint(1, 6)):
        lines = text.split("\n")
        kind = chance.randint(0, 4)
        number = chance.randrange(len(lines))
        if kind == 0:
            del lines[number]
        elif kind == 1:
            lines.insert(number, lines[chance.randrange(len(lines))])
        elif kind == 2 and ":" in lines[number]:
            lines[number] = lines[number].split(":")[0] + ": " + chance.choice(WORDS)
        elif kind == 3:
            place = chance.randint(0, len(lines[number]))
            lines[number] = lines[number][:place] + chance.choice(WORDS) + lines[number][place:]
        else:
            lines[number] = lines[number].replace(chance.choice("abcdefm: ,"), chance.choice(WORDS), 1)
        text = "\n".join(lines) or "x"
    return text


@FUZZ
@given(st.integers(min_value=0, max_value=2**32))
def test_mutated_jobs(seed: int) -> None:
    read_bytes(mutated(seed).encode("utf-8"))


def told(tree: Tree) -> tuple[object, ...]:
    """All of a tree: each key and value with its place and kind, and what is said of it."""
    return repr(tree.root), tree.findings, tree.refused, tree.lost


@FUZZ
@given(st.integers(min_value=0, max_value=2**32))
def test_the_short_way_through_plain_keys_and_values_reads_the_same(seed: int) -> None:
    source = SourceFile("job.yml", mutated(seed))
    short = told(read_tree_of(source))
    with patch.object(yaml_tree._Builder, "_known", return_value=False):
        assert told(read_tree_of(source)) == short


@pytest.mark.parametrize("opening", ["[", "{a: ", "- ", "{? [", "? "])
def test_deep_nesting(opening: str) -> None:
    assert read_bytes((opening * 200_000).encode()).job is None
    assert growth(lambda size: lambda: read_bytes((opening * size).encode()), 2_000, times=4) < 5


def test_alias_bomb_is_refused_at_its_anchors() -> None:
    bomb = "a: &a [x, x, x, x, x, x, x, x, x]\n"
    for one, two in zip("abcdefgh", "bcdefghi", strict=True):
        bomb += f"{two}: &{two} [" + ", ".join([f"*{one}"] * 9) + "]\n"
    codes = {f.code for f in read_bytes(bomb.encode()).findings}
    assert {"yaml-anchor", "yaml-alias"} <= codes


def test_a_million_aliases_stay_few() -> None:
    def aliases(size: int) -> bytes:
        return b"a: &a x\nb: [" + b"*a, " * size + b"]\n"

    assert len(read_bytes(aliases(300_000)).findings) <= 200
    assert growth(lambda size: lambda: read_bytes(aliases(size)), 2_000, times=4) < 5


@FUZZ
@given(st.text(max_size=40), st.sampled_from(sorted(DIMENSIONS)))
def test_random_quantities(text: str, dimension: str) -> None:
    for read in (lambda: parse_quantity(text, dimension), lambda: parse_range(text, dimension),
                 lambda: parse_conductor(text), lambda: parse_conductor_range(text)):  # fmt: skip
        error = refusal_of(read)
        assert error is None or (error.code in codes() and error.message)


@FUZZ
@given(st.decimals(min_value="0.001", max_value="9000", places=3), st.sampled_from(["mm", "cm", "m", "in", "ft", "yd"]))
def test_a_written_length_comes_back(number: object, unit: str) -> None:
    """What was written can be written and read again to the same value."""
    first = parse_quantity(f"{number} {unit}", "length")
    assert parse_quantity(first.text, "length") == first
    metres = f"{first.si:.12f}".rstrip("0").rstrip(".")
    assert parse_quantity(f"{metres} m", "length").si == pytest.approx(first.si, abs=1e-12)
