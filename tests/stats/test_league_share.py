from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from ledger.stats.intervals import wilson
from ledger.stats.league_share import LeagueShare, league_share
from tests.stats.quick import quick

N = [100, 80, 60, 40, 120, 50]
T = [20] * 6
F = [0, 20, 0, 1, 0, 0]


def drawn_of(total: int, focus: list[int] | None = None, **options: float) -> LeagueShare:
    rest = total - 6
    return league_share(
        N + [75] * rest,
        T + [0] * rest,
        (F if focus is None else focus) + [0] * rest,
        [True] * 6 + [False] * rest,
        **options,  # type: ignore[arg-type]
    )


def test_every_player_tagged_is_a_census_whoever_chose_them() -> None:
    picked = league_share(N, T, F, [False] * 6)
    # Written down a second time: R is all, m = M, only the unwatched attempts are uncertain.
    n, t, f = (np.array(column, dtype=float) for column in (N, T, F))
    w, y, smooth = n / n.sum(), f / t, (f + 0.5) / (t + 1)
    v = float((w**2 * (1 - t / n) * smooth * (1 - smooth) / (t + 1)).sum())
    p = float((w * y).sum())
    size = min(p * (1 - p) / v * (1.959964 / stats.t.ppf(0.975, 5)) ** 2, 120.0)
    assert picked.method == "census"
    assert picked.v == pytest.approx(v)
    assert picked.effective_size == pytest.approx(size)
    expected = wilson(p * size, size)
    assert (picked.low, picked.high) == pytest.approx((expected.low, expected.high))
    assert picked.why == ""
    assert picked.least == picked.most == pytest.approx(p)
    assert league_share(N, T, F, [True] * 6).low == picked.low


def test_a_census_of_whole_seasons_is_held_to_its_tags() -> None:
    share = league_share(N, N, [0, 80, 0, 2, 0, 0], [False] * 6)
    assert share.v == 0.0
    assert share.effective_size == sum(N)


@pytest.mark.parametrize(("left", "method"), [(23, "near_census"), (24, "bounds")])
def test_five_percent_of_the_attempts_may_be_untagged(left: int, method: str) -> None:
    # 450 tagged; 23 of 473 are 4.9 %, 24 of 474 are 5.1 %.
    share = league_share([*N, left], [*T, 0], [*F, 0], [False] * 7)
    assert share.method == method


def test_a_near_census_is_stretched_to_hold_its_bounds() -> None:
    exact = [100, 80, 60, 40, 120, 50]
    share = league_share([*N, 20], [*exact, 0], [0, 80, 0, 0, 0, 0, 0], [False] * 7)
    within = league_share(N, exact, [0, 80, 0, 0, 0, 0], [False] * 6)
    assert share.share == pytest.approx(80 / 450)
    assert share.effective_size == within.effective_size
    assert (share.least, share.most) == pytest.approx((80 / 470, 100 / 470))
    assert within.low is not None
    assert within.high is not None
    assert share.low == min(within.low, share.least)
    assert share.high == max(within.high, share.most)
    none = league_share([*N, 20], [*exact, 0], [0] * 7, [False] * 7)
    assert none.high is not None
    assert none.high >= none.most


def test_the_interval_of_a_near_census_reaches_a_bound_it_would_miss() -> None:
    n = [2000] * 12
    share = league_share([*n, 1200], [*n, 0], [2000] * 6 + [0] * 7, [False] * 13)
    alone = league_share(n, n, [2000] * 6 + [0] * 6, [False] * 12)
    assert share.method == "near_census"
    assert alone.low is not None
    assert alone.high is not None
    assert alone.low > share.least
    assert (share.low, share.high) == (share.least, share.most)


