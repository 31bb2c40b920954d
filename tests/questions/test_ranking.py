from __future__ import annotations

from typing import Any

import pytest

from tests.questions.ground import Ground, by_player

# Eight shooters and what comes of them: computed check of the method's page, not published
# (mean 0.76375, a+b 35.13, 5 of 5 becomes 0.7932 and 88 of 100 0.8498).
EIGHT = {
    "Tarn": (88, 100), "Oselo": (140, 180), "Brim": (45, 60), "Calo": (61, 90),
    "Dovi": (12, 14), "Esta": (203, 260), "Fenn": (30, 50), "Gobi": (5, 5),
}  # fmt: skip


def eight(ground: Ground, **more: Any) -> None:
    for player, (made, attempts) in EIGHT.items():
        ground.shots(player, made, attempts, **more)


def test_a_short_record_is_drawn_to_the_common_level_more_than_a_long_one(ground: Ground) -> None:
    eight(ground)

    answer = ground.ask("ranking", min_attempts=1)

    prior = answer.more["prior"].row(0, named=True)
    rows = by_player(answer)
    assert prior["mean"] == pytest.approx(0.76375, abs=1e-4)
    assert prior["a"] + prior["b"] == pytest.approx(35.13, abs=0.05)
    assert prior["rows"] == 8
    assert rows["Gobi"]["shrunken_rate"] == pytest.approx(0.7932, abs=5e-4)
    assert rows["Tarn"]["shrunken_rate"] == pytest.approx(0.8498, abs=5e-4)
    assert rows["Tarn"]["rank"] == 1 < rows["Gobi"]["rank"]
    assert rows["Gobi"]["raw_rate"] == 1.0
    assert any("partly assumed" in note for note in answer.notes)


@pytest.mark.parametrize(
    "narrow",
    [
        {"team": "Skerry"},
        {"player": ["Tarn", "Gobi"]},
        {"position": "guard"},
        {"list": "spring"},
        {"technique": "board"},
        {"source": 2},
        {"min_attempts": 150},
        {"period": 1, "min_attempts": 1},
    ],
)
def test_nothing_but_shot_stage_and_days_narrows_the_common_level(
    ground: Ground, narrow: dict[str, Any]
) -> None:
    eight(ground, team="Fenholt")
    ground.shots("Hulo", 15, 20, position="guard", tags={"board": (3, 1)}, source=2)
    ground.con.execute("INSERT INTO sighting SELECT source_id, 1, id, 'stored', NULL FROM attempt")
    ground.shortlist("spring", ["Tarn"])
    whole = ground.ask("ranking").more["prior"]

    narrowed = ground.ask("ranking", **narrow).more["prior"]

    assert narrowed.rows() == whole.rows()


def test_days_and_stage_do_narrow_the_common_level(ground: Ground) -> None:
    eight(ground)
    eight(ground, stage="cup", first_day=100)

    whole = ground.ask("ranking").more["prior"]["a"].item()
    part = ground.ask("ranking", stage="cup").more["prior"]["a"].item()
    early = ground.ask("ranking", to="2024-12-31").more["prior"]["a"].item()

    assert part == early != whole


def test_a_player_of_several_seasons_is_one_row_with_one_talent(ground: Ground) -> None:
    eight(ground, season="2023-24")
    eight(ground)
    ground.shots("Hulo", 40, 50, season="2023-24")
    ground.shots("Hulo", 10, 20, season="2024-25", team="Fenholt")

    answer = ground.ask("ranking", min_attempts=1)

    row = by_player(answer)["Hulo"]
    first, last = answer.more["prior"].sort("season").iter_rows(named=True)
    # m = Σ n_s m_s / N, c = Σ n_s c_s / N, mean of Beta(cm + Σk, c(1-m) + N - Σk)
    c1, c2 = first["a"] + first["b"], last["a"] + last["b"]
    m = (50 * first["mean"] + 20 * last["mean"]) / 70
    c = (50 * c1 + 20 * c2) / 70
    assert row["shrunken_rate"] == pytest.approx((c * m + 50) / (c + 70), abs=1e-12)
    assert (row["season"], row["team"]) == ("2023-24, 2024-25", "Skerry, Fenholt")
    assert (row["made"], row["attempts"]) == (50, 70)


