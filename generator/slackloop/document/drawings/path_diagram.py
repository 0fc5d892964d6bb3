"""The whole path as a one-line diagram that still reads with hundreds of boxes.

Each arm and each branch is a block of its own that runs to and fro across the page. A branch starts
from its box drawn once more, dashed, so that no line ever crosses another.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from slackloop.document.drawings.lettering import fit, text_width
from slackloop.document.drawings.svg import SMALL_SIZE, WIDTH_PX, Canvas, Figure, figure_id, rounded_route
from slackloop.document.drawings.symbols import Chain, chains, draw_legend, draw_symbol
from slackloop.site.network import CONTROLLER

LEAST_CELL = 62.0
ABOVE = 26.0
MARK_LINE = 13.0
HEADING = 22.0
LEGEND_ROOM = 104.0
SHEET_PX = 650.0
"""Highest sheet on a screen."""


@dataclass(frozen=True)
class DiagramBox:
    """One box: the box (or ``controller``) that feeds it, its run's length as text, and what stands in it."""

    id: str
    from_id: str
    run: str = ""
    has_device: bool = True
    electrode: bool = False
    worst: bool = False


@dataclass(frozen=True)
class DiagramClosure:
    """A run that closes a ring."""

    from_id: str
    to_id: str
    run: str = ""


@dataclass(frozen=True)
class _Cell:
    """One symbol on a row: its id, symbol kinds, marks below, and the run that leads to it."""

    id: str
    kinds: tuple[str, ...]
    marks: tuple[str, ...]
    run: str


@dataclass(frozen=True)
class _Row:
    """One row of a block: cells in path order; ``leftward`` rows are drawn from the right."""

    title: str
    cells: tuple[_Cell, ...]
    leftward: bool
    first: bool
    next_run: str
    last: bool
    dashed: bool = False

    @property
    def below(self) -> float:
        """Height needed below the symbols."""
        marks = max(len(cell.marks) for cell in self.cells)
        turn = 0 if self.last else len(_run_lines(self.next_run))
        return self.marks_down + MARK_LINE * (marks + turn) + 4

    @property
    def marks_down(self) -> float:
        """How far below the symbols the marks start: under the run lengths and any electrode."""
        lines = max(len(_run_lines(cell.run)) for cell in self.cells)
        return max(21.0, 6 + MARK_LINE * lines)


def path_diagram(
    id: str,
    boxes: Sequence[DiagramBox],
    closures: Sequence[DiagramClosure] = (),
    *,
    controller_electrode: bool = False,
    width_px: float = WIDTH_PX,
    sheet_px: float = SHEET_PX,
) -> Figure:
    """Draw the whole path; ``boxes`` in path order, each after the box that feeds it.

    One figure holds it all; where that is higher than ``sheet_px``, its ``sheets`` hold the same rows cut
    into pieces at most that high (at least one row each), a legend on each.
    """
    rows = _rows(boxes, closures, controller_electrode, width_px)
    whole = _draw_sheet(id, "The path, one-line diagram", _description(boxes, closures), rows, width_px)
    if whole.height_px <= sheet_px:
        return whole
    cut = _cut(rows, sheet_px)
    sheets = tuple(
        _draw_sheet(
            figure_id(id, str(place)),
            f"The path, one-line diagram, sheet {place} of {len(cut)}",
            f"{whole.description if place == 1 else ''} Sheet {place} of {len(cut)}: {_named(part)}.".strip(),
            part,
            width_px,
        )
        for place, part in enumerate(cut, start=1)
    )
    return replace(whole, sheets=sheets if len(sheets) > 1 else ())


def _cut(rows: Sequence[_Row], sheet_px: float) -> list[list[_Row]]:
    """Share rows out to sheets, room for the legend kept on each."""
    sheets: list[list[_Row]] = [[]]
    used = 0.0
    for row in rows:
        height = ABOVE + row.below + HEADING
        if sheets[-1] and used + height > sheet_px - LEGEND_ROOM:
            sheets.append([])
            used = 0.0
        sheets[-1].append(row)
        used += height - (0 if row.first or len(sheets[-1]) == 1 else HEADING)
    return sheets


def _named(rows: Sequence[_Row]) -> str:
    """Return the blocks on a sheet with the boxes of each."""
    ids: dict[str, list[str]] = {}
    for row in rows:
        ids.setdefault(row.title, []).extend(cell.id for cell in row.cells)
    return "; ".join(f"{title}: {', '.join(boxes)}" for title, boxes in ids.items())


