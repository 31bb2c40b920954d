from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import statsmodels.api as sm

from ledger.stats.growth import Growth, fit_growth, season_weight, share_at
from ledger.stats.league_share import league_share

YEARS = list(range(2012, 2022))
RISING = [0.02, 0.03, 0.05, 0.08, 0.10, 0.15, 0.22, 0.30, 0.41, 0.50]
JUMPY = [0.02, 0.20, 0.01, 0.30, 0.10, 0.45, 0.12, 0.60, 0.31, 0.70]


@pytest.mark.parametrize("shares", [RISING, JUMPY])
def test_the_curve_is_that_of_the_reference_library(shares: list[float]) -> None:
    weights = np.array([20, 25, 30, 18, 40, 33, 28, 50, 22, 31], dtype=float)
    growth = fit_growth(YEARS, shares, weights)
    design = sm.add_constant(np.array(YEARS, dtype=float) - 2016.5)
    model = sm.GLM(np.array(shares), design, family=sm.families.Binomial(), var_weights=weights)
    fit = model.fit(scale="X2")
    assert growth.slope == pytest.approx(fit.params[1], abs=1e-6)
    assert growth.dispersion == pytest.approx(max(1.0, fit.scale), abs=1e-6)
    factor = max(1.0, fit.scale) / fit.scale
    assert growth.covariance is not None
    assert np.array(growth.covariance) == pytest.approx(fit.cov_params() * factor, rel=1e-5)
    assert growth.centre == 2016.5
    assert (growth.dispersion == 1.0) == (shares is RISING)


def test_years_and_forecast_of_a_clear_rise() -> None:
    growth = fit_growth(YEARS, RISING, [60] * 10)
    assert growth.why == ""
    assert growth.takeoff.year is not None
    assert growth.midpoint.year is not None
    assert share_at(growth, growth.takeoff.year).share == pytest.approx(0.1)
    assert share_at(growth, growth.midpoint.year).share == pytest.approx(0.5)
    forecast = growth.forecast
    assert forecast.x == 2022
    assert (forecast.why, growth.takeoff.why, growth.midpoint.why) == ("", "", "")
    point = share_at(growth, 2022)
    assert (forecast.share, forecast.low, forecast.high) == (point.share, point.low, point.high)
    assert point.low < point.share < point.high


@pytest.mark.parametrize("end", ["takeoff", "midpoint"])
def test_year_limits_are_where_the_band_crosses_the_share(end: str) -> None:
    growth = fit_growth(YEARS, RISING, [60] * 10)
    year = getattr(growth, end)
    q = 0.1 if end == "takeoff" else 0.5
    assert year.low < year.year < year.high
    assert share_at(growth, year.low).high == pytest.approx(q, abs=1e-9)
    assert share_at(growth, year.high).low == pytest.approx(q, abs=1e-9)


def test_the_first_year_of_the_count_changes_nothing() -> None:
    late, early = fit_growth(YEARS, RISING, [60] * 10), fit_growth(range(10), RISING, [60] * 10)
    assert late.odds_ratio == pytest.approx(early.odds_ratio)
    assert late.midpoint.year is not None
    assert early.midpoint.year is not None
    assert late.midpoint.year == pytest.approx(early.midpoint.year + 2012)
    assert late.forecast.share == pytest.approx(early.forecast.share)


def test_heavier_seasons_give_a_narrower_band_but_never_below_the_scatter() -> None:
    def width(growth: Growth) -> float:
        assert growth.high is not None
        assert growth.low is not None
        return math.log(growth.high / growth.low)

    assert width(fit_growth(YEARS, RISING, [600] * 10)) < width(
        fit_growth(YEARS, RISING, [60] * 10)
    )
    jumpy, heavy = fit_growth(YEARS, JUMPY, [60] * 10), fit_growth(YEARS, JUMPY, [600] * 10)
    assert width(jumpy) == pytest.approx(width(heavy), rel=1e-6)


def nothing(growth: Growth) -> bool:
    figures = (growth.odds_ratio, growth.takeoff.year, growth.midpoint.low, growth.forecast.share)
    return all(figure is None for figure in figures)


@pytest.mark.parametrize(
    ("shares", "weights", "seasons"),
    [
        ([0.1, 0.2, 0.3, 0.4], [20] * 4, 4),
        ([0.1, 0.2, 0.3, 0.4, 0.5], [20, 20, 20, 20, math.nan], 4),
        ([0.1, 0.2, 0.3, 0.4, math.nan], [20] * 5, 4),
        ([0.1, 0.2, 0.3, 0.4, 0.5], [20, 20, 20, 20, 0], 4),
        ([0.01, 0.02, 0.01, 0.05, 0.30], [20] * 5, 5),
        ([], [], 0),
    ],
)
def test_few_or_flat_seasons_give_no_curve(
    shares: list[float], weights: list[float], seasons: int
) -> None:
    growth = fit_growth(list(range(len(shares))), shares, weights)
    assert growth.why.startswith("fewer than 5 usable seasons: no curve")
    assert growth.forecast.why == growth.why
    assert growth.seasons == seasons
    assert nothing(growth)
    with pytest.raises(ValueError, match="there is no curve"):
        share_at(growth, 3)


