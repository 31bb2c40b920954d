"""The last gate before the terminal: no character of any widget acts on it.

What screens show has passed `safe` already; what a person types or pastes into a line, and the name
of a file that he chose, stand there as they are.
"""

from __future__ import annotations

from rich.cells import cell_len
from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter


class Harmless(LineFilter):
    """Blanks, as many as they are wide, instead of characters that could act or hide."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        if all(segment.text.isprintable() for segment in segments):
            return segments
        return [
            segment if segment.control else Segment(_blanked(segment.text), segment.style)
            for segment in segments
        ]


def _blanked(text: str) -> str:
    return "".join(c if c.isprintable() else " " * cell_len(c) for c in text)
