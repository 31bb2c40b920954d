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


def grid(attempts: pl.DataFrame, techniques: Sequence[str]) -> Part:
    """Nine rows a technique, or one that says why there are none.

    Args:
        attempts: `technique, made, miss_depth, miss_side`, an attempt a row.
        techniques: in the order of the rows.
    """
    rows: list[dict[str, Any]] = []
    for technique in techniques:
        own = attempts.filter(pl.col("technique") == technique)
        misses = own.filter(~pl.col("made"))
        seen = misses.filter(pl.col("miss_depth").is_in(DEPTHS) & pl.col("miss_side").is_in(SIDES))
        row = {
            "technique": technique,
            "made": own.height - misses.height,
            "missed": misses.height,
            "seen": seen.height,
        }
        if not seen.height:
            why = "nobody saw how they missed" if misses.height else "no miss"
            rows.append({**row, "count": 0, "share_why": why})
            continue
        counts = {
            (depth, side): number
            for depth, side, number in seen.group_by("miss_depth", "miss_side").len().iter_rows()
        }
        for depth in DEPTHS:
            for side in SIDES:
                number = counts.get((depth, side), 0)
                limits = wilson(number, seen.height)
                rows.append(
                    {
                        **row,
                        "depth": depth,
                        "side": side,
                        "count": number,
                        "share": number / seen.height,
                        "low": limits.low,
                        "high": limits.high,
                    }
                )
    return columns.part(COLUMNS, rows)
