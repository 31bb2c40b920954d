"""Who changed, and did it help: what is found, what it is judged by, what is never claimed."""

from __future__ import annotations

from math import exp
from typing import Any

import pytest

from ledger.errors import UseError
from ledger.stats.before_after import (
    Before,
    attempts_needed,
    expected,
    likelihood_of_change,
    size,
)
from ledger.stats.beta_binomial import combine_seasons, fit_beta_binomial
from ledger.stats.intervals import newcombe, wilson
from ledger.stats.mantel_haenszel import odds_ratio
from ledger.stats.pooled_change import pooled
from ledger.stats.random_effects import log_odds_ratios, paule_mandel
from tests.questions.changing import changed, league, spell
from tests.questions.ground import Ground, by_player


def row_of(ground: Ground, player: str = "Tarn", **asked: Any) -> dict[str, Any]:
    rows = [r for r in ground.ask("switches", **asked).main.rows() if r["player"] == player]
    assert len(rows) == 1, rows
    return rows[0]


def level_without(ground: Ground, player: str, made: int, attempts: int) -> tuple[float, float]:
    """The level of the league-season without part of one player's attempts: mean and weight."""
    rows = ground.ask("ranking", by="player-season", min_attempts=1).main.rows()
    k = [r["made"] - (made if r["player"] == player else 0) for r in rows]
    n = [r["attempts"] - (attempts if r["player"] == player else 0) for r in rows]
    prior = fit_beta_binomial(k, n)
    return prior.mean, prior.weight


# -- the two sides ------------------------------------------------------------------------------


def test_a_change_is_found_and_judged_by_the_figures_of_the_method(ground: Ground) -> None:
    league(ground)
    changed(ground, "Tarn", (28, 50), (82, 100))
    mean, weight = level_without(ground, "Tarn", 82, 100)

    answer = ground.ask("switches")

    (row,) = answer.main.rows()
    assert answer.part("earlier").rows() == []
    assert (row["direction"], row["finding"], row["shape"]) == ("to_focus", "switch", "sharp")
    assert (row["date"], row["date_low"], row["date_high"]) == (
        "2024-11-06", "2024-11-05", "2024-11-06",
    )  # fmt: skip
    assert (row["made_before"], row["attempts_before"]) == (28, 50)
    assert (row["made_after"], row["attempts_after"], row["left_out"]) == (82, 100, 0)
    assert (row["share_before"], row["share_after"]) == (0.0, 1.0)
    after = wilson(82, 100)
    assert (row["rate_after"], row["after_low"], row["after_high"]) == (0.82, after.low, after.high)
    assert row["before_low"] < row["rate_before"] == 0.56 < row["before_high"]
    assert (row["attempts"], row["tagged"], row["coverage"]) == (150, 150, 1.0)
    raw = newcombe(82, 100, 28, 50)
    assert (row["raw_gain"], row["raw_low"], row["raw_high"]) == pytest.approx(
        (0.26, raw.low, raw.high)
    )
    before = Before(weight * mean + 28, weight * (1 - mean) + 22)
    made, gain = expected(before, 82, 100), size(before, 82, 100)
    assert row["expected_after"] == pytest.approx(made.mean)
    assert (row["expected_low"], row["expected_high"]) == (made.low, made.high)
    assert row["surprise"] == pytest.approx(made.surprise)
    assert row["bad_start_points"] == pytest.approx(100 * (before.rate - 0.56))
    assert (row["gain"], row["gain_low"], row["gain_high"], row["chance_of_gain"]) == pytest.approx(
        (gain.mean, gain.low, gain.high, gain.chance)
    )
    assert row["attempts_needed"] == attempts_needed(before, 0.1)
    assert row["claim"] is True


def test_the_difference_that_attempts_needed_would_show_is_an_option(ground: Ground) -> None:
    league(ground)
    changed(ground, "Tarn", (45, 60), (75, 100))

    few, never = row_of(ground, show=30), row_of(ground, show=3)

    assert few["attempts_needed"] < 40
    assert never["attempts_needed"] is None
    assert never["attempts_needed_why"].startswith("no number of attempts would show it")


