"""What a person watches through the book: queues of attempts, and the tags typed of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from ledger.cohort import Cohort

if TYPE_CHECKING:
    from ledger.intake.watched import TagDesk
    from ledger.questions.film import Film, GameToWatch, Offered
    from ledger.store.ledger_file import LedgerFile
    from ledger.store.tagging import Tagged

_MOST = 500


class Watching:
    """The watching part of a book, over its ledger file."""

    _file: LedgerFile

    def film(
        self,
        kind: str,
        *,
        cohort: Cohort | None = None,
        name: str | None = None,
        player: str | None = None,
        game: int | str | None = None,
        date: date | str | None = None,
        league: str | None = None,
        tagger: str | None = None,
        later: Iterable[int] = (),
        most: int = _MOST,
        focus: Sequence[str] | None = None,
    ) -> Film:
        """A queue of attempts for one person to watch.

        What this person has a tag of is not in it, so that work goes on where it stopped. Nothing
        of anybody's tags is told. Only of a game the attempts that others have watched are in it
        as well; `second` are the attempts drawn by chance that one other person has watched.

        Args:
            kind: watchlist, lot, second, game, player, misses or unwatched.
            cohort: which attempts; free throws in games unless given. A lot has its own.
            name: of the lot.
            player: of the player.
            game: its number, or what it is called, told apart by `date` and `league`.
            date: the day of the game.
            league: the league of the game, or of the player.
            tagger: who watches; the person at the ledger unless given.
            later: numbers of attempts that are left for later.
            most: so many at a time.
            focus: techniques that are studied, for the watch list.

        Raises:
            UseError: for an unknown kind or name.
        """
        from ledger.questions.film import Asked, film

        asked = Asked(
            kind=kind, cohort=cohort or Cohort(), name=name, player=player, game=game,
            day=Cohort.of(date_from=date).date_from, league=league, later=tuple(later), most=most,
            focus=focus,
        )  # fmt: skip
        with self._file.reading() as con:
            return film(con, asked, tagger or self._file.who, self._file.clock())

    def films(self, *, cohort: Cohort | None = None, tagger: str | None = None) -> list[Offered]:
        """The queues there are for a person: watch list, second opinions, lots, misses, all."""
        from ledger.questions.film import offered

        with self._file.reading() as con:
            return offered(con, cohort or Cohort(), tagger or self._file.who)

    def games_to_watch(self, *, cohort: Cohort | None = None) -> list[GameToWatch]:
        """The games with attempts that nobody has watched, the newest first, at most 200."""
        from ledger.questions.film import games

        with self._file.reading() as con:
            return games(con, cohort or Cohort(), self._file.who)

    def tag(
        self,
        sitting: int | None,
        attempt: int,
        fields: Mapping[str, str],
        *,
        kind: str | None = None,
        words: str = "",
        tagger: str | None = None,
    ) -> Tagged:
        """Store what a person has seen of one attempt, at once.

        Typed again by the same person it stands for the earlier tag.

        Args:
            sitting: the source of this sitting, or None to begin one.
            attempt: the ledger's number of the attempt.
            fields: field of a tag to value as typed, such as `technique`, `miss_depth`.
            kind: the kind of queue it was in: tells how the attempt came to be watched.
            words: what a new sitting is called in the list of sources.
            tagger: who watched; the person at the ledger unless given.

        Returns:
            `sitting`, `attempt`, `tag`, whether it `replaced` one, and the technique `before`.

        Raises:
            UseError: naming the field that cannot be; nothing is stored then.
        """
        from ledger.questions.film import PICKED_FOR, SECOND
        from ledger.store.reads.film import WATCHING

        said = dict(fields)
        if kind and PICKED_FOR[kind]:
            said["picked_for"] = PICKED_FOR[kind]
        called = f"{WATCHING}: {words}" if words else WATCHING
        second = kind == SECOND
        return self._desk.tag(sitting, attempt, said, what=called, tagger=tagger, second=second)

    def untag(self, sitting: int, attempt: int, *, tagger: str | None = None) -> Tagged:
        """Take the last tag of an attempt in a sitting back; the one it stood for counts again.

        Raises:
            UseError: if there is none.
        """
        return self._desk.untag(sitting, attempt, tagger=tagger)

    @cached_property
    def _desk(self) -> TagDesk:
        from ledger.intake.watched import TagDesk

        return TagDesk(self._file)