def _run_lines(run: str) -> tuple[str, ...]:
    """Return a run's length in lines: the second unit system under the first."""
    first, bracket, second = run.partition(" (")
    return (first, "(" + second) if bracket else (run,)


def _description(boxes: Sequence[DiagramBox], closures: Sequence[DiagramClosure]) -> str:
    """Return the diagram in words."""
    lines = chains([box.id for box in boxes], {box.id: box.from_id for box in boxes})
    said = [f"{len(boxes)} boxes." if len(boxes) != 1 else "1 box."]
    for line in lines:
        ends = f"{line.boxes[0]} to {line.boxes[-1]}" if len(line.boxes) > 1 else line.boxes[0]
        count = f"{len(line.boxes)} boxes" if len(line.boxes) > 1 else "1 box"
        said.append(f"{line.title}: {ends}, {count}.")
    electrodes = [box.id for box in boxes if box.electrode]
    if electrodes:
        said.append(f"Earth electrodes at {', '.join(electrodes)}.")
    worst = [box.id for box in boxes if box.worst]
    if worst:
        said.append(f"Lowest volts at {', '.join(worst)}.")
    said.extend(f"A ring is closed from {link.from_id} to {link.to_id}." for link in closures)
    return " ".join(said)


def _rows(
    boxes: Sequence[DiagramBox], closures: Sequence[DiagramClosure], controller_electrode: bool, width_px: float
) -> list[_Row]:
    """Return every row of the diagram, blocks one after another."""
    lines = chains([box.id for box in boxes], {box.id: box.from_id for box in boxes})
    by_id = {box.id: box for box in boxes}
    marks: dict[str, list[str]] = {box.id: ["lowest"] if box.worst else [] for box in boxes}
    marks[CONTROLLER] = []
    for line in lines:
        if line.start != CONTROLLER:
            marks[line.start].append(line.short)
    for place, link in enumerate(closures, start=1):
        marks[link.from_id].append(f"ring {place}")
        marks[link.to_id].append(f"ring {place}")
    columns = _columns(boxes, closures, width_px)
    rows: list[_Row] = []
    for line in lines:
        origin = _origin(line, controller_electrode, marks[CONTROLLER])
        cells = [origin, *(_cell(by_id[box], box == line.boxes[-1], marks[box]) for box in line.boxes)]
        rows.extend(_fold(line.title, cells, columns))
    for place, link in enumerate(closures, start=1):
        ends = [_again(link.from_id, ""), _again(link.to_id, link.run)]
        rows.extend(_fold(f"Ring {place}, {link.from_id} to {link.to_id}", ends, columns, dashed=True))
    return rows


