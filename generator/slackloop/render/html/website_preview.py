"""The website in a browser while the job is being written: built again at every change, on this machine only."""

from __future__ import annotations

import socket
from pathlib import Path

import yaml
from mkdocs.commands.serve import serve

from slackloop.output.scratch import scratch_folder

HOST = "127.0.0.1"


class AddressTaken(Exception):
    """Another program listens there already."""


def preview_website(job_path: Path, port: int) -> None:
    """Serve the handbook of ``job_path`` at 127.0.0.1 until stopped; a job with errors shows its findings instead.

    The settings are those of a plain ``mkdocs serve``: a file that names our plugin and the job. Raises
    ``AddressTaken`` before anything is built.
    """
    _try_address(port)
    with scratch_folder() as folder:
        settings = folder / "mkdocs.yml"
        pages = folder / "pages"
        pages.mkdir()
        written = {
            "site_name": "Handbook",
            "docs_dir": str(pages),
            "plugins": [{"slackloop": {"job": str(job_path.resolve())}}],
        }
        settings.write_text(yaml.safe_dump(written), encoding="utf-8")
        serve(config_file=str(settings), livereload=True, watch=[], dev_addr=f"{HOST}:{port}")


def _try_address(port: int) -> None:
    """Listen at the address for a moment, as the server will."""
    with socket.socket() as trial:
        trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind((HOST, port))
            trial.listen()
        except (OSError, OverflowError) as problem:
            why = (getattr(problem, "strerror", None) or "there are ports 1 to 65535").lower()
            raise AddressTaken(f"http://{HOST}:{port}/ cannot be used: {why}. Name another with --port.") from None
