"""The command starts at once: asking for help brings in none of the packages that the work needs."""

from __future__ import annotations

import os
import subprocess
import sys

from samples import DEMO, REPOSITORY

HEAVY = {
    "numpy", "scipy", "pydantic", "yaml", "mkdocs", "markdown", "jinja2", "typst", "openpyxl", "zxingcpp", "networkx",
    "pyproj", "markdown_it",
}  # fmt: skip


def brought_in(*words: str) -> set[str]:
    """The heavy packages that are in memory after the command has run."""
    script = (
        "import sys\nfrom slackloop.cli import main\n"
        "try:\n    main(sys.argv[1:])\nexcept SystemExit:\n    pass\n"
        "print(*sorted(sys.modules), file=sys.stderr)"
    )
    environment = {**os.environ, "PYTHONPATH": str(REPOSITORY / "generator")}
    asked = [sys.executable, "-c", script, *words]
    done = subprocess.run(asked, env=environment, capture_output=True, text=True, check=True)
    return HEAVY & set(done.stderr.splitlines()[-1].split())


def test_help_needs_no_heavy_package() -> None:
    assert brought_in("--help") == set()


def test_check_needs_no_package_that_only_publishes() -> None:
    assert brought_in("check", str(DEMO)) == {"numpy", "pydantic", "yaml"}


def test_what_waits_for_a_build_stays_small() -> None:
    # Its memory counts beside that of the process that sets the handbook.
    assert brought_in("build", str(DEMO.with_name("none-of-this-name.yml"))) == set()
