from __future__ import annotations

from math import ceil
from typing import Any

import pytest

from ledger.errors import UseError
from ledger.questions.answer import Answer
from ledger.stats.before_after import Before, attempts_needed
from ledger.stats.pooled_change import predicted
from ledger.stats.practice_needed import sessions_needed
from tests.questions.ground import Ground, by_player

CHANGED = {
    "Arn": ((28, 50), (82, 100)),
    "Bel": ((40, 60), (75, 100)),
    "Cor": ((33, 50), (60, 80)),
}
FAR = "Ostmark"


def changer(ground: Ground, name: str, *, league: str = "Halma League") -> None:
    """Two in five of his attempts are watched: straight in five games, then off the backboard."""
    (k, n), (m, o) = CHANGED[name]
    straight = (k * 2 // 5, (n - k) * 2 // 5)
    ground.shots(name, k, n, league=league, tags={"straight": straight}, games=5)
    board = (m * 2 // 5, (o - m) * 2 // 5)
    ground.shots(name, m, o, league=league, tags={"board": board}, games=5, first_day=40)


def filled(ground: Ground, changers: int = 3) -> None:
    """Two seasons of a league, some who changed, and three players on a list."""
    for season in ("2023-24", "2024-25"):
        for i in range(12):
            ground.shots(f"P{i:02}", 45 + 2 * i, 80, season=season)
    for name in list(CHANGED)[:changers]:
        changer(ground, name)
    ground.shots("Oselo", 55, 90, season="2023-24")
    ground.shots("Oselo", 60, 110, games=6)
    ground.shots("Tarn", 8, 12)
    ground.shots("Brim", 60, 80, tags={"board": (30, 10)})
    ground.shortlist("spring", ["Oselo", "Tarn", "Brim"])


def rows_of(ground: Ground, **asked: Any) -> dict[str, dict[str, Any]]:
    return by_player(ground.ask("candidates", list="spring", **asked))


def noted(answer: Answer, start: str) -> list[str]:
    return [note for note in answer.notes if note.startswith(start)]


def test_points_in_ten_games_are_the_gain_times_what_he_shoots_in_ten_games(
    ground: Ground,
) -> None:
    filled(ground)

    row, does = rows_of(ground)["Oselo"], rows_of(ground)["Brim"]

    # By hand: 90 attempts in 4 games and 110 in 6 are 200 in ten.
    found = [row["points_ten_games"], row["ten_games_low"], row["ten_games_high"]]
    gains = [row["predicted_gain"], row["predicted_low"], row["predicted_high"]]
    assert found == pytest.approx([200 * gain for gain in gains])
    assert (does["points_ten_games"], does["ten_games_why"]) == (None, does["why"])


def test_a_gain_is_that_of_those_who_changed_carried_to_his_own_rate(ground: Ground) -> None:
    from ledger.cohort import Cohort
    from ledger.questions.inquiry import Inquiry
    from ledger.questions.registry import find
    from ledger.questions.switches import changes

    filled(ground)
    row = rows_of(ground)["Oselo"]
    rank = by_player(ground.ask("ranking", player="Oselo"))["Oselo"]
    inquiry = Inquiry.of(ground.reads, find("switches"), Cohort(), (), {"seed": 1}, "t")
    pool = changes(inquiry).pools.unnoticed
    assert pool is not None
    assert pool.found is not None

    # The rate is that of the ranking; its Beta is got back from the two seasons' levels.
    assert (row["made"], row["attempts"]) == (115, 200)
    assert row["shrunken_rate"] == pytest.approx(rank["shrunken_rate"])
    assert (row["low"], row["high"]) == pytest.approx((rank["low"], rank["high"]))
    levels = ground.ask("candidates", list="spring").part("prior").rows()
    weights = [(level["a"] + level["b"], n) for level, n in zip(levels, (90, 110), strict=True)]
    weight = sum(w * n for w, n in weights) / 200
    size = weight + 200
    a = row["shrunken_rate"] * size
    # Weighted by attempts, as one talent over two seasons is.
    expected = predicted(a, size - a, pool.found)
    found = [row[n] for n in ("predicted_gain", "predicted_low", "predicted_high")]
    assert found == pytest.approx([expected.mean, expected.low, expected.high], abs=1e-9)
    assert (row["low_80"], row["high_80"]) == pytest.approx((expected.low_80, expected.high_80))
    assert row["chance_of_gain"] == pytest.approx(pool.found.new_chance)


def test_points_are_the_gain_times_attempts_of_a_season(ground: Ground) -> None:
    filled(ground)
    row, typed = rows_of(ground)["Oselo"], rows_of(ground, attempts=240)["Oselo"]

    assert row["attempts_per_season"] == 100
    for points, gain in (
        ("points_per_season", "predicted_gain"),
        ("points_low", "predicted_low"),
        ("points_high", "predicted_high"),
        ("points_low_80", "low_80"),
        ("points_high_80", "high_80"),
    ):
        assert row[points] == pytest.approx(100 * row[gain])
        assert typed[points] == pytest.approx(240 * row[gain])
    assert typed["attempts_per_season"] == 240
    answer = ground.ask("candidates", list="spring", attempts=240)
    assert "Attempts of a season typed: 240." in answer.notes


def test_attempts_of_a_season_are_the_mean_of_the_last_three(ground: Ground) -> None:
    filled(ground)
    for season, many in (("2020-21", 10), ("2021-22", 40)):
        ground.shots("Oselo", many // 2, many, season=season)

    assert rows_of(ground)["Oselo"]["attempts_per_season"] == pytest.approx((40 + 90 + 110) / 3)


def test_who_shoots_so_already_is_refused(ground: Ground) -> None:
    filled(ground)
    ground.shortlist("more", ["Arn", "Brim"])
    rows = by_player(ground.ask("candidates", list="more"))

    assert rows["Brim"]["why"] == "already shoots so"
    assert rows["Brim"]["state"] == "adopter"
    assert rows["Arn"]["why"].startswith("already shoots so: changed on 2024-12-")
    for row in rows.values():
        assert row["predicted_gain"] is None
        assert row["points_per_season"] is None
        assert row["games_needed_why"] == row["practice_needed_why"] == row["why"]
    headline = ground.ask("candidates", list="more").headline
    assert headline == "All 2 on the list already shoot off the backboard: nobody to try it."


def test_few_attempts_of_his_own_are_marked(ground: Ground) -> None:
    filled(ground)
    answer = ground.ask("candidates", list="spring")
    row = by_player(answer)["Tarn"]

    assert row["predicted_gain"] is not None
    assert row["why"] == "mostly the league level: 12 attempts of his own"
    assert "Mostly the league level (fewer than 20 attempts): Tarn." in answer.notes
    assert by_player(answer)["Oselo"]["why"] is None


@pytest.mark.parametrize(
    ("changers", "said"), [(0, "Nobody changed"), (1, "One player changed"), (2, "Two players")]
)
def test_below_three_who_changed_nothing_is_predicted(
    ground: Ground, changers: int, said: str
) -> None:
    filled(ground, changers)
    answer = ground.ask("candidates", list="spring")
    row = by_player(answer)["Oselo"]

    assert answer.headline.startswith(said)
    assert answer.headline.endswith(
        ": no prediction. Type --gain 5 for the points of a gain you assume."
    )
    assert row["why"] == "fewer than 3 switchers: no prediction"
    assert row["predicted_gain"] is row["points_per_season"] is row["practice_needed"] is None
    assert row["shrunken_rate"] is not None


def test_an_assumed_gain_gives_points_without_anybody_who_changed(ground: Ground) -> None:
    filled(ground, 2)
    answer = ground.ask("candidates", list="spring", gain="5, 8")
    assumed = answer.part("assumed").rows()

    assert answer.headline == (
        "Two players changed: no prediction. If Oselo gained 5 per 100: 5.0 points over 100 "
        "attempts."
    )
    told = [(r["player"], r["gain"], r["points_per_season"], r["why"]) for r in assumed]
    assert told == [
        ("Oselo", 0.05, pytest.approx(5), None),
        ("Oselo", 0.08, pytest.approx(8), None),
        ("Tarn", 0.05, pytest.approx(0.6), None),
        ("Tarn", 0.08, pytest.approx(0.96), None),
        ("Brim", 0.05, None, "already shoots so"),
        ("Brim", 0.08, None, "already shoots so"),
    ]
    assert by_player(answer)["Oselo"]["practice_needed"] == 50 * (
        sessions_needed(by_player(answer)["Oselo"]["shrunken_rate"], 0.05) or 0
    )


def test_games_and_practice_needed_follow_the_methods(ground: Ground) -> None:
    filled(ground)
    row = rows_of(ground, gain="20")["Oselo"]
    levels = ground.ask("candidates", list="spring").part("prior").rows()
    size = 200 + sum((v["a"] + v["b"]) * n / 200 for v, n in zip(levels, (90, 110), strict=True))
    before = Before(row["shrunken_rate"] * size, (1 - row["shrunken_rate"]) * size)
    attempts = attempts_needed(before, 0.20)
    assert attempts is not None

    # 200 attempts in ten games.
    assert row["games_needed"] == ceil(attempts * 10 / 200)
    assert row["practice_needed"] == 50 * (sessions_needed(before.rate, 0.20) or 0)
    small = rows_of(ground, gain="2")["Oselo"]
    assert small["games_needed_why"].startswith("no number of attempts would show it")
    assert small["practice_needed_why"] == "more than 3,000 attempts each way"
    wide = rows_of(ground, gain="60")["Oselo"]
    assert wide["practice_needed_why"] == "such a gain would leave the range from 0 to 100 %"


def test_the_filters_pick_who_changed_and_not_his_own_attempts(ground: Ground) -> None:
    filled(ground)
    every = rows_of(ground)["Oselo"]
    answer = ground.ask("candidates", list="spring", season="2023-24")
    early = by_player(answer)["Oselo"]

    assert early["why"] == "fewer than 3 switchers: no prediction"
    assert (early["made"], early["attempts"]) == (every["made"], every["attempts"])
    assert early["shrunken_rate"] == pytest.approx(every["shrunken_rate"])
    assert answer.cohort == "The list spring; changes from: Free throws in all leagues, 2023-24"
    assert answer.asked["list"] == ["spring"]
    assert answer.asked["season"] == ["2023-24"]


def test_a_list_of_another_league_is_told_from_this_one_and_says_so(ground: Ground) -> None:
    filled(ground)
    for i in range(12):
        ground.shots(f"Q{i:02}", 40 + 2 * i, 80, league=FAR, team="Odde")
    ground.shortlist("far", ["Q03"], league=FAR)
    answer = ground.ask("candidates", list=["far", "spring"], league="Halma League")
    rows = by_player(answer)

    assert rows["Q03"]["predicted_gain"] is not None
    assert rows["Q03"]["attempts"] == 80
    assert noted(answer, "No switcher comes") == [
        "No switcher comes from the league of Q03 (Ostmark): whether the effect carries over is "
        "not known."
    ]
    assert not noted(ground.ask("candidates", list="spring"), "No switcher comes")


def test_a_small_league_takes_a_typed_level(ground: Ground) -> None:
    filled(ground)
    ground.shots("Far", 60, 80, league=FAR, team="Odde")
    ground.shortlist("far", ["Far"], league=FAR)

    without = by_player(ground.ask("candidates", list="far"))["Far"]
    answer = ground.ask("candidates", list=["far", "spring"], level=0.7, level_weight=20)
    rows = by_player(answer)

    assert without["why"] == (
        "Ostmark 2024-25 has fewer than 8 players: type --level and --level-weight"
    )
    assert without["shrunken_rate"] is without["predicted_gain"] is None
    assert rows["Far"]["shrunken_rate"] == pytest.approx((0.7 * 20 + 60) / (20 + 80))
    assert rows["Far"]["predicted_gain"] is not None
    (level,) = [r for r in answer.part("prior").rows() if r["league"] == FAR]
    assert (level["a"], level["b"], level["a_why"]) == (
        pytest.approx(14),
        pytest.approx(6),
        "typed",
    )
    # A league with a level of its own keeps it.
    kept = rows_of(ground)["Oselo"]["shrunken_rate"]
    assert rows["Oselo"]["shrunken_rate"] == pytest.approx(kept)
    assert noted(answer, "Level typed") == [
        "Level typed: 70 %, weighing 20 attempts, for Ostmark 2024-25 (fewer than 8 players)."
    ]


def test_practice_enters_neither_rate_nor_points(ground: Ground) -> None:
    filled(ground)
    before = ground.ask("candidates", list="spring")
    ground.shots("Oselo", 100, 100, stage="practice", first_day=90)
    ground.shots("Arn", 0, 60, stage="practice", first_day=20, tags={"straight": (0, 30)})

    for asked in ({}, {"stage": ["regular", "practice"]}):
        after = ground.ask("candidates", list="spring", **asked)
        assert after.frame.equals(before.frame)
    refused = ground.ask("candidates", list="spring", stage="practice")
    assert refused.headline == "Changes are looked for in games: leave out --stage practice."


def test_the_noticed_player_is_not_carried_over(ground: Ground) -> None:
    filled(ground)
    ground.rumour(player="Arn")
    answer = ground.ask("candidates", list="spring")

    assert answer.headline.startswith(
        "Two players changed beside Arn, whom the rumour named: no prediction."
    )


def test_a_season_of_the_technique_he_has_given_up_is_left_out(ground: Ground) -> None:
    filled(ground)
    ground.shots("Dov", 20, 60, season="2023-24", tags={"board": (10, 20)})
    ground.shots("Dov", 50, 60, tags={"straight": (25, 5)})
    ground.shortlist("back", ["Dov"])
    answer = ground.ask("candidates", list="back")
    row = by_player(answer)["Dov"]

    assert (row["made"], row["attempts"], row["state"]) == (50, 60, "not")
    assert row["attempts_per_season"] == 60
    assert noted(answer, "1 player-season shot off the backboard left out")


def test_facts_stand_beside_him_with_what_they_rest_on(ground: Ground) -> None:
    filled(ground)
    ground.shots("Sel", 6, 16, games=1)
    ground.shortlist("one", ["Sel"])
    (first,) = ground.con.execute("SELECT max(id) - 15 FROM attempt").fetchone() or (0,)
    depths = ["long", "long", "short", "level"]
    for place, depth in enumerate(depths):
        ground.tag(
            first + 6 + place, "straight", miss_depth=depth, miss_side="left", first_contact="ring"
        )
    # Seen only because it missed: it counts for the depth, not for what was touched first.
    ground.tag(
        first + 12, "straight", picked_for="result", miss_depth="long", first_contact="board"
    )
    # A make has no depth; a tag of another person who saw it otherwise settles nothing.
    ground.tag(first, "straight", miss_depth="long", first_contact="board")
    ground.tag(first + 13, "straight", miss_depth="long")
    ground.tag(first + 13, "straight", miss_depth="short", tagger="Bo")
    ground.con.execute(
        "UPDATE player SET height_cm = 201, mass_kg = 95, hand = 'left' WHERE name = 'Sel'"
    )
    ground.con.execute("UPDATE attempt SET trip_of = 3 WHERE id = ?", [first + 1])
    row = by_player(ground.ask("candidates", list="one"))["Sel"]

    assert row["misses_seen"] == 5
    assert (row["long_share"], row["short_share"]) == pytest.approx((3 / 5, 1 / 5))
    assert (row["sides_seen"], row["left_share"], row["right_share"]) == (4, 1.0, 0.0)
    assert (row["contacts_seen"], row["board_contact_share"]) == (5, pytest.approx(1 / 5))
    assert (row["height_cm"], row["mass_kg"], row["hand"]) == (201, 95, "left")
    assert (row["two_shot_trips"], row["three_shot_trips"]) == (15, 1)
    assert row["facts_why"] is None
    other = rows_of(ground)["Oselo"]
    assert other["long_share"] is other["board_contact_share"] is None
    assert other["facts_why"].startswith("depth of no miss seen")


def test_the_order_is_the_one_asked_for(ground: Ground) -> None:
    filled(ground)
    ground.con.execute("UPDATE player SET height_cm = 180 WHERE name = 'Oselo'")
    ground.con.execute("UPDATE player SET height_cm = 210 WHERE name = 'Tarn'")

    def order(by: str) -> list[str]:
        return [r["player"] for r in ground.ask("candidates", list="spring", order=by).main.rows()]

    assert order("mean") == ["Oselo", "Tarn", "Brim"]
    assert order("low") == ["Tarn", "Oselo", "Brim"]
    assert order("height") == ["Tarn", "Oselo", "Brim"]
    assert order("attempts-per-season") == ["Oselo", "Brim", "Tarn"]


def test_rebounds_are_taken_off_where_both_halves_are_typed(ground: Ground) -> None:
    filled(ground)
    ground.con.execute("UPDATE attempt SET trip_shot = 2 WHERE id % 2 = 0")
    row = rows_of(ground, offensive_rebound=0.2, per_possession=1.1)["Oselo"]

    # Every second attempt is the last of two.
    factor = 1 - 0.5 * 0.2 * 1.1
    assert row["points_with_rebounds"] == pytest.approx(row["points_per_season"] * factor)
    assert rows_of(ground)["Oselo"]["points_with_rebounds_why"] is not None
    with pytest.raises(UseError, match="type both --offensive-rebound and --per-possession"):
        rows_of(ground, per_possession=1.1)


def test_without_a_list_it_says_which_there_are(ground: Ground) -> None:
    assert ground.ask("candidates").headline == (
        "There is no list yet: type offglass list NAME add PLAYER, then ask with --list NAME."
    )
    filled(ground)
    ground.shortlist("empty", [])

    assert ground.ask("candidates").headline == (
        "Whose? Type --list NAME; the ledger has empty, spring."
    )
    assert ground.ask("candidates", list="empty").headline == (
        "Nobody stands on the list empty: type offglass list NAME add PLAYER."
    )
    with pytest.raises(UseError, match="did you mean spring"):
        ground.ask("candidates", list="sprng")


def test_a_lot_is_a_list_too_and_somebody_without_attempts_is_named(ground: Ground) -> None:
    filled(ground)
    ground.player("Nobody")
    ground.lot("drawn", ["Oselo", "Nobody"], ["Oselo", "Nobody", "P01"])
    rows = by_player(ground.ask("candidates", list="drawn"))

    assert set(rows) == {"Oselo", "Nobody"}
    assert rows["Nobody"]["why"] == "no attempt of his in the ledger"


def test_who_was_taken_off_the_list_is_not_on_it(ground: Ground) -> None:
    filled(ground)
    ground.con.execute(
        "UPDATE shortlist_entry SET dropped = at_time WHERE player_id = ?", [ground.player("Tarn")]
    )

    assert set(rows_of(ground)) == {"Oselo", "Brim"}


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"gain": "much"}, "--gain takes makes per 100"),
        ({"gain": "5,"}, "--gain takes makes per 100"),
        ({"gain": "nan"}, "--gain takes makes per 100"),
        ({"gain": "0"}, "--gain takes makes per 100"),
        ({"gain": "101"}, "--gain takes makes per 100"),
        ({"level": 70}, "--level takes a number from 0.01 to 0.99, not 70"),
        ({"level": "nan"}, "--level takes a number from 0.01 to 0.99, not 'nan'"),
        ({"attempts": "inf"}, "--attempts takes a number from 1, not 'inf'"),
        ({"per_possession": 11}, "--per-possession takes a number from 0.1 to 3, not 11"),
        ({"order": "luck"}, "--order takes mean, low"),
    ],
)
def test_what_cannot_be_is_refused(ground: Ground, asked: dict[str, Any], said: str) -> None:
    with pytest.raises(UseError) as refused:
        ground.ask("candidates", list="spring", **asked)

    assert refused.value.message.startswith(said)


