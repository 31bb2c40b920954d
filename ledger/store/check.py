"""Is the ledger whole? Everything the tables promise each other, proved."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from ledger.store import fingerprint
from ledger.store.agree import recomputed
from ledger.store.allowlist import tables
from ledger.store.connection import beside
from ledger.store.keys import foreign_keys, tables_with_ids
from ledger.store.statements import for_table, for_tables, one_under_the_other, sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.ledger_file import LedgerFile

_COPY = "go back to a copy made with offglass backup, or load the last export into a new ledger"
_AGAIN = "type offglass undo {source}, then bring the file in again"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that is not as it should be.

    Attributes:
        what: what is wrong.
        where: the table, row or source.
        fix: what to do next.
    """

    what: str
    where: str
    fix: str

    def line(self) -> str:
        """The finding in one line."""
        return f"{self.where}: {self.what}; {self.fix}"


# Statement, what it found, what to do.
_RULES = (
    (
        "counts_do_not_add_up",
        "its rows are not the sum of stored, rejected, skipped, already there and contradicting",
        _AGAIN,
    ),
    ("refused_rows_missing", "{found} of its rejected rows are not there", _AGAIN),
    ("sightings_missing", "{found} of its rows have left no sighting", _AGAIN),
    ("attempts_missing", "{found} of the attempts it stored are not there", _AGAIN),
    ("unseen_attempts", "{found} attempts that no live source has seen still count", _COPY),
    ("lost_attempts", "{found} attempts that a live source has seen do not count", _COPY),
    ("tags_of_removed", "{found} tags of attempts that were taken back still count", _COPY),
    ("two_tags_of_one", "{found} attempts carry two live tags of one person", _COPY),
)


def check(ledger: LedgerFile) -> list[Finding]:
    """Check a ledger, and what lies beside it.

    Raises:
        LedgerError: if it cannot be opened at all.
    """
    beside = _beside(ledger)
    with ledger.reading() as con:
        found = check_tables(con)
        changes, _ = fingerprint.kept(con)
    known = ledger.last_change_known
    if known is not None and known > changes:
        found.append(
            Finding(
                f"it ends with change {changes}, but change {known} was made here: "
                "this is an older copy, or its end is lost",
                ledger.name,
                "fine if you put a copy back on purpose; else look for the newer file",
            )
        )
    return [*beside, *found]


def check_tables(con: DuckDBPyConnection) -> list[Finding]:
    """Check the tables of a ledger against each other; nothing found means whole.

    Args:
        con: a connection from `LedgerFile.reading`, which turns what cannot even be read into
            one line.
    """
    for table in tables():
        con.execute(for_table(sql("check", "whole"), table)).fetchall()
    return [
        *_fingerprint(con),
        *_ids(con),
        *_references(con),
        *_rules(con),
        *_agreed(con),
    ]


def _beside(ledger: LedgerFile) -> list[Finding]:
    left = [Path(p).name for p in beside(str(ledger.path)) if os.path.lexists(p)]
    if ledger.is_open or not left:
        return []
    return [
        Finding(
            "a program that was stopped has left changes beside the ledger",
            ", ".join(left),
            "leave it there: the next change takes it in; never delete it or copy the ledger "
            "without it",
        )
    ]


def _fingerprint(con: DuckDBPyConnection) -> list[Finding]:
    changes, kept = fingerprint.kept(con)
    if kept is None:
        if not changes:
            return []
        return [Finding("the fingerprint of its last change is not there", "ledger_meta", _COPY)]
    now = fingerprint.row_counts(con)
    return [
        Finding(f"{now[table]} rows, but change {changes} left {kept.get(table, 0)}", table, _COPY)
        for table in now
        if now[table] != kept.get(table, 0)
    ]


def _ids(con: DuckDBPyConnection) -> list[Finding]:
    rows = con.execute(for_tables(sql("check", "twice"), tables_with_ids())).fetchall()
    return [Finding(f"{found} rows share an id with another", str(t), _COPY) for t, found in rows]


def _references(con: DuckDBPyConnection) -> list[Finding]:
    one = sql("check", "nowhere")
    texts = (for_table(one, k.table, column=k.column, to=k.to) for k in foreign_keys())
    out = [
        Finding(f"{found} rows name a {to} that is not there ({example})", str(place), _COPY)
        for place, found, example, to in con.execute(one_under_the_other(texts)).fetchall()
    ]
    joined = [k.table for k in foreign_keys() if k.column == "same_as"]
    for place, found in con.execute(for_tables(sql("check", "chained"), joined)).fetchall():
        out.append(
            Finding(
                f"{found} rows are the same as one that is itself the same as another",
                str(place),
                "type offglass same --apart, then offglass same again",
            )
        )
    return out


def _rules(con: DuckDBPyConnection) -> list[Finding]:
    out = []
    for name, what, fix in _RULES:
        for place, found in con.execute(sql("check", name)).fetchall():
            source = str(place).removeprefix("source ")
            out.append(Finding(what.format(found=found), str(place), fix.format(source=source)))
    return out


def _agreed(con: DuckDBPyConnection) -> list[Finding]:
    con.execute("\n".join((sql("check", "agreed_differs"), recomputed())))
    try:
        rows = con.execute(sql("check", "agreed_compared")).fetchall()
    finally:
        con.execute(sql("check", "forget_anew"))
    return [
        Finding(
            f"{found} attempts have another agreed technique than their tags give",
            str(place),
            "type any tag or word: agreed techniques are worked out anew with it, or " + _COPY,
        )
        for place, found in rows
    ]