def test_attempts_nobody_watched_count_on_both_sides(ground: Ground) -> None:
    league(ground)
    for day, games, technique, made, attempts in (
        (0, 5, "straight", 28, 50),
        (5, 8, "board", 82, 100),
    ):
        spell(ground, "Tarn", made, attempts, technique, day=day, games=games, tagged=attempts // 2)

    row = row_of(ground)

    assert (row["attempts_before"], row["attempts_after"]) == (50, 100)
    assert (row["tagged"], row["coverage"]) == (75, 0.5)


def test_attempts_inside_the_range_are_left_out_and_counted(ground: Ground) -> None:
    league(ground)
    spell(ground, "Tarn", 28, 50, "straight")
    spell(ground, "Tarn", 9, 12, None, day=5, games=4)
    spell(ground, "Tarn", 82, 100, "board", day=9, games=8)

    row = row_of(ground)

    assert row["left_out"] == 12
    assert (row["date_low"], row["date"], row["date_high"]) == (
        "2024-11-05", "2024-11-10", "2024-11-10",
    )  # fmt: skip
    assert (row["attempts_before"], row["attempts_after"]) == (50, 100)
    notes = ground.ask("switches").notes
    assert "12 attempts inside the ranges of dates are on neither side." in notes


def test_there_and_back_are_two_changes_whose_sides_end_at_each_other(ground: Ground) -> None:
    league(ground)
    spell(ground, "Tarn", 30, 40, "straight")
    spell(ground, "Tarn", 33, 44, "board", day=5, games=6)
    spell(ground, "Tarn", 36, 48, "straight", day=11, games=6)

    to, back = ground.ask("switches").main.rows()

    assert (to["direction"], to["number"]) == ("to_focus", 1)
    assert (back["direction"], back["number"]) == ("from_focus", 2)
    assert (to["attempts_before"], to["attempts_after"]) == (40, 44)
    assert (back["attempts_before"], back["attempts_after"]) == (44, 48)
    assert (back["share_before"], back["share_after"]) == (1.0, 0.0)


def test_a_change_before_the_tenth_attempt_has_last_season_before_it(ground: Ground) -> None:
    for season in ("2023-24", "2024-25"):
        league(ground, season=season)
    spell(ground, "Tarn", 60, 80, "straight", season="2022-23", games=8)
    spell(ground, "Tarn", 30, 60, "straight", season="2023-24", games=8)
    spell(ground, "Tarn", 6, 8, "straight", games=2)
    spell(ground, "Tarn", 45, 60, "board", day=2, games=8)

    answer = ground.ask("switches")

    (row,) = answer.main.rows()
    assert row["over_summer"] is True
    # Last season and what there is of this one; not the season before.
    assert (row["made_before"], row["attempts_before"]) == (36, 68)
    assert row["season"] == "2024-25"
    assert any("other things changed over the summer too" in note for note in answer.notes)
    assert answer.part("earlier").rows() == []


def test_ten_attempts_of_the_season_are_a_side_of_their_own(ground: Ground) -> None:
    for season in ("2023-24", "2024-25"):
        league(ground, season=season)
    spell(ground, "Tarn", 30, 60, "straight", season="2023-24", games=8)
    spell(ground, "Tarn", 7, 10, "straight", games=2)
    spell(ground, "Tarn", 45, 60, "board", day=2, games=8)

    answer = ground.ask("switches")

    (row,) = answer.main.rows()
    assert (row["over_summer"], row["attempts_before"]) == (False, 10)
    (earlier,) = answer.part("earlier").rows()
    assert (earlier["made_before"], earlier["attempts_before"]) == (37, 70)
    assert (earlier["made_after"], earlier["attempts_after"]) == (45, 60)
    prior = ground.ask("ranking", min_attempts=1).part("prior").rows()
    assert len(prior) == 2
    assert earlier["gain"] > row["gain"]


def test_the_talent_of_two_seasons_is_one(ground: Ground) -> None:
    league(ground, season="2023-24", rate=0.65)
    league(ground, season="2024-25", rate=0.8)
    spell(ground, "Tarn", 40, 60, "straight", season="2023-24", games=8)
    spell(ground, "Tarn", 6, 8, "straight", games=2)
    spell(ground, "Tarn", 45, 60, "board", day=2, games=8)

    row = row_of(ground)

    levels = []
    for season, less in (("2023-24", (0, 0)), ("2024-25", (45, 60))):
        rows = ground.ask("ranking", by="player-season", season=season, min_attempts=1).main.rows()
        k = [r["made"] - (less[0] if r["player"] == "Tarn" else 0) for r in rows]
        n = [r["attempts"] - (less[1] if r["player"] == "Tarn" else 0) for r in rows]
        levels.append(fit_beta_binomial(k, n))
    one = combine_seasons([p.mean for p in levels], [p.weight for p in levels], [40, 6], [60, 8])
    assert row["expected_after"] == pytest.approx(60 * float(one.mean[0]))


def test_seasons_nobody_watched_lie_inside_the_range(ground: Ground) -> None:
    for season in ("2022-23", "2023-24", "2024-25"):
        league(ground, season=season)
    spell(ground, "Tarn", 30, 40, "straight", season="2022-23", games=8)
    spell(ground, "Tarn", 25, 40, None, season="2023-24", games=8)
    spell(ground, "Tarn", 30, 40, None, games=8)
    spell(ground, "Tarn", 33, 44, "board", day=8, games=8)

    answer = ground.ask("switches")

    (row,) = answer.main.rows()
    # He was first seen so in the season of the first game behind the range.
    assert (row["season"], row["date"]) == ("2024-25", "2024-11-09")
    assert (row["date_low"], row["date_high"]) == ("2022-11-08", "2024-11-09")
    assert row["left_out"] == 80
    assert (row["over_summer"], row["attempts_before"]) == (True, 40)


def test_a_likeliest_day_in_the_season_before_is_not_given_as_the_date(ground: Ground) -> None:
    # He was seen so in the last game of one season, half and half in the first of the next.
    for season in ("2023-24", "2024-25"):
        league(ground, season=season)
    spell(ground, "Tarn", 30, 40, "straight", season="2023-24", games=8)
    spell(ground, "Tarn", 1, 1, "board", day=8, games=1, season="2023-24")
    spell(ground, "Tarn", 3, 4, "straight", games=1)
    spell(ground, "Tarn", 3, 4, "board", games=1)
    spell(ground, "Tarn", 30, 40, "board", day=1, games=8)

    answer = ground.ask("switches")

    (row,) = answer.main.rows()
    assert (row["season"], row["date"]) == ("2024-25", None)
    assert row["date_why"] == "seasons between were not watched: no date is given"
    assert row["date_low"] == "2023-11-08"
    assert row["date_high"] == "2024-11-02"
    assert "some day between 2023-11-08 and 2024-11-02" in answer.headline


def test_games_of_two_leagues_in_one_season_are_on_the_same_sides(ground: Ground) -> None:
    league(ground)
    league(ground, league="Quern Cup", name="Q")
    first, second = ground.player("Tarn"), ground.player("Tarn", "Quern Cup")
    ground.con.execute("UPDATE player SET same_as = ? WHERE id = ?", [first, second])
    spell(ground, "Tarn", 28, 40, "straight")
    spell(ground, "Tarn", 6, 10, "straight", league="Quern Cup", team="Orrin")
    spell(ground, "Tarn", 60, 80, "board", day=5, games=8)
    spell(ground, "Tarn", 15, 20, "board", day=5, games=8, league="Quern Cup", team="Orrin")

    row = row_of(ground)

    assert (row["made_before"], row["attempts_before"]) == (34, 50)
    assert (row["made_after"], row["attempts_after"]) == (75, 100)
    assert row["league"] == "Halma League"


def test_a_league_left_at_the_change_is_said(ground: Ground) -> None:
    league(ground)
    league(ground, league="Quern Cup", name="Q")
    first, second = ground.player("Tarn"), ground.player("Tarn", "Quern Cup")
    ground.con.execute("UPDATE player SET same_as = ? WHERE id = ?", [first, second])
    spell(ground, "Tarn", 28, 40, "straight")
    spell(ground, "Tarn", 60, 80, "board", day=5, games=8, league="Quern Cup", team="Orrin")

    answer = ground.ask("switches")

    assert by_player(answer)["Tarn"]["gain"] is not None
    assert "Tarn: the two sides are of different leagues." in answer.notes


# -- refusals -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("after", "why"),
    [
        ((5, 5), "5 attempts since the change: not judged before 10"),
        ((8, 9), "9 attempts since the change: not judged before 10"),
    ],
)
def test_five_of_five_after_a_change_are_not_set_against_eighty_eight_of_a_hundred(
    ground: Ground, after: tuple[int, int], why: str
) -> None:
    league(ground)
    spell(ground, "Tarn", 88, 100, "straight", games=10)
    spell(ground, "Tarn", *after, None, day=10, games=5)
    # Attempts of free throws were not watched after the change: somebody says it.
    answer = ground.ask("switches", declared="Tarn:2024-11-11")

    (row,) = answer.main.rows()
    assert row["gain"] is row["raw_gain"] is row["surprise"] is None
    assert row["gain_why"] == why
    assert row["claim"] is False
    assert answer.headline == f"Tarn: {why}."


