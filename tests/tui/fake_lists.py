"""What was written down in the book with hand-made answers. Everything in it is invented."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from typing import Any

from ledger.errors import UseError
from ledger.store.listed import Drawn, HeldConsent, HeldLot, HeldRumour, OnList, Shortlist
from ledger.store.lots import Lot
from ledger.store.names import Named
from ledger.store.notes import Decision
from ledger.store.trials import Trial
from ledger.telling import DeckItem

TODAY = date(2025, 3, 3)
THEN = datetime(2025, 2, 1, 12)
NOW = datetime(2025, 3, 3, 9)
LEAGUE, SEASON = "Halma League", "2024-25"


@dataclass(frozen=True)
class Entry:
    """A player put on a list or dropped from it."""

    name: str
    player: str
    add: bool
    note: str | None
    at: datetime
    source: int | None


def decision(
    player: str, choice: str, why: str, review: date | None, at: datetime, source: int | None
) -> Decision:
    return Decision(0, player, LEAGUE, choice, why, review, "Mira", at, source, 0, stands=True)


def written() -> list[Any]:
    """What is written down before anybody types."""
    return [
        Entry("Spring", "Ilvo Tarn", True, "banks them", THEN, None),
        Entry("Spring", "Bram Oselo", True, None, THEN, None),
        Entry("Autumn", "Sefa Mun", True, "takes many, makes few", THEN, None),
        HeldLot(
            "honest", LEAGUE, SEASON, 7, 94, "Mira", THEN, None,
            (Drawn(1, "Kuno Mun", LEAGUE, 61, 61, 0), Drawn(2, "Ilvo Tarn", LEAGUE, 103, 41, 60)),
        ),
        HeldRumour(
            "someone banks his free throws", "2022-23", LEAGUE, "Ilvo Tarn", date(2025, 1, 5),
            "a stream", "Mira", THEN, None,
        ),
        Trial(1, "Winter", 1, "Ilvo Tarn", LEAGUE, 1, "straight", 2, "board", 12, 50, 0, 7, "Mira",
              THEN),
        HeldConsent("Ilvo Tarn", LEAGUE, "player", date(2025, 1, 1), date(2025, 6, 30),
                    "the trial Winter", "Mira", THEN, None),
        decision("Ilvo Tarn", "try", "misses long", date(2025, 3, 1), THEN, None),
        decision("Bram Oselo", "wait", "his wrist", None, THEN, None),
        {"source": None, "player": "Ilvo Tarn", "league": LEAGUE, "date": None,
         "said": "asks for film of himself", "why": None, "who": "Mira", "when": THEN},
        DeckItem(1, 1, "ranking", {"order": "low"}, "Who shoots best, allowing for luck?",
                 "Free throws in all leagues"),
        DeckItem(2, 2, "uptake", {}, "Is it growing?", "Free throws in Halma League"),
    ]  # fmt: skip


class FakeLists:
    """The lists and all that is said about players, each change a source."""

    # What a book with hand-made answers has.
    written: list[Any]
    names: Sequence[str]
    leagues: Sequence[str]
    sources: list[Any]
    changes: int

    def _called(self, name: str, what: Any) -> None:
        raise NotImplementedError

    def _source(self, what: str) -> int:
        """A new source that stored no record."""
        raise NotImplementedError

    # -- reading ----------------------------------------------------------------------------

    def _there(self, kind: type) -> list[Any]:
        """What of one kind was not taken back."""
        gone = {s.number for s in self.sources if s.taken_back}

        def source(item: Any) -> Any:
            if isinstance(item, Trial):
                return None if item.id == 1 else item.id
            return item["source"] if isinstance(item, dict) else item.source

        return [x for x in self.written if isinstance(x, kind) and source(x) not in gone]

    def today(self) -> date:
        return TODAY

    def last_source(self) -> int:
        return len(self.sources)

    def lists(self) -> list[Shortlist]:
        on: dict[str, dict[str, Entry]] = {}
        for entry in self._there(Entry):
            players = on.setdefault(entry.name, {})
            if entry.add:
                players.setdefault(entry.player, entry)
            else:
                players.pop(entry.player, None)
        stand = {d.player: d for d in self.decisions() if d.stands}
        return [
            Shortlist(
                name, THEN,
                tuple(
                    OnList(e.player, LEAGUE, e.note, e.at, "Mira", e.source, stand.get(e.player))
                    for e in players.values()
                ),
            )
            for name, players in on.items()
        ]  # fmt: skip

    def lots(self) -> list[HeldLot]:
        return self._there(HeldLot)

    def rumours(self) -> list[HeldRumour]:
        return self._there(HeldRumour)

    def trials(self) -> list[Trial]:
        return self._there(Trial)

    def consents(self) -> list[HeldConsent]:
        return self._there(HeldConsent)

    def decisions(self) -> list[Decision]:
        found = self._there(Decision)
        last = {d.player: number for number, d in enumerate(found)}
        return [
            replace(d, number=n, stands=last[d.player] == n) for n, d in enumerate(found)
        ]  # fmt: skip

    def reviews_due(self, on: date | None = None) -> list[Decision]:
        return [d for d in self.decisions() if d.due(on or TODAY)]

    def notes(
        self,
        player: str | None = None,
        *,
        league: str | None = None,  # noqa: ARG002
    ) -> list[dict[str, Any]]:
        return [n for n in self._there(dict) if player in (None, n["player"])]

    def deck(self) -> list[DeckItem]:
        items = [x for x in self.written if isinstance(x, DeckItem)]
        return [replace(item, place=place) for place, item in enumerate(items, 1)]

    # -- writing ----------------------------------------------------------------------------

    def _known(self, player: str, league: str | None) -> str:
        if league is not None and league not in self.leagues:
            raise UseError(f"the ledger has no league {league!r}")
        if player not in self.names:
            raise UseError(f"the ledger has no player {player!r}: did you mean {self.names[0]}?")
        return player

    def shortlist(
        self,
        name: str,
        players: Iterable[str],
        *,
        add: bool = True,
        league: str | None = None,
        note: str | None = None,
    ) -> str:
        wanted = [self._known(p, league) for p in players]
        self._called("shortlist", (name, tuple(wanted), add, league, note))
        if any(lot.name == name for lot in self.lots()):
            raise UseError(f"{name!r} is a lot, drawn once and left as it is: use another name")
        on = {p.player for one in self.lists() if one.name == name for p in one.players}
        fresh = [p for p in wanted if (p in on) is not add]
        deed = "put on" if add else "dropped from"
        if fresh:
            source = self._source(f"{name}: {', '.join(fresh)} {deed} it")
            self.written += [Entry(name, p, add, note, NOW, source) for p in fresh]
        return f"{', '.join(fresh) or 'nobody'} {deed} {name}"

    def lot(
        self, name: str, *, league: str, season: str, players: int, seed: int | None = None
    ) -> Lot:
        self._called("lot", (name, league, season, players, seed))
        if players > len(self.names):
            raise UseError(f"{league} {season} has {len(self.names)} players, {players} were asked")
        drawn = self.names[:players]
        source = self._source(name)
        seed = 11 if seed is None else seed
        self.written.append(
            HeldLot(name, league, season, seed, len(self.names), "Mira", NOW, source,
                    tuple(Drawn(i, p, league, 60, 0, 60) for i, p in enumerate(drawn, 1)))
        )  # fmt: skip
        named = tuple(Named(i, p, league) for i, p in enumerate(drawn))
        return Lot(source, name, league, season, seed, named, len(self.names))

    def rumour(
        self,
        text: str,
        *,
        season: str,
        league: str | None = None,
        player: str | None = None,
        seen: str | date | None = None,
        where: str | None = None,
    ) -> None:
        self._called("rumour", (text, season, league, player, seen, where))
        day = seen if isinstance(seen, date) else None
        source = self._source(text)
        self.written.append(
            HeldRumour(text, season, league, player, day, where, "Mira", NOW, source)
        )

    def note(
        self,
        text: str,
        *,
        player: str | None = None,
        league: str | None = None,
        date: str | date | None = None,
    ) -> str:
        self._called("note", (text, player, league, date))
        if player is not None:
            self._known(player, league)
        source = self._source(text)
        self.written.append(
            {"source": source, "player": player, "league": league, "date": date, "said": text,
             "why": None, "who": "Mira", "when": NOW}
        )  # fmt: skip
        return f"noted{f' of {player}' if player else ''}; to take it back: offglass undo {source}"

    def decide(
        self,
        player: str,
        choice: str,
        *,
        why: str,
        review: str | date | None = None,
        league: str | None = None,
    ) -> str:
        self._called("decide", (player, choice, why, review, league))
        source = self._source(f"{self._known(player, league)}: {choice}")
        day = review if isinstance(review, date) else None
        self.written.append(decision(player, choice, why, day, NOW, source))
        return f"{player}: {choice}; to take it back: offglass undo {source}"

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
        numbers = (sessions, per_session, practice_only, seed)
        self._called("trial", (name, player, tuple(techniques), *numbers, league))
        if any(t.name == name for t in self.trials()):
            raise UseError(f"there is a trial {name!r} already: choose another name")
        source = self._source(f"{name}: {self._known(player, league)}")
        one, two = list(techniques)
        planned = Trial(
            source, name, 1, player, LEAGUE, 1, one, 2, two, sessions, per_session, practice_only,
            3 if seed is None else seed, "Mira", NOW,
        )  # fmt: skip
        self.written.append(planned)
        return planned

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
        self._called("consent", (player, given_by, on, until, purpose, league))
        source = self._source(f"{self._known(player, league)}: {purpose}")
        assert isinstance(on, date)
        last = until if isinstance(until, date) else None
        self.written.append(
            HeldConsent(player, LEAGUE, given_by, on, last, purpose, "Mira", NOW, source)
        )
        return (
            f"{player}: records of practice may be stored from {on}; to take it back: offglass "
            f"undo {source}\nnote: born in 2008: is a guardian's consent needed?"
        )

    def drop_from_deck(self, number: int) -> str:
        self._called("drop_from_deck", number)
        self.written.remove(next(x for x in self._slides() if x.number == number))
        return f"left the deck; to take it back: offglass undo {self._source('deck')}"

    def move_in_deck(self, number: int, place: int) -> str:
        self._called("move_in_deck", (number, place))
        slides = self._slides()
        moved = next(x for x in slides if x.number == number)
        slides.remove(moved)
        slides.insert(place - 1, moved)
        self.written[:] = [x for x in self.written if not isinstance(x, DeckItem)] + slides
        return f"is at place {place} now; to take it back: offglass undo {self._source('deck')}"

    def _slides(self) -> list[DeckItem]:
        return [x for x in self.written if isinstance(x, DeckItem)]

    def export_deck(
        self,
        path: Any,
        *,
        cohort: Any = None,
        focus: Any = None,
        theme: str = "light",
        template: Any = None,
        progress: Any = None,
    ) -> Path:
        self._called(
            "export_deck", (str(path), cohort, focus, theme, template, progress is not None)
        )
        Path(path).write_text("slides", encoding="utf-8")
        return Path(path)
