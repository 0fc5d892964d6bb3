"""Text of sections and words with one job's values in it, as blocks and lines."""

from __future__ import annotations

from dataclasses import dataclass

from slackloop.document.blocks import Blocks
from slackloop.document.inline import Line
from slackloop.document.markdown import Slot, mark_of, markdown_blocks, markdown_line, without_marks
from slackloop.sections.section import Prose
from slackloop.sections.template import Renderer
from slackloop.sections.text import Measure


@dataclass(frozen=True, slots=True)
class ProseReader:
    """Turns content into blocks with the job's values; what goes wrong is kept by ``renderer``."""

    renderer: Renderer

    def blocks(self, prose: Prose | None, file: str, page: str) -> Blocks:
        """A piece of prose of ``file`` as blocks on ``page``; nothing for none."""
        if prose is None:
            return ()
        text, slots = self._marked(prose.text, file, prose.line)
        return markdown_blocks(text, page, slots, raw_html=file in self.renderer.raw_html)

    def line(self, text: str, file: str = "words", line: int = 1, page: str = "") -> Line:
        """Text of front matter or of a word file as one line."""
        marked, slots = self._marked(text, file, line)
        return markdown_line(marked, page, slots)

    def plain(self, text: str) -> str:
        """The same as plain text, for titles and descriptions."""
        return self.renderer.plain(text)

    def _marked(self, text: str, file: str, line: int) -> tuple[str, tuple[Slot, ...]]:
        """``text`` with a mark for each value, and the values."""
        slots: list[Slot] = []

        def mark(value: str) -> str:
            slots.append(Slot(str(value), isinstance(value, Measure)))
            return mark_of(len(slots) - 1)

        return self.renderer.marked(without_marks(text), file, line, mark), tuple(slots)
