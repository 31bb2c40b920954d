"""Where misses go: what enters which table, what is compared, what is refused."""

from __future__ import annotations

from collections.abc import Callable
from math import comb
from typing import Any

import pytest

from ledger.questions.answer import Answer
from ledger.stats.intervals import wilson
from tests.questions.ground import NOON, Ground
from tests.questions.watching import FIRST_OF_TWO, LAST_OF_TWO, change, watched

Fill = Callable[[Ground], None]
ONE_AND_ONE = {"trip_shot": 1, "trip_of": 2, "trip_kind": "one_and_one"}


def five_shooters(ground: Ground) -> None:
    """Of each 12 misses off the board, 9 left by the side; 12 straight, 3 by the side."""
    for i in range(5):
        for side, off_board, straight in (("left", 5, 2), ("centre", 3, 9), ("right", 4, 1)):
            for technique, number in (("board", off_board), ("straight", straight)):
                watched(
                    ground, f"P{i}", technique, number, miss_side=side, miss_depth="long",
                    attempt={"rebound_by": "defensive"},
                )  # fmt: skip
        watched(ground, f"P{i}", "board", 1, miss_side="left", miss_depth="short",
                attempt={"rebound_by": "offensive"})  # fmt: skip
        watched(ground, f"P{i}", "straight", 1, miss_side="left", miss_depth="long",
                attempt={"rebound_by": "offensive"})  # fmt: skip


def cells(answer: Answer, technique: str = "board") -> dict[tuple[str, str], int]:
    return {
        (row["depth"], row["side"]): row["count"]
        for row in answer.main.rows()
        if row["technique"] == technique and row["count"]
    }


def table_of(answer: Answer) -> dict[str, dict[str, Any]]:
    return {row["what"].partition(",")[0]: row for row in answer.part("tests").rows()}


def one(answer: Answer, part: str, **where: Any) -> dict[str, Any]:
    (row,) = (r for r in answer.part(part).rows() if all(r[k] == v for k, v in where.items()))
    return row


def test_every_technique_has_nine_cells_with_shares_of_the_misses_seen(ground: Ground) -> None:
    watched(ground, "Tarn", "board", 6, miss_depth="short", miss_side="left")
    watched(ground, "Tarn", "board", 2, miss_depth="long", miss_side="right")
    watched(ground, "Oselo", "board", 3, miss_depth="short")
    watched(ground, "Oselo", "board", 9, made=True)
    watched(ground, "Oselo", "straight", 4, miss_depth="level", miss_side="centre")

    answer = ground.ask("misses")

    rows = answer.main.rows()
    assert [r["technique"] for r in rows] == ["straight"] * 9 + ["board"] * 9
    assert [(r["depth"], r["side"]) for r in rows[:4]] == [
        ("short", "left"), ("short", "centre"), ("short", "right"), ("level", "left"),
    ]  # fmt: skip
    assert cells(answer) == {("short", "left"): 6, ("long", "right"): 2}
    row = rows[9]
    limits = wilson(6, 8)
    assert (row["made"], row["missed"], row["misses"], row["seen"]) == (9, 11, 11, 8)
    assert (row["share"], row["low"], row["high"]) == (0.75, limits.low, limits.high)
    assert row["coverage"] == pytest.approx(8 / 11)
    assert (row["player"], row["player_why"]) == (None, "1 player")
    assert "12 of 15 watched misses have a depth and a side." in " ".join(answer.notes)


def test_by_player_each_has_a_grid_of_his_own(ground: Ground) -> None:
    watched(ground, "Tarn", "board", 6, miss_depth="short", miss_side="left")
    watched(ground, "Oselo", "board", 2, miss_depth="long", miss_side="left")
    watched(ground, "Oselo", "straight", 3, miss_depth="long", miss_side="left")

    answer = ground.ask("misses", by="player")

    rows = [r for r in answer.main.rows() if r["count"]]
    assert [(r["player"], r["technique"], r["count"], r["seen"]) for r in rows] == [
        ("Oselo", "straight", 3, 3), ("Oselo", "board", 2, 2), ("Tarn", "board", 6, 6),
    ]  # fmt: skip
    assert {r["team"] for r in rows} == {"Skerry"}
    assert len(answer.main.rows()) == 27
    assert answer.part("tests").rows() == ground.ask("misses").part("tests").rows()