def test_nine_tags_on_a_side_are_not_judged(ground: Ground) -> None:
    league(ground)
    spell(ground, "Tarn", 28, 50, "straight")
    spell(ground, "Tarn", 9, 9, "board", day=5, games=5)

    answer = ground.ask("switches")

    assert answer.main.rows() == []
    judged = by_player(answer, "judged")["Tarn"]
    assert (judged["judged"], judged["why"]) == (True, None)


@pytest.mark.parametrize(
    ("tagged", "least", "why"),
    [
        (19, 20, "fewer than 10 watched attempts on a side: not judged"),
        (30, 40, "fewer than 40 watched attempts: not judged"),
        (40, 40, None),
    ],
)
def test_players_watched_too_little_say_why_they_are_not_judged(
    ground: Ground, tagged: int, least: int, why: str | None
) -> None:
    spell(ground, "Tarn", 60, 80, "straight", tagged=tagged, games=8)

    (row,) = ground.ask("switches", min_tagged=least).part("judged").rows()

    assert (row["tagged"], row["judged"], row["why"]) == (tagged, why is None, why)
    assert (row["attempts"], row["coverage"]) == (80, tagged / 80)


def test_twenty_tags_of_one_game_have_no_two_sides(ground: Ground) -> None:
    spell(ground, "Tarn", 30, 40, "straight", games=1)

    (row,) = ground.ask("switches").part("judged").rows()

    assert row["why"] == "fewer than 10 watched attempts on a side: not judged"


def test_a_league_of_seven_has_no_level_and_nothing_is_claimed(ground: Ground) -> None:
    league(ground, 6)
    changed(ground, "Tarn", (28, 50), (82, 100))

    row = row_of(ground)

    assert row["gain"] is row["expected_after"] is row["attempts_needed"] is None
    assert row["raw_gain"] == pytest.approx(0.26)
    assert row["claim"] is False
    assert "fewer than 8 players" in row["gain_why"]
    assert row["attempts_needed_why"] == row["gain_why"]


def test_only_misses_watched_are_no_change(ground: Ground) -> None:
    # He makes three of four; only misses were tagged, off the backboard in the second half.
    league(ground)
    ground.shots("Tarn", 45, 60, games=5, tags={"straight": (0, 15)})
    ground.shots("Tarn", 60, 80, games=8, first_day=5, tags={"board": (0, 20)})

    answer = ground.ask("switches")

    assert answer.main.rows() == []
    judged = by_player(answer, "judged")["Tarn"]
    assert judged["tagged"] == 0
    assert judged["why"].startswith("tagged attempts were picked by result")
    assert "picked by result" in answer.headline


def test_tags_made_for_misses_only_are_no_tags_here(ground: Ground) -> None:
    league(ground)
    ground.shots("Tarn", 20, 40, games=5, tags={"straight": (0, 20)}, picked_for="result")
    ground.shots("Tarn", 20, 40, games=5, first_day=5, tags={"board": (0, 20)}, picked_for="result")

    answer = ground.ask("switches")

    assert answer.main.rows() == []
    assert answer.part("judged").rows() == []


