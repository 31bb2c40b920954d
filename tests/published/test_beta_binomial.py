"""The common level of a league and what it makes of one count.

Sources
- rat tumour data (71 experiments), as in stan-dev/example-models; maximum likelihood computed with
  R packages aod and VGAM and with scipy, which agree.
- batting averages of 18 players after 45 at bats: data of JASA 70:311-319 (1975) as in R package
  pscl; fit computed.
- eight shooters: own data; plain fit computed with scipy and R package VGAM, penalised fit and
  shrunken rates computed.
- select the rows that made 42 or more of 50 under Beta(30, 10): closed form.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from ledger.stats.beta_binomial import Prior, combine_seasons, fit_beta_binomial, posterior
from tests.published.tables import columns

MADE = [88, 140, 45, 61, 12, 203, 30, 5]
ATTEMPTS = [100, 180, 60, 90, 14, 260, 50, 5]


def test_the_plain_fit_of_the_rat_data_is_the_known_one() -> None:
    rats = columns("rat_tumours_71.csv")
    prior = fit_beta_binomial(rats["y"], rats["n"], penalty=None)
    assert prior.a == pytest.approx(2.34161426, abs=1e-4)
    assert prior.b == pytest.approx(14.11480345, abs=1e-3)
    assert prior.mean == pytest.approx(0.1422918585, abs=2e-6)
    assert 1.0 / (prior.weight + 1.0) == pytest.approx(0.05728552195, abs=1e-6)
    assert prior.log_likelihood == pytest.approx(-156.5689299, abs=1e-5)
    assert prior.rows == 71


@pytest.mark.parametrize(
    ("cases", "of", "mean"), [(0, 20, 0.06423050885), (4, 14, 0.2082193093), (16, 52, 0.2679312601)]
)
def test_shrunken_rates_of_the_rat_data_are_the_known_ones(
    cases: int, of: int, mean: float
) -> None:
    rats = columns("rat_tumours_71.csv")
    prior = fit_beta_binomial(rats["y"], rats["n"], penalty=None)
    assert float(posterior(prior, cases, of).mean[0]) == pytest.approx(mean, abs=5e-6)


def test_the_plain_fit_of_eight_shooters_is_the_known_one() -> None:
    prior = fit_beta_binomial(MADE, ATTEMPTS, penalty=None)
    assert prior.a == pytest.approx(30.30663882, abs=0.02)
    assert prior.b == pytest.approx(9.361297984, abs=0.01)
    assert prior.log_likelihood == pytest.approx(-24.47656494, abs=1e-6)


def test_the_plain_fit_of_the_batting_averages_is_the_known_one() -> None:
    batting = columns("ranks_batting18_bbmle.csv")
    prior = fit_beta_binomial(batting["successes"], batting["attempts"], penalty=None)
    # The likelihood is flat here: the weight of 793 at bats is known to a few only.
    assert prior.a == pytest.approx(228.5517825 - 18, rel=1e-3)
    assert prior.b == pytest.approx(609.68862547 - 27, rel=1e-3)
    means = posterior(prior, batting["successes"], batting["attempts"]).mean
    assert means == pytest.approx(batting["post_mean"], abs=2e-6)


def test_the_penalised_fit_of_eight_shooters_and_their_shrunken_rates() -> None:
    prior = fit_beta_binomial(MADE, ATTEMPTS)
    assert prior.mean == pytest.approx(0.76375, abs=1e-4)
    assert prior.weight == pytest.approx(35.13, abs=0.05)
    means = posterior(prior, MADE, ATTEMPTS).mean
    assert means[[7, 0]] == pytest.approx([0.7932, 0.8498], abs=5e-4)


def test_several_seasons_of_a_player_are_one_talent() -> None:
    # Computed: 40 of 50 under (0.75, 40) and 10 of 20 under (0.70, 60).
    talent = combine_seasons([0.75, 0.70], [40, 60], [40, 10], [50, 20])
    assert talent.prior_weight == pytest.approx([45.7143], abs=5e-5)
    assert talent.prior_mean == pytest.approx([0.735714], abs=1e-6)
    assert talent.mean == pytest.approx([0.722751], abs=1e-6)


def test_the_best_starters_fall_back_as_far_as_the_shrunken_rates_say() -> None:
    made = np.arange(42, 51)
    chance = stats.betabinom.pmf(made, 50, 30, 10)
    rates = posterior(Prior(30.0, 10.0, 0.75, 40.0, 60, 0.0), made, np.full(made.size, 50)).mean
    assert chance.sum() == pytest.approx(0.1953018692, abs=1e-8)
    assert chance @ made / 50 / chance.sum() == pytest.approx(0.8710551796, abs=1e-8)
    assert chance @ rates / chance.sum() == pytest.approx(0.8172528776, abs=1e-8)
