"""Times what is published against the tools under it, each pair in one run, and prints tables in Markdown.

Website: our build against plain ``mkdocs build`` of the same finished pages with the same theme and extensions.
Print: our whole work against Typst's own compile of the same document. Growth: seconds and bytes a box. Start: the
command against a bare Python. WeasyPrint is compared where it is installed; it needs Pango from the system, so it
is not among our packages. Run it with ``make bench``.
"""

from __future__ import annotations

import importlib.util
import logging
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import UTC, datetime
from multiprocessing import get_context
from pathlib import Path

from samples import DEMO, REPOSITORY, job_text, random_boxes
from slackloop.handbook.assemble import book_of
from slackloop.handbook.book import Book
from slackloop.handbook.page import Page
from slackloop.handbook.worked import work
from slackloop.publish import print as print_stage
from slackloop.publish.handbook_folder import without_box_pages
from slackloop.publish.markup import EXTENSIONS, ROWS, render, render_html
from slackloop.publish.schedules import schedule_files
from slackloop.publish.website import build_website
from slackloop.publish.website_menu import menu

WHEN = datetime(2026, 3, 2, tzinfo=UTC)
Files = Mapping[str, bytes]


@dataclass(frozen=True)
class Pair:
    """Seconds of ours and of the tool under it."""

    ours: float
    theirs: float

    @property
    def ratio(self) -> float:
        """How many times as long ours takes."""
        return self.ours / self.theirs


@dataclass(frozen=True)
class Growth:
    """One size of path: seconds of the website's build and bytes of its folder."""

    boxes: int
    seconds: float
    size: int


def seconds(task: Callable[[], object]) -> float:
    """Wall time of one run."""
    started = time.perf_counter()
    task()
    return time.perf_counter() - started


def forget() -> None:
    """Leave nothing of a run before: every page is rendered anew."""
    render.cache_clear()
    ROWS.kept.clear()
    ROWS.heads.clear()


def path_job(boxes: int, folder: Path) -> Path:
    """The job file of a random tree of that many boxes."""
    job = folder / f"path-{boxes}.yml"
    job.write_text(job_text(random_boxes(boxes, boxes), volts="56 V"), encoding="utf-8")
    return job


def website(book: Book, files: Files, folder: Path) -> float:
    """Seconds of our build, from finished pages to the checked folder."""
    forget()
    return seconds(lambda: build_website(book, folder, files=files))


def plain_website(pages: Sequence[Page], files: Files, folder: Path) -> float:
    """Seconds of MkDocs with the stock theme and search, the same pages, menu and extensions."""
    from mkdocs.commands.build import build
    from mkdocs.config import load_config

    source = folder / "pages"
    for name, data in [(page.uri, page.markdown.encode()) for page in pages] + list(files.items()):
        path = source / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    settings = folder / "mkdocs.yml"
    settings.write_text("site_name: plain\n", encoding="utf-8")
    logging.getLogger("mkdocs").setLevel(logging.ERROR)

    def run() -> None:
        build(
            load_config(
                str(settings), docs_dir=str(source), site_dir=str(folder / "site"), nav=menu(pages),
                use_directory_urls=False, plugins=["search"], markdown_extensions=[*EXTENSIONS],
                theme={"name": "material", "font": False, "features": ["navigation.prune", "navigation.indexes"]},
            )
        )  # fmt: skip

    return seconds(run)


def website_pair(book: Book) -> Pair:
    """Our website against the plain one."""
    files = schedule_files(book)
    with tempfile.TemporaryDirectory() as folder:
        ours = website(book, files, Path(folder) / "ours")
        return Pair(ours, plain_website(book.pages, files, Path(folder)))


def print_pair(job: Path, *, rendered: bool) -> Pair:
    """Our print against Typst's compile of the same source; ``rendered`` where the website has read the pages.

    In a process of its own: Typst keeps what it has set once.
    """
    with ProcessPoolExecutor(max_workers=1, mp_context=get_context("spawn")) as pool:
        return pool.submit(_print_pair, job, rendered).result()


