"""The code on each printed card, read from the picture of the page by zbar (Debian package zbar-tools)."""

import shutil
import subprocess
from pathlib import Path

import pytest

NEEDED = ("pdftoppm", "zbarimg")
MISSING = [tool for tool in NEEDED if shutil.which(tool) is None]


@pytest.mark.skipif(bool(MISSING), reason=f"not installed on this machine: {', '.join(MISSING)}")
def test_codes_read_what_the_cards_say(demo: Path, tmp_path: Path) -> None:
    """The first six cards of the demonstration job, which has no address: each code carries job, revision and box."""
    picture = tmp_path / "card"
    asked = ["pdftoppm", "-r", "300", "-gray", "-f", "3", "-l", "7", str(demo / "cards.pdf"), str(picture)]
    subprocess.run(asked, check=True, capture_output=True)
    fronts = sorted(map(str, tmp_path.glob("card*.pgm")))[::2]
    read = subprocess.run(["zbarimg", "--raw", "-q", *fronts], check=True, capture_output=True, text=True)
    texts = sorted(read.stdout.split("\n"), key=lambda text: text.split("; ")[-1])[1:]
    assert [text.split("; ")[-1] for text in texts] == [f"box B0{number}" for number in range(1, 7)]
    assert all(text.startswith("job HF-2031; revision B; fingerprint ") for text in texts)
