"""The cohort that all screens share, and the way back to those before."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from ledger.cohort import BOARD_ASSISTED, Cohort
from ledger.questions.wording import technique_words

_KEPT = 50


@dataclass(frozen=True, slots=True)
class Meant:
    """Which attempts are meant, and which technique is studied.

    Attributes:
        cohort: the attempts.
        focus: technique names, or `board-assisted`.
    """

    cohort: Cohort = field(default_factory=Cohort)
    focus: tuple[str, ...] = (BOARD_ASSISTED,)

    def of_player(self, name: str) -> Meant:
        """The same of one player only."""
        return replace(self, cohort=self.cohort.with_filters(player=name))

    def focus_words(self) -> str:
        """The technique in plain words."""
        return technique_words(self.focus)


class MeantHistory:
    """What is meant now, and what was meant before."""

    def __init__(self, first: Meant | None = None) -> None:
        self._past: list[Meant] = []
        self.now = first or Meant()

    def change(self, meant: Meant) -> bool:
        """Mean something else; False where it is the same."""
        if meant == self.now:
            return False
        self._past = [*self._past[-_KEPT + 1 :], self.now]
        self.now = meant
        return True

    def back(self) -> bool:
        """Mean what was meant before; False where nothing was."""
        if not self._past:
            return False
        self.now = self._past.pop()
        return True
