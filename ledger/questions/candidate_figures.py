"""The figures of one listed player: his own rate, what he may gain, and what is known beside it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING, Any, Self

import polars as pl
from scipy.special import betaincinv

from ledger.errors import UseError
from ledger.questions import columns
from ledger.stats.before_after import Before, attempts_needed
from ledger.stats.pooled_change import LEAST_PLAYERS, predicted
from ledger.stats.practice_needed import MOST_SESSIONS, PER_SESSION, sessions_needed

if TYPE_CHECKING:
    from ledger.questions.switch_pool import Pool

FEW_ATTEMPTS = 20
NO_POOL = f"fewer than {LEAST_PLAYERS} switchers: no prediction"
NO_GAME = "no game of his in the ledger: season totals only"
NEVER = "no number of attempts would show it: too small a gain for the attempts he has so far"
NO_GAIN = "no gain to show: none is predicted, and none is assumed with --gain"
TOO_MANY = f"more than {PER_SESSION * MOST_SESSIONS:,} attempts each way"

COLUMNS = (
    columns.PLAYER,
    columns.text("team", "Team", "Team, or teams, of his last season"),
    columns.text("league", "League", "League, or leagues, of his last season"),
    columns.MADE,
    columns.ATTEMPTS,
    columns.share("shrunken_rate", "Rate allowing for luck", "Of all his seasons, one talent"),
    columns.share("low", "Low", "Lower limit of it, 95 %"),
    columns.share("high", "High", "Upper limit of it, 95 %"),
    columns.STATE,
    columns.share("predicted_gain", "Gain", "Difference of rates he may expect"),
    columns.share("predicted_low", "Gain low", "Lower limit of it, 95 %"),
    columns.share("predicted_high", "Gain high", "Upper limit of it, 95 %"),
    columns.share("low_80", "Gain low, 80 %", "Lower limit of it, 80 %"),
    columns.share("high_80", "Gain high, 80 %", "Upper limit of it, 80 %"),
    columns.share("chance_of_gain", "Chance of a gain", "Chance that it is above 0"),
    columns.figure(
        "attempts_per_season", "A season", "attempts", "Mean of his last three seasons, or typed"
    ),
    columns.figure("points_per_season", "Points a season", "points", "Gain times attempts"),
    columns.figure("points_low", "Points low", "points", "Lower limit of it, 95 %"),
    columns.figure("points_high", "Points high", "points", "Upper limit of it, 95 %"),
    columns.number_of("games_needed", "Games needed", "games", "Games that would show the gain"),
    columns.number_of(
        "practice_needed", "Practice needed", "attempts", "Attempts each way that would show it"
    ),
    columns.share("long_share", "Long", "Of his misses whose depth was seen"),
    columns.share("short_share", "Short", "Of his misses whose depth was seen"),
    columns.share("board_contact_share", "Board first", "Of attempts whose first contact was seen"),
    columns.figure("height_cm", "Height", "cm", "His height"),
    columns.figure("mass_kg", "Mass", "kg", "His mass"),
    columns.text("hand", "Hand", "The hand he shoots with"),
    columns.text("why", "Why", "Why there is no prediction, or what to think of it"),
    columns.figure("points_low_80", "Points low, 80 %", "points", "Lower limit, 80 %"),
    columns.figure("points_high_80", "Points high, 80 %", "points", "Upper limit, 80 %"),
    columns.figure(
        "points_with_rebounds",
        "Points with rebounds",
        "points",
        "The same less the rebounds of misses that become makes",
    ),
    columns.text("points_with_rebounds_why", "Why no such points", "Why rebounds are not taken in"),
    columns.TAGGED,
    columns.COVERAGE,
    columns.number_of("misses_seen", "Misses seen", "attempts", "Misses whose depth was seen"),
    columns.number_of("sides_seen", "Sides seen", "attempts", "Misses whose side was seen"),
    columns.share("left_share", "Left", "Of misses whose side was seen"),
    columns.share("right_share", "Right", "Of misses whose side was seen"),
    columns.number_of(
        "contacts_seen", "Contacts seen", "attempts", "Attempts whose first contact was seen"
    ),
    columns.number_of("two_shot_trips", "Trips of two", "", "Recorded trips of two shots"),
    columns.number_of("three_shot_trips", "Trips of three", "", "Recorded trips of three shots"),
    columns.text("games_needed_why", "Why no games", "Why no number of games is given"),
    columns.text("practice_needed_why", "Why no practice", "Why no number of attempts is given"),
    columns.text("facts_why", "Why no facts", "Why shares of misses and contacts are missing"),
    columns.text("state_why", "Why no state", "Why it is not said whether he does it"),
    columns.figure(
        "points_ten_games",
        "Points in ten games",
        "points",
        "Gain times attempts of ten games in which he shoots any",
    ),
    columns.figure("ten_games_low", "Ten games low", "points", "Lower limit of it, 95 %"),
    columns.figure("ten_games_high", "Ten games high", "points", "Upper limit of it, 95 %"),
    columns.text("ten_games_why", "Why no ten games", "Why no points in ten games are given"),
)
ASSUMED = (
    columns.PLAYER,
    columns.text("league", "League", "League, or leagues, of his last season"),
    columns.share("gain", "Assumed gain", "Difference of rates that was typed"),
    columns.figure("attempts_per_season", "A season", "attempts", "His attempts of a season"),
    columns.figure("points_per_season", "Points a season", "points", "Gain times attempts"),
    columns.text("why", "Why none", "Why there are no points"),
)


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed instead of being found.

    Attributes:
        gains: assumed gains as differences of rates.
        attempts: attempts of a season.
        level: common rate of league-seasons without one.
        weight: attempts that it weighs as much as.
        rebound: chance of an offensive rebound.
        possession: points of a possession.
    """

    gains: tuple[float, ...]
    attempts: float | None
    level: float | None
    weight: float
    rebound: float | None
    possession: float | None

    @classmethod
    def of(cls, options: Mapping[str, Any]) -> Self:
        """From the options of the question.

        Raises:
            UseError: for a gain that is none, or one half of what rebounds need.
        """
        rebound, possession = options["offensive_rebound"], options["per_possession"]
        if (rebound is None) != (possession is None):
            raise UseError("type both --offensive-rebound and --per-possession, or neither")
        return cls(
            _gains(options["gain"]),
            options["attempts"],
            options["level"],
            options["level_weight"],
            rebound,
            possession,
        )

    def filled(self, levels: pl.DataFrame) -> pl.DataFrame:
        """The levels, those that are missing filled with the typed one; `typed` says which."""
        missing = pl.col("mean").is_null()
        marked = levels.with_columns(typed=missing & (self.level is not None))
        if self.level is None:
            return marked
        typed = pl.col("typed")
        return marked.with_columns(
            mean=pl.when(typed).then(pl.lit(self.level)).otherwise("mean"),
            weight=pl.when(typed).then(pl.lit(self.weight)).otherwise("weight"),
            a=pl.when(typed).then(pl.lit(self.level * self.weight)).otherwise("a"),
            b=pl.when(typed).then(pl.lit((1 - self.level) * self.weight)).otherwise("b"),
            a_why=pl.when(typed).then(pl.lit("typed")).otherwise("a_why"),
        )