def test_fewer_than_eight_rows_give_raw_rates_and_no_order(ground: Ground) -> None:
    for player, (made, attempts) in list(EIGHT.items())[:6]:
        ground.shots(player, made, attempts)

    answer = ground.ask("ranking", min_attempts=1)

    assert answer.headline == ("6 rows: raw rates only; import the league's totals for an order.")
    rows = answer.frame.rows(named=True)
    assert [r["player"] for r in rows] == ["Esta", "Oselo", "Tarn", "Calo", "Brim", "Dovi"]
    assert all(r["rank"] is None and r["shrunken_rate"] is None for r in rows)
    assert all("fewer than 8 rows" in r["shrunken_rate_why"] for r in rows)
    assert rows[0]["raw_rate"] == 203 / 260


def test_fewer_than_eight_rows_can_still_be_ordered_by_raw_rate_on_request(ground: Ground) -> None:
    for player, (made, attempts) in list(EIGHT.items())[:6]:
        ground.shots(player, made, attempts)

    answer = ground.ask("ranking", min_attempts=50, order="raw")

    assert answer.frame["player"][0] == "Tarn"
    assert answer.frame["rank"].to_list() == [1, 2, 3, 4, 5]
    assert answer.headline.endswith("luck is not allowed for.")


def test_chances_of_the_top_sum_to_its_size(ground: Ground) -> None:
    eight(ground)

    answer = ground.ask("ranking", min_attempts=1, top=3)

    assert answer.frame["top_n_chance"].sum() == pytest.approx(3, abs=1e-3)
    assert answer.frame["expected_rank"].sum() == pytest.approx(36, abs=1e-2)


def test_chances_of_many_rows_are_drawn_with_a_seed_that_is_printed(ground: Ground) -> None:
    for i in range(60):
        ground.shots(f"P{i:02}", 30 + i % 20, 60, games=1)

    answer = ground.ask("ranking")
    other = ground.ask("ranking", seed=2)

    assert answer.frame["top_n_chance"].sum() == pytest.approx(10)
    assert any("seed 1" in note and "10,000 joint draws" in note for note in answer.notes)
    assert other.frame["top_n_chance"].to_list() != answer.frame["top_n_chance"].to_list()
    assert any("--seed 2 (usually 1)" in note for note in other.notes)


def test_a_top_that_holds_every_row_is_refused(ground: Ground) -> None:
    eight(ground)

    answer = ground.ask("ranking", min_attempts=1, top=8)

    assert answer.frame["top_n_chance"].null_count() == 8
    assert answer.frame["top_n_chance_why"][0] == "top 8 of 8 rows: every row would be in it"
    assert any("every row would be in it" in note for note in answer.notes)


def test_equal_values_share_a_rank_and_stand_by_attempts_then_name(ground: Ground) -> None:
    eight(ground)
    for player in ("Zelo", "Anok"):
        ground.shots(player, 130, 139)

    answer = ground.ask("ranking", min_attempts=1)

    first = answer.frame.head(3).select("rank", "rank_shown", "player").rows()
    assert first == [(1, "1=", "Anok"), (1, "1=", "Zelo"), (3, "3", "Tarn")]
    assert answer.headline.startswith("Anok and Zelo share the first place")


@pytest.mark.parametrize(
    ("order", "first"),
    [
        ("raw", "Gobi"),
        ("made", "Esta"),
        ("attempts", "Esta"),
        ("low", "Tarn"),
        ("shrunken", "Tarn"),
    ],
)
def test_the_order_is_the_one_asked_for(ground: Ground, order: str, first: str) -> None:
    eight(ground)

    answer = ground.ask("ranking", min_attempts=1, order=order)

    assert answer.frame["player"][0] == first
    assert answer.frame["rank"].to_list() == sorted(answer.frame["rank"].to_list())


def test_rows_below_the_floor_are_left_out_and_counted(ground: Ground) -> None:
    eight(ground)

    answer = ground.ask("ranking")

    assert set(answer.frame["player"]) == set(EIGHT) - {"Dovi", "Gobi"}
    assert answer.asked["min_attempts"] == 50
    assert any("2 players with fewer than 50 attempts" in note for note in answer.notes)


def test_a_changed_floor_is_printed(ground: Ground) -> None:
    eight(ground)

    answer = ground.ask("ranking", min_attempts=10)

    assert any("--min-attempts 10 (usually 50)" in note for note in answer.notes)


