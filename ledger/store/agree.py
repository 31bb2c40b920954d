"""The technique an attempt's tags agree on, rewritten whenever a tag, word or ruling changes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ledger.store import double_tags
from ledger.store.statements import for_table, sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection


def agree(con: DuckDBPyConnection, attempt_ids: str | None = None) -> None:
    """Rewrite `agreed` from the live tags, and draw which new ones are to be watched twice.

    The latest ruling if there is one; else the technique that more than half of the clear tags
    name; else none, and disputed where clear tags name several.

    Args:
        con: a connection inside `LedgerFile.changing`.
        attempt_ids: a temporary table with a column `attempt_id`, the attempts that were touched;
            all attempts without one.
    """
    if attempt_ids is None:
        con.execute(sql("agreed", "forget_all"))
    else:
        con.execute(for_table(sql("agreed", "forget_some"), attempt_ids))
    con.execute("\n".join((sql("agreed", "keep"), recomputed(attempt_ids))))
    double_tags.draw(con, attempt_ids or "agreed")


def agree_one(con: DuckDBPyConnection, attempt_id: int, seed: int) -> None:
    """The same for one attempt.

    Args:
        con: a connection inside `LedgerFile.changing`.
        attempt_id: the attempt.
        seed: that of the draws there are.
    """
    asked = {"attempt_id": attempt_id}
    con.execute(sql("agreed", "forget_one"), asked)
    con.execute("\n".join(sql("agreed", name) for name in ("keep", "of_one", "compute")), asked)
    double_tags.draw_one(con, attempt_id, seed)


def agree_alone(con: DuckDBPyConnection, attempt_id: int, seed: int) -> None:
    """The same for one attempt that has got its first tag.

    Args:
        con: a connection inside `LedgerFile.changing`.
        attempt_id: the attempt.
        seed: that of the draws there are.
    """
    asked = {"attempt_id": attempt_id}
    con.execute("\n".join((sql("agreed", "keep"), sql("agreed", "alone"))), asked)
    double_tags.draw_one(con, attempt_id, seed)


def recomputed(attempt_ids: str | None = None) -> str:
    """The query that gives what `agreed` should hold, in its columns' order."""
    if attempt_ids is None:
        start = sql("agreed", "of_all")
    else:
        start = for_table(sql("agreed", "of_some"), attempt_ids)
    return "\n".join((start, sql("agreed", "compute")))