def test_makes_and_attempts_without_an_agreed_technique_are_in_no_cell(ground: Ground) -> None:
    watched(ground, "Tarn", "board", 5, made=True, miss_depth="short", miss_side="left")
    ids = watched(ground, "Tarn", "board", 4, miss_depth="short", miss_side="left")
    ground.con.execute("UPDATE agreed SET technique_id = NULL WHERE attempt_id = ?", [ids[0]])

    assert cells(ground.ask("misses")) == {("short", "left"): 3}


@pytest.mark.parametrize(
    ("attempt", "live", "dead", "unknown"),
    [
        (LAST_OF_TWO, 1, 0, 0),
        ({"trip_shot": 1, "trip_of": 1, "trip_kind": "personal"}, 1, 0, 0),
        ({"trip_shot": 3, "trip_of": 3, "trip_kind": "personal"}, 1, 0, 0),
        (ONE_AND_ONE, 1, 0, 0),
        ({**ONE_AND_ONE, "trip_of": None}, 1, 0, 0),
        ({**ONE_AND_ONE, "trip_shot": 2}, 1, 0, 0),
        (FIRST_OF_TWO, 0, 1, 0),
        ({"trip_shot": 2, "trip_of": 3, "trip_kind": "personal"}, 0, 1, 0),
        ({**LAST_OF_TWO, "trip_kind": "technical"}, 0, 1, 0),
        ({**LAST_OF_TWO, "trip_kind": "flagrant"}, 0, 1, 0),
        ({**LAST_OF_TWO, "ended_by": "violation"}, 0, 1, 0),
        ({**ONE_AND_ONE, "ended_by": "foul"}, 0, 1, 0),
        ({**LAST_OF_TWO, "trip_kind": None}, 0, 0, 1),
        ({**LAST_OF_TWO, "trip_kind": "unknown"}, 0, 0, 1),
        ({**LAST_OF_TWO, "trip_of": None}, 0, 0, 1),
        ({**LAST_OF_TWO, "trip_shot": None}, 0, 0, 1),
        ({**ONE_AND_ONE, "trip_shot": None}, 0, 0, 1),
    ],
)
def test_rebounds_are_counted_after_live_misses_only(
    ground: Ground, attempt: dict[str, Any], live: int, dead: int, unknown: int
) -> None:
    told = {**attempt, "rebound_by": "offensive"}
    watched(ground, "Tarn", "board", 7, attempt=told, miss_side="left", rebound_zone="front")

    answer = ground.ask("misses")

    row = one(answer, "rebounds", technique="board")
    counts = ("live_misses", "offensive", "dead", "unknown_trips")
    assert [row[c] for c in counts] == [7 * live, 7 * live, 7 * dead, 7 * unknown]
    assert len(answer.part("zones").rows()) == 7 * live
    assert (row["share"] is None) == (row["share_why"] is not None) == (not live)
    assert any("not known" in note for note in answer.notes) == bool(unknown)


def test_first_shots_of_two_with_misleading_rebounds_change_nothing(ground: Ground) -> None:
    five_shooters(ground)
    before = ground.ask("misses")
    for i in range(5):
        watched(
            ground, f"P{i}", "board", 30, attempt={**FIRST_OF_TWO, "rebound_by": "offensive"},
            rebound_zone="high",
        )  # fmt: skip

    after = ground.ask("misses")

    for part in ("zones", "tests"):
        assert after.part(part).rows() == before.part(part).rows()
    rows = [one(a, "rebounds", technique="board") for a in (before, after)]
    assert [(r["live_misses"], r["offensive"]) for r in rows] == [(65, 5), (65, 5)]
    assert [r["dead"] for r in rows] == [0, 150]


