"""How a trial stood after each of its sessions: for the picture of it."""

from __future__ import annotations

from math import isnan
from typing import TYPE_CHECKING, Any

from ledger.questions import columns
from ledger.questions.answer import Column
from ledger.stats.session_trial import FIRST_LIMIT, LAST_LIMIT, course, looks, stopping

if TYPE_CHECKING:
    from ledger.questions.answer import Part
    from ledger.questions.trial_sessions import Session, Standing
    from ledger.store.trials import Trial

COLUMNS = (
    columns.number_of("session", "Session", "", "Place among the practice days since the plan"),
    Column("date", "Date", "date", "", "Its day"),
    Column("counted", "Counted", "boolean", "", "Whether the session enters the result"),
    columns.share("own", "That day", "Tried minus usual rate of this session alone"),
    columns.number_of("sessions", "Sessions", "", "Counted sessions up to and with this one"),
    columns.share("difference", "Difference", "Mean over them: tried minus usual rate"),
    columns.share("low", "Low", "Lower limit of it (t over sessions, 95 %)"),
    columns.share("high", "High", "Upper limit of it (t over sessions, 95 %)"),
    columns.share("p", "p", "Two-sided: how often luck alone does as much"),
    columns.share("limit", "Limit", "What p is held against; only at a look"),
    columns.share("stop_low", "Stop low", "At a look: it ends where this and the next lie"),
    columns.share("stop_high", "Stop high", "on one side of 0; the same as p against its limit"),
    columns.text("why", "Why none", "Why a figure is missing"),
)


def part(trial: Trial | None = None, stands: Standing | None = None) -> Part:
    """One row a session, those that are not counted too; no rows without a trial."""
    if trial is None or stands is None:
        return columns.part(COLUMNS, [])
    stood = iter(course([s.difference for s in stands.sessions if s.counted], trial.counted))
    rows: list[dict[str, Any]] = []
    so_far: list[float] = []
    for session in stands.sessions:
        row: dict[str, Any] = {
            "session": session.number,
            "date": session.day,
            "counted": session.counted,
            "own": session.difference if all(session.attempts) else None,
            "why": _why(session),
        }
        if session.counted:
            so_far.append(session.difference)
            found = next(stood)
            row |= {
                "sessions": found.sessions,
                "difference": found.mean,
                "low": found.low,
                "high": found.high,
                "p": found.p,
            }
            row |= _at_look(trial, so_far)
            row["why"] = _missing(row)
        rows.append(row)
    return columns.part(COLUMNS, rows)


def _at_look(trial: Trial, so_far: list[float]) -> dict[str, float]:
    first, last = looks(trial.counted)
    limit = {first: FIRST_LIMIT, last: LAST_LIMIT}.get(len(so_far))
    if limit is None:
        return {}
    low, high = stopping(so_far, limit)
    return {"limit": limit, "stop_low": low, "stop_high": high}


def _why(session: Session) -> str:
    why = f"not counted: {session.why}"
    return why if all(session.attempts) else f"{why}; one technique was not shot"


def _missing(row: dict[str, Any]) -> str | None:
    """Why a counted session has not every figure."""
    why = []
    if isnan(row["p"]):
        few = row["sessions"] == 1
        why.append("one session has no interval" if few else "every session is the same so far")
    if "limit" not in row:
        why.append("no look is planned after it")
    return "; ".join(why) or None
