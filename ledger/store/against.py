"""In which field a record contradicts the attempt or the tag it was matched to."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.store import bulk, frames
from ledger.store.records import COMPARED, TAG_COMPARED

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_TOLD = 3
_SIDES = ("in the file", "in the ledger")
_CALLED = {
    "game_id": "the game",
    "team_id": "the team",
    "opponent_id": "the opponent",
    "clock_s": "clock",
    "given_order": "order",
    "technique_id": "technique",
    "person_id": "the player",
}
_NAMELESS = ("game_id", "team_id", "opponent_id", "person_id")


def told_of(con: DuckDBPyConnection, seen: pl.DataFrame, records: pl.DataFrame) -> dict[int, str]:
    """What differs in the first three lines of a file that contradict, by line.

    Args:
        con: a connection of the change.
        seen: what became of each record: `rec`, `line`, `attempt_id`, `outcome`.
        records: the records, with `rec`.
    """
    bad = seen.filter(pl.col("outcome") == "contradicting").select("rec", "line", "attempt_id")
    if bad.is_empty():
        return {}
    bad = bad.filter(pl.col("line").is_in(bad["line"].unique().sort().head(_TOLD).implode()))
    wanted = bad.select("attempt_id").unique()
    games = frames.fetch(con, ("commit/rederive", "games_of"), wanted=wanted)
    here = {r["attempt_id"]: r for r in bulk.attempts_of(con, games).iter_rows(named=True)}
    tags = {
        (r["attempt_id"], r["tagger"]): r for r in bulk.tags_of(con, wanted).iter_rows(named=True)
    }
    names = dict(frames.fetch(con, ("commit/records", "technique_ids")).iter_rows())
    said = records.join(bad.select("rec"), on="rec", how="semi")
    by_rec = {r["rec"]: r for r in said.iter_rows(named=True)}
    found: dict[int, str] = {}
    for rec, line, attempt in bad.sort("line", "rec").iter_rows():
        record, own = by_rec[rec], here.get(attempt, {})
        differ = differing(record, own, (*COMPARED, "person_id", "given_order"), sides=_SIDES)
        tag = tags.get((attempt, record["tagger"]), {})
        differ += differing(record, tag, TAG_COMPARED, names, _SIDES)
        if differ:
            found.setdefault(line, ", ".join(differ))
    return found


def words(lines: list[int], told: Mapping[int, str]) -> str:
    """The line of a report about rows that contradict.

    Args:
        lines: their lines, in order.
        told: line to what differs, of the first of them.
    """
    what = "row contradicts" if len(lines) == 1 else "rows contradict"
    shown = ", ".join(map(str, lines[:5]))
    more = f" and {len(lines) - 5} more" if len(lines) > 5 else ""
    of = "it" if len(lines) == 1 else "them"
    said = "".join(f"; line {line}: {told[line]}" for line in lines[:_TOLD] if line in told)
    return (
        f"{len(lines)} {what} the ledger and nothing of {of} was taken (line {shown}{more}){said}"
    )


def differing(
    record: dict[str, Any],
    own: dict[str, Any],
    fields: tuple[str, ...],
    names: dict[int, str] | None = None,
    sides: tuple[str, str] = ("there", "here"),
) -> list[str]:
    """Fields in which a record differs from what the ledger has, a few words each.

    Args:
        record: the record that contradicts.
        own: the attempt or tag of the ledger.
        fields: which fields count.
        names: names of techniques by id, where the record is a tag.
        sides: where the record's value stands, and where the ledger's.
    """
    found = []
    for name in fields:
        told, have = record.get(name), own.get(name)
        if told is None or have is None or told == have:
            continue
        called = _CALLED.get(name, name)
        if name in _NAMELESS:
            found.append(f"{called} is another one")
        else:
            found.append(
                f"{called} is {_text(told, name, names)} {sides[0]}, "
                f"{_text(have, name, names)} {sides[1]}"
            )
    return found


def _text(value: Any, name: str, names: dict[int, str] | None) -> str:
    if names and name == "technique_id":
        return names.get(value, "unknown")
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
