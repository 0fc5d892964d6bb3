"""Tables of a page as Typst tables: repeating header, chosen widths, cells that stay whole."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from slackloop.publish.print_table import COMPACT_SIZES_PT, PORTRAIT_SIZES_PT, Cell, ColumnPlan, plan_columns
from slackloop.publish.print_text import literal, squeeze
from slackloop.publish.print_tree import Node

if TYPE_CHECKING:
    from slackloop.publish.print_markup import PageWriter

LONG_CELL_CHARACTERS = 700
"""A cell with more text than this may break over two pages; a shorter one stays whole."""

_REFERENCE_CHARACTERS = "\u00a0p.\u00a0000"
_TICK_CHARACTERS = "00"
_MOST_SPAN = 1000


class TableWriter:
    """Writes the tables of one page, and remembers whether any of them needs the page turned."""

    def __init__(self, page: PageWriter) -> None:
        self._page = page
        self._plans: dict[int, ColumnPlan] = {}

    def write(self, table: Node) -> list[str]:
        """Statements that print the table, its caption first."""
        head, body, captions = table_rows(table)
        count = max((sum(_span(cell, "colspan") for cell in row) for row in head + body), default=0)
        if count == 0:
            return []
        plan = self.plan(table)
        outer, self._page.in_table = self._page.in_table, True
        try:
            alignments = _alignments(head + body, count, "horizon" if _has_figures(body) else "top")
            header = ",".join(self._head_cell(cell) for row in head for cell in row)
            reaching = any(_span(cell, "rowspan") > 1 for row in body for cell in row)
            cells = ",".join(part for row in body for part in self._row(row, 0 if reaching else count))
            titles = [f"look.caption({self._page.inline(caption.children)})" for caption in captions]
        finally:
            self._page.in_table = outer
            self._page.said.clear()
        unit = "fr" if plan.fills_page else "pt"
        widths = ",".join(f"{width:.1f}{unit}" for width in plan.widths_pt)
        header_code = f"header:({header},)," if header else ""
        return [
            *titles,
            f"look.sheet(({widths},),{plan.size_pt}pt,align:({alignments},),{header_code}rows:{len(body)},{cells})",
        ]

    def plan(self, table: Node) -> ColumnPlan:
        """Widths, size and turning of a table on this page's paper."""
        made = self._plans.get(id(table))
        if made is None:
            made = self._plans[id(table)] = self._plan(table)
        return made

    def _plan(self, table: Node) -> ColumnPlan:
        head, body, _ = table_rows(table)
        said: set[str] = set()
        rows = [[Cell(self._shown_text(cell, said), _span(cell, "colspan")) for cell in row] for row in head + body]
        count = max((sum(cell.span for cell in row) for row in rows), default=0)
        printing = self._page.printing
        sizes = COMPACT_SIZES_PT if self._page.compact else PORTRAIT_SIZES_PT
        return plan_columns(rows, max(count, 1), printing.portrait_pt, printing.landscape_pt, sizes)

    def _head_cell(self, cell: Node) -> str:
        span = _span(cell, "colspan")
        spanned = f"span:{span}," if span > 1 else ""
        return f"look.head-cell({spanned}{self._page.body(cell)})"

    def _row(self, row: list[Node], fill: int) -> list[str]:
        """The cells of one row; a row shorter than ``fill`` columns gets empty cells at its end."""
        cells = [self._cell(cell) for cell in row]
        return cells + ['""'] * (fill - sum(_span(cell, "colspan") for cell in row))

    def _cell(self, cell: Node) -> str:
        if cell.tag == "td" and not cell.attributes and all(isinstance(child, str) for child in cell.children):
            text = cell.text()
            body = self._page.text(squeeze(text).strip(" "))
            return body if len(text) > LONG_CELL_CHARACTERS else f"look.kept({body})"
        self._page.alone_in_cell = any("value" in node.classes and _is_alone(node, cell) for node in cell.walk())
        body = self._page.body(cell)
        if cell.tag == "th" and body != '""':
            body = f"look.bold({body})"
        name = self._page.labels.get(cell.attributes.get("id", ""))
        if name:
            body = "{" + f"look.mark({literal(name)});{body}" + "}"
        across, down = _span(cell, "colspan"), _span(cell, "rowspan")
        if across == 1 and down == 1 and len(cell.text()) > LONG_CELL_CHARACTERS:
            return body
        spans = (f"span:{across}," if across > 1 else "") + (f"down:{down}," if down > 1 else "")
        return f"look.kept({spans}{body})"

    def _shown_text(self, cell: Node, said: set[str]) -> str:
        """A cell's text about as wide as it will be printed, with page numbers, ticks and large figures."""
        text = squeeze(self._with_references(cell, said)).strip()
        if cell.tag == "th":
            text += text[: math.ceil(len(text) / 12)]
        for node in cell.walk():
            if "tick" in node.classes or node.tag == "input":
                text += _TICK_CHARACTERS
            elif "value" in node.classes and _is_alone(node, cell):
                text += text[: len(text) // 3]
        return text

    def _with_references(self, node: Node, said: set[str]) -> str:
        """The words of an element, each link that names its page with the number behind its last word."""
        parts = (one if isinstance(one, str) else self._with_references(one, said) for one in node.children)
        text = "".join(parts)
        if node.tag == "br":
            return " "
        if node.tag == "a" and self._page.names_page(node.attributes.get("href", ""), said):
            text += _REFERENCE_CHARACTERS
        return text


def table_rows(table: Node) -> tuple[list[list[Node]], list[list[Node]], list[Node]]:
    """Header rows, body rows and captions of a table, tables inside its cells set aside."""
    head: list[list[Node]] = []
    body: list[list[Node]] = []
    captions: list[Node] = []

    def gather(node: Node, in_head: bool) -> None:
        for child in node.children:
            if not isinstance(child, Node):
                continue
            if child.tag == "caption":
                captions.append(child)
            elif child.tag == "tr":
                cells = [cell for cell in child.children if isinstance(cell, Node) and cell.tag in ("td", "th")]
                if cells:
                    (head if in_head else body).append(cells)
            elif child.tag in ("thead", "tbody", "tfoot"):
                gather(child, child.tag == "thead")

    gather(table, False)
    if head and all(not cell.text().strip() for row in head for cell in row):
        head = []
    return head, body, captions


def _is_alone(node: Node, cell: Node) -> bool:
    """Whether an element holds all the words of its cell."""
    return node.text().strip() == cell.text().strip()


def _span(cell: Node, name: str) -> int:
    text = cell.attributes.get(name)
    if text is None:
        return 1
    return min(max(int(text), 1), _MOST_SPAN) if text.isascii() and text.isdigit() else 1


def _has_figures(rows: list[list[Node]]) -> bool:
    """Whether a large figure stands alone in some cell: the words beside it then stand at its middle."""
    cells = (cell for row in rows for cell in row)
    return any("value" in node.classes and _is_alone(node, cell) for cell in cells for node in cell.walk())


def _alignments(rows: list[list[Node]], count: int, height: str) -> str:
    """One alignment a column, as its first cell that names one; ``height`` is Typst's word for up and down."""
    found = ["left"] * count
    settled = [False] * count
    for row in rows:
        place = 0
        for cell in row:
            side = _side(cell)
            if side and place < count and not settled[place]:
                found[place], settled[place] = side, True
            place += _span(cell, "colspan")
    return ",".join(f"{side}+{height}" for side in found)


def _side(cell: Node) -> str:
    """The side that a cell's own style names, other than left; empty when it names none."""
    style = cell.attributes.get("style", "").replace(" ", "").lower()
    named = cell.attributes.get("align", "").lower()
    return next((side for side in ("right", "center") if f"text-align:{side}" in style or named == side), "")
