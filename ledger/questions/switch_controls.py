"""Those who changed nothing: who started as badly, and how the league moved meanwhile."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

import numpy as np
import polars as pl

from ledger.questions.player_seasons import LEAGUE_SEASON
from ledger.stats.before_after import LEAST_ATTEMPTS, Before, Drift, Gain, size
from ledger.stats.mantel_haenszel import odds_ratio

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from ledger.questions.switch_effects import Sides

    Counts = NDArray[np.int64]

_ALIKE = 0.05
LEAST_CONTROLS = 10


@dataclass(frozen=True, slots=True)
class Placebo:
    """Players who started as badly and changed nothing, and how many rose as much."""

    players: int
    as_much: int


@dataclass(frozen=True, slots=True)
class Moved:
    """How those who changed nothing moved meanwhile, and the gain beyond it.

    Attributes:
        controls: players with attempts on both sides.
        odds_ratio: after over before, pooled over them.
        low: lower limit.
        high: upper limit.
        gain: the gain with the drift taken out; None below ten controls.
    """

    controls: int
    odds_ratio: float | None
    low: float | None
    high: float | None
    gain: Gain | None


@dataclass(frozen=True, slots=True, eq=False)
class Others:
    """Makes and attempts of those who changed nothing, before and after somebody's range.

    Attributes:
        made_before: by player, as are the other three; each has attempts on both sides.
    """

    made_before: Counts
    attempts_before: Counts
    made_after: Counts
    attempts_after: Counts


class Days:
    """What everybody made on each day, looked up by league-season.

    Args:
        days: `league_id, season_id, person_id, date, attempts, made`.
        changed: everybody with a change, who is no control.
    """

    def __init__(self, days: pl.DataFrame, changed: Collection[int]) -> None:
        kept = days.filter(~pl.col("person_id").is_in(list(changed)))
        self._parts = {
            (int(key[0]), int(key[1])): (
                part["person_id"].to_numpy(),
                part["date"].to_numpy(),
                part["made"].to_numpy(),
                part["attempts"].to_numpy(),
            )
            for key, part in kept.partition_by(LEAGUE_SEASON, as_dict=True).items()
        }
        self._size = int(kept["person_id"].to_numpy().max(initial=0)) + 1

    def others(self, side: Sides) -> Others:
        """Those who changed nothing, on the two sides of a change, in his league-seasons."""
        low = np.datetime64(side.day_low or date.min)
        high = np.datetime64(side.day_high or date.max)
        before, after = np.zeros((2, self._size)), np.zeros((2, self._size))
        for key in side.before.select(LEAGUE_SEASON).iter_rows():
            self._add(before, key, before=low)
        for key in side.after.select(LEAGUE_SEASON).iter_rows():
            self._add(after, key, after=high)
        both = (before[1] > 0) & (after[1] > 0)
        return Others(*(side[both].astype(np.int64) for side in (*before, *after)))

    def _add(
        self,
        sums: NDArray[np.float64],
        key: tuple[int, int],
        *,
        before: np.datetime64 | None = None,
        after: np.datetime64 | None = None,
    ) -> None:
        if key not in self._parts:
            return
        person, day, *counts = self._parts[key]
        rows = day <= before if before is not None else day >= after
        for row, values in zip(sums, counts, strict=True):
            row += np.bincount(person[rows], values[rows], minlength=self._size)


def placebo(side: Sides, controls: Others) -> Placebo:
    """Of those who started within 5 per 100 of him and changed nothing, who rose as much."""
    enough = (controls.attempts_before >= LEAST_ATTEMPTS) & (
        controls.attempts_after >= LEAST_ATTEMPTS
    )
    start = controls.made_before[enough] / controls.attempts_before[enough]
    rise = controls.made_after[enough] / controls.attempts_after[enough] - start
    rise = rise[np.abs(start - side.made_before / side.attempts_before) <= _ALIKE + 1e-12]
    as_much = rise >= side.raw - 1e-12 if side.raw >= 0 else rise <= side.raw + 1e-12
    return Placebo(len(rise), int(as_much.sum()))


def moved(side: Sides, controls: Others, before: Before) -> Moved:
    """The gain with the drift of the league taken out."""
    players = len(controls.made_after)
    if players < LEAST_CONTROLS:
        return Moved(players, None, None, None, None)
    k, n = controls.made_after, controls.attempts_after
    k0, n0 = controls.made_before, controls.attempts_before
    pooled = odds_ratio(k, n - k, k0, n0 - k0)
    if not np.isfinite(pooled.error):
        return Moved(players, None, None, None, None)
    drift = Drift(pooled.log_odds_ratio, pooled.error)
    gain = size(before, side.made_after, side.attempts_after, drift)
    return Moved(players, pooled.odds_ratio, pooled.low, pooled.high, gain)
