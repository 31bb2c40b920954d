"""Teams that totals and games may write by two names, so that the same attempts count twice.

Totals of a team without a game beside games of a team without totals, for the same players: either
one team under two names, or a move between two teams of which one's games and the other's totals
are missing. The records cannot tell these apart, so a person is asked and nothing is joined.
"""

from __future__ import annotations

import shlex
from dataclasses import dataclass
from typing import TYPE_CHECKING

import polars as pl

from ledger.store import declared, frames
from ledger.store.chosen import Called, Facts, facts_of, typed_names
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

SEASON = ["league_id", "season_id"]
PAIR = ["total_team_id", "game_team_id"]
ROWS = {
    **dict.fromkeys((*SEASON, "person_id", *PAIR), pl.Int32),
    "attempts": pl.Int64,
}  # fmt: skip
_MOST = 5


@dataclass(frozen=True, slots=True)
class TeamPair:
    """Two names that may be one team.

    Attributes:
        total_team_id: the one with season totals and no game.
        game_team_id: the one with games and no season total.
        total_team: its name as it can be typed.
        game_team: its name as it can be typed.
        players: how many have totals for the one and games for the other.
        attempts: those of their season totals.
        seasons: those of the totals.
        total_facts: where and when the one played.
        game_facts: where, when and how often the other played.
    """

    total_team_id: int
    game_team_id: int
    total_team: str
    game_team: str
    players: int
    attempts: int
    seasons: tuple[str, ...]
    total_facts: Facts
    game_facts: Facts

    @property
    def command(self) -> str:
        """What joins the two; the name of the games is the one shown."""
        return f"offglass same --team {_quoted(self.game_team)} {_quoted(self.total_team)}"

    def why(self) -> str:
        """What speaks for it."""
        one = self.players == 1
        return (
            f"{self.players:,} {'player has' if one else 'players have'} season totals for "
            f"{self.total_team}, of which no game is known, and games for {self.game_team}, of "
            "which no season total is"
        )


def rows(con: DuckDBPyConnection) -> pl.DataFrame:
    """Each player-season that two names of a team may count twice.

    Args:
        con: any connection of the ledger.

    Returns:
        `league_id, season_id, person_id, total_team_id, game_team_id, attempts` (of the totals).
        Of several pairs that share a team the one with the most players; none told apart.
    """
    if not frames.one(con, ("reads/doubled", "any_totals")):
        return pl.DataFrame(schema=ROWS)
    found = frames.fetch(con, ("reads/doubled", "pairs")).cast(pl.Schema(ROWS))
    if found.is_empty():
        return found
    told = declared.said_apart(con, "team")
    if told:
        of = declared.Pieces(con, "team").of
        apart = [frozenset((of[a], of[b])) in told for a, b in found.select(PAIR).iter_rows()]
        found = found.filter(~pl.Series(apart, dtype=pl.Boolean))
    counted = found.with_columns(pl.len().over(*SEASON, *PAIR).alias("players"))
    # Who was traded makes a weak pair of his other team beside the strong one of all his mates.
    best = [pl.col("players") == pl.col("players").max().over(*SEASON, team) for team in PAIR]
    return counted.filter(*best).drop("players")


def pairs(con: DuckDBPyConnection, found: pl.DataFrame) -> list[TeamPair]:
    """The pairs of teams in some of the `rows`, those with the most players first."""
    if found.is_empty():
        return []
    counted = found.group_by(PAIR).agg(
        pl.col("person_id").n_unique().alias("players"),
        pl.col("attempts").sum(),
        pl.col("season_id").unique().alias("seasons"),
    )
    counted = counted.sort("players", "attempts", *PAIR, descending=[True, True, False, False])
    teams = {int(own) for both in counted.select(PAIR).iter_rows() for own in both}
    called = Called(con, "team", lambda _, one: one)
    names = _names(con, teams)
    alike = {own: called.units(names[own]) | {own} for own in teams}
    every = set().union(*alike.values())
    names |= _names(con, every - teams)
    facts = facts_of(con, "team", {own: own for own in every})
    typed = {
        own: typed_names("team", {n: names[n] for n in sorted(alike[own])}, facts, {
            n: n for n in alike[own]
        })[own]
        for own in teams
    }  # fmt: skip
    labels = _labels(con)
    return [
        TeamPair(
            total_team_id=a,
            game_team_id=b,
            total_team=typed[a],
            game_team=typed[b],
            players=players,
            attempts=attempts,
            seasons=tuple(sorted(labels[own] for own in seasons)),
            total_facts=facts.get(a, Facts()),
            game_facts=facts.get(b, Facts()),
        )
        for a, b, players, attempts, seasons in counted.iter_rows()
    ]


def said(con: DuckDBPyConnection, source_id: int, games: pl.DataFrame) -> list[str]:
    """Warnings of the league-seasons that a source tells of.

    Args:
        con: a connection inside `LedgerFile.changing`.
        source_id: the source that came in.
        games: games (`game_id`) of its attempts.
    """
    values = {"source_id": source_id}
    touched = frames.fetch(con, ("reads/doubled", "touched"), values, games=games)
    if touched.is_empty():
        return []
    found = rows(con)
    if found.is_empty():
        return []
    near = found.join(touched.cast(dict.fromkeys(SEASON, pl.Int32)), on=SEASON, how="semi")
    told = pairs(con, near)
    lines = [
        f"{pair.why()}: if the two are one team, their attempts count twice until you type "
        f"{pair.command}; if they are two, add --apart"
        for pair in told[:_MOST]
    ]
    if len(told) > _MOST:
        lines.append(
            f"{len(told) - _MOST} more such pairs of teams: offglass same --team lists them"
        )
    return lines


def _names(con: DuckDBPyConnection, teams: set[int]) -> dict[int, str]:
    wanted = pl.DataFrame({"id": sorted(teams)}, schema={"id": pl.Int32})
    named = frames.fetch(con, ("reads/doubled", "names"), wanted=wanted)
    return {int(own): str(name) for own, name in named.iter_rows()}


def _labels(con: DuckDBPyConnection) -> dict[int, str]:
    found = con.execute(sql("reads/doubled", "seasons")).fetchall()
    return {int(own): str(label) for own, label in found}


def _quoted(name: str) -> str:
    return f'"{name}"' if not set(name) & set('"\\$`!') else shlex.quote(name)
