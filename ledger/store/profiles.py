"""Mapping profiles kept in the ledger: saved once, used every week, taken back like any change."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from ledger.errors import UseError
from ledger.store import changes
from ledger.store.batch import Seen
from ledger.store.names import tidy, written_form
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

_LONGEST_NAME = 100
# Keys of a mapping that change what the same bytes say.
_MARKS = ("--profile", "--second-file", "--sheet", "--path", "--trips")


@dataclass(frozen=True, slots=True)
class Saved:
    """A profile as the ledger keeps it.

    Attributes:
        id: its number.
        name: what it is called.
        body: its text.
        who: who saved it last.
        when: when, UTC.
        source: the change it was saved by, where it was saved just now.
    """

    id: int
    name: str
    body: str
    who: str
    when: datetime
    source: int | None = None


def save(con: DuckDBPyConnection, hand: Hand, name: str, body: str) -> Saved:
    """Keep a profile; one of the same name gets the new text, and undo brings the old one back.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when.
        name: what it is called.
        body: its text, already checked.

    Raises:
        UseError: if the name cannot be used.
    """
    called = tidy(name)
    if not called or len(called) > _LONGEST_NAME:
        raise UseError(f"a profile needs a name of 1 to {_LONGEST_NAME} letters")
    before = find(con, called)
    if before is not None and before.body == body:
        return before
    now = hand.clock()
    source_id = changes.begin(con, hand, "profile", called)
    if before is None:
        number = changes.next_id(con, "profile")
        row = {"id": number, "name": called, "body": body, "who": hand.who, "at_time": now}
        con.execute(sql("profiles", "add"), row)
        changes.added(con, hand, source_id, "profile", number)
    else:
        number = before.id
        for field, value in (("body", body), ("who", hand.who), ("at_time", now)):
            changes.set_field(con, hand, source_id, "profile", number, field, value)
    return Saved(number, before.name if before else called, body, hand.who, now, source_id)


def find(con: DuckDBPyConnection, name: str) -> Saved | None:
    """The profile of a name, capitals and runs of blanks ignored."""
    form = written_form(name)
    return next((saved for saved in listed(con) if written_form(saved.name) == form), None)


def listed(con: DuckDBPyConnection) -> tuple[Saved, ...]:
    """Every profile, by name."""
    return tuple(Saved(*row) for row in con.execute(sql("profiles", "all")).fetchall())


def came_before(
    con: DuckDBPyConnection, kind: str, sha256: str, marks: Mapping[str, str]
) -> Seen | None:
    """The live source that brought the same bytes, laid out and mapped the same way.

    Args:
        con: any connection of the ledger.
        kind: what a record is.
        sha256: hash of the bytes.
        marks: what its mapping holds of profile, second files, sheet and path; nothing else.
    """
    values = {"kind": kind, "sha256": sha256}
    for number, when, rows, rejected, mapping in con.execute(
        sql("profiles", "same_bytes"), values
    ).fetchall():
        kept = json.loads(mapping or "{}")
        if {key: value for key, value in kept.items() if key.startswith(_MARKS)} == marks:
            return Seen(int(number), when, int(rows), True, int(rejected))
    return None