def _print_pair(job: Path, rendered: bool) -> Pair:
    book = book_of(work(job))
    compile_pdf = print_stage.compile_pdf
    spent: list[float] = []

    def timed(files: Mapping[str, bytes], timestamp: datetime) -> bytes:
        made: list[bytes] = []
        spent.append(seconds(lambda: made.append(compile_pdf(files, timestamp))))
        return made[0]

    if rendered:
        for page in book.pages:
            render_html(page.markdown)
    print_stage.compile_pdf = timed
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "handbook.pdf"
        ours = seconds(lambda: print_stage.build_pdf(without_box_pages(book), path, timestamp=WHEN, attachments={}))
    return Pair(ours, spent[0])


def weasyprint_pair(job: Path) -> Pair | None:
    """Our print against WeasyPrint on the same HTML; None where it is not installed."""
    if importlib.util.find_spec("weasyprint") is None:
        return None
    import weasyprint

    ours = print_pair(job, rendered=True).ours
    html = "".join(render_html(page.markdown) for page in without_box_pages(book_of(work(job))).pages)
    return Pair(ours, seconds(lambda: weasyprint.HTML(string=f"<meta charset=utf-8>{html}").write_pdf()))


def growth(sizes: Sequence[int]) -> list[Growth]:
    """Seconds and bytes of the website for each size of path."""
    rows = []
    with tempfile.TemporaryDirectory() as folder:
        for boxes in sizes:
            book = book_of(work(path_job(boxes, Path(folder))))
            site = Path(folder) / str(boxes)
            took = website(book, schedule_files(book), site)
            rows.append(Growth(boxes, took, sum(path.stat().st_size for path in site.rglob("*") if path.is_file())))
    return rows


def command_seconds(*words: str) -> float:
    """Best of five runs of Python with these words after it."""
    environment = {**os.environ, "PYTHONPATH": str(REPOSITORY / "generator")}
    asked = [sys.executable, *words]
    return min(seconds(lambda: subprocess.run(asked, env=environment, capture_output=True)) for _ in range(5))


def start() -> tuple[float, float, float]:
    """Seconds of a bare Python, of ``--help`` and of ``check`` on the demonstration job."""
    shown = command_seconds("-m", "slackloop", "--help")
    return command_seconds("-c", "pass"), shown, command_seconds("-m", "slackloop", "check", str(DEMO))


def main() -> int:
    """Print the tables."""
    print("\nWhat is published, against the tool under it.\n")
    print("| work | Slackloop, s | tool, s | ratio | goal |\n|---|---:|---:|---:|---:|")
    with tempfile.TemporaryDirectory() as folder:
        for name, job in (("demonstration", DEMO), ("320 boxes", path_job(320, Path(folder)))):
            pairs = [
                (f"website, {name}: plain MkDocs", website_pair(book_of(work(job))), "1.15"),
                (f"print, {name}: Typst, pages read for the website", print_pair(job, rendered=True), "1.3"),
                (f"print, {name}: Typst, pages read here", print_pair(job, rendered=False), ""),
            ]
            for label, pair, goal in pairs:
                print(f"| {label} | {pair.ours:.2f} | {pair.theirs:.2f} | {pair.ratio:.2f} | {goal} |", flush=True)
    if (other := weasyprint_pair(DEMO)) is None:
        print("| print, demonstration: WeasyPrint, not installed (it needs Pango from the system) | | | | 0.1 |")
    else:
        print(f"| print, demonstration: WeasyPrint | {other.ours:.2f} | {other.theirs:.2f} | {other.ratio:.2f} | 0.1 |")
    print("\n| boxes | website, s | ms a box | size, MB | kB a box |\n|---:|---:|---:|---:|---:|")
    for row in growth((50, 250, 1000)):
        print(
            f"| {row.boxes:,} | {row.seconds:.2f} | {1000 * row.seconds / row.boxes:.1f} "
            f"| {row.size / 1e6:.1f} | {row.size / 1e3 / row.boxes:.1f} |",
            flush=True,
        )
    bare, shown, checked = start()
    print("\n| command | ms | over bare Python, ms | goal, ms |\n|---|---:|---:|---:|")
    print(f"| python -c pass | {1000 * bare:.0f} | | |")
    print(f"| slackloop --help | {1000 * shown:.0f} | {1000 * (shown - bare):.0f} | 150 |")
    print(f"| slackloop check, demonstration | {1000 * checked:.0f} | | 500 |")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
