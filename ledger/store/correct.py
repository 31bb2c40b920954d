"""A wrong record mended by a person: kept through a re-import, taken back like a source."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.errors import UseError
from ledger.store import bulk, corrections, frames, journal
from ledger.store.batch import Batch, Committed
from ledger.store.commit import write_source
from ledger.store.names import find_player, find_team, written_form
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

# Field of an attempt as a person names it to the field of its record.
ATTEMPT_FIELDS = {
    **{n: n for n in ("made", "shot", "period", "trip_shot", "trip_of", "trip_kind", "ended_by")},
    **{n: n for n in ("rebound_by", "spot", "x_m", "y_m")},
    "clock": "clock_s",
    "order": "given_order",
    "player": "player_id",
    "team": "team_id",
    "opponent": "opponent_id",
}
KINDS = ("attempt", "player", "game", "team")
_REQUIRED = {
    "attempt": ("made", "shot", "player", "team"),
    "player": ("name",),
    "team": ("name",),
    "game": ("date", "stage"),
}


@dataclass(frozen=True, slots=True)
class Corrected:
    """What a correction came to.

    Attributes:
        source: the source that holds it; taking it back undoes it.
        said: what changed, as field, old and new value; players and teams by name.
    """

    source: int
    said: tuple[tuple[str, Any, Any], ...]


def fields_of(kind: str) -> tuple[str, ...]:
    """The fields of a kind of record that can be corrected."""
    return tuple(ATTEMPT_FIELDS if kind == "attempt" else corrections.COLUMNS[kind])


def correct(
    con: DuckDBPyConnection,
    hand: Hand,
    kind: str,
    row_id: int,
    changes: Mapping[str, Any],
    *,
    why: str,
) -> Corrected:
    """Mend a record.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when.
        kind: one of `KINDS`.
        row_id: the attempt, player, game or team.
        changes: field to its new value, typed as the schema says; players and teams by name; `None`
            empties a field.
        why: the reason, kept in the journal.

    Returns:
        The source that holds the correction, and what changed.

    Raises:
        UseError: if there is no such record or field, nothing would change, or no reason is given.
    """
    _possible(kind, row_id, changes, why)
    source_id = bulk.next_id(con, "source")
    if kind == "attempt":
        said = _attempt(con, row_id, dict(changes), source_id)
    else:
        said = _entity(con, kind, row_id, dict(changes))
    if not said:
        raise UseError(f"{kind} {row_id} is so already: nothing to correct")
    _close(con, hand, kind, row_id, source_id, said, why.strip())
    if kind != "attempt":
        corrections.reapply(con, source_id)
    return Corrected(source_id, tuple(said))


def _possible(kind: str, row_id: int, changes: Mapping[str, Any], why: str) -> None:
    if kind not in KINDS:
        raise UseError(f"{kind!r} cannot be corrected: use {', '.join(KINDS)}")
    if not why.strip():
        raise UseError("a correction needs a reason: --why TEXT")
    unknown = [name for name in changes if name not in fields_of(kind)]
    if unknown or not changes:
        wrong = (
            f"{unknown[0]!r} is no field of {kind}s that can be corrected"
            if unknown
            else "no field"
        )
        raise UseError(f"{wrong}: use {', '.join(fields_of(kind))}")
    blank = [n for n in _REQUIRED[kind] if n in changes and changes[n] is None]
    if blank:
        raise UseError(f"{blank[0]} of {kind} {row_id} cannot be empty")


def _attempt(
    con: DuckDBPyConnection, attempt_id: int, changes: dict[str, Any], source_id: int
) -> list[tuple[str, Any, Any]]:
    """Lay the changes over an attempt; what changed, as field, old and new value."""
    ids = pl.DataFrame({"attempt_id": [attempt_id]}, schema={"attempt_id": pl.Int64})
    game = frames.fetch(con, ("commit/rederive", "games_of"), wanted=ids)
    rows = bulk.attempts_of(con, game).filter(
        (pl.col("attempt_id") == attempt_id) & ~pl.col("removed")
    )
    if rows.is_empty():
        raise UseError(f"there is no attempt {attempt_id}: offglass ask attempts lists them")
    row = rows.row(0, named=True)
    new, said = _differing(con, row, changes)
    if not new:
        return []
    after = row | new
    if after["trip_shot"] and after["trip_of"] and after["trip_shot"] > after["trip_of"]:
        raise UseError(
            f"trip_shot {after['trip_shot']} is above trip_of {after['trip_of']}: correct both"
        )
    if row["trip_derived"] and new.keys() & {"trip_shot", "trip_of"}:
        # A trip that a person told is written, and yields to none that is derived.
        new["trip_derived"] = after["trip_derived"] = False
    bulk.materialise(con, ids)
    frame = pl.DataFrame([after], schema=rows.schema)
    bulk.set_attempts(con, frame.with_columns(pl.lit(False).alias("trip_incomplete")))
    given = json.dumps({"set": new, "was": {n: row[n] for n in new}}, ensure_ascii=False)
    con.execute(
        sql("commit/rederive", "add_one_sighting"),
        {
            "source_id": source_id,
            "line": 1,
            "attempt_id": attempt_id,
            "outcome": "corrected",
            "given": given,
        },
    )
    bulk.set_trips(con, game)
    return said


def _differing(
    con: DuckDBPyConnection, row: dict[str, Any], changes: dict[str, Any]
) -> tuple[dict[str, Any], list[tuple[str, Any, Any]]]:
    """The columns that change, and how the journal tells of it."""
    new: dict[str, Any] = {}
    said = []
    for field, value in changes.items():
        column = ATTEMPT_FIELDS[field]
        shown = value
        if field == "player" and value is not None:
            named = find_player(con, str(value), row["league_id"])
            value, shown = named.id, named.name
            if value == row["person_id"]:
                continue
        elif field in ("team", "opponent") and value is not None:
            named = find_team(con, str(value), row["league_id"])
            value, shown = named.id, named.name
        if value != row[column]:
            new[column] = value
            said.append((field, _shown(con, field, row[column]), shown))
    return new, said


def _shown(con: DuckDBPyConnection, field: str, value: Any) -> Any:
    """A value as the journal shows it: players and teams by name."""
    if value is None or field not in ("player", "team", "opponent"):
        return value
    which = "player_name" if field == "player" else "team_name"
    return frames.one(con, ("commit/correct", which), {"id": value})


def _entity(
    con: DuckDBPyConnection, kind: str, row_id: int, changes: dict[str, Any]
) -> list[tuple[str, Any, Any]]:
    found = con.execute(sql("commit/correct", kind), {"id": row_id})
    columns = [c[0] for c in found.description or ()]
    rows = found.fetchall()
    if not rows:
        raise UseError(f"there is no {kind} {row_id}")
    row = dict(zip(columns, rows[0], strict=True))
    said = []
    for field, value in changes.items():
        if field in ("home", "away") and value is not None:
            value = find_team(con, str(value), row["league_id"]).name
        if value != row[field]:
            said.append((field, row[field], value))
    _free(con, kind, row_id, row, {field: new for field, _, new in said})
    return said


def _free(
    con: DuckDBPyConnection, kind: str, row_id: int, row: dict[str, Any], new: dict[str, Any]
) -> None:
    """Refuse a name or a day and label that another record of the league has."""
    if kind == "team" and "name" in new:
        asked = {"id": row_id, "league_id": row["league_id"], "form": written_form(new["name"])}
        if con.execute(sql("commit/correct", "other_team"), asked).fetchall():
            raise UseError(
                f"the league has a team {new['name']!r} already: if they are one, type "
                f"offglass same --team"
            )
    if kind == "game" and {"date", "label"} & set(new):
        asked = {
            "id": row_id,
            "date": new.get("date", row["date"]),
            "label": new.get("label", row["label"]),
        }
        if con.execute(sql("commit/correct", "other_game"), asked).fetchall():
            raise UseError("the league has another game of that day and label: give another label")


def _close(
    con: DuckDBPyConnection,
    hand: Hand,
    kind: str,
    row_id: int,
    source_id: int,
    said: list[tuple[str, Any, Any]],
    why: str,
) -> None:
    for field, old, new in said:
        journal.record(
            con, hand.clock, hand.who, "correct", table=kind, row_id=row_id, field=field,
            old=old, new=new, why=why, source_id=source_id,
        )  # fmt: skip
    batch = Batch(kind="correction", file=f"{kind} {row_id}", frame=pl.DataFrame())
    done = Committed(
        source_id=source_id,
        rows=1,
        stored=1,
        rejected=0,
        skipped=0,
        already_there=0,
        contradicting=0,
        attempts_stored=0,
        tags_stored=0,
        fields_filled=0,
        reasons={},
        new={},
        warnings=(),
        refused=pl.DataFrame(),
        contradictions=(),
    )
    write_source(con, hand, batch, done, hand.clock())
