"""Leagues, teams and games that stand for one another, for records that are laid side by side.

Rows keep the league, team and game they came with; only where records are compared do those that
were declared one (`same`) take the number of the one that stands for all. So a join that is taken
back leaves nothing behind.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import polars as pl

from ledger.store.statements import sql

if TYPE_CHECKING:
    from collections.abc import Mapping

    from duckdb import DuckDBPyConnection

_COLUMNS = {
    "league_id": "league",
    "game_id": "game",
    "team_id": "team",
    "opponent_id": "team",
    "home_team_id": "team",
    "away_team_id": "team",
}
# What an attempt is in its own source.
_SAME = ("source_id", "game_id", "player_id", "shot", "made", "file_id", "given_order")
_IDS = ("game_id", "team_id", "opponent_id")


@dataclass(frozen=True, slots=True)
class Ones:
    """Which row stands for which other: by `league`, `team` and `game`; empty without joins."""

    of: Mapping[str, Mapping[int, int]]

    def over(self, frame: pl.DataFrame) -> pl.DataFrame:
        """The frame with the row that stands for all in place of each id it has of one."""
        changes = [
            pl.col(column).replace(dict(self.of[what])).cast(frame.schema[column])
            for column, what in _COLUMNS.items()
            if column in frame.columns and self.of[what]
        ]
        return frame.with_columns(changes) if changes else frame

    def with_others(self, games: pl.DataFrame) -> pl.DataFrame:
        """Games (`game_id`) with all that are one with any of them, each once."""
        games = games.select(pl.col("game_id").cast(pl.Int32)).unique()
        if not self.of["game"]:
            return games
        one = self.over(games)["game_id"].unique()
        more = [game for game, first in self.of["game"].items() if first in set(one)]
        added = pl.DataFrame({"game_id": [*one, *more]}, schema={"game_id": pl.Int32})
        return pl.concat([games, added]).unique()

    def alone(self, games: pl.DataFrame) -> pl.DataFrame:
        """The games (`game_id`) that are one with no other."""
        several = {*self.of["game"], *self.of["game"].values()}
        return games.filter(~pl.col("game_id").is_in(list(several)))

    def same_team(self, one: int, other: int | None) -> bool:
        """Whether two teams are one."""
        of = self.of["team"]
        return other is not None and of.get(one, one) == of.get(other, other)

    def as_written(
        self, frame: pl.DataFrame, seen: pl.DataFrame, records: pl.DataFrame
    ) -> pl.DataFrame:
        """Attempts with the ids their own records have, where these are new (`seen.new`)."""
        if not any(self.of.values()):
            return frame
        own = (
            seen.filter("new")
            .select("rec", "attempt_id")
            .join(records.select("rec", pl.col(_IDS).name.suffix("_own")), on="rec")
        )
        joined = frame.join(own, on="attempt_id", how="left", maintain_order="left")
        return joined.with_columns(pl.coalesce(f"{n}_own", n).alias(n) for n in _IDS).select(
            frame.columns
        )


def ones(con: DuckDBPyConnection) -> Ones:
    """What stands for what in a ledger."""
    found: dict[str, dict[int, int]] = {"league": {}, "team": {}, "game": {}}
    for what, own, one in con.execute(sql("commit/same", "stands_for")).fetchall():
        found[what][int(own)] = int(one)
    if found["league"] or found["team"]:
        games = con.execute(sql("commit/same", "games_of_one")).fetchall()
        found["game"] = {int(own): int(one) for own, one in games}
    return Ones(found)


class CameBack:
    """Ids for records that had an attempt of their own until they were joined with others.

    Args:
        before: the attempts of the games that are rebuilt.
        records: their records, with the ids they were written with.
    """

    def __init__(self, before: pl.DataFrame, records: pl.DataFrame) -> None:
        self._gone: dict[tuple[object, ...], list[int]] = {}
        self._key: dict[int, tuple[object, ...]] = {}
        whole = records.filter(pl.col("made").is_not_null())
        gone = before.filter("removed").join(
            whole, left_on="attempt_id", right_on="hint", how="anti"
        )
        if gone.is_empty():
            return
        self._all = gone.sort("attempt_id", descending=True).select("attempt_id", *_SAME)
        self._key = {row[0]: row[1:] for row in records.select("rec", *_SAME).iter_rows()}
        self.anew()

    def anew(self) -> None:
        """All of them may be given once more."""
        self._gone = {}
        for number, *key in self._all.iter_rows() if self._key else ():
            self._gone.setdefault(tuple(key), []).append(number)

    def of(self, rec: int) -> int | None:
        """The attempt that was a record's own and is put aside, each given once."""
        numbers = self._gone.get(self._key.get(rec, ()))
        return numbers.pop() if numbers else None


def moved(con: DuckDBPyConnection) -> dict[int, int]:
    """Attempts that a live join has made one with another: what named them means that one."""
    rows = con.execute(sql("commit/same", "moved")).fetchall()
    found = {int(own): int(one) for own, one in rows}
    for own in found:
        for _ in range(len(found)):
            if found[own] not in found:
                break
            found[own] = found[found[own]]
    return found
