"""What the store takes from the intake, and what it tells back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Self

import polars as pl

REFUSED = {
    "line": pl.Int32,
    "column": pl.String,
    "value": pl.String,
    "reason": pl.String,
    "fix": pl.String,
}


_COUNTS = (
    *("rows", "stored", "rejected", "skipped", "already_there", "contradicting"),
    *("attempts_stored", "tags_stored", "fields_filled"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """A file that has been read, as the ledger takes it in.

    Attributes:
        kind: `attempts`, `box`, `totals`, `tags`, `players` or `shortlist`.
        file: its name, safe to show.
        frame: `line` and the typed columns of the kind's schema.
        rejects: rows already refused (`line, column, value, reason, fix`, one row each).
        skipped: number of rows that hold no record.
        sha256: hash of its bytes.
        content_hash: hash of its records.
        size: bytes.
        mapping: column as written to field.
        warnings: what its reader should know so far.
        drawn: the tagged players were chosen by lot.
        tagger: who watched, where rows do not say.
    """

    kind: str
    file: str
    frame: pl.DataFrame
    rejects: pl.DataFrame = field(default_factory=lambda: pl.DataFrame(schema=REFUSED))
    skipped: int = 0
    sha256: str | None = None
    content_hash: str | None = None
    size: int | None = None
    mapping: Mapping[str, str] = field(default_factory=dict)
    warnings: tuple[str, ...] = ()
    drawn: bool = False
    tagger: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Committed:
    """What came of a batch; `rows` is the sum of the five counts that follow it, always."""

    source_id: int
    rows: int
    stored: int
    rejected: int
    skipped: int
    already_there: int
    contradicting: int
    attempts_stored: int
    tags_stored: int
    fields_filled: int
    reasons: dict[str, int]
    new: dict[str, int]
    warnings: tuple[str, ...]
    refused: pl.DataFrame
    contradictions: tuple[int, ...]

    def __post_init__(self) -> None:
        account_for(
            self.rows,
            self.stored,
            self.rejected,
            self.skipped,
            self.already_there,
            self.contradicting,
        )

    @classmethod
    def nothing(cls, source_id: int) -> Self:
        """What a source without a row of its own came to."""
        counts: dict[str, Any] = dict.fromkeys(_COUNTS, 0)
        return cls(
            source_id=source_id,
            **counts,
            reasons={},
            new={},
            warnings=(),
            refused=pl.DataFrame(schema=REFUSED),
            contradictions=(),
        )


def account_for(rows: int, *parts: int) -> None:
    """Stop where a row is counted twice or not at all.

    Raises:
        AssertionError: if the rows are not the sum of what became of them.
    """
    if rows != sum(parts):
        raise AssertionError(f"{rows} rows are not the sum of {parts}")


@dataclass(frozen=True, slots=True)
class Taken:
    """What one kind of commit tells: an outcome a line, and the counts beside the rows.

    Attributes:
        lines: `line`, `outcome`, one row a row of the file.
        refused: rows refused on the way, `REFUSED` columns.
        stirred: games (`game_id`) whose attempts are to be rebuilt from all sources at the end.
        games: games (`game_id`) of its attempts.
        against: line to the fields in which it contradicts, of the first such lines.
    """

    lines: pl.DataFrame
    refused: pl.DataFrame
    skipped: int = 0
    attempts_stored: int = 0
    tags_stored: int = 0
    fields_filled: int = 0
    new: Mapping[str, int] = field(default_factory=dict)
    warnings: tuple[str, ...] = ()
    stirred: pl.DataFrame = field(
        default_factory=lambda: pl.DataFrame(schema={"game_id": pl.Int32})
    )
    games: pl.DataFrame = field(default_factory=lambda: pl.DataFrame(schema={"game_id": pl.Int32}))
    against: Mapping[int, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Seen:
    """A live source that brought the same file before.

    Attributes:
        source_id: its number.
        when: when, UTC.
        rows: rows of the file.
        same_bytes: the same bytes, not only the same records.
        rejected: rows that were refused then: they may be taken by now.
    """

    source_id: int
    when: datetime
    rows: int
    same_bytes: bool
    rejected: int = 0