def test_a_saved_list_with_suspects_joined() -> None:
    # Two suspects (P), six drawn and eleven others (R), each part by hand.
    n = [150, 90, *N, *[75] * 11]
    t = [30, 90, *T, *[0] * 11]
    f = [24, 60, *F, *[0] * 11]
    drawn = [False, False, *[True] * 6, *[False] * 11]
    share = league_share(n, t, f, drawn)
    r = drawn_of(17)
    total, r_total = sum(n), sum(n) - 240
    assert r.p is not None
    assert r.low is not None
    assert r.high is not None
    fixed = (150 * 0.8 + 90 * 60 / 90) / total
    middle = fixed + r_total / total * r.p
    smooth = 24.5 / 31
    own = 150**2 * (1 - 30 / 150) * smooth * (1 - smooth) / 31 / total**2
    low = middle - math.sqrt((r_total / total * (r.p - r.low)) ** 2 + 1.959964**2 * own)
    high = middle + math.sqrt((r_total / total * (r.high - r.p)) ** 2 + 1.959964**2 * own)
    assert share.share == pytest.approx(middle)
    assert (share.low, share.high) == pytest.approx((low, high), abs=1e-6)
    assert (share.p, share.v, share.kish) == pytest.approx((r.p, r.v, r.kish))
    assert share.method == "drawn"
    assert (share.tagged_players, share.drawn_players, share.picked_players) == (8, 6, 2)
    # Bounds: nobody or everybody without a tag.
    least = (150 * 0.8 + 60 + r.p * 450) / total
    assert (share.least, share.most) == pytest.approx((least, least + 11 * 75 / total))


def test_the_part_that_was_drawn_narrows_the_interval() -> None:
    narrow, wide = drawn_of(8), drawn_of(300)
    assert narrow.high is not None
    assert narrow.low is not None
    assert wide.high is not None
    assert wide.low is not None
    assert narrow.high - narrow.low < wide.high - wide.low


def test_the_effective_size_is_capped_by_the_players_seen() -> None:
    # All shares are one half and fully tagged: no spread between them, but only six players.
    share = league_share(
        [*[100] * 6, *[100] * 24], [*[100] * 6, *[0] * 24], [*[50] * 6, *[0] * 24], [True] * 30
    )
    assert share.v == pytest.approx(0.0, abs=1e-30)
    assert share.effective_size == pytest.approx(6 / (1 - 6 / 30))
    assert share.unwatched_drawn == 24


def test_nobody_or_everybody_counts_as_so_many_players() -> None:
    nobody, everybody = drawn_of(30, [0] * 6), drawn_of(30, T)
    assert nobody.kish is not None
    assert (nobody.share, nobody.low) == (0.0, 0.0)
    assert (everybody.share, everybody.high) == (1.0, 1.0)
    assert nobody.effective_size == nobody.kish
    assert nobody.high == pytest.approx(wilson(0, nobody.kish).high)
    assert everybody.low == pytest.approx(1 - wilson(0, nobody.kish).high)


@pytest.mark.parametrize("tagged", [1, 2, 3, 4])
def test_fewer_than_five_drawn_players_give_no_interval(tagged: int) -> None:
    t = [20] * tagged + [0] * (20 - tagged)
    f = [10] * tagged + [0] * (20 - tagged)
    share = league_share([50] * 20, t, f, [True] * tagged + [False] * (20 - tagged))
    assert share.share == pytest.approx(0.5)
    assert (share.low, share.high, share.effective_size) == (None, None, None)
    assert share.why == "fewer than 5 drawn players"
    assert share.method == "drawn"


def test_five_drawn_players_give_an_interval() -> None:
    share = league_share([50] * 20, [20] * 5 + [0] * 15, [10] * 5 + [0] * 15, [True] * 20)
    assert share.low is not None


def test_a_census_of_a_small_team_gives_no_interval() -> None:
    share = league_share([50] * 4, [20] * 4, [10] * 4, [False] * 4)
    assert (share.method, share.share, share.low) == ("census", 0.5, None)
    assert share.why == "fewer than 5 players: no interval"


def test_chosen_players_give_bounds_only() -> None:
    share = league_share([100, 50, 50], [20, 0, 0], [15, 0, 0], [False] * 3)
    assert (share.share, share.low, share.effective_size) == (None, None, None)
    assert share.method == "bounds"
    assert (share.least, share.most) == pytest.approx((0.375, 0.875))
    assert share.why == (
        "tagged players were chosen, not drawn: the league share is somewhere between 38 and 88 %"
    )


def test_a_file_declared_drawn_makes_its_tagged_players_drawn() -> None:
    chosen = league_share(N + [75] * 24, T + [0] * 24, F + [0] * 24, [False] * 30)
    declared = league_share(
        N + [75] * 24, T + [0] * 24, F + [0] * 24, [False] * 30, declared_drawn=True
    )
    assert chosen.method == "bounds"
    assert declared == drawn_of(30)


