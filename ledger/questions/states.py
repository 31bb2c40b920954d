"""What tags say about a player: his class in a season, and over several."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from ledger.questions.player_seasons import PERSON_SEASON
from ledger.stats.technique_class import MIN_TAGS, classify, share_interval

if TYPE_CHECKING:
    from ledger.questions.guards import Refusals

DECIDED = ("adopter", "occasional", "not")


def judged(people: pl.DataFrame, refusals: Refusals) -> pl.DataFrame:
    """Player-seasons with `state`, `share`, `share_low`, `share_high`, and `refused` (why not).

    Args:
        people: one row per league, season and person.
        refusals: player-seasons whose tags were picked by result: no class, no share.
    """
    focus, tagged = people["focus_tags"].to_numpy(), people["tagged"].to_numpy()
    interval = share_interval(focus, tagged)
    found = people.join(refusals.players, on=PERSON_SEASON, how="left", maintain_order="left")
    found = found.with_columns(
        state=pl.Series(classify(focus, tagged, people["tag_games"].to_numpy()), dtype=pl.String),
        share=pl.col("focus_tags") / pl.col("tagged"),
        share_low=pl.Series(interval.low, dtype=pl.Float64),
        share_high=pl.Series(interval.high, dtype=pl.Float64),
    )
    spoken = pl.col("refused").is_null()
    return found.with_columns(
        pl.when(spoken).then(pl.col("state")),
        *(
            pl.when(spoken & (pl.col("tagged") > 0)).then(pl.col(name)).alias(name)
            for name in ("share", "share_low", "share_high")
        ),
    )


def latest(people: pl.DataFrame) -> pl.DataFrame:
    """One state per person: that of his latest season with 8 tags or more.

    Args:
        people: as `judged` gives them.

    Returns:
        `person_id, state, focus_share, state_season, state_tags, state_focus_tags, refused`.
        Without such a season the state is undecided (some tags) or untagged (none), and the share
        is empty.
    """
    enough = people.filter(pl.col("tagged") >= MIN_TAGS).sort(
        ["start_year", "tagged", "league", "league_id"], maintain_order=True
    )
    last = enough.group_by("person_id", maintain_order=True).agg(
        pl.col("state").last(),
        pl.col("share").last().alias("focus_share"),
        pl.col("season").last().alias("state_season"),
        pl.col("tagged").last().alias("state_tags"),
        pl.col("focus_tags").last().alias("state_focus_tags"),
        pl.col("refused").last(),
    )
    everybody = people.group_by("person_id", maintain_order=True).agg(
        pl.col("tagged").sum().alias("all_tags")
    )
    found = everybody.join(last, on="person_id", how="left", maintain_order="left")
    without = (
        pl.when(pl.col("all_tags") > 0).then(pl.lit("undecided")).otherwise(pl.lit("untagged"))
    )
    has_season = pl.col("state_season").is_not_null()
    return found.with_columns(state=pl.when(has_season).then(pl.col("state")).otherwise(without))
