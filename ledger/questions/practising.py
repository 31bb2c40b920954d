"""A practice session of a trial as it is shot: which session of the plan a day is, what is next.

A session is a day, as in the trial's own answer; what was shot so far is what the ledger holds.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from ledger.errors import UseError
from ledger.questions.trial_sessions import standing
from ledger.stats import trial_plan
from ledger.stats.trial_block import Standing, next_block
from ledger.store.reads.scoresheet import Scoresheets
from ledger.store.reads.trials import Trials

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.stats.trial_plan import Block
    from ledger.store.trials import Trial

_SHOTS = ("free_throw",)


@dataclass(frozen=True, slots=True)
class Practice:
    """One session.

    Attributes:
        trial: the plan.
        day: the day.
        season: the season its records belong to.
        team: the player's team.
        number: which session of the plan it is.
        blocks: its blocks in their order; none after the last session of the plan.
        shot: attempts so far with the usual technique and with the one that is tried.
        made: makes of them.
        consented: whether somebody agreed to records of that day.
    """

    trial: Trial
    day: date
    season: str
    team: str
    number: int
    blocks: tuple[Block, ...]
    shot: tuple[int, int]
    made: tuple[int, int]
    consented: bool

    @property
    def next(self) -> Standing | None:
        """The block that is next, `None` where the session is done."""
        return next_block(self.blocks, self.shot)

    @property
    def technique(self) -> str | None:
        """How the next attempt is shot, `None` where the session is done."""
        now = self.next
        return None if now is None else self.trial.techniques[self.blocks[now.block].technique]

    @property
    def of(self) -> int:
        """Attempts that the session has by its plan."""
        return sum(block.attempts for block in self.blocks)

    def after(self, technique: str, made: bool) -> Practice:
        """The session with one attempt more."""
        return self._with(technique, 1, int(made))

    def before(self, technique: str, made: bool) -> Practice:
        """The session without its last attempt."""
        return self._with(technique, -1, -int(made))

    def _with(self, technique: str, shots: int, makes: int) -> Practice:
        """The session with so many attempts and makes more; other techniques are none of it."""
        pair = [int(technique == name) for name in self.trial.techniques]
        shot = [n + shots * own for n, own in zip(self.shot, pair, strict=True)]
        made = [n + makes * own for n, own in zip(self.made, pair, strict=True)]
        return replace(self, shot=(shot[0], shot[1]), made=(made[0], made[1]))


def session(con: DuckDBPyConnection, name: str, day: date) -> Practice:
    """A day's session of a trial, with what was shot of it so far.

    Args:
        con: an open ledger, its views in place.
        name: the trial.
        day: the day.

    Raises:
        UseError: if there is no such trial, the day lies before its plan, or its player has no
            game yet from which league, season and team follow.
    """
    reads = Trials(con)
    trial = reads.find(name)
    if day < trial.at_time.date():
        raise UseError(
            f"{trial.name} was planned on {trial.at_time.date()}: practice before that day is no "
            "part of it"
        )
    home = Scoresheets(con).newest_team(trial.person_id)
    if home is None:
        raise UseError(
            f"{trial.player} has no game in the ledger yet: type one in first, so that his team "
            "and season are known"
        )
    known = standing(trial, reads.practice(trial, _SHOTS)).sessions
    today = next((s for s in known if s.day == day), None)
    number = 1 + sum(s.day < day for s in known)
    blocks: tuple[Block, ...] = ()
    if number <= trial.sessions:
        blocks = trial_plan.plan(trial.sessions, trial.per_session, trial.seed)[number - 1]
    consents = reads.consents(trial)
    return Practice(
        trial=trial,
        day=day,
        season=home[1],
        team=home[2],
        number=number,
        blocks=blocks,
        shot=today.attempts if today else (0, 0),
        made=today.made if today else (0, 0),
        consented=any(first <= day and (last is None or day <= last) for first, last in consents),
    )
