"""A stop, a kill or a machine without memory or room: the last good handbook stays, nothing is left, and it is said."""

from __future__ import annotations

import os
import resource
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import psutil
import pytest

from attack.kills import OWNER, Site, heed_signals, kill_builds
from attack.runs import BASE, REPOSITORY
from slackloop.output.folder import whole_folder

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="limits and signals as Linux has them")


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A job, and an earlier handbook of it, in folders of their own."""
    (tmp_path / "job.yml").write_text(BASE, encoding="utf-8")
    (tmp_path / "tmp").mkdir()
    with whole_folder(tmp_path / "out" / "book", OWNER) as output:
        (output.fresh / "index.html").write_text("good", encoding="utf-8")
    return tmp_path


def start(home: Path, limit: Callable[[], None] = lambda: None) -> subprocess.Popen[str]:
    def prepare() -> None:
        heed_signals()
        limit()

    return subprocess.Popen(
        [sys.executable, "-m", "slackloop", "build", "job.yml", "-o", "out/book"],
        cwd=home,
        env={**os.environ, "PYTHONPATH": str(REPOSITORY / "generator"), "TMPDIR": str(home / "tmp")},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=prepare,
    )


def as_it_was(home: Path) -> bool:
    """The earlier handbook stands there, and nothing beside it or where temporary files go."""
    good = (home / "out" / "book" / "index.html").read_text(encoding="utf-8") == "good"
    return good and os.listdir(home / "out") == ["book"] and os.listdir(home / "tmp") == []


def wait_for(process: subprocess.Popen[str], word: str) -> None:
    assert process.stderr is not None
    for line in process.stderr:
        if word in line:
            return
    pytest.fail(f"the build never came to {word}")


@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM", "SIGHUP"])
def test_a_stop_leaves_nothing_and_says_so(home: Path, name: str) -> None:
    number = getattr(signal, name)
    with start(home) as process:
        wait_for(process, "building the website")
        process.send_signal(number)
        out, said = process.communicate()
    assert (process.returncode, out) == (128 + number, "")
    assert said.splitlines()[-1] == "slackloop: stopped; nothing in out/book was changed"
    assert as_it_was(home)


def test_a_worker_that_the_system_kills_is_told_in_a_sentence(home: Path) -> None:
    with start(home) as process:
        wait_for(process, "building the website")
        (worker,) = psutil.Process(process.pid).children()
        worker.kill()
        out, said = process.communicate()
    assert (process.returncode, out) == (2, "")
    assert "job.yml: the build needed more memory than it could get, so it was stopped; nothing in out/book" in said
    assert as_it_was(home)


def test_a_command_that_is_killed_takes_its_worker_along(home: Path) -> None:
    """A worker without its command would write on into a folder that the next build clears."""
    with start(home) as process:
        wait_for(process, "building the website")
        (worker,) = psutil.Process(process.pid).children()
        process.kill()
        process.communicate()
    psutil.wait_procs([worker], timeout=None)
    assert not worker.is_running()


@pytest.mark.parametrize("megabytes", [200, 450])
def test_a_build_that_gets_too_little_memory_says_so(home: Path, megabytes: int) -> None:
    """200 MB end while the program is loaded, 450 MB while the printed documents are set."""

    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_AS, (megabytes * 1_000_000, megabytes * 1_000_000))

    with start(home, limit) as process:
        out, said = process.communicate()
    assert (process.returncode, out) == (2, "")
    assert "needed more memory than it could get" in said
    assert "Traceback" not in said
    assert as_it_was(home)


def test_a_full_disk_is_told_with_the_file(home: Path) -> None:
    """A limit on the size of a file stands for the disk: writing fails in the same way."""

    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))

    with start(home, limit) as process:
        out, said = process.communicate()
    assert (process.returncode, out) == (2, "")
    last = said.splitlines()[-1]
    assert last.startswith("slackloop: out/book/")
    assert last.endswith(": file too large. Nothing was changed.")
    assert as_it_was(home)


@pytest.mark.slow
def test_five_kills_leave_a_whole_handbook_and_no_litter(tmp_path: Path) -> None:
    """A short form of ``make attack``, which stops 200 builds."""
    site = Site(tmp_path)
    kill_builds(site, count=5, seed=20)
    assert site.faults == []
    assert sum(site.seen.values()) == 10