def test_a_season_picked_by_result_counts_as_not_watched(ground: Ground) -> None:
    for season in ("2023-24", "2024-25"):
        league(ground, season=season)
    ground.shots("Tarn", 45, 60, games=8, season="2023-24", tags={"board": (0, 15)})
    changed(ground, "Tarn", (30, 40), (45, 60))

    row = row_of(ground)

    assert (row["season"], row["attempts_before"]) == ("2024-25", 40)
    assert row["tagged"] == 100


def test_attempts_whose_technique_is_unknown_are_not_watched(ground: Ground) -> None:
    league(ground)
    changed(ground, "Tarn", (28, 50), (82, 100))
    usual = ground.ask("switches").main.rows()
    # Somebody looked and could not tell, in games before and after.
    for attempt in range(1, 40):
        ground.tag(attempt, None)

    found = ground.ask("switches").main.rows()

    assert found == usual


def test_practice_changes_nothing(ground: Ground) -> None:
    league(ground)
    changed(ground, "Tarn", (28, 50), (82, 100))
    usual = ground.ask("switches")
    for day, technique in ((0, "board"), (5, "straight")):
        spell(ground, "Tarn", 95, 100, technique, day=day, stage="practice")
        spell(ground, "P03", 10, 100, technique, day=day, stage="practice")

    with_it = ground.ask("switches")

    assert with_it.main.rows() == usual.main.rows()
    assert {k: v.rows() for k, v in with_it.parts.items()} == {
        k: v.rows() for k, v in usual.parts.items()
    }
    assert "400 attempts of practice are left out." in with_it.notes
    assert "practice has its own question" in ground.ask("switches", stage="practice").headline


def test_attempts_of_unknown_order_count_by_game(ground: Ground) -> None:
    league(ground)
    changed(ground, "Tarn", (28, 50), (82, 100))
    usual = row_of(ground)
    ground.con.execute("UPDATE attempt SET order_in_game = NULL")

    assert row_of(ground) == usual


def test_one_technique_has_no_change(ground: Ground) -> None:
    changed(ground, "Tarn", (28, 50), (82, 100))

    assert "there is no share" in ground.ask("switches", technique="board").headline


# -- what is possible only ----------------------------------------------------------------------


def test_fewer_than_eight_watched_games_are_a_possible_change_without_a_claim(
    ground: Ground,
) -> None:
    league(ground)
    changed(ground, "Tarn", (20, 50), (94, 100), games=(3, 4))

    answer = ground.ask("switches")

    (row,) = answer.main.rows()
    assert row["finding"] == "possible"
    assert row["chance_of_gain"] > 0.975
    assert row["claim"] is False
    assert row["claim_why"] == "possible only: he may mix from game to game"
    assert answer.part("pooled").rows()[0]["players"] == 0
    assert answer.headline.startswith("Tarn: a change is possible only")


def test_seven_games_are_too_few_however_seldom_their_shuffles_look_so(ground: Ground) -> None:
    # In this order of many and few attempts a game, shuffles reach the evidence once in forty.
    for game, attempts in enumerate((7, 6, 5, 3, 3, 1, 1)):
        spell(
            ground, "Tarn", attempts, attempts, "straight" if game < 2 else "board", day=game,
            games=1,
        )  # fmt: skip

    row = row_of(ground)

    assert row["shuffle_p"] < 0.05
    assert row["finding"] == "possible"


def test_a_player_who_mixes_from_game_to_game_is_possible_only(ground: Ground) -> None:
    league(ground)
    for game in range(16):
        board = game in (7, 9, 11, 14, 15)
        spell(ground, "Tarn", 5, 6, "board" if board else "straight", day=game, games=1)

    rows = ground.ask("switches").main.rows()

    assert {row["finding"] for row in rows} == {"possible"}
    assert all(0.05 < row["shuffle_p"] < 0.4 for row in rows)
    assert not any(row["claim"] for row in rows)


def test_a_gradual_change_has_no_date(ground: Ground) -> None:
    league(ground)
    for game in range(24):
        share = game / 23
        board = round(5 * share)
        ground.shots(
            "Tarn", 4, 5, games=1, first_day=game,
            tags={"board": (max(board - 1, 0), min(board, 1)),
                  "straight": (4 - max(board - 1, 0), 1 - min(board, 1))},
        )  # fmt: skip

    answer = ground.ask("switches")

    (row,) = answer.main.rows()
    assert row["shape"] == "gradual"
    assert row["date"] is row["date_low"] is row["date_high"] is None
    assert row["date_why"] == "gradual: no date is given"
    assert "little by little" in answer.headline
    assert any(note.startswith("Gradual, Tarn: no date is given") for note in answer.notes)


# -- the claim ----------------------------------------------------------------------------------


def test_a_bad_start_that_ends_is_not_claimed_as_a_rise(ground: Ground) -> None:
    league(ground)
    changed(ground, "Tarn", (23, 40), (75, 100))

    answer = ground.ask("switches")

    (row,) = answer.main.rows()
    assert row["raw_low"] > 0
    assert row["bad_start_points"] > 5
    assert row["gain_low"] < 0
    assert row["claim"] is False
    assert "are his bad start" in answer.headline
    assert "a rise is not shown" in answer.headline


