"""When players took it up: not yet adopted, the shape of the spread, adopters among team-mates."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.questions import columns, states
from ledger.questions.player_seasons import by_person
from ledger.questions.wording import count, counted
from ledger.stats import diffusion, team_mates
from ledger.stats.not_yet import NotYet, not_yet

if TYPE_CHECKING:
    from ledger.questions.answer import Part
    from ledger.questions.drawn import Lots
    from ledger.questions.guards import Refusals

COACHES = "players of one team share coaches; this is not proof of copying"
WHY_NOBODY_YET = "nobody at risk has taken it up so far"
WHY_ALL = "everybody at risk has taken it up: no limits"
NOBODY_THROUGHOUT = (
    "of the players there in the first and the last season nobody took it up after the first: "
    "nothing to draw a curve through"
)
WHY_NO_RISK = "nobody was watched enough from his first season on"

ADOPTION_COLUMNS = (
    columns.LEAGUE,
    columns.SEASON,
    columns.share("not_yet", "Not yet", "Share of players who have not taken it up by this season"),
    columns.share("low", "Low", "Lower limit (95 %)"),
    columns.share("high", "High", "Upper limit (95 %)"),
    columns.START_YEAR,
    columns.number_of("at_risk", "At risk", "players", "Players who could take it up in it"),
    columns.number_of("adopted", "Took it up", "players", "Of them judged adopter in it"),
    columns.text("why", "Why not", "Why there is no share, or no limits"),
)
DIFFUSION_COLUMNS = (
    columns.LEAGUE,
    columns.share("ceiling", "Ceiling", "Share of the players who will ever do it, by the curve"),
    columns.share("low", "Low", "Lower limit of the ceiling (95 %)"),
    columns.share("high", "High", "Upper limit of the ceiling (95 %)"),
    columns.figure("p", "By themselves", "ratio", "Rate of taking it up unprompted, a season"),
    columns.figure("q", "From others", "ratio", "Rate of taking it up as others have, a season"),
    columns.text("why", "Why not", "Why there is no curve"),
    columns.number_of("seasons", "Seasons", "seasons", "Seasons of the league"),
    columns.number_of("players", "Players", "players", "There in its first and its last season"),
    columns.number_of("adopters", "Adopters", "players", "Of them judged adopter in some season"),
)
TEAM_MATES_COLUMNS = (
    columns.LEAGUE,
    columns.figure(
        "odds_ratio",
        "Odds ratio",
        "ratio",
        f"Odds of taking it up, with an adopter among last season's team-mates; {COACHES}",
    ),
    columns.figure("low", "Low", "ratio", "Lower limit (95 %)"),
    columns.figure("high", "High", "ratio", "Upper limit (95 %)"),
    columns.text("why", "Why not", "Why there is no comparison"),
    columns.number_of("with_adopted", "With, took it up", "players", "Had one and took it up"),
    columns.number_of("with_players", "With", "players", "Player-seasons that had one"),
    columns.number_of("without_adopted", "Without, took it up", "players", "Had none and did"),
    columns.number_of("without_players", "Without", "players", "Player-seasons that had none"),
    columns.number_of("seasons", "Seasons", "seasons", "Seasons that carry something"),
)
_STRAIGHT = ("not", "occasional")
Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Life:
    """One player in one league; seasons are numbered from 0, the league's first.

    Attributes:
        first, seen: his first season, and the last one he is in.
        last: the last season up to which every season of his is called; before `first` where the
            first is not.
        adopted: whether he was judged adopter in `last`.
    """

    first: int
    seen: int
    last: int
    adopted: bool

    @classmethod
    def of(cls, told: Mapping[int, str | None]) -> Life:
        """From his states by season: followed until he adopts or cannot be called."""
        seasons = sorted(told)
        last, adopted = seasons[0] - 1, False
        for season in seasons:
            if told[season] == "adopter":
                last, adopted = season, True
                break
            if told[season] not in _STRAIGHT:
                break
            last = season
        return cls(seasons[0], seasons[-1], last, adopted)

    @property
    def at_risk(self) -> bool:
        """Whether he was seen not to do it in his first season, and called in a later one."""
        return self.last > self.first


@dataclass(slots=True)
class League:
    """One league's players over its seasons."""

    name: str
    seasons: list[tuple[str, int]] = field(default_factory=list)
    lives: dict[int, Life] = field(default_factory=dict)
    teams: dict[tuple[int, int], set[int]] = field(default_factory=dict)
    adopters: set[tuple[int, int]] = field(default_factory=set)
    drawn: set[int] = field(default_factory=set)

    @property
    def followed(self) -> list[int]:
        """Players who were at risk in some season."""
        return [who for who, life in self.lives.items() if life.at_risk]

    @property
    def began(self) -> int:
        """Adopters in their first season: since when is not known."""
        return sum(life.adopted and life.last == life.first for life in self.lives.values())

    @property
    def lost(self) -> int:
        """Players who could not be called in some season before they adopted, if they did."""
        return sum(not life.adopted and life.last < life.seen for life in self.lives.values())


