"""Which rows of adopters are drawn, and in which order."""

from __future__ import annotations

from collections import Counter
from typing import Any

Row = dict[str, Any]

# Nobody is called before so many watched attempts.
_ENOUGH = 8
_ORDER = {"adopter": 0, "occasional": 1, "not": 2}


def judged_rows(rows: list[Row]) -> list[Row]:
    """Of each player his latest season that was judged, in the order in which they are drawn."""
    return sorted((r for r in latest(rows) if r.get("state") in _ORDER), key=place)


def latest(rows: list[Row]) -> list[Row]:
    """One row a player: his latest season with enough watched attempts, else with any, else any.

    Two of one name in one league and season are told apart by their teams.
    """
    seasons = Counter((r.get("league"), r.get("player"), r.get("season")) for r in rows)
    twice = {(league, player) for (league, player, _), n in seasons.items() if n > 1}
    latest: dict[tuple[Any, ...], Row] = {}
    for row in sorted(rows, key=_weight):
        key = (row.get("league"), row.get("player"))
        latest[(*key, row.get("team")) if key in twice else key] = row
    return list(latest.values())


def _weight(row: Row) -> tuple[bool, bool, int, str]:
    tagged = row.get("tagged") or 0
    return (
        tagged >= _ENOUGH,
        tagged > 0,
        row.get("start_year") or 0,
        str(row.get("season")),
    )


def place(row: Row) -> tuple[Any, ...]:
    """Where a row stands: by state, then by share and by how much of it was watched."""
    return (
        _ORDER.get(str(row.get("state")), 3),
        -(row.get("share") or 0.0),
        -(row.get("tagged") or 0),
        str(row.get("player")),
        str(row.get("season")),
    )
