"""The cohort that all screens share, and the way back to those before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from ledger.cohort import BOARD_ASSISTED, Cohort
from ledger.questions.wording import technique_words

_KEPT = 50


@dataclass(frozen=True, slots=True)
class Whom:
    """A player as a row names him, with what tells him from others of his name."""

    name: str
    league: str = ""
    team: str = ""

    @classmethod
    def of(cls, row: Mapping[str, Any]) -> Whom | None:
        """Whom a row is about; None where it names no player."""
        if not row.get("player"):
            return None
        return cls(*(str(row.get(name) or "") for name in ("player", "league", "team")))


@dataclass(frozen=True, slots=True)
class Meant:
    """Which attempts are meant, and which technique is studied.

    Attributes:
        cohort: the attempts.
        focus: technique names, or `board-assisted`.
    """

    cohort: Cohort = field(default_factory=Cohort)
    focus: tuple[str, ...] = (BOARD_ASSISTED,)

    def of_player(self, whom: Whom, *, told_apart: Sequence[str] = ()) -> Meant:
        """The same of one player only.

        Args:
            whom: who.
            told_apart: what else narrows to him where his name is more than one player's: league,
                team. What is asked for already stays.
        """
        said = self.cohort.asked()
        # A row may be of several leagues or teams.
        more = {k: getattr(whom, k).split(", ") for k in told_apart if k not in said}
        more = {k: names for k, names in more.items() if names != [""]}
        return replace(self, cohort=self.cohort.with_filters(player=whom.name, **more))

    def focus_words(self) -> str:
        """The technique in plain words."""
        return technique_words(self.focus)

    def sentence(self) -> str:
        """Which attempts, and what is studied, in plain words."""
        return f"{self.cohort.sentence()}; studying: {self.focus_words()}"


class MeantHistory:
    """What is meant now, and what was meant before."""

    def __init__(self, first: Meant | None = None, past: Sequence[Meant] = ()) -> None:
        self._past = list(past)
        # Everything that was ever meant, the newest last; going back forgets none of it.
        self._known = list(past)
        self.now = first or Meant()

    @property
    def past(self) -> tuple[Meant, ...]:
        """What going back comes to, the newest last."""
        return tuple(self._past)

    def others(self) -> list[Meant]:
        """What else was meant, each once, the newest first."""
        return [m for m in dict.fromkeys(reversed(self._known)) if m != self.now]

    def change(self, meant: Meant) -> bool:
        """Mean something else; False where it is the same."""
        if meant == self.now:
            return False
        self._past = [*self._past[-_KEPT + 1 :], self.now]
        self._known = [*self._known[-_KEPT + 1 :], self.now]
        self.now = meant
        return True

    def back(self) -> bool:
        """Mean what was meant before; False where nothing was."""
        if not self._past:
            return False
        self._known = [*self._known[-_KEPT + 1 :], self.now]
        self.now = self._past.pop()
        return True
