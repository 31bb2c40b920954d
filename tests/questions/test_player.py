"""One player, everything: the running rate, his seasons, notes, decisions, and who is meant."""

from __future__ import annotations

from datetime import date

import pytest

from ledger.errors import UseError
from ledger.stats.intervals import wilson
from tests.questions.ground import NOON, Ground


def test_the_running_rate_is_of_the_last_fifty_attempts_one_point_a_game(ground: Ground) -> None:
    # Six games of 10: in each the makes come first.
    for game in range(6):
        ground.shots("Tarn", 5 + (game % 3), 10, games=1, first_day=game)

    answer = ground.ask("player", player="Tarn")

    made = [row["made"] for row in answer.main.rows()]
    assert made == [5, 6, 7, 5, 6, 7]
    rates = [row["running_rate"] for row in answer.main.rows()]
    assert rates == pytest.approx([0.5, 11 / 20, 18 / 30, 23 / 40, 29 / 50, 31 / 50])
    limits = wilson(31, 50)
    last = answer.main.rows()[-1]
    assert (last["low"], last["high"]) == pytest.approx((limits.low, limits.high))
    assert answer.headline == (
        "Tarn made 62 % (48 to 74) of his last 50 free throws and 60 % of all 60; never watched."
    )


def test_a_window_cuts_into_a_game_by_its_order_and_by_proportion_without_one(
    ground: Ground,
) -> None:
    ground.shots("Tarn", 10, 20, games=1)
    ground.shots("Tarn", 0, 40, games=1, first_day=1)
    ground.shots("Oselo", 10, 20, games=1, ordered=False)
    ground.shots("Oselo", 0, 40, games=1, first_day=1)

    ordered = ground.ask("player", player="Tarn")
    box = ground.ask("player", player="Oselo")

    # Ten of the first game are in the window: its last ten, all missed; or half of them made.
    assert ordered.main.rows()[-1]["running_rate"] == 0.0
    assert box.main.rows()[-1]["running_rate"] == pytest.approx(5 / 50)
    assert any(note.startswith("1 game of unknown order") for note in box.notes)


def test_below_ten_attempts_there_is_no_rate_and_the_reason_stands_there(ground: Ground) -> None:
    ground.shots("Tarn", 5, 9, games=1)

    answer = ground.ask("player", player="Tarn")

    (row,) = answer.main.rows()
    assert (row["running_rate"], row["low"], row["running_why"]) == (
        None, None, "fewer than 10 attempts",
    )  # fmt: skip
    assert answer.headline == (
        "Tarn made 5 of 9 free throws: no running rate before 10; never watched."
    )


def test_techniques_seasons_and_facts_stand_beside_it(ground: Ground) -> None:
    ground.shots("Tarn", 30, 60, season="2023-24", tags={"straight": (10, 10)}, position="guard")
    ground.shots("Tarn", 45, 60, tags={"board": (15, 5)})
    ground.total("Tarn", 50, 70)

    answer = ground.ask("player", player="tarn")

    shot = answer.part("by_technique").frame.select("technique", "made", "attempts").rows()
    assert shot == [("board", 15, 20), ("straight", 10, 20)]
    seasons = answer.part("by_season").rows()
    assert [(r["season"], r["made"], r["attempts"], r["state"]) for r in seasons] == [
        ("2023-24", 30, 60, "not"), ("2024-25", 50, 70, "adopter"),
    ]  # fmt: skip
    (facts,) = answer.part("facts").rows()
    assert (facts["made"], facts["attempts"], facts["seasons"], facts["games"]) == (80, 130, 2, 8)
    assert (facts["position"], facts["tagged"]) == ("guard", 40)
    assert facts["unknown_why"] == "no file tells height, mass, birth year, hand"
    assert [row["technique"] for row in answer.main.rows()] == ["straight"] * 4 + ["board"] * 4
    assert "Season totals fill in 10 attempts that no game record holds." in answer.notes


def test_his_changes_are_those_of_the_question_about_changes(ground: Ground) -> None:
    for game in range(10):
        kind = "straight" if game < 5 else "board"
        ground.shots("Tarn", 5, 8, games=1, first_day=game, tags={kind: (5, 3)})

    changes = ground.ask("player", player="Tarn").part("switches")

    assert changes.rows() == ground.ask("switches", player="Tarn").main.rows()
    assert [row["direction"] for row in changes.rows()] == ["to_focus"]


def test_tags_picked_by_result_give_no_rate_by_technique(ground: Ground) -> None:
    for i in range(12):
        ground.shots(f"P{i:02}", 40, 60, tags={"board": (2, 18)})

    answer = ground.ask("player", player="P00")

    assert answer.part("by_technique").rows() == []
    assert any("picked by result" in note for note in answer.notes)
    (season,) = answer.part("by_season").rows()
    assert (season["share"], season["state"]) == (None, None)
    assert "picked by result" in season["share_why"]


