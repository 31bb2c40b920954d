"""The random tenth of the watched attempts that a second person watches too.

The ledger draws by itself, in the transaction that stores an attempt's first clear tag: every
attempt has the same chance of one in ten, whoever watched it, whatever he saw, and in whatever
order tags come in. A draw stays.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ledger.store.statements import for_table, sql

if TYPE_CHECKING:
    import polars as pl
    from duckdb import DuckDBPyConnection

SHARE = 0.1
SEED = 1


def draw(con: DuckDBPyConnection, attempts: str | pl.DataFrame, seed: int | None = None) -> None:
    """Draw among attempts that have just been tagged; those drawn before stay so.

    Args:
        con: a connection inside `LedgerFile.changing`, the tags already stored.
        attempts: `attempt_id`: a frame, or the name of a table that has it.
        seed: of a ledger without draws; the seed of its draws otherwise, 1 unless given.

    Raises:
        ValueError: for a seed that is no whole number from 0 to 2,147,483,647.
    """
    if seed is not None and not 0 <= seed < 2**31:
        raise ValueError(f"a seed of draws is a whole number from 0 to {2**31 - 1}, not {seed}")
    values = {"seed": seed_of(con, seed), "share": SHARE}
    if isinstance(attempts, str):
        _draw(con, attempts, values)
    elif len(attempts):
        from ledger.store import frames

        with frames.lent(con, incoming=attempts.select("attempt_id")):
            _draw(con, "incoming", values)


def draw_one(con: DuckDBPyConnection, attempt_id: int, seed: int) -> None:
    """The same for one attempt, with the seed of the draws there are."""
    if is_watched_twice(attempt_id, seed):
        con.execute(sql("double_tags", "draw_one"), {"attempt_id": attempt_id, "seed": seed})


def is_watched_twice(attempt_id: int, seed: int) -> bool:
    """Whether an attempt is of the tenth, as the statement for many has it.

    A test holds the two together; for one attempt this is a hundred times as fast.
    """
    x = (attempt_id % 2**31 * 747796405 + seed * 2891336453) % 2**31
    x = ((x ^ x >> 15) * 739982445) % 2**31
    x = ((x ^ x >> 12) * 695872825) % 2**31
    return (x ^ x >> 15) < SHARE * 2**31


def seed_of(con: DuckDBPyConnection, given: int | None = None) -> int:
    """The seed of the draws there are, else the one that is given, else the usual one."""
    (kept,) = con.execute(sql("double_tags", "seed")).fetchall()[0]
    return next(s for s in (kept, given, SEED) if s is not None)


def _draw(con: DuckDBPyConnection, table: str, values: dict[str, Any]) -> None:
    chosen = for_table(sql("double_tags", "chosen"), table)
    (found,) = con.execute("\n".join((chosen, sql("double_tags", "any"))), values).fetchall()[0]
    if found:
        text = "\n".join((sql("double_tags", "into"), chosen, sql("double_tags", "keep")))
        con.execute(text, values)