def test_a_list_drawn_but_not_watched_gives_bounds_and_says_so() -> None:
    share = league_share([100, 50, 50], [20, 0, 0], [15, 0, 0], [False, True, True])
    assert share.why.startswith("no drawn player is tagged yet: the league share is somewhere")
    assert (share.unwatched_drawn, share.drawn_players, share.picked_players) == (2, 0, 1)


def test_nothing_tagged_or_nobody_with_ten_attempts_is_said() -> None:
    untagged = league_share([50, 50], [0, 0], [0, 0], [True, False])
    assert (untagged.why, untagged.least, untagged.most) == (
        "no player with 10 attempts is tagged",
        0.0,
        1.0,
    )
    nobody = league_share([9, 5], [5, 0], [1, 0], [False, False])
    assert nobody.why == "no player has 10 attempts"
    assert (nobody.left_out_players, nobody.left_out_attempts, nobody.players) == (2, 14, 0)
    assert league_share([], [], [], []).players == 0


def test_players_below_ten_attempts_are_left_out_and_counted() -> None:
    share = league_share([*N, 9, 9], [*T, 9, 0], [*F, 9, 0], [False] * 8)
    whole = league_share(N, T, F, [False] * 6)
    assert (share.share, share.low, share.attempts) == (whole.share, whole.low, 450)
    assert (share.left_out_players, share.left_out_attempts) == (2, 18)
    assert league_share([*N, 10], [*T, 0], [*F, 0], [True] * 7).players == 7


@pytest.mark.parametrize(("beyond", "method"), [(97, "drawn"), (98, "bounds")])
def test_a_list_with_an_old_frame_is_refused(beyond: int, method: str) -> None:
    # R holds 450 + 18 x 75 + beyond attempts; 97 of 1,897 are 5.1 %, so the limit lies at 94.7.
    attempts = [*N, *[75] * 18, beyond - 3]

    share = league_share(
        attempts,
        [*T, *[0] * 19],
        [*F, *[0] * 19],
        [True] * 6 + [False] * 19,
        in_frame=[True] * 24 + [False],
    )

    assert share.method == method
    assert share.why.endswith("draw again") == (method == "bounds")


def test_the_frame_does_not_matter_for_a_census() -> None:
    share = league_share(N, T, F, [True] * 6, in_frame=[False] * 6)
    assert share.method == "census"


def test_a_suspect_picked_after_the_draw_is_spoken_for_by_those_drawn() -> None:
    # Six drawn of 30, two more watched later because they were suspects.
    attempts, tagged, focus = [*N, *[75] * 24], [*T, *[0] * 24], [*F, *[0] * 24]
    drawn = [True] * 6 + [False] * 24
    before = league_share(attempts, tagged, focus, drawn, in_frame=[True] * 30)
    tagged[6:8], focus[6:8] = [20, 20], [20, 20]

    after = league_share(attempts, tagged, focus, drawn, in_frame=[True] * 30)
    moved = league_share(attempts, tagged, focus, drawn)

    assert after.share == before.share
    assert (after.high, after.effective_size) == (before.high, before.effective_size)
    assert after.least == pytest.approx(before.least + 150 / 2250)
    assert after.low == before.low
    assert moved.share is not None
    assert before.share is not None
    assert moved.share > before.share
    assert (after.drawn_players, after.picked_players) == (6, 2)


def test_a_suspect_tagged_before_the_draw_counts_for_himself() -> None:
    attempts, tagged = [*N, *[75] * 24], [*T, 20, 20, *[0] * 22]
    focus, drawn = [*F, 20, 20, *[0] * 22], [True] * 6 + [False] * 24

    with_frame = league_share(
        attempts, tagged, focus, drawn, in_frame=[True] * 6 + [False] * 2 + [True] * 22
    )

    assert with_frame == league_share(attempts, tagged, focus, drawn)


def test_a_share_never_leaves_its_bounds() -> None:
    # The lot saw nobody, the suspects watched later hold a fifth of the attempts.
    share = league_share(
        [100] * 30,
        [20] * 12 + [0] * 18,
        [0] * 6 + [20] * 6 + [0] * 18,
        [True] * 6 + [False] * 24,
        in_frame=[True] * 30,
    )

    assert share.share == share.least == pytest.approx(0.2)
    assert share.low == 0.0
    assert share.high is not None
    assert share.high > 0.2


PLAYERS = st.integers(0, 200).flatmap(
    lambda n: st.integers(0, n).flatmap(
        lambda t: st.tuples(st.just(n), st.just(t), st.integers(0, t), st.booleans())
    )
)


