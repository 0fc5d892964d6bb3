"""The MkDocs plugin: plain ``mkdocs`` shows the handbook, and a preview shows findings instead of failing."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import dataclass
from importlib.metadata import entry_points
from pathlib import Path

import pytest
from mkdocs.commands.build import build
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import Abort

from render.site_samples import SampleBook, sample_book
from slackloop.document.pages.findings_page import error_book
from slackloop.pipeline import standard_folder as preview
from slackloop.render.html.plugin import NotMade, SlackloopPlugin
from slackloop.render.html.site import build_site

TOP = Path(__file__).parents[2]


@dataclass(frozen=True)
class Found:
    """A finding with its place, as the reader of job files gives it."""

    message: str
    level: str = "error"
    file: str = "job.yml"
    line: int = 4
    column: int = 7
    excerpt: str = "  volts: <b>36</b> V | `x`"
    expected: str = ""
    hint: str = "Write 36 V."


FINDINGS = (Found("The key <script>alert(1)</script> is *unknown*."), Found("Second.", level="warning"))


def config_for(folder: Path, plugin: SlackloopPlugin) -> MkDocsConfig:
    """MkDocs' settings as a file with nothing but the plugin gives them."""
    (folder / "content").mkdir()
    (folder / "content" / "section.md").write_text("---\nid: x\n---\nNot a page of the site.", encoding="utf-8")
    config = MkDocsConfig(config_file_path=str(folder / "mkdocs.yml"))
    config.load_dict(
        {"site_name": "x", "docs_dir": str(folder / "content"), "site_dir": str(folder / "site"), "plugins": {}}
    )
    assert config.validate() == ([], [])
    assert plugin.load_config({"job": "job.yml"}) == ([], [])
    config.plugins["slackloop"] = plugin
    return config


def test_plugin_writes_what_the_command_writes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Path] = []

    def book(path: Path) -> tuple[SampleBook, dict[str, bytes]]:
        asked.append(path)
        return sample_book(), {}

    monkeypatch.setattr(preview, "preview", book)
    build(config_for(tmp_path, SlackloopPlugin()))
    build_site(sample_book(), tmp_path / "command")
    assert asked == [tmp_path / "job.yml"]
    assert contents(tmp_path / "site") == contents(tmp_path / "command")


def contents(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def refuse(path: Path) -> tuple[SampleBook, dict[str, bytes]]:
    raise NotMade(FINDINGS)


def test_preview_of_a_faulty_job_shows_its_findings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(preview, "preview", refuse)
    plugin = SlackloopPlugin()
    plugin.on_startup(command="serve", dirty=False)
    build(config_for(tmp_path, plugin))
    text = (tmp_path / "site" / "index.html").read_text(encoding="utf-8")
    assert "The key &lt;script&gt;alert(1)&lt;/script&gt; is *unknown*." in text
    assert "job.yml:4:7" in text
    assert "volts: &lt;b&gt;36&lt;/b&gt; V | `x`" in text
    assert "Write 36 V." in text
    assert "Second." in text


def test_plain_build_of_a_faulty_job_fails_with_its_findings(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    monkeypatch.setattr(preview, "preview", refuse)
    with pytest.raises(Abort):
        build(config_for(tmp_path, SlackloopPlugin()))
    assert "is *unknown*" in caplog.text
    assert not (tmp_path / "site" / "index.html").exists()


def test_error_page_shows_a_file_name_literally(tmp_path: Path) -> None:
    build_site(error_book("a*b*<i>.yml", ["plain text"]), tmp_path / "site")
    text = (tmp_path / "site" / "index.html").read_text(encoding="utf-8")
    assert "plain text" in text
    assert "<em>" not in text
    assert "<i>." not in text


@pytest.mark.slow
@pytest.mark.skipif(
    not entry_points(group="mkdocs.plugins", name="slackloop"),
    reason="the package is not installed, so MkDocs cannot find its plugin",
)
def test_plain_mkdocs_builds_the_demonstration_handbook(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--strict", "--site-dir", str(tmp_path / "site")],
        cwd=TOP,
        env={**os.environ, "PYTHONPATH": os.pathsep.join([str(TOP / "generator"), *sys.path])},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "Heron Fold Arboretum" in (tmp_path / "site" / "index.html").read_text(encoding="utf-8")
    assert "WARNING" not in done.stderr