@pytest.mark.parametrize("shot", ["two", "three"])
@pytest.mark.parametrize(
    ("ended_by", "live"), [(None, 4), ("foul", 0), ("violation", 0), ("buzzer", 0)]
)
def test_a_miss_of_a_two_or_three_is_live_unless_something_ended_it(
    ground: Ground, shot: str, ended_by: str | None, live: int
) -> None:
    no_trip = {"trip_shot": None, "trip_of": None, "trip_kind": None}
    told = {**no_trip, "ended_by": ended_by, "rebound_by": "defensive"}
    watched(ground, "Tarn", "board", 4, shot=shot, attempt=told)

    row = one(ground.ask("misses", shot=shot), "rebounds", technique="board")

    assert (row["live_misses"], row["dead"], row["unknown_trips"]) == (live, 4 - live, 0)


def test_rebounds_that_nobody_noted_are_counted_apart(ground: Ground) -> None:
    for rebound, number in (("offensive", 2), ("defensive", 5), ("out", 1), (None, 3)):
        watched(ground, "Tarn", "board", number, attempt={"rebound_by": rebound})

    row = one(ground.ask("misses"), "rebounds", technique="board")

    limits = wilson(2, 8)
    assert (row["live_misses"], row["offensive"], row["not_noted"]) == (8, 2, 3)
    assert (row["share"], row["low"], row["high"]) == (0.25, limits.low, limits.high)


def test_zones_are_shares_of_live_misses_of_one_side(ground: Ground) -> None:
    for side, zone, number in (
        ("left", "left_side", 3), ("left", "front", 1), ("right", "right_side", 2),
    ):  # fmt: skip
        watched(ground, "Tarn", "board", number, miss_side=side, rebound_zone=zone)
    watched(ground, "Tarn", "board", 5, rebound_zone="high")

    rows = ground.ask("misses").part("zones").rows()

    found = {(r["miss_side"], r["zone"]): (r["count"], r["share"]) for r in rows if r["count"]}
    assert found == {
        ("left", "front"): (1, 0.25), ("left", "left_side"): (3, 0.75),
        ("right", "right_side"): (2, 1.0),
    }  # fmt: skip
    assert [r["zone"] for r in rows[:2]] == ["front", "left_side"]
    assert len(rows) == 14


def test_zones_of_all_sides_count_misses_whose_side_nobody_told(ground: Ground) -> None:
    for side, zone, number in (
        ("left", "left_side", 3), ("left", "front", 1), ("right", "right_side", 2),
    ):  # fmt: skip
        watched(ground, "Tarn", "board", number, miss_side=side, rebound_zone=zone)
    watched(ground, "Tarn", "board", 5, rebound_zone="high")

    rows = ground.ask("misses").part("rebound_zones").rows()

    limits = wilson(5, 11)
    assert {r["zone"]: r["count"] for r in rows} == {
        "front": 1, "left_side": 3, "right_side": 2, "left_corner": 0, "right_corner": 0,
        "high": 5, "behind": 0,
    }  # fmt: skip
    high = next(r for r in rows if r["zone"] == "high")
    assert high["seen"] == 11
    assert high["share"] == pytest.approx(5 / 11)
    assert (high["low"], high["high"]) == pytest.approx((limits.low, limits.high))


def test_tags_picked_for_their_result_enter_depth_side_and_rebounds_only(ground: Ground) -> None:
    noted: dict[str, Any] = {
        "miss_depth": "long", "miss_side": "left", "contact_height": "at_top_line",
    }  # fmt: skip
    # As large a part of the makes is watched: the tags that tell of rates are fair.
    ground.shots("Tarn", 70, 80)
    watched(ground, "Tarn", "board", 6, made=True, contact_height="at_top_line")
    watched(ground, "Tarn", "board", 4, **noted)
    watched(
        ground, "Tarn", "board", 50, picked_for="result", rebound_zone="front",
        attempt={"rebound_by": "offensive"}, **noted,
    )  # fmt: skip

    answer = ground.ask("misses")

    row = answer.main.rows()[-9:][6]
    assert (row["depth"], row["side"], row["count"]) == ("long", "left", 54)
    assert (row["made"], row["missed"], row["misses"]) == (6, 4, 54)
    assert one(answer, "rebounds", technique="board")["offensive"] == 50
    assert one(answer, "zones", zone="front")["count"] == 50
    (contact,) = answer.part("contact").rows()
    assert (contact["made"], contact["attempts"], contact["rate"]) == (6, 10, 0.6)
    assert any(note.startswith("50 misses watched because of the result") for note in answer.notes)


