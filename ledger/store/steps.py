"""The last step of a sitting taken back: one visit to the line, as it was typed.

Its sightings go. Attempts that nothing else in the ledger says a word about go with them; where
others have, the game is rebuilt from what they gave, as after the undo of a source.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.errors import UseError
from ledger.store import bulk, frames, journal, persons
from ledger.store.rederive import rederive_games
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

_SHAPE = {"line": pl.Int32, "attempt_id": pl.Int64, "game_id": pl.Int32}


@dataclass(frozen=True, slots=True)
class Step:
    """What was taken back.

    Attributes:
        player: the shooter.
        person_id: his row.
        team: his team.
        game_id: the game.
        made: each result, in order.
        kept: how many of the attempts stay, because another source has them.
    """

    player: str
    person_id: int
    team: str
    game_id: int
    made: tuple[bool, ...]
    kept: int


def take_back(con: DuckDBPyConnection, hand: Hand, source_id: int) -> Step:
    """Take the last step out of a sitting.

    Args:
        con: a connection inside `LedgerFile.changing`; on an error nothing of it is kept.
        hand: who does it, and when.
        source_id: the sitting.

    Raises:
        UseError: if nothing is left of it, or others have tagged what would go.
    """
    rows = _last(con, source_id)
    wanted = pl.DataFrame(
        [(r["line"], r["attempt_id"], r["game_id"]) for r in rows], schema=_SHAPE, orient="row"
    )
    values = {"source_id": source_id}
    _refuse_lost(frames.fetch(con, ("scored", "tags_of_others"), values, wanted=wanted))
    leaned = frames.fetch(con, ("scored", "leaned_on"), values, wanted=wanted)
    with frames.lent(con, wanted=wanted):
        tags = int(frames.one(con, ("scored", "tags_of_lines"), values))
        con.execute(sql("scored", "drop_sightings"), values)
        con.execute(sql("scored", "drop_tags"), values)
    alone = wanted.filter(~pl.col("attempt_id").is_in(leaned["attempt_id"].implode()))
    with frames.lent(con, wanted=alone):
        for name in ("drop_agreed", "drop_double", "drop_attempts"):
            con.execute(sql("scored", name))
    games = wanted.select("game_id").unique()
    if len(leaned):
        rederive_games(con, games)
    else:
        bulk.set_trips(con, games)
    persons.resplit(con, source_id, again=False)
    con.execute(sql("scored", "count_dropped"), {"id": source_id, "lines": len(rows), "tags": tags})
    step = Step(
        player=str(rows[0]["player"]),
        person_id=int(rows[0]["person_id"]),
        team=str(rows[0]["team"]),
        game_id=int(rows[0]["game_id"]),
        made=tuple(bool(r["made"]) for r in rows),
        kept=len(wanted) - len(alone),
    )
    results = ", ".join("made" if made else "missed" for made in step.made)
    journal.record(
        con, hand.clock, hand.who, "take back", table="source", row_id=source_id,
        old=f"{step.player} ({step.team}): {results}", source_id=source_id,
    )  # fmt: skip
    return step


def _last(con: DuckDBPyConnection, source_id: int) -> list[dict[str, Any]]:
    """The lines of the last step, in the order they were typed."""
    found = con.execute(sql("scored", "last_lines"), {"source_id": source_id})
    names = [column[0] for column in found.description or ()]
    rows = [dict(zip(names, row, strict=True)) for row in found.fetchall()]
    if not rows:
        raise UseError("nothing of this sitting is left to take back")
    step = [rows[0]]
    for row in rows[1:]:
        first = step[-1]
        numbered = None not in (row["trip_shot"], first["trip_shot"])
        same = all(row[n] == first[n] for n in ("person_id", "game_id", "trip_of"))
        if not (numbered and same and row["trip_shot"] < first["trip_shot"]):
            break
        step.append(row)
    return step[::-1]


def _refuse_lost(others: pl.DataFrame) -> None:
    """Stop where the tag of somebody else would go with an attempt."""
    if others.is_empty():
        return
    number, tagger = others.row(0)
    raise UseError(
        f"attempt {number} carries a tag by {tagger} from another source: take that one back "
        "first (offglass sources lists it)"
    )