def test_a_jump_from_none_to_all_gives_no_curve_and_no_warning() -> None:
    growth = fit_growth(range(6), [0, 0, 0, 1, 1, 1], [20] * 6)
    assert growth.why.endswith("no curve can be fitted")
    assert nothing(growth)


def test_no_year_without_a_slope_that_is_shown() -> None:
    growth = fit_growth(range(5), [0.02, 0.05, 0.10, 0.22, 0.35], [12, 12, 14, 15, 16])
    assert growth.low is not None
    assert growth.low < 1.0
    assert growth.takeoff.year is None
    assert growth.takeoff.why == growth.midpoint.why == "growth is not shown: no year is given"


def test_a_fall_has_no_takeoff() -> None:
    growth = fit_growth(YEARS, RISING[::-1], [60] * 10)
    assert growth.high is not None
    assert growth.high < 1.0
    assert growth.takeoff.why == "the share falls: no year is given"
    assert growth.forecast.share is not None


def test_a_forecast_wider_than_50_points_is_refused_and_one_narrower_is_not() -> None:
    widths = []
    for weight in range(4, 60, 2):
        growth = fit_growth(YEARS, RISING, [weight] * 10)
        point = share_at(growth, 2022)
        widths.append(point.high - point.low)
        assert (growth.forecast.share is None) == (widths[-1] > 0.5)
        assert growth.forecast.why == ("too uncertain to forecast" if widths[-1] > 0.5 else "")
    assert any(0.45 < width <= 0.5 for width in widths)
    assert any(0.5 < width < 0.55 for width in widths)


@pytest.mark.parametrize(
    ("years", "shares", "weights", "word"),
    [
        ([1, 1], [0.1, 0.2], [5, 5], "twice"),
        ([1, 2], [0.1, 1.2], [5, 5], "outside 0 to 1"),
        ([1, 2], [0.1, 0.2], [5, -5], "below 0"),
        ([1, 2, 3], [0.1, 0.2], [5, 5], "differ in length"),
    ],
)
def test_seasons_that_cannot_be_are_refused(
    years: list[int], shares: list[float], weights: list[float], word: str
) -> None:
    with pytest.raises(ValueError, match=word):
        fit_growth(years, shares, weights)


def test_the_next_season_is_covered_as_often_as_promised() -> None:
    rng = np.random.default_rng(5)
    held, judged = 0, 0
    for _ in range(300):
        truth = 1 / (1 + np.exp(-(-3.0 + 0.5 * np.arange(9))))
        share = rng.binomial(30, truth[:8]) / 30
        growth = fit_growth(range(8), share, [30] * 8)
        if growth.covariance is not None:
            point = share_at(growth, 8)
            judged += 1
            held += point.low <= truth[8] <= point.high
    assert judged > 290
    assert held / judged >= 0.93


def test_the_weight_of_a_season_follows_how_its_share_was_got() -> None:
    n, t, f = [100, 80, 60, 40, 120, 50], [20] * 6, [0, 20, 0, 1, 0, 0]
    rest = [75] * 24
    drawn = league_share(n + rest, t + [0] * 24, f + [0] * 24, [True] * 6 + [False] * 24)
    assert season_weight(drawn) == drawn.effective_size
    census = league_share(n, t, f, [False] * 6)
    assert season_weight(census) == census.effective_size
    bounds = league_share(n + rest, t + [0] * 24, f + [0] * 24, [False] * 30)
    assert season_weight(bounds) is None
    few = league_share(n + rest, t + [0] * 24, f + [0] * 24, [True] * 4 + [False] * 26)
    assert few.share is not None
    assert season_weight(few) is None


def test_with_a_picked_part_the_weight_is_that_of_an_interval_as_wide() -> None:
    n, t, f = [150, *[60] * 20], [30, *[20] * 8, *[0] * 12], [24, *[2] * 8, *[0] * 12]
    joined = league_share(n, t, f, [False, *[True] * 8, *[False] * 12])
    assert joined.share is not None
    assert joined.low is not None
    assert joined.high is not None
    width = joined.high - joined.low
    size = joined.share * (1 - joined.share) * (2 * 1.959964 / width) ** 2
    assert season_weight(joined) == pytest.approx(size, rel=1e-6)
    assert joined.effective_size is not None
    assert season_weight(joined) != pytest.approx(joined.effective_size, rel=0.01)
    narrow = replace(joined, low=joined.share - 1e-4, high=joined.share + 1e-4)
    assert season_weight(narrow) == joined.attempts
    nobody = league_share(n, t, [0] * 21, [False, *[True] * 8, *[False] * 12])
    assert season_weight(nobody) == nobody.kish


def test_suspects_of_the_frame_are_no_picked_part_of_the_weight() -> None:
    n, t, f = [60] * 21, [20] * 9 + [0] * 12, [18, *[2] * 8, *[0] * 12]
    drawn = [False, *[True] * 8, *[False] * 12]
    inside = league_share(n, t, f, drawn, in_frame=[True] * 21)
    outside = league_share(n, t, f, drawn, in_frame=[False, *[True] * 20])

    assert (inside.own_players, outside.own_players) == (0, 1)
    assert inside.picked_players == outside.picked_players == 1
    assert season_weight(inside) == inside.effective_size
    assert season_weight(outside) != outside.effective_size
