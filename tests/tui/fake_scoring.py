"""A scoresheet's part of the book with hand-made answers. Everything in it is invented."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from types import SimpleNamespace
from typing import Any

from ledger.errors import UseError
from ledger.intake.scoresheet import Sheet
from ledger.intake.trip import PRACTICE, GameFacts, Scored, TakenBack, Trip
from ledger.questions.practising import Practice
from ledger.stats.trial_plan import plan
from ledger.store.reads.scoresheet import Competitions, Shirt, Shot, SoFar
from ledger.store.steps import Step
from ledger.store.trials import Trial

LEAGUE, SEASON = "Halma League", "2024-25"
LINE_UPS = {
    "Skerry": (
        Shirt("4", "Bram Oselo"), Shirt("9", "Pim Al-Saif"), Shirt("12", "Ilvo Tarn"),
        Shirt("", "Yelt Mun"),
    ),
    "Fenholt": (Shirt("7", "Kuno Dravik"), Shirt("12", "Sefa Tarnak"), Shirt("30", "Bram Mun")),
}  # fmt: skip
TECHNIQUES = ("straight", "board", "underhand", "other")
WINTER = Trial(1, "Winter", 1, "Ilvo Tarn", LEAGUE, 1, "straight", 2, "board", 12, 20, 1, 7,
               "Mira", datetime(2025, 2, 1, 12))  # fmt: skip


@dataclass
class FakeScoring:
    """What was typed, by the label of its game; the ledger's own words come back."""

    scored: dict[str, list[Trip]] = field(default_factory=dict)
    refuses: str = ""
    consented: bool = True

    def _called(self, name: str, what: Any) -> None:
        """Write a call down; the book does."""
        raise AssertionError(f"{name}: {what}")

    def competitions(self) -> Competitions:
        teams = {LEAGUE: ("Aldmoor", "Fenholt", "Skerry"), "Kesto Liga": ("Tesk",)}
        return Competitions((LEAGUE, "Kesto Liga"), {LEAGUE: (SEASON, "2023-24")}, teams)

    def open_sheet(self, facts: GameFacts) -> Sheet:
        self._called("open_sheet", facts)
        facts = facts.whole()
        label = facts.label or f"{facts.home} v {facts.away}"
        whole = GameFacts(facts.league, facts.season, facts.date, facts.home, facts.away, label,
                          facts.stage)  # fmt: skip
        known = _so_far(self.scored.setdefault(label, []))
        line_ups = {team: LINE_UPS.get(team, ()) for team in (facts.home, facts.away) if team}
        return Sheet(whole, line_ups, 3 if known.shots else None, None, known, TECHNIQUES,
                     dict(known.counts))  # fmt: skip

    def open_practice(self, trial: str, day: str) -> tuple[Practice, Sheet]:
        if trial.casefold() != "winter":
            raise UseError(f"the ledger has no trial {trial!r}: there is Winter")
        sheet = self.open_sheet(GameFacts(LEAGUE, SEASON, day, label="Winter", stage=PRACTICE))
        practice = Practice(WINTER, date.fromisoformat(day), SEASON, "Skerry", 2,
                            plan(12, 20, 7)[1], (0, 0), (0, 0), self.consented)  # fmt: skip
        for shot in sheet.known.shots:
            practice = practice.after(str(shot.technique), shot.made)
        return practice, sheet

    def score(self, sheet: Sheet, trip: Trip) -> Scored:
        self._called("score", trip)
        trip.check()
        if self.refuses:
            raise UseError(self.refuses)
        trips = self.scored[sheet.facts.label]
        trips.append(trip)
        made, of = _so_far(trips).tally[trip.player, trip.team]
        return Scored(trip, 3, (len(trips),), 0, made, of)

    def take_back_trip(self, sheet: Sheet) -> TakenBack:
        self._called("take_back_trip", sheet.facts.label)
        trips = self.scored[sheet.facts.label]
        if not trips:
            raise UseError("nothing of this sitting is left to take back")
        trip = trips.pop()
        seen = tuple(made for made in trip.made if made is not None)
        counts = _so_far(trips).tally.get((trip.player, trip.team), (0, 0))
        return TakenBack(Step(trip.player, 1, trip.team, 1, seen, 0), *counts)

    def add_line_up(self, sheet: Sheet, team: str, shirts: Sequence[tuple[str, str]]) -> Any:
        assert team in sheet.line_ups
        self._called("add_line_up", (team, tuple(shirts)))
        return _told(f"line-up of {team}: {len(shirts)} players stored")

    def add_lines(self, kind: str, data: bytes, options: Any = None) -> Any:  # noqa: ARG002
        self._called("add_lines", (kind, len(data)))
        return _told(f"{data.count(10)} rows stored as source 4")


def _told(words: str) -> Any:
    return SimpleNamespace(report=SimpleNamespace(words=lambda: words))


def _so_far(trips: Sequence[Trip]) -> SoFar:
    shots: list[Shot] = []
    people: dict[tuple[str, str], int] = {}
    counts: dict[int, tuple[int, int]] = {}
    for trip in trips:
        person = people.setdefault((trip.player, trip.team), len(people) + 1)
        for made in trip.made:
            if made is None:
                continue
            at, (k, n) = len(shots) + 1, counts.get(person, (0, 0))
            counts[person] = (k + made, n + 1)
            technique = trip.techniques[0] if trip.techniques else None
            shots.append(Shot(at, person, trip.player, trip.team, made, None, None, trip.period,
                              at, technique))  # fmt: skip
    return SoFar(tuple(shots), counts)
