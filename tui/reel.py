"""The attempts to watch, one after another: those typed, those left for later, those to come."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ledger.stats.film_time import about

if TYPE_CHECKING:
    from ledger.questions.film import Film
    from ledger.store.reads.film import ToWatch

# Attempts typed without a longer pause are one run; common practice, no source.
PAUSE_S = 5.0
# So many are fetched ahead that nobody outruns it.
AHEAD = 100


@dataclass(frozen=True, slots=True)
class Typed:
    """An attempt that is done with.

    Attributes:
        attempt: the attempt.
        fields: its tag; nothing where it was left for later.
        at: when, in seconds of some clock.
    """

    attempt: ToWatch
    fields: Mapping[str, str]
    at: float

    @property
    def left(self) -> bool:
        """Whether it was left for later."""
        return not self.fields


@dataclass
class Reel:
    """One queue while it is watched.

    Attributes:
        film: as it was fetched.
        coming: what is to come, the attempt in hand first.
        typed: what is done with, the last at the end.
        today: tags of today.
    """

    film: Film
    coming: deque[ToWatch] = field(default_factory=deque)
    typed: list[Typed] = field(default_factory=list)
    today: int = 0
    _places: dict[tuple[int, int], list[tuple[float, float]]] = field(default_factory=dict)
    _fetched: int = 0

    def __post_init__(self) -> None:
        self.coming.extend(self.film.attempts)
        self.today = self.film.today
        self._fetched = len(self.film.attempts)
        for time in self.film.times:
            self._place(time.game_id, time.period, time.clock_s, time.video_s)

    @property
    def now(self) -> ToWatch | None:
        """The attempt in hand."""
        return self.coming[0] if self.coming else None

    @property
    def place(self) -> int:
        """Which of the queue the attempt in hand is, from 1."""
        return self.film.done + len(self.typed) + 1

    @property
    def total(self) -> int:
        """How many the queue has, those done with included."""
        return self.film.done + self.film.left

    @property
    def later(self) -> tuple[int, ...]:
        """The numbers of attempts that are left for later."""
        return tuple(t.attempt.attempt for t in self.typed if t.left)

    @property
    def wants_more(self) -> bool:
        """Whether more of the queue is to be fetched."""
        return len(self.coming) < AHEAD and self._fetched < self.film.left

    def done(self, fields: Mapping[str, str], at: float) -> Typed:
        """The attempt in hand is typed, or left for later where there are no fields."""
        one = Typed(self.coming.popleft(), dict(fields), at)
        self.typed.append(one)
        self.today += not one.left
        attempt = one.attempt
        seconds = fields.get("video_s")
        if seconds and attempt.period is not None and attempt.clock_s is not None:
            self._place(attempt.game_id, attempt.period, attempt.clock_s, float(seconds))
        return one

    def back(self) -> Typed | None:
        """The last one comes back in hand."""
        if not self.typed:
            return None
        one = self.typed.pop()
        self.coming.appendleft(one.attempt)
        self.today -= not one.left
        return one

    def come_back(self, number: int) -> None:
        """A typed attempt could not be stored: it is the next but one in hand."""
        for at in reversed(range(len(self.typed))):
            if self.typed[at].attempt.attempt == number:
                one = self.typed.pop(at)
                self.today -= not one.left
                self.coming.insert(1 if self.coming else 0, one.attempt)
                return

    def run(self) -> int:
        """How many of the last were typed without a pause."""
        count = 0
        for at in reversed(range(len(self.typed))):
            count += 1
            if at and self.typed[at].at - self.typed[at - 1].at >= PAUSE_S:
                break
        return count

    def add(self, attempts: Iterable[ToWatch]) -> None:
        """Further attempts, fetched ahead."""
        known = {a.attempt for a in self.coming} | {t.attempt.attempt for t in self.typed}
        fresh = [a for a in attempts if a.attempt not in known]
        self.coming.extend(fresh)
        # Nothing new means that there is no more, whatever was counted before.
        self._fetched = self._fetched + len(fresh) if fresh else self.film.left

    def on_film(self, attempt: ToWatch) -> float | None:
        """About where on the film an attempt is, in seconds."""
        if attempt.period is None or attempt.clock_s is None:
            return None
        return about(attempt.clock_s, self._places.get((attempt.game_id, attempt.period), []))

    def _place(self, game: int, period: int, clock_s: float, video_s: float) -> None:
        self._places.setdefault((game, period), []).append((clock_s, video_s))
