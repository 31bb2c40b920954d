"""A disputed attempt settled: a person's ruling, which stands above all other tags of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import polars as pl

from ledger.errors import UseError
from ledger.intake import findings
from ledger.intake.bring import words_of
from ledger.intake.words import NOT_RECORDED, UNCLEAR
from ledger.store import frames, sitting
from ledger.store.names import find_technique
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.ledger_file import LedgerFile


@dataclass(frozen=True, slots=True)
class Settled:
    """What a ruling came to.

    Attributes:
        source: what to take back.
        attempt: the attempt.
        technique: what it is now.
        before: tagger and technique of every tag there was.
        was: the agreed technique before; `disputed`, or `no technique`.
    """

    source: int
    attempt: int
    technique: str
    before: tuple[tuple[str, str], ...]
    was: str

    def words(self) -> str:
        """One line for the person who settled it."""
        tags = ", ".join(f"{who} {said}" for who, said in self.before) or "no tag"
        return (
            f"attempt {self.attempt} settled: {self.technique}; before: {self.was} ({tags}); "
            f"to take it back: offglass undo {self.source}"
        )


def settle(ledger: LedgerFile, attempt: int, technique: str) -> Settled:
    """Settle the technique of an attempt.

    What the person saw else of it before stays with the ruling.

    Args:
        ledger: the ledger.
        attempt: the ledger's number of the attempt.
        technique: a technique's name, a word for one, or `unclear`.

    Raises:
        UseError: if there is no such attempt or technique.
    """
    meant = words_of(ledger).look("technique", technique)
    with ledger.changing("offglass settle") as con:
        if meant != UNCLEAR:
            wanted = technique if meant in (None, NOT_RECORDED) else meant
            meant = find_technique(con, wanted or technique).name
        if frames.one(con, ("typed", "attempt"), {"attempt_id": attempt}) is None:
            raise UseError(f"there is no attempt {attempt}: offglass ask attempts lists them")
        before, was = _before(con, attempt)
        frame = _ruling(con, ledger, attempt, meant)
        source = sitting.begin(con, ledger, f"attempt {attempt} settled: {meant}")
        sitting.take(con, ledger, source, "tags", frame)
    return Settled(source, attempt, findings.show(meant), before, was)


def _before(con: DuckDBPyConnection, attempt: int) -> tuple[tuple[tuple[str, str], ...], str]:
    asked = {"attempt_id": attempt}
    rows = con.execute(sql("typed", "tags_of"), asked).fetchall()
    agreed = con.execute(sql("typed", "agreed"), asked).fetchone()
    was = "no technique"
    if agreed is not None:
        was = "disputed" if agreed[1] else str(agreed[0] or was)
    said = tuple((findings.show(str(r[1])), findings.show(str(r[2]))) for r in rows)
    return said, was


def _ruling(
    con: DuckDBPyConnection, ledger: LedgerFile, attempt: int, technique: str
) -> pl.DataFrame:
    """The ruling as a record, with what the person had seen of the attempt before."""
    asked = {"attempt_id": attempt, "tagger": ledger.who}
    frame = frames.fetch(con, ("typed", "tag_of"), asked)
    if frame.is_empty():
        frame = pl.DataFrame({"note": [None]}, schema={"note": pl.String})
    clear = technique != UNCLEAR
    return frame.with_columns(
        pl.lit(1, pl.Int32).alias("line"),
        pl.lit(attempt, pl.Int64).alias("attempt_number"),
        pl.lit(technique if clear else None, pl.String).alias("technique"),
        pl.lit(technique).alias("technique_as_written"),
        pl.lit(not clear).alias("unclear"),
        pl.lit(True).alias("adjudicated"),
        pl.lit(ledger.who).alias("tagger"),
    )