def _columns(boxes: Sequence[DiagramBox], closures: Sequence[DiagramClosure], width_px: float) -> int:
    """Return how many boxes stand side by side, so that ids and run lengths have room."""
    widest_id = max(text_width(box.id, SMALL_SIZE) for box in boxes) + 12
    runs = [box.run for box in boxes] + [closure.run for closure in closures]
    widest_run = max(text_width(line, SMALL_SIZE) for run in runs for line in _run_lines(run)) + 16.5
    cell = max(LEAST_CELL, widest_id, widest_run, text_width("controller", SMALL_SIZE) + 6)
    return max(2, int(width_px // cell))


def _origin(line: Chain, controller_electrode: bool, marks: Sequence[str]) -> _Cell:
    """Return the cell that a chain starts from."""
    if line.start != CONTROLLER:
        return _again(line.start, "")
    kinds = ("controller", "electrode") if controller_electrode else ("controller",)
    return _Cell(CONTROLLER, kinds, tuple(marks), "")


def _again(id: str, run: str) -> _Cell:
    """Return a box, or the controller, that is drawn in another block too."""
    return _Cell(id, ("controller",) if id == CONTROLLER else ("again",), (), run)


def _cell(box: DiagramBox, is_end: bool, marks: Sequence[str]) -> _Cell:
    """Return the cell of a box."""
    kinds = ["device" if box.has_device else "bare"]
    kinds += [kind for kind, wanted in (("end", is_end), ("electrode", box.electrode), ("worst", box.worst)) if wanted]
    return _Cell(box.id, tuple(kinds), tuple(marks), box.run)


def _fold(title: str, cells: Sequence[_Cell], columns: int, *, dashed: bool = False) -> Iterator[_Row]:
    """Fold a block's cells into rows that run to and fro."""
    for start in range(0, len(cells), columns):
        after = cells[start + columns] if start + columns < len(cells) else None
        yield _Row(
            title=title,
            cells=tuple(cells[start : start + columns]),
            leftward=(start // columns) % 2 == 1,
            first=start == 0,
            next_run=after.run if after else "",
            last=after is None,
            dashed=dashed,
        )


def _draw_sheet(id: str, title: str, description: str, rows: Sequence[_Row], width_px: float) -> Figure:
    """Draw rows one under the other, then the legend."""
    canvas = Canvas(id, title, description, width_px)
    columns = max(2, max(len(row.cells) for row in rows))
    cell = min(width_px / columns, 110.0)
    y = 0.0
    for place, row in enumerate(rows):
        if row.first or place == 0:
            shown = row.title if row.first else f"{row.title}, continued"
            canvas.text(2, y + 14, fit(shown, 12, width_px - 4), bold=True)
            y += HEADING
        _draw_row(canvas, row, cell, columns, y + ABOVE, row.last or place + 1 < len(rows))
        y += ABOVE + row.below
    kinds = {kind for row in rows for each in row.cells for kind in each.kinds}
    kinds |= {"closure"} if any(row.dashed for row in rows) else set()
    canvas.line((2, y + 2), (width_px - 2, y + 2), width=0.6)
    return canvas.figure(draw_legend(canvas, y + 8, kinds) + 2)


def _draw_row(canvas: Canvas, row: _Row, cell: float, columns: int, y: float, goes_on_here: bool) -> None:
    """Draw one row with its symbols centred on ``y`` and the turn to the next row."""
    way = -1 if row.leftward else 1
    start = (columns - 0.5) * cell if row.leftward else 0.5 * cell
    xs = [start + way * cell * place for place in range(len(row.cells))]
    dash = "6 4" if row.dashed else ""
    for before, x, each in zip(xs, xs[1:], row.cells[1:], strict=False):
        canvas.line((before + way * 9, y), (x - way * 9, y), width=1.5, dash=dash)
        room = cell - 16
        for place, run in enumerate(_run_lines(each.run)):
            down = y + 14 + MARK_LINE * place
            canvas.text((before + x) / 2, down, fit(run, SMALL_SIZE, room), size=SMALL_SIZE, anchor="middle")
    for x, each in zip(xs, row.cells, strict=True):
        _draw_cell(canvas, each, x, y, cell, row)
    if row.last:
        return
    edge = xs[-1] + way * (cell / 2 - 2)
    drop = row.below + ABOVE
    if goes_on_here:
        turn = [(xs[-1] + way * 9, y), (edge, y), (edge, y + drop), (xs[-1] + way * 9, y + drop)]
        canvas.path(rounded_route(turn, 7), width=1.5, dash=dash)
    else:
        canvas.path(rounded_route([(xs[-1] + way * 9, y), (edge, y), (edge, y + 24)], 7), width=1.5, dash="3 2")
    lines = _run_lines(row.next_run)
    for place, run in enumerate(lines):
        down = y + row.below - 3 - MARK_LINE * (len(lines) - 1 - place)
        label = fit(run, SMALL_SIZE, cell - 10)
        canvas.text(edge - way * 4, down, label, size=SMALL_SIZE, anchor="end" if way > 0 else "")


def _draw_cell(canvas: Canvas, each: _Cell, x: float, y: float, cell: float, row: _Row) -> None:
    """Draw a symbol with its id above and its marks below; the bar of a last box stands past it."""
    canvas.text(x, y - 13, fit(each.id, SMALL_SIZE, cell - 4), size=SMALL_SIZE, anchor="middle", bold=True)
    for kind in each.kinds:
        across = (-12.0 if row.leftward else 12.0) if kind == "end" else 0.0
        draw_symbol(canvas, x + across, y + (13 if kind == "electrode" else 0), kind)
    mark_y = y + row.marks_down + 10
    for mark in each.marks:
        canvas.text(x, mark_y, fit(mark, SMALL_SIZE, cell - 6), size=SMALL_SIZE, anchor="middle")
        mark_y += MARK_LINE
