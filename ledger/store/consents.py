"""Consent to records of practice: given before they are stored, asked for where they come in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from ledger.errors import UseError
from ledger.store import changes, frames
from ledger.store.names import find_player, tidy
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

GIVEN_BY = ("player", "guardian")
_LONGEST = 10_000
_OF_AGE = 18


@dataclass(frozen=True, slots=True)
class Consent:
    """Somebody's yes to records of practice.

    Attributes:
        number: its row.
        player: the player's name.
        given_by: player or guardian.
        given_on: the first day it holds for.
        until: the last one, or None.
        purpose: what for.
        source: what to take back.
        remark: what its writer should look at, or nothing.
    """

    number: int
    player: str
    given_by: str
    given_on: date
    until: date | None
    purpose: str
    source: int
    remark: str = ""

    def words(self) -> str:
        """What was done, in a line or two."""
        end = f" until {self.until}" if self.until else ""
        said = (
            f"{self.player}: records of practice may be stored from {self.given_on}{end}; "
            f"to take it back: offglass undo {self.source}"
        )
        return f"{said}\nnote: {self.remark}" if self.remark else said


def add_consent(
    con: DuckDBPyConnection,
    hand: Hand,
    player: str,
    *,
    given_by: str,
    on: date,
    until: date | None = None,
    purpose: str,
    league: str | None = None,
) -> Consent:
    """Write down who agreed to records of a player's practice.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when.
        player: whose practice.
        given_by: one of `GIVEN_BY`.
        on: the day it was given: the first it holds for.
        until: the last day it holds for.
        purpose: what for.
        league: the league he is looked for in.

    Raises:
        UseError: for a day, text or name that cannot be.
    """
    if given_by not in GIVEN_BY:
        raise UseError(f"--given-by takes {' or '.join(GIVEN_BY)}, not {given_by!r}")
    said = tidy(purpose)
    if not said or len(said) > _LONGEST:
        raise UseError(f"a consent says what for, in 1 to {_LONGEST} letters: --for TEXT")
    if until is not None and until < on:
        raise UseError(f"the consent would end on {until}, before it begins on {on}: turn it round")
    of = find_player(con, player, league)
    source_id = changes.begin(con, hand, "consent", f"{of.name}: {said}")
    number = changes.next_id(con, "consent")
    row = {
        "id": number, "player_id": of.id, "given_by": given_by, "given_on": on, "until": until,
        "purpose": said, "who": hand.who, "at_time": hand.clock(),
    }  # fmt: skip
    con.execute(sql("consents", "add"), row)
    changes.added(con, hand, source_id, "consent", number)
    born = frames.one(con, ("consents", "birth_year"), {"person_id": of.id})
    young = born is not None and given_by == "player" and on.year - int(born) <= _OF_AGE
    remark = f"born in {born}: is a guardian's consent needed?" if young else ""
    return Consent(number, of.name, given_by, on, until, said, source_id, remark)


def consents(
    con: DuckDBPyConnection, person_id: int
) -> list[tuple[int, str, date, date | None, str, str, datetime]]:
    """`id, given_by, given_on, until, purpose, who, at_time` of a person's consents, by day."""
    return con.execute(sql("consents", "of_person"), {"person_id": person_id}).fetchall()
