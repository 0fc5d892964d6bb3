"""The website in a browser while the job is being written: built again at every change, on this machine only."""

from __future__ import annotations

import tempfile
from pathlib import Path

import yaml
from mkdocs.commands.serve import serve


def preview_website(job_path: Path, port: int) -> None:
    """Serve the handbook of ``job_path`` at 127.0.0.1 until stopped; a job with errors shows its findings instead.

    The settings are those of a plain ``mkdocs serve``: a file that names our plugin and the job.
    """
    with tempfile.TemporaryDirectory(prefix="slackloop-") as folder:
        settings = Path(folder) / "mkdocs.yml"
        pages = Path(folder) / "pages"
        pages.mkdir()
        written = {
            "site_name": "Handbook",
            "docs_dir": str(pages),
            "plugins": [{"slackloop": {"job": str(job_path.resolve())}}],
        }
        settings.write_text(yaml.safe_dump(written), encoding="utf-8")
        serve(config_file=str(settings), livereload=True, watch=[], dev_addr=f"127.0.0.1:{port}")
