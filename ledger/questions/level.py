"""The common level of each league-season, and rates drawn to it."""

from __future__ import annotations

from typing import Any

import polars as pl

from ledger.questions import columns
from ledger.questions.answer import Part
from ledger.questions.player_seasons import LEAGUE_SEASON
from ledger.questions.wording import counted, listed
from ledger.stats.beta_binomial import (
    FEW_ROWS,
    MIN_ROWS,
    TalentPosterior,
    combine_seasons,
    fit_beta_binomial,
)

PRIOR_COLUMNS = (
    columns.LEAGUE,
    columns.SEASON,
    columns.figure("a", "a", "attempts", "First parameter of the Beta level: makes it stands for"),
    columns.figure("b", "b", "attempts", "Second parameter: misses it stands for"),
    columns.share("mean", "Common level", "Mean of the level, a / (a + b)"),
    columns.number_of("rows", "Rows", "rows", "Players (or teams) the level is fitted on"),
    columns.figure("weight", "Weight", "attempts", "a + b: attempts the level weighs as much as"),
    columns.text("a_why", "Why none", "Why a league-season has no level"),
)


def fit(rows: pl.DataFrame, by: str = "person_id") -> pl.DataFrame:
    """One level per league-season, none below 8 rows.

    Args:
        rows: everybody of the league-seasons, whole rows, per person and team.
        by: what a row of the fit is: `person_id` or `team_id`.

    Returns:
        `league_id, season_id, league, season, a, b, mean, weight, rows, a_why`.
    """
    found: list[dict[str, Any]] = []
    keys = [*LEAGUE_SEASON, "league", "season"]
    counts = (
        rows.filter((pl.col("attempts") > 0) & pl.col(by).is_not_null())
        .group_by([*keys, by], maintain_order=True)
        .agg(pl.col("made").sum(), pl.col("attempts").sum())
    )
    for group in counts.partition_by(LEAGUE_SEASON, maintain_order=True):
        first = group.row(0, named=True)
        level = {**{k: first[k] for k in keys}, "rows": group.height}
        if group.height < MIN_ROWS:
            level["a_why"] = f"fewer than {MIN_ROWS} rows: raw rates only"
        else:
            prior = fit_beta_binomial(group["made"].to_numpy(), group["attempts"].to_numpy())
            level |= {"a": prior.a, "b": prior.b, "mean": prior.mean, "weight": prior.weight}
        found.append(level)
    schema = {
        "league_id": pl.Int32,
        "season_id": pl.Int32,
        "league": pl.String,
        "season": pl.String,
        **dict.fromkeys(("a", "b", "mean", "weight"), pl.Float64),
        "rows": pl.Int64,
        "a_why": pl.String,
    }
    return pl.DataFrame(found, schema=schema)


def part(levels: pl.DataFrame) -> Part:
    """The levels as a further frame of an answer."""
    return columns.part(PRIOR_COLUMNS, levels)


def shrink(entries: pl.DataFrame, size: int, levels: pl.DataFrame) -> TalentPosterior:
    """Rates allowing for luck: each row's makes over one or more league-seasons, one talent.

    Args:
        entries: `row` (0 to size - 1), `league_id, season_id, made, attempts`.
        size: how many rows come out.
        levels: as `fit` gives them.

    Returns:
        Arrays of length `size`; nan for a row one of whose league-seasons has no level.
    """
    found = entries.join(
        levels.select(*LEAGUE_SEASON, "mean", "weight"),
        on=LEAGUE_SEASON,
        how="left",
        maintain_order="left",
    )
    return combine_seasons(
        found["mean"].fill_null(float("nan")).to_numpy(),
        found["weight"].fill_null(float("nan")).to_numpy(),
        found["made"].to_numpy(),
        found["attempts"].to_numpy(),
        rows=found["row"].to_numpy(),
        size=size,
    )


def notes(levels: pl.DataFrame, noun: str) -> list[str]:
    """Which levels are partly assumed, and which are missing.

    Args:
        levels: as `fit` gives them.
        noun: what a row of the fit is: `player` or `team`.
    """
    said = []
    few = levels.filter((pl.col("rows") >= MIN_ROWS) & (pl.col("rows") < FEW_ROWS))
    if few.height:
        said.append(f"Few rows: the common level is partly assumed ({_which(few, noun)}).")
    none = levels.filter(pl.col("rows") < MIN_ROWS)
    if none.height:
        said.append(f"Fewer than {MIN_ROWS} rows: raw rates only ({_which(none, noun)}).")
    return said


def _which(levels: pl.DataFrame, noun: str) -> str:
    shown = [
        f"{row['league']} {row['season']}: {counted(row['rows'], noun)}"
        for row in levels.head(3).iter_rows(named=True)
    ]
    if levels.height > 3:
        shown.append(f"{levels.height - 3} more league-seasons")
    return listed(shown)
