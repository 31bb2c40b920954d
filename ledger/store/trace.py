"""One source whole: what it brought, what was refused of it, what it changed."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ledger.errors import UseError
from ledger.store import journal
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection


@dataclass(frozen=True, slots=True)
class Traced:
    """A source.

    Attributes:
        facts: the columns of its row but those below, by name.
        mapping: column as written to field, `--set` fields, and the profile it was read with.
        reasons: reason code to number of refused rows.
        warnings: what was noticed when it came in.
        refused: `line, column, value, reason, fix`, a dictionary a refused row.
        changed: its lines of the journal, oldest first.
    """

    facts: dict[str, Any]
    mapping: dict[str, Any]
    reasons: dict[str, int]
    warnings: list[str]
    refused: list[dict[str, Any]]
    changed: list[dict[str, Any]]

    def as_dict(self) -> dict[str, Any]:
        """All of it in plain types."""
        rest = ("mapping", "reasons", "warnings", "refused", "changed")
        return {**self.facts, **{name: getattr(self, name) for name in rest}}


def trace(con: DuckDBPyConnection, source_id: int) -> Traced:
    """Everything the ledger knows of a source.

    Raises:
        UseError: if there is none of that number.
    """
    found = _rows(con, "source", source_id)
    if not found:
        raise UseError(f"there is no source {source_id}: offglass sources lists them")
    facts = found[0]
    read = {name: json.loads(facts.pop(name) or "null") for name in ("mapping", "reasons")}
    warnings = json.loads(facts.pop("warnings") or "null")
    return Traced(
        facts=facts,
        mapping=read["mapping"] or {},
        reasons=read["reasons"] or {},
        warnings=[str(w) for w in warnings or []],
        refused=_rows(con, "refused", source_id),
        changed=[journal.shown(line) for line in journal.entries(con, source_id=source_id)],
    )


def _rows(con: DuckDBPyConnection, statement: str, source_id: int) -> list[dict[str, Any]]:
    found = con.execute(sql("trace", statement), {"source_id": source_id})
    names = [d[0] for d in found.description or []]
    return [dict(zip(names, row, strict=True)) for row in found.fetchall()]
