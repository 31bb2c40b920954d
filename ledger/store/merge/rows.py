"""The other ledger's attempts and tags as rows of files: names for numbers, a line for each."""

from __future__ import annotations

from dataclasses import dataclass

import polars as pl

from ledger.store.batch import REFUSED
from ledger.store.incoming import refusals
from ledger.store.merge.bounds import within
from ledger.store.merge.spelling import Spelling, Tables
from ledger.store.records import CLOCK_ORDERS_FROM

_ATTEMPT = (
    *("period", "shot", "spot", "x_m", "y_m", "trip_shot", "trip_of", "trip_kind"),
    *("trip_derived", "ended_by", "made", "rebound_by"),
)
_TAG = (
    *("tagger", "tagged_at", "technique", "technique_as_written", "first_contact"),
    *("contact_height", "contact_side", "down_at_board", "release_angle_deg", "backspin"),
    *("miss_depth", "miss_side", "rebound_zone", "rebound_x_m", "rebound_y_m", "confidence"),
    *("adjudicated", "unclear", "picked_for", "video_s", "note"),
)
_NO_ATTEMPT = "its attempt was not taken: see there"


@dataclass(frozen=True, slots=True)
class Rows:
    """What comes in, a line each.

    Attributes:
        attempts: `line`, `their_attempt` and `their_player` (the numbers there), and the columns of
            a file of attempts; where places in the game are not known also a tag.
        tags: `line`, `their_attempt`, and the columns of a tag.
        refused: rows that no file could have brought, `REFUSED` columns.
        drawn_from: tags from this line on are of players drawn by lot.
        box_lines: lines that a box score told of.
        count: how many lines there are.
    """

    attempts: pl.DataFrame
    tags: pl.DataFrame
    refused: pl.DataFrame
    drawn_from: int | None
    box_lines: pl.Series
    count: int


def rows_of(
    other: Tables, spelling: Spelling, foreign: dict[str, str], boxed: pl.DataFrame
) -> Rows:
    """The live attempts and tags of the other ledger.

    Args:
        other: its tables.
        spelling: what its things are called here.
        foreign: techniques that mean something else there, with what to do about it.
        boxed: attempts (`their_attempt`) that a box score told of.
    """
    attempts = _attempts(other, spelling, boxed)
    tags = _tags(other).join(attempts, on="their_attempt", how="semi")
    barred = tags.filter(pl.col("technique").is_in(list(foreign)))
    tags = tags.join(barred, on="their_tag", how="anti", maintain_order="left")
    loose = _loose(attempts)
    first = tags.join(loose, on="their_attempt", how="semi").unique(
        "their_attempt", keep="first", maintain_order=True
    )
    attempts = attempts.join(
        first.select("their_attempt", "drawn", *_TAG),
        on="their_attempt",
        how="left",
        maintain_order="left",
    ).with_columns(pl.col("drawn").fill_null(False))
    tags = tags.join(first, on="their_tag", how="anti", maintain_order="left")
    attempts, tags, barred = _numbered(attempts, tags, barred)
    drawn = pl.concat([f.filter("drawn").select("line") for f in (attempts, tags, barred)])
    count = len(attempts) + len(tags) + len(barred)
    box_lines = attempts.filter("boxed")["line"]
    attempts, tags = attempts.drop("boxed"), tags.drop("boxed")
    fixes = barred.with_columns(pl.col("technique").replace_strict(foreign).alias("fix"))
    good, bad = within(attempts, ("attempts", "tags"))
    fit, unfit = within(tags, ("tags",))
    here = fit.join(good, on="their_attempt", how="semi")
    lost = fit.join(good, on="their_attempt", how="anti")
    refused = [
        bad,
        unfit,
        refusals(lost, "attempt_id", pl.col("their_attempt"), "no_such_attempt", _NO_ATTEMPT),
        fixes.select(
            "line",
            pl.lit("technique").alias("column"),
            pl.col("technique").alias("value"),
            pl.lit("other_meaning").alias("reason"),
            "fix",
        ).cast(pl.Schema(REFUSED)),
    ]
    first_drawn = drawn["line"].min()
    return Rows(
        attempts=good,
        tags=here,
        refused=pl.concat(refused).sort("line"),
        drawn_from=int(str(first_drawn)) if first_drawn is not None else None,
        box_lines=box_lines,
        count=count,
    )


