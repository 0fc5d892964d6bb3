"""A book for a live preview: the pages of a job or a standard, with the files beside them and nothing printed."""

from __future__ import annotations

from pathlib import Path

from slackloop.document.book import make_book
from slackloop.document.content_check import work_with_content
from slackloop.document.link_check import LinksBroken
from slackloop.document.standard_work import standard_book_of, work_standard
from slackloop.document.worked import Refused
from slackloop.pipeline.handbook_folder import context_of
from slackloop.render.html.adapter import Pages
from slackloop.render.html.plugin import NotMade
from slackloop.render.workbook.table_files import table_files
from slackloop.sections.content_error import ContentError
from slackloop.site.standard_reading import is_standard


def preview(path: Path) -> tuple[Pages, dict[str, bytes]]:
    """The book of the file at ``path`` and the files beside its pages; raises ``NotMade`` with what was found."""
    try:
        if is_standard(path):
            return standard_book_of(work_standard(path)), {}
        book = make_book(context_of(work_with_content(path)), printed=())
        return book, table_files(book)
    except (Refused, ContentError) as refused:
        raise NotMade(tuple(refused.findings)) from refused
    except LinksBroken as broken:
        raise NotMade(broken.faults) from broken