def test_a_rise_that_is_likely_is_not_claimed_before_it_is_sure(ground: Ground) -> None:
    league(ground, 9)
    changed(ground, "Tarn", (34, 50), (83, 100))

    row = row_of(ground)

    assert 0.95 < row["chance_of_gain"] < 0.975
    assert row["claim"] is False


def test_a_rise_of_the_whole_league_is_not_his(ground: Ground) -> None:
    league(ground, 30, rise=0.12)
    changed(ground, "Tarn", (32, 50), (90, 100))

    answer = ground.ask("switches")

    (row,), (drift,) = answer.main.rows(), answer.part("drift").rows()
    assert row["chance_of_gain"] >= 0.975
    assert drift["controls"] == 30
    assert drift["low"] > 1
    assert drift["chance_of_gain"] < 0.975
    assert row["claim"] is False


def test_the_drift_is_that_of_everybody_else_up_to_the_range_and_behind_it(
    ground: Ground,
) -> None:
    # Games on the days of his last game before and his first game after count.
    made = [(20 + i, 30 + i) for i in range(12)]
    for i, (before, after) in enumerate(made):
        ground.shots(f"P{i:02}", before, 40, games=5)
        ground.shots(f"P{i:02}", after, 60, games=8, first_day=5)
    changed(ground, "Tarn", (28, 50), (82, 100))

    (drift,) = ground.ask("switches").part("drift").rows()

    k0, k = zip(*made, strict=True)
    known = odds_ratio(k, [60 - x for x in k], k0, [40 - x for x in k0])
    assert (drift["odds_ratio"], drift["low"], drift["high"]) == pytest.approx(
        (known.odds_ratio, known.low, known.high)
    )


def test_fewer_than_ten_others_tell_no_drift_and_it_is_said(ground: Ground) -> None:
    league(ground, 9)
    changed(ground, "Tarn", (28, 50), (88, 100))

    answer = ground.ask("switches")

    (row,), (drift,) = answer.main.rows(), answer.part("drift").rows()
    assert (drift["controls"], drift["gain"]) == (9, None)
    assert drift["why"] == "fewer than 10 players to tell the league's drift by"
    assert row["claim"] is False
    assert row["claim_why"] == "fewer than 10 players to tell the league's drift by: not claimed"
    assert any("fewer than 10 players to tell the league's drift by" in n for n in answer.notes)


def test_those_who_started_as_badly_are_counted(ground: Ground) -> None:
    league(ground)
    for i in range(10):
        made = 38 if i < 3 else 30
        ground.shots(f"B{i}", 22, 40, games=5)
        ground.shots(f"B{i}", made, 48, games=8, first_day=5)
    # One with too few attempts on a side, one who started 6 points above.
    ground.shots("Few", 5, 9, games=5)
    ground.shots("Few", 40, 48, games=8, first_day=5)
    ground.shots("Above", 31, 50, games=5)
    ground.shots("Above", 40, 48, games=8, first_day=5)
    changed(ground, "Tarn", (28, 50), (76, 100))

    answer = ground.ask("switches")

    row = by_player(answer)["Tarn"]
    assert (row["placebo_players"], row["placebo_as_much"]) == (10, 3)


def test_fewer_than_ten_comparable_players_are_not_counted(ground: Ground) -> None:
    league(ground)
    changed(ground, "Tarn", (28, 50), (82, 100))

    row = row_of(ground)

    assert row["placebo_players"] is row["placebo_as_much"] is None
    assert row["placebo_why"] == "fewer than 10 comparable players"


def test_who_changed_too_is_no_control_and_moves_no_level(ground: Ground) -> None:
    league(ground)
    changed(ground, "Tarn", (28, 50), (82, 100))
    usual = row_of(ground)
    drift = ground.ask("switches").part("drift").rows()[0]
    # Another one changes: his after side, however good, is in no level and no drift.
    changed(ground, "Brix", (38, 50), (100, 100))

    answer = ground.ask("switches")

    found = by_player(answer)["Tarn"]
    assert by_player(answer, "drift")["Tarn"]["odds_ratio"] == drift["odds_ratio"]
    rows = ground.ask("ranking", by="player-season", min_attempts=1).main.rows()
    less = {"Tarn": (82, 100), "Brix": (100, 100)}
    k, n = (
        [r[c] - less.get(r["player"], (0, 0))[i] for r in rows]
        for i, c in enumerate(("made", "attempts"))
    )
    prior = fit_beta_binomial(k, n)
    before = Before(prior.a + 28, prior.b + 22)
    assert found["expected_after"] == pytest.approx(100 * before.rate)
    assert found["raw_gain"] == usual["raw_gain"]


def test_a_player_asked_for_alone_is_judged_as_among_all(ground: Ground) -> None:
    for season in ("2023-24", "2024-25"):
        league(ground, season=season)
    changed(ground, "Tarn", (28, 50), (82, 100))
    changed(ground, "Brix", (38, 50), (95, 100))
    spell(ground, "Brix", 40, 50, "straight", season="2023-24", games=8)
    among = ground.ask("switches")

    alone = ground.ask("switches", player="Tarn")

    assert alone.main.rows() == [by_player(among)["Tarn"]]
    assert alone.part("drift").rows() == [by_player(among, "drift")["Tarn"]]