def _gains(text: str | None) -> tuple[float, ...]:
    if text is None:
        return ()
    gains = []
    for word in str(text).split(","):
        try:
            gain = float(word)
        except ValueError:
            gain = 0.0
        if not 0 < abs(gain) <= 100:
            raise UseError(
                f"--gain takes makes per 100, one or several parted by commas, such as 3,5,8, "
                f"not {text!r}"
            )
        gains.append(gain / 100)
    return tuple(gains)


@dataclass(frozen=True, slots=True)
class Own:
    """A listed player's own attempts.

    Attributes:
        team: of his last season, joined where he had several.
        league: of his last season.
        leagues: their numbers.
        made: makes of the seasons that count.
        attempts: attempts of those.
        tagged: of those, the watched ones.
        state: whether he does it.
        state_why: why that is not said.
        shape: Beta(a, b) of his rate; None where a level is missing.
        no_level: which, and what to do.
        changed: since when he shoots with the technique, where a change to it was found.
        per_season: his attempts of a season.
        picked: whether tags of a season of his were picked by their result.
    """

    team: str | None
    league: str
    leagues: frozenset[int]
    made: int
    attempts: int
    tagged: int
    state: str | None
    state_why: str | None
    shape: tuple[float, float] | None
    no_level: str | None
    changed: str | None
    per_season: float
    picked: bool


