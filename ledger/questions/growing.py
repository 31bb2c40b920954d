"""The curve of the technique's share over the seasons of each league, and the next season."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ledger.questions import columns
from ledger.questions.wording import listed
from ledger.stats.growth import Growth, fit_growth, season_weight

if TYPE_CHECKING:
    from ledger.questions.answer import Part
    from ledger.questions.inquiry import Inquiry
    from ledger.questions.uptake import Season
    from ledger.stats.league_share import LeagueShare

WHY_TWICE = "two seasons begin in one year: no curve"
CAPTION = "extrapolation; assumes growth to 100 %"

GROWTH_COLUMNS = (
    columns.LEAGUE,
    columns.figure(
        "odds_ratio", "Odds ratio", "ratio", "Odds of the technique, one season to the next"
    ),
    columns.figure("low", "Low", "ratio", "Lower limit (95 %)"),
    columns.figure("high", "High", "ratio", "Upper limit (95 %)"),
    columns.figure("takeoff_year", "10 % in", "year", "Start year at which the curve reaches 10 %"),
    columns.figure("takeoff_low", "10 %, from", "year", "Its lower limit (Fieller, 95 %)"),
    columns.figure("takeoff_high", "10 %, to", "year", "Its upper limit"),
    columns.figure(
        "midpoint_year", "50 % in", "year", "Start year at which the curve reaches 50 %"
    ),
    columns.figure("midpoint_low", "50 %, from", "year", "Its lower limit (Fieller, 95 %)"),
    columns.figure("midpoint_high", "50 %, to", "year", "Its upper limit"),
    columns.text("why", "Why not", "Why there is no curve, or no year"),
    columns.number_of("seasons", "Seasons", "seasons", "Seasons with an interval"),
    columns.figure("intercept", "Intercept", "logit", "Logit of the curve at start year 0"),
    columns.figure("slope", "Slope", "logit", "Change of the logit from season to season"),
)
FORECAST_COLUMNS = (
    columns.LEAGUE,
    columns.number_of(
        "start_year", "Starts in", "year", "The season after the last with an interval"
    ),
    columns.share("share", "Share", f"By the curve: {CAPTION}"),
    columns.share("low", "Low", "Lower limit of the curve there (95 %)"),
    columns.share("high", "High", "Upper limit of the curve there (95 %)"),
    columns.text("why", "Why not", "Why nothing is forecast"),
)


@dataclass(frozen=True, slots=True)
class Curve:
    """The curve of one league, or why there is none; `last` is its last share."""

    league: str
    growth: Growth | None
    why: str
    last: float | None = None


def weight(share: LeagueShare) -> float | None:
    """How much a season weighs in the curve; None without an interval."""
    return season_weight(share)


def of(seasons: Sequence[Season]) -> list[Curve]:
    """One curve a league, in the order of the rows.

    Args:
        seasons: league-seasons, by league and year.
    """
    leagues: dict[str, list[Season]] = {}
    for season in seasons:
        leagues.setdefault(season.row["league"], []).append(season)
    return [_curve(league, rows) for league, rows in leagues.items()]


def _curve(league: str, seasons: Sequence[Season]) -> Curve:
    years = [float(s.row["start_year"]) for s in seasons]
    if len(set(years)) < len(years):
        return Curve(league, None, WHY_TWICE)
    nan = float("nan")
    found = fit_growth(
        years,
        [_or_nan(s.row.get("share")) for s in seasons],
        [_or_nan(season_weight(s.share)) if s.share else nan for s in seasons],
    )
    told = [s.row["share"] for s in seasons if s.row.get("share") is not None]
    return Curve(league, found, found.why, told[-1] if told else None)


def _or_nan(value: float | None) -> float:
    return float("nan") if value is None else value


def parts(inquiry: Inquiry, curves: Sequence[Curve]) -> dict[str, Part]:
    """The frames `growth` and, unless it was not wanted, `forecast`."""
    found = {"growth": columns.part(GROWTH_COLUMNS, [_growth_row(c) for c in curves])}
    if inquiry.options["forecast"]:
        rows = [_forecast_row(c) for c in curves]
        found["forecast"] = columns.part(FORECAST_COLUMNS, rows)
    return found


def _growth_row(curve: Curve) -> dict[str, Any]:
    growth = curve.growth
    if growth is None:
        return {"league": curve.league, "why": curve.why}
    return {
        "league": curve.league,
        "odds_ratio": growth.odds_ratio,
        "low": growth.low,
        "high": growth.high,
        "takeoff_year": growth.takeoff.year,
        "takeoff_low": growth.takeoff.low,
        "takeoff_high": growth.takeoff.high,
        "midpoint_year": growth.midpoint.year,
        "midpoint_low": growth.midpoint.low,
        "midpoint_high": growth.midpoint.high,
        "why": growth.why or growth.takeoff.why or None,
        "seasons": growth.seasons,
        "intercept": growth.intercept,
        "slope": growth.slope,
    }


def _forecast_row(curve: Curve) -> dict[str, Any]:
    if curve.growth is None:
        return {"league": curve.league, "why": curve.why}
    next_season = curve.growth.forecast
    return {
        "league": curve.league,
        "start_year": None if next_season.x is None else round(next_season.x),
        "share": next_season.share,
        "low": next_season.low,
        "high": next_season.high,
        "why": next_season.why or None,
    }


def notes(curves: Sequence[Curve]) -> list[str]:
    """Which leagues have no curve, and what a forecast takes for granted."""
    said = [f"{c.league}: {c.why}." for c in curves[:3] if c.why]
    if len([c for c in curves if c.why]) > 3:
        said = [
            f"No curve in {sum(1 for c in curves if c.why)} leagues: the frame growth says why."
        ]
    if any(c.growth and c.growth.forecast.share is not None for c in curves):
        said.append(f"Next season: {CAPTION}.")
    below = [c.league for c in curves if _falls_back(c)]
    if below:
        said.append(
            f"Next season in {listed(below)} lies below the last share: it is read off the curve "
            "through all seasons, and the last one may stand above it by luck."
        )
    return said


def _falls_back(curve: Curve) -> bool:
    """Whether the next season by the curve lies below the last share, although the curve rises."""
    growth = curve.growth
    if growth is None or growth.forecast.share is None or curve.last is None:
        return False
    return growth.slope is not None and growth.slope > 0 and growth.forecast.share < curve.last