@dataclass(frozen=True, slots=True)
class Adopting:
    """The further frames of uptake, and what a reader must know of them."""

    parts: dict[str, Part]
    notes: list[str]


def of(rows: pl.DataFrame, refusals: Refusals, lots: Lots) -> Adopting:
    """The frames `adoption`, `diffusion` and `team_mates`, league by league.

    Args:
        rows: one row per league, season, person and team.
        refusals: player-seasons without a class.
        lots: who was drawn by lot.
    """
    return _told(_leagues(rows, refusals, lots) if rows.height else [])


def nothing() -> Adopting:
    """The same frames without rows."""
    return _told([])


def _told(leagues: list[League]) -> Adopting:
    mates = [_team_mates(league) for league in leagues]
    parts = {
        "adoption": columns.part(ADOPTION_COLUMNS, [r for g in leagues for r in _adoption(g)]),
        "diffusion": columns.part(DIFFUSION_COLUMNS, [_diffusion(g) for g in leagues]),
        "team_mates": columns.part(TEAM_MATES_COLUMNS, mates),
    }
    return Adopting(parts, _notes(leagues, mates))


def _leagues(rows: pl.DataFrame, refusals: Refusals, lots: Lots) -> list[League]:
    drawn = lots.players.filter(pl.col("by_lot"))
    people = states.judged(by_person(rows), refusals).sort(
        ["league", "league_id", "start_year", "season", "season_id"], maintain_order=True
    )
    found = []
    for group in people.partition_by("league_id", maintain_order=True):
        seasons = group.select("season_id", "season", "start_year").unique(maintain_order=True)
        number = {row[0]: at for at, row in enumerate(seasons.iter_rows())}
        league = League(group["league"][0], [(row[1], row[2]) for row in seasons.iter_rows()])
        told: dict[int, dict[int, str | None]] = {}
        for season, person, state in group.select("season_id", "person_id", "state").iter_rows():
            told.setdefault(person, {})[number[season]] = state
        league.lives = {person: Life.of(own) for person, own in told.items()}
        league.drawn = set(
            drawn.filter(pl.col("league_id") == group["league_id"][0])["person_id"].to_list()
        )
        league.adopters = {
            (at, person) for person, own in told.items() for at, s in own.items() if s == "adopter"
        }
        played = rows.filter(
            (pl.col("league_id") == group["league_id"][0]) & pl.col("team_id").is_not_null()
        ).select("season_id", "person_id", "team_id")
        for season, person, team in played.iter_rows():
            if season in number:
                league.teams.setdefault((number[season], person), set()).add(team)
        found.append(league)
    return found


def _adoption(league: League) -> list[Row]:
    """One row a season after the first."""
    lives = [life for life in league.lives.values() if life.at_risk]
    curve = not_yet([x.first for x in lives], [x.last for x in lives], [x.adopted for x in lives])
    at = {int(season): i for i, season in enumerate(curve.times)}
    rows: list[Row] = []
    now: Row = {"not_yet": 1.0, "why": WHY_NOBODY_YET}
    for number, (season, year) in enumerate(league.seasons[1:], start=1):
        risk = sum(life.first < number <= life.last for life in lives)
        if number in at:
            now = _point(curve, at[number])
        told = now if lives else {"why": WHY_NO_RISK}
        adopted = int(curve.adopted[at[number]]) if number in at else 0
        rows.append(
            {
                "league": league.name,
                "season": season,
                "start_year": year,
                "at_risk": risk,
                "adopted": adopted,
                **told,
            }
        )
    return rows


