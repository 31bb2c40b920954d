"""What each change did: makes before and after it, and the gain with the bad start taken out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

import numpy as np
import polars as pl

from ledger.questions import level
from ledger.questions.player_seasons import LEAGUE_SEASON, PERSON_SEASON
from ledger.stats.before_after import LEAST_ATTEMPTS, Before, Drift, Gain, size
from ledger.stats.beta_binomial import combine_seasons
from ledger.stats.mantel_haenszel import odds_ratio

if TYPE_CHECKING:
    from ledger.questions.switch_finding import Sequence as Games
    from ledger.questions.switch_finding import Switch

_SUMMER = 10
_ALIKE = 0.05
LEAST_CONTROLS = 10


@dataclass(frozen=True, slots=True, eq=False)
class Sides:
    """The attempts on the two sides of a change.

    Attributes:
        switch: the change.
        player: who.
        league_id: league of the season he changed in.
        season_id: that season.
        league: its name.
        season: its label.
        start_year: the year it begins in.
        team: of the first game after the change.
        day: day of the first game after the likeliest place; None where the change is gradual.
        day_low: last game before the range.
        day_high: first game after it.
        before: `league_id, season_id, made, attempts` of the side before, a row a league-season.
        earlier: the same over all seasons before the change; empty where there are no others.
        made_after: makes behind the range, in the season of the change.
        attempts_after: attempts there.
        left_out: attempts inside the range.
        over_summer: the change lies before the season's tenth attempt.
    """

    switch: Switch
    player: str
    league_id: int
    season_id: int
    league: str
    season: str
    start_year: int
    team: str
    day: date | None
    day_low: date | None
    day_high: date
    before: pl.DataFrame
    earlier: pl.DataFrame
    made_after: int
    attempts_after: int
    left_out: int
    over_summer: bool

    @property
    def made_before(self) -> int:
        """Makes before the range."""
        return int(self.before["made"].sum())

    @property
    def attempts_before(self) -> int:
        """Attempts before the range."""
        return int(self.before["attempts"].sum())

    @property
    def raw(self) -> float:
        """The rate after it less the rate before, luck and bad start included."""
        return self.made_after / self.attempts_after - self.made_before / self.attempts_before

    @property
    def why(self) -> str | None:
        """Why the change cannot be judged."""
        after, before = self.attempts_after, self.attempts_before
        if after < LEAST_ATTEMPTS:
            since = "attempt" if after == 1 else "attempts"
            return f"{after} {since} since the change: not judged before {LEAST_ATTEMPTS}"
        if before < LEAST_ATTEMPTS:
            until = "attempt" if before == 1 else "attempts"
            return f"{before} {until} before the change: not judged below {LEAST_ATTEMPTS}"
        return None


def sides(switch: Switch, games: Games) -> Sides | None:
    """The two sides of a change; None where no game follows it."""
    rows = games.frame
    if switch.place >= rows.height:
        return None
    # Where whole seasons were not watched the place is anywhere among them: what follows counts.
    at = rows.row(min(switch.last, rows.height - 1), named=True)
    own = (pl.col("league_id") == at["league_id"]) & (pl.col("season_id") == at["season_id"])
    place = pl.int_range(pl.len())
    before = rows.filter((place >= switch.begin) & (place < switch.first))
    inside = rows.filter((place >= switch.first) & (place < switch.last))
    after = rows.filter((place >= switch.last) & (place < switch.end) & own)
    started = rows.filter(own & (place < switch.first))["attempts"].sum()
    over_summer = started < _SUMMER and before.height > 0 and not before.filter(~own).is_empty()
    side = before.filter(own)
    if over_summer:
        side = pl.concat([_last_season(before.filter(~own)), side])
    seasons = side.select(LEAGUE_SEASON).unique()
    more = before.join(seasons, on=LEAGUE_SEASON, how="anti").height > 0
    last = rows.row(switch.first - 1, named=True)["date"] if switch.first else None
    return Sides(
        switch=switch,
        player=games.player,
        league_id=at["league_id"],
        season_id=at["season_id"],
        league=at["league"],
        season=at["season"],
        start_year=at["start_year"],
        team=at["team"],
        day=None if switch.shape == "gradual" else rows.row(switch.place, named=True)["date"],
        day_low=last,
        day_high=at["date"],
        before=_summed(side),
        earlier=_summed(before if more else before.clear()),
        made_after=int(after["made"].sum()),
        attempts_after=int(after["attempts"].sum()),
        left_out=int(inside["attempts"].sum()),
        over_summer=over_summer,
    )


def _last_season(rows: pl.DataFrame) -> pl.DataFrame:
    """The rows of the last season that has any."""
    return rows.filter(pl.col("start_year") == pl.col("start_year").max())


def _summed(rows: pl.DataFrame) -> pl.DataFrame:
    return rows.group_by(LEAGUE_SEASON, maintain_order=True).agg(
        pl.col("made").sum(), pl.col("attempts").sum()
    )


def levels(whole: pl.DataFrame, changed: Sequence[Sides]) -> pl.DataFrame:
    """The level of each league-season, fitted without the after side of anybody who changed.

    Args:
        whole: everybody of the league-seasons, per person and team.
        changed: all changes that were found or declared.

    Returns:
        As `level.fit`.
    """
    named = [*LEAGUE_SEASON, "league", "season", "person_id"]
    people = whole.group_by(named, maintain_order=True).agg(
        pl.col("made").sum(), pl.col("attempts").sum()
    )
    after = pl.DataFrame(
        [
            (s.league_id, s.season_id, s.switch.person_id, s.made_after, s.attempts_after)
            for s in changed
        ],
        schema={
            **{name: people.schema[name] for name in PERSON_SEASON},
            "made_after": pl.Int64,
            "attempts_after": pl.Int64,
        },
        orient="row",
    )
    gone = after.group_by(PERSON_SEASON).agg(pl.col("made_after", "attempts_after").sum())
    kept = people.join(gone, on=PERSON_SEASON, how="left", maintain_order="left").with_columns(
        made=pl.col("made") - pl.col("made_after").fill_null(0),
        attempts=pl.col("attempts") - pl.col("attempts_after").fill_null(0),
    )
    return level.fit(kept)


@dataclass(frozen=True, slots=True)
class Start:
    """A player's rate before his change: Beta(a, b), and the mean of the level it was drawn to."""

    before: Before
    level: float


