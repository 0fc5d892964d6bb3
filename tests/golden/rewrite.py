"""Write what is kept of every golden job afresh: python tests/golden/rewrite.py. Read the diff first."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

REPOSITORY = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(REPOSITORY / "generator"), str(REPOSITORY / "tests")]

from golden.golden_book import EXPECTED, PAGES, kept  # noqa: E402  # the path is set just above


def main() -> None:
    """Write the files of every job, and take away those that no job gives any more."""
    books = {name: kept(name) for name in PAGES}
    shutil.rmtree(EXPECTED, ignore_errors=True)
    for name, files in books.items():
        folder = EXPECTED / name
        folder.mkdir(parents=True)
        for file, text in files.items():
            (folder / file).write_text(text, encoding="utf-8")
        print(f"{name}: {len(files)} files")


if __name__ == "__main__":
    main()
