"""A game or practice that is typed in, one visit to the line of it, and what that came to."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, replace

from ledger.errors import UseError
from ledger.intake import findings, seasons
from ledger.store.names import written_form
from ledger.store.steps import Step

PRACTICE = "practice"
MOST_SHOTS = 3
# Of a one-and-one the second attempt is there only after a make.
_ONE_AND_ONE = "one_and_one"
_MARKS = {
    "personal": "",
    "one_and_one": "one-and-one",
    "technical": "technical",
    "flagrant": "flagrant",
    "unknown": "",
    "offensive": "own rebound",
    "defensive": "their rebound",
    "out": "out of bounds",
    "none": "no rebound",
    "violation": "violation",
    "foul": "foul",
    "buzzer": "end of period",
}
_SAID = {True: "made", False: "missed", None: "not seen"}


@dataclass(frozen=True, slots=True)
class GameFacts:
    """Which game, or practice, is typed.

    Attributes:
        league: as the ledger or the typist writes it.
        season: as written.
        date: the day, 2024-11-02.
        home: home team; empty for practice.
        away: the visitors; empty for practice.
        label: what tells it from others of its day; made of the two teams unless given.
        stage: part of the season; regular unless given.
    """

    league: str
    season: str
    date: str
    home: str = ""
    away: str = ""
    label: str = ""
    stage: str = ""

    @property
    def is_practice(self) -> bool:
        """Whether it is a practice session."""
        return self.stage == PRACTICE

    @property
    def season_key(self) -> str:
        """The season's normal form.

        Raises:
            UseError: if it is none.
        """
        found = seasons.season_of(self.season)
        if found is None:
            raise UseError(f"season {findings.show(self.season)}: type it as 2024-25")
        return found[0]

    @property
    def day(self) -> datetime.date:
        """The day.

        Raises:
            UseError: if it is none.
        """
        try:
            return datetime.date.fromisoformat(self.date.strip())
        except ValueError:
            raise UseError(f"date {findings.show(self.date)}: type the day as 2024-11-02") from None

    @property
    def far_words(self) -> str:
        """That its day lies far outside its season, by the rule of a file; else empty.

        Raises:
            UseError: if the season or the day is none.
        """
        day, found = self.day, seasons.season_of(self.season)
        span = seasons.days_of(*found) if found is not None else None
        if span is None or span[0] <= day <= span[1]:
            return ""
        return f"{day} is more than {seasons.FAR_DAYS} days outside the season {self.season}"

    def whole(self) -> GameFacts:
        """The same without blanks around the names, all there that is needed.

        Raises:
            UseError: naming what is missing or cannot be.
        """
        named = {name: getattr(self, name).strip() for name in GameFacts.__slots__}
        needed = ["league", "season", "date"]
        needed += ["label"] if named["stage"] == PRACTICE else ["home", "away"]
        missing = [name for name in needed if not named[name]]
        if missing:
            raise UseError(f"a game needs {', '.join(needed)}; missing: {', '.join(missing)}")
        facts = GameFacts(**named)
        if facts.home and written_form(facts.home) == written_form(facts.away):
            raise UseError(f"{findings.show(facts.home)} cannot play against itself")
        _ = facts.season_key
        return replace(facts, date=facts.day.isoformat())

    def words(self) -> str:
        """The game in a few words, which also name its sitting."""
        return f"{self.league} {self.season}, {self.date}: {self.label}"


@dataclass(frozen=True, slots=True)
class Trip:
    """One visit to the line, or one attempt of practice.

    Attributes:
        player: the shooter.
        team: his team.
        made: each result, `None` where it was not seen.
        number: his shirt number.
        is_new: the ledger is to be told of his number: it does not know him yet.
        kind: what gave the trip.
        period: of the game.
        clock: time left in it, such as 5:38.
        rebound_by: offensive, defensive or out, of the last.
        ended_by: violation, foul or buzzer, of the last.
        techniques: how each was shot, empty where it was not looked at.
        miss_depth: short, level or long.
        miss_side: left, centre or right.
    """

    player: str
    team: str
    made: tuple[bool | None, ...]
    number: str = ""
    is_new: bool = False
    kind: str = "personal"
    period: int | None = None
    clock: str = ""
    rebound_by: str = ""
    ended_by: str = ""
    techniques: tuple[str, ...] = ()
    miss_depth: str = ""
    miss_side: str = ""

    def check(self) -> None:
        """See that it can be stored at all.

        Raises:
            UseError: if it has no shots, too many, or none that was seen.
        """
        if not 0 < len(self.made) <= MOST_SHOTS:
            raise UseError(
                f"a trip has one to {MOST_SHOTS} shots, not {len(self.made)}: "
                "end each trip by itself"
            )
        if all(made is None for made in self.made):
            raise UseError("a trip of which nothing was seen is not stored")
        if self.kind == _ONE_AND_ONE and (len(self.made) > 2 or self.made[0] is None):
            raise UseError("a one-and-one has one shot, and a second one after a make")
        if self.kind == _ONE_AND_ONE and len(self.made) == 2 and not self.made[0]:
            raise UseError("a one-and-one whose first shot was missed has no second one")

    def rows(self, facts: GameFacts, order: int | None) -> list[dict[str, str]]:
        """It as records, a value each as it is typed; what is empty is left out.

        Args:
            facts: the game.
            order: the place in the game of the first, where places are told.
        """
        base = {
            **{n: getattr(facts, n) for n in ("league", "season", "date", "home", "away")},
            "game": facts.label,
            "stage": facts.stage,
            "team": self.team,
            "player": self.player,
            "number": self.number if self.is_new else "",
            "period": "" if self.period is None else str(self.period),
            "clock": self.clock,
        }
        of = 2 if self.kind == _ONE_AND_ONE else len(self.made)
        rows: list[dict[str, str]] = []
        for at, made in enumerate(self.made):
            if made is None:
                continue
            row = {**base, "made": "yes" if made else "no"}
            if not facts.is_practice:
                row |= {"trip_shot": str(at + 1), "trip_of": str(of), "trip_kind": self.kind}
            if at == len(self.made) - 1:
                row |= {"rebound_by": self.rebound_by, "ended_by": self.ended_by}
            if at < len(self.techniques):
                row["technique"] = self.techniques[at]
            if not made:
                row |= {"miss_depth": self.miss_depth, "miss_side": self.miss_side}
            if order is not None:
                row["order"] = str(order + len(rows))
            rows.append({name: value for name, value in row.items() if value})
        return rows

    def results(self) -> str:
        """What came of each, in words, and what else was said of the trip."""
        said = ", ".join(_SAID[made] for made in self.made)
        more = [
            _MARKS.get(mark, mark) for mark in (self.kind, self.rebound_by, self.ended_by) if mark
        ]
        more += dict.fromkeys(name for name in self.techniques if name)
        miss = " ".join(part for part in (self.miss_depth, self.miss_side) if part)
        told = "; ".join(part for part in (*more, miss) if part)
        return f"{said} ({told})" if told else said


@dataclass(frozen=True, slots=True)
class Scored:
    """What a typed trip came to.

    Attributes:
        trip: as typed.
        source: the sitting it belongs to.
        attempts: the ledger's numbers of the attempts.
        there: how many of them were there already.
        made: makes of the player in this game, or this practice, so far.
        of: his attempts.
        filled: how many blank fields of attempts that were there it has filled.
        notes: new names, near misses, and what else a person should look at.
    """

    trip: Trip
    source: int
    attempts: tuple[int, ...]
    there: int
    made: int
    of: int
    filled: int = 0
    notes: tuple[str, ...] = ()

    def words(self) -> str:
        """What was stored, in a line."""
        trip = self.trip
        number = f"{trip.number} " if trip.number else ""
        said = f"{number}{trip.player} ({trip.team}): {trip.results()}"
        some = ""
        if self.there == len(self.attempts):
            added = "only what it lacked is added" if self.filled else "nothing added"
            some = f": there already, {added}"
        elif self.there:
            some = f" ({self.there} there already)"
        return f"{said}{some}; now {self.made} of {self.of}"


@dataclass(frozen=True, slots=True)
class TakenBack:
    """What taking the last trip back came to; `made` of `of` is what the player has left."""

    step: Step
    made: int
    of: int

    def words(self) -> str:
        """What was taken back, in a line."""
        results = ", ".join(_SAID[made] for made in self.step.made)
        stay = f", {self.step.kept} stay, another source has them" if self.step.kept else ""
        return (
            f"taken back: {self.step.player} ({self.step.team}): {results}{stay}; "
            f"now {self.made} of {self.of}"
        )
