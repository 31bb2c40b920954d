"""Rows of an answer as a table for a slide: the columns of its layout, as much as has room."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ledger.questions.layout import LAYOUTS, Shown, cell
from ledger.safe_text import safe

if TYPE_CHECKING:
    from ledger.questions.answer import Answer

_NUMBERS = ("count", "rank", "made_of", "tenths")
# More never fit on a slide; the rest of an answer's rows is counted.
_MOST = 40


@dataclass(frozen=True, slots=True)
class Grid:
    """A table.

    Attributes:
        titles: of the columns; all empty where there is no heading.
        rows: cells in words.
        right: columns whose words stand at the right.
        strong: columns in bold.
        of: how many rows there are in all.
        drop: in what order columns leave a narrow slide, 0 never.
        whole: no row may be left out, so the table goes on on a further slide.
    """

    titles: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: tuple[bool, ...]
    strong: tuple[bool, ...]
    of: int
    drop: tuple[int, ...] = ()
    whole: bool = False

    def without(self, column: int) -> Grid:
        """The same without one column."""

        def rest(cells: tuple[str, ...]) -> tuple[str, ...]:
            return cells[:column] + cells[column + 1 :]

        return Grid(
            rest(self.titles),
            tuple(rest(row) for row in self.rows),
            self.right[:column] + self.right[column + 1 :],
            self.strong[:column] + self.strong[column + 1 :],
            self.of,
            self.drop[:column] + self.drop[column + 1 :],
            self.whole,
        )


def grid_of(answer: Answer) -> Grid:
    """The first rows of an answer in the columns of its layout."""
    layout = LAYOUTS[answer.question]
    rows = [*answer.frame.head(_MOST).iter_rows(named=True)]
    return Grid(
        titles=tuple(shown.title for shown in layout),
        rows=tuple(zip(*(_column(shown, rows) for shown in layout), strict=True)),
        right=tuple(shown.kind in _NUMBERS for shown in layout),
        strong=tuple(i == 0 and shown.kind == "text" for i, shown in enumerate(layout)),
        of=answer.frame.height,
        drop=tuple(shown.drop for shown in layout),
    )


def _column(shown: Shown, rows: list[dict[str, object]]) -> list[str]:
    ties = Counter(row.get(shown.columns[0]) for row in rows) if shown.kind == "rank" else {}
    return [safe(cell(shown, row, tied=ties.get(row.get(shown.columns[0]), 0) > 1)) for row in rows]