def test_names_of_the_risen_say_how_many_are_so_by_luck(ground: Ground) -> None:
    league(ground)
    changed(ground, "Tarn", (28, 50), (88, 100))
    changed(ground, "Brix", (27, 50), (86, 100))

    answer = ground.ask("switches")

    rows = by_player(answer)
    assert rows["Tarn"]["claim"]
    assert rows["Brix"]["claim"]
    assert "Of 2 players named as risen, less than 0.1 by luck." in answer.notes
    assert answer.headline == (
        "Two players changed to shooting off the backboard; Brix and Tarn rose beyond luck, bad "
        "starts taken out; fewer than 3: no pooled figure."
    )


# -- several players ----------------------------------------------------------------------------


def four(ground: Ground) -> None:
    league(ground)
    changed(ground, "Tarn", (28, 50), (82, 100))
    changed(ground, "Brix", (40, 60), (75, 100))
    changed(ground, "Oselo", (33, 50), (60, 80))
    changed(ground, "Wenn", (30, 50), (92, 100))


def test_the_player_the_rumour_named_is_in_no_headline_and_not_claimed(ground: Ground) -> None:
    four(ground)
    with_all = ground.ask("switches")
    assert by_player(with_all)["Wenn"]["claim"] is True
    ground.rumour(player="Wenn")

    answer = ground.ask("switches")

    (everybody,), (without,) = answer.part("pooled").rows(), answer.part("without_noticed").rows()
    assert (everybody["players"], without["players"]) == (4, 3)
    assert everybody == with_all.part("pooled").rows()[0]
    assert without["odds_ratio"] < everybody["odds_ratio"]
    wenn = by_player(answer)["Wenn"]
    assert (wenn["claim"], wenn["claim_why"]) == (False, "the rumour named him: not a test")
    assert "over three of them, without Wenn, whom the rumour named" in answer.headline
    assert f"about {100 * without['gain']:.0f} more per 100" in answer.headline
    assert "The rumour named Wenn: not a test, nothing is claimed." in answer.notes


def test_the_pooled_row_is_the_effect_as_an_odds_ratio_and_at_the_level(ground: Ground) -> None:
    four(ground)
    sides = {
        "Tarn": ((28, 50), (82, 100)),
        "Brix": ((40, 60), (75, 100)),
        "Oselo": ((33, 50), (60, 80)),
        "Wenn": ((30, 50), (92, 100)),
    }
    rows = ground.ask("ranking", by="player-season", min_attempts=1).main.rows()
    less = {player: after for player, (_, after) in sides.items()}
    k, n = (
        [r[c] - less.get(r["player"], (0, 0))[i] for r in rows]
        for i, c in enumerate(("made", "attempts"))
    )
    prior = fit_beta_binomial(k, n)
    pool = pooled(
        [
            likelihood_of_change(Before(prior.a + k, prior.b + n - k), *after)
            for (k, n), after in sides.values()
        ]
    )
    naive = paule_mandel(*log_odds_ratios([(*after, *before) for before, after in sides.values()]))
    gain = pool.gain_at(prior.mean)

    (row,) = ground.ask("switches").part("pooled").rows()

    known = {
        "players": 4, "odds_ratio": exp(pool.mean), "low": exp(pool.low), "high": exp(pool.high),
        "chance_above_1": pool.chance, "new_player_low": exp(pool.new_low),
        "new_player_high": exp(pool.new_high), "new_player_chance": pool.new_chance,
        "tau": pool.tau, "gain": gain.mean, "gain_low": gain.low, "gain_high": gain.high,
        "naive_odds_ratio": exp(naive.mean), "q": naive.q, "i2": naive.i2, "why": None,
    }  # fmt: skip
    assert row == pytest.approx(known)


def test_the_noticed_player_alone_is_no_test(ground: Ground) -> None:
    league(ground)
    changed(ground, "Wenn", (28, 50), (92, 100))
    ground.rumour(player="Wenn")

    answer = ground.ask("switches")

    assert "rise is shown" not in answer.headline
    assert answer.headline.endswith("the rumour named him, so this is not a test.")


def test_three_players_who_each_fell_are_not_pooled_to_a_rise(ground: Ground) -> None:
    # Each falls by five points; the best one shoots most after his change.
    league(ground)
    sides = {
        "Tarn": ((60, 100), (22, 40)),
        "Brix": ((28, 40), (26, 40)),
        "Oselo": ((38, 40), (270, 300)),
    }
    for player, (before, after) in sides.items():
        changed(ground, player, before, after)
    added = [sum(s[i][j] for s in sides.values()) for i in (0, 1) for j in (0, 1)]

    answer = ground.ask("switches")

    rows = by_player(answer)
    assert added[2] / added[3] > added[0] / added[1]
    assert all(rows[player]["raw_gain"] < 0 for player in sides)
    (pooled,) = answer.part("pooled").rows()
    assert pooled["odds_ratio"] < 1
    assert pooled["gain"] < 0
    assert pooled["naive_odds_ratio"] < 1
    assert "fewer per 100" in answer.headline


def test_two_players_are_not_pooled(ground: Ground) -> None:
    league(ground)
    changed(ground, "Tarn", (28, 50), (60, 100))
    changed(ground, "Brix", (40, 60), (75, 100))

    answer = ground.ask("switches")

    for part in ("pooled", "without_noticed"):
        (row,) = answer.part(part).rows()
        assert (row["players"], row["odds_ratio"]) == (2, None)
        assert row["why"] == "fewer than 3 players changed: no pooled effect"
    assert "a rise is shown for nobody" in answer.headline


