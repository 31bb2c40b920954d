"""Attempts and tags laid over the ledger: the same matching as for files."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import polars as pl

from ledger.store import frames, reconcile
from ledger.store.batch import REFUSED
from ledger.store.commit import by_line, lay
from ledger.store.identity import Found
from ledger.store.incoming import read_attempts, refusals, tagged
from ledger.store.merge.rows import Rows
from ledger.store.records import RECORD, TAG, complete

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

_AGAINST = "its attempt contradicts the ledger: mend the one that is wrong, then merge again"
_OWN = ("given_order", "clock_order", "tagged_at")


@dataclass(frozen=True, slots=True)
class Laid:
    """What laying came to.

    Attributes:
        lines: `line`, `outcome`, a row a line that was not refused.
        refused: lines refused on the way, `REFUSED` columns.
        seen: `line`, `their_attempt` (its number there), `attempt_id`, `outcome`, `kind`
            (`attempt` or `tag`), a row a record.
        records: the attempts' records, with `line`, as they came.
        tag_records: the tags' records, with `line`.
        players: `their_player` there to `player_id` here.
        attempts: how many were added.
        tags: how many were added.
        filled: how many blank fields were filled.
        stirred: games (`game_id`) to be rebuilt once the source has its row.
        found: names that were added, and what is doubtful about them.
    """

    lines: pl.DataFrame
    refused: pl.DataFrame
    seen: pl.DataFrame
    records: pl.DataFrame
    tag_records: pl.DataFrame
    players: dict[int, int]
    attempts: int
    tags: int
    filled: int
    stirred: pl.DataFrame
    found: Found


def lay_rows(con: DuckDBPyConnection, hand: Hand, rows: Rows, source_id: int) -> Laid:
    """Lay what came over what is there: attempts first, then the tags that are rows of their own.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who merges, and when.
        rows: from `rows_of`.
        source_id: the merge.
    """
    now = hand.clock()
    taken = read_attempts(con, hand, rows.attempts, source_id, tagger=None, now=now)
    numbers = rows.attempts.select(
        *("line", "their_attempt", "their_player", "clock_order", "tagged_at"),
        pl.col("order").alias("given_order"),
    )
    records = _as_they_were(taken.frame, numbers)
    met = numbers.join(records.select("line", "player_id"), on="line")
    people = met.select("their_player", "player_id").unique()
    folded, stirred = lay(con, records, source_id)
    torn = _torn_by_box(con, folded.seen, rows.box_lines)
    seen = folded.seen.join(numbers.select("line", "their_attempt"), on="line")
    tags, lost = _tag_records(con, hand, rows.tags, seen)
    folded_tags, stirred_by_tags = lay(con, tags.drop("their_attempt"), source_id)
    seen_tags = folded_tags.seen.join(tags.select("line", "their_attempt"), on="line")
    both = pl.concat([folded.seen, folded_tags.seen])
    shown = ["line", "their_attempt", "attempt_id", "outcome"]
    return Laid(
        lines=by_line(both),
        refused=pl.concat([taken.refused, lost]),
        seen=pl.concat(
            [
                seen.select(*shown, pl.lit("attempt").alias("kind")),
                seen_tags.select(*shown, pl.lit("tag").alias("kind")),
            ]
        ),
        records=records,
        tag_records=tags,
        players=dict(people.iter_rows()),
        attempts=len(folded.new),
        tags=len(folded.new_tags) + len(folded_tags.new_tags),
        filled=int(both["filled"].sum()),
        stirred=pl.concat([stirred, torn, stirred_by_tags]).unique(),
        found=taken.found,
    )


def _torn_by_box(con: DuckDBPyConnection, seen: pl.DataFrame, lines: pl.Series) -> pl.DataFrame:
    """Games that events here tell differently from a box score there; `lay` knows the other way."""

    def games(part: pl.DataFrame) -> pl.DataFrame:
        return frames.fetch(
            con, ("commit/rederive", "games_of"), wanted=part.select("attempt_id").unique()
        )

    own = seen.filter(pl.col("line").is_in(lines.implode()))
    torn = own.filter(pl.col("outcome") == "contradicting")
    return reconcile.torn_games(con, games(own), games(torn), box=True)


def _as_they_were(records: pl.DataFrame, numbers: pl.DataFrame) -> pl.DataFrame:
    """Places in the game and times of tags as the other ledger keeps them, not as a file's."""
    own = numbers.select("line", pl.col(_OWN).name.suffix("_own"))
    joined = records.join(own, on="line", how="left", maintain_order="left")
    return joined.with_columns(
        pl.col("given_order_own").cast(RECORD["given_order"]).alias("given_order"),
        pl.col("clock_order_own").cast(RECORD["clock_order"]).alias("clock_order"),
        pl.when(pl.col("tagger").is_not_null()).then("tagged_at_own").alias("tagged_at"),
    ).select(records.columns)


def _tag_records(
    con: DuckDBPyConnection, hand: Hand, tags: pl.DataFrame, seen: pl.DataFrame
) -> tuple[pl.DataFrame, pl.DataFrame]:
    """Tags as records of the attempts that theirs were recognised as, and those left out."""
    told = tags.join(
        seen.select("their_attempt", "attempt_id", "outcome"),
        on="their_attempt",
        how="left",
        maintain_order="left",
    )
    against = told.filter(pl.col("outcome") == "contradicting")
    away = told.filter(pl.col("outcome").is_null())
    lost = pl.concat(
        [
            refusals(
                against, "attempt_id", pl.col("their_attempt"), "attempt_contradicts", _AGAINST
            ),
            refusals(
                away, "attempt_id", pl.col("their_attempt"), "no_such_attempt",
                "its attempt was not taken: see there",
            ),
        ]
    ).cast(pl.Schema(REFUSED))  # fmt: skip
    told = told.join(lost.select("line"), on="line", how="anti", maintain_order="left")
    own = told["tagged_at"]
    frame = tagged(con, told, hand.who, hand.clock()).with_columns(own)
    known = [n for n in frame.columns if n in RECORD or n in TAG]
    frame = complete(frame.select("line", "their_attempt", "attempt_id", *known), RECORD)
    return (
        frame.select(
            pl.int_range(pl.len(), dtype=pl.Int64).alias("rec"),
            "line",
            pl.lit(None, pl.Int32).alias("league_id"),
            pl.lit(None, pl.Int32).alias("person_id"),
            pl.col("attempt_id").cast(pl.Int64),
            *RECORD,
            "their_attempt",
        ),
        lost,
    )
