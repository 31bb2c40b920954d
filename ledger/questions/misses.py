"""Where do misses go?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger import court
from ledger.questions import columns, guards, miss_grid, miss_tests, misses_words
from ledger.questions.miss_grid import SIDES
from ledger.questions.player_seasons import PERSON_SEASON, gather, joined
from ledger.questions.wording import counted
from ledger.stats.intervals import wilson

if TYPE_CHECKING:
    from ledger.questions.answer import Answer, Part
    from ledger.questions.inquiry import Inquiry
    from ledger.questions.player_seasons import Table

ZONES = tuple(court.ZONES)
HEIGHTS = ("below_top_line", "at_top_line", "above_top_line")
NOT_SEEN = "not_seen"

_TECHNIQUE = columns.text("technique", "Technique", "The technique as the ledger names it")
_LOW = columns.share("low", "Low", "Lower limit (Wilson, 95 %)")
_HIGH = columns.share("high", "High", "Upper limit (Wilson, 95 %)")

COLUMNS = (
    _TECHNIQUE,
    columns.text("player", "Player", "The shooter, where rows are by player"),
    columns.number_of("made", "Made", "makes", "Watched makes, not picked by their result"),
    columns.number_of("missed", "Missed", "attempts", "Watched misses, not picked by their result"),
    columns.text("depth", "Depth", "short, level or long: too little, right or too much power"),
    columns.text("side", "Side", "left, centre or right as the shooter faces the ring"),
    columns.number_of("count", "Misses", "attempts", "Misses of this depth and side"),
    columns.share("share", "Share", "Of the misses with a depth and a side"),
    _LOW,
    _HIGH,
    columns.number_of("seen", "Seen", "attempts", "Misses with a depth and a side"),
    columns.number_of(
        "misses", "All misses", "attempts", "Misses with the technique, however picked"
    ),
    columns.share("coverage", "Coverage", "Misses with a depth and a side of all those misses"),
    columns.text("team", "Team", "Team, or teams, where rows are by player"),
    columns.text("league", "League", "League, or leagues, where rows are by player"),
    columns.text("player_why", "Who", "Whose misses these are, where rows are by technique"),
)
REBOUND_COLUMNS = (
    _TECHNIQUE,
    columns.number_of("live_misses", "Live misses", "attempts", "Live misses with a rebound noted"),
    columns.number_of("offensive", "Offensive", "attempts", "Rebounded by the offence"),
    columns.share("share", "Share", "Offensive rebounds of live misses"),
    _LOW,
    _HIGH,
    columns.number_of("not_noted", "Not noted", "attempts", "Live misses without a rebound noted"),
    columns.number_of("unknown_trips", "Unknown", "attempts", "Misses of trips of unknown kind"),
    columns.number_of("dead", "Dead", "attempts", "Misses nobody could rebound: never counted"),
    columns.text("share_why", "Why none", "Why there is no share"),
)
ZONE_COLUMNS = (
    _TECHNIQUE,
    columns.text("miss_side", "Side", "Side of the miss as the shooter faces the ring"),
    columns.text("zone", "Zone", "Where the rebound was taken"),
    columns.number_of("count", "Rebounds", "attempts", "Live misses of this side rebounded there"),
    columns.share("share", "Share", "Of the live misses of this side with a zone"),
    _LOW,
    _HIGH,
    columns.number_of("seen", "Seen", "attempts", "Live misses of this side with a zone"),
)
REBOUND_ZONE_COLUMNS = (
    _TECHNIQUE,
    columns.text("zone", "Zone", "Where the rebound was taken"),
    columns.number_of("count", "Rebounds", "attempts", "Live misses rebounded there"),
    columns.share("share", "Share", "Of the live misses with a zone"),
    _LOW,
    _HIGH,
    columns.number_of("seen", "Seen", "attempts", "Live misses with a zone"),
)
CONTACT_COLUMNS = (
    _TECHNIQUE,
    columns.text("contact_height", "Height", "Where the board was touched, or not_seen"),
    columns.text("down_at_board", "Falling", "Whether the ball fell when it met the board"),
    columns.number_of("made", "Made", "makes", "Watched makes, not picked by their result"),
    columns.number_of("attempts", "Attempts", "attempts", "Watched attempts, not so picked"),
    columns.share("rate", "Rate", "Makes of attempts"),
    _LOW,
    _HIGH,
)


def answer(inquiry: Inquiry) -> Answer:
    """Depth and side of misses by technique, rebounds, contact with the board, and tests."""
    asked = inquiry if inquiry.practice_only else inquiry.games_only()
    table = gather(asked)
    if inquiry.practice_only:
        table = replace(table, practice=0)
    refusals = guards.picked_by_result(table.everybody)
    seen = _marked(asked.reads.missing.seen(asked.scope), refusals)
    found = miss_tests.compared(asked, seen)
    main = _grid(seen, table) if inquiry.options["by"] == "player" else _by_technique(seen)
    parts = {
        "rebounds": _rebounds(seen),
        "zones": _zones(seen),
        "rebound_zones": _rebound_zones(seen),
        "contact": _contact(seen),
        "tests": columns.part(miss_tests.COLUMNS, found.rows.values()),
    }
    headline = misses_words.headline(asked, seen, found) if table.attempts else asked.nothing_here()
    refused = refusals.among(table.rows).notes()
    notes = [*table.notes(), *refused, *misses_words.notes(inquiry, seen, found)]
    return inquiry.answer(headline, main, parts, notes)


def _marked(seen: pl.DataFrame, refusals: guards.Refusals) -> pl.DataFrame:
    """With `counts`: whether an attempt may enter a rate, its tag not picked by its result."""
    marked = seen.join(refusals.players, on=PERSON_SEASON, how="left", maintain_order="left")
    fair = ~pl.col("picked") & pl.col("refused").is_null()
    return marked.with_columns(counts=pl.col("technique_id").is_not_null() & fair)


def _by_technique(seen: pl.DataFrame) -> Part:
    named = seen.with_columns(team=pl.lit(None, pl.String), who=pl.lit(None, pl.Int32))
    rows = miss_grid.cells(
        named.with_columns(pl.lit(None, pl.String).alias(n) for n in ("player", "league"))
    )
    people = (
        miss_grid.located(seen)
        .group_by("technique")
        .agg(pl.col("person_id").n_unique().alias("people"))
    )
    number = dict(people.iter_rows())
    said = [counted(number[name], "player") for name in rows["technique"].to_list()]
    return columns.part(COLUMNS, rows.with_columns(player_why=pl.Series(said, dtype=pl.String)))


def _grid(seen: pl.DataFrame, table: Table) -> Part:
    """One grid a technique and player."""
    where = table.rows.group_by("person_id", maintain_order=True).agg(
        joined("team"), joined("league")
    )
    by = seen.drop("league").join(where, on="person_id", how="left", maintain_order="left")
    rows = miss_grid.cells(by.with_columns(who=pl.col("person_id")))
    return columns.part(COLUMNS, rows.with_columns(player_why=pl.lit(None, pl.String)))


def _rebounds(seen: pl.DataFrame) -> Part:
    missed = seen.filter(~pl.col("made"), pl.col("technique").is_not_null())
    live, noted = pl.col("live") == "live", pl.col("rebound_by").is_not_null()
    kinds: Mapping[str, pl.Expr] = {
        "live_misses": live & noted,
        "count": live & noted & (pl.col("rebound_by") == "offensive"),
        "not_noted": live & ~noted,
        "unknown_trips": pl.col("live") == "unknown",
        "dead": pl.col("live") == "dead",
    }
    summed = [pl.col("attempts").filter(k).sum().alias(name) for name, k in kinds.items()]
    rows = missed.group_by("place", "technique").agg(summed).sort("place")
    rows = miss_grid.with_shares(rows, "live_misses")
    why = pl.when(pl.col("live_misses") == 0).then(pl.lit("no live miss with a rebound noted"))
    return columns.part(REBOUND_COLUMNS, rows.with_columns(offensive="count", share_why=why))


def _zones(seen: pl.DataFrame) -> Part:
    known = _in_zone(seen)
    seen_of = known.group_by("place", "technique", "side").agg(seen=pl.col("attempts").sum())
    counts = known.group_by("technique", "side", "zone").agg(count=pl.col("attempts").sum())
    rows = seen_of.join(miss_grid.every(zone=ZONES), how="cross")
    rows = rows.join(counts, on=["technique", "side", "zone"], how="left")
    order = {side: at for at, side in enumerate(SIDES)}
    rows = rows.with_columns(
        at_side=pl.col("side").replace_strict(order, return_dtype=pl.Int64), miss_side="side"
    ).sort("place", "at_side", "at_zone")
    return columns.part(ZONE_COLUMNS, miss_grid.with_shares(rows, "seen"))


def _rebound_zones(seen: pl.DataFrame) -> Part:
    """Zones of all live misses of a technique, whichever side they went."""
    known = _in_zone(seen, sides=False)
    seen_of = known.group_by("place", "technique").agg(seen=pl.col("attempts").sum())
    counts = known.group_by("technique", "zone").agg(count=pl.col("attempts").sum())
    rows = seen_of.join(miss_grid.every(zone=ZONES), how="cross")
    rows = rows.join(counts, on=["technique", "zone"], how="left").sort("place", "at_zone")
    return columns.part(REBOUND_ZONE_COLUMNS, miss_grid.with_shares(rows, "seen"))


def _in_zone(seen: pl.DataFrame, *, sides: bool = True) -> pl.DataFrame:
    names = ("technique", "zone", "side") if sides else ("technique", "zone")
    known = [pl.col(name).is_not_null() for name in names]
    return seen.filter(~pl.col("made"), pl.col("live") == "live", *known)


def _contact(seen: pl.DataFrame) -> Part:
    touched = seen.filter(
        "counts", pl.col("height").is_not_null() | pl.col("falling").is_not_null()
    )
    rows = touched.group_by("place", "technique", "height", "falling").agg(
        pl.col("attempts").filter("made").sum().alias("made"), pl.col("attempts").sum()
    )
    order: dict[str, Any] = {name: at for at, name in enumerate(HEIGHTS)}
    rows = rows.with_columns(
        at=pl.col("height").replace_strict(order, default=None, return_dtype=pl.Int64)
    ).sort("place", "at", "falling", nulls_last=True)
    limits = wilson(rows["made"].to_numpy(), rows["attempts"].to_numpy())
    return columns.part(
        CONTACT_COLUMNS,
        rows.with_columns(
            contact_height=pl.col("height").fill_null(NOT_SEEN),
            down_at_board=pl.col("falling").fill_null(NOT_SEEN),
            rate=pl.col("made") / pl.col("attempts"),
            low=pl.Series(limits.low, dtype=pl.Float64),
            high=pl.Series(limits.high, dtype=pl.Float64),
        ),
    )