def test_every_figure_that_is_missing_has_a_reason(ground: Ground) -> None:
    filled(ground)
    ground.shots("Far", 60, 80, league=FAR, team="Odde")
    ground.shortlist("far", ["Far"], league=FAR)

    for row in ground.ask("candidates", list=["far", "spring"]).main.rows():
        assert (row["predicted_gain"] is None) <= bool(row["why"])
        assert (row["games_needed"] is None) == bool(row["games_needed_why"])
        assert (row["practice_needed"] is None) == bool(row["practice_needed_why"])
        assert (row["state"] is None) == bool(row["state_why"])


def test_the_headline_reads_out_gain_points_and_what_is_not_ruled_out(ground: Ground) -> None:
    filled(ground)
    answer = ground.ask("candidates", list="spring")
    row = by_player(answer)["Oselo"]
    low, high = (round(100 * row[name]) for name in ("predicted_low", "predicted_high"))

    assert low < 0 < high
    assert answer.headline == (
        f"Oselo: about +{100 * row['predicted_gain']:.0f} makes per 100 (−{-low} to +{high}), "
        f"{row['points_per_season']:.0f} points a season (−{-row['points_low']:.0f} to "
        f"{row['points_high']:.0f}); a loss is not ruled out."
    )


def test_attempts_picked_by_result_tell_no_share_of_contacts(ground: Ground) -> None:
    ground.shots("Brim", 75, 100, tags={"board": (7, 15)})
    ground.con.execute("UPDATE tag SET first_contact = 'board'")
    filled(ground)
    ground.shortlist("picked", ["Brim"])

    row = by_player(ground.ask("candidates", list="picked"))["Brim"]

    assert row["state"] is None
    assert (row["contacts_seen"], row["board_contact_share"]) == (22, None)
    assert row["facts_why"].endswith("picked by result: no share of contacts")
