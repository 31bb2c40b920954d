"""How misses went: depth by side for each technique, counts and shares as a description."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import polars as pl

from ledger.questions import columns
from ledger.questions.answer import Part
from ledger.stats.intervals import wilson

DEPTHS = ("short", "level", "long")
SIDES = ("left", "centre", "right")

COLUMNS = (
    columns.text("technique", "Technique", "The agreed one"),
    columns.number_of("made", "Made", "makes", "Makes with it"),
    columns.number_of("missed", "Missed", "attempts", "Misses with it"),
    columns.text("depth", "Depth", "short, level or long: too little or too much power"),
    columns.text("side", "Side", "left, centre or right, facing the ring"),
    columns.number_of("count", "Misses", "attempts", "Misses that went so"),
    columns.share("share", "Share", "Of the misses whose depth and side somebody saw"),
    columns.share("low", "Low", "Lower limit of the share (Wilson, 95 %); a description"),
    columns.share("high", "High", "Upper limit of the share (Wilson, 95 %); a description"),
    columns.number_of("seen", "Seen", "attempts", "Misses whose depth and side somebody saw"),
    columns.text("share_why", "Why none", "Why there is no share"),
)


def located(seen: pl.DataFrame) -> pl.DataFrame:
    """Misses whose technique, depth and side are known."""
    known = [pl.col(name).is_not_null() for name in ("technique", "depth", "side")]
    return seen.filter(~pl.col("made"), *known)


def cells(seen: pl.DataFrame) -> pl.DataFrame:
    """Nine rows for each technique (and player) with a miss of known depth and side.

    Args:
        seen: `place, technique, player, who, team, league`, then `made, depth, side`, whether the
            row `counts` for a rate, and the number of `attempts` that it stands for.
    """
    keys = ["place", "technique", "player", "who", "team", "league"]
    fair = pl.col("counts") & pl.col("made"), pl.col("counts") & ~pl.col("made")
    known = seen.filter(pl.col("technique").is_not_null())
    placed = pl.col("depth").is_not_null() & pl.col("side").is_not_null() & ~pl.col("made")
    groups = known.group_by(keys).agg(
        pl.col("attempts").filter(fair[0]).sum().alias("made"),
        pl.col("attempts").filter(fair[1]).sum().alias("missed"),
        pl.col("attempts").filter(~pl.col("made")).sum().alias("misses"),
        pl.col("attempts").filter(placed).sum().alias("seen"),
    )
    groups = groups.filter(pl.col("seen") > 0).join(every(depth=DEPTHS, side=SIDES), how="cross")
    counts = located(seen).group_by(*keys, "depth", "side").agg(count=pl.col("attempts").sum())
    rows = groups.join(counts, on=[*keys, "depth", "side"], how="left", nulls_equal=True)
    rows = rows.sort("player", "who", "place", "at_depth", "at_side", nulls_last=True)
    rows = rows.with_columns(coverage=pl.col("seen") / pl.col("misses"))
    return with_shares(rows, "seen")


def every(**kinds: Sequence[str]) -> pl.DataFrame:
    """Every combination of some words, with the place of each word as `at_NAME`."""
    found = pl.DataFrame({"_": [0]})
    for name, words in kinds.items():
        one = pl.DataFrame({name: list(words), f"at_{name}": list(range(len(words)))})
        found = found.join(one, how="cross")
    return found.drop("_")


def with_shares(rows: pl.DataFrame, of: str) -> pl.DataFrame:
    """With `share`, `low` and `high` (Wilson) of `count` in another column."""
    rows = rows.with_columns(pl.col("count").fill_null(0))
    limits = wilson(rows["count"].to_numpy(), rows[of].to_numpy())
    return rows.with_columns(
        share=pl.col("count") / pl.col(of),
        low=pl.Series(limits.low, dtype=pl.Float64),
        high=pl.Series(limits.high, dtype=pl.Float64),
    )


def grid(attempts: pl.DataFrame, techniques: Sequence[str]) -> Part:
    """Nine rows a technique, or one that says why there are none.

    Args:
        attempts: `technique, made, miss_depth, miss_side`, an attempt a row.
        techniques: in the order of the rows.
    """
    places = {technique: at for at, technique in enumerate(techniques)}
    nobody = {name: pl.lit(None, pl.String) for name in ("player", "who", "team", "league")}
    seen = attempts.filter(pl.col("technique").is_in(list(techniques))).select(
        "technique",
        "made",
        place=pl.col("technique").replace_strict(places, return_dtype=pl.Int64),
        depth=_one_of("miss_depth", DEPTHS),
        side=_one_of("miss_side", SIDES),
        counts=pl.lit(True),
        attempts=pl.lit(1, pl.Int64),
        **nobody,
    )
    rows = cells(seen)
    without = [name for name in techniques if name not in rows["technique"]]
    found = rows.with_columns(share_why=pl.lit(None, pl.String)).rows(named=True)
    found += [_unseen(name, seen.filter(pl.col("technique") == name)) for name in without]
    return columns.part(COLUMNS, sorted(found, key=lambda row: places[row["technique"]]))


def _one_of(column: str, words: Sequence[str]) -> pl.Expr:
    return pl.when(pl.col(column).is_in(list(words))).then(pl.col(column))


def _unseen(technique: str, own: pl.DataFrame) -> dict[str, Any]:
    made = int(own["made"].sum())
    why = "nobody saw how they missed" if own.height > made else "no miss"
    counts = {"made": made, "missed": own.height - made, "seen": 0, "count": 0}
    return {"technique": technique, **counts, "share_why": why}