@dataclass(frozen=True, slots=True, eq=False)
class Figures:
    """Makes rows.

    Attributes:
        typed: what was typed.
        pool: whose effect is carried over; None or without an effect below three.
        leagues: numbers of the leagues in which they changed.
    """

    typed: Typed
    pool: Pool | None
    leagues: frozenset[int]

    def row(self, facts: Mapping[str, Any], own: Own | None) -> dict[str, Any]:
        """One player's row; `foreign` says that no switcher comes from his league."""
        row: dict[str, Any] = {
            **{name: facts[name] for name in ("player", "league", "height_cm", "mass_kg", "hand")},
            **_seen(facts),
        }
        if own is None:
            return row | {
                "made": 0,
                "attempts": 0,
                "tagged": 0,
                "why": "no attempt of his in the ledger",
                "games_needed_why": "no attempt of his in the ledger",
                "practice_needed_why": "no attempt of his in the ledger",
                "ten_games_why": "no attempt of his in the ledger",
            }
        row |= {
            **{n: getattr(own, n) for n in ("team", "league", "made", "attempts", "tagged")},
            "coverage": own.tagged / own.attempts if own.attempts else None,
            "state": own.state,
            "state_why": own.state_why,
            "attempts_per_season": self.typed.attempts or own.per_season,
        }
        if own.picked:
            unseen = filter(None, [row["facts_why"], PICKED])
            row |= {"board_contact_share": None, "facts_why": "; ".join(unseen)}
        if own.shape is not None:
            a, b = own.shape
            low, high = betaincinv(a, b, 0.025), betaincinv(a, b, 0.975)
            row |= {"shrunken_rate": a / (a + b), "low": float(low), "high": float(high)}
        why = self._refused(own)
        if why is not None:
            row |= {"why": why, "ten_games_why": why}
            if why != NO_POOL or not self.typed.gains or own.shape is None:
                return row | {"games_needed_why": why, "practice_needed_why": why}
            return row | self._needed(facts, own.shape, None)
        assert own.shape is not None
        return row | self._predicted(facts, own, own.shape, row["attempts_per_season"])

    def _refused(self, own: Own) -> str | None:
        if own.state == "adopter":
            return own.changed or "already shoots so"
        if own.changed is not None:
            return own.changed
        if own.shape is None:
            return own.no_level or "no attempt of his with the technique he has now"
        if self.pool is None or self.pool.found is None:
            return NO_POOL
        return None

    def _predicted(
        self, facts: Mapping[str, Any], own: Own, shape: tuple[float, float], season: float
    ) -> dict[str, Any]:
        assert self.pool is not None
        assert self.pool.found is not None
        found = predicted(*shape, self.pool.found)
        why = None
        if own.attempts < FEW_ATTEMPTS:
            why = f"mostly the league level: {own.attempts} attempts of his own"
        return {
            "predicted_gain": found.mean,
            "predicted_low": found.low,
            "predicted_high": found.high,
            "low_80": found.low_80,
            "high_80": found.high_80,
            "chance_of_gain": found.chance,
            "points_per_season": season * found.mean,
            "points_low": season * found.low,
            "points_high": season * found.high,
            "points_low_80": season * found.low_80,
            "points_high_80": season * found.high_80,
            "why": why,
            "foreign": not own.leagues & self.leagues,
            **_ten_games(facts, found.mean, found.low, found.high),
            **self._with_rebounds(facts, season * found.mean),
            **self._needed(facts, shape, found.mean),
        }

    def _with_rebounds(self, facts: Mapping[str, Any], points: float) -> dict[str, Any]:
        """Points less what the rebounds of the misses that become makes would have brought."""
        rebound, possession = self.typed.rebound, self.typed.possession
        if rebound is None or possession is None:
            return {"points_with_rebounds_why": "type --offensive-rebound and --per-possession"}
        known = facts["of_known_trips"] or 0
        if not known:
            return {"points_with_rebounds_why": "no trip of his of a known kind recorded"}
        live = facts["live_if_missed"] / known
        return {"points_with_rebounds": points * (1 - live * rebound * possession)}

    def _needed(
        self, facts: Mapping[str, Any], shape: tuple[float, float], gain: float | None
    ) -> dict[str, Any]:
        """Games and practice that would show the assumed gain, else the predicted one."""
        difference = self.typed.gains[0] if self.typed.gains else gain or 0.0
        before = Before(*shape)
        if not self.typed.gains and difference <= 0:
            return {"games_needed_why": NO_GAIN, "practice_needed_why": NO_GAIN}
        row: dict[str, Any] = {}
        attempts = attempts_needed(before, difference)
        games, shots = facts["games"] or 0, facts["game_attempts"] or 0
        if attempts is None:
            row["games_needed_why"] = NEVER
        elif not games:
            row["games_needed_why"] = NO_GAME
        else:
            row["games_needed"] = ceil(attempts * games / shots)
        if not 0 <= before.rate + difference <= 1:
            row["practice_needed_why"] = "such a gain would leave the range from 0 to 100 %"
            return row
        sessions = sessions_needed(before.rate, difference)
        if sessions is None:
            row["practice_needed_why"] = TOO_MANY
        else:
            row["practice_needed"] = PER_SESSION * sessions
        return row

    def assumed(self, row: Mapping[str, Any]) -> list[dict[str, Any]]:
        """Points a season of one player for each gain that was assumed."""
        lines = []
        for gain in self.typed.gains:
            line = {"player": row["player"], "league": row["league"], "gain": gain}
            season = row.get("attempts_per_season")
            why = str(row.get("why") or "")
            if season is None or why.startswith("already"):
                line["why"] = why
            else:
                line |= {"attempts_per_season": season, "points_per_season": season * gain}
            lines.append(line)
        return lines


