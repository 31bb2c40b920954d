"""Attempts and tags of a game rebuilt from what every live source gave.

When a source is taken back, brought back or corrected, the games it touched are laid out again as
if the live sources had come in one after another. Attempts keep their ids, so that tags, notes and
corrections of others stay where they are.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.store import bulk, frames, joined
from ledger.store.apart import Rows, rows_of_sightings
from ledger.store.fold import fold
from ledger.store.reconcile import yielding
from ledger.store.records import RECORD, STATE, TAGS, from_json
from ledger.store.words import resolve_unknown

if TYPE_CHECKING:
    from collections.abc import Callable

    from duckdb import DuckDBPyConnection

# Kinds of source in which a person's later tag stands for the earlier one.
BY_HAND = ("entry",)
# Games are rebuilt in parts of about so many attempts: what records gave takes room as text.
_AT_ONCE = 100_000


@dataclass(slots=True)
class Fix:
    """A live correction of one attempt: its fields as set, and as they were below it."""

    row: int
    attempt_id: int
    set: dict[str, Any]
    was: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Rebuilt:
    """What rebuilding changed.

    Attributes:
        removed: attempts that were live and are no more.
        revived: attempts that are live again, or new.
    """

    removed: pl.DataFrame
    revived: pl.DataFrame


def rederive(con: DuckDBPyConnection, attempt_ids: pl.DataFrame) -> Rebuilt:
    """Rebuild the games of some attempts (`attempt_id`)."""
    ids = attempt_ids.select(pl.col("attempt_id").cast(pl.Int64))
    return rederive_games(con, frames.fetch(con, ("commit/rederive", "games_of"), wanted=ids))


def rederive_games(con: DuckDBPyConnection, games: pl.DataFrame) -> Rebuilt:
    """Rebuild all attempts and tags of some games (`game_id`) from what live sources gave."""
    one = joined.ones(con)
    games = one.with_others(games)
    sizes = frames.fetch(con, ("commit/rederive", "sizes"), wanted=games)
    first = one.over(sizes).select(pl.col("game_id").alias("first"))
    sizes = pl.concat([sizes, first], how="horizontal").sort("first", "game_id")
    # Games that are one stay in one part.
    upto = pl.col("attempts").cum_sum().first().over("first")
    parts = sizes.with_columns((upto // _AT_ONCE).alias("part"))
    done = [
        _rebuild(con, part.select("game_id"), one)
        for part in parts.partition_by("part")
        if len(part)
    ]
    if not done:
        nothing = pl.DataFrame(schema={"attempt_id": pl.Int64})
        return Rebuilt(nothing, nothing)
    return Rebuilt(pl.concat([d.removed for d in done]), pl.concat([d.revived for d in done]))


def _rebuild(con: DuckDBPyConnection, games: pl.DataFrame, one: joined.Ones) -> Rebuilt:
    before = bulk.attempts_of(con, games)
    bulk.materialise(con, before)
    sightings = frames.fetch(con, ("commit/rederive", "sightings"), wanted=games)
    records = _records(con, sightings.filter(pl.col("outcome") != "corrected"))
    came_back = joined.CameBack(before, records)
    records = one.over(records)
    rows = rows_of_sightings(con, records)
    laid = _laid(con, before, rows, came_back, records)
    late = yielding(records, pl.concat(laid.seen)) if laid.seen else records.select("rec").clear()
    if len(late):
        behind = pl.col("rec").is_in(late["rec"].implode())
        came_back.anew()
        parts = (records.filter(~behind), records.filter(behind))
        laid = _laid(con, before, rows, came_back, *parts)
    _write_attempts(con, before, laid)
    _write_tags(con, games, laid)
    _write_sightings(con, laid)
    sources = records.select("source_id").unique()
    frames.run(con, ("commit/undo", "recount"), wanted=sources)
    _correct_again(con, games)
    bulk.set_trips(con, games)
    all_ids = pl.concat([before.select("attempt_id"), laid.state.select("attempt_id")]).unique()
    # What a file gave before its word was explained is still a word here.
    resolve_unknown(con)
    bulk.agree_on(con, all_ids)
    was_live = before.filter(~pl.col("removed")).select("attempt_id")
    return Rebuilt(
        removed=was_live.join(laid.state, on="attempt_id", how="anti"),
        revived=laid.state.select("attempt_id").join(was_live, on="attempt_id", how="anti"),
    )


def _records(con: DuckDBPyConnection, sightings: pl.DataFrame) -> pl.DataFrame:
    """Sightings as records, in the order they came in, with the attempt each one was as `hint`."""
    frame = pl.concat([sightings, from_json(sightings["given"])], how="horizontal")
    persons = frames.fetch(con, ("commit/rederive", "persons"))
    games = frame.select("game_id").drop_nulls().unique()
    leagues = frames.fetch(con, ("commit/rederive", "leagues"), wanted=games)
    frame = frame.join(persons.cast(pl.Int32), on="player_id", how="left", maintain_order="left")
    frame = frame.join(leagues.cast(pl.Int32), on="game_id", how="left", maintain_order="left")
    return frame.with_columns(pl.int_range(pl.len(), dtype=pl.Int64).alias("rec"))


def _laid(
    con: DuckDBPyConnection,
    before: pl.DataFrame,
    rows: pl.DataFrame,
    came_back: joined.CameBack,
    *records: pl.DataFrame,
) -> _Laying:
    """Records laid source by source, those of a later frame after all of an earlier one."""
    laid = _Laying(con, before, rows, came_back)
    for part in records:
        for (source,), batch in part.group_by("source_id", maintain_order=True):
            laid.lay(batch, int(source))
    return laid


class _Laying:
    """Sources laid one over another, attempts keeping the ids they had."""

    def __init__(
        self,
        con: DuckDBPyConnection,
        before: pl.DataFrame,
        rows: pl.DataFrame,
        came_back: joined.CameBack,
    ) -> None:
        self.state = pl.DataFrame(schema=STATE)
        self.tags = pl.DataFrame(schema=TAGS)
        self.seen: list[pl.DataFrame] = []
        self._next = bulk.next_id(con, "attempt")
        self._free = set(before["attempt_id"].to_list())
        self._waiting: list[tuple[int, pl.DataFrame, bool]] = []
        self._rows = rows
        self._came_back = came_back
        self._moved = joined.moved(con)

    def lay(self, batch: pl.DataFrame, source: int) -> None:
        """One source; its tags of attempts that are not there yet wait for them."""
        by_hand = batch["kind"][0] in BY_HAND
        whole = batch.filter(pl.col("made").is_not_null())
        if len(whole):
            records = whole.with_columns(pl.lit(None, pl.Int64).alias("attempt_id"))
            self._fold(records, source, by_hand)
        tags = batch.filter(pl.col("made").is_null())
        if len(tags):
            meant = pl.col("hint").replace(self._moved) if self._moved else pl.col("hint")
            tags = tags.with_columns(meant.alias("attempt_id"))
            self._waiting.append((source, tags, by_hand))
        self._let_in()

    def _let_in(self) -> None:
        still: list[tuple[int, pl.DataFrame, bool]] = []
        waiting, self._waiting = self._waiting, []
        for source, tags, by_hand in waiting:
            here = tags.join(self.state.select("attempt_id"), on="attempt_id", how="semi")
            if len(here):
                self._fold(here, source, by_hand)
            away = tags.join(here.select("rec"), on="rec", how="anti")
            if len(away):
                still.append((source, away, by_hand))
        self._waiting = still

    def _fold(self, records: pl.DataFrame, source: int, by_hand: bool) -> None:
        columns = ["rec", "line", "league_id", "person_id", "attempt_id", *RECORD]
        hints = dict(zip(records["rec"], records["hint"], strict=True))
        folded = fold(
            records.select(columns),
            self.state,
            self.tags,
            source,
            self._ids(hints),
            replaces=by_hand,
            rows=self._rows_met(records),
            typed=self._typed(records) if by_hand else None,
        )
        self.state, self.tags = folded.state, folded.tags
        rows = records.select(
            *("rec", "row", "hint"),
            pl.col("outcome").alias("was"),
            pl.col("made").is_null().alias("names"),
            pl.when(by_hand).then(pl.col("who")).alias("by"),
        )
        self.seen.append(folded.seen.join(rows, on="rec"))

    def _typed(self, records: pl.DataFrame) -> pl.DataFrame | None:
        """The attempts that the person of these records typed in earlier sittings."""
        mine = pl.col("by") == records["who"][0]
        seen = [s.filter(mine & ~pl.col("names")).select("attempt_id") for s in self.seen]
        return pl.concat(seen).unique() if seen else None

    def _rows_met(self, records: pl.DataFrame) -> Rows | None:
        own = self._rows.join(records, on="rec", how="semi")
        if own.is_empty():
            return None
        seen = pl.concat([s.select("rec", "attempt_id") for s in self.seen]) if self.seen else None
        if seen is None:
            return None
        attempts = seen.join(self._rows, on="rec").select("attempt_id", "sha256", "row")
        return Rows(own, attempts)

    def _ids(self, hints: dict[int, int]) -> Callable[[pl.DataFrame], pl.Series]:
        def give(fresh: pl.DataFrame) -> pl.Series:
            ids = []
            for rec in fresh["rec"]:
                hint = hints[rec]
                if hint not in self._free:
                    hint = self._came_back.of(rec) or hint
                if hint in self._free:
                    self._free.discard(hint)
                    ids.append(hint)
                else:
                    ids.append(self._next)
                    self._next += 1
            return pl.Series("attempt_id", ids, dtype=pl.Int64)

        return give


def _write_attempts(con: DuckDBPyConnection, before: pl.DataFrame, laid: _Laying) -> None:
    state = laid.state.with_columns(pl.lit(False).alias("trip_incomplete"))
    old = before.select("attempt_id")
    bulk.set_attempts(con, state.join(old, on="attempt_id", how="semi"))
    bulk.add_attempts(con, state.join(old, on="attempt_id", how="anti"))
    lost = old.join(laid.state, on="attempt_id", how="anti")
    if len(lost):
        frames.run(con, ("commit/records", "remove_attempts"), incoming=lost)


def _write_tags(con: DuckDBPyConnection, games: pl.DataFrame, laid: _Laying) -> None:
    """Tags that have a sighting are as laid; others follow their attempt."""
    old = frames.fetch(con, ("commit/rederive", "all_tags"), wanted=games)
    key = ["attempt_id", "tagger", "source_id", "line"]
    there = laid.tags.drop("tag_id").join(
        old.filter("sighted").unique(key, keep="first").select("tag_id", *key), on=key, how="left"
    )
    bulk.set_tags(con, there.filter(pl.col("tag_id").is_not_null()))
    bulk.add_tags(con, there.filter(pl.col("tag_id").is_null()).select(list(TAGS)))
    kept = there.select("tag_id").drop_nulls()
    shown = (
        old.join(kept.with_columns(pl.lit(True).alias("kept")), on="tag_id", how="left")
        .join(
            laid.state.select("attempt_id", pl.lit(True).alias("alive")),
            on="attempt_id",
            how="left",
        )
        .with_columns(pl.col("kept").fill_null(False), pl.col("alive").fill_null(False))
    )
    unseen = ~pl.col("sighted") & pl.col("live") & pl.col("alive")
    shown = shown.select("tag_id", (~(pl.col("kept") | unseen)).alias("removed"))
    if len(shown):
        frames.run(con, ("commit/rederive", "show_tags"), incoming=shown)


def _write_sightings(con: DuckDBPyConnection, laid: _Laying) -> None:
    if not laid.seen:
        return
    seen = pl.concat(laid.seen)
    # A tag keeps the attempt it named: that one may come back out of a join.
    seen = seen.with_columns(
        pl.when("names").then("hint").otherwise("attempt_id").alias("attempt_id")
    )
    moved = seen.filter(
        (pl.col("attempt_id") != pl.col("hint")) | (pl.col("outcome") != pl.col("was"))
    ).select("row", "attempt_id", "outcome")
    if len(moved):
        frames.run(con, ("commit/rederive", "set_sightings"), incoming=moved)


def corrected(con: DuckDBPyConnection, games: pl.DataFrame) -> list[Fix]:
    """The live corrections of attempts of some games (`game_id`), in the order they were made."""
    found = frames.fetch(con, ("commit/rederive", "corrections"), wanted=games)
    fixes = []
    moved = joined.moved(con)
    for row, _, attempt_id, given in found.iter_rows():
        held = json.loads(given)
        fixes.append(Fix(row, moved.get(attempt_id, attempt_id), held["set"], held["was"]))
    return fixes


def without_corrections(
    con: DuckDBPyConnection, state: pl.DataFrame, fixes: list[Fix]
) -> pl.DataFrame:
    """Attempts as their sources have them, below any correction."""
    if not fixes or state.is_empty():
        return state
    below: dict[int, dict[str, Any]] = {}
    for fix in reversed(fixes):
        below.setdefault(fix.attempt_id, {}).update(fix.was)
    touched = pl.col("attempt_id").is_in(list(below))
    rows = [row | below[row["attempt_id"]] for row in state.filter(touched).iter_rows(named=True)]
    mended = pl.DataFrame(rows, schema=state.schema).drop("person_id")
    persons = frames.fetch(con, ("commit/rederive", "persons")).cast(pl.Int32)
    mended = mended.join(persons, on="player_id", how="left").select(state.columns)
    return pl.concat([state.filter(~touched), mended]).sort("attempt_id")


def _correct_again(con: DuckDBPyConnection, games: pl.DataFrame) -> None:
    """Lay the corrections over rebuilt attempts, and note what is below them now."""
    fixes = corrected(con, games)
    if not fixes:
        return
    live = bulk.attempts_of(con, games).filter(~pl.col("removed"))
    rows = {row["attempt_id"]: row for row in live.iter_rows(named=True)}
    changed: dict[int, dict[str, Any]] = {}
    notes = []
    for fix in fixes:
        row = rows.get(fix.attempt_id)
        if row is None:
            continue
        fix.was = {name: row[name] for name in fix.set}
        row.update(fix.set)
        changed[fix.attempt_id] = row
        notes.append((fix.row, json.dumps({"set": fix.set, "was": fix.was}, ensure_ascii=False)))
    if not changed:
        return
    frame = pl.DataFrame(list(changed.values()), schema=live.schema)
    bulk.set_attempts(con, frame.with_columns(pl.lit(False).alias("trip_incomplete")))
    given = pl.DataFrame(notes, schema={"row": pl.Int64, "given": pl.String}, orient="row")
    frames.run(con, ("commit/rederive", "set_given"), incoming=given)