def test_those_who_tried_and_went_back_are_counted_in_the_sentence(ground: Ground) -> None:
    four(ground)
    for player in ("Ulm", "Vey"):
        spell(ground, player, 15, 20, "straight", games=4)
        spell(ground, player, 3, 5, "board", day=4, games=1)
        spell(ground, player, 15, 20, "straight", day=5, games=4)
    # One who was not watched any more after the few times.
    spell(ground, "Zorn", 15, 20, "straight", games=4)
    spell(ground, "Zorn", 3, 5, "board", day=4, games=1)

    answer = ground.ask("switches")

    tried = by_player(answer, "tried")
    assert tried["Ulm"] == {
        "player": "Ulm", "focus_tags": 5, "made": 3, "first": "2024-11-05",
        "last": "2024-11-05", "went_back": True, "league": "Halma League", "tagged": 45,
    }  # fmt: skip
    assert tried["Zorn"]["went_back"] is False
    assert set(tried) == {"Ulm", "Vey", "Zorn"}
    assert answer.headline.endswith(
        "2 others tried it fewer than 10 times and went back; they are not in this figure."
    )
    assert not any("seen doing it once" in note for note in answer.notes)


def test_nine_times_are_a_try_even_within_a_possible_change_and_ten_are_not(ground: Ground) -> None:
    for player, board in (("Ulm", 9), ("Vey", 10)):
        spell(ground, player, 15, 20, "straight", games=3)
        spell(ground, player, board, board, "board", day=3, games=2)
        spell(ground, player, 15, 20, "straight", day=5, games=2)

    answer = ground.ask("switches")

    found = {row["player"]: row["finding"] for row in answer.main.rows()}
    assert found == {"Ulm": "possible", "Vey": "possible"}
    assert set(by_player(answer, "tried")) == {"Ulm"}


def test_one_who_was_seen_doing_it_once_may_have_been_misread(ground: Ground) -> None:
    spell(ground, "Ulm", 15, 20, "straight", games=4)
    spell(ground, "Ulm", 1, 1, "board", day=4, games=1)
    spell(ground, "Ulm", 15, 20, "straight", day=5, games=4)

    notes = ground.ask("switches").notes

    assert "1 player tried it fewer than 10 times and went back." in notes
    assert (
        "Of those who went back 1 was seen doing it once: a tag that was misread looks the same."
        in notes
    )


def test_only_the_first_change_to_the_technique_is_pooled(ground: Ground) -> None:
    four(ground)
    before = ground.ask("switches").part("pooled").rows()
    spell(ground, "Tarn", 36, 48, "straight", day=13, games=6)
    spell(ground, "Tarn", 48, 48, "board", day=19, games=6)
    changed(ground, "Stop", (38, 50), (60, 100), techniques=("board", "straight"))

    answer = ground.ask("switches")

    tarn = [r for r in answer.main.rows() if r["player"] == "Tarn"]
    assert [r["direction"] for r in tarn] == ["to_focus", "to_focus", "from_focus"]
    (pooled,) = answer.part("pooled").rows()
    assert pooled["players"] == before[0]["players"]
    # But for the level, which lost his later after sides, nothing moved.
    assert pooled["odds_ratio"] == pytest.approx(before[0]["odds_ratio"], abs=0.03)


# -- a change somebody declares -----------------------------------------------------------------


def test_a_declared_change_needs_no_watched_attempt(ground: Ground) -> None:
    league(ground)
    spell(ground, "Tarn", 28, 50, None)
    spell(ground, "Tarn", 82, 100, None, day=5, games=8)

    answer = ground.ask("switches", declared="tarn: 2024-11-06")

    (row,) = answer.main.rows()
    assert (row["finding"], row["shape"], row["direction"]) == ("declared", "unclear", "to_focus")
    assert (row["date"], row["date_high"]) == ("2024-11-06", "2024-11-06")
    assert (row["attempts_before"], row["attempts_after"], row["left_out"]) == (50, 100, 0)
    assert row["log_evidence"] is row["shuffle_p"] is row["share_before"] is None
    assert row["claim"] is True
    assert answer.headline.startswith(
        "Tarn is said to have changed to shooting off the backboard by 2024-11-06 and made 82 of "
        "100; unchanged we would expect"
    )
    assert answer.notes.count(
        "A declared change was not looked for: its day is the first game from what somebody said."
    )


def test_a_declared_day_between_games_is_not_quoted_as_another_day(ground: Ground) -> None:
    league(ground)
    spell(ground, "Tarn", 28, 50, None)
    spell(ground, "Tarn", 82, 100, None, day=15, games=8)

    answer = ground.ask("switches", declared="tarn: 2024-11-09")

    assert answer.main.rows()[0]["date"] == "2024-11-16"
    assert " by 2024-11-16 and made 82 of " in answer.headline


def test_a_declared_day_takes_the_place_of_what_would_be_found(ground: Ground) -> None:
    league(ground)
    changed(ground, "Tarn", (28, 50), (82, 100))

    (row,) = ground.ask("switches", declared="Tarn:2024-11-03").main.rows()

    assert (row["finding"], row["attempts_before"]) == ("declared", 20)


def test_a_declared_day_behind_all_games_is_a_row_that_is_not_judged(ground: Ground) -> None:
    league(ground)
    spell(ground, "Tarn", 28, 50, "straight")

    (row,) = ground.ask("switches", declared="Tarn:2025-01-31").main.rows()

    assert row["gain_why"] == "0 attempts since the change: not judged before 10"
    assert row["date"] is row["date_high"] is None
    assert row["date_why"] == "no game follows it"