def test_there_is_no_rate_where_tags_were_picked_by_the_result_unsaid(ground: Ground) -> None:
    for i in range(6):
        watched(ground, f"P{i}", "board", 18, contact_height="at_top_line", miss_depth="long",
                miss_side="left")  # fmt: skip
        watched(ground, f"P{i}", "board", 2, made=True, contact_height="at_top_line")
        ground.shots(f"P{i}", 38, 40)

    answer = ground.ask("misses")

    assert answer.part("contact").rows() == []
    assert cells(answer) == {("long", "left"): 108}
    assert {(r["made"], r["missed"]) for r in answer.main.rows()} == {(0, 0)}
    assert any("no rate by technique" in note for note in answer.notes)


def test_contact_says_what_was_not_seen_and_leaves_out_what_touched_no_board(
    ground: Ground,
) -> None:
    watched(ground, "Tarn", "board", 3, made=True, contact_height="above_top_line",
            down_at_board="yes")  # fmt: skip
    watched(ground, "Tarn", "board", 1, contact_height="above_top_line", down_at_board="yes")
    watched(ground, "Tarn", "board", 2, made=True, contact_height="below_top_line",
            down_at_board="cannot_tell")  # fmt: skip
    watched(ground, "Tarn", "straight", 9, made=True)

    rows = ground.ask("misses").part("contact").rows()

    limits = wilson(3, 4)
    assert [(r["contact_height"], r["down_at_board"], r["made"], r["attempts"]) for r in rows] == [
        ("below_top_line", "not_seen", 2, 2), ("above_top_line", "yes", 3, 4),
    ]  # fmt: skip
    assert (rows[1]["rate"], rows[1]["low"], rows[1]["high"]) == (0.75, limits.low, limits.high)


def test_of_several_people_more_than_half_or_the_ruling_say_how_it_missed(ground: Ground) -> None:
    ids = watched(ground, "Tarn", "board", 4, miss_depth="short", miss_side="left")
    for attempt, told in (
        (ids[0], ("long", "long")),
        (ids[1], ("long",)),
        (ids[2], ("short", "long")),
    ):
        for number, depth in enumerate(told):
            ground.tag(attempt, "board", tagger=f"T{number}", miss_depth=depth, miss_side="left")
    ground.tag(ids[3], "board", tagger="T1", miss_depth="level", miss_side="left")
    ground.tag(ids[3], "board", tagger="chief", miss_depth="long", adjudicated=True)

    answer = ground.ask("misses")

    # long by two of three, nobody, short by two of three, long by the ruling.
    assert cells(answer) == {("short", "left"): 1, ("long", "left"): 2}
    assert any(note.startswith("1 miss with people who differ") for note in answer.notes)


def test_the_last_of_several_rulings_holds(ground: Ground) -> None:
    (attempt,) = watched(ground, "Tarn", "board", 1, miss_depth="short", miss_side="left")
    later = NOON.replace(hour=18)
    ground.tag(attempt, "board", tagger="a", miss_depth="level", adjudicated=True, at=later)
    ground.tag(attempt, "board", tagger="b", miss_depth="long", adjudicated=True)

    assert cells(ground.ask("misses")) == {("level", "left"): 1}


def test_tags_taken_back_say_nothing(ground: Ground) -> None:
    (attempt,) = watched(ground, "Tarn", "board", 1, miss_depth="short", miss_side="left")
    ground.tag(attempt, "board", tagger="a", miss_depth="long", removed=True)

    assert cells(ground.ask("misses")) == {("short", "left"): 1}


