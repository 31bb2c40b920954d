from __future__ import annotations

import re
from typing import Any

import pytest

from tests.questions.ground import Ground

# Computed check of the method's page: attempts, 20 tags each, focus tags; 6 of 30 drawn:
# p .182222, interval .02313 to .67708; all focus 0: 0 to .42208.
DRAWN = {"a": (100, 0), "b": (80, 20), "c": (60, 0), "d": (40, 1), "e": (120, 0), "f": (50, 0)}


def half(focus: int, tagged: int) -> dict[str, tuple[int, int]]:
    """Tags half on makes, half on misses."""
    rest = tagged - focus
    return {
        "board": ((focus + 1) // 2, focus // 2),
        "straight": (rest // 2, (rest + 1) // 2),
    }


def watched(
    ground: Ground, player: str, attempts: int, focus: int, tagged: int = 20, **more: Any
) -> None:
    ground.shots(player, attempts // 2, attempts, tags=half(focus, tagged), **more)


def drawn_season(
    ground: Ground, season: str = "2024-25", scale: dict[str, int] | None = None
) -> None:
    for player, (attempts, focus) in DRAWN.items():
        watched(ground, player, attempts, (scale or {}).get(player, focus), season=season)
    rest = [f"r{i:02}" for i in range(24)]
    for player in rest:
        ground.shots(player, 40, 75, season=season)
    ground.lot(f"lot {season}", DRAWN, [*DRAWN, *rest], season=season)


def row_of(ground: Ground, **asked: Any) -> dict[str, Any]:
    rows = ground.ask("uptake", **asked).main.rows()
    assert len(rows) == 1
    return rows[0]


def test_players_drawn_by_lot_give_a_share_with_its_interval(ground: Ground) -> None:
    drawn_season(ground)

    answer = ground.ask("uptake")

    row = answer.frame.row(0, named=True)
    assert row["share"] == pytest.approx(0.182222, abs=1e-5)
    assert (row["low"], row["high"]) == (
        pytest.approx(0.02313, abs=1e-5), pytest.approx(0.67708, abs=1e-5),
    )  # fmt: skip
    counts = {k: row[k] for k in ("players", "tagged_players", "drawn_players", "picked_players")}
    assert counts == {"players": 30, "tagged_players": 6, "drawn_players": 6, "picked_players": 0}
    assert (row["adopters"], row["undecided"], row["method"]) == (1, 1, "drawn")
    # least: (80 + 40/20) of 450 + 1800 attempts; most: that and the 1800 unwatched
    assert row["least_share"] == pytest.approx(82 / 2250)
    assert row["most_share"] == pytest.approx(1882 / 2250)
    assert answer.headline == (
        "Off the backboard: 18 % of free throws (2 to 68) in 2024-25; players drawn by lot."
    )
    assert not any("declared" in note for note in answer.notes)


def test_nobody_seen_doing_it_still_has_an_upper_limit(ground: Ground) -> None:
    drawn_season(ground, scale=dict.fromkeys(DRAWN, 0))

    row = row_of(ground)

    assert (row["share"], row["low"]) == (0.0, 0.0)
    assert row["high"] == pytest.approx(0.42208, abs=1e-5)


def test_suspects_watched_before_the_lot_stand_for_themselves_only(ground: Ground) -> None:
    drawn_season(ground, scale=dict.fromkeys(DRAWN, 0))
    for i in range(10):
        watched(ground, f"suspect{i}", 60, focus=20)

    row = row_of(ground)

    # They stand for their own 600 of 2,850 attempts; for nobody else.
    assert row["share"] == pytest.approx(600 / 2850)
    assert (row["drawn_players"], row["picked_players"]) == (6, 10)
    assert row["high"] < 0.6
    pooled = 10 * 20 / (16 * 20)
    assert pooled > 0.6


def test_suspects_watched_after_the_lot_do_not_move_the_share(ground: Ground) -> None:
    drawn_season(ground)
    before = row_of(ground)
    for i in range(4):
        ground.con.execute(
            """INSERT INTO agreed SELECT id, 2, 1, false, false, NULL FROM attempt
            WHERE player_id = ? AND order_in_game % 4 = 0""",
            [ground.player(f"r{i:02}")],
        )

    after = row_of(ground)

    # The lot could have drawn them, so the six drawn already stand for them.
    assert (after["picked_players"], before["picked_players"]) == (4, 0)
    assert [after[k] for k in ("share", "low", "high")] == [
        before[k] for k in ("share", "low", "high")
    ]
    assert after["least_share"] > before["least_share"]


def test_what_is_known_of_suspects_is_the_least_the_share_can_be(ground: Ground) -> None:
    drawn_season(ground, scale=dict.fromkeys(DRAWN, 0))
    ground.con.execute(
        """INSERT INTO agreed SELECT a.id, 2, 1, false, false, NULL
        FROM attempt a JOIN player p ON p.id = a.player_id
        WHERE p.name LIKE 'r0%' AND a.order_in_game % 4 = 0""",
    )

    row = row_of(ground)

    assert row["share"] == row["least_share"] == pytest.approx(750 / 2250)
    assert row["low"] == 0.0


def test_without_a_lot_there_are_only_bounds_and_the_advice_to_draw(ground: Ground) -> None:
    watched(ground, "Tarn", 60, focus=20)
    for i in range(15):
        ground.shots(f"r{i}", 40, 75)

    answer = ground.ask("uptake")

    row = answer.frame.row(0, named=True)
    assert (row["share"], row["low"], row["method"]) == (None, None, "bounds")
    assert row["least_share"] == pytest.approx(60 / 1185)
    assert row["most_share"] == 1.0
    assert row["share_why"].startswith("tagged players were chosen, not drawn")
    assert answer.headline == (
        "Between 5 and 100 % of free throws off the backboard in 2024-25: those watched were "
        "picked. Draw 12 players."
    )


def test_a_census_needs_no_lot(ground: Ground) -> None:
    for player, (attempts, focus) in DRAWN.items():
        watched(ground, player, attempts, focus)

    answer = ground.ask("uptake")

    row = answer.frame.row(0, named=True)
    assert row["share"] == pytest.approx(82 / 450)
    assert row["method"] == "census"
    assert answer.headline.endswith("every player watched.")


def test_players_below_ten_attempts_are_left_out_and_counted(ground: Ground) -> None:
    for player, (attempts, focus) in DRAWN.items():
        watched(ground, player, attempts, focus)
    ground.shots("rare", 5, 9)

    answer = ground.ask("uptake")

    row = answer.frame.row(0, named=True)
    assert (row["players"], row["attempts"], row["left_out_players"]) == (6, 459, 1)
    assert row["share"] == pytest.approx(82 / 450)
    assert any("1 player-season with fewer left out (9 attempts)" in n for n in answer.notes)


def test_a_frame_that_misses_too_many_attempts_gives_bounds_and_asks_for_a_new_lot(
    ground: Ground,
) -> None:
    drawn_season(ground)
    for i in range(3):
        ground.shots(f"late{i}", 40, 75)

    answer = ground.ask("uptake")

    row = answer.frame.row(0, named=True)
    assert row["share"] is None
    assert row["share_why"].endswith("draw again")
    assert "outside the lot" in answer.headline


def test_a_frame_that_misses_one_in_twenty_is_still_good(ground: Ground) -> None:
    drawn_season(ground)
    ground.shots("late", 40, 75)  # 75 of 2,325 attempts

    assert row_of(ground)["share"] is not None


def test_drawn_players_not_yet_watched_are_counted_in_a_note(ground: Ground) -> None:
    for player in "abcdefgh":
        watched(ground, player, 60, focus=0)
    rest = [f"r{i}" for i in range(8)]
    for player in rest:
        ground.shots(player, 40, 75)
    ground.lot("autumn", [*"abcdefgh", *rest[:4]], [*"abcdefgh", *rest])

    answer = ground.ask("uptake")

    assert answer.frame["unwatched_drawn"].to_list() == [4]
    assert answer.frame["drawn_players"].to_list() == [8]
    assert "4 drawn players are not watched yet." in answer.notes
    assert answer.frame["share"].to_list() == [0.0]


def test_fewer_than_five_drawn_players_give_a_share_without_interval(ground: Ground) -> None:
    for player in "abc":
        watched(ground, player, 60, focus=0)
    rest = [f"r{i}" for i in range(8)]
    for player in rest:
        ground.shots(player, 40, 75)
    ground.lot("autumn", "abc", [*"abc", *rest])

    answer = ground.ask("uptake")

    row = answer.frame.row(0, named=True)
    assert (row["share"], row["low"], row["share_why"]) == (0.0, None, "fewer than 5 drawn players")
    assert "(fewer than 5 drawn players)" in answer.headline


def test_tags_declared_as_drawn_make_a_share(ground: Ground) -> None:
    ground.source(2, drawn=True)
    for player, (attempts, focus) in DRAWN.items():
        watched(ground, player, attempts, focus, source=2)
    for i in range(24):
        ground.shots(f"r{i:02}", 40, 75)

    answer = ground.ask("uptake")

    row = answer.frame.row(0, named=True)
    assert row["share"] == pytest.approx(0.182222, abs=1e-5)
    assert row["drawn_players"] == 6
    assert any(
        note.startswith("Drawn by lot elsewhere, as their tags were declared: Halma League 2024-25")
        for note in answer.notes
    )


def test_players_picked_before_a_declared_lot_stand_for_themselves(ground: Ground) -> None:
    for i in range(4):
        watched(ground, f"early{i}", 60, focus=20)
    ground.source(2, drawn=True)
    for player, (attempts, _) in DRAWN.items():
        watched(ground, player, attempts, 0, source=2)
    for i in range(24):
        ground.shots(f"r{i:02}", 40, 75)
    before = row_of(ground)
    for i in range(4):
        watched(ground, f"late{i}", 60, focus=20)

    after = row_of(ground)

    assert before["share"] == pytest.approx(240 / 2490)
    # Those picked later are spoken for by the drawn ones; what is known of them is the least.
    assert after["share"] == pytest.approx(480 / 2730) == after["least_share"]


def test_a_taken_back_declaration_no_longer_counts(ground: Ground) -> None:
    ground.source(2, drawn=True, taken_back="2025-01-02")
    for player, (attempts, focus) in DRAWN.items():
        watched(ground, player, attempts, focus, source=2)
    for i in range(24):
        ground.shots(f"r{i:02}", 40, 75)

    assert row_of(ground)["share"] is None


@pytest.mark.parametrize("by", ["team", "position"])
def test_a_team_or_position_has_a_share_only_where_everybody_is_watched(
    ground: Ground, by: str
) -> None:
    for player, (attempts, focus) in DRAWN.items():
        watched(ground, player, attempts, focus, position="guard")
    watched(ground, "Tarn", 60, focus=20, team="Fenholt", position="wing")
    for i in range(20):
        ground.shots(f"r{i}", 40, 75, team="Fenholt", position="wing")

    answer = ground.ask("uptake", by=by)

    rows = {row[by]: row for row in answer.main.rows()}
    whole, part = (
        rows["Skerry" if by == "team" else "guard"],
        rows["Fenholt" if by == "team" else "wing"],
    )
    assert whole["share"] == pytest.approx(82 / 450)
    assert (part["share"], part["low"]) == (None, None)
    assert part["share_why"].startswith("not every player")
    assert part["least_share"] == pytest.approx(60 / 1560)
    assert "with every player watched" in answer.headline


def test_a_cohort_of_part_of_a_league_has_bounds_unless_all_are_watched(ground: Ground) -> None:
    drawn_season(ground)

    row = row_of(ground, player=["a", "b", "r00"])

    assert (row["share"], row["method"]) == (None, "bounds")


def test_a_league_season_whose_tags_were_picked_by_result_has_no_share(ground: Ground) -> None:
    for i in range(6):
        ground.shots(f"p{i}", 60, 100, tags={"board": (2, 20)})

    answer = ground.ask("uptake")

    row = answer.frame.row(0, named=True)
    assert [row[k] for k in ("share", "least_share", "adopters")] == [None, None, None]
    assert row["share_why"] == (
        "tagged attempts were picked by result (50 % of misses watched, 3 % of makes)"
    )
    assert answer.headline == (
        "No share in 2024-25: watched attempts were picked by result (50 % of misses watched, 3 % "
        "of makes)."
    )


def test_one_player_picked_by_result_counts_as_not_watched(ground: Ground) -> None:
    drawn_season(ground)
    ground.shots("Tarn", 60, 100, tags={"board": (1, 16)})

    row = row_of(ground)

    assert row["tagged_players"] == 6
    assert row["players"] == 31


def test_growth_over_five_seasons_and_the_next_one(ground: Ground) -> None:
    shares = {2019: 0, 2020: 1, 2021: 2, 2022: 4, 2023: 6, 2024: 8}
    for year, adopters in shares.items():
        for i in range(16):
            focus = 20 if i < adopters else 0
            watched(ground, f"p{i}", 60, focus, season=f"{year}-{(year + 1) % 100}")

    answer = ground.ask("uptake")

    growth = answer.more["growth"].row(0, named=True)
    forecast = answer.more["forecast"].row(0, named=True)
    assert growth["odds_ratio"] > growth["low"] > 1
    assert growth["takeoff_low"] < growth["takeoff_year"] < growth["takeoff_high"]
    assert 2019 < growth["takeoff_year"] < 2023
    assert forecast["start_year"] == 2025
    assert forecast["low"] < forecast["share"] < forecast["high"]
    assert any("assumes growth to 100 %" in note for note in answer.notes)
    first, last = answer.frame.row(0, named=True), answer.frame.row(-1, named=True)
    assert answer.headline == (
        f"Off the backboard: 0 % of free throws (0 to {100 * first['high']:.0f}) in 2019-20, "
        f"50 % ({100 * last['low']:.0f} to {100 * last['high']:.0f}) in 2024-25; "
        "every player watched."
    )


def test_the_forecast_may_be_left_out(ground: Ground) -> None:
    drawn_season(ground)

    assert "forecast" in ground.ask("uptake").more
    assert "forecast" not in ground.ask("uptake", forecast=False).more


def test_fewer_than_five_seasons_have_no_curve(ground: Ground) -> None:
    drawn_season(ground)

    answer = ground.ask("uptake")

    assert answer.more["growth"]["why"].to_list() == ["fewer than 5 usable seasons: no curve"]
    assert answer.more["forecast"]["why"].to_list() == ["fewer than 5 usable seasons: no curve"]


def test_two_seasons_that_begin_in_one_year_have_no_curve(ground: Ground) -> None:
    drawn_season(ground)
    watched(ground, "a", 60, 0, season="2024 spring")

    answer = ground.ask("uptake")

    assert answer.more["growth"]["why"].to_list() == ["two seasons begin in one year: no curve"]


@pytest.mark.parametrize(
    ("asked", "why"),
    [
        ({"technique": "board"}, "--focus"),
        ({"stage": "practice"}, "practice"),
        ({"source": 1}, "--source"),
    ],
)
def test_what_can_be_no_share_of_a_league_is_refused_in_words(
    ground: Ground, asked: dict[str, Any], why: str
) -> None:
    drawn_season(ground)
    ground.con.execute("INSERT INTO sighting SELECT 1, 1, id, 'stored', NULL FROM attempt")

    answer = ground.ask("uptake", **asked)

    assert why in answer.headline
    assert answer.frame.is_empty() or answer.frame["share"].null_count() == 1


def test_practice_changes_nothing(ground: Ground) -> None:
    drawn_season(ground)
    before = ground.ask("uptake")
    watched(ground, "r00", 60, focus=20, stage="practice")

    after = ground.ask("uptake")

    assert after.frame.rows() == before.frame.rows()


def league_of(ground: Ground, league: str, shares: dict[int, int], *, picked: bool = False) -> None:
    """A league of six players (seven where they are picked), so many of whom do it each year."""
    for year, doing in shares.items():
        season = f"{year}-{(year + 1) % 100}"
        for i in range(6):
            watched(ground, f"{league[0]}{i}", 60, 20 if i < doing else 0, season=season,
                    league=league, team=f"{league} one")  # fmt: skip
        if picked:
            ground.shots(
                f"{league[0]}6", 40, 60, season=season, league=league, team=f"{league} one"
            )


@pytest.mark.parametrize(
    ("leagues", "said"),
    [
        (
            {"Halma": {2023: 0, 2024: 3}, "Drellin": {2023: 1, 2024: 2}},
            r"Off the backboard: Halma 0 % of free throws \(0 to \d+\) in 2023-24, 50 % "
            r"\(\d+ to \d+\) in 2024-25; every player watched; the largest rise seen in 2 "
            r"leagues\.",
        ),
        (
            {"Halma": {2023: 3, 2024: 3}, "Drellin": {2023: 2, 2024: 1}},
            r"Off the backboard: Halma 50 % .* in 2024-25; every player watched; the most in 2 "
            r"leagues, no rise seen\.",
        ),
        (
            {"Halma": {2024: 1}, "Drellin": {2024: 2}, "Okelmar": {2024: 3}},
            r"Off the backboard: Okelmar 50 % of free throws \(\d+ to \d+\) in 2024-25; every "
            r"player watched; the most in 3 leagues\.",
        ),
        (
            {"Halma": {2024: 1}, "picked": {2024: 6}},
            r"Off the backboard: Halma 17 % .*; the only one of 2 leagues with a share\.",
        ),
        (
            {"Halma": {2023: 1, 2024: 2}, "Drellin": {2024: 6}, "picked": {2024: 6}},
            r"Off the backboard: Halma 17 % .*; the only one of 3 leagues with a share then and "
            r"now\.",
        ),
        (
            {"picked": {2024: 1}, "picked too": {2024: 1}},
            r"No share can be told in any of 2 leagues: draw players by lot and watch them all\.",
        ),
    ],
)
def test_of_several_leagues_the_headline_names_the_largest_rise(
    ground: Ground, leagues: dict[str, dict[int, int]], said: str
) -> None:
    for league, shares in leagues.items():
        league_of(ground, league, shares, picked=league.startswith("picked"))

    headline = ground.ask("uptake").headline

    assert re.fullmatch(said, headline), headline
    assert len(headline) < 200


@pytest.mark.parametrize(
    ("last", "said"),
    [
        ("unwatched", "nobody watched in 2024-25."),
        ("picked", "8 to 100 % in 2024-25, those watched were picked."),
        ("waiting", "0 to 92 % in 2024-25, 2 drawn players not watched yet."),
        ("few", "no player with 10 free throws in 2024-25."),
    ],
)
def test_a_last_season_without_a_share_says_why(ground: Ground, last: str, said: str) -> None:
    league_of(ground, "Halma League", {2023: 2})
    if last == "few":
        ground.shots("r0", 4, 6)
    else:
        for i in range(12):
            ground.shots(f"r{i}", 40, 60)
    if last == "picked":
        watched(ground, "suspect", 60, 20)
    if last == "waiting":
        ground.lot("autumn", ["r0", "r1"], [f"r{i}" for i in range(12)])
        watched(ground, "other", 60, 0, tagged=2)

    headline = ground.ask("uptake").headline

    assert headline.startswith("Off the backboard: 33 % of free throws")
    assert headline.endswith(f"every player watched; {said}")


def test_a_census_needs_no_remark_on_those_who_were_picked(ground: Ground) -> None:
    league_of(ground, "Halma League", {2024: 2})
    remark = "watched without a lot"
    before = ground.ask("uptake").notes

    ground.shots("unseen", 40, 60)

    assert not any(remark in note for note in before)
    assert any(remark in note for note in ground.ask("uptake").notes)


def test_where_nobody_was_watched_no_adopter_is_counted_not_none(ground: Ground) -> None:
    for i in range(12):
        ground.shots(f"r{i}", 40, 60)

    row = row_of(ground)

    assert (row["tagged_players"], row["adopters"], row["undecided"]) == (0, None, None)


def test_a_drawn_player_watched_by_result_is_not_said_to_be_waiting(ground: Ground) -> None:
    drawn_season(ground)
    ground.shots("s", 60, 100, tags={"board": (1, 16)})
    ground.lot("second", ["s"], ["s"])

    answer = ground.ask("uptake")

    assert answer.frame["unwatched_drawn"].to_list() == [1]
    assert not any("not watched yet" in note for note in answer.notes)
    assert any(n.startswith("1 drawn player counts as not watched") for n in answer.notes)


def test_a_next_season_below_the_last_one_is_explained(ground: Ground) -> None:
    growing = {2017: 0, 2018: 1, 2019: 1, 2020: 1, 2021: 2, 2022: 2, 2023: 2, 2024: 7}
    for year, adopters in growing.items():
        for i in range(16):
            watched(
                ground, f"p{i}", 60, 20 if i < adopters else 0, season=f"{year}-{year % 100 + 1}"
            )

    answer = ground.ask("uptake")

    forecast = answer.more["forecast"]["share"].item()
    assert (forecast < answer.frame["share"][-1]) == any(
        "lies below the last share" in note for note in answer.notes
    )
    assert forecast < answer.frame["share"][-1]


def test_the_same_share_in_several_leagues_is_no_most(ground: Ground) -> None:
    league_of(ground, "Halma", {2023: 0, 2024: 0})
    league_of(ground, "Drellin", {2024: 0})

    headline = ground.ask("uptake").headline

    assert headline.endswith("; none of 2 leagues shows more, no rise seen.")


def test_a_part_of_a_league_is_said_to_be_one(ground: Ground) -> None:
    league_of(ground, "Halma", {2024: 2})

    part = ground.ask("uptake", player=["H0", "H1", "H2", "H3", "H4"]).headline
    teams = ground.ask("uptake", by="team").headline

    assert part.startswith("Off the backboard: 40 % of free throws of these players (")
    assert teams == (
        "Off the backboard: 33 % of free throws in the 1 of 1 team with every player watched, "
        "2024-25."
    )


def test_all_teams_and_no_team_watched_are_told_apart(ground: Ground) -> None:
    league_of(ground, "Halma", {2024: 2})
    for i in range(3):
        watched(ground, f"x{i}", 60, 0, league="Halma", team="other")
    every = ground.ask("uptake", by="team").headline
    for team in ("Halma one", "other"):
        ground.shots(f"new {team}", 40, 60, league="Halma", team=team)

    none = ground.ask("uptake", by="team").headline

    assert every == (
        "Off the backboard: 0 to 33 % of free throws in all 2 teams, every player watched, 2024-25."
    )
    assert none == (
        "None of the 2 teams in 2024-25 has every player watched: bounds only, no share."
    )


def test_ten_attempts_are_enough_to_count(ground: Ground) -> None:
    for i in range(5):
        watched(ground, f"p{i}", 10, 0, tagged=4)
    ground.shots("nine", 5, 9)

    row = row_of(ground)

    assert (row["players"], row["tagged_players"], row["left_out_players"]) == (5, 5, 1)


def test_a_player_of_two_teams_is_judged_on_the_whole_season(ground: Ground) -> None:
    for team, day in (("Skerry", 0), ("Fenholt", 30)):
        ground.shots("Tarn", 30, 40, tags={"board": (3, 1)}, team=team, first_day=day)

    rows = ground.ask("uptake", by="team").main.rows()

    # Four of four is nothing for either team, eight of eight an adopter for both.
    assert [row["adopters"] for row in rows] == [1, 1]


def test_a_player_of_two_lots_is_drawn_if_one_of_them_named_him(ground: Ground) -> None:
    drawn_season(ground)
    ground.lot("again", ["r00"], [*DRAWN, *[f"r{i:02}" for i in range(24)]])

    row = row_of(ground)

    assert (row["drawn_players"], row["unwatched_drawn"]) == (6, 1)
    assert row["share"] == pytest.approx(0.182222, abs=1e-5)


def test_a_league_season_among_many_is_not_refused_by_luck_alone(ground: Ground) -> None:
    def season(label: str, *, makes: int, misses: int) -> None:
        for i in range(4):
            ground.shots(f"p{i}", 30, 60, season=label, tags={"straight": (makes, misses)})

    season("2024-25", makes=4, misses=9)
    alone = ground.ask("uptake").main.rows()
    for year in range(2016, 2024):
        season(f"{year}-{year % 100 + 1}", makes=6, misses=6)

    among = {row["season"]: row for row in ground.ask("uptake").main.rows()}

    # p of .008 alone is flagged; as the smallest of nine it comes about by luck often enough.
    assert alone[0]["share_why"].startswith("tagged attempts were picked")
    assert among["2024-25"]["share"] is not None


def test_picking_that_shows_only_over_many_players_refuses_them_all(ground: Ground) -> None:
    for i in range(12):
        ground.shots(f"p{i:02}", 15, 25, tags={"board": (0, 3)})

    rows = ground.ask("adopters").main.rows()

    # Nobody alone has ten watched attempts, together 36 of 120 misses and no make were watched.
    assert all(row["state"] is None and row["share"] is None for row in rows)
    assert all("30 % of misses watched, 0 % of makes" in row["share_why"] for row in rows)
    # One of them alone gives nothing away, and is refused with the others.
    one = ground.ask("uptake", player="p00").main.rows()[0]
    assert one["share_why"] == rows[0]["share_why"]


def test_season_totals_are_no_attempts_that_could_have_been_watched(ground: Ground) -> None:
    for i in range(4):
        ground.shots(f"p{i}", 12, 24, tags={"straight": (6, 6)})
        ground.total(f"p{i}", 15, 130)

    row = ground.ask("uptake").main.rows()[0]

    # Totals that hold 103 misses more would make the misses look as if nobody watched them.
    assert row["share"] is not None
    assert row["attempts"] == 520


def test_nobody_is_asked_to_draw_more_players_than_are_left(ground: Ground) -> None:
    watched(ground, "Tarn", 60, focus=20)
    for i in range(7):
        ground.shots(f"r{i}", 40, 75)

    assert ground.ask("uptake").headline.endswith("those watched were picked. Draw 7 players.")


def test_a_player_one_lot_left_out_counts_as_drawn_where_another_drew_him(ground: Ground) -> None:
    drawn_season(ground)
    ground.source(2, drawn=True)
    ground.con.execute(
        """INSERT INTO tag (id, attempt_id, tagger, tagged_at, technique_id, adjudicated, unclear,
            source_id, line, removed)
        SELECT 100000 + a.id, a.id, 'Ana', now()::TIMESTAMP, 1, false, false, 2, 1, false
        FROM attempt a JOIN player p ON p.id = a.player_id
        WHERE p.name = 'r00' AND a.order_in_game % 4 = 0"""
    )
    ground.con.execute(
        "INSERT INTO agreed SELECT attempt_id, 1, 1, false, false, NULL FROM tag WHERE id > 100000"
    )

    row = row_of(ground)

    assert (row["drawn_players"], row["picked_players"]) == (7, 0)


def test_a_share_of_the_season_that_suggested_the_question_is_said_to_be_no_test(
    ground: Ground,
) -> None:
    drawn_season(ground, "2023-24")
    drawn_season(ground, "2024-25")
    ground.rumour("2024-25", league="Halma League")

    answer = ground.ask("uptake")

    # METHODS: the season that raised the question cannot test it; the sentence ends with its share.
    assert "in 2024-25, which raised the question; players drawn by lot" in answer.headline
    assert answer.headline.count("raised the question") == 1
    assert answer.notes[0] == (
        "Halma League 2024-25 suggested the question: its share and any curve through it are no "
        "test of it."
    )
    marked = [(r["league"], r["season"]) for r in answer.main.rows() if r["raised"]]
    assert marked == [("Halma League", "2024-25")]
    earlier = ground.ask("uptake", season="2023-24")
    assert not earlier.frame["raised"].any()
    assert "raised the question" not in earlier.headline
    assert not any("suggested the question" in note for note in earlier.notes)
