"""What a game that is typed in has beside its trips: who plays, and which period it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ledger.questions.wording import counted
from ledger.store.reads.scoresheet import Shirt
from tui.screens.sheet_in_hand import SheetInHand
from tui.screens.sheet_windows import LineUpDialog
from tui.trip_line import Teams

_LAST_PERIOD = 20


class GameInHand(SheetInHand):
    """Keeps line-ups and the period of the game that is open."""

    def know(self, side: int, shirts: Sequence[tuple[str, str]]) -> None:
        """Players are in a line-up from now on."""
        told = {name for _, name in shirts}
        ours = [s for s in self.teams.shirts[side] if s.name not in told]
        ours += [Shirt(number, name) for number, name in shirts]
        ours.sort(key=lambda s: (not s.number, int(s.number or 0), s.name))
        both = list(self.teams.shirts)
        both[side] = ours
        self.teams = replace(self.teams, shirts=(both[0], both[1]))

    def action_line_ups(self) -> None:
        if self.sheet is None or self.practice is not None:
            self.tell("line-ups are those of a game: none is open")
            return

        def add(side: int, shirts: Sequence[tuple[str, str]]) -> Teams:
            team = self.teams.names[side]
            self.know(side, shirts)
            self.put_line_up(team, shirts)
            return self.teams

        side = int(bool(self.teams.shirts[0]) and not self.teams.shirts[1])
        self.app.push_screen(LineUpDialog(self.teams, side, add), lambda _: self.show_work())

    def put_line_up(self, team: str, shirts: Sequence[tuple[str, str]]) -> None:
        """Send a line-up to the ledger."""
        sheet = self.sheet
        assert sheet is not None
        words = f"line-up of {team} ({counted(len(shirts), 'player')})"
        self.put("", lambda book: book.add_line_up(sheet, team, shirts), words)

    def action_period(self) -> None:
        self._to_period((self.period or 0) + 1)

    def action_period_before(self) -> None:
        self._to_period((self.period or 1) - 1)

    def _to_period(self, period: int) -> None:
        if self.sheet is None or self.practice is not None:
            self.tell("periods are those of a game: none is open")
            return
        before, self.period = self.period, min(period, _LAST_PERIOD) or None
        typed = any(of for _, of in self.tally.values())
        self.tell(self._period_words(before, self.period, typed=typed))
        self.show_work()

    def _period_words(self, before: int | None, now: int | None, *, typed: bool) -> str:
        """What a change of period means for trips that are typed now, and for those before."""
        if now is None:
            return "no period: trips typed now have none"
        if now == before:
            return f"period {now} is the last that is taken"
        said = f"period {now}: trips typed now are in it"
        if not typed or before is not None:
            return said
        further, back = self.key("period"), self.key("take_back")
        return (
            f"{said}; those typed before have no period: {further} again if they were the first; "
            f"{back} takes them back one by one, to be typed in theirs"
        )
