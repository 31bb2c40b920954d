from __future__ import annotations

from collections import Counter, defaultdict
from typing import Any

import numpy as np
import pytest
from scipy import stats

from demo_data import Manifest
from demo_data.world import DRELLIN, HALMA, OKELMAR


def rows(manifest: Manifest) -> list[dict[str, Any]]:
    table = manifest.truth["player_seasons"]
    return [dict(zip(table["columns"], row, strict=True)) for row in table["rows"]]


def test_shares_of_truth_json_are_those_of_the_hidden_attempts(small: Manifest) -> None:
    world = small.world
    by_season: dict[tuple[int, int], list[bool]] = defaultdict(list)
    by_player: dict[tuple[int, int, int], list[bool]] = defaultdict(list)
    shots = world.shots
    for g, s, p, t in zip(
        shots.league.tolist(), shots.season.tolist(), shots.player.tolist(),
        shots.technique.tolist(), strict=True,
    ):  # fmt: skip
        by_season[g, s].append(t == 1)
        by_player[g, s, p].append(t == 1)

    for summary, (key, seen) in zip(
        small.truth["league_seasons"], sorted(by_season.items()), strict=True
    ):
        enough = [x for k, x in by_player.items() if k[:2] == key and len(x) >= 10]
        pooled = [b for x in enough for b in x]
        assert summary["attempts"] == len(seen)
        assert summary["board"] == sum(seen)
        assert summary["share"] == pytest.approx(sum(seen) / len(seen))
        assert summary["players_10"] == len(enough)
        assert summary["share_10"] == pytest.approx(sum(pooled) / len(pooled))
        assert summary["adopters_10"] == sum(sum(x) / len(x) >= 0.5 for x in enough)


def test_player_seasons_add_up_to_league_seasons_and_carry_the_class_of_their_share(
    large: Manifest,
) -> None:
    made: Counter[tuple[str, str]] = Counter()
    attempts: Counter[tuple[str, str]] = Counter()
    for row in rows(large):
        made[row["league"], row["season"]] += row["made"]
        attempts[row["league"], row["season"]] += row["attempts"]
        share = row["board"] / row["attempts"]
        expected = "adopter" if share >= 0.5 else "occasional" if share >= 0.1 else "not"
        assert row["class"] == expected
        assert row["player"] in large.truth["players"]
    for summary in large.truth["league_seasons"]:
        key = summary["league"], summary["season"]
        assert (made[key], attempts[key]) == (summary["made"], summary["attempts"])


def test_the_share_of_every_league_season_is_near_the_planted_one(large: Manifest) -> None:
    for summary in large.truth["league_seasons"]:
        assert summary["share"] == pytest.approx(summary["planted_share"], abs=0.025), summary


def test_one_league_grows_one_stays_low_and_one_grows_late(large: Manifest) -> None:
    shares: dict[str, list[float]] = defaultdict(list)
    for summary in large.truth["league_seasons"]:
        shares[summary["league"]].append(summary["share"])
    growing, flat, late = shares.values()

    assert growing[0] < 0.05
    assert growing[-1] > 0.19
    assert stats.spearmanr(range(10), growing).statistic > 0.95
    assert max(flat) < 0.035
    assert late[1] < 0.035
    assert late[-1] > 0.09


@pytest.mark.parametrize("league", [HALMA, DRELLIN, OKELMAR])
def test_talents_come_from_the_beta_distribution_of_the_league(
    large: Manifest, league: int
) -> None:
    plan = large.world.layout.leagues[league]
    talents = [
        p.ability
        for p in large.world.people.players
        if p.league == league and (p.story is None or p.story.talent is None)
    ]
    a = plan.mean * plan.strength

    p_value = stats.kstest(talents, stats.beta(a, plan.strength - a).cdf).pvalue

    assert len(talents) > 150
    assert p_value > 0.01


def test_players_make_what_their_talent_says_where_nothing_is_planted(large: Manifest) -> None:
    world = large.world
    changed = set(world.habits.changes)
    made = np.bincount(world.shots.player, weights=world.shots.made)
    count = np.bincount(world.shots.player)
    plain = [p for p in world.people.players if p.number not in changed and count[p.number]]
    n = count[[p.number for p in plain]]
    rate = np.array([p.ability for p in plain])

    z = (made[[p.number for p in plain]] - n * rate) / np.sqrt(n * rate * (1 - rate))

    assert float(np.sum(z**2)) == pytest.approx(len(plain), rel=0.12)
    assert abs(float(z.mean())) < 0.12


