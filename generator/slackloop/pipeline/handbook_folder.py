"""The whole output of one job: website, printable document and the record of what was computed, in one folder."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from slackloop.compute.computed_job import Verdict
from slackloop.control.releases import history
from slackloop.control.snapshot import ATTACHED, snapshot_bytes
from slackloop.document.book import CARDS_NAME, Book, header_of, make_book, printed_files
from slackloop.document.boxes.card import cards_of
from slackloop.document.context import Context
from slackloop.document.tables.source_table import unread_sources
from slackloop.document.walk import LinksBroken
from slackloop.document.worked import Worked, work_with_content
from slackloop.output.marker import OutputRefused, Owner
from slackloop.pipeline.editions import Copy, make_editions, printed_parts, write_edition
from slackloop.pipeline.editions import document_time as document_time
from slackloop.pipeline.recorded_job import built_findings, recorded_lines, verdict_of, with_records
from slackloop.pipeline.recorded_job import context_of as context_of
from slackloop.render.html.site import WebsiteFaulty, build_site
from slackloop.render.json.check_record import check_record
from slackloop.render.json.json_text import json_text
from slackloop.render.json.results_record import RECORD_SCHEMA, record_schema
from slackloop.render.typst.book import Cover, Paper
from slackloop.render.typst.cards import card_files, card_texts
from slackloop.render.typst.press import CannotShow, Press, Unset
from slackloop.render.typst.printed import Printing, prepare_printing
from slackloop.render.typst.setter import PrintError
from slackloop.render.workbook.workbook import table_files
from slackloop.sections.content import ContentError
from slackloop.site.answers import open_questions
from slackloop.source.finding import Placed
from slackloop.source.source_file import write_file
from slackloop.units.amount import count


class BuildFaulty(Exception):
    """The job is good but its handbook could not be made; the message names every fault."""


@dataclass(frozen=True, slots=True)
class Written:
    """How far a build has come; ``warnings`` say what paper cannot show as it was written."""

    warnings: tuple[str, ...]
    unset: tuple[Unset, ...]
    """What takes most memory is set when everything else is written."""

    def set(self, fresh: Path) -> None:
        """Set what is left, one after the other, so that memory holds one."""
        for each in self.unset:
            each.set(fresh)


@dataclass(frozen=True)
class Prepared:
    """What is ready to be published: read and computed, and nothing written yet."""

    owner: Owner
    verdict: Verdict
    findings: tuple[Placed, ...]
    files: tuple[str, ...]
    """Those to open first, from the handbook's folder."""
    write: Callable[[Path, bool], Written]
    """Writes everything into an empty folder but what is set last; with True, paper shows nothing odd."""
    said: tuple[str, ...] = ()
    """What is to be said of the records, a line each."""

    def written(self, fresh: Path, *, plain: bool = False) -> Written:
        """As ``write``; faults of content, print and website are told as one ``BuildFaulty`` that names each."""
        with told_faults():
            return self.write(fresh, plain)

    def publish(self, fresh: Path) -> tuple[str, ...]:
        """Write everything, in this one process; the answer is what paper cannot show as it was written."""
        written = self.written(fresh)
        with told_faults():
            try:
                written.set(fresh)
            except CannotShow:
                _empty(fresh)
                written = self.written(fresh, plain=True)
                written.set(fresh)
        return written.warnings


def prepare_handbook(
    job_path: Path, folder: Path, *, paper: str | None, strict: bool, progress: Callable[[str], None],
    separate: bool = False, records: Sequence[Path] = (),
) -> Prepared:  # fmt: skip
    """Read and compute one job whose handbook will go to ``folder``.

    Raises ``worked.Refused`` for a job that is not good enough, and ``output.OutputRefused`` for its own folder.
    ``separate`` prints each part of the handbook as a document of its own. With ``records`` it shows results and hands
    over what was built; raises ``NothingRead`` where none of them can be read.
    """
    for source in (job_path, *records):
        keep_source(source, folder)
    progress("reading and computing the job")
    worked = work_with_content(job_path)
    if worked.job.standard:
        keep_source(job_path.resolve().parent / worked.job.standard, folder)
    if records:
        progress("judging the records")
        worked = with_records(worked, records)
    return prepare_worked(worked, paper=paper, separate=separate, strict=strict, progress=progress)


def prepare_worked(
    worked: Worked, *, paper: str | None, strict: bool, progress: Callable[[str], None], separate: bool = False
) -> Prepared:
    """What is to be published of a job that was read and computed."""
    return Prepared(
        Owner("job", worked.job.job.number, worked.job.job.site),
        verdict_of(worked),
        (*worked.findings, *built_findings(worked)),
        ("index.html", *printed_files(separate=separate, with_records=worked.recorded is not None)),
        lambda fresh, plain: _write(worked, fresh, paper, separate, strict, progress, plain),
        recorded_lines(worked),
    )


@contextmanager
def told_faults() -> Iterator[None]:
    """Faults of content, print and website as one ``BuildFaulty`` that names each."""
    try:
        yield
    except ContentError as faulty:
        raise BuildFaulty(f"the content has faults:\n{faulty}") from faulty
    except PrintError as faulty:
        raise BuildFaulty(str(faulty)) from faulty
    except LinksBroken as faulty:
        raise BuildFaulty("pages have faults:\n" + "\n".join(faulty.faults)) from faulty
    except WebsiteFaulty as faulty:
        raise BuildFaulty("the website has faults:\n" + "\n".join(faulty.faults)) from faulty
    except RecursionError as faulty:
        raise BuildFaulty(
            "a page nests lists, quotes or tags deeper than can be set; look in the content folder beside the job"
        ) from faulty