def start(side: pl.DataFrame, fitted: pl.DataFrame) -> Start | None:
    """The rate before a change, one talent over its league-seasons; None where one has no level.

    Args:
        side: `league_id, season_id, made, attempts`.
        fitted: from `levels`.
    """
    found = side.join(fitted.select(*LEAGUE_SEASON, "mean", "weight"), on=LEAGUE_SEASON, how="left")
    if found.is_empty() or found["mean"].null_count():
        return None
    talent = combine_seasons(
        found["mean"].to_numpy(),
        found["weight"].to_numpy(),
        found["made"].to_numpy(),
        found["attempts"].to_numpy(),
        size=1,
        rows=np.zeros(found.height, dtype=np.int64),
    )
    if np.isnan(talent.a[0]):
        return None
    return Start(Before(float(talent.a[0]), float(talent.b[0])), float(talent.prior_mean[0]))


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


def others(side: Sides, days: pl.DataFrame, changed: frozenset[int]) -> pl.DataFrame:
    """Makes and attempts of those who changed nothing, before and after somebody's range.

    Args:
        side: the change.
        days: `league_id, season_id, person_id, date, attempts, made` of everybody.
        changed: everybody with a change, who is no control.

    Returns:
        `person_id, made_before, attempts_before, made_after, attempts_after`.
    """
    before_seasons = side.before.select(LEAGUE_SEASON)
    own = (pl.col("league_id") == side.league_id) & (pl.col("season_id") == side.season_id)
    rows = days.filter(~pl.col("person_id").is_in(list(changed)))
    early = rows.join(before_seasons, on=LEAGUE_SEASON, how="semi")
    early = early.filter(pl.col("date") <= (side.day_low or date.min))
    late = rows.filter(own & (pl.col("date") >= side.day_high))
    sums = [pl.col("made").sum(), pl.col("attempts").sum()]
    return (
        early.group_by("person_id")
        .agg(sums)
        .join(late.group_by("person_id").agg(sums), on="person_id", suffix="_after")
        .rename({"made": "made_before", "attempts": "attempts_before"})
        .sort("person_id")
    )


def placebo(side: Sides, controls: pl.DataFrame) -> Placebo:
    """Of those who started within 5 per 100 of him and changed nothing, who rose as much."""
    rate = side.made_before / side.attempts_before
    enough = controls.filter(
        (pl.col("attempts_before") >= LEAST_ATTEMPTS)
        & (pl.col("attempts_after") >= LEAST_ATTEMPTS)
        & ((pl.col("made_before") / pl.col("attempts_before") - rate).abs() <= _ALIKE + 1e-12)
    )
    rise = enough.select(
        pl.col("made_after") / pl.col("attempts_after")
        - pl.col("made_before") / pl.col("attempts_before")
    ).to_series()
    as_much = rise >= side.raw - 1e-12 if side.raw >= 0 else rise <= side.raw + 1e-12
    return Placebo(enough.height, int(as_much.sum()))


def moved(side: Sides, controls: pl.DataFrame, before: Before) -> Moved:
    """The gain with the drift of the league taken out."""
    if controls.height < LEAST_CONTROLS:
        return Moved(controls.height, None, None, None, None)
    k, n = controls["made_after"].to_numpy(), controls["attempts_after"].to_numpy()
    k0, n0 = controls["made_before"].to_numpy(), controls["attempts_before"].to_numpy()
    pooled = odds_ratio(k, n - k, k0, n0 - k0)
    if not np.isfinite(pooled.error):
        return Moved(controls.height, None, None, None, None)
    drift = Drift(pooled.log_odds_ratio, pooled.error)
    gain = size(before, side.made_after, side.attempts_after, drift)
    return Moved(controls.height, pooled.odds_ratio, pooled.low, pooled.high, gain)


def by_person(players: Sequence[Games]) -> Mapping[int, Games]:
    """The games of each player by his number."""
    return {one.person_id: one for one in players}
