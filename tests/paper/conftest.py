"""The printed demonstration on US paper, set once a run; on A4 it is that of the handbook itself."""

from __future__ import annotations

from pathlib import Path

import pytest

from book_samples import DEMONSTRATION, demonstration
from paper.printed_pages import printed
from shared import Shared


@pytest.fixture(scope="session")
def letter(shared: Shared) -> Path:
    """The PDF of the demonstration on US paper, with the job inside."""
    job = {DEMONSTRATION.name: DEMONSTRATION.read_bytes()}
    place = shared.made("letter", lambda folder: printed(demonstration(), "us-letter", folder, job))
    (path,) = place.rglob("handbook.pdf")
    return path
