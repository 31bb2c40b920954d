"""What a ledger file may hold: exactly the tables the migrations make, and nothing else.

A stranger's database is code as much as data (views, macros that stand in for built-ins, triggers,
computed columns), so its catalogue is compared before anything in it is read. The expected schema
is stated once, in the migrations: they are run in memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from ledger.errors import LedgerDamaged, LedgerNewer
from ledger.store import migrations
from ledger.store.connection import in_memory
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection


@dataclass(frozen=True, slots=True)
class ColumnRule:
    """One column as the migrations make it: DuckDB type, and whether it may be empty."""

    name: str
    type: str
    required: bool


@dataclass(frozen=True, slots=True)
class Schema:
    """Tables by name: the statement that makes each, and its columns in order."""

    statements: Mapping[str, str]
    columns: Mapping[str, tuple[ColumnRule, ...]]


@cache
def schema(version: int | None = None) -> Schema:
    """The schema of a format version, the newest unless given.

    Raises:
        KeyError: if there is no such version.
    """
    steps = migrations.steps()
    wanted = migrations.newest() if version is None else version
    if not 1 <= wanted <= len(steps):
        raise KeyError(f"no format version {wanted}")
    con = in_memory()
    try:
        for step in steps[:wanted]:
            con.execute(step.text)
        database = {"database": "memory"}
        made = con.execute(sql("allowlist", "tables"), database).fetchall()
        rules: dict[str, list[ColumnRule]] = {name: [] for _, name, _ in made}
        for table, column, kind, required in con.execute(
            sql("allowlist", "columns"), database
        ).fetchall():
            rules[table].append(ColumnRule(column, kind, bool(required)))
    finally:
        con.close()
    return Schema(
        statements={name: text for _, name, text in made},
        columns={name: tuple(columns) for name, columns in rules.items()},
    )


def tables() -> tuple[str, ...]:
    """The names of all tables of the newest format."""
    return tuple(schema().statements)


def admit(con: DuckDBPyConnection, name: str, *, database: str = "ledger") -> int:
    """Look a file over before it is used, and tell its format version.

    Args:
        con: a connection with the file attached as `ledger`, its names not yet in use.
        name: the ledger as the user knows it.
        database: the alias it is attached under.

    Returns:
        The format version, at most the newest.

    Raises:
        LedgerDamaged: if it holds other tables or columns, or anything that is no table.
        LedgerNewer: if it has a format of a later program.
    """
    asked = {"database": database}
    found = con.execute(sql("allowlist", "tables"), asked).fetchall()
    statements = {table: text for place, table, text in found if place == "main"}
    meta = schema(1).statements["ledger_meta"]
    if len(statements) != len(found) or statements.get("ledger_meta") != meta:
        raise _no_ledger(name)
    version = _version(con, name)
    if version > migrations.newest():
        raise LedgerNewer(
            f"{name} has format {version} and this program knows {migrations.newest()}: "
            "update offglass"
        )
    _compare(statements, schema(version).statements, name)
    others = con.execute(sql("allowlist", "others"), asked).fetchall()
    if others:
        kind, called = others[0]
        raise LedgerDamaged(
            f"{name} holds a {kind} {called!r} that no ledger has, so nothing in it was read: "
            "use a copy made with offglass backup"
        )
    return version


def _version(con: DuckDBPyConnection, name: str) -> int:
    row = con.execute(sql("migrations", "version")).fetchone()
    text = str(row[0]) if row else ""
    if not text.isascii() or not text.isdigit() or not 1 <= len(text) <= 6 or int(text) < 1:
        raise _no_ledger(name)
    return int(text)


def _compare(found: Mapping[str, str], expected: Mapping[str, str], name: str) -> None:
    for table in sorted({*found, *expected}):
        if table not in found:
            trouble = f"lacks the table {table!r}"
        elif table not in expected:
            trouble = f"holds a table {table!r} that no ledger has"
        elif found[table] != expected[table]:
            trouble = f"has a table {table!r} with other columns"
        else:
            continue
        raise LedgerDamaged(
            f"{name} {trouble}, so nothing in it was read: use a copy made with offglass backup"
        )


def _no_ledger(name: str) -> LedgerDamaged:
    return LedgerDamaged(
        f"{name} is a database but no ledger: type offglass new PATH for a ledger of your own"
    )
