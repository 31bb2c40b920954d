from __future__ import annotations

from datetime import datetime
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.questions.guards import NOT_A_TEST
from ledger.questions.outranking import chance_range
from tests.questions.ground import Ground, by_player


def split(focus: int, tagged: int) -> dict[str, tuple[int, int]]:
    """Focus and straight tags, three of four on makes, so that nothing looks picked."""
    straight = tagged - focus
    return {
        "board": (focus - focus // 4, focus // 4),
        "straight": (straight - straight // 4, straight // 4),
    }


# Classes at the edge: computed check of the method's page (6/8 .92331, 0/12 .89194, 0/13 .90532,
# 1/30 .90073 against .9), not published.
@pytest.mark.parametrize(
    ("focus", "tagged", "state"),
    [(6, 8, "adopter"), (0, 12, "undecided"), (0, 13, "not"), (1, 30, "not"), (2, 2, "undecided"),
     (9, 30, "occasional"), (0, 0, "untagged")],
)  # fmt: skip
def test_a_player_season_is_judged_by_its_tags(
    ground: Ground, focus: int, tagged: int, state: str
) -> None:
    ground.shots("Tarn", 75, 100, tags=split(focus, tagged))

    row = ground.ask("adopters").frame.row(0, named=True)

    assert row["state"] == state
    assert (row["focus_tags"], row["tagged"]) == (focus, tagged)
    assert row["share"] == (focus / tagged if tagged else None)


def test_the_share_has_the_limits_of_its_beta_distribution(ground: Ground) -> None:
    # Beta(6.5, 2.5) at 2.5 and 97.5 %, from scipy.
    from scipy import stats

    ground.shots("Tarn", 75, 100, tags=split(6, 8))

    row = ground.ask("adopters").frame.row(0, named=True)

    low, high = stats.beta(6.5, 2.5).ppf([0.025, 0.975])
    assert (row["low"], row["high"]) == (pytest.approx(low), pytest.approx(high))


def test_eight_tags_from_one_game_settle_nothing(ground: Ground) -> None:
    ground.shots("Tarn", 75, 100, games=1, tags=split(8, 8))

    answer = ground.ask("adopters")

    assert answer.frame["state"].to_list() == ["undecided"]
    assert answer.headline == ("Tarn 8 of 8: cannot be called, all of them are from one game.")


# Computed check of the method's page: (0,5) 8, (1,10) 37, (4,6) 7.
@pytest.mark.parametrize(("focus", "tagged", "more"), [(0, 5, 8), (1, 10, 37), (4, 6, 7)])
def test_the_tags_that_would_settle_it_are_told(
    ground: Ground, focus: int, tagged: int, more: int
) -> None:
    ground.shots("Tarn", 75, 100, tags=split(focus, tagged))

    answer = ground.ask("adopters")

    assert answer.frame["more_tags"].to_list() == [more]
    assert answer.headline == (
        f"Tarn {focus} of {tagged}: cannot be called; about {more} more would probably settle it."
    )


def test_a_player_who_mixes_needs_more_than_two_hundred(ground: Ground) -> None:
    ground.shots("Tarn", 75, 100, tags=split(40, 80))

    row = ground.ask("adopters").frame.row(0, named=True)

    assert (row["more_tags"], row["more_tags_why"]) == (None, "more than 200")


def test_unclear_and_disputed_attempts_are_not_watched(ground: Ground) -> None:
    ground.shots("Tarn", 75, 100, tags=split(6, 8), unclear=7)
    ground.tag(100, "board", disputed=True)

    answer = ground.ask("adopters")

    row = answer.frame.row(0, named=True)
    assert (row["tagged"], row["unclear"]) == (8, 7)
    assert any("7 attempts could not be told" in note for note in answer.notes)
    assert any(
        note == "1 attempt with tags that disagree: not counted as watched."
        for note in answer.notes
    )


def test_since_is_the_first_season_judged_adopter(ground: Ground) -> None:
    for season, tags in (("2021-22", split(0, 13)), ("2022-23", split(8, 8)), ("2024-25", {})):
        ground.shots("Tarn", 75, 100, season=season, tags=tags)

    ground.shots("Tarn", 75, 100, season="2025-26", tags=split(0, 16))

    rows = ground.ask("adopters").main.rows()

    assert rows[0]["season"] == "2022-23"
    since = {row["season"]: row["adopter_since"] for row in rows}
    # Nothing before, nor where he is called otherwise again; an unwatched season tells nothing new.
    assert since == {"2021-22": None, "2022-23": "2022-23", "2024-25": "2022-23", "2025-26": None}


def test_over_several_seasons_every_player_counts_once_by_his_last_one(ground: Ground) -> None:
    for season in ("2023-24", "2024-25"):
        for i in range(4):
            tags = split(16, 16) if i == 0 and season == "2024-25" else split(0, 16)
            ground.shots(f"P{i}", 75, 100, season=season, tags=tags if i < 3 else {})

    answer = ground.ask("adopters")
    one = ground.ask("adopters", season="2024-25")

    assert answer.headline == (
        "1 of the 3 players watched enough shoots off the backboard, each judged on the last "
        "season he was watched in; the other player was watched too little to say."
    )
    assert any("counts each player once" in note for note in answer.notes)
    assert one.headline == (
        "1 of the 3 players watched enough shoots off the backboard; the other player was watched "
        "too little to say."
    )
    assert not any("counts each player once" in note for note in one.notes)
    assert not any("Since when" in note for note in one.notes)


@pytest.mark.parametrize(
    ("tagged_at", "how"), [(datetime(2025, 1, 1), "drawn"), (datetime(2024, 11, 1), "picked")]
)
def test_drawn_means_on_a_list_before_the_first_tag(
    ground: Ground, tagged_at: datetime, how: str
) -> None:
    ground.shots("Tarn", 75, 100, tags=split(6, 8), tagged_at=tagged_at)
    ground.shots("Oselo", 75, 100, tags=split(6, 8))
    ground.shots("Brim", 75, 100)
    ground.lot("autumn", ["Tarn"], ["Tarn", "Oselo"], at=datetime(2024, 12, 1))

    rows = by_player(ground.ask("adopters"))

    assert rows["Tarn"]["how_tagged"] == how
    assert (rows["Oselo"]["how_tagged"], rows["Brim"]["how_tagged"]) == ("picked", "none")


def test_a_tag_file_may_declare_its_players_as_drawn(ground: Ground) -> None:
    ground.source(2, drawn=True)
    ground.shots("Tarn", 75, 100, tags=split(6, 8), source=2)
    ground.shots("Oselo", 75, 100, tags=split(6, 8))

    rows = by_player(ground.ask("adopters"))

    assert (rows["Tarn"]["how_tagged"], rows["Oselo"]["how_tagged"]) == ("drawn", "picked")


def test_tags_picked_by_result_give_neither_share_nor_class(ground: Ground) -> None:
    # 15 of 25 misses watched and 7 of 75 makes, as in a sitting that looked for misses.
    ground.shots("Tarn", 75, 100, tags={"board": (7, 15)})
    ground.shots("Oselo", 75, 100, tags=split(0, 20), season="2023-24")

    answer = ground.ask("adopters")

    row = by_player(answer)["Tarn"]
    assert (row["state"], row["share"], row["low"]) == (None, None, None)
    assert row["share_why"] == (
        "tagged attempts were picked by result (60 % of misses watched, 9 % of makes)"
    )
    assert by_player(answer)["Oselo"]["state"] == "not"


def test_tags_of_a_sitting_of_misses_enter_no_share(ground: Ground) -> None:
    ground.shots("Tarn", 75, 100, tags=split(0, 20))
    ground.shots("Tarn", 0, 40, tags={"board": (0, 40)}, picked_for="result", first_day=50)

    answer = ground.ask("adopters")

    row = answer.frame.row(0, named=True)
    assert (row["state"], row["tagged"], row["focus_tags"]) == ("not", 20, 0)
    assert any(
        note.startswith("40 attempts watched because of the result") for note in answer.notes
    )


# Computed check of the method's page: adopters .86 .84 .80 .79 against ten others:
# A .925, p .0069930, interval .43647 to .99493. The long records keep the order of the rates.
ADOPTERS = {"A1": 860, "A2": 840, "A3": 800, "A4": 790}
OTHERS = dict(zip("abcdefghij", (850, 780, 770, 760, 750, 740, 730, 720, 700, 680), strict=True))


def compared(ground: Ground, season: str = "2024-25") -> None:
    for player, made in ADOPTERS.items():
        ground.shots(player, made, 1000, season=season, tags=split(8, 8))
    for player, made in OTHERS.items():
        ground.shots(player, made, 1000, season=season, tags=split(0, 13))


def test_adopters_are_compared_with_the_others_by_rank(ground: Ground) -> None:
    compared(ground)

    answer = ground.ask("adopters")

    row = answer.more["outranking"].row(0, named=True)
    assert (row["adopters"], row["others"], row["undecided"]) == (4, 10, 0)
    assert row["chance_outranks"] == pytest.approx(0.925)
    assert row["p"] == pytest.approx(0.0069930, abs=1e-6)
    assert (row["low"], row["high"]) == (
        pytest.approx(0.43647, abs=1e-5), pytest.approx(0.99493, abs=1e-5),
    )  # fmt: skip
    assert row["chance_least"] == row["chance_most"] == pytest.approx(0.925)
    assert answer.headline == "4 of the 14 players watched enough shoot off the backboard."


def test_adopters_among_the_top_are_a_description(ground: Ground) -> None:
    compared(ground)
    ground.shots("Undecided", 995, 1000)

    row = ground.ask("adopters", top=5).more["top_n"].row(0, named=True)

    # Undecided, A1, a (850), A2, A3 lead; P(at least 3 of 4 judged are adopters) of 4 among 14.
    assert (row["adopters"], row["adopters_low"], row["adopters_high"]) == (3, 3, 4)
    assert row["base_rate"] == 4 / 14
    ways = (4 * 10 + 1) / 1001  # C(4,3)·C(10,1) + C(4,4), of C(14,4)
    assert row["chance"] == pytest.approx(ways)


def test_everybody_in_the_top_is_refused(ground: Ground) -> None:
    compared(ground)

    row = ground.ask("adopters", top=14).more["top_n"].row(0, named=True)

    assert row["adopters"] is None
    assert row["chance_why"] == "top 14 of 14 players: everybody would be in it"


def test_the_season_of_the_rumour_is_left_out_of_both(ground: Ground) -> None:
    compared(ground, season="2023-24")
    for player in ADOPTERS:
        ground.shots(player, 10, 1000, tags=split(8, 8))
    ground.rumour("2024-25", league="Halma League")

    answer = ground.ask("adopters")

    row = answer.more["outranking"].row(0, named=True)
    assert row["chance_outranks"] == pytest.approx(0.925)
    assert any(
        note == f"Left out of both comparisons of rates: Halma League 2024-25 ({NOT_A_TEST})."
        for note in answer.notes
    )


@pytest.mark.parametrize("league", ["Halma League", None])
def test_the_season_that_raised_the_question_alone_is_no_test(
    ground: Ground, league: str | None
) -> None:
    compared(ground)
    ground.rumour("2024-25", league=league)

    answer = ground.ask("adopters")

    test, top = (answer.more[part].row(0, named=True) for part in ("outranking", "top_n"))
    assert (test["p"], test["chance_outranks"], test["p_why"]) == (None, None, NOT_A_TEST)
    assert (top["adopters"], top["chance_why"]) == (None, NOT_A_TEST)


def test_a_rumour_about_another_league_leaves_this_one_alone(ground: Ground) -> None:
    compared(ground)
    ground.league("Drellin Liga")
    ground.rumour("2024-25", league="Drellin Liga")

    row = ground.ask("adopters").more["outranking"].row(0, named=True)

    assert row["p"] is not None


def test_too_few_on_a_side_are_no_test(ground: Ground) -> None:
    for player, made in list(ADOPTERS.items())[:2]:
        ground.shots(player, made, 1000, tags=split(8, 8))
    for player, made in OTHERS.items():
        ground.shots(player, made, 1000, tags=split(0, 13))

    row = ground.ask("adopters").more["outranking"].row(0, named=True)

    assert row["p_why"] == "fewer than 3 adopters: no test"


def test_without_a_level_nobody_is_compared(ground: Ground) -> None:
    for player, made in list(ADOPTERS.items())[:3]:
        ground.shots(player, made, 1000, tags=split(8, 8))

    answer = ground.ask("adopters")

    assert answer.more["outranking"]["p_why"].to_list() == ["fewer than 8 rows: raw rates only"]
    assert answer.headline == "All three players watched enough shoot off the backboard."


rates = st.lists(st.sampled_from([0.5, 0.6, 0.7, 0.75, 0.8]), min_size=1, max_size=4)


@given(
    adopters=rates, others=rates, undecided=st.lists(st.sampled_from([0.55, 0.6, 0.9]), max_size=5)
)
def test_the_range_of_the_chance_is_that_over_every_way_the_undecided_may_fall(
    adopters: list[float], others: list[float], undecided: list[float]
) -> None:
    chances = []
    for does_it in product([True, False], repeat=len(undecided)):
        doing = [*adopters, *(v for v, yes in zip(undecided, does_it, strict=True) if yes)]
        rest = [*others, *(v for v, yes in zip(undecided, does_it, strict=True) if not yes)]
        wins = sum((a > o) + (a == o) / 2 for a in doing for o in rest)
        chances.append(wins / (len(doing) * len(rest)))

    low, high = chance_range(adopters, others, undecided)

    assert [low, high] == pytest.approx([min(chances), max(chances)])


def test_another_focus_is_worded_by_its_name(ground: Ground) -> None:
    for player in ("Tarn", "Oselo", "Brim"):
        ground.shots(player, 75, 100, tags={"underhand": (6, 2)})
    ground.shots("Calo", 75, 100, tags=split(13, 13))

    answer = ground.ask("adopters", focus=("underhand",))

    assert answer.headline == "3 of the 4 players watched enough shoot underhand."
    assert answer.asked["focus"] == ["underhand"]


def test_a_focus_of_two_techniques_takes_both(ground: Ground) -> None:
    ground.shots("Tarn", 75, 100, tags={"underhand": (3, 1), "board": (3, 1)})

    row = ground.ask("adopters", focus=("underhand", "board")).frame.row(0, named=True)

    assert (row["focus_tags"], row["state"]) == (8, "adopter")


@pytest.mark.parametrize("asked", [{"technique": "board"}, {"stage": "practice"}])
def test_what_cannot_be_a_share_is_refused_in_words(ground: Ground, asked: dict[str, str]) -> None:
    ground.shots("Tarn", 75, 100, tags=split(8, 8))

    answer = ground.ask("adopters", **asked)

    assert answer.frame.is_empty()
    assert "practice" in answer.headline or "--focus" in answer.headline


def test_practice_makes_nobody_an_adopter(ground: Ground) -> None:
    ground.shots("Tarn", 75, 100, tags=split(0, 13))
    before = ground.ask("adopters")
    ground.shots("Tarn", 30, 40, stage="practice", tags=split(40, 40))

    after = ground.ask("adopters")

    assert after.frame.rows() == before.frame.rows()
    assert after.headline == before.headline


def test_states_do_not_change_when_only_a_source_is_asked_for(ground: Ground) -> None:
    # The source of a sitting of misses alone would look like a clean sample by itself.
    ground.shots("Tarn", 75, 100, tags={"board": (0, 15)}, source=2)
    ground.con.execute("INSERT INTO sighting SELECT 2, id, attempt_id, 'stored', NULL FROM tag")

    row = ground.ask("adopters", source=2).frame.row(0, named=True)

    assert row["attempts"] == 15
    assert row["state"] is None
    assert "picked by result" in row["share_why"]


def test_how_adopters_rank_is_read_out_with_its_interval_and_its_luck(ground: Ground) -> None:
    for i in range(4):
        ground.shots(f"A{i}", 80 + i, 100, tags=split(16, 16))
    for i in range(12):
        ground.shots(f"B{i:02}", 60 + i, 100, tags=split(0, 16))

    sure = ground.ask("adopters").notes
    for i in range(5):
        ground.shots(f"C{i}", 70, 100)
    open_ = ground.ask("adopters").notes

    said = next(note for note in sure if note.startswith("An adopter ranks"))
    assert said.startswith("An adopter ranks above a player who is none in 100 % (")
    assert said.endswith(" of pairs; as much happens less than once in 1,000 by luck.")
    said = next(note for note in open_ if note.startswith("An adopter ranks"))
    assert said.endswith("; 92 to 100 % however the 5 players not called would fall.")


def test_whoever_does_it_now_and_then_is_no_adopter_in_the_comparison(ground: Ground) -> None:
    for i in range(3):
        ground.shots(f"A{i}", 80 + i, 100, tags=split(16, 16))
    for i in range(10):
        mixed = {"board": (7, 5), "straight": (19, 13)}
        ground.shots(f"B{i}", 60 + i, 100, tags=mixed if i == 0 else {"straight": (10, 6)})

    row = ground.ask("adopters").part("outranking").rows()[0]

    assert (row["adopters"], row["others"], row["chance_outranks"]) == (3, 10, 1.0)


def test_short_records_enter_no_comparison(ground: Ground) -> None:
    for i in range(3):
        ground.shots(f"A{i}", 40 + i, 50, tags=split(16, 16))
    for i in range(10):
        ground.shots(f"B{i}", 30 + i, 49 if i < 4 else 50, tags=split(0, 16))

    usual = ground.ask("adopters")
    all_of_them = ground.ask("adopters", min_attempts=49)

    assert usual.part("outranking").rows()[0]["others"] == 6
    assert usual.part("top_n").rows()[0]["players"] == 9
    assert all_of_them.part("outranking").rows()[0]["others"] == 10


def test_comparisons_of_a_team_rest_on_the_level_of_its_league(ground: Ground) -> None:
    for i in range(4):
        ground.shots(f"A{i}", 40, 50, tags=split(16, 16))
    for i in range(6):
        ground.shots(f"B{i}", 30, 50, team="Fenholt")

    test = ground.ask("adopters", team="Skerry").part("top_n").rows()[0]

    # Four players of ten: too few for a level of their own, enough with their league.
    assert test["players"] == 4


def test_whoever_was_watched_for_his_misses_only_was_picked_not_unwatched(ground: Ground) -> None:
    ground.shots("Tarn", 40, 60, tags={"board": (0, 10)}, picked_for="result")
    ground.shots("Oselo", 40, 60)

    rows = by_player(ground.ask("adopters"))

    assert (rows["Tarn"]["how_tagged"], rows["Tarn"]["state"]) == ("picked", "untagged")
    assert rows["Oselo"]["how_tagged"] == "none"


def test_the_others_are_none_of_those_watched_enough(ground: Ground) -> None:
    for i in range(12):
        ground.shots(f"P{i:02}", 75, 100, tags=split(16 if i < 3 else 0, 16) if i < 6 else {})

    assert ground.ask("adopters").headline == (
        "3 of the 6 players watched enough shoot off the backboard; the other 6 players were "
        "watched too little to say."
    )


def test_the_first_places_are_said_to_be_of_players_by_their_rate(ground: Ground) -> None:
    for i in range(14):
        ground.shots(f"P{i:02}", 60 + i, 100, tags=split(0, 16) if i < 10 else {})

    (note,) = [n for n in ground.ask("adopters").notes if n.startswith("Of the first")]
    assert note.startswith(
        "Of the first 10 players by the rate that allows for luck, none is an adopter ("
    )
    assert "cannot be called: it may be 0 to " in note
