"""The random tenth of the watched attempts that a second person watches too.

The ledger draws by itself, in the transaction that stores an attempt's first clear tag: every
attempt has the same chance of one in ten, whoever watched it, whatever he saw, and in whatever
order tags come in. A draw stays.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

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
    (kept,) = con.execute(sql("double_tags", "seed")).fetchall()[0]
    values = {"seed": next(s for s in (kept, seed, SEED) if s is not None), "share": SHARE}
    if isinstance(attempts, str):
        con.execute(for_table(sql("double_tags", "draw"), attempts), values)
    elif len(attempts):
        from ledger.store import frames

        text = for_table(sql("double_tags", "draw"), "incoming")
        frames.run_text(con, text, values, incoming=attempts.select("attempt_id"))
