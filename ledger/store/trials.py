"""Trials: plans of practice, stored before the first attempt; later changes are journalled."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from ledger.errors import UseError
from ledger.store import changes
from ledger.store.names import did_you_mean, find_player, find_technique, tidy, written_form
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

SESSIONS = 12
PER_SESSION = 50
LEAST_SESSIONS = 4
_MOST_SESSIONS = 1000
_LONGEST_NAME = 200
_LARGEST_SEED = 2**53
# The usual technique: where it is one of the two, the other one is what is tried.
_USUAL = "straight"


@dataclass(frozen=True, slots=True)
class Trial:
    """A plan of practice.

    Attributes:
        id: its row.
        name: as typed.
        person_id: whose practice (`live_attempt.person_id`).
        player: his name.
        league: his league.
        technique_a: number of the technique he uses.
        name_a: its name.
        technique_b: number of the one he tries.
        name_b: its name.
        sessions: how many.
        per_session: attempts with each technique in a session.
        practice_only: the first so many are never counted.
        seed: of the order of blocks.
        who: who made the plan.
        at_time: when, UTC.
    """

    id: int
    name: str
    person_id: int
    player: str
    league: str
    technique_a: int
    name_a: str
    technique_b: int
    name_b: str
    sessions: int
    per_session: int
    practice_only: int
    seed: int
    who: str
    at_time: datetime

    @property
    def counted(self) -> int:
        """Sessions that are counted."""
        return self.sessions - self.practice_only

    @property
    def techniques(self) -> tuple[str, str]:
        """The names of both: the usual one, the one that is tried."""
        return self.name_a, self.name_b


@dataclass(frozen=True, slots=True)
class Change:
    """One thing of a plan that was changed after it was made."""

    at_time: datetime
    who: str
    field: str
    old: int
    new: int
    why: str


def add_trial(
    con: DuckDBPyConnection,
    hand: Hand,
    name: str,
    *,
    player: str,
    techniques: Sequence[str],
    sessions: int = SESSIONS,
    per_session: int = PER_SESSION,
    practice_only: int = 0,
    seed: int | None = None,
    league: str | None = None,
) -> tuple[int, Trial]:
    """Store the plan of a trial.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when.
        name: what the trial will be called.
        player: whose practice.
        techniques: two, the usual one first; `straight` is taken for the usual one wherever it
            stands.
        sessions: how many, those that only practise included.
        per_session: attempts with each technique in a session.
        practice_only: the first so many sessions are never counted.
        seed: draws the same order of blocks again; drawn itself unless given.
        league: the league he is looked for in.

    Returns:
        The source that holds it, and the trial.

    Raises:
        UseError: for a name that is taken, other than two techniques, or numbers that cannot be.
    """
    called = _free_name(con, name)
    if seed is None:
        seed = random.SystemRandom().randrange(_LARGEST_SEED)
    if not 0 <= seed <= _LARGEST_SEED:
        raise UseError(f"--seed takes a whole number from 0 to {_LARGEST_SEED}, not {seed}")
    _check(sessions, per_session, practice_only)
    first, second = _two(con, techniques)
    of = find_player(con, player, league)
    source_id = changes.begin(con, hand, "trial", f"{called}: {of.name}")
    number = changes.next_id(con, "trial")
    row = {
        "id": number, "name": called, "player_id": of.id, "technique_a": first,
        "technique_b": second, "sessions": sessions, "per_session": per_session,
        "practice_only": practice_only, "seed": seed, "who": hand.who, "at_time": hand.clock(),
    }  # fmt: skip
    con.execute(sql("trials", "add"), row)
    changes.added(con, hand, source_id, "trial", number)
    return source_id, find_trial(con, called)


def change_trial(
    con: DuckDBPyConnection, hand: Hand, name: str, new: Mapping[str, int], *, why: str
) -> tuple[int, Trial]:
    """Change a plan: what it was stays in the journal and is printed with every answer.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when.
        name: the trial's name.
        new: `sessions`, `per_session` or `practice_only` with the number it gets.
        why: the reason.

    Returns:
        The source that holds the change, and the trial as it is now.

    Raises:
        UseError: for an unknown trial, no reason, or numbers that cannot be.
    """
    trial = find_trial(con, name)
    reason = tidy(why)
    fields = {field: value for field, value in new.items() if value != getattr(trial, field)}
    if not reason:
        raise UseError(f"{trial.name} is planned already: a change needs its reason, --why TEXT")
    if not fields:
        raise UseError(f"{trial.name}: its plan says so already, nothing is changed")
    now: dict[str, Any] = {
        field: getattr(trial, field) for field in ("sessions", "per_session", "practice_only")
    }
    _check(**{**now, **fields})
    source_id = changes.begin(con, hand, "trial", f"{trial.name}: changed")
    for field, value in fields.items():
        changes.set_field(con, hand, source_id, "trial", trial.id, field, value, reason)
    return source_id, find_trial(con, trial.name)


def trials(con: DuckDBPyConnection) -> list[Trial]:
    """All trials in the order they were planned."""
    return [Trial(*row) for row in con.execute(sql("trials", "all")).fetchall()]


def find_trial(con: DuckDBPyConnection, name: str) -> Trial:
    """The trial of that name, told from others without case.

    Raises:
        UseError: if there is none, with near ones.
    """
    there = trials(con)
    found = [t for t in there if written_form(t.name) == written_form(name)]
    if found:
        return found[0]
    near = did_you_mean(name, [t.name for t in there]) if there else ": it has no trial yet"
    raise UseError(f"the ledger has no trial {name!r}{near}")


def changes_of(con: DuckDBPyConnection, trial: Trial) -> list[Change]:
    """What was changed in a plan after it was made, in order."""
    rows = con.execute(sql("trials", "changes"), {"id": trial.id}).fetchall()
    return [Change(at, who, field, int(o), int(n), why) for at, who, field, o, n, why in rows]


def _free_name(con: DuckDBPyConnection, name: str) -> str:
    called = tidy(name)
    if not called or len(called) > _LONGEST_NAME:
        raise UseError(f"a trial needs a name of 1 to {_LONGEST_NAME} letters")
    for there in trials(con):
        if written_form(there.name) == written_form(called):
            raise UseError(
                f"there is a trial {there.name!r} already (offglass trial {there.name!r} shows its "
                "plan): choose another name, or change it with --sessions, --per-session or "
                "--practice-only and --why"
            )
    return called


def _check(sessions: int, per_session: int, practice_only: int) -> None:
    if practice_only < 0:
        raise UseError(f"--practice-only takes a whole number from 0, not {practice_only}")
    if sessions - practice_only < LEAST_SESSIONS or sessions > _MOST_SESSIONS:
        besides = f" beside the {practice_only} that only practise" if practice_only else ""
        raise UseError(
            f"--sessions takes {LEAST_SESSIONS} to {_MOST_SESSIONS}{besides}, not {sessions}"
        )
    if not 1 <= per_session <= _MOST_SESSIONS:
        raise UseError(f"--per-session takes 1 to {_MOST_SESSIONS}, not {per_session}")


def _two(con: DuckDBPyConnection, techniques: Sequence[str]) -> tuple[int, int]:
    found = [find_technique(con, name) for name in techniques if name.strip()]
    if len({technique.id for technique in found}) != 2 or len(found) != 2:
        raise UseError(
            "a trial compares two techniques, the usual one first: --techniques straight,board"
        )
    first, second = found
    return (second.id, first.id) if second.name == _USUAL else (first.id, second.id)
