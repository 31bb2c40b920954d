"""What a batch of attempts or box rows says, as records with ids."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

import polars as pl

from ledger.store import frames, identity, joined, lookalikes
from ledger.store.batch import REFUSED
from ledger.store.games import games
from ledger.store.identity import Found
from ledger.store.persons import carry_out, players
from ledger.store.practice import practice_allowed
from ledger.store.records import RECORD, TAG, TAG_SAYS, clock_order, complete

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

# Nobody takes more attempts of one kind in a game; common practice, no source.
_MOST_IN_A_GAME = 200
_TEAMS = {
    "team": "team_id",
    "opponent": "opponent_id",
    "home": "home_team_id",
    "away": "away_team_id",
}
_NAMED = {"clock": "clock_s", "order": "given_order", "attempt_id": "file_id"}


@dataclass(slots=True)
class Records:
    """The records of a batch.

    Attributes:
        frame: `rec`, `line`, `league_id`, `person_id`, `attempt_id` (null) and a record's columns.
        refused: rows that only now turn out to be wrong, `REFUSED` columns.
        skipped: how many rows hold no attempt.
        found: what was added for them.
    """

    frame: pl.DataFrame
    refused: pl.DataFrame
    skipped: int = 0
    found: Found = field(default_factory=Found)


def refusals(
    rows: pl.DataFrame, column: str, value: pl.Expr, reason: str, fix: str
) -> pl.DataFrame:
    """Rows refused for one reason."""
    return rows.select(
        "line",
        pl.lit(column).alias("column"),
        value.cast(pl.String).alias("value"),
        pl.lit(reason).alias("reason"),
        pl.lit(fix).alias("fix"),
    ).cast(pl.Schema(REFUSED))


def read_attempts(
    con: DuckDBPyConnection,
    hand: Hand,
    frame: pl.DataFrame,
    source_id: int,
    *,
    tagger: str | None,
    now: datetime,
) -> Records:
    """The records of an attempts file; names are looked up and new ones added."""
    frame, refused = _without_broken_trips(frame)
    frame, unasked = practice_allowed(con, frame)
    refused = pl.concat([refused, unasked])
    found = Found()
    frame = frame.rename({a: b for a, b in _NAMED.items() if a in frame.columns})
    frame = placed(con, hand, frame, source_id, found)
    frame = tagged(con, frame, tagger or hand.who, now)
    frame = complete(frame, RECORD).with_columns(
        pl.col("shot").fill_null("free_throw"), pl.col("trip_derived").fill_null(False)
    )
    frame = _ordered(frame)
    return Records(_numbered(frame), refused, 0, found)


def read_box(con: DuckDBPyConnection, hand: Hand, frame: pl.DataFrame, source_id: int) -> Records:
    """The records of box rows: `7 of 9` becomes nine, seven of them made, their order unknown."""
    many = frame.filter(pl.col("attempts") > _MOST_IN_A_GAME)
    refused = refusals(
        many, "attempts", pl.col("attempts"), "out_of_bounds",
        f"more than {_MOST_IN_A_GAME} attempts in one game: check it, or type --as totals",
    )  # fmt: skip
    # A row of two sides is refused whole.
    frame = frame.join(many.select("line"), on="line", how="anti", maintain_order="left")
    frame, unasked = practice_allowed(con, frame)
    refused = pl.concat([refused, unasked])
    empty = frame.filter(pl.col("attempts") == 0)
    frame = frame.filter(pl.col("attempts") > 0)
    found = Found()
    frame = placed(con, hand, frame, source_id, found)
    frame = (
        frame.with_columns(pl.int_ranges(0, pl.col("attempts")).alias("k"))
        .explode("k", empty_as_null=True)
        .with_columns((pl.col("k") < pl.col("made")).alias("made"))
    )
    frame = complete(frame, RECORD).with_columns(
        pl.col("shot").fill_null("free_throw"), pl.lit(False).alias("trip_derived")
    )
    return Records(_numbered(frame), refused, len(empty), found)


def tagged(con: DuckDBPyConnection, frame: pl.DataFrame, who: str, now: datetime) -> pl.DataFrame:
    """The frame with the tag columns of records; `tagger` only where there is a tag."""
    if "technique" in frame.columns:
        known = frames.fetch(con, ("commit/records", "technique_ids"))
        names = pl.Series(known["name"], dtype=pl.String)
        frame = frame.with_columns(
            pl.col("technique")
            .replace_strict(names, known["id"].cast(pl.Int32), default=None, return_dtype=pl.Int32)
            .alias("technique_id")
        )
    said = [pl.col(n).is_not_null() for n in TAG_SAYS if n in frame.columns]
    said += [pl.col(n).fill_null(False) for n in ("unclear", "adjudicated") if n in frame.columns]
    if not said:
        return frame.drop([n for n in ("tagger", *TAG) if n in frame.columns])
    any_said = pl.any_horizontal(said)
    name = pl.col("tagger").fill_null(who) if "tagger" in frame.columns else pl.lit(who)
    return frame.with_columns(
        pl.when(any_said).then(name).alias("tagger"),
        pl.when(any_said).then(pl.lit(now, pl.Datetime("us"))).alias("tagged_at"),
        *[
            pl.when(any_said)
            .then(pl.col(n).fill_null(False) if n in frame.columns else False)
            .alias(n)
            for n in ("unclear", "adjudicated")
        ],
        *[pl.when(any_said).then(pl.col("picked_for")).alias("picked_for")]
        if "picked_for" in frame.columns
        else [],
    )


def _without_broken_trips(frame: pl.DataFrame) -> tuple[pl.DataFrame, pl.DataFrame]:
    if not {"trip_shot", "trip_of"} <= set(frame.columns):
        return frame, pl.DataFrame(schema=REFUSED)
    broken = (pl.col("trip_shot") > pl.col("trip_of")).fill_null(False)
    bad = frame.filter(broken)
    if bad.is_empty():
        return frame, pl.DataFrame(schema=REFUSED)
    value = pl.format("{} of {}", "trip_shot", "trip_of")
    fix = "trip_shot cannot be above trip_of: check the two columns"
    rest = frame.join(bad.select("line"), on="line", how="anti", maintain_order="left")
    return rest, refusals(bad, "trip_shot", value, "out_of_bounds", fix)


def placed(
    con: DuckDBPyConnection, hand: Hand, frame: pl.DataFrame, source_id: int, found: Found
) -> pl.DataFrame:
    """The frame with ids of league, season, teams, game and player."""
    frame = identity.leagues(con, frame, source_id, found)
    frame = identity.seasons(con, frame, found)
    frame = identity.teams(con, frame, _TEAMS, source_id, found)
    if "game" not in frame.columns:
        frame = frame.with_columns(pl.lit(None, pl.String).alias("game"))
    frame = games(con, hand, frame, source_id, found)
    before = set(_player_names(con, frame))
    frame, splits = players(con, frame, source_id, found)
    carry_out(con, hand, splits, source_id)
    fresh = [n for n in frame["player"].unique(maintain_order=True).to_list() if n not in before]
    if before or len(fresh) < lookalikes.NAMES_MOST:
        found.warnings += lookalikes.doubtful(con, frame.select("league_id").unique(), fresh)
    return _opponents(frame, joined.ones(con).over(frame), found)


def _player_names(con: DuckDBPyConnection, frame: pl.DataFrame) -> list[str]:
    wanted = frame.select("league_id").unique()
    listed = frames.fetch(con, ("commit/identity", "players"), wanted=wanted)
    return listed["as_written"].to_list()


def _opponents(frame: pl.DataFrame, meant: pl.DataFrame, found: Found) -> pl.DataFrame:
    """Check the teams of each row against each other; the opponent follows from home and away.

    `meant` is the same frame with the team that stands for all that are one in place of each.
    """
    columns = set(frame.columns)
    if "opponent_id" in columns:
        itself = meant.filter(pl.col("team_id") == pl.col("opponent_id"))
        _warn(found, itself, "name the same team as team and opponent")
    if {"home_team_id", "away_team_id"} <= columns:
        home, away = pl.col("home_team_id"), pl.col("away_team_id")
        both = home.is_not_null() & away.is_not_null()
        ours = pl.col("team_id")
        outside = meant.filter(both & (ours != home) & (ours != away))
        _warn(found, outside, "have a team that is neither home nor away")
        is_home, is_away = meant.select((ours == home).alias("h"), (ours == away).alias("a"))
        facing = pl.when(is_home).then(away).when(is_away).then(home)
        other = pl.when(both & (home != away)).then(facing).cast(pl.Int32)
        told = pl.coalesce("opponent_id", other) if "opponent_id" in columns else other
        frame = frame.with_columns(told.alias("opponent_id"))
    return frame


def _warn(found: Found, rows: pl.DataFrame, what: str) -> None:
    if len(rows):
        lines = ", ".join(map(str, rows["line"].head(5)))
        more = f" and {len(rows) - 5} more" if len(rows) > 5 else ""
        found.warnings.append(f"{len(rows)} rows {what} (line {lines}{more})")


def _ordered(frame: pl.DataFrame) -> pl.DataFrame:
    """Places in the game, only where every row of the game gives what they are made from."""
    numbered = pl.lit(False)
    if frame["given_order"].null_count() < len(frame):
        numbered = pl.col("given_order").is_not_null().all().over("game_id")
        if not frame["given_order"].null_count():
            return frame
    frame = frame.with_columns(pl.when(numbered).then("given_order").alias("given_order"))
    timed = pl.col("period").is_not_null() & pl.col("clock_s").is_not_null()
    if frame["clock_s"].null_count() == len(frame):
        return frame
    return frame.with_columns(
        pl.when(timed.all().over("game_id") & pl.col("given_order").is_null())
        .then(clock_order(frame))
        .alias("clock_order")
    )


def _numbered(frame: pl.DataFrame) -> pl.DataFrame:
    return frame.select(
        pl.int_range(pl.len(), dtype=pl.Int64).alias("rec"),
        *("line", "league_id", "person_id"),
        pl.lit(None, pl.Int64).alias("attempt_id"),
        *RECORD,
    )
