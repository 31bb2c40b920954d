"""What a person plans through the book: trials in practice, and who agreed to their records."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from ledger.cohort import Cohort
from ledger.errors import UseError

if TYPE_CHECKING:
    from ledger.stats.trial_plan import Block
    from ledger.store.ledger_file import LedgerFile
    from ledger.store.trials import Trial


class Planning:
    """The planning part of a book, over its ledger file."""

    _file: LedgerFile

    def trial(
        self,
        name: str,
        *,
        player: str,
        techniques: str | Sequence[str],
        sessions: int = 12,
        per_session: int = 50,
        practice_only: int = 0,
        seed: int | None = None,
        league: str | None = None,
    ) -> Trial:
        """Store the plan of a practice trial, before its first attempt.

        Args:
            name: what it will be called.
            player: whose practice.
            techniques: two, as names or `straight,board`; straight is the usual one wherever it
                stands, else the first.
            sessions: how many, those that only practise included.
            per_session: attempts with each technique in a session.
            practice_only: the first so many sessions are never counted.
            seed: draws the same order of blocks again; drawn itself unless given.
            league: where the name is more than one player's.

        Raises:
            UseError: for a name, technique or number that cannot be.
        """
        from ledger.store.trials import add_trial

        two = techniques.split(",") if isinstance(techniques, str) else list(techniques)
        with self._file.changing("offglass trial") as con:
            _, planned = add_trial(
                con, self._file, name, player=player, techniques=two, sessions=sessions,
                per_session=per_session, practice_only=practice_only, seed=seed, league=league,
            )  # fmt: skip
        return planned

    def change_trial(self, name: str, *, why: str, **new: int) -> Trial:
        """Change a plan; what it was is journalled and printed with every answer.

        Args:
            name: the trial's name.
            why: the reason.
            **new: `sessions`, `per_session` or `practice_only`.
        """
        from ledger.store.trials import change_trial

        unknown = [
            field for field in new if field not in ("sessions", "per_session", "practice_only")
        ]
        if unknown:
            raise UseError(f"{unknown[0]} of a trial stays as it was planned")
        with self._file.changing("offglass trial") as con:
            return change_trial(con, self._file, name, new, why=why)[1]

    def trials(self) -> list[Trial]:
        """All trials in the order they were planned."""
        from ledger.store.trials import trials

        with self._file.reading() as con:
            return trials(con)

    def find_trial(self, name: str) -> Trial:
        """The trial of that name.

        Raises:
            UseError: if there is none, with near ones.
        """
        from ledger.store.trials import find_trial

        with self._file.reading() as con:
            return find_trial(con, name)

    def trial_plan(self, trial: Trial) -> tuple[tuple[Block, ...], ...]:
        """The blocks of every session of a trial, in their order."""
        from ledger.stats.trial_plan import plan

        return plan(trial.sessions, trial.per_session, trial.seed)

    def consent(
        self,
        player: str,
        *,
        given_by: str,
        on: str | date,
        until: str | date | None = None,
        purpose: str,
        league: str | None = None,
    ) -> str:
        """Write down who agreed to records of a player's practice; what was done, in words.

        Args:
            player: whose practice.
            given_by: player or guardian.
            on: the first day it holds for.
            until: the last one.
            purpose: what for.
            league: where the name is more than one player's.

        Raises:
            UseError: for a day, text or name that cannot be.
        """
        from ledger.store.consents import add_consent

        days = Cohort.of(date_from=on), Cohort.of(date_from=until)
        first, last = (cohort.date_from for cohort in days)
        if first is None:
            raise UseError("a consent needs the day it was given: --on DATE")
        with self._file.changing("offglass consent") as con:
            return add_consent(
                con, self._file, player, given_by=given_by, on=first, until=last, purpose=purpose,
                league=league,
            ).words()  # fmt: skip
