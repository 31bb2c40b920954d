"""offglass: a ledger of shot attempts and their technique.

import ledger
with ledger.open("spring.duckdb") as book:
answer = book.ask("ranking", league="Halma League", season="2024-25")
print(answer.headline)
"""

from __future__ import annotations

from os import PathLike
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ledger.book import Book

__version__ = "0.1.0"

__all__ = ["__version__", "open"]


def open(path: str | PathLike[str], *, create: bool = False, who: str | None = None) -> Book:
    """Open a ledger; a context manager that lets the file go at its end.

    Args:
        path: the ledger file, usually `something.duckdb`.
        create: make an empty ledger where there is none.
        who: who makes the changes of this sitting; the machine's user unless given.

    Raises:
        LedgerError: if the file is missing, damaged, newer, or held by another process.
    """
    from ledger.book import Book

    return Book(path, create=create, who=who)
