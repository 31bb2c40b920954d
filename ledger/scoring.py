"""What a person types in through the book while watching: a game trip by trip, or a practice."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ledger.intake.entry import Entered
    from ledger.intake.scoresheet import Sheet
    from ledger.intake.trip import GameFacts, Scored, TakenBack, Trip
    from ledger.questions.practising import Practice
    from ledger.store.ledger_file import LedgerFile
    from ledger.store.reads.scoresheet import Competitions


class Scoring:
    """The typing part of a book, over its ledger file."""

    _file: LedgerFile

    def competitions(self) -> Competitions:
        """Leagues, their seasons and teams, for completion."""
        from ledger.store.reads.scoresheet import Scoresheets

        with self._file.reading() as con:
            return Scoresheets(con).competitions()

    def open_sheet(self, facts: GameFacts) -> Sheet:
        """A game to be typed in; one that was begun before goes on where it stopped.

        Args:
            facts: league, season, day and teams; a label where the day has two such games.

        Returns:
            The sheet: `known` is what the game holds, `line_ups` who is with each team. It is
            handed to the other methods here and belongs to this book.

        Raises:
            UseError: naming what is missing, cannot be, or is several games.
        """
        from ledger.intake.scoresheet import open_sheet

        return open_sheet(self._file, facts)

    def open_practice(self, trial: str, day: str) -> tuple[Practice, Sheet]:
        """A day's practice session of a trial, to be typed in.

        Args:
            trial: its name.
            day: 2024-11-02.

        Returns:
            Which session it is, its blocks and what was shot so far; and its sheet.

        Raises:
            UseError: if there is no such trial, or the day cannot be one of its sessions.
        """
        from ledger.intake.scoresheet import open_sheet
        from ledger.intake.trip import PRACTICE, GameFacts
        from ledger.questions.practising import session

        asked = GameFacts("", "", day)
        with self._file.reading() as con:
            found = session(con, trial, asked.day)
        of = found.trial
        facts = GameFacts(of.league, found.season, day, label=of.name, stage=PRACTICE)
        return found, open_sheet(self._file, facts)

    def score(self, sheet: Sheet, trip: Trip) -> Scored:
        """Store one visit to the line, or one attempt of practice, at once.

        Raises:
            UseError: naming what cannot be, or what it contradicts; nothing is stored then.
        """
        from ledger.intake.scoresheet import score

        return score(self._file, sheet, trip)

    def take_back_trip(self, sheet: Sheet) -> TakenBack:
        """Take the last trip of a sheet back: its records go, the game is as if it never was.

        Raises:
            UseError: if nothing of the sitting is left, or somebody has tagged what would go.
        """
        from ledger.intake.scoresheet import take_back

        return take_back(self._file, sheet)

    def add_line_up(self, sheet: Sheet, team: str, shirts: Sequence[tuple[str, str]]) -> Entered:
        """Tell the ledger who is with a team of a sheet, as one source.

        Args:
            sheet: from `open_sheet`.
            team: the team.
            shirts: number (or nothing) and name of each player.

        Raises:
            UseError: if a number or name cannot be; nothing is stored then.
        """
        from ledger.intake.scoresheet import add_line_up

        return add_line_up(self._file, sheet, team, shirts)
