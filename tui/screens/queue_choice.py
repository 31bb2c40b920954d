"""Choosing what to watch: the queues there are, a game, a player."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ledger.questions.wording import count
from tui.screens.dialogs import ChoiceDialog
from tui.screens.reeling import ReelRoom
from tui.screens.watch_windows import offers_of
from tui.screens.who import WhoDialog
from tui.session import Job

if TYPE_CHECKING:
    from ledger.questions.film import GameToWatch, Offered


class QueueChoice(ReelRoom):
    """The choosing part of Watch."""

    def __init__(self) -> None:
        super().__init__()
        self._was_offered = False

    def offer_first(self) -> None:
        """Offer what there is, once, where nothing was chosen yet."""
        if not self._was_offered:
            self.action_queue()

    def action_queue(self) -> None:
        """Ask which queues there are."""
        self._was_offered = True
        if any(j.kind == "films" for j in self.jobs):
            return
        self.send()
        cohort = self.program.meant.now.cohort
        self.await_job(
            self.program.session.do(
                self, "films", "looking for what to watch", lambda book: book.films(cohort=cohort)
            )
        )
        self.show_reel()

    def done_films(self, job: Job, offered: Sequence[Offered]) -> None:
        """They have come: one is chosen."""

        def chosen(name: str | None) -> None:
            if name == "game":
                self._ask_games()
            elif name == "player":
                self.app.push_screen(WhoDialog(), self._of_player)
            elif name is not None:
                one = offered[int(name)]
                self.open_queue(one.kind, one.which)

        self.show_reel()
        self.offer(ChoiceDialog("What to watch?", offers_of(offered)), chosen)

    def _of_player(self, name: str | None) -> None:
        if name:
            self.open_queue("player", {"player": name})

    def _ask_games(self) -> None:
        cohort = self.program.meant.now.cohort
        self.await_job(
            self.program.session.do(
                self, "games", "looking for games",
                lambda book: book.games_to_watch(cohort=cohort),
            )
        )  # fmt: skip

    def done_games(self, job: Job, games: Sequence[GameToWatch]) -> None:
        """The games have come: one is chosen."""

        def chosen(name: str | None) -> None:
            if name is not None:
                self.open_queue("game", {"game": int(name)})

        if not games:
            self.tell("no game of the attempts meant has any that nobody has watched")
            return
        rows = [(str(g.game_id), f"{g.words}: {count(g.attempts)} to watch") for g in games]
        self.offer(ChoiceDialog("Which game?", rows), chosen)
