"""Text of sections and words with one job's values in it, as blocks and lines."""

from __future__ import annotations

from dataclasses import dataclass, field

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
    _lines: dict[tuple[str, str, int, str], Line] = field(default_factory=dict, compare=False, repr=False)
    _plain: dict[str, str] = field(default_factory=dict, compare=False, repr=False)
    """What was read once: the words of a check come back at every box."""

    def blocks(self, prose: Prose | None, file: str, page: str) -> Blocks:
        """A piece of prose of ``file`` as blocks on ``page``; nothing for none."""
        if prose is None:
            return ()
        text, slots = self._marked(prose.text, file, prose.line)
        return markdown_blocks(text, page, slots, raw_html=file in self.renderer.raw_html)

    def line(self, text: str, file: str = "words", line: int = 1, page: str = "") -> Line:
        """Text of front matter or of a word file as one line."""
        asked = text, file, line, page
        if asked not in self._lines:
            marked, slots = self._marked(text, file, line)
            self._lines[asked] = markdown_line(marked, page, slots)
        return self._lines[asked]

    def plain(self, text: str) -> str:
        """The same as plain text, for titles and descriptions."""
        if text not in self._plain:
            self._plain[text] = self.renderer.plain(text)
        return self._plain[text]

    def _marked(self, text: str, file: str, line: int) -> tuple[str, tuple[Slot, ...]]:
        """``text`` with a mark for each value, and the values."""
        slots: list[Slot] = []

        def mark(value: str) -> str:
            slots.append(Slot(str(value), isinstance(value, Measure)))
            return mark_of(len(slots) - 1)

        return self.renderer.marked(without_marks(text), file, line, mark), tuple(slots)
