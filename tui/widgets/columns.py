"""Columns of a table, and how much room each gets."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ledger.safe_text import cut, safe, width
from tui.widgets.drawings import Drawing, Row

EARLY = 10


@dataclass(frozen=True, slots=True)
class ShownColumn:
    """One column on the screen.

    Attributes:
        title: its heading.
        words: writes its cell from a row; not used where it is drawn.
        short: writes it with less where the whole would be cut.
        shorter: write it with less and less; each row takes the first that is not cut.
        least: the fewest cells it can be cut to.
        bears: the cells it can be cut to before another column goes; 0 for a fifth of it.
        most: the most cells it takes.
        right: whether it stands at the right of its place.
        drop: 0 keeps it always; the larger, the earlier it goes when there is no room; from
            `EARLY` on it goes before anything else is cut.
        spill: whether its heading runs on over the next column.
        drawing: draws its cell instead.
        sorts: the column of the frame that orders it.
        whole: whether every row counts for its width, not only most of them.
    """

    title: str
    words: Callable[[Row], str] = lambda _row: ""
    short: Callable[[Row], str] | None = None
    shorter: tuple[Callable[[Row], str], ...] = ()
    least: int = 4
    bears: int = 0
    most: int = 24
    right: bool = False
    drop: int = 0
    spill: bool = False
    drawing: Drawing | None = None
    sorts: str | None = None
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Place:
    """A column, the cells it has, and whether they are fewer than it would like."""

    column: ShownColumn
    cells: int
    tight: bool = False


def places(columns: Sequence[ShownColumn], wanted: Sequence[int], cells: int) -> list[Place]:
    """The columns that stay and their cells, for a table of `cells` cells.

    Args:
        columns: all columns, in order.
        wanted: the cells each would like.
        cells: the width of the table; one cell stands before each column.
    """
    kept = list(columns)
    natural = {id(c): n for c, n in zip(columns, wanted, strict=True)}
    for column in sorted(kept, key=lambda c: -c.drop):
        if column.drop >= EARLY and sum(natural[id(c)] + 1 for c in kept) + 1 > cells:
            kept.remove(column)
    while sum(_bearable(c, natural[id(c)]) + 1 for c in kept) + 1 > cells:
        worst = max(kept, key=lambda c: c.drop, default=None)
        if worst is None or worst.drop == 0:
            break
        kept.remove(worst)
    shared = _shared(kept, [natural[id(c)] for c in kept], cells)
    return [Place(c, n, n < natural[id(c)]) for c, n in zip(kept, shared, strict=True)]


def written(row: Row, place: Place) -> str:
    """The words of a row in the cells of a place, the short ones where there are few cells."""
    column = place.column
    words = column.short if place.tight and column.short is not None else column.words
    said = safe(words(row))
    for less in column.shorter:
        if width(said) <= place.cells:
            break
        said = safe(less(row))
    return fitted(said, place)


def fitted(text: str, place: Place) -> str:
    """The text in exactly the cells of its place."""
    short = cut(text, place.cells)
    gap = " " * max(0, place.cells - width(short))
    return gap + short if place.column.right else short + gap


__all__ = ["EARLY", "Drawing", "Place", "Row", "ShownColumn", "fitted", "places", "written"]


def _bearable(column: ShownColumn, natural: int) -> int:
    """How far a column may be cut before another one goes, never below its least."""
    if column.bears:
        return min(column.bears, natural)
    return max(min(column.least, natural), natural - natural // 5)


def _shared(columns: list[ShownColumn], natural: list[int], cells: int) -> list[int]:
    """Cells for each column: cut where there are too few, the drawing widened with the rest."""
    wide = list(natural)
    bearable = [_bearable(c, w) for c, w in zip(columns, wide, strict=True)]
    least = [min(c.least, w) for c, w in zip(columns, wide, strict=True)]
    over = sum(w + 1 for w in wide) + 1 - cells
    # What can leave is cut before what cannot, and nothing is cut to its least before it must.
    for floor, every in ((bearable, False), (bearable, True), (least, True)):
        while over > 0:
            spare = [
                w - f if every or c.drop else 0
                for w, f, c in zip(wide, floor, columns, strict=True)
            ]
            most = max(range(len(wide)), key=spare.__getitem__, default=-1)
            if most < 0 or spare[most] <= 0:
                break
            wide[most] -= 1
            over -= 1
    for i, column in enumerate(columns):
        if column.drawing is not None and over < 0:
            more = min(-over, column.most - wide[i])
            wide[i] += more
            over += more
    return wide