def _point(curve: NotYet, at: int) -> Row:
    share = float(curve.share[at])
    if share <= 0.0:
        return {"not_yet": 0.0, "why": WHY_ALL}
    return {"not_yet": share, "low": float(curve.low[at]), "high": float(curve.high[at])}


def _diffusion(league: League) -> Row:
    """The curve over players who were there in the first and the last season."""
    end = len(league.seasons) - 1
    lives = [x for x in league.lives.values() if x.first == 0 and x.seen == end and x.last >= 0]
    new = Counter(life.last for life in lives if life.adopted)
    others = [life.last + 1 for life in lives if not life.adopted]
    found = diffusion.fit([new[season] for season in range(end + 1)], others)
    return {
        "league": league.name,
        "ceiling": found.ceiling,
        "low": found.low,
        "high": found.high,
        "p": found.p,
        "q": found.q,
        "why": NOBODY_THROUGHOUT if found.why == diffusion.WHY_NOBODY else found.why or None,
        "seasons": end + 1,
        "players": len(lives),
        "adopters": sum(new.values()),
    }


def _team_mates(league: League) -> Row:
    """Those who could take it up, with an adopter among last season's team-mates or without."""
    of_team: dict[tuple[int, int], set[int]] = {}
    for (season, person), teams in league.teams.items():
        if (season, person) in league.adopters:
            for team in teams:
                of_team.setdefault((season, team), set()).add(person)
    counts: dict[int, list[int]] = {}
    for person, life in league.lives.items():
        if not life.at_risk:
            continue
        for season in range(life.first + 1, life.last + 1):
            before, now = (league.teams.get((season - back, person)) for back in (1, 0))
            if not before or not now:
                continue
            exposed = any(of_team.get((season - 1, team), set()) - {person} for team in before)
            adopts = life.adopted and season == life.last
            table = counts.setdefault(season, [0, 0, 0, 0])
            table[(0 if exposed else 2) + (0 if adopts else 1)] += 1
    tables = list(counts.values())
    a, b, c, d = ([table[cell] for table in tables] for cell in range(4))
    found = team_mates.compare(a, b, c, d)
    return {
        "league": league.name,
        "odds_ratio": found.odds_ratio,
        "low": found.low,
        "high": found.high,
        "why": found.why or None,
        "with_adopted": sum(a),
        "with_players": sum(a) + sum(b),
        "without_adopted": sum(c),
        "without_players": sum(c) + sum(d),
        "seasons": found.seasons,
    }


def _notes(leagues: list[League], mates: list[Row]) -> list[str]:
    said = []
    began, lost = sum(g.began for g in leagues), sum(g.lost for g in leagues)
    if any(len(g.seasons) > 1 for g in leagues):
        if began:
            verb = "is" if began == 1 else "are"
            said.append(
                f"Not yet adopted: {counted(began, 'adopter')} {verb} left out who did it in the "
                "first season already, so that since when is not known."
            )
        if lost:
            verb = "is" if lost == 1 else "are"
            said.append(
                f"Not yet adopted: {counted(lost, 'player')} {verb} followed only up to the first "
                "season in which the watched attempts do not call it."
            )
    followed = [person in g.drawn for g in leagues for person in g.followed]
    if followed and not all(followed):
        said.append(
            f"Not yet adopted: {counted(len(followed) - sum(followed), 'player')} of the "
            f"{count(len(followed))} followed were not drawn by lot; where players are watched "
            "because they were noticed, the curve falls too fast."
        )
    if any(row["odds_ratio"] is not None for row in mates):
        said.append(f"Adopters among team-mates: {COACHES}.")
    return said
