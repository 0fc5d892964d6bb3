"""The hash of content changes with each file that the handbook is made from, and with no other."""

from pathlib import Path

import pytest

from slackloop.control.fingerprint import content_digest


@pytest.fixture
def folders(tmp_path: Path) -> tuple[Path, Path]:
    own, standing = tmp_path / "own", tmp_path / "standing"
    both = ["method/a.md", "words/tools.yml"]
    for folder, names in ((own, both), (standing, [*both, "method/b.md"])):
        for name in names:
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_text(f"{folder.name} {name}\n", encoding="utf-8")
    return own, standing


@pytest.mark.parametrize(
    ("folder", "name", "counts"),
    [
        (0, "method/a.md", True),
        (1, "method/a.md", False),
        (1, "method/b.md", True),
        (0, "words/tools.yml", True),
        (1, "words/tools.yml", True),
    ],
)
def test_every_file_that_counts_changes_the_hash(
    folders: tuple[Path, Path], folder: int, name: str, counts: bool
) -> None:
    before = content_digest(folders)
    (folders[folder] / name).write_text("changed\n", encoding="utf-8")
    assert (content_digest(folders) != before) == counts


def test_line_ends_and_the_folders_own_name_do_not_count(folders: tuple[Path, Path], tmp_path: Path) -> None:
    before = content_digest(folders)
    for path in folders[0].rglob("*.md"):
        path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    moved = folders[0].rename(tmp_path / "elsewhere")
    assert content_digest((moved, folders[1])) == before
