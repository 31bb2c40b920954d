"""The headline and the notes of a trial."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import isnan
from typing import TYPE_CHECKING

from ledger.questions.wording import (
    by_luck,
    capital,
    count,
    counted,
    listed,
    technique_words,
)
from ledger.stats.session_trial import FIRST_LIMIT, LAST_LIMIT, looks

if TYPE_CHECKING:
    from ledger.questions.trial_sessions import Session, Standing
    from ledger.store.trials import Change, Trial

NO_TRIAL = (
    "No trial is planned: type offglass trial NAME --player P --techniques straight,board before "
    "its first attempt."
)
_MOST = 3
_FIELDS = {
    "sessions": "sessions",
    "per_session": "attempts with each technique in a session",
    "practice_only": "sessions that only practise",
}


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """What an answer is told from.

    Attributes:
        trial: the plan.
        standing: its sessions and result.
        changes: what was changed in the plan after it was made.
        consents: first and last day of each consent.
        last_day: the day of the ledger's last source.
        without_consent: attempts of practice on days without a consent.
        aside: filters that do not narrow a trial.
    """

    trial: Trial
    standing: Standing
    changes: Sequence[Change]
    consents: Sequence[tuple[date, date | None]]
    last_day: date | None
    without_consent: int
    aside: Sequence[str]

    def headline(self) -> str:
        """One sentence: what the plan allows to be said now."""
        found, planned = self.standing.result, self.trial.counted
        first, last = looks(planned)
        done = found.sessions
        if not done:
            return self._nothing()
        if done < first:
            return f"{counted(done, 'session')}: nothing is called before session {first}."
        if done == last and found.verdict == "undecided":
            return f"After all {planned} sessions {self._difference()}: a difference is not shown."
        so_far = f"After {done} of {planned} sessions {self._difference()}"
        if found.verdict == "better":
            return f"{so_far}: better, the limit for stopping is reached."
        if found.verdict == "worse":
            return f"{so_far}: worse, stop."
        if done == first:
            return f"{so_far}: go on, the limit for stopping now is not reached."
        return f"{so_far}: go on, nothing is called before session {last}."

    def notes(self) -> list[str]:
        """What a reader must know of the plan, its sessions and the records."""
        trial, found = self.trial, self.standing.result
        first, last = looks(trial.counted)
        tried, usual = self._words
        said = [
            f"A difference is {tried} minus {usual}, the mean over sessions; its limits allow for "
            "the day's form. Practice is compared with practice only: the games stand beside it.",
            f"Planned on {trial.at_time:%Y-%m-%d} (seed {trial.seed}) before the first attempt: "
            f"{counted(trial.sessions, 'session')} of {trial.per_session} each way, looks after "
            f"{first} and {last} counted ones (p at most {FIRST_LIMIT} and {LAST_LIMIT}).",
            *self._changed(),
            *self._sessions(),
        ]
        if found.sessions in (first, last) and found.p == found.p:
            luck = by_luck(found.p)
            said.append(
                f"A shooter who changed nothing shows so large a difference, either way, {luck}."
            )
        return [capital(note) for note in (*said, *self._records(), *self._consented())]

    @property
    def _words(self) -> tuple[str, str]:
        return technique_words([self.trial.name_b]), technique_words([self.trial.name_a])

    def _nothing(self) -> str:
        there = len(self.standing.sessions)
        planned = counted(self.trial.counted, "session")
        if not there:
            return f"No session yet of {planned}: add its practice with stage=practice."
        return f"{counted(there, 'practice day')}, none counted yet of {planned}."

    def _difference(self) -> str:
        """The difference in makes per 100 with its limits."""
        found, (tried, _) = self.standing.result, self._words
        if isnan(found.low):
            way = _way(round(100 * found.mean)) if found.mean else "as many"
            return f"{way} per 100 {tried}, the same in each"
        mean, low, high = (round(100 * v) for v in (found.mean, found.low, found.high))
        if mean == 0:
            return f"as many per 100 {tried} ({_way(low)} to {_way(high)})"
        word = "more" if mean > 0 else "fewer"
        ends = sorted((low, high), key=abs) if low * high >= 0 else (low, high)
        limits = (
            f"{abs(ends[0])} to {abs(ends[1])}"
            if low * high >= 0
            else f"{_way(ends[0])} to {_way(ends[1])}"
        )
        return f"{abs(mean)} {word} per 100 {tried} ({limits})"

    def _changed(self) -> list[str]:
        return [
            f"The plan was changed on {change.at_time:%Y-%m-%d} by {change.who}: "
            f"{_FIELDS.get(change.field, change.field)} {change.old} to {change.new} "
            f"(“{change.why}”)."
            for change in self.changes
        ]

    def _sessions(self) -> list[str]:
        """Sessions that are not counted, and those that are not as planned."""
        out = [s for s in self.standing.sessions if not s.counted]
        whys = dict.fromkeys(session.why for session in out)
        said = []
        for why in whys:
            of = [session for session in out if session.why == why]
            said.append(f"{_numbered(of)} not counted: {why}.")
        planned = self.trial.per_session
        short = [
            session
            for session in self.standing.sessions
            if session.counted and any(n != planned for n in session.attempts)
        ]
        for session in short[:_MOST]:
            shot = listed(
                [
                    f"{n} {name}"
                    for name, n in zip(self.trial.techniques, session.attempts, strict=True)
                ]
            )
            said.append(f"Session {session.number}: {shot}, planned were {planned} each way.")
        if len(short) > _MOST:
            said.append(f"{count(len(short) - _MOST)} more sessions are not as planned.")
        return said

    def _records(self) -> list[str]:
        said = []
        before, other = self.standing.before, self.standing.other
        if before:
            verb = "lies" if before == 1 else "lie"
            said.append(
                f"{counted(before, 'practice day')} {verb} before the plan: no part of the trial."
            )
        if other:
            verb = "is" if other == 1 else "are"
            said.append(
                f"{counted(other, 'attempt')} on these days {verb} of neither technique, not "
                "watched or disputed: left out."
            )
        if self.aside:
            said.append(f"A trial is not narrowed by {listed(list(self.aside))}.")
        return said

    def _consented(self) -> list[str]:
        said = []
        if self.without_consent:
            said.append(
                f"{counted(self.without_consent, 'attempt')} of his practice stand without a "
                f"consent for their day: type offglass consent, or take their source back."
            )
        if not self.consents:
            return [*said, "No consent to records of his practice is written down."]
        open_end = any(until is None for _, until in self.consents)
        last = max((until for _, until in self.consents if until is not None), default=None)
        if not open_end and last is not None and self.last_day and last < self.last_day:
            said.append(
                f"The consent ran out on {last}: further practice needs a new one (offglass "
                "consent)."
            )
        return said


def _way(points: int) -> str:
    if points == 0:
        return "0"
    return f"{abs(points)} {'more' if points > 0 else 'fewer'}"


def _numbered(sessions: Sequence[Session]) -> str:
    numbers = [str(session.number) for session in sessions]
    if len(numbers) == 1:
        return f"Session {numbers[0]} is"
    return f"Sessions {listed(numbers)} are"
