from __future__ import annotations

import numpy as np
import pytest

from ledger.stats.clip_lot import draw


def test_makes_and_misses_come_in_the_mix_of_all_attempts_not_of_those_on_film() -> None:
    # Three of four were made; on film are mostly misses.
    on_film = np.array([False] * 90 + [True] * 30)

    lot = draw(on_film, made=750, attempts=1000, clips=20, seed=3)

    assert (lot.makes, lot.misses) == (15, 5)
    assert on_film[lot.places].sum() == 15
    assert len(set(lot.places.tolist())) == 20
    assert sorted(lot.places.tolist()) == lot.places.tolist()


@pytest.mark.parametrize(
    ("makes", "misses", "clips", "came"),
    [
        (3, 100, 20, (3, 1)),
        (8, 100, 20, (8, 3)),
        (100, 0, 20, (2, 0)),
        (0, 0, 20, (0, 0)),
        (100, 100, 4, (3, 1)),
    ],
)
def test_where_one_kind_runs_out_the_list_is_shorter_and_the_mix_is_kept(
    makes: int, misses: int, clips: int, came: tuple[int, int]
) -> None:
    on_film = [True] * makes + [False] * misses

    lot = draw(on_film, made=75, attempts=100, clips=clips, seed=1)

    assert (lot.makes, lot.misses, lot.asked) == (*came, clips)


def test_every_attempt_on_film_is_drawn_as_often_as_its_like() -> None:
    on_film = [True] * 12 + [False] * 4
    drawn = np.zeros(16)
    for seed in range(800):
        drawn[draw(on_film, made=3, attempts=4, clips=4, seed=seed).places] += 1

    # A make comes with 3 of 12, a miss with 1 of 4: 200 expected, standard error 12.
    assert np.all(np.abs(drawn - 200) < 60)


def test_one_seed_is_one_list() -> None:
    on_film = [True, False] * 50
    one, again, other = (draw(on_film, 50, 100, 10, seed).places.tolist() for seed in (1, 1, 2))

    assert one == again != other


def test_counts_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="5 made of 4"):
        draw([True], 5, 4, 1, 1)
