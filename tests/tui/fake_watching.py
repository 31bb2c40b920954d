"""What is watched in the book with hand-made answers. Everything in it is invented."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from ledger.errors import UseError
from ledger.questions.film import Film, GameToWatch, Offered
from ledger.store.reads.film import ToWatch, VideoTime
from ledger.store.tagging import Tagged

WHO = (("Ilvo Tarn", "Skerry", "7"), ("Bram Oselo", "Fenholt", "11"), ("Sefa Mun", "Skerry", None))


def to_watch(number: int, **more: Any) -> ToWatch:
    """One of the attempts: two of a visit, the second of every other visit missed."""
    player, team, shirt = WHO[number // 2 % 3]
    first = number % 2 == 0
    made = first or number // 2 % 2 == 0
    base = ToWatch(
        attempt=number + 1, game_id=1 + number // 60, game=f"R{1 + number // 60}",
        date=datetime.date(2024, 11, 2), league="Halma League", season="2024-25", home="Skerry",
        away="Fenholt", video="games/r1.mp4", period=1, clock_s=600.0 - number // 2 * 10,
        team=team, player=player, number=shirt, made=made, shot="free_throw",
        trip_shot=1 if first else 2, trip_of=2, trip_kind="personal",
        live=None if made else True,
    )  # fmt: skip
    return replace(base, **more)


class FakeWatching:
    """Attempts to watch, and what was typed of them: `tags` by the number of the attempt."""

    sources: list[Any]
    changes: int

    def _called(self, name: str, what: Any) -> None:
        raise NotImplementedError

    def _source(self, what: str) -> int:
        raise NotImplementedError

    @property
    def film_of(self) -> list[ToWatch]:
        """All attempts there are; a test may put in others."""
        if not hasattr(self, "_attempts"):
            self._attempts = [to_watch(n) for n in range(60)]
        return self._attempts

    @property
    def tags(self) -> dict[int, dict[str, str]]:
        """What counts, by the number of the attempt."""
        if not hasattr(self, "_tags"):
            self._tags: dict[int, dict[str, str]] = {}
        return self._tags

    def film(
        self,
        kind: str,
        *,
        cohort: Any = None,  # noqa: ARG002
        name: str | None = None,
        player: str | None = None,
        game: int | str | None = None,
        date: Any = None,  # noqa: ARG002
        league: str | None = None,  # noqa: ARG002
        later: Iterable[int] = (),
        most: int = 500,
        focus: Any = None,  # noqa: ARG002
    ) -> Film:
        which = {"name": name, "player": player, "game": game}
        self._called("film", (kind, {k: v for k, v in which.items() if v}, tuple(later)))
        aside = set(later)
        left = [
            a for a in self.film_of
            if a.attempt not in self.tags and a.attempt not in aside
            and (kind != "misses" or not a.made) and player in (None, a.player)
        ]  # fmt: skip
        words = {"lot": f"Lot {name}", "game": "R1, Skerry - Fenholt, 2024-11-02"}
        times = [
            VideoTime(
                a.game_id, a.period or 0, a.clock_s or 0.0, float(self.tags[a.attempt]["video_s"])
            )
            for a in self.film_of
            if "video_s" in self.tags.get(a.attempt, {})
        ]
        return Film(
            kind, words.get(kind, "Everything nobody has watched"), tuple(left[:most]), len(left),
            len(self.tags), len(self.tags), ("straight", "board", "underhand", "other"),
            frozenset({"board"}), tuple(times), "Mira",
        )  # fmt: skip

    def films(self, *, cohort: Any = None) -> list[Offered]:
        self._called("films", cohort)
        return [
            Offered("watchlist", {}, "What to watch next, as the watch list has it"),
            Offered("second", {}, "Second opinions, drawn by chance", 3),
            Offered("lot", {"name": "honest"}, "Lot honest: Halma League, 2024-25", 60),
            Offered("misses", {}, "Misses only, for where they go", 15),
            Offered("unwatched", {}, "Everything nobody has watched", 60),
        ]

    def games_to_watch(self, *, cohort: Any = None) -> list[GameToWatch]:
        self._called("games_to_watch", cohort)
        return [GameToWatch(1, "R1, Skerry - Fenholt, 2024-11-02", 60)]

    def tag(
        self,
        sitting: int | None,
        attempt: int,
        fields: Mapping[str, str],
        *,
        kind: str | None = None,
        words: str = "",
    ) -> Tagged:
        self._called("tag", (attempt, dict(fields), kind))
        if attempt not in [a.attempt for a in self.film_of]:
            raise UseError(f"there is no attempt {attempt} any more: its source was taken back")
        number = sitting or self._source(f"watching: {words}")
        self.changes += 1
        self.tags[attempt] = dict(fields)
        return Tagged(number, attempt, attempt)

    def untag(self, sitting: int, attempt: int) -> Tagged:
        self._called("untag", attempt)
        self.changes += 1
        del self.tags[attempt]
        return Tagged(sitting, attempt, attempt)

    def correct(self, kind: str, record: int | str, changes: Mapping[str, str], *, why: str) -> str:
        self._called("correct", (kind, record, dict(changes), why))
        at = next(n for n, a in enumerate(self.film_of) if a.attempt == record)
        if "made" in changes:
            self.film_of[at] = replace(self.film_of[at], made=changes["made"] == "yes")
        if "player" in changes:
            self.film_of[at] = replace(self.film_of[at], player=changes["player"])
        source = self._source("correction")
        return f"{kind} {record} mended; to take it back: offglass undo {source}"
