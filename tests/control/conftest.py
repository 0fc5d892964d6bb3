"""What the tests of control share: the snapshot of one small job, and two releases of it, made once."""

from __future__ import annotations

import contextlib
import io
from dataclasses import dataclass
from pathlib import Path

import pytest

from control.control_samples import changed, signed_job, snapshot_of, written
from shared import Shared
from slackloop.cli import main
from slackloop.control.releases import ReleaseRecord, read_releases
from slackloop.control.snapshot import Snapshot

FIRST_LIST, SAID_OF_B = "first-hashes.json", "said-of-b.txt"


@dataclass(frozen=True)
class Released:
    """A job with its releases A and B; in B the run to B4 is longer.

    ``first_list`` are the hashes as they were with A alone, and ``said_of_b`` is what the command said when B was
    released beside a signature of them.
    """

    job: Path
    a: Path
    b: Path
    first_list: bytes
    said_of_b: str

    @property
    def folder(self) -> Path:
        """The folder of its releases."""
        return self.a.parent

    def record(self, revision: str) -> ReleaseRecord:
        """What was released as a revision."""
        return next(each.record for each in read_releases(self.folder) if each.record.revision == revision)


@pytest.fixture(scope="session")
def small() -> Snapshot:
    """What the small job says."""
    from tempfile import TemporaryDirectory

    with TemporaryDirectory() as folder:
        return snapshot_of(written(Path(folder), signed_job()))


@pytest.fixture(scope="session")
def released(shared: Shared) -> Released:
    """Two releases of the small job, made by the command; nobody may change them."""
    home = shared.made("control", release_twice)
    return Released(
        home / "job.yml", home / "releases" / "T-1-A", home / "releases" / "T-1-B",
        (home / FIRST_LIST).read_bytes(), (home / SAID_OF_B).read_text(encoding="utf-8"),
    )  # fmt: skip


def release_twice(home: Path) -> None:
    """Release a job, and its next revision while a file with a signature of the first list lies there."""
    job = written(home, signed_job())
    assert main(["release", str(job)]) == 0
    longer = changed(signed_job("B", "2026-05-04"), "id: B4, from: B3, run: 50 m", "id: B4, from: B3, run: 58 m")
    written(home, longer)
    listed = home / "releases" / "hashes.json"
    (home / FIRST_LIST).write_bytes(listed.read_bytes())
    signature = listed.with_name("hashes.json.sig")
    signature.write_text("signed", encoding="ascii")
    said = io.StringIO()
    with contextlib.redirect_stderr(said):
        assert main(["release", str(job)]) == 0
    (home / SAID_OF_B).write_text(said.getvalue(), encoding="utf-8")
    signature.unlink()
