"""The code on each printed card, read from the picture of the page by zbar (Debian package zbar-tools)."""

import shutil
import subprocess
from pathlib import Path

import pytest

NEEDED = ("pdftoppm", "zbarimg")
MISSING = [tool for tool in NEEDED if shutil.which(tool) is None]


@pytest.mark.skipif(bool(MISSING), reason=f"not installed on this machine: {', '.join(MISSING)}")
def test_codes_read_what_the_cards_say(demo: Path, tmp_path: Path) -> None:
    """The first five cards of the demonstration job, which has no address: the code carries job, revision and box."""
    picture = tmp_path / "card"
    asked = ["pdftoppm", "-r", "150", "-png", "-f", "2", "-l", "6", str(demo / "cards.pdf"), str(picture)]
    subprocess.run(asked, check=True, capture_output=True)
    pages = sorted(map(str, tmp_path.glob("card*.png")))
    read = subprocess.run(["zbarimg", "--raw", "-q", *pages], check=True, capture_output=True, text=True)
    texts = read.stdout.split("\n")[: len(pages)]
    assert [text.split("; ")[-1] for text in texts] == ["box B01", "box B02", "box B03", "box B04", "box B05"]
    assert all(text.startswith("job HF-2031; revision B; fingerprint ") for text in texts)