def test_a_sharp_change_has_its_effect_and_its_technique_from_its_date_on(
    large: Manifest,
) -> None:
    world = large.world
    sharp = [c for c in world.habits.changes.values() if c.shape == "sharp"]
    assert sorted(c.name for c in sharp) == [
        "bad_start", "late", "noticed", "rise_a", "rise_b", "rise_c", "same_a", "same_b", "same_c",
    ]  # fmt: skip
    for change in sharp:
        mine = np.flatnonzero(world.shots.player == change.player)
        day, board = world.shots.day[mine], world.shots.technique[mine] == 1
        after = day >= change.day
        effect = world.habits.effect(world.shots.player[mine], day)
        assert board[~after].sum() == 0
        assert board[after].mean() > 0.85
        assert np.all(effect[~after] == 0)
        assert np.all(effect[after] == change.effect)
        assert after.sum() >= 30
        assert (~after).sum() >= 30


def test_eight_points_more_are_planted_and_found_over_all_who_rose(large: Manifest) -> None:
    world = large.world
    gained = 0.0
    weight = 0
    for change in world.habits.changes.values():
        if change.effect == 0.08:
            mine = world.shots.player == change.player
            after = mine & (world.shots.day >= change.day)
            gained += float(world.shots.made[after].sum())
            gained -= float(after.sum()) * world.people.players[change.player].ability
            weight += int(after.sum())

    assert weight > 1000
    assert gained / weight == pytest.approx(0.08, abs=0.03)


def test_switchers_name_made_and_attempts_on_both_sides(large: Manifest) -> None:
    found = {s["name"]: s for s in large.truth["switchers"] if s["name"] != "summer"}
    bad = found["bad_start"]

    assert bad["made_before"] == round(bad["attempts_before"] * (bad["ability"] - 0.14))
    assert bad["effect"] == 0
    assert found["gradual"]["until"] > found["gradual"]["date"]
    assert found["returned"]["back"] > found["returned"]["date"]
    assert found["noticed"]["player"].endswith(large.rumour.player)


def test_who_went_back_tried_exactly_six_times(large: Manifest) -> None:
    (tried,) = large.truth["tried"]
    (change,) = [c for c in large.world.habits.changes.values() if c.shape == "tried"]
    shots = large.world.shots

    board = shots.technique[shots.player == change.player] == 1

    assert board.sum() == tried["attempts"] == 6
    assert tried["player"] not in {s["player"] for s in large.truth["switchers"]}


def test_misses_off_the_backboard_go_sideways_and_to_the_offence_more_often(
    large: Manifest,
) -> None:
    shots = large.world.shots
    board, straight = (shots.technique == t for t in (1, 0))
    missed = ~shots.made
    live = shots.rebound >= 0

    sideways = [float((shots.side[t & missed] != 1).mean()) for t in (board, straight)]
    offence = [float((shots.rebound[t & live] == 0).mean()) for t in (board, straight)]

    assert sideways[0] == pytest.approx(0.75, abs=0.04)
    assert sideways[1] == pytest.approx(0.45, abs=0.02)
    assert offence[0] == pytest.approx(0.20, abs=0.04)
    assert offence[1] == pytest.approx(0.13, abs=0.01)


def test_only_live_misses_have_a_rebound(large: Manifest) -> None:
    shots = large.world.shots
    last = shots.trip_shot == shots.trip_of
    personal = (shots.kind == 0) & last
    one_and_one = shots.kind == 3

    live = ~shots.made & ~shots.violation & (personal | one_and_one)

    assert np.array_equal(shots.rebound >= 0, live)


def test_the_second_shot_of_a_one_and_one_follows_only_a_make(large: Manifest) -> None:
    shots = large.world.shots
    second = np.flatnonzero((shots.kind == 3) & (shots.trip_shot == 2))

    assert second.size > 500
    assert np.all(shots.made[second - 1])
    assert np.all(shots.player[second - 1] == shots.player[second])
