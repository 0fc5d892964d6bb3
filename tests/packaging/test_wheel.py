"""The wheel and the source archive carry everything; the program runs from the wheel's files in another folder."""

import os
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

from samples import DEMO, REPOSITORY


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the wheel and the source archive, built by the project's own backend without a network."""
    folder = tmp_path_factory.mktemp("dist")
    subprocess.run(
        [sys.executable, "-m", "build", "--no-isolation", "--outdir", str(folder), str(REPOSITORY)],
        check=True,
        capture_output=True,
        env=os.environ | {"SOURCE_DATE_EPOCH": "1767225600"},
    )
    return folder


def test_wheel_holds_every_file_of_content_and_tables(built: Path) -> None:
    with zipfile.ZipFile(next(built.glob("*.whl"))) as wheel:
        inside = set(wheel.namelist())
    tracked = subprocess.run(
        ["git", "ls-files", "content", "site_data", "generator/slackloop"],
        cwd=REPOSITORY, capture_output=True, text=True, check=False,
    ).stdout.split()  # fmt: skip
    if not tracked:
        pytest.skip("not a git checkout: there is no list of files to hold the wheel against")
    for name in tracked:
        place = name.removeprefix("generator/") if name.startswith("generator/") else f"slackloop/{name}"
        assert place in inside, f"{name} is missing from the wheel"


def test_source_archive_holds_what_the_repository_shows(built: Path) -> None:
    with tarfile.open(next(built.glob("*.tar.gz"))) as archive:
        inside = {name.split("/", 1)[1] for name in archive.getnames() if "/" in name}
    for name in ("README.md", "DEVELOPERS.md", "LICENSE", "mkdocs.yml", "content/words/tools.yml", "tests/samples.py"):
        assert name in inside


def test_program_runs_from_the_wheel_in_another_folder(built: Path, tmp_path: Path) -> None:
    place = tmp_path / "installed"
    with zipfile.ZipFile(next(built.glob("*.whl"))) as wheel:
        wheel.extractall(place)
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "job.yml").write_bytes(DEMO.read_bytes())
    code = "\n".join(
        (
            "import sys",
            "sys.path[:] = [each for each in sys.path if 'generator' not in each]",
            "sys.meta_path[:] = [each for each in sys.meta_path if 'editable' not in repr(each)]",
            f"sys.path.insert(0, {str(place)!r})",
            "import slackloop",
            "from slackloop.cli import main",
            "print(slackloop.__file__)",
            "raise SystemExit(main(['check', 'job.yml']))",
        )
    )
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONPATH"}
    ran = subprocess.run(
        [sys.executable, "-c", code], cwd=elsewhere, capture_output=True, text=True, env=environment, check=False
    )
    assert ran.returncode == 0, ran.stderr
    assert str(place) in ran.stdout.splitlines()[0]
    assert "pass:" in ran.stdout
