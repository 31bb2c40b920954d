"""An answer as a page of text: headline, rows with intervals drawn in the row, notes."""

from __future__ import annotations

import shutil
import sys
import textwrap
from collections import Counter
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from ledger.questions import strip
from ledger.questions.layout import LAYOUTS, Shown, cell, usual_layout
from ledger.safe_text import cut, safe, width

if TYPE_CHECKING:
    from ledger.questions.answer import Answer

Row = Mapping[str, Any]

_BAR = 22
_WIDE = 100
_NARROW = 60
_LONGEST = 28
_PLAIN = str.maketrans({"┝": "|", "┥": "|", "━": "-", "●": "o", "‹": "<", "›": ">", "…": "~"})


def page(answer: Answer, *, part: str = "", limit: int | None = None, plain: bool = False) -> str:
    """The whole answer as text for a terminal or a file.

    Args:
        answer: what to show.
        part: one of its further frames instead of its rows.
        limit: only the first rows; the rest is counted.
        plain: letters only, nothing drawn.
    """
    found = answer.part(part)
    rows = found.rows()
    shown = rows if limit is None else rows[:limit]
    named = part if part and part != "rows" else ""
    layout = usual_layout(found.columns) if named else LAYOUTS[answer.question]
    room = _room()
    lines = [answer.title, *_wrapped(answer.cohort, room), ""]
    lines += [*_wrapped(answer.headline, room), ""]
    if shown:
        lines += [*_table(layout, shown, room, plain=plain)]
        if len(shown) < len(rows):
            lines.append(f"... {len(rows) - len(shown)} more rows; --limit shows more")
        lines.append("")
    if not named:
        lines += [line for note in answer.notes for line in _wrapped(note, room, "- ")]
    text = "\n".join(line.rstrip() for line in lines).rstrip() + "\n"
    return text.translate(_PLAIN) if plain else text


def listing(rows: Sequence[Row], *, empty: str) -> str:
    """Plain rows as an aligned table, a dash where a cell is empty."""
    if not rows:
        return empty + "\n"
    names = list(rows[0])
    cells = [[_text(row[name]) for name in names] for row in rows]
    return "\n".join(_aligned(names, cells, [False] * len(names))) + "\n"


def _room() -> int:
    if not sys.stdout.isatty():
        return _WIDE
    return max(_NARROW, shutil.get_terminal_size((_WIDE, 24)).columns)


def _wrapped(text: str, room: int, lead: str = "") -> list[str]:
    return textwrap.wrap(
        safe(text), room, initial_indent=lead, subsequent_indent=" " * len(lead)
    ) or [""]


def _table(layout: Sequence[Shown], rows: Sequence[Row], room: int, *, plain: bool) -> list[str]:
    kept = list(layout)
    while True:
        lines = _drawn(kept, rows, plain=plain)
        droppable = [s for s in kept if s.drop]
        if not droppable or max(map(width, lines)) <= room:
            return lines
        kept.remove(max(droppable, key=lambda s: s.drop))


def _drawn(layout: Sequence[Shown], rows: Sequence[Row], *, plain: bool) -> list[str]:
    titles: list[str] = []
    columns: list[list[str]] = []
    right: list[bool] = []
    axes: list[str] = []
    for shown in layout:
        ties = Counter(row.get(shown.columns[0]) for row in rows) if shown.kind == "rank" else {}
        titles.append(shown.title)
        columns.append(
            [_text(cell(shown, r, tied=ties.get(r.get(shown.columns[0]), 0) > 1)) for r in rows]
        )
        right.append(shown.kind in ("count", "rank", "made_of"))
        axes.append("")
        if shown.kind in ("interval", "bounds") and not plain:
            bars, axis = _bars(shown, rows)
            titles.append("")
            columns.append(bars)
            right.append(False)
            axes.append(axis)
    lines = _aligned(titles, [list(c) for c in zip(*columns, strict=True)], right)
    if any(axes):
        widths = _widths(titles, columns)
        lines.append("  ".join(a.ljust(w) for a, w in zip(axes, widths, strict=True)).rstrip())
    return lines


def _bars(shown: Shown, rows: Sequence[Row]) -> tuple[list[str], str]:
    figures = [_limits(shown, row) for row in rows]
    ends = [v for low, _, high in figures for v in (low, high) if v is not None]
    scale = strip.scale_of(min(ends, default=0.0), max(ends, default=1.0), _BAR)
    bars = [strip.interval_cells(low, at, high, scale, _BAR) for low, at, high in figures]
    return bars, strip.axis_cells(scale, _BAR)


def _limits(shown: Shown, row: Row) -> tuple[float | None, float | None, float | None]:
    at, low, high, *bounds = (row.get(name) for name in shown.columns)
    if low is None and bounds and at is None:
        low, high = bounds
    return low, at, high


def _text(value: Any) -> str:
    return "-" if value is None or value == "" else cut(safe(str(value)), _LONGEST)


def _widths(titles: Sequence[str], columns: Sequence[Sequence[str]]) -> list[int]:
    return [
        max([width(title), *map(width, column)])
        for title, column in zip(titles, columns, strict=True)
    ]


def _aligned(
    titles: Sequence[str], rows: Sequence[Sequence[str]], right: Sequence[bool]
) -> list[str]:
    widths = _widths(titles, [list(c) for c in zip(*rows, strict=True)])
    return [
        "  ".join(_padded(t, w, r) for t, w, r in zip(line, widths, right, strict=True)).rstrip()
        for line in (titles, *rows)
    ]


def _padded(text: str, cells: int, right: bool) -> str:
    space = " " * (cells - width(text))
    return space + text if right else text + space