def test_notes_and_decisions_stand_there_with_what_is_due(ground: Ground) -> None:
    ground.shots("Tarn", 8, 12)
    who = ground.player("Tarn")
    ground.con.execute(
        "INSERT INTO note VALUES (1, ?, NULL, 'new coach', 'Ana', ?), (2, NULL, NULL, 'x', 'B', ?)",
        [who, NOON, NOON],
    )
    ground.con.execute(
        """INSERT INTO decision VALUES (1, ?, 'try', 'soft', ?, 'Ana', ?),
        (2, ?, 'wait', 'ill', ?, 'Ana', ?), (3, ?, 'stop', 'done', NULL, 'Ana', ?)""",
        [who, date(2025, 1, 1), NOON, who, date(2025, 1, 2), NOON, who, NOON],
    )

    answer = ground.ask("player", player="Tarn")

    assert [row["text"] for row in answer.part("notes").rows()] == ["new coach"]
    due = {row["choice"]: row["due"] for row in answer.part("decisions").rows()}
    assert due == {"try": True, "wait": False, "stop": False}
    assert "1 decision is due to be looked at again." in answer.notes


def test_misses_are_counted_by_depth_and_side(ground: Ground) -> None:
    ground.shots("Tarn", 1, 4, games=1)
    ground.tag(1, "board")
    ground.tag(2, "board", miss_depth="short", miss_side="left", picked_for="result")
    ground.tag(3, "board", miss_depth="short", miss_side="left")
    ground.tag(4, "board", miss_depth="short")

    rows = ground.ask("player", player="Tarn").part("misses").rows()

    (cell,) = [row for row in rows if row["count"]]
    assert (cell["depth"], cell["side"], cell["count"], cell["seen"], cell["share"]) == (
        "short", "left", 2, 2, 1.0,
    )  # fmt: skip
    assert (cell["made"], cell["missed"]) == (1, 3)


def test_a_name_of_several_is_asked_back(ground: Ground) -> None:
    ground.shots("Tarn", 8, 12)
    ground.shots("Tarn", 5, 12, league="Drellin Liga", team="Ostra")

    with pytest.raises(UseError) as refused:
        ground.ask("player", player="Tarn")

    assert refused.value.message == (
        "'Tarn' is 2 players: Tarn (Halma League, Skerry) or Tarn (Drellin Liga, Ostra); say which "
        "with --league or --team"
    )
    by_league = ground.ask("player", player="Tarn", league="Drellin Liga")
    by_team = ground.ask("player", player="Tarn", team="Skerry")
    assert (by_league.frame["made"].sum(), by_team.frame["made"].sum()) == (5, 8)


def test_two_spellings_of_one_are_one(ground: Ground) -> None:
    ground.shots("Tarn", 8, 12)
    ground.shots("I. Tarn", 5, 12, league="Drellin Liga", team="Ostra", first_day=9)
    ground.same("Tarn", "I. Tarn", other_league="Drellin Liga")

    answer = ground.ask("player", player="I. Tarn")

    assert answer.frame["made"].sum() == 13
    assert answer.part("facts").rows()[0]["league"] == "Drellin Liga, Halma League"


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({}, "Say which player: type --player NAME."),
        ({"player": "Tarn", "stage": "practice"}, "practice has its own question, the trial"),
        ({"player": "Tarn", "technique": "board"}, "leave out --technique"),
        ({"player": "Tarn", "season": "2023-24"}, "No free throws here: without --season there"),
    ],
)
def test_what_cannot_be_asked_is_said_and_leaves_empty_frames(
    ground: Ground, asked: dict[str, str], said: str
) -> None:
    ground.shots("Tarn", 8, 12)
    ground.season("2023-24")

    answer = ground.ask("player", **asked)

    assert said in answer.headline
    assert answer.frame.is_empty()
    assert set(answer.parts) == {
        "facts", "by_technique", "by_season", "switches", "misses", "notes", "decisions",
    }  # fmt: skip


def test_season_totals_alone_give_no_curve(ground: Ground) -> None:
    ground.total("Tarn", 50, 70)

    answer = ground.ask("player", player="Tarn")

    assert answer.headline == (
        "Tarn made 50 of 70 free throws, season totals only: no running rate; never watched."
    )


def test_a_miss_that_people_saw_differently_is_in_no_cell_before_it_is_settled(
    ground: Ground,
) -> None:
    ground.shots("Tarn", 0, 3, tags={})
    for attempt in (1, 2, 3):
        ground.tag(attempt, "board", miss_depth="short", miss_side="left")
    for attempt in (2, 3):
        ground.tag(attempt, "board", miss_depth="long", miss_side="left", tagger="Bo")
    ground.tag(3, "board", miss_depth="long", tagger="Chief", adjudicated=True)

    rows = ground.ask("player", player="Tarn").part("misses").rows()

    counts = {(row["depth"], row["side"]): row["count"] for row in rows if row["count"]}
    assert counts == {("short", "left"): 1, ("long", "left"): 1}
    by_player = ground.ask("misses", player="Tarn", by="player").main.rows()
    assert counts == {(r["depth"], r["side"]): r["count"] for r in by_player if r["count"]}


def test_each_game_says_how_often_the_studied_technique_was_seen(ground: Ground) -> None:
    ground.shots("Tarn", 3, 6, games=1, tags={"board": (2, 1), "straight": (1, 0)})
    ground.shots("Tarn", 3, 6, games=1, first_day=7, tags={"straight": (2, 2)})
    ground.shots("Tarn", 3, 6, games=1, first_day=14)

    rows = ground.ask("player", player="Tarn").main.rows()

    assert [row["focus_tags"] for row in rows] == [3, 0, 0]
    assert [row["tagged"] for row in rows] == [4, 4, 0]
