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
from shared import short
from slackloop.output.folder import whole_folder

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="limits and signals as Linux has them")


KILLS_SEED = 20
"""Its first build is killed early, and the next is stopped just as the folders change places."""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A job, and an earlier handbook of it, in folders of their own."""
    (tmp_path / "job.yml").write_text(BASE, encoding="utf-8")
    (tmp_path / "tmp").mkdir()
    with whole_folder(tmp_path / "out" / "book", OWNER) as output:
        (output.fresh / "index.html").write_text("good", encoding="utf-8")
    return tmp_path


def start(
    home: Path, limit: Callable[[], None] = lambda: None, first: Path | None = None
) -> subprocess.Popen[str]:
    """The command on its way; ``first`` is a folder that Python looks into before every other."""

    def prepare() -> None:
        heed_signals()
        limit()

    paths = [*([first] if first else []), REPOSITORY / "generator"]
    return subprocess.Popen(
        [sys.executable, "-m", "slackloop", "build", "job.yml", "-o", "out/book"],
        cwd=home,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(map(str, paths)), "TMPDIR": str(home / "tmp")},
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


@pytest.mark.parametrize("name", short(["SIGINT", "SIGTERM", "SIGHUP"], "SIGTERM"))
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
    assert (home / "out" / "book" / "index.html").read_text(encoding="utf-8") == "good"
    assert len(os.listdir(home / "out")) > 1, "nobody was left to clear away"
    with whole_folder(home / "out" / "book", OWNER) as output:
        (output.fresh / "index.html").write_text("good", encoding="utf-8")
    assert as_it_was(home), "what a kill leaves is gone after the next build"


LIMITED = """
import os, resource, sys
from importlib import import_module
from pathlib import Path

if {module!r} in " ".join(sys.orig_argv):
    for name in {loaded!r}:
        import_module(name)
    pages = int(Path("/proc/self/statm").read_text().split()[0])
    most = pages * os.sysconf("SC_PAGE_SIZE") + {more}
    resource.setrlimit(resource.RLIMIT_AS, (most, most))
    Path({said!r}).touch()
"""
"""What Python runs at the start of each process: one of them gets no more memory than it has once it is that far."""
MORE = 2_000_000
"""Bytes that it may still take: less than numpy or the drawings of a single page."""


@pytest.mark.parametrize(
    ("module", "loaded"),
    [
        ("slackloop.commands.build_worker", []),
        ("slackloop.render.typst.setter", ["slackloop.render.typst.setter"]),
    ],
    ids=["while the program is loaded", "while a document is set"],
)
def test_a_build_that_gets_too_little_memory_says_so(home: Path, module: str, loaded: list[str]) -> None:
    """What a process has when it begins is measured in it and is its limit, so that no saving makes it enough."""
    hook, said_limited = home / "hook", home / "limited"
    hook.mkdir()
    code = LIMITED.format(module=module, loaded=loaded, more=MORE, said=str(said_limited))
    (hook / "sitecustomize.py").write_text(code, encoding="utf-8")
    with start(home, first=hook) as process:
        out, said = process.communicate()
    assert said_limited.exists()
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


@pytest.mark.proof
def test_kills_leave_a_whole_handbook_and_no_litter(tmp_path: Path) -> None:
    """A short form of ``make attack``, which stops 200 builds."""
    site = Site(tmp_path)
    kill_builds(site, count=8, seed=KILLS_SEED)
    assert site.faults == []
    assert sum(site.seen.values()) == 16