def test_the_same_shooters_are_compared(ground: Ground) -> None:
    five_shooters(ground)
    # Two who shoot one way only carry nothing, however they miss.
    watched(ground, "Only", "straight", 60, miss_side="left", miss_depth="long")

    answer = ground.ask("misses")

    found = table_of(answer)
    side = found["misses left by the side"]
    assert [side[c] for c in ("focus_count", "focus_misses", "other_count", "other_misses")] == [
        50, 65, 20, 65,
    ]  # fmt: skip
    assert side["players"] == 5
    # Every player is alike: 10 of 13 against 4 of 13.
    assert side["difference"] == pytest.approx(10 / 13 - 4 / 13)
    assert side["low"] < side["difference"] < side["high"]
    assert found["side of misses"]["p"] == pytest.approx(1 / 10_000)
    assert found["offensive rebounds"]["difference"] == pytest.approx(0.0)
    assert found["offensive rebounds"]["what"] == (
        "offensive rebounds, board-assisted minus straight, within players"
    )


def test_the_tests_of_the_table_are_one_family(ground: Ground) -> None:
    five_shooters(ground)
    for i in range(5):
        watched(ground, f"P{i}", "board", 2, attempt={"rebound_by": "offensive"})

    rows = ground.ask("misses").part("tests").rows()

    p = sorted(r["p"] for r in rows if r["p"] is not None)
    assert len(p) == 3
    adjusted = [r["p_holm"] for r in rows if r["p"] is not None]
    assert min(adjusted) == pytest.approx(3 * p[0])
    assert max(adjusted) == pytest.approx(max(p[2], 2 * p[1], 3 * p[0]))
    assert all((r["p"] is None) == (r["p_why"] is not None) for r in rows)
    assert all((r["low"] is None) == (r["difference_why"] is not None) for r in rows)


@pytest.mark.parametrize(("misses", "tested"), [(9, False), (10, True)])
def test_ten_misses_of_both_are_needed(ground: Ground, misses: int, tested: bool) -> None:
    for side, depth, rebound, number in (
        ("left", "long", "offensive", misses - 4), ("centre", "short", "defensive", 4),
    ):  # fmt: skip
        noted: dict[str, Any] = {
            "miss_side": side,
            "miss_depth": depth,
            "attempt": {"rebound_by": rebound},
        }
        watched(ground, "Tarn", "board", number, **noted)
        watched(ground, "Tarn", "straight", number + 5, **noted)

    rows = ground.ask("misses").part("tests").rows()

    assert all((r["p"] is not None or r["low"] is not None) == tested for r in rows)
    if not tested:
        assert {r["p_why"] for r in rows} == {"fewer than 10 misses: 9 and 19"}


def test_nobody_with_both_is_refused(ground: Ground) -> None:
    watched(ground, "Tarn", "board", 30, miss_side="left", miss_depth="long")
    watched(ground, "Oselo", "straight", 30, miss_side="left", miss_depth="long")

    rows = ground.ask("misses").part("tests").rows()

    assert {r["p_why"] for r in rows} == {"no player missed with both techniques"}
    assert {r["difference_why"] for r in rows} == {"no player missed with both techniques"}


def test_all_of_one_kind_has_no_interval_and_no_test(ground: Ground) -> None:
    for technique in ("board", "straight"):
        watched(ground, "Tarn", technique, 12, miss_side="left", miss_depth="long",
                attempt={"rebound_by": "defensive"})  # fmt: skip

    found = table_of(ground.ask("misses"))

    assert {r["p_why"] for r in found.values()} == {"every miss compared is of one kind"}
    assert found["offensive rebounds"]["difference"] == 0.0
    assert found["offensive rebounds"]["low"] is None


