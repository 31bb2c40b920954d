"""Who shoots best, allowing for luck?"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import polars as pl

from ledger.questions import columns, guards, level, ranking_words, states
from ledger.questions.player_seasons import (
    LEAGUE_SEASON,
    PERSON_SEASON,
    Table,
    by_person,
    gather,
    joined,
)
from ledger.questions.wording import counted
from ledger.stats.beta_binomial import TalentPosterior
from ledger.stats.intervals import wilson
from ledger.stats.rank_chance import chance_of_top, expected_rank, shared_ranks

if TYPE_CHECKING:
    from ledger.questions.answer import Answer
    from ledger.questions.inquiry import Inquiry

_KEY = {
    "shrunken": "shrunken_rate",
    "raw": "raw_rate",
    "low": "low",
    "made": "made",
    "attempts": "attempts",
}

COLUMNS = (
    columns.number_of(
        "rank", "Rank", "rank", "Place in the order asked for; equal values share it"
    ),
    columns.PLAYER,
    columns.TEAM,
    columns.LEAGUE,
    columns.SEASON,
    columns.MADE,
    columns.ATTEMPTS,
    columns.share("raw_rate", "Raw rate", "Makes of attempts, luck not allowed for"),
    columns.share("raw_low", "Raw, low", "Lower limit of the raw rate (Wilson, 95 %)"),
    columns.share("raw_high", "Raw, high", "Upper limit of the raw rate (Wilson, 95 %)"),
    columns.share(
        "shrunken_rate", "Rate allowing for luck", "Rate drawn to the common level of the season"
    ),
    columns.share("low", "Low", "Lower limit of the rate allowing for luck (95 %)"),
    columns.share("high", "High", "Upper limit of the rate allowing for luck (95 %)"),
    columns.share("top_n_chance", "Chance of top N", "Chance to be among the N highest true rates"),
    columns.figure("expected_rank", "Expected rank", "rank", "Mean rank allowing for luck"),
    columns.STATE,
    columns.share(
        "focus_share", "Share of the technique", "Of watched attempts, in the season of the state"
    ),
    columns.TAGGED,
    columns.COVERAGE,
    columns.text("rank_shown", "Rank", "The rank, with = where it is shared"),
    columns.text("seasons_shown", "Seasons", "The seasons in short: first to last from three on"),
    columns.text("state_season", "State of", "The season the state is judged on"),
    columns.number_of(
        "state_focus_tags",
        "Seen doing it",
        "attempts",
        "Of those watched in the season of the state",
    ),
    columns.number_of(
        "state_tags", "Watched for it", "attempts", "Attempts watched in the season of the state"
    ),
    columns.text("state_why", "Why no state", "Why there is no state and no share"),
    columns.text("shrunken_rate_why", "Why none", "Why there is no rate allowing for luck"),
    columns.text("top_n_chance_why", "Why no chance", "Why there is no chance of top N"),
    columns.number_of(
        "filled_attempts", "From totals", "attempts", "Attempts known from season totals only"
    ),
)


@dataclass(frozen=True, slots=True)
class Ranked:
    """A ranking before it is put into words.

    Attributes:
        rows: the rows to show, in their order.
        all_rows: how many passed `min_attempts`.
        left_out: rows below `min_attempts`.
        floor: that number of attempts.
        levels: the common levels.
        method: how chances were computed, empty where there are none.
        error: their largest error.
        no_level: the most rows a league-season without level has, or None.
    """

    rows: pl.DataFrame
    all_rows: int
    left_out: int
    floor: int
    levels: pl.DataFrame
    method: str
    error: float
    no_level: int | None


def answer(inquiry: Inquiry) -> Answer:
    """Rank players, player-seasons, teams or league-seasons of a cohort."""
    floor = inquiry.options["min_attempts"]
    floor = ranking_words.FLOORS[inquiry.options["by"]] if floor is None else floor
    inquiry = replace(inquiry, options={**inquiry.options, "min_attempts": floor})
    if inquiry.practice_only:
        empty = columns.part(COLUMNS, [])
        said = "Attempts of practice are not ranked: practice is no game."
        return inquiry.answer(said, empty, {"prior": level.part(level.fit(_NOBODY))})
    games = inquiry.games_only()
    table = gather(games)
    refusals = guards.picked_by_result(table.everybody)
    rows, dropped = _countable(games, table.rows, refusals)
    ranked = _ranked(games, rows, table, refusals)
    headline = (
        ranking_words.headline(games, ranked)
        if rows.height
        else ranking_words.nothing(games, dropped)
    )
    by_player = games.options["by"].startswith("player")
    notes = [
        *table.notes(),
        *ranking_words.notes(games, ranked),
        *(refusals.among(table.rows).notes(dropped) if by_player else []),
    ]
    parts = {"prior": level.part(ranked.levels)}
    return inquiry.answer(headline, columns.part(COLUMNS, ranked.rows), parts, notes)


_NOBODY = pl.DataFrame(
    schema={
        "league_id": pl.Int32,
        "season_id": pl.Int32,
        "league": pl.String,
        "season": pl.String,
        "person_id": pl.Int32,
        "made": pl.Int64,
        "attempts": pl.Int64,
    }
)


def _countable(
    inquiry: Inquiry, rows: pl.DataFrame, refusals: guards.Refusals
) -> tuple[pl.DataFrame, int]:
    """The rows a rate may be made from, and how many player-seasons may not."""
    rows = rows.filter(pl.col("attempts") > 0)
    if not inquiry.cohort.technique:
        return rows, 0
    kept = rows.join(refusals.players, on=PERSON_SEASON, how="anti", maintain_order="left")
    people = rows.select(PERSON_SEASON).n_unique() - kept.select(PERSON_SEASON).n_unique()
    return kept, people


def _ranked(
    inquiry: Inquiry, rows: pl.DataFrame, table: Table, refusals: guards.Refusals
) -> Ranked:
    by, floor = inquiry.options["by"], inquiry.options["min_attempts"]
    every = _entries(rows, by)
    totals = every.group_by("row").agg(pl.col("attempts").sum().alias("row_attempts"))
    enough = totals.filter(pl.col("row_attempts") >= floor)
    kept = every.join(enough.select("row"), on="row", how="semi", maintain_order="left")
    kept = kept.with_columns(row=pl.col("row").rank("dense").cast(pl.Int64) - 1)
    rows = _summed(kept)
    fitted_on = _NOBODY if by == "league-season" else table.whole
    levels = level.fit(fitted_on, "team_id" if by == "team" else "person_id")
    shrunken = level.shrink(kept, rows.height, levels)
    rows = _with_rates(rows, shrunken)
    rows = rows.with_columns(_why_raw(rows, kept, levels, by))
    rows, method, error = _with_chances(inquiry, rows, shrunken)
    rows = _with_states(rows, kept, by, table, refusals)
    rows = _ordered(rows, _order(inquiry))
    if inquiry.options["state"]:
        rows = rows.filter(pl.col("state") == inquiry.options["state"])
    missing = levels.filter(pl.col("a").is_null())
    return Ranked(
        rows=rows,
        all_rows=kept["row"].n_unique(),
        left_out=totals.height - enough.height,
        floor=floor,
        levels=levels,
        method=method,
        error=error,
        no_level=max(missing["rows"].to_list(), default=None),
    )


def _entries(rows: pl.DataFrame, by: str) -> pl.DataFrame:
    """What rows are made of: one entry per row and league-season, numbered by `row`."""
    if by in ("player", "player-season"):
        people = by_person(rows)
        key = ["person_id"] if by == "player" else list(PERSON_SEASON)
    elif by == "team":
        people = by_person(rows.filter(pl.col("team_id").is_not_null()), "team_id", "team")
        key = [*LEAGUE_SEASON, "team_id"]
    else:
        people = by_person(rows)
        key = list(LEAGUE_SEASON)
    if by in ("team", "league-season"):
        people = people.with_columns(player=pl.lit(None, dtype=pl.String))
    if by == "league-season":
        people = people.with_columns(teams=pl.lit([], dtype=pl.List(pl.String)))
    first = people.select(key).unique(maintain_order=True).with_row_index("row")
    return people.join(first, on=key, how="left", maintain_order="left").with_columns(
        pl.col("row").cast(pl.Int64)
    )


def _summed(entries: pl.DataFrame) -> pl.DataFrame:
    ordered = entries.sort("start_year", "first_date", maintain_order=True, nulls_last=True)
    listed = ordered.select("row", team="teams").explode("team")
    teams = listed.group_by("row", maintain_order=True).agg(joined("team"))
    rows = ordered.group_by("row").agg(
        pl.col("person_id").first(),
        pl.col("player").first(),
        joined("league"),
        joined("season"),
        seasons_shown=_seasons_shown(),
        league_id=pl.col("league_id").first(),
        season_id=pl.col("season_id").first(),
        **{c: pl.col(c).sum() for c in ("made", "attempts", "tagged", "filled_attempts")},
    )
    return (
        rows.join(teams, on="row", how="left", maintain_order="left")
        .sort("row")
        .with_columns(coverage=pl.col("tagged") / pl.col("attempts"))
    )


def _seasons_shown() -> pl.Expr:
    seasons = pl.col("season").unique(maintain_order=True)
    ends = pl.concat_str(seasons.first(), pl.lit(" to "), seasons.last())
    return pl.when(seasons.len() > 2).then(ends).otherwise(seasons.str.join(", "))


def _with_rates(rows: pl.DataFrame, shrunken: TalentPosterior) -> pl.DataFrame:
    raw = wilson(rows["made"].to_numpy(), rows["attempts"].to_numpy())
    return rows.with_columns(
        raw_rate=pl.col("made") / pl.col("attempts"),
        raw_low=pl.Series(raw.low, dtype=pl.Float64),
        raw_high=pl.Series(raw.high, dtype=pl.Float64),
        shrunken_rate=pl.Series(shrunken.mean, dtype=pl.Float64).fill_nan(None),
        low=pl.Series(shrunken.low, dtype=pl.Float64).fill_nan(None),
        high=pl.Series(shrunken.high, dtype=pl.Float64).fill_nan(None),
    )


def _why_raw(rows: pl.DataFrame, entries: pl.DataFrame, levels: pl.DataFrame, by: str) -> pl.Series:
    """Why a row has no rate allowing for luck: the first of its league-seasons without a level."""
    if by == "league-season":
        said_of_all = "raw rates only: a league-season is drawn to no level"
        return pl.Series("shrunken_rate_why", [said_of_all] * rows.height, dtype=pl.String)
    without = entries.join(
        levels.filter(pl.col("a").is_null()).select(*LEAGUE_SEASON, "a_why"),
        on=LEAGUE_SEASON,
        how="inner",
        maintain_order="left",
    )
    first = without.group_by("row", maintain_order=True).first()
    said = {
        row["row"]: f"{row['league']} {row['season']}: {row['a_why']}"
        for row in first.iter_rows(named=True)
    }
    why = [said.get(row) for row in rows["row"].to_list()]
    return pl.Series("shrunken_rate_why", why, dtype=pl.String)


def _with_chances(
    inquiry: Inquiry, rows: pl.DataFrame, shrunken: TalentPosterior
) -> tuple[pl.DataFrame, str, float]:
    """Chance of top N and expected rank, among the rows that have a rate allowing for luck."""
    top = inquiry.options["top"]
    there = rows["shrunken_rate"].is_not_null().to_numpy()
    a, b = shrunken.a[there], shrunken.b[there]
    found = rows.filter(pl.col("shrunken_rate").is_not_null()).select("row")
    method, error, why = "", 0.0, None
    if found.height:
        found = found.with_columns(expected_rank=pl.Series(expected_rank(a, b)))
    else:
        found = found.with_columns(expected_rank=pl.lit(None, dtype=pl.Float64))
    if top < found.height:
        chance = chance_of_top(a, b, top, seed=inquiry.options["seed"])
        method, error = chance.method, float(chance.error.max())
        found = found.with_columns(top_n_chance=pl.Series(chance.chance))
    else:
        why = f"top {top} of {counted(found.height, 'row')}: every row would be in it"
        found = found.with_columns(top_n_chance=pl.lit(None, dtype=pl.Float64))
    joined_rows = rows.join(found, on="row", how="left", maintain_order="left")
    return (
        joined_rows.with_columns(
            top_n_chance_why=pl.coalesce("shrunken_rate_why", pl.lit(why, dtype=pl.String))
        ),
        method,
        error,
    )


def _with_states(
    rows: pl.DataFrame,
    entries: pl.DataFrame,
    by: str,
    table: Table,
    refusals: guards.Refusals,
) -> pl.DataFrame:
    """State and share of the technique; judged on the whole player-season."""
    nothing = pl.lit(None, dtype=pl.String)
    if by in ("team", "league-season"):
        return rows.with_columns(
            state=nothing,
            state_season=nothing,
            focus_share=pl.lit(None, dtype=pl.Float64),
            state_tags=pl.lit(None, dtype=pl.Int64),
            state_focus_tags=pl.lit(None, dtype=pl.Int64),
            state_why=pl.lit("a state is a player's: ask uptake for shares of teams and leagues"),
        )
    people = states.judged(table.everybody, refusals)
    asked = people.join(entries.select(PERSON_SEASON).unique(), on=PERSON_SEASON, how="semi")
    if by == "player":
        found = states.latest(asked.sort(PERSON_SEASON)).drop("all_tags")
        keys = ["person_id"]
    else:
        found = asked.select(
            *PERSON_SEASON,
            "state",
            pl.col("share").alias("focus_share"),
            pl.col("season").alias("state_season"),
            pl.col("tagged").alias("state_tags"),
            pl.col("focus_tags").alias("state_focus_tags"),
            "refused",
        )
        keys = list(PERSON_SEASON)
    return rows.join(found, on=keys, how="left", maintain_order="left").rename(
        {"refused": "state_why"}
    )


def _order(inquiry: Inquiry) -> str:
    """The column to order by; league-seasons have nothing but raw rates."""
    order = inquiry.options["order"]
    if inquiry.options["by"] == "league-season" and order in ("shrunken", "low"):
        return "raw_rate" if order == "shrunken" else "raw_low"
    return _KEY[order]


def _ordered(rows: pl.DataFrame, key: str) -> pl.DataFrame:
    """Ranks by a column; rows without it come last, without a rank."""
    there = rows.filter(pl.col(key).is_not_null()).select("row", key)
    ranks = there.select(
        "row", rank=pl.Series(shared_ranks(there[key].cast(pl.Float64).to_numpy()), dtype=pl.Int64)
    )
    rows = rows.join(ranks, on="row", how="left", maintain_order="left")
    shared = pl.col("rank").is_not_null() & (pl.len().over("rank") > 1)
    sign = pl.when(shared).then(pl.lit("=")).otherwise(pl.lit(""))
    rows = rows.with_columns(rank_shown=pl.col("rank").cast(pl.String) + sign)
    return rows.sort(
        ["rank", "attempts", "player", "team", "league", "season", "row"],
        descending=[False, True, False, False, False, False, False],
        nulls_last=True,
        maintain_order=True,
    )
