"""Which record a person means by a number, a name or a label, and what it is in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from ledger.errors import UseError
from ledger.store.names import did_you_mean, loose_form, tidy, written_form
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_SHOWN = 6


@dataclass(frozen=True, slots=True)
class Called:
    """A record of the ledger.

    Attributes:
        kind: `attempt`, `player`, `game` or `team`.
        id: its number.
        place: what tells it from others: name, league, season, date, teams.
    """

    kind: str
    id: int
    place: str

    def words(self) -> str:
        """The record in words, such as `player 3 (Ilvo Tarn, Halma League)`."""
        return f"{self.kind} {self.id} ({self.place})"


def find_record(con: DuckDBPyConnection, kind: str, text: str) -> Called:
    """The record that a number, a name or a label means; digits alone are always the number.

    Args:
        con: a connection.
        kind: `attempt`, `player`, `game` or `team`.
        text: as typed.

    Raises:
        UseError: if none or several are meant; several are listed with their numbers.
    """
    plain = tidy(text)
    numbered = plain.isascii() and plain.isdecimal()
    values = {"number": int(plain[:18]) if numbered else 0, "text": text.strip()}
    asked = values if kind == "attempt" else {}
    rows = con.execute(sql("commit/correct", f"{kind}s_called"), asked).fetchall()
    known = [(Called(kind, int(row[0]), str(row[2])), row[1]) for row in rows]
    if numbered:
        for record, _ in known:
            if str(record.id) == plain.lstrip("0"):
                return record
        raise UseError(_no_number(kind, plain))
    for form in (tidy, written_form, loose_form):
        meant = form(text)
        found = {r.id: r for r, called in known if called and meant and form(str(called)) == meant}
        if len(found) == 1:
            return next(iter(found.values()))
        if found:
            raise UseError(_several(kind, plain, list(found.values())))
    hint = did_you_mean(plain, [str(called) for _, called in known if called])
    raise UseError(f"the ledger has no {kind} {plain!r}{hint or _where(kind)}")


def _no_number(kind: str, number: str) -> str:
    return f"there is no {kind} {number}{_where(kind)}"


def _where(kind: str) -> str:
    if kind == "attempt":
        return ": offglass ask attempts lists them"
    return f": give the number, or the {'label' if kind == 'game' else 'name'}, of one that is"


def _several(kind: str, text: str, found: list[Called]) -> str:
    listed = "; ".join(f"{r.id} ({r.place})" for r in found[:_SHOWN])
    more = f"; and {len(found) - _SHOWN} more" if len(found) > _SHOWN else ""
    return f"{text!r} is {len(found)} {kind}s, say which by its number: {listed}{more}"