def test_the_season_of_the_rumour_is_left_out_of_the_comparisons(ground: Ground) -> None:
    five_shooters(ground)
    alone = ground.ask("misses").part("tests").rows()
    for technique in ("board", "straight"):
        watched(ground, "P1", technique, 30, miss_side="left", miss_depth="short",
                season="2023-24")  # fmt: skip
    ground.rumour("2023-24")

    answer = ground.ask("misses")
    raised = ground.ask("misses", season="2023-24")

    assert answer.part("tests").rows() == alone
    assert cells(answer)[("short", "left")] == 35
    assert any("Halma League 2023-24 (this season suggested" in note for note in answer.notes)
    whys = {r["p_why"] for r in raised.part("tests").rows()}
    assert whys == {"this season suggested the question: not a test"}
    assert raised.headline == (
        "Off the backboard 30 of 30 misses left by the side, straight 30 of 30; this season "
        "suggested the question: not a test."
    )


def test_another_focus_is_compared_with_straight_and_straight_with_the_others(
    ground: Ground,
) -> None:
    five_shooters(ground)
    watched(ground, "P0", "underhand", 12, miss_side="centre", miss_depth="level")

    underhand = ground.ask("misses", focus=("underhand",))
    straight = ground.ask("misses", focus=("straight",))

    assert underhand.part("tests").rows()[0]["focus_misses"] == 12
    assert underhand.part("tests").rows()[0]["other_misses"] == 13
    first = straight.part("tests").rows()[0]
    assert (first["focus_misses"], first["other_misses"]) == (65, 77)
    assert "straight minus others" in first["what"]
    assert straight.headline.startswith("Straight 20 of 65 misses left by the side, in another way")


def test_practice_enters_only_where_it_is_asked_for(ground: Ground) -> None:
    five_shooters(ground)
    games = ground.ask("misses")
    watched(ground, "P1", "board", 40, stage="practice", miss_side="left", miss_depth="short")

    mixed = ground.ask("misses", stage=("regular", "practice"))
    practice = ground.ask("misses", stage="practice")

    assert mixed.main.rows() == games.main.rows()
    assert "40 attempts of practice are left out." in mixed.notes
    assert cells(practice) == {("short", "left"): 40}
    assert not any("practice" in note for note in practice.notes)


def test_a_seed_gives_the_same_table(ground: Ground) -> None:
    five_shooters(ground)
    for i in range(5):
        watched(ground, f"P{i}", "board", 3, miss_depth="level")

    one_, again, other = (ground.ask("misses", seed=s).part("tests").rows() for s in (1, 1, 2))

    assert one_ == again
    assert "seed 2" in other[0]["method"]
    assert other[0]["p"] == pytest.approx(one_[0]["p"], abs=0.03)


def few(ground: Ground) -> None:
    for technique, number in (("board", 4), ("straight", 7)):
        watched(ground, "Tarn", technique, number, miss_side="left", miss_depth="long")


def nobody_both(ground: Ground) -> None:
    watched(ground, "Tarn", "board", 30, miss_side="left", miss_depth="long")
    watched(ground, "Oselo", "straight", 30, miss_side="centre", miss_depth="long")


def one_technique(ground: Ground) -> None:
    watched(ground, "Tarn", "board", 30, miss_side="left", miss_depth="long")
    watched(ground, "Oselo", "board", 10, miss_side="centre", miss_depth="long")


def two_straight(ground: Ground) -> None:
    watched(ground, "Tarn", "straight", 2, miss_side="left")


def depth_alone(ground: Ground) -> None:
    for technique, short in (("board", 4), ("straight", 9)):
        watched(ground, "Tarn", technique, short, miss_depth="short")
        watched(ground, "Tarn", technique, 12 - short, miss_depth="long")


def makes_alone(ground: Ground) -> None:
    watched(ground, "Tarn", "board", 5, made=True)


def unplaced(ground: Ground) -> None:
    watched(ground, "Tarn", "board", 5)


def unwatched(ground: Ground) -> None:
    ground.shots("Tarn", 5, 20)


