"""Tables on slides in the template's letters and colours: as many rows as fit, the rest counted."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from pptx.enum.text import MSO_ANCHOR, PP_ALIGN
from pptx.oxml import parse_xml
from pptx.oxml.ns import qn
from pptx.util import Emu, Pt

from ledger.charts import measure
from ledger.charts.deck.grid import Grid
from ledger.charts.deck.stage import Box, Stage, points
from ledger.charts.deck.words import LINE, height_of
from ledger.charts.unbroken import unbroken

# No fill, no lines: the one style that suits every template; lines are drawn here.
_STYLE = "{2D5ABB26-0587-4C30-8999-92F81FD0307C}"
_SIZES = (14.0, 13.0, 12.0, 11.0, 10.0, 9.0)
_PAD = 5.0
_SPACE = 18.0
# Below a table, whose rows a program may make a little higher.
_AIR = 8.0
_WIDEST = 0.34
_LINE = (
    '<a:lnB xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main" w="6350">'
    '<a:solidFill><a:schemeClr val="{}"><a:alpha val="40000"/></a:schemeClr></a:solidFill></a:lnB>'
)


def put_table(slide: Any, stage: Stage, box: Box, grid: Grid, alt: str) -> Grid | None:
    """A table in a room.

    Args:
        slide: where.
        stage: its template.
        box: the room.
        grid: the rows.
        alt: the table in words.

    Returns:
        The rows that had no room, where none may be left out; None where all is said.
    """
    width, height = box.points[0], box.points[1] - stage.letters(_AIR)
    if grid.whole:
        size, columns = _whole_size(stage, grid, width, height)
    else:
        size = stage.letters(12.0)
        grid, columns = _narrowed(grid, width, size)
    tall = _heights(grid, columns, size)
    line = size * LINE + 2 * _PAD
    room = height - (line if any(grid.titles) else 0.0)
    kept = _fitting(tall, room)
    if kept < grid.of and not grid.whole:
        kept = _fitting(tall, room - line)
    left = grid.of - kept
    said = f"… {left:,} more rows" if left and not grid.whole else ""
    _draw(slide, box, replace(grid, rows=grid.rows[:kept]), columns, size, said, alt)
    return replace(grid, rows=grid.rows[kept:], of=left) if grid.whole and left else None


def _fitting(heights: list[float], room: float) -> int:
    """How many rows fit, one at least."""
    used = 0.0
    for number, height in enumerate(heights):
        used += height
        if used > room:
            return max(1, number)
    return len(heights)


def _whole_size(stage: Stage, grid: Grid, width: float, height: float) -> tuple[float, list[float]]:
    """Letters at which all rows fit, the smallest where they do not; a narrow first column."""
    for size in (stage.letters(s) for s in _SIZES):
        first = max(measure.width(row[0], size, bold=True) for row in grid.rows) * 1.05 + _SPACE
        columns = [min(first, width * _WIDEST)]
        columns.append(width - columns[0])
        if sum(_heights(grid, columns, size)) <= height:
            break
    return size, columns


def _narrowed(grid: Grid, width: float, size: float) -> tuple[Grid, list[float]]:
    """The columns that fit side by side, the least needed left out first; each its width."""
    while True:
        wanted = [
            min(
                width * _WIDEST,
                max(measure.width(text, size, bold=True) for text in (title, *cells)) * 1.05
                + _SPACE,
            )
            for title, cells in zip(grid.titles, zip(*grid.rows, strict=True), strict=True)
        ]
        droppable = [drop for drop in grid.drop if drop]
        if sum(wanted) <= width or not droppable:
            break
        grid = grid.without(grid.drop.index(max(droppable)))
    spare = max(0.0, width - sum(wanted)) / len(wanted)
    columns = [min(w + min(spare, 40.0), width / len(wanted) * 3) for w in wanted]
    if sum(columns) > width:
        columns = [w * width / sum(columns) for w in columns]
    cut = [
        tuple(
            measure.cut(text, room - _SPACE, size * 1.02, bold=strong)
            for text, room, strong in zip(row, columns, grid.strong, strict=True)
        )
        for row in grid.rows
    ]
    return replace(grid, rows=tuple(cut)), columns


def _heights(grid: Grid, columns: list[float], size: float) -> list[float]:
    return [
        max(
            height_of(text, room - _SPACE, size, bold=strong)
            for text, room, strong in zip(row, columns, grid.strong, strict=True)
        )
        + 2 * _PAD
        for row in grid.rows
    ]


def _draw(
    slide: Any, box: Box, grid: Grid, columns: list[float], size: float, more: str, alt: str
) -> None:
    """The table: its heading where it has one, its rows, and a last line of what is left out."""
    headed = any(grid.titles)
    line = size * LINE + 2 * _PAD
    rows = [*([grid.titles] if headed else []), *grid.rows]
    heights = [*([line] if headed else []), *_heights(grid, columns, size)]
    if more:
        rows.append((more, *[""] * (len(columns) - 1)))
        heights.append(line)
    total = Pt(sum(columns)), Pt(sum(heights))
    frame = slide.shapes.add_table(len(rows), len(columns), box.left, box.top, *total)
    frame.name = "Table"
    frame._element.nvGraphicFramePr.cNvPr.set("descr", alt)
    table = frame.table
    table._tbl.tblPr.find(qn("a:tableStyleId")).text = _STYLE
    table.first_row = headed
    table.horz_banding = False
    for column, width in zip(table.columns, columns, strict=True):
        column.width = Emu(Pt(width))
    for place, (row, height) in enumerate(zip(rows, heights, strict=True)):
        table.rows[place].height = Emu(Pt(height))
        for at, text in enumerate(row):
            cell = table.cell(place, at)
            _fill(cell, text, size, strong=grid.strong[at] or (headed and place == 0))
            if grid.right[at]:
                cell.text_frame.paragraphs[0].alignment = PP_ALIGN.RIGHT
            cell._tc.get_or_add_tcPr().insert(0, parse_xml(_LINE.format("tx1")))
    if more:
        last = table.cell(len(rows) - 1, 0)
        last.merge(table.cell(len(rows) - 1, len(columns) - 1))
        last.text_frame.paragraphs[0].alignment = PP_ALIGN.LEFT


def _fill(cell: Any, text: str, size: float, *, strong: bool) -> None:
    cell.margin_left = cell.margin_right = Pt(_SPACE / 2)
    cell.margin_top = cell.margin_bottom = Pt(_PAD * 0.8)
    cell.vertical_anchor = MSO_ANCHOR.MIDDLE
    paragraph = cell.text_frame.paragraphs[0]
    run = paragraph.add_run()
    run.text = unbroken(text)
    run.font.size = points(size)
    run.font.bold = strong
