"""A window to choose a player in: what is typed narrows the names."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ledger.questions.wording import count, counted
from tui.completion import matches
from tui.screens.narrowing import NarrowingDialog
from tui.session import JobDone, JobFailed

MOST = 50


class WhoDialog(NarrowingDialog[str]):
    """The players of the ledger; gives the name of the one chosen."""

    title_words = "Which player?"
    wanted = "part of a name"

    def __init__(self) -> None:
        super().__init__()
        # None until they are looked up.
        self._names: tuple[str, ...] | None = None

    def on_mount(self) -> None:
        self.session.choices(self, "player")

    def on_job_done(self, message: JobDone) -> None:
        self._names = tuple(message.result)
        self.narrow()

    def on_job_failed(self, message: JobFailed) -> None:
        self.say(message.line)

    def narrowed(self, typed: str) -> tuple[Sequence[str], str]:
        if self._names is None:
            return (), "looking up names …"
        if not self._names:
            return (), "the ledger has no player"
        every = matches(typed.replace(";", " "), self._names)
        return every[:MOST], f"{count(len(every))} of {counted(len(self._names), 'player')}"

    def lines(self, found: Sequence[str]) -> Iterable[str]:
        return found