def test_practice_changes_nothing_but_the_note(ground: Ground) -> None:
    eight(ground)
    before = ground.ask("ranking", min_attempts=1)
    ground.shots("Tarn", 0, 40, stage="practice", tags={"board": (0, 20)})

    after = ground.ask("ranking", min_attempts=1)

    assert after.frame.rows() == before.frame.rows()
    assert after.more["prior"].rows() == before.more["prior"].rows()
    assert set(after.notes) - set(before.notes) == {"40 attempts of practice are left out."}
    assert ground.ask("ranking", stage=["regular", "practice"], min_attempts=1).frame.rows() == (
        before.frame.rows()
    )


def test_practice_alone_is_not_ranked(ground: Ground) -> None:
    ground.shots("Tarn", 20, 40, stage="practice")

    answer = ground.ask("ranking", stage="practice")

    assert answer.frame.is_empty()
    assert "not ranked" in answer.headline


@pytest.mark.parametrize("team", ["Skerry", None])
def test_season_totals_fill_only_what_games_do_not_hold(ground: Ground, team: str | None) -> None:
    ground.shots("Tarn", 110, 131)
    ground.total("Tarn", 117, 139, team=team)

    answer = ground.ask("ranking")

    row = answer.frame.row(0, named=True)
    assert (row["made"], row["attempts"], row["filled_attempts"]) == (117, 139, 8)
    assert row["team"] == "Skerry"
    assert any("Season totals fill in 8 attempts" in note for note in answer.notes)


@pytest.mark.parametrize(
    "total",
    [(100, 120), (109, 139), (125, 139)],
    ids=["fewer attempts", "fewer makes", "more makes than attempts are left"],
)
def test_a_total_that_does_not_fit_the_games_fills_nothing_and_is_reported(
    ground: Ground, total: tuple[int, int]
) -> None:
    ground.shots("Tarn", 110, 131)
    ground.total("Tarn", *total)

    answer = ground.ask("ranking")

    row = answer.frame.row(0, named=True)
    assert (row["made"], row["attempts"], row["filled_attempts"]) == (110, 131, 0)
    assert any("1 season total does not fit" in note for note in answer.notes)


def test_totals_by_team_and_for_the_season_are_never_added_up(ground: Ground) -> None:
    ground.shots("Tarn", 40, 50, team="Skerry")
    ground.total("Tarn", 45, 60, team="Skerry")
    ground.total("Tarn", 30, 40, team="Fenholt")
    ground.total("Tarn", 80, 110, team=None)

    row = ground.ask("ranking").frame.row(0, named=True)

    assert (row["made"], row["attempts"]) == (80, 110)


def test_totals_alone_are_enough_for_a_rate(ground: Ground) -> None:
    ground.total("Tarn", 80, 110)

    row = ground.ask("ranking").frame.row(0, named=True)

    assert (row["made"], row["attempts"], row["coverage"]) == (80, 110, 0.0)


def test_totals_fill_nothing_where_a_filter_looks_inside_the_season(ground: Ground) -> None:
    ground.shots("Tarn", 110, 131)
    ground.total("Tarn", 117, 139)

    row = ground.ask("ranking", **{"from": "2024-10-01"}).frame.row(0, named=True)

    assert row["attempts"] == 131


def test_the_state_is_that_of_the_latest_season_with_eight_tags(ground: Ground) -> None:
    ground.shots("Tarn", 60, 80, season="2022-23", tags={"straight": (12, 4)})
    ground.shots("Tarn", 60, 80, season="2023-24", tags={"board": (12, 4)})
    ground.shots("Tarn", 60, 80, season="2024-25", tags={"straight": (2, 1)})

    row = ground.ask("ranking").frame.row(0, named=True)

    assert (row["state"], row["focus_share"], row["state_season"]) == ("adopter", 1.0, "2023-24")
    assert (row["state_focus_tags"], row["state_tags"]) == (16, 16)
    earlier = ground.ask("ranking", season="2022-23").frame.row(0, named=True)
    assert (earlier["state"], earlier["focus_share"]) == ("not", 0.0)


def test_a_player_without_eight_tags_in_any_season_is_undecided_or_untagged(
    ground: Ground,
) -> None:
    ground.shots("Tarn", 60, 80, tags={"board": (5, 2)})
    ground.shots("Oselo", 60, 80)

    rows = by_player(ground.ask("ranking"))

    assert (rows["Tarn"]["state"], rows["Tarn"]["focus_share"]) == ("undecided", None)
    assert rows["Oselo"]["state"] == "untagged"


