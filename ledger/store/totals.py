"""Season totals: one line a player, league, season, team and shot; the first that says it counts.

Every row is kept, also one that says the same or contradicts, so that it counts by itself when the
first is taken back.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from ledger.store import bulk, frames, identity
from ledger.store.batch import REFUSED, Taken
from ledger.store.identity import Found
from ledger.store.incoming import refusals
from ledger.store.names import written_form
from ledger.store.persons import carry_out, players
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

_KEY = ["person_id", "team_id", "league_id", "season_id", "shot"]


def commit_totals(
    con: DuckDBPyConnection, hand: Hand, frame: pl.DataFrame, source_id: int
) -> Taken:
    """Bring season totals in."""
    found = Found()
    frame = identity.leagues(con, frame, source_id, found)
    frame = identity.seasons(con, frame, found)
    if "team" in frame.columns:
        frame = identity.teams(con, frame, {"team": "team_id"}, source_id, found)
    else:
        frame = frame.with_columns(pl.lit(None, pl.Int32).alias("team_id"))
    frame, refused = _without_doubt(con, frame)
    frame, splits = players(con, frame, source_id, found)
    carry_out(con, hand, splits, source_id)
    shot = (
        pl.col("shot").fill_null("free_throw") if "shot" in frame.columns else pl.lit("free_throw")
    )
    frame = frame.with_columns(shot.alias("shot"))
    first = bulk.next_id(con, "total")
    rows = frame.select(
        pl.int_range(first, first + pl.len(), dtype=pl.Int64).alias("id"),
        *("player_id", "team_id", "league_id", "season_id", "shot", "made", "attempts", "line"),
        pl.lit(source_id, pl.Int32).alias("source_id"),
    )
    frames.pour(con, ("commit/totals", "add"), rows)
    lines = _settle(con, rows.select("player_id").unique(), source_id)
    warnings = (*found.warnings, *_twice(frame))
    return Taken(lines=lines, refused=refused, new=found.new, warnings=warnings)


def _twice(frame: pl.DataFrame) -> list[str]:
    """A warning of rows that are the sum of the same player's rows for his teams."""
    if "team" not in frame.columns:
        return []
    who = ["person_id", "league_id", "season_id", "shot"]
    counts = ("made", "attempts")
    teams = frame.filter(pl.col("team_id").is_not_null())
    summed = teams.with_columns(
        pl.len().over(who).alias("rows"),
        *((pl.col(n).sum().over(who) == 2 * pl.col(n)).alias(f"{n}_twice") for n in counts),
    ).filter(pl.col("rows") > 2, pl.col("attempts") > 0, "made_twice", "attempts_twice")
    if summed.is_empty():
        return []
    named = ", ".join(summed["team"].unique(maintain_order=True).head(3))
    lines = ", ".join(map(str, summed["line"].head(5)))
    more = f" and {len(summed) - 5} more" if len(summed) > 5 else ""
    return [
        f"rows of {named} are the sum of the same player's other rows and count him twice: leave "
        f"them out (line {lines}{more})"
    ]


def rederive_totals(con: DuckDBPyConnection, source_id: int) -> None:
    """Let the totals of the players of a source that was taken or brought back count anew."""
    people = frames.fetch(con, ("commit/totals", "players_of"), {"source_id": source_id})
    if len(people):
        _settle(con, people, source_id)


def recount(con: DuckDBPyConnection, people: pl.DataFrame) -> None:
    """Let the totals of some players (`player_id`) count anew."""
    if len(people):
        _settle(con, people, 0)


def _settle(con: DuckDBPyConnection, people: pl.DataFrame, source_id: int) -> pl.DataFrame:
    """Let the first live row of each key count; what became of the rows of one source."""
    ranked = frames.fetch(con, ("commit/totals", "ranked"), wanted=people)
    if len(ranked):
        frames.run(con, ("commit/totals", "show"), incoming=ranked.select("id", "counts"))
    outcome = (
        pl.when("counts")
        .then(pl.lit("stored"))
        .when("same")
        .then(pl.lit("already_there"))
        .otherwise(pl.lit("contradicting"))
    )
    own = ranked.filter(pl.col("source_id") == source_id)
    return own.select(pl.col("line").cast(pl.Int32), outcome.alias("outcome"))


def _without_doubt(
    con: DuckDBPyConnection, frame: pl.DataFrame
) -> tuple[pl.DataFrame, pl.DataFrame]:
    """Refuse rows without a team whose name is several players of the league."""
    teamless = frame.filter(pl.col("team_id").is_null())
    if teamless.is_empty():
        return frame, pl.DataFrame(schema=REFUSED)
    wanted = teamless.select("league_id").unique()
    known = frames.fetch(con, ("commit/identity", "players"), wanted=wanted)
    several = {
        (league, form)
        for league, form, n in known.group_by("league_id", "normal_form")
        .agg(pl.col("person_id").n_unique())
        .iter_rows()
        if n > 1
    }
    forms = [written_form(n) for n in teamless["player"]]
    bad = [pair in several for pair in zip(teamless["league_id"], forms, strict=True)]
    doubt = teamless.filter(pl.Series(bad, dtype=pl.Boolean))
    if doubt.is_empty():
        return frame, pl.DataFrame(schema=REFUSED)
    fix = "several players of this league have the name: give the team"
    refused = refusals(doubt, "player", pl.col("player"), "several_players", fix)
    return frame.join(doubt.select("line"), on="line", how="anti", maintain_order="left"), refused


def count(con: DuckDBPyConnection, source_id: int) -> int:
    """How many totals of a source count."""
    row = con.execute(sql("commit/totals", "count"), {"source_id": source_id}).fetchone()
    return int(row[0]) if row else 0
