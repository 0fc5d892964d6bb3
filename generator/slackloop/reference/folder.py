"""Where the handbook's own files lie: ``content`` and ``site_data``.

In an installed package both folders stand inside it. In an editable install the
package is read straight from the repository, and the folders stand at its root.
"""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path
from typing import Literal

from slackloop.reference.refusal import TableRefused

DataFolder = Literal["content", "site_data"]


def data_folder(name: DataFolder) -> Path:
    """Return the folder ``content`` or ``site_data`` that came with the program.

    Raises TableRefused when neither place holds it.
    """
    installed = Path(str(files("slackloop"))) / name
    in_repository = Path(__file__).resolve().parents[3] / name
    for place in (installed, in_repository):
        if place.is_dir():
            return place
    raise TableRefused(
        f"The folder {name} that belongs to slackloop is missing. Looked in {installed} and {in_repository}. "
        "Install the program again."
    )
