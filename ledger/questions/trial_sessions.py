"""A trial's sessions: its practice days in order, and which of them count."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

import polars as pl

from ledger.stats import session_trial
from ledger.stats.trial_plan import BLOCK

if TYPE_CHECKING:
    from ledger.store.trials import Trial

PRACTICE_ONLY = "practice only, by the plan"
AFTER_PLAN = "after the last session of the plan"


@dataclass(frozen=True, slots=True)
class Session:
    """One practice day.

    Attributes:
        number: its place among the practice days since the plan.
        day: the day.
        made: with the usual technique, with the one that is tried.
        attempts: so too.
        why: why it is not counted, or empty.
    """

    number: int
    day: date
    made: tuple[int, int]
    attempts: tuple[int, int]
    why: str

    @property
    def counted(self) -> bool:
        """Whether it enters the result."""
        return not self.why

    @property
    def difference(self) -> float:
        """Rate with the technique that is tried minus that with the usual one."""
        usual, tried = (m / n for m, n in zip(self.made, self.attempts, strict=True))
        return tried - usual


@dataclass(frozen=True, slots=True)
class Standing:
    """A trial's sessions and its result.

    Attributes:
        sessions: in order; those that are not counted too.
        result: of the counted ones.
        before: practice days with one of the techniques that lie before the plan.
        practised: the practice of the counted sessions, attempt by attempt.
        other: attempts since the plan with neither technique, on days of a session.
    """

    sessions: tuple[Session, ...]
    result: session_trial.Result
    before: int
    practised: pl.DataFrame
    other: int


def standing(trial: Trial, practice: pl.DataFrame) -> Standing:
    """How a trial stands.

    A session is a practice day since the plan on which one of the two techniques was shot. On the
    day of the plan itself it must have come in after it: what was there before was no trial.

    Args:
        trial: the plan.
        practice: `date, made, technique_id, came` of all practice of its player.
    """
    pair = (trial.technique_a, trial.technique_b)
    planned = trial.at_time.date()
    since = (pl.col("date") > planned) | (
        (pl.col("date") == planned) & (pl.col("came") >= trial.at_time)
    )
    ours = practice.filter(pl.col("technique_id").is_in(pair))
    shot = ours.filter(since)
    days = (
        shot.group_by("date")
        .agg(
            *(
                value.alias(f"{name}_{at}")
                for at, number in enumerate(pair)
                for name, value in (
                    ("made", (pl.col("made") & (pl.col("technique_id") == number)).sum()),
                    ("attempts", (pl.col("technique_id") == number).sum()),
                )
            )
        )
        .sort("date")
    )
    found = []
    differences: list[float] = []
    for number, row in enumerate(days.iter_rows(named=True), start=1):
        attempts = (row["attempts_0"], row["attempts_1"])
        why = _why(trial, number, attempts, differences)
        session = Session(number, row["date"], (row["made_0"], row["made_1"]), attempts, why)
        found.append(session)
        if session.counted:
            differences.append(session.difference)
    counted = [session.day for session in found if session.counted]
    there = practice.filter(since & pl.col("date").is_in([session.day for session in found]))
    return Standing(
        sessions=tuple(found),
        result=session_trial.result(differences, trial.counted),
        before=ours.filter(~since)["date"].n_unique(),
        practised=shot.filter(pl.col("date").is_in(counted)),
        other=there.height - shot.height,
    )


def _why(trial: Trial, number: int, attempts: tuple[int, int], before: list[float]) -> str:
    """Why a session is not counted, or nothing."""
    if number <= trial.practice_only:
        return PRACTICE_ONLY
    if len(before) >= trial.counted:
        return AFTER_PLAN
    so_far = session_trial.result(before, trial.counted)
    if so_far.verdict in ("better", "worse"):
        return f"the trial ended at the look after {so_far.sessions} counted sessions"
    block = min(BLOCK, trial.per_session)
    for name, shot in zip(trial.techniques, attempts, strict=True):
        if shot < block:
            return f"{shot} of {trial.per_session} {name}: less than a block"
    return ""
