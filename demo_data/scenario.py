"""The invented scenario: what is planted, and where it lies.

Three leagues that exist nowhere. In the *Halma League* (ten seasons) free throws off the
backboard grow along a logistic from about 3 % to about 22 %; in the *Drellin Liga* (six seasons)
they stay near 2 %; in the *Okelmar Division* (four) they begin late. Every player has one talent
for the whole career, drawn from the Beta distribution of his league; no season differs from
another in level. Every attempt has a true technique, which no league file tells (one hand-kept
sheet excepted): it is learnt from tags only.

Planted stories, each by name in `truth.json` under `switchers` or beside it:

- `rise_a`, `rise_b`, `rise_c`, `noticed`, `late`: a sharp change on a known date, after which the
  make rate is 8 points higher. `noticed` is the player of the rumour.
- `same_a`, `same_b`, `same_c`: a sharp change without any effect.
- `bad_start`: a sharp change without effect, after a start to the season that was 14 points below
  his talent by luck alone: the rise that follows is no gain.
- `gradual`: the share grows evenly over one season; no effect.
- `returned`: changed and changed back two seasons later; no effect.
- `tried`: six attempts off the backboard, then back to the old way.

Other adopters: newcomers who always shot so (no effect to be had) and veterans who changed over a
summer, with an effect drawn around +3 points (`summer` in the truth). Misses off the backboard go
sideways more often than straight ones, and the offence gets a few more of them.

How the files came about: each Halma season is one clean file with attempt ids. The Drellin files
are as life is: semicolons, day first, byte-order mark, one season of box rows, one in
Windows-1252, one with titles, totals, footnotes and broken rows, one in two overlapping files.
Okelmar writes its own column names; its oldest season exists as season totals beside the typed-in
games of one team, and one season is a hand-kept sheet in which the technique of every attempt was
noted, by one person at the court and without a slip (a census). Tags come by lot, watched to the
end; in some seasons suspects were watched besides, in one only suspects, and one sitting looked at
misses alone.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

HALMA, DRELLIN, OKELMAR = 0, 1, 2
LEAGUES = ("Halma League", "Drellin Liga", "Okelmar Division")

RISE = 0.08
BAD_START = 0.14
SUMMER_EFFECT = (0.03, 0.03)
OFFENSIVE_REBOUND = {"straight": 0.13, "board": 0.20, "underhand": 0.13}
TRIED = 6


@dataclass(frozen=True, slots=True)
class LeaguePlan:
    """One league: its size, its talent, and the planted share of board attempts by season.

    Attributes:
        name: the league.
        starts: first calendar year of each season.
        teams: number of teams; even.
        roster: players of a team.
        meetings: how often two teams meet in the regular season.
        weight: attempts of a season relative to the other leagues.
        mean: mean talent.
        strength: a + b of the Beta distribution of talent.
        targets: planted board share of each season, 0..1.
        one_and_one: share of personal trips that are one-and-ones.
    """

    name: str
    starts: tuple[int, ...]
    teams: int
    roster: int
    meetings: int
    weight: float
    mean: float
    strength: float
    targets: tuple[float, ...]
    one_and_one: float = 0.0

    def label(self, season: int) -> str:
        """The season as it is usually written, such as 2019-20."""
        year = self.starts[season]
        return f"{year}-{(year + 1) % 100:02d}"


@dataclass(frozen=True, slots=True)
class Story:
    """One planted player: he fills one place of one team from season `first` to `last`.

    Attributes:
        name: how the truth calls it.
        shape: sharp, gradual, tried or returned.
        league: number of the league.
        place: number of the story within its league; gives the team and the slot.
        first: first season, counted from the league's last (-1).
        last: last season, counted the same way.
        season: season of the change.
        when: part of the regular season that is over by then, 0..1.
        effect: planted change of the make rate.
        back: season of the way back, where there is one.
        talent: planted talent; None draws one.
    """

    name: str
    shape: str
    league: int
    place: int
    first: int
    last: int
    season: int
    when: float
    effect: float
    back: int | None = None
    talent: float | None = None


@dataclass(frozen=True, slots=True)
class Layout:
    """A whole scenario in one of its sizes."""

    leagues: tuple[LeaguePlan, ...]
    stories: tuple[Story, ...]
    lot_players: tuple[int, int, int]
    per_player: tuple[int, int, int]
    picked_from: int


def _logistic(low: float, high: float, seasons: int) -> tuple[float, ...]:
    first, last = (math.log(p / (1 - p)) for p in (low, high))
    step = (last - first) / (seasons - 1)
    return tuple(1 / (1 + math.exp(-(first + step * i))) for i in range(seasons))


_STORIES = (
    Story("noticed", "sharp", HALMA, 0, -5, -1, -2, 0.55, RISE, talent=0.79),
    Story("rise_a", "sharp", HALMA, 1, -6, -1, -4, 0.45, RISE),
    Story("bad_start", "sharp", HALMA, 2, -5, -1, -3, 0.45, 0.0, talent=0.76),
    Story("same_a", "sharp", HALMA, 3, -6, -1, -4, 0.5, 0.0),
    Story("tried", "tried", HALMA, 4, -4, -1, -2, 0.3, 0.0),
    Story("gradual", "gradual", HALMA, 5, -5, -1, -2, 0.0, 0.0),
    Story("rise_b", "sharp", HALMA, 6, -5, -1, -3, 0.5, RISE),
    Story("same_b", "sharp", HALMA, 7, -5, -1, -3, 0.4, 0.0),
    Story("rise_c", "sharp", HALMA, 8, -4, -1, -2, 0.4, RISE),
    Story("same_c", "sharp", HALMA, 9, -4, -1, -2, 0.5, 0.0),
    Story("returned", "returned", HALMA, 10, -7, -2, -6, 0.5, 0.0, back=-4),
    Story("late", "sharp", OKELMAR, 0, -3, -1, -1, 0.4, RISE),
)

LARGE = Layout(
    leagues=(
        LeaguePlan(
            LEAGUES[0], tuple(range(2015, 2025)), 14, 12, 2, 8.8, 0.745, 40,
            _logistic(0.03, 0.22, 10),
        ),
        LeaguePlan(LEAGUES[1], tuple(range(2019, 2025)), 12, 11, 2, 7.0, 0.72, 40, (0.02,) * 6),
        LeaguePlan(
            LEAGUES[2], tuple(range(2021, 2025)), 10, 11, 2, 5.6, 0.70, 35,
            (0.01, 0.02, 0.055, 0.12), 0.2,
        ),
    ),
    stories=_STORIES,
    lot_players=(40, 36, 30),
    per_player=(66, 60, 60),
    picked_from=-6,
)  # fmt: skip

_FEW_STORIES = {"noticed", "rise_a", "bad_start", "same_a", "tried", "late"}

SMALL = Layout(
    leagues=(
        LeaguePlan(
            LEAGUES[0], tuple(range(2020, 2025)), 4, 7, 4, 8.8, 0.745, 40, _logistic(0.05, 0.3, 5)
        ),
        LeaguePlan(LEAGUES[1], tuple(range(2019, 2025)), 4, 7, 4, 4.0, 0.72, 40, (0.02,) * 6),
        LeaguePlan(
            LEAGUES[2], tuple(range(2021, 2025)), 4, 7, 4, 4.0, 0.70, 35,
            (0.01, 0.02, 0.08, 0.15), 0.2,
        ),
    ),
    stories=tuple(story for story in _STORIES if story.name in _FEW_STORIES),
    lot_players=(8, 8, 8),
    per_player=(60, 60, 60),
    picked_from=-4,
)  # fmt: skip

# Below this many attempts the leagues are made smaller, so that players still have enough each.
SMALL_BELOW = 40_000
# Below this, nobody would have ten attempts in a season of the smaller leagues.
FEWEST = 4_000