def _ten_games(facts: Mapping[str, Any], *gains: float) -> dict[str, Any]:
    """A gain and its limits times his attempts in ten games, those of the games on record."""
    games = facts["games"] or 0
    if not games:
        return {"ten_games_why": NO_GAME}
    attempts = 10 * (facts["game_attempts"] or 0) / games
    names = ("points_ten_games", "ten_games_low", "ten_games_high")
    return {name: attempts * gain for name, gain in zip(names, gains, strict=True)}


def _seen(facts: Mapping[str, Any]) -> dict[str, Any]:
    """Shares of what was seen, each with the number it is a share of."""
    row: dict[str, Any] = {
        "two_shot_trips": facts["two_shot_trips"] or 0,
        "three_shot_trips": facts["three_shot_trips"] or 0,
    }
    missing = []
    for number, seen, shares in (
        ("misses_seen", "depth_seen", {"long_share": "long", "short_share": "short"}),
        ("sides_seen", "side_seen", {"left_share": "left_missed", "right_share": "right_missed"}),
        ("contacts_seen", "contact_seen", {"board_contact_share": "board_first"}),
    ):
        row[number] = facts[seen] or 0
        if row[number]:
            row |= {name: facts[count] / row[number] for name, count in shares.items()}
        else:
            missing.append(_NOTHING[number])
    row["facts_why"] = "; ".join(missing) or None
    return row


PICKED = "watched attempts were picked by result: no share of contacts"
_NOTHING = {
    "misses_seen": "depth of no miss seen",
    "sides_seen": "side of no miss seen",
    "contacts_seen": "first contact of no attempt seen",
}