def keep_source(source: Path, folder: Path) -> None:
    """Refuse a folder that holds what the handbook is made from: the swap would take it away."""
    if Path(os.path.realpath(source)).is_relative_to(os.path.realpath(folder)):
        raise OutputRefused(f"{source} lies in {folder}, which a build replaces whole. Name another folder.")


def _empty(folder: Path) -> None:
    """Remove what a build wrote into its own fresh folder, before it begins once more; its marker stays."""
    for entry in folder.iterdir():
        if entry.is_dir():
            shutil.rmtree(entry)
        elif not entry.name.startswith("."):
            entry.unlink()


def _write(
    worked: Worked, fresh: Path, paper: str | None, separate: bool, strict: bool, progress: Callable[[str], None],
    plain: bool,
) -> Written:  # fmt: skip
    """Write everything into ``fresh`` but the printed handbook, of which the sources lie ready.

    The cards are set in processes of their own while everything else is made. The handbook takes most memory of all,
    so it is set when this process has ended.
    """
    progress("writing the pages, and setting the printed cards")
    names = printed_files(separate=separate, with_records=worked.recorded is not None)
    context = context_of(worked)
    cover, address = cover_of(context), worked.job.job.address
    size, at = paper_for(worked.job.job.units, paper), document_time(worked.job)
    with TemporaryDirectory(prefix=".aside-", dir=fresh) as aside, Press() as press:
        cards = _cards(context, cover, size, Path(aside), plain)
        cards.begin(press)
        book = make_book(context, printed=names)
        assert book.snapshot is not None
        snapshot = snapshot_bytes(book.snapshot)
        source = {ATTACHED: snapshot, worked.path.name: worked.path.read_bytes()}
        copy = Copy(book.pages, book.header, with_sources(cover, book), size, at, source)
        parts = printed_parts(book.pages, separate=separate, what="printed handbook")
        documents = {each.name: each.prepare(copy, fresh, plain=plain) for each in parts}
        refuse_strictly(strict, (*documents.values(), cards))
        progress(f"building the website of {len(book.pages)} pages")
        site = Path(aside) / "site"
        files = {**table_files(book), **dict.fromkeys((*documents, CARDS_NAME), b"")}
        editions = make_editions(worked, book)
        also = frozenset(page for each in editions for page in each.others)
        build_site(book, site, address=address, files=files, also=also)
        for each in editions:
            write_edition(worked, each, cover, size, site, Path(aside), plain, press)
        progress("waiting for the printed cards")
        write_file(site / CARDS_NAME, cards.data())
        warnings = refuse_strictly(strict, (*documents.values(), cards))
        for entry in sorted(site.iterdir()):
            entry.rename(fresh / entry.name)
    write_file(fresh / ATTACHED, snapshot)
    write_file(fresh / RECORD_SCHEMA, json_text(record_schema()) + "\n")
    write_file(fresh / "check.json", json_text(check_record(_as_from_its_folder(worked))) + "\n")
    return Written(warnings, tuple(Unset(each.folder.name, name) for name, each in documents.items()))


def refuse_strictly(strict: bool, printed: Iterable[Printing]) -> tuple[str, ...]:
    """What is printed otherwise than it was written; raises ``BuildFaulty`` where nothing may be."""
    warnings = tuple(dict.fromkeys(warning for each in printed for warning in each.warnings))
    if strict and warnings:
        raise BuildFaulty("\n".join(warnings))
    return warnings


def _cards(context: Context, cover: Cover, paper: Paper, aside: Path, plain: bool) -> Printing:
    """The cards of the boxes, ready to be set."""
    cards, header, at = cards_of(context), header_of(context), document_time(context.job)
    make = partial(
        card_files, cards, header, cover, paper=paper, timestamp=at, address=context.job.job.address,
        failed=context.analysis.verdict == "fail",
    )  # fmt: skip
    return prepare_printing(
        lambda shown, drawn: make(shown=shown, drawn=drawn), card_texts(cards, header, cover),
        what="printed cards", timestamp=at, aside=aside, plain=plain,
        whole=lambda shown, drawn: make(shown=shown, drawn=drawn, batch=len(cards)),
    )  # fmt: skip


def cover_of(context: Context) -> Cover:
    """What the first page says besides the facts of the document."""
    job, document = context.job, context.job.document
    errors = sum(each.level == "error" for each in context.findings)
    still_open = ((errors, "error", "errors"), (open_questions(context.findings), "question", "questions"))
    counts = tuple(count(*each) for each in still_open if each[0])
    issues = history(job, context.releases)
    return Cover(job.job.client, document.prepared, document.checked, document.approved, issues, counts)


def with_sources(cover: Cover, book: Book) -> Cover:
    """The cover with how many sources nobody has compared yet, which is known once all tables are made."""
    number = unread_sources(book.tables["sources"])
    told = (f"{count(number, 'source', 'sources')} from memory, to be compared: see Sources",) if number else ()
    return replace(cover, counts=(*cover.counts, *told))


def _as_from_its_folder(worked: Worked) -> Worked:
    """The same with each finding's file named from the job's own folder: how the job was called is no part of it."""
    home = worked.path.parent
    findings = (replace(each, file=Path(os.path.relpath(each.file, home)).as_posix()) for each in worked.findings)
    return replace(worked, findings=tuple(findings))


def paper_for(units: str, asked: str | None) -> Paper:
    """Letter where US units come first and A4 for the rest, unless the command asks for one."""
    return "us-letter" if (asked or ("letter" if units == "us" else "a4")) == "letter" else "a4"
