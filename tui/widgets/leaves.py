"""Several pictures of one kind, side by side and under each other, as many as fit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from tui.widgets.canvas import CanvasView

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Fitting:
    """Which pictures are seen, and where.

    Attributes:
        across: how many stand side by side.
        numbers: the numbers of those that are seen.
        some: whether there are others that are not.
    """

    across: int
    numbers: range
    some: bool

    def corner(self, place: int, size: tuple[int, int], gap: int) -> tuple[int, int]:
        """The left upper cell of one of those seen, by their size and the gap between them."""
        down, right = divmod(place, self.across)
        return right * (size[0] + gap), down * (size[1] + 1)


def fitting(
    number: int, chosen: int, room: tuple[int, int], least: tuple[int, int], gap: int
) -> Fitting:
    """Which of some pictures are seen: a page of them, with the chosen one.

    Args:
        number: how many there are, at least one.
        chosen: the number of the one that has to be seen.
        room: cells and lines.
        least: the fewest cells and lines that one takes.
        gap: cells between two.
    """
    across = min(number, max(1, (room[0] + gap) // (least[0] + gap)))
    down = max(1, (room[1] + 1) // (least[1] + 1))
    many = min(number, across * down)
    first = min(chosen // many * many, number - many)
    return Fitting(across, range(first, first + many), many < number)


class LeavesView(CanvasView, Generic[T]):
    """Pictures on a screen, one of them chosen by the row under the cursor."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self.leaves: tuple[T, ...] = ()
        self.chosen = 0

    def show(self, leaves: Sequence[T], chosen: int = 0) -> None:
        """Draw other pictures."""
        self.leaves = tuple(leaves)
        self.choose(chosen)

    def choose(self, number: int) -> None:
        """Draw the page on which that one is."""
        self.chosen = min(max(number, 0), max(0, len(self.leaves) - 1))
        self.draw_anew()
