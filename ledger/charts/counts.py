"""Lines of counts: how much there is, and which part of it, as bars that begin at nothing.

A count that was made has no interval, and none is drawn.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt

from ledger.charts.axes import ends, plain_x
from ledger.charts.lines import Lines
from ledger.charts.sheet import Key
from ledger.charts.theme import Theme

# Ends of the scale stand at one of these times a power of ten.
_STEPS = (1, 2, 5)


@dataclass(frozen=True, slots=True)
class Count:
    """One line.

    Attributes:
        name: what is counted.
        whole: how much of it there is.
        part: the part that stands out.
        words: both in words.
        counts: whether it still counts; what was taken back does not.
    """

    name: str
    whole: int
    part: int
    words: str
    counts: bool = True


def keys(theme: Theme, part: str, rest: str) -> tuple[Key, Key]:
    """What the two colours of a bar mean: the part that stands out, and the rest."""
    return (
        Key(part, part_colour(theme), "square"),
        Key(rest, whole_colour(theme), "square"),
    )


def bars(laid: Lines, counts: Sequence[Count], *, title: str) -> list[alt.Chart]:
    """The bars of these lines, from the top.

    Args:
        laid: the lines.
        counts: one a line.
        title: what the scale measures.
    """
    page, theme = laid.page, laid.page.theme
    scale = _ends(max((one.whole for one in counts), default=0))
    hints = [alt.Tooltip("name:N", title="what"), alt.Tooltip("figure:N", title="counted")]

    def x(field: str) -> alt.X:
        return plain_x(field, scale, title=title, ticks=max(2, int(page.width // 90)))

    rows = [
        {
            "row": place + 0.5,
            "name": one.name,
            "figure": one.words,
            "none": 0,
            "whole": one.whole,
            "part": one.part,
            "colour": part_colour(theme) if one.counts else theme.muted,
        }
        for place, one in enumerate(counts)
    ]
    thick = min(18.0, laid.step * 0.5)
    layers = []
    for field, colour in (
        ("whole", alt.value(whole_colour(theme))),
        ("part", alt.Color("colour:N", scale=None)),
    ):
        layers.append(
            page.data.add([row for row in rows if row[field]])
            .mark_rule(strokeWidth=thick, strokeCap="butt")
            .encode(x=x("none"), x2=alt.X2(f"{field}:Q"), y=laid.y(), color=colour, tooltip=hints)
        )
    return layers


def part_colour(theme: Theme) -> str:
    """The colour of the part that stands out."""
    return theme.states["adopter"]


def whole_colour(theme: Theme) -> str:
    """The colour of the rest: half way between the quiet words and the paper."""

    def channel(colour: str, at: int) -> int:
        return int(colour[at : at + 2], 16)

    mixed = ((channel(theme.muted, at) + channel(theme.paper, at)) // 2 for at in (1, 3, 5))
    return "#" + "".join(f"{value:02x}" for value in mixed)


def _ends(most: int) -> tuple[float, float]:
    step: Any = 1
    while most / step > 10:
        step = next(
            (s * 10**power for power in range(12) for s in _STEPS if s * 10**power > step), step
        )
    return ends([0.0, float(most)], float(step))
