"""One trip to the line at a time, typed by one person, as fast as he types.

`sitting.take` looks up names and lays records over whatever the ledger holds of the game. Where a
sitting is all that a game has, and the shooter has shot in it before, there is nothing to look up
and nothing to meet: equal records of one sitting are several attempts. Such records are added here,
in a few milliseconds at a million attempts, and leave what the long way would leave.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.store import bulk, frames, incoming, joined, sitting
from ledger.store.identity import Found
from ledger.store.names import written_form
from ledger.store.records import ATTEMPT, STATE, TAG, TAGS
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

# The tables a trip adds to, for `LedgerFile.changing`.
TOUCHES = ("source", "sighting", "attempt", "tag", "agreed", "double_tag")


@dataclass(frozen=True, slots=True)
class Place:
    """Where and for whom a player of a game shoots, as rows of the ledger."""

    game_id: int
    player_id: int
    team_id: int
    opponent_id: int | None
    person_id: int


def changes(con: DuckDBPyConnection) -> int:
    """How often the ledger was changed: what was known at an earlier number may be so no more."""
    return int(frames.one(con, ("scored", "changes")))


def open_sitting(con: DuckDBPyConnection, who: str, file: str) -> int | None:
    """The sitting of that name that this person can go on with."""
    found = frames.one(con, ("scored", "sitting"), {"who": who, "file": file})
    return None if found is None else int(found)


def place_of(con: DuckDBPyConnection, attempt_id: int) -> Place:
    """Where and for whom an attempt was shot."""
    row = con.execute(sql("scored", "place"), {"attempt_id": attempt_id}).fetchall()[0]
    return Place(*row)


def is_alone(con: DuckDBPyConnection, game_id: int, source_id: int) -> bool:
    """Whether a sitting typed every attempt that there is, or was, of a game."""
    wanted = pl.DataFrame({"game_id": [game_id]}, schema={"game_id": pl.Int32})
    games = joined.ones(con).with_others(wanted)
    with frames.lent(con, wanted=games):
        return not frames.one(con, ("scored", "others"), {"source_id": source_id})


def known_places(
    con: DuckDBPyConnection, hand: Hand, frame: pl.DataFrame, source_id: int
) -> dict[tuple[str, str], Place]:
    """Who players are, by name and team as `names.written_form` has them.

    Args:
        con: a connection inside `LedgerFile.changing`, in a change that the caller gives up.
        hand: who types.
        frame: `line` and the typed columns of an attempt of each, all of one game that is there.
        source_id: an open sitting.

    Returns:
        Those the ledger knows; nobody, where a record of one of them would part a player in two.
    """
    values = {"source_id": source_id}
    newest = int(frames.one(con, ("commit/identity", "next_player")))
    before = frames.one(con, ("scored", "splits"), values)
    placed = incoming.placed(con, hand, frame, source_id, Found())
    if frames.one(con, ("scored", "splits"), values) != before:
        return {}
    found = {}
    for row in placed.filter(pl.col("player_id") < newest).iter_rows(named=True):
        key = written_form(row["player"]), written_form(row["team"])
        found[key] = Place(*(row[n] for n in Place.__slots__))
    return found


def append(
    con: DuckDBPyConnection,
    hand: Hand,
    source_id: int,
    place: Place,
    rows: Sequence[Mapping[str, Any]],
) -> list[int]:
    """Add the attempts of one visit to the line.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who types, and when.
        source_id: an open sitting that is alone in its game.
        place: whose attempts they are.
        rows: typed columns of each attempt, `given_order` among them; `technique` by its name. The
            first is the first of its trip, or they are of no trip.

    Returns:
        Their numbers.

    Raises:
        UseError: if the sitting is not open.
    """
    line = sitting.next_line(con, source_id)
    first = bulk.next_id(con, "attempt")
    broken = _is_broken(rows)
    attempts = [
        {
            **dict.fromkeys(STATE),
            **{n: v for n, v in row.items() if n in ATTEMPT},
            "game_id": place.game_id,
            "player_id": place.player_id,
            "team_id": place.team_id,
            "opponent_id": place.opponent_id,
            "shot": "free_throw",
            "trip_derived": False,
            "trip_incomplete": broken,
            "attempt_id": first + at,
            "source_id": source_id,
        }
        for at, row in enumerate(rows)
    ]
    shape = {**STATE, "trip_incomplete": pl.Boolean()}
    bulk.add_attempts(con, pl.DataFrame(attempts, schema=shape))
    tags = _tags(con, hand, source_id, line, first, rows)
    if len(tags):
        bulk.add_tags(con, tags)
    seen = pl.DataFrame(
        {
            "line": range(line, line + len(rows)),
            "attempt_id": range(first, first + len(rows)),
            "outcome": ["stored"] * len(rows),
            "given": [None] * len(rows),
        },
        schema={
            "line": pl.Int32, "attempt_id": pl.Int64, "outcome": pl.String, "given": pl.String,
        },
    )  # fmt: skip
    frames.pour(con, ("commit/records", "add_sightings"), seen, {"source_id": source_id})
    if len(tags):
        bulk.agree_fresh(con, tags)
    counts = {"id": source_id, "attempts": len(rows), "tags": len(tags)}
    con.execute(sql("scored", "count_typed"), counts)
    return [first + at for at in range(len(rows))]


def _is_broken(rows: Sequence[Mapping[str, Any]]) -> bool:
    """Whether shots of the trip are missing, as `trips.incomplete` has it."""
    of, kind = rows[0].get("trip_of"), rows[0].get("trip_kind")
    if of is None or len(rows) == of:
        return False
    return not (len(rows) == 1 and kind == "one_and_one" and not rows[0]["made"])


def _tags(
    con: DuckDBPyConnection,
    hand: Hand,
    source_id: int,
    line: int,
    first: int,
    rows: Sequence[Mapping[str, Any]],
) -> pl.DataFrame:
    """What was typed of how they were shot, a row for each attempt of which it was."""
    told = [(at, row) for at, row in enumerate(rows) if any(row.get(n) is not None for n in TAG)]
    if not told:
        return pl.DataFrame(schema=TAGS)
    rows_of = con.execute(sql("commit/records", "technique_ids")).fetchall()
    known = {str(name): int(number) for number, name in rows_of}
    now = hand.clock()
    return pl.DataFrame(
        [
            {
                **dict.fromkeys(TAGS),
                **{n: v for n, v in row.items() if n in TAG},
                "technique_id": known.get(str(row.get("technique"))),
                "attempt_id": first + at,
                "source_id": source_id,
                "line": line + at,
                "tagger": hand.who,
                "tagged_at": now,
                "adjudicated": False,
                "unclear": False,
            }
            for at, row in told
        ],
        schema=TAGS,
    )
