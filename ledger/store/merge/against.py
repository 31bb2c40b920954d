"""Contradictions in words: which record of the other ledger differs here, and in what."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.store import bulk, frames
from ledger.store.against import differing
from ledger.store.merge.laying import Laid
from ledger.store.records import COMPARED, TAG_COMPARED

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_MOST = 1000


def contradictions(con: DuckDBPyConnection, laid: Laid, players: dict[int, str]) -> list[str]:
    """A line for each record that contradicts, the first thousand of them.

    Args:
        con: a connection of the change.
        laid: what laying came to.
        players: names of players here, by id.
    """
    against = laid.seen.filter(pl.col("outcome") == "contradicting").head(_MOST)
    if against.is_empty():
        return []
    games = frames.fetch(con, ("commit/rederive", "games_of"), wanted=against.select("attempt_id"))
    here = {r["attempt_id"]: r for r in bulk.attempts_of(con, games).iter_rows(named=True)}
    tags = {
        (r["attempt_id"], r["tagger"]): r for r in bulk.tags_of(con, against).iter_rows(named=True)
    }
    names = dict(frames.fetch(con, ("commit/records", "technique_ids")).iter_rows())
    ours = _by_line(laid.records, against) | _by_line(laid.tag_records, against)
    out = []
    for line, number, attempt, kind in against.select(
        "line", "their_attempt", "attempt_id", "kind"
    ).iter_rows():
        record, own = ours.get(line), here.get(attempt)
        if record is None or own is None:
            continue
        differ = differing(record, own, (*COMPARED, "person_id", "given_order"))
        tag = tags.get((attempt, record["tagger"]))
        if tag is not None:
            differ += differing(record, tag, TAG_COMPARED, names)
        what = f"attempt {number}" if kind == "attempt" else f"tag of attempt {number}"
        by = f" by {record['tagger']}" if kind == "tag" else ""
        who = players.get(own["player_id"], "")
        told = "; ".join(differ) or "it is another one at the same place"
        out.append(f"line {line}: {what}{by} there, {attempt} here ({who}): {told}")
    return out


def _by_line(records: pl.DataFrame, lines: pl.DataFrame) -> dict[int, dict[str, Any]]:
    wanted = records.join(lines.select("line").unique(), on="line", how="semi")
    return {row["line"]: row for row in wanted.iter_rows(named=True)}