def test_a_state_filter_shows_rows_and_leaves_ranks_alone(ground: Ground) -> None:
    eight(ground)
    ground.shots("Hulo", 60, 100, tags={"board": (12, 8)})
    whole = by_player(ground.ask("ranking"))

    answer = ground.ask("ranking", state="adopter")

    assert answer.frame["player"].to_list() == ["Hulo"]
    assert answer.frame["rank"].to_list() == [whole["Hulo"]["rank"]]
    assert answer.frame["top_n_chance"].to_list() == [whole["Hulo"]["top_n_chance"]]
    assert "in place" in answer.headline


def test_rates_by_technique_are_refused_where_tags_were_picked_by_result(ground: Ground) -> None:
    ground.shots("Tarn", 75, 100, tags={"board": (5, 20)})
    ground.shots("Oselo", 75, 100, tags={"straight": (3, 18)})

    answer = ground.ask("ranking", technique="board", min_attempts=1)

    assert answer.frame.is_empty()
    assert "picked by their result" in answer.headline
    assert any("% of misses watched" in note for note in answer.notes)


def test_tags_declared_as_picked_by_result_enter_no_rate_by_technique(ground: Ground) -> None:
    ground.shots("Tarn", 75, 100, tags={"board": (15, 5)})
    ground.shots("Tarn", 0, 30, tags={"board": (0, 30)}, picked_for="result", first_day=40)

    row = ground.ask("ranking", technique="board", min_attempts=1).frame.row(0, named=True)

    assert (row["made"], row["attempts"]) == (15, 20)


def test_teams_are_drawn_to_the_level_of_the_teams(ground: Ground) -> None:
    for i in range(9):
        ground.shots(f"A{i}", 70 + i, 100, team=f"Team {i}")
        ground.shots(f"B{i}", 60, 80, team=f"Team {i}")

    answer = ground.ask("ranking", by="team")

    row = answer.frame.row(0, named=True)
    assert (row["team"], row["player"], row["attempts"]) == ("Team 8", None, 180)
    assert answer.more["prior"]["rows"].to_list() == [9]
    assert answer.frame["state"].null_count() == 9
    assert answer.headline.startswith("Team 8 (2024-25) is first")


def test_league_seasons_have_raw_rates_only(ground: Ground) -> None:
    eight(ground, season="2023-24")
    ground.shots("Tarn", 90, 100)

    answer = ground.ask("ranking", by="league-season")

    assert answer.frame["season"].to_list() == ["2024-25", "2023-24"]
    assert answer.frame["shrunken_rate"].null_count() == 2
    assert answer.more["prior"].is_empty()
    assert "luck is not allowed for" in answer.headline


def test_two_spellings_that_are_one_person_are_one_row(ground: Ground) -> None:
    ground.shots("Tarn", 40, 50)
    ground.shots("I. Tarn", 40, 50, first_day=30, season="2023-24", team="Fenholt")
    ground.same("Tarn", "I. Tarn")

    frame = ground.ask("ranking").frame

    assert frame.select("player", "attempts").rows() == [("Tarn", 100)]


def test_two_players_of_one_name_in_two_leagues_stay_two(ground: Ground) -> None:
    ground.shots("Tarn", 40, 50)
    ground.shots("Tarn", 45, 60, league="Drellin Liga")

    frame = ground.ask("ranking").frame

    assert sorted(frame["attempts"]) == [50, 60]


@pytest.mark.parametrize("by", ["list", "lot"])
def test_a_list_or_a_lot_shows_its_players_only(ground: Ground, by: str) -> None:
    eight(ground)
    if by == "list":
        ground.shortlist("spring", ["Tarn", "Brim"])
    else:
        ground.lot("spring", ["Tarn", "Brim"], EIGHT)

    answer = ground.ask("ranking", list="spring")

    assert set(answer.frame["player"]) == {"Tarn", "Brim"}


def test_a_removed_attempt_counts_nowhere(ground: Ground) -> None:
    ground.shots("Tarn", 40, 60)
    ground.con.execute("UPDATE attempt SET removed = true WHERE id <= 5")

    row = ground.ask("ranking", min_attempts=1).frame.row(0, named=True)

    assert (row["made"], row["attempts"]) == (35, 55)


HOSTILE = ["Kim [/red] [b", "=HYPERLINK(1)", "O'Neil; --", "a, b", "%s {x} $y", "이름", "‮evil"]