def _attempts(other: Tables, spelling: Spelling, boxed: pl.DataFrame) -> pl.DataFrame:
    live = other["attempt"].filter(~pl.col("removed")).sort("id")
    order = pl.col("order_in_game")
    made_up = order >= CLOCK_ORDERS_FROM
    team = _named(spelling.teams)
    return (
        live.select(
            *_ATTEMPT,
            pl.col("game_id").alias("their_game"),
            *("team_id", "opponent_id"),
            pl.col("id").alias("their_attempt"),
            pl.col("id").is_in(boxed["their_attempt"].implode()).alias("boxed"),
            pl.col("player_id").alias("their_player"),
            pl.col("clock_s").alias("clock"),
            pl.when(~made_up).then(order).alias("order"),
            pl.when(made_up).then(order).alias("clock_order"),
            pl.col("file_id").alias("attempt_id"),
        )
        .join(_games(other, spelling), on="their_game", maintain_order="left")
        .join(team.rename({"name": "team"}), on="team_id", maintain_order="left")
        .join(
            team.rename({"team_id": "opponent_id", "name": "opponent"}),
            on="opponent_id",
            how="left",
            maintain_order="left",
        )
        .join(
            _named(spelling.players, "their_player").rename({"name": "player"}),
            on="their_player",
            maintain_order="left",
        )
        .drop("team_id", "opponent_id")
    )


def _games(other: Tables, spelling: Spelling) -> pl.DataFrame:
    team = _named(spelling.teams)
    games = other["game"].select(
        pl.col("id").alias("their_game"),
        *("league_id", "season_id", "date", "stage", "home_team_id", "away_team_id"),
        pl.col("label").alias("game"),
    )
    if spelling.games:
        moved = pl.DataFrame(
            [(n, day, label) for n, (day, label) in spelling.games.items()],
            schema={"their_game": pl.Int32, "day": pl.Date, "called": pl.String},
            orient="row",
        )
        games = games.join(moved, on="their_game", how="left", maintain_order="left")
        here = pl.col("day").is_not_null()
        games = games.with_columns(
            pl.coalesce("day", "date").alias("date"),
            pl.when(here).then("called").otherwise("game").alias("game"),
        ).drop("day", "called")
    for side in ("home", "away"):
        names = team.rename({"team_id": f"{side}_team_id", "name": side})
        games = games.join(names, on=f"{side}_team_id", how="left", maintain_order="left")
    seasons = other["season"].select(
        pl.col("id").alias("season_id"),
        pl.col("label").alias("season"),
        pl.col("normal_form").alias("season_key"),
        "start_year",
    )
    leagues = _named(spelling.leagues, "league_id").rename({"name": "league"})
    return (
        games.join(leagues, on="league_id")
        .join(seasons, on="season_id")
        .drop("league_id", "season_id", "home_team_id", "away_team_id")
    )


def _tags(other: Tables) -> pl.DataFrame:
    techniques = other["technique"].select(
        pl.col("id").alias("technique_id"), pl.col("name").alias("technique")
    )
    sources = other["source"].select(pl.col("id").alias("source_id"), "drawn")
    live = other["tag"].filter(~pl.col("removed")).sort("id")
    return (
        live.join(techniques, on="technique_id", how="left", maintain_order="left")
        .join(sources, on="source_id", maintain_order="left")
        .select(
            pl.col("id").alias("their_tag"),
            pl.col("attempt_id").alias("their_attempt"),
            "drawn",
            pl.lit(False).alias("boxed"),
            *_TAG,
        )
    )


def _loose(attempts: pl.DataFrame) -> pl.DataFrame:
    """Attempts of games in which some place is not known: a tag helps to tell them apart."""
    timed = pl.col("period").is_not_null() & pl.col("clock").is_not_null()
    known = (pl.col("order").is_not_null() | timed).all().over("their_game")
    return attempts.filter(~known).select("their_attempt")


def _numbered(
    attempts: pl.DataFrame, tags: pl.DataFrame, barred: pl.DataFrame
) -> tuple[pl.DataFrame, pl.DataFrame, pl.DataFrame]:
    """A line for each, those of players drawn by lot last; those of a box score together."""
    parts = (attempts, tags, barred)
    places = pl.concat(
        [
            part.select("drawn", "boxed", pl.lit(n).alias("part")).with_row_index("place")
            for n, part in enumerate(parts)
        ]
    ).sort("drawn", "part", "boxed", "place")
    places = places.with_columns(pl.int_range(1, pl.len() + 1, dtype=pl.Int32).alias("line"))
    out = []
    for n, part in enumerate(parts):
        lines = places.filter(pl.col("part") == n).sort("place")["line"]
        out.append(part.with_columns(lines))
    return out[0], out[1], out[2]


def _named(names: dict[int, str], column: str = "team_id") -> pl.DataFrame:
    return pl.DataFrame(
        {column: list(names), "name": list(names.values())},
        schema={column: pl.Int32, "name": pl.String},
    )
