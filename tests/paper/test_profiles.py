"""Every PDF is PDF/A-3a and PDF/UA-1 (ISO 19005-3, ISO 14289-1), as a checker from outside finds, and readers find
nothing to complain of."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from samples import REPOSITORY, spanish_job

LINKS = REPOSITORY / "tests" / "compute" / "jobs" / "links.yml"
"""320 boxes, so that its cards are set in batches and joined."""
RULES = {"3a": 150, "ua1": 100}
"""The checker knows about so many rules of each profile: one that runs fewer has not looked."""
STREAM = re.compile(rb"/Length (\d+)[^<>]*>>\nstream\n")
"""How our press opens a stream; what else is in the dictionary names no other length."""

Build = Callable[..., Path]


@pytest.fixture(scope="module")
def build(tmp_path_factory: pytest.TempPathFactory) -> Build:
    """Builds a job by the command into a folder of its own."""

    def made(job: Path, *options: str) -> Path:
        folder = tmp_path_factory.mktemp("profiles") / "handbook"
        environment = {**os.environ, "PYTHONPATH": str(REPOSITORY / "generator"), "NO_COLOR": "1"}
        asked = [sys.executable, "-m", "slackloop", "build", str(job), "-o", str(folder), *options]
        done = subprocess.run(asked, capture_output=True, text=True, env=environment, timeout=3_000, check=False)
        assert (folder / "cards.pdf").is_file(), done.stderr
        return folder

    return made


@pytest.fixture(scope="module", params=["demonstration", "links", "Spanish edition, parts apart"])
def documents(request: pytest.FixtureRequest, build: Build, tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Every PDF of a handbook."""
    if request.param == "demonstration":
        folder, names = request.getfixturevalue("demo"), {"handbook.pdf", "cards.pdf"}
    elif request.param == "links":
        folder, names = build(LINKS), {"handbook.pdf", "cards.pdf"}
    else:
        folder = build(spanish_job(tmp_path_factory.mktemp("job")), "--separate")
        names = {"method.pdf", "design.pdf", "inspection.pdf", "cards.pdf", "cards-es.pdf"}
    found = sorted(folder.rglob("*.pdf"))
    assert {path.name for path in found} == names
    return found


@pytest.mark.slow
@pytest.mark.parametrize("profile", RULES)
def test_a_checker_from_outside_finds_no_rule_broken(documents: list[Path], profile: str) -> None:
    page = pytest.importorskip("page", reason="page-validation (a wheel of the dev extra) is not installed")
    for path in documents:
        # The bookmarks of 320 cards are a longer chain than it follows unless told.
        report = page.validate_pdf(path, profile=profile, limits=page.SafetyLimits.unlimited())
        assert [f"{each.rule_id} {each.message}" for each in report.failures] == [], path.name
        assert report.is_compliant
        assert report.rules.passed == report.rules.total >= RULES[profile]


def test_the_checker_finds_what_is_broken(demo: Path) -> None:
    """The same checker on a file whose metadata name no profile: it looks, and does not only pass."""
    page = pytest.importorskip("page", reason="page-validation (a wheel of the dev extra) is not installed")
    data = (demo / "handbook.pdf").read_bytes()
    for profile, claim in {"3a": b"<pdfaid:conformance>A<", "ua1": b"<pdfuaid:part>1<"}.items():
        assert data.count(claim) == 1
        broken = data.replace(claim, claim.replace(b"A<", b"B<").replace(b">1<", b">2<"))
        assert not page.validate_pdf_bytes(broken, profile=profile).is_compliant, profile


@pytest.mark.slow
def test_a_stream_is_as_long_from_its_end_as_from_its_start(documents: list[Path]) -> None:
    for path in documents:
        data, seen = path.read_bytes(), 0
        for found in STREAM.finditer(data):
            start, length = found.end(), int(found[1])
            end = data.index(b"endstream", start + length)
            assert re.sub(rb"\r\n\Z|\n\Z|\r\Z", b"", data[start:end]) == data[start : start + length], found[0]
            seen += 1
        assert seen > 20, path.name


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils (Debian package) is not installed")
def test_a_reader_reads_every_page_without_complaint(documents: list[Path]) -> None:
    for path in documents:
        done = subprocess.run(["pdftotext", str(path), "-"], capture_output=True, check=False)
        assert (done.returncode, done.stderr) == (0, b""), path.name
        assert len(done.stdout) > 1_000
