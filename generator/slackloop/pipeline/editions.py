"""The editions of a job in other languages: their website beside the English one, and their cards."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from slackloop.document.book import Book
from slackloop.document.edition.edition import Edition, load_edition
from slackloop.document.worked import Worked, content_folders
from slackloop.language.messages import ENGLISH, said, speaking
from slackloop.pipeline.document_time import document_time
from slackloop.render.html.site import build_site
from slackloop.render.typst.book import Cover, Paper
from slackloop.render.typst.cards import card_files, card_texts
from slackloop.render.typst.printed import prepare_printing
from slackloop.source.written_file import write_file


def make_editions(worked: Worked, book: Book) -> tuple[Edition, ...]:
    """The edition of each language of the job besides English."""
    *own, standing = content_folders(worked.path)
    firm = own[0] if own and own[0].is_dir() else None
    others = (each for each in worked.job.languages if each != ENGLISH)
    return tuple(load_edition(book, standing, firm, language) for language in others)


def write_edition(
    worked: Worked, edition: Edition, cover: Cover, paper: Paper, site: Path, aside: Path, plain: bool
) -> None:
    """The pages of an edition in a folder of its own in ``site``, and its cards beside the English ones."""
    job, at = worked.job, document_time(worked.job)
    with speaking(edition.messages):
        address = f"{job.job.address.rstrip('/')}/{edition.language}" if job.job.address else ""
        also = frozenset(page.id for page in edition.pages)
        build_site(edition, site / edition.language, address=address, also=also, scripts=edition.scripts)
        make = partial(
            card_files, edition.cards, edition.header, cover, paper=paper, timestamp=at, address=address,
            failed=worked.analysis.verdict == "fail", checked=edition.checked,
        )  # fmt: skip
        printing = prepare_printing(
            lambda shown, drawn: make(shown=shown, drawn=drawn), card_texts(edition.cards, edition.header, cover),
            what=said("printed cards"), timestamp=at, aside=aside, plain=plain,
        )  # fmt: skip
        write_file(site / edition.cards_name, printing.data())