def test_a_declared_day_before_all_games_is_a_row_that_is_not_judged(ground: Ground) -> None:
    league(ground)
    spell(ground, "Tarn", 28, 50, "straight")

    (row,) = ground.ask("switches", declared="Tarn:2024-10-01").main.rows()

    assert row["gain_why"] == "0 attempts before the change: not judged below 10"
    assert row["date_low"] is None


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Tarn", "--declared 'Tarn': write PLAYER:DATE, the date as 2024-01-31"),
        ("Tarn:31.1.2024", "write PLAYER:DATE"),
        (":2024-11-06", "write PLAYER:DATE"),
        ("Tarn:2024-11-06;Tarn:2024-11-07", "--declared: Tarn stands there twice"),
        ("Nobody:2024-11-06", "no player 'Nobody'"),
        ("Far:2024-11-06", "--declared: Far has no attempt here: change the filters"),
        ("Twin:2024-11-06", "--declared: Twin is more than one player here"),
    ],
)
def test_a_declared_change_that_cannot_be_read_says_so(
    ground: Ground, text: str, said: str
) -> None:
    spell(ground, "Tarn", 28, 50, "straight")
    spell(ground, "Far", 8, 10, "straight", season="2023-24")
    for where in ("Halma League", "Quern Cup"):
        spell(ground, "Twin", 8, 10, "straight", league=where)

    with pytest.raises(UseError) as caught:
        ground.ask("switches", declared=text, season="2024-25")

    assert said in str(caught.value)


def test_another_focus_finds_another_change(ground: Ground) -> None:
    league(ground)
    changed(ground, "Tarn", (28, 50), (82, 100), techniques=("board", "underhand"))

    to = row_of(ground, focus=("underhand",))
    back = row_of(ground)

    assert (to["direction"], back["direction"]) == ("to_focus", "from_focus")
    assert to["gain"] == back["gain"]


def test_how_far_it_is_goes_from_nothing_to_all(ground: Ground) -> None:
    from ledger.cohort import Cohort
    from ledger.questions import registry

    four(ground)
    told: list[float] = []

    registry.answer("switches", ground.con, Cohort.of(), progress=told.append)

    assert told[0] == 0.0
    assert told[-1] == 1.0
    assert told == sorted(told)
    assert len(told) > 5


# -- the sentence on one player ------------------------------------------------------------------


def test_who_stopped_is_not_said_to_shoot_so_still(ground: Ground) -> None:
    league(ground)
    spell(ground, "Tarn", 30, 40, "straight")
    spell(ground, "Tarn", 33, 44, "board", day=5, games=6)
    spell(ground, "Tarn", 36, 48, "straight", day=11, games=6)

    headline = ground.ask("switches", player="Tarn").headline

    assert headline.startswith(
        "Tarn shot off the backboard from 2024-11-06 until 2024-11-12 and made 33 of 44 that "
        "season; unchanged we would expect "
    )


def test_makes_of_the_season_he_changed_in_are_not_said_to_be_all_since(ground: Ground) -> None:
    for season in ("2023-24", "2024-25"):
        league(ground, season=season)
    spell(ground, "Tarn", 30, 40, "straight", season="2023-24")
    spell(ground, "Tarn", 33, 44, "board", day=5, games=6, season="2023-24")
    spell(ground, "Tarn", 20, 40, None, games=6)

    headline = ground.ask("switches", player="Tarn").headline

    assert "since 2023-11-06 and made 33 of 44 that season; unchanged" in headline


def test_a_bad_start_larger_than_the_raw_rise_is_not_called_a_part_of_it(ground: Ground) -> None:
    league(ground)
    changed(ground, "Tarn", (22, 49), (29, 62))

    answer = ground.ask("switches", player="Tarn")

    (row,) = answer.main.rows()
    assert row["bad_start_points"] > 100 * row["raw_gain"] > 0.5
    assert "; his bad start explains more than the raw 2; a rise is not shown" in answer.headline


def test_who_changed_twice_is_one_of_the_players_pooled(ground: Ground) -> None:
    league(ground)
    for name in ("Tarn", "Oselo"):
        changed(ground, name, (28, 50), (70, 100))
    for way, day in (("straight", 0), ("board", 6), ("straight", 12), ("board", 18)):
        spell(ground, "Brim", 30, 42, way, day=day, games=6)

    answer = ground.ask("switches")

    twice = [row["direction"] for row in answer.main.rows() if row["player"] == "Brim"]
    assert twice.count("to_focus") == 2
    assert answer.headline.startswith("Three players changed to shooting off the backboard; over ")


@pytest.mark.parametrize(
    "question", ["switches", "player", "misses", "watchlist", "adopters", "uptake", "ranking"]
)
def test_tags_of_others_that_were_picked_are_no_remark_on_a_player(
    ground: Ground, question: str
) -> None:
    # So many are watched fairly that his tags do not spoil those of the whole league-season.
    for name in ("Tarn", *(f"P{i:02}" for i in range(10))):
        spell(ground, name, 60, 80, "straight", tagged=40)
    ground.shots("Oselo", 75, 100, tags={"board": (7, 15)})

    his, others = (ground.ask(question, player=name).notes for name in ("Tarn", "Oselo"))

    assert not any("picked by" in note for note in his)
    assert any("picked by" in note for note in others)