def better_rebounds(ground: Ground) -> None:
    for i in range(4):
        for technique, taken in (("board", 9), ("straight", 1)):
            for rebound, number in (("offensive", taken), ("defensive", 12 - taken)):
                watched(ground, f"P{i}", technique, number, miss_side="centre",
                        attempt={"rebound_by": rebound})  # fmt: skip


@pytest.mark.parametrize(
    ("fill", "said"),
    [
        (five_shooters, "Off the backboard 50 of 65 misses left by the side, straight 20 of 65, "
         "same five shooters, +46 (+31 to +61) per 100; offensive rebounds cannot be told apart."),
        (few, "4 misses off the backboard and 7 straight by the same shooter: counts only."),
        (nobody_both, "Off the backboard 30 of 30 misses left by the side, straight 0 of 30; no "
         "player missed with both, so players and techniques cannot be told apart."),
        (one_technique, "Off the backboard 30 of 40 misses left by the side (60 to 86 %); no miss "
         "straight to compare."),
        (two_straight, "Straight 2 of 2 misses left by the side; no miss off the backboard to "
         "compare."),
        (depth_alone, "Off the backboard 4 of 12 misses were short, straight 9 of 12, same "
         "shooter, −42 (−78 to −5) per 100, a difference is not shown; no rebounds of live misses "
         "to compare."),
        (makes_alone, "Every watched one of these free throws was made: no miss to look at."),
        (unplaced, "No depth or side is noted of 5 watched misses."),
        (unwatched, "None of these free throws is watched: nobody can say where misses go."),
        (better_rebounds, "Off the backboard 0 of 48 misses left by the side, straight 0 of 48, "
         "same four shooters; offensive rebounds +67 (+52 to +81) per 100 live misses."),
    ],
    ids=lambda v: getattr(v, "__name__", ""),
)  # fmt: skip
def test_the_headline_says_what_the_misses_bear(ground: Ground, fill: Fill, said: str) -> None:
    fill(ground)

    assert ground.ask("misses").headline == said


def test_the_note_on_luck_reads_the_interval_out(ground: Ground) -> None:
    better_rebounds(ground)

    notes = " ".join(ground.ask("misses").notes)

    assert "technique and time are the same thing" in notes
    assert "rebounds less than once in 1,000" in notes
    assert "36 of 48 off the backboard, 4 of 48 straight, within players +67 (+52 to +81)" in notes


def test_a_change_of_one_word_by_hand_is_seen(ground: Ground) -> None:
    ids = watched(ground, "Tarn", "board", 3, miss_depth="long", miss_side="left")
    change(ground, "tag", "attempt_id", ids[:1], {"miss_side": "right"})

    assert cells(ground.ask("misses")) == {("long", "left"): 2, ("long", "right"): 1}


def test_a_difference_whose_limits_hold_none_is_not_shown_whatever_its_table_tells(
    ground: Ground,
) -> None:
    # As many leave by the side, but to the other one.
    for technique, side in (("board", "left"), ("straight", "right")):
        watched(ground, "Tarn", technique, 20, miss_side=side, miss_depth="long")
        watched(ground, "Tarn", technique, 10, miss_side="centre", miss_depth="long")

    answer = ground.ask("misses")

    assert table_of(answer)["side of misses"]["p_holm"] < 0.01
    assert ", a difference is not shown; " in answer.headline


def test_rebounds_of_ten_misses_each_are_tested_by_labels_dealt_anew(ground: Ground) -> None:
    for technique, offensive in (("board", 3), ("straight", 0)):
        for rebound, number in (("offensive", offensive), ("defensive", 10 - offensive)):
            watched(
                ground, "Tarn", technique, number, miss_side="left", miss_depth="long",
                attempt={"rebound_by": rebound},
            )  # fmt: skip

    answer = ground.ask("misses")

    row = table_of(answer)["offensive rebounds"]
    # All 3 of 20 in one technique, either way (hypergeometric), though the limits exclude 0.
    assert row["low"] > 0
    assert row["p"] == pytest.approx(2 * comb(10, 3) / comb(20, 3), abs=0.015)
    assert "offensive rebounds cannot be told apart" in answer.headline
