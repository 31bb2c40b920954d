"""Lines of players with points a season: their words, their scale, and the line of no gain."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import altair as alt

from ledger.charts.axes import ends
from ledger.charts.lines import Lines, Words, lined
from ledger.charts.sheet import Sheet
from ledger.questions import wording
from ledger.safe_text import safe

Row = dict[str, Any]

# The part of a picture's lines that have room for two intervals each.
PART = 0.75
_STEPS = (0.5, 1, 2, 5, 10, 20, 50, 100)


def counted(rows: Sequence[Row]) -> str:
    """How many players and attempts the picture stands on."""
    attempts = sum(int(row.get("attempts") or 0) for row in rows)
    return f"{wording.counted(len(rows), 'player')} with {wording.counted(attempts, 'attempt')}."


def laid_out(page: Sheet, rows: Sequence[Row | None], figures: Sequence[str]) -> Lines:
    """Name, team and attempts a season at the left, figures at the right; None is a heading's."""

    def texts(make: Callable[[Row], str]) -> tuple[str, ...]:
        return tuple(make(row) if row else "" for row in rows)

    return lined(
        page,
        [
            Words(texts(player), most=0.26),
            Words(texts(_team), most=0.16, quiet=True, leaves=2),
            Words(texts(season), most=0.2, quiet=True, leaves=1),
        ],
        [Words(tuple(figures), most=0.3)],
    )


def player(row: Row) -> str:
    """Whose line it is."""
    return safe(str(row.get("player") or "–"))


def _team(row: Row) -> str:
    return safe(str(row.get("team") or row.get("league") or ""))


def season(row: Row) -> str:
    """How many attempts a season."""
    attempts = row.get("attempts_per_season")
    return f"{attempts:.0f} a season" if attempts is not None else ""


def domain(values: Sequence[float]) -> tuple[float, float]:
    """Both ends of the scale: whole steps, 0 inside."""
    reach = max(values) - min(values)
    step = next((s for s in _STEPS if reach / s <= 12), _STEPS[-1])
    # A dot on the very end would reach into the words beside it.
    air = 0.02 * reach
    return ends([0.0, min(values) - air, max(values) + air], float(step))


def nothing_gained(laid: Lines, x: Callable[[str], alt.X], lines: int) -> alt.Chart:
    """The line at which nothing is gained, through the first lines."""
    layer: alt.Chart = (
        laid.page.data.add([{"none": 0.0}])
        .mark_rule(strokeWidth=1.4, color=laid.page.theme.ink, opacity=0.8)
        .encode(x=x("none"), y=alt.value(0), y2=alt.value(laid.step * lines))
    )
    return layer


def hints() -> list[alt.Tooltip]:
    """What a page says of a dot."""
    return [
        alt.Tooltip("name:N", title="who"),
        alt.Tooltip("figure:N", title="points"),
        alt.Tooltip("season:N", title="attempts"),
    ]