def test_hostile_names_pass_through_unharmed(ground: Ground) -> None:
    for i, name in enumerate(HOSTILE):
        ground.shots(name, 40 + i, 60, team=name)
        ground.shots(name, 40 + i, 60, team="Other, Team", season="2023-24")

    answer = ground.ask("ranking", player=HOSTILE)

    rows = by_player(answer)
    assert set(rows) == set(HOSTILE)
    assert rows["a, b"]["team"] == "Other, Team, a, b"
    assert "'=HYPERLINK(1)" in answer.main.csv()


def test_the_same_ledger_gives_the_same_bytes(ground: Ground) -> None:
    for i in range(60):
        ground.shots(f"P{i % 58:02}", 30 + i % 20, 60, team=f"T{i % 7}", tags={"board": (4, 4)})

    first, second = (ground.ask("ranking", by=by).json() for by in ("player", "player"))

    assert first == second


def test_many_seasons_are_said_in_short_beside_their_list(ground: Ground) -> None:
    years = {"Tarn": (2020, 2021, 2022, 2024), "Oselo": (2023, 2024), "Brim": (2024,)}
    for player, seasons in years.items():
        for year in seasons:
            ground.shots(player, 40, 60, season=f"{year}-{year % 100 + 1}")

    rows = by_player(ground.ask("ranking"))

    assert rows["Tarn"]["season"] == "2020-21, 2021-22, 2022-23, 2024-25"
    assert {player: row["seasons_shown"] for player, row in rows.items()} == {
        "Tarn": "2020-21 to 2024-25", "Oselo": "2023-24, 2024-25", "Brim": "2024-25",
    }  # fmt: skip


def test_five_of_five_stands_behind_a_long_record_and_first_only_when_raw(ground: Ground) -> None:
    eight(ground)

    shrunken = by_player(ground.ask("ranking", min_attempts=1))
    raw = by_player(ground.ask("ranking", min_attempts=1, order="raw"))

    # 5 of 5 becomes .7932: behind .8498 and the 12 of 14 that become .7907 not.
    ordered = sorted(shrunken, key=lambda player: shrunken[player]["rank"])
    assert ordered[0] == "Tarn"
    assert shrunken["Gobi"]["rank"] == 1 + sum(
        row["shrunken_rate"] > shrunken["Gobi"]["shrunken_rate"] for row in shrunken.values()
    )
    assert shrunken["Gobi"]["rank"] > 1
    assert raw["Gobi"]["rank"] == 1


def test_a_player_of_two_leagues_is_one_talent_between_their_levels(ground: Ground) -> None:
    eight(ground)
    eight(ground, league="Drellin Liga")
    for i in range(8):
        ground.shots(f"weak{i}", 25 + i, 60, league="Drellin Liga")
    ground.same("Tarn", "Tarn", "Drellin Liga", "Halma League")

    answer = ground.ask("ranking", min_attempts=1)

    tarn = by_player(answer)["Tarn"]
    levels = {row["league"]: row for row in answer.part("prior").rows()}
    own, other = levels["Halma League"], levels["Drellin Liga"]
    m = (own["mean"] + other["mean"]) / 2
    c = (own["a"] + own["b"] + other["a"] + other["b"]) / 2
    assert (tarn["made"], tarn["attempts"]) == (176, 200)
    assert tarn["league"] == "Drellin Liga, Halma League"
    assert tarn["shrunken_rate"] == pytest.approx((c * m + 176) / (c + 200), abs=1e-12)


def test_a_refused_player_season_is_told_once(ground: Ground) -> None:
    for i in range(20):
        ground.shots(f"P{i:02}", 75, 100, tags={"board": (30, 10)})
    ground.shots("Hulo", 50, 100, tags={"board": (2, 20)})

    answer = ground.ask("ranking", technique="board", min_attempts=1)
    plain = ground.ask("ranking", min_attempts=1)

    assert sum("picked by" in note for note in answer.notes) == 1
    assert any(note.startswith("1 player-season left out") for note in answer.notes)
    assert sum("picked by" in note for note in plain.notes) == 1
    assert "Hulo" not in by_player(answer)


def test_several_with_the_highest_raw_rate_are_told_with_their_attempts(ground: Ground) -> None:
    for player, attempts in (("a", 2), ("b", 5), ("c", 3), ("d", 4)):
        ground.shots(player, attempts, attempts)

    headline = ground.ask("ranking", min_attempts=1, order="raw").headline

    assert headline == (
        "b and three others have the highest raw rate, on 5 attempts at most; luck is not "
        "allowed for."
    )


