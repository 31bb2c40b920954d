"""Rows of an answer as a table of the page: a table to the eye, lines of words on a telephone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ledger.charts.brief.markup import Markup, joined, tag
from ledger.questions import wording
from ledger.questions.layout import LAYOUTS, Shown, cell, usual_layout
from ledger.questions.part_layouts import PART_LAYOUTS

if TYPE_CHECKING:
    from ledger.questions.answer import Answer

# Longer answers are only begun: a page is read, the ledger is searched.
LONGEST = 40
# Words such as a date, which nobody wants to read in two lines.
_SHORT = 11
_NUMBERS = frozenset(("count", "rank", "made_of", "tenths"))


@dataclass(frozen=True, slots=True)
class Table:
    """Cells in words.

    Attributes:
        titles: of the columns.
        rows: the cells, row by row.
        right: columns whose words stand at the right.
        short: columns whose words stay on one line.
        head: the column that says what a row is about.
        of: how many rows there are in all.
    """

    titles: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: tuple[bool, ...]
    short: tuple[bool, ...]
    head: int
    of: int

    @property
    def whole(self) -> bool:
        """Whether no row is left out."""
        return len(self.rows) == self.of


def table_of(answer: Answer, part: str = "", most: int = LONGEST) -> Table:
    """The first rows of an answer, or of one of its further frames, in the columns of its layout.

    Raises:
        UseError: if the answer has no frame of that name.
    """
    found = answer.part(part)
    name = f"{answer.question}.{part}" if part else answer.question
    layouts: Mapping[str, Sequence[Shown]] = PART_LAYOUTS if part else LAYOUTS
    layout = layouts.get(name) or usual_layout(found.columns)
    rows = [*found.frame.head(most).iter_rows(named=True)]
    return made(layout, rows, found.frame.height)


def made(layout: Sequence[Shown], rows: Sequence[Mapping[str, Any]], of: int) -> Table:
    """A table of rows in the columns of a layout, without columns that say nothing."""
    columns = [(shown, _column(shown, rows)) for shown in layout]
    told = [(s, cells) for s, cells in columns if set(cells) - {"-"}] or columns
    heads = [place for place, (shown, _) in enumerate(told) if shown.kind in ("text", "state")]
    return Table(
        titles=tuple(shown.title for shown, _ in told),
        rows=tuple(zip(*(cells for _, cells in told), strict=True)),
        right=tuple(shown.kind in _NUMBERS for shown, _ in told),
        short=tuple(all(len(words) <= _SHORT for words in cells) for _, cells in told),
        head=heads[0] if heads else 0,
        of=of,
    )


def _column(shown: Shown, rows: Sequence[Mapping[str, Any]]) -> list[str]:
    ties = Counter(row.get(shown.columns[0]) for row in rows) if shown.kind == "rank" else {}
    return [cell(shown, row, tied=ties.get(row.get(shown.columns[0]), 0) > 1) for row in rows]


def table(shown: Table, caption: str, *, ask: str = "") -> Markup:
    """The table as an element of the page.

    Args:
        shown: what stands in it; at least one row.
        caption: what it shows.
        ask: the question whose command shows the rows that are left out.
    """
    heads = [
        tag("th", title, scope="col", class_="n" if right else None)
        for title, right in zip(shown.titles, shown.right, strict=True)
    ]
    body = [tag("tr", *_cells(shown, row)) for row in shown.rows]
    made_table = tag(
        "table",
        tag("caption", caption),
        tag("thead", tag("tr", *heads)),
        tag("tbody", *body),
    )
    if shown.whole:
        return made_table
    left = wording.counted(shown.of - len(shown.rows), "more row")
    are = "is" if shown.of - len(shown.rows) == 1 else "are"
    words = [f"{left} {are} left out here"]
    words += [": ", tag("code", f"offglass ask {ask}"), " shows all"] if ask else []
    return joined([made_table, tag("p", *words, ".", class_="left")])


def folded(shown: Table, caption: str, *, ask: str = "") -> Markup:
    """The table behind a line that opens it."""
    number = wording.counted(shown.of, "row")
    said = f"All {number}" if shown.whole and shown.of > 1 else number
    return tag("details", tag("summary", f"{said}: {caption}"), table(shown, caption, ask=ask))


def _cells(shown: Table, row: Sequence[str]) -> list[Markup]:
    cells = []
    for place, words in enumerate(row):
        kinds = [*("n" * shown.right[place]), *("s" * shown.short[place]), *("u" * (words == "-"))]
        looks = " ".join(kinds) or None
        if place == shown.head:
            cells.append(tag("th", words, scope="row", class_=looks))
        else:
            # Where cells stand in a line their titles stand before them.
            cells.append(tag("td", words, class_=looks, data_title=shown.titles[place] or None))
    return cells