@quick
@given(st.lists(PLAYERS, min_size=1, max_size=30), st.booleans())
def test_share_and_bounds_always_lie_in_order(
    players: list[tuple[int, int, int, bool]], declared: bool
) -> None:
    n, t, f, drawn = (list(column) for column in zip(*players, strict=True))
    share = league_share(n, t, f, drawn, declared_drawn=declared)
    assert 0.0 <= share.least <= share.most <= 1.0
    assert share.players + share.left_out_players == len(players)
    assert share.drawn_players + share.picked_players == share.tagged_players
    assert (share.low is None) == (share.high is None) == (share.effective_size is None)
    assert (share.why == "") == (share.low is not None)
    if share.share is not None:
        assert share.least - 1e-9 <= share.share <= share.most + 1e-9
    if share.low is not None and share.high is not None and share.share is not None:
        assert 0.0 <= share.low <= share.share + 1e-12
        assert share.share - 1e-12 <= share.high <= 1.0


@pytest.mark.parametrize(
    ("tagged", "focus", "word"), [([101], [0], "above its attempts"), ([20], [21], "above")]
)
def test_counts_that_cannot_be_are_refused(tagged: list[int], focus: list[int], word: str) -> None:
    with pytest.raises(ValueError, match=word):
        league_share([100], tagged, focus, [True])
    with pytest.raises(ValueError, match="differ in length"):
        league_share([100, 50], [20, 0], [0, 0], [True])


def season(rng: np.random.Generator, players: int) -> tuple[np.ndarray, np.ndarray]:
    """Attempts of each player and how many of them were made with the focus technique."""
    n = rng.integers(15, 200, players)
    adopts = rng.random(players) < 0.15
    share = np.where(adopts, rng.beta(9, 1, players), rng.beta(1, 30, players))
    return n, rng.binomial(n, share)


def watched(
    rng: np.random.Generator, n: np.ndarray, focus: np.ndarray, who: np.ndarray, tags: int
) -> tuple[np.ndarray, np.ndarray]:
    """Up to so many attempts of each chosen player, a random part of his season."""
    t = np.where(who, np.minimum(n, tags), 0)
    return t, np.where(who, rng.hypergeometric(focus, n - focus, np.maximum(t, 1)), 0) * (t > 0)


@pytest.mark.parametrize(("players", "drawn"), [(20, 8), (60, 12), (200, 20), (16, 16)])
def test_the_interval_covers_the_share_of_the_season(players: int, drawn: int) -> None:
    rng = np.random.default_rng(players)
    held = 0
    for _ in range(250):
        n, focus = season(rng, players)
        lot = np.zeros(players, dtype=bool)
        lot[rng.choice(players, drawn, replace=False)] = True
        t, f = watched(rng, n, focus, lot, 25)
        share = league_share(n, t, f, lot)
        assert share.low is not None
        assert share.high is not None
        truth = focus.sum() / n.sum()
        held += share.low - 1e-9 <= truth <= share.high + 1e-9
    assert held / 250 >= 0.94


def test_suspects_tagged_ten_times_as_readily_do_not_move_the_share() -> None:
    rng = np.random.default_rng(3)
    held, off, off_as_if_drawn = 0, [], []
    for _ in range(250):
        n, focus = season(rng, 80)
        suspicion = np.where(focus > 0.5 * n, 10.0, 1.0)
        suspects = rng.choice(80, 12, replace=False, p=suspicion / suspicion.sum())
        picked, lot = np.zeros(80, dtype=bool), np.zeros(80, dtype=bool)
        picked[suspects] = True
        lot[rng.choice(np.flatnonzero(~picked), 12, replace=False)] = True
        t, f = watched(rng, n, focus, picked | lot, 25)
        truth = focus.sum() / n.sum()
        share = league_share(n, t, f, lot)
        assert share.share is not None
        assert share.low is not None
        assert share.high is not None
        held += share.low <= truth <= share.high
        off.append(share.share - truth)
        only_suspects = league_share(n, t * picked, f * picked, lot & False, declared_drawn=True)
        assert only_suspects.share is not None
        off_as_if_drawn.append(only_suspects.share - truth)
    assert held / 250 >= 0.94
    assert abs(np.mean(off)) < 0.015
    assert np.mean(off_as_if_drawn) > 0.2