def test_only_the_league_seasons_asked_about_have_a_level(ground: Ground) -> None:
    for season in ("2023-24", "2024-25"):
        eight(ground, season=season)
        eight(ground, season=season, league="Drellin Liga")
    ground.shots("Hulo", 40, 60, season="2023-24")
    ground.shots("Hulo", 40, 60, season="2024-25", league="Drellin Liga")

    prior = ground.ask("ranking", player="Hulo").part("prior").rows()

    assert [(row["league"], row["season"], row["rows"]) for row in prior] == [
        ("Drellin Liga", "2024-25", 9), ("Halma League", "2023-24", 9),
    ]  # fmt: skip


def test_totals_fill_no_part_of_a_season_whoever_is_asked_about(ground: Ground) -> None:
    eight(ground)
    ground.total("Gobi", 40, 60)

    for asked in ({}, {"player": "Tarn"}):
        whole = ground.ask("ranking", **asked).part("prior").rows()
        part = ground.ask("ranking", stage="regular", **asked).part("prior").rows()

        assert part[0]["mean"] == pytest.approx(0.76375, abs=1e-4)
        assert whole[0]["mean"] != part[0]["mean"]


def test_a_total_that_does_not_fit_is_no_part_of_what_is_known(ground: Ground) -> None:
    ground.shots("Tarn", 40, 60)
    ground.total("Tarn", 30, 50)
    ground.total("Tarn", 70, 100, team=None)

    row = ground.ask("ranking", min_attempts=1).main.rows()[0]

    # The team's total holds fewer than its games; the player's fills 40 beside the 60 of games.
    assert (row["made"], row["attempts"], row["filled_attempts"]) == (70, 100, 40)


def test_a_total_without_a_team_is_given_to_neither_of_two(ground: Ground) -> None:
    ground.shots("Tarn", 40, 60)
    ground.shots("Tarn", 20, 30, team="Fenholt", first_day=40)
    ground.total("Tarn", 70, 100, team=None)

    player = ground.ask("ranking", min_attempts=1).main.rows()[0]
    teams = ground.ask("ranking", by="team", order="attempts").main.rows()

    assert (player["attempts"], player["team"]) == (100, "Skerry, Fenholt")
    assert {row["team"]: row["attempts"] for row in teams} == {"Skerry": 60, "Fenholt": 30}


@pytest.mark.parametrize(("players", "assumed"), [(29, True), (30, False)])
def test_the_level_is_partly_assumed_below_thirty_rows(
    ground: Ground, players: int, assumed: bool
) -> None:
    for i in range(players):
        ground.shots(f"P{i:02}", 30 + i % 20, 60, games=1)

    notes = ground.ask("ranking").notes

    assert any("partly assumed" in note for note in notes) == assumed


def test_a_state_is_that_of_all_his_watched_attempts_whatever_is_asked(ground: Ground) -> None:
    eight(ground)
    ground.shots("Hulo", 60, 80, tags={"board": (24, 8), "straight": (6, 2)})

    row = by_player(ground.ask("ranking", technique="straight", min_attempts=1))["Hulo"]

    # Eight straight attempts are ranked; 32 of 40 watched ones make him an adopter all the same.
    assert (row["attempts"], row["state"], row["focus_share"]) == (8, "adopter", 0.8)


def test_a_player_of_a_league_with_two_names_is_drawn_to_the_level_of_both(ground: Ground) -> None:
    for i in range(8):
        ground.shots(f"P{i}", 30 + i, 60)
        ground.shots(f"Q{i}", 45 + i, 60, league="Halma Lg")
    ground.con.execute("UPDATE league SET same_as = ? WHERE name = 'Halma Lg'", [ground.league()])

    among_all = ground.ask("ranking")
    alone = ground.ask("ranking", player="P3")

    assert alone.part("prior").rows() == among_all.part("prior").rows()
    assert alone.part("prior").rows()[0]["rows"] == 16


def test_a_note_says_of_which_attempts_the_share_of_the_technique_is(ground: Ground) -> None:
    said = "Off the backboard: of everything watched in "
    eight(ground)
    assert not any(said in note for note in ground.ask("ranking").notes)
    ground.shots("Hulo", 40, 60, tags={"board": (12, 8)})

    (note,) = [n for n in ground.ask("ranking").notes if n.startswith(said)]
    assert note == (
        f"{said}his latest season with 8 watched attempts or more, not only of the attempts asked "
        "for."
    )
    assert not any(said in note for note in ground.ask("ranking", by="team").notes)
