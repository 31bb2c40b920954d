"""Techniques of the other ledger: added where there is none of the name, never given another sense.

A technique that was added stays when the merge is taken back, as names of players and teams do.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ledger.errors import UseError
from ledger.store import changes, frames, journal
from ledger.store.merge.brought import Brought
from ledger.store.merge.spelling import Tables
from ledger.store.names import tidy, written_form
from ledger.store.registers import free_technique
from ledger.store.statements import sql
from ledger.store.words import resolve_written

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

_LONGEST = 10_000


def bring_techniques(
    con: DuckDBPyConnection, hand: Hand, other: Tables, source_id: int, brought: Brought
) -> tuple[dict[str, str], dict[str, str]]:
    """Add what is not there.

    Returns:
        What each technique of the other ledger is called here; and those that mean something else
        there, with what to do about it.
    """
    here = {
        written_form(name): (name, uses_board, groups)
        for _, name, uses_board, groups in frames.fetch(
            con, ("merge/registers", "techniques")
        ).rows()
    }
    called: dict[str, str] = {}
    foreign: dict[str, str] = {}
    for row in other["technique"].sort("place", "id").iter_rows(named=True):
        name, own = row["name"], here.get(written_form(row["name"]))
        if own is None:
            try:
                called[name] = _added(con, hand, row, source_id)
            except UseError as error:
                foreign[name] = f"the technique cannot be added here: {error.message}"
                brought.leave(f"technique {name}: {error.message}")
                continue
            brought.count("techniques")
        elif own[1] != row["uses_board"]:
            there, ours = _board(row["uses_board"]), _board(own[1])
            foreign[name] = (
                f"{name} goes {there} in the other ledger and {ours} in this one: agree on one "
                "meaning, give the other another name, then merge again"
            )
            brought.leave(f"technique {name}: {there} there, {ours} here")
        else:
            called[name] = own[0]
            if set(own[2].split(",")) != set(row["groups"].split(",")):
                brought.leave(
                    f"technique {name}: its groups are {row['groups'] or 'none'} there, "
                    f"{own[2] or 'none'} here"
                )
    return called, foreign


def _added(con: DuckDBPyConnection, hand: Hand, row: dict[str, Any], source_id: int) -> str:
    """Add one technique; no line of the journal lets an undo take it away again."""
    called = free_technique(con, row["name"])
    number = changes.next_id(con, "technique")
    note = row["rule_note"]
    con.execute(
        sql("registers", "add_technique"),
        {
            "id": number,
            "name": called,
            "uses_board": row["uses_board"],
            "groups": ",".join(sorted(g for g in row["groups"].split(",") if tidy(g) == g != "")),
            "rule_note": tidy(note)[:_LONGEST] or None if note else None,
            "place": number,
        },
    )
    journal.record(
        con, hand.clock, hand.who, "technique", table="technique", row_id=number,
        field="name", new=called, source_id=source_id,
    )  # fmt: skip
    resolve_written(con, called, called)
    return called


def _board(uses_board: bool) -> str:
    return "off the backboard" if uses_board else "not off the backboard"
