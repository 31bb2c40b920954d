"""METHODS 6.10: false "better" 2.7 %, +8 per 100 found in 44 to 73 %, +13 in 85 to 99 %."""

from __future__ import annotations

from tests.planted.trials import called


def test_an_effect_that_is_not_there_is_seldom_called_and_peeking_calls_it_often() -> None:
    found = called(0.0, 2000)

    # Standard error .36 points.
    assert 0.015 < found.better < 0.039
    assert 0.015 < found.worse < 0.039
    assert found.peeking > 2 * found.better


def test_an_effect_that_is_there_is_found_as_often_as_planned() -> None:
    some, much = called(0.08, 400, seed=2), called(0.13, 400, seed=3)

    assert 0.44 < some.better < 0.80
    assert much.better > 0.85
    assert (some.worse, much.worse) == (0.0, 0.0)
