"""The two sides of each change, and what is known of a player's rate before it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

import numpy as np
import polars as pl

from ledger.questions import level
from ledger.questions.player_seasons import LEAGUE_SEASON, PERSON_SEASON
from ledger.stats.before_after import LEAST_ATTEMPTS, Before
from ledger.stats.beta_binomial import combine_seasons

if TYPE_CHECKING:
    from ledger.questions.switch_finding import Sequence as Games
    from ledger.questions.switch_finding import Switch

_SUMMER = 10


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
        day: day of the first game after the likeliest place; None where there is no such day.
        day_why: why there is none.
        day_low: last game before the range.
        day_high: first game after it; None where none follows.
        before: `league_id, season_id, made, attempts` of the side before, a row a league-season.
        earlier: the same over all seasons before the change; empty where there are no others.
        after: the same of the side behind the range, in the season of the change.
        attempts: all his attempts here.
        tagged: watched attempts of them.
        left_out: attempts inside the range.
        later: attempts after those of the side after: of later seasons, or beyond his next change.
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
    day_why: str | None
    day_low: date | None
    day_high: date | None
    before: pl.DataFrame
    earlier: pl.DataFrame
    after: pl.DataFrame
    attempts: int
    tagged: int
    left_out: int
    later: int
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
    def made_after(self) -> int:
        """Makes behind the range."""
        return int(self.after["made"].sum())

    @property
    def attempts_after(self) -> int:
        """Attempts behind the range."""
        return int(self.after["attempts"].sum())

    @property
    def moved_league(self) -> bool:
        """Whether the two sides have no league in common."""
        return not set(self.before["league_id"]) & set(self.after["league_id"])

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


def sides(switch: Switch, games: Games) -> Sides:
    """The two sides of a change.

    The season of the change is that of the first game behind the range. Its games in any league
    are one side; before its tenth attempt the side before is last season with what there is.
    """
    rows = games.frame
    at = rows.row(min(switch.last, rows.height - 1), named=True)
    own = pl.col("season_id") == at["season_id"]
    before = rows.slice(switch.begin, max(switch.first - switch.begin, 0))
    after = rows.slice(switch.last, max(switch.end - switch.last, 0)).filter(own)
    started = int(rows.head(switch.first).filter(own)["attempts"].sum())
    seasons_ago = before.filter(~own)
    over_summer = started < _SUMMER and seasons_ago.height > 0
    side = before.filter(own)
    if over_summer:
        side = pl.concat([_last_season(seasons_ago), side])
    more = before.join(side, on=LEAGUE_SEASON, how="anti").height > 0
    day, why = _day(switch, rows, at["season_id"])
    return Sides(
        switch=switch,
        player=games.player,
        league_id=at["league_id"],
        season_id=at["season_id"],
        league=at["league"],
        season=at["season"],
        start_year=at["start_year"],
        team=at["team"],
        day=day,
        day_why=why,
        day_low=rows.row(switch.first - 1, named=True)["date"] if switch.first else None,
        day_high=at["date"] if switch.last < rows.height else None,
        before=_summed(side),
        earlier=_summed(before if more else before.clear()),
        after=_summed(after),
        attempts=int(rows["attempts"].sum()),
        tagged=games.tagged,
        left_out=int(rows.slice(switch.first, switch.last - switch.first)["attempts"].sum()),
        later=int(rows.slice(switch.last)["attempts"].sum()) - int(after["attempts"].sum()),
        over_summer=over_summer,
    )


def _day(switch: Switch, rows: pl.DataFrame, season_id: int) -> tuple[date | None, str | None]:
    """The first game after the likeliest place, or why there is no such day."""
    if switch.shape == "gradual":
        return None, "gradual: no date is given"
    if switch.place >= rows.height:
        return None, "no game follows it"
    at = rows.row(switch.place, named=True)
    if at["season_id"] != season_id:
        return None, "seasons between were not watched: no date is given"
    return at["date"], None


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
        changed: all changes that were found or declared, of whichever cohort.

    Returns:
        As `level.fit`.
    """
    named = [*LEAGUE_SEASON, "league", "season", "person_id"]
    people = whole.group_by(named, maintain_order=True).agg(
        pl.col("made").sum(), pl.col("attempts").sum()
    )
    after = pl.concat(
        [
            one.after.with_columns(
                pl.lit(one.switch.person_id, dtype=people.schema["person_id"]).alias("person_id")
            )
            for one in changed
        ]
    )
    gone = after.group_by(PERSON_SEASON).agg(pl.col("made", "attempts").sum().name.suffix("_after"))
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
