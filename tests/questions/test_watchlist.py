"""What to watch next: the order, the limits, who is left alone, who watches, second opinions."""

from __future__ import annotations

from typing import Any

import pytest

from ledger.errors import UseError
from ledger.questions.answer import Answer
from ledger.stats.technique_class import chance_decided
from tests.questions.ground import Ground, by_player


def games(answer: Answer) -> list[dict[str, Any]]:
    return answer.main.rows()


def check_game(ground: Ground) -> None:
    """One game with 4 unwatched attempts of (0 of 5) and 6 of (1 of 10)."""
    ground.shots("Tarn", 5, 5, tags={"straight": (5, 0)}, games=2, first_day=1)
    ground.shots("Tarn", 4, 4, games=1)
    ground.shots("Oselo", 10, 10, tags={"straight": (9, 0), "board": (1, 0)}, games=2, first_day=1)
    ground.shots("Oselo", 6, 6, games=1)


def test_a_game_counts_players_decided_per_attempt(ground: Ground) -> None:
    check_game(ground)

    answer = ground.ask("watchlist")

    (game,) = games(answer)
    # A check of the method notes, computed.
    assert game["per_attempt"] == pytest.approx(0.04287, abs=1e-5)
    assert game["expected_decided"] == pytest.approx(0.4287, abs=1e-4)
    assert game["expected_so_far"] == pytest.approx(
        chance_decided(0, 5, 4) + chance_decided(1, 10, 6)
    )
    assert (game["attempts_to_watch"], game["undecided_players"]) == (10, 2)
    assert game["watch"] == "Oselo (6), Tarn (4)"
    assert (game["game"], game["date"]) == ("G3", "2024-11-01")
    assert (game["league"], game["season"]) == ("Halma League", "2024-25")
    assert game["for_tagger"] == "tagger 1"
    assert answer.headline == (
        "1 game, 10 free throws, should settle hardly any of 2 open players."
    )


def test_games_stand_by_players_decided_per_attempt_and_ties_by_date(ground: Ground) -> None:
    # Nearly settled; far from it, in a later and an earlier game.
    ground.shots("Near", 12, 12, tags={"straight": (12, 0)}, games=2, first_day=9)
    ground.shots("Near", 3, 3, games=1, first_day=5)
    ground.shots("Far", 6, 6, games=1, first_day=4)
    ground.shots("Away", 6, 6, games=1, first_day=3)

    found = games(ground.ask("watchlist"))

    days = [int(game["date"][-2:]) for game in found]
    assert days == [6, 4, 5]
    assert found[0]["per_attempt"] > found[1]["per_attempt"] == found[2]["per_attempt"]


def test_who_is_called_or_mixes_is_left_alone_and_every_player_is_told(ground: Ground) -> None:
    ground.shots("Sure", 40, 60, tags={"straight": (16, 9)})
    ground.shots("Mixa", 70, 100, tags={"straight": (20, 11), "board": (20, 11)})
    ground.shots("Seen", 5, 5, tags={"board": (5, 0)})
    ground.shots("Tarn", 40, 60, tags={"straight": (4, 1)})
    ground.shots("New", 40, 60)

    answer = ground.ask("watchlist")

    players = by_player(answer, "players")
    told = {n: (p["state"], p["tagged"], p["may_stop"], p["why"]) for n, p in players.items()}
    assert told == {
        "Tarn": ("undecided", 5, False, None),
        "New": ("untagged", 0, False, None),
        "Seen": ("undecided", 5, True, "no unwatched attempt in a game"),
        "Sure": ("not", 25, True, "decided"),
        "Mixa": ("undecided", 62, True, "mixes: leave undecided (60 watched)"),
    }
    assert list(told) == ["Tarn", "New", "Seen", "Mixa", "Sure"]
    assert players["Tarn"]["more_tags"] == 8
    assert (players["Tarn"]["unwatched"], players["Mixa"]["unwatched"]) == (55, 38)
    assert players["Mixa"]["more_tags"] is None
    assert {game["undecided_players"] for game in games(answer)} == {2}
    assert sum(game["attempts_to_watch"] for game in games(answer)) == 55 + 60
    assert any(
        "1 player is undecided after 60 watched attempts: he mixes" in n for n in answer.notes
    )


def test_sixty_tags_are_enough_and_fifty_nine_are_not(ground: Ground) -> None:
    ground.shots("Sixty", 60, 100, tags={"straight": (30, 0), "board": (30, 0)})
    ground.shots("Less", 60, 100, tags={"straight": (30, 0), "board": (29, 0)})

    players = by_player(ground.ask("watchlist", budget=1_000), "players")

    # Makes only were watched here, of some they are refused: both are judged by the same rule.
    assert {name: p["tagged"] for name, p in players.items()} == {"Sixty": 60, "Less": 59}
    assert all(p["why"].startswith("tagged attempts were picked") for p in players.values())

    even = Ground()
    even.shots("Sixty", 60, 100, tags={"straight": (18, 12), "board": (18, 12)})
    even.shots("Less", 60, 100, tags={"straight": (18, 12), "board": (18, 11)})
    players = by_player(even.ask("watchlist"), "players")
    assert {name: p["may_stop"] for name, p in players.items()} == {"Sixty": True, "Less": False}


def test_what_could_not_be_told_is_not_offered_again(ground: Ground) -> None:
    ground.shots("Tarn", 20, 30, tags={"straight": (4, 1)}, unclear=7)

    answer = ground.ask("watchlist")

    assert sum(game["attempts_to_watch"] for game in games(answer)) == 30 - 5 - 7
    assert any("not offered again" in note for note in answer.notes)
    rest = Ground()
    rest.shots("Tarn", 8, 12, tags={"straight": (4, 1)}, unclear=7)
    nothing = rest.ask("watchlist")
    assert nothing.headline == "No open player has unwatched film here."
    assert games(nothing) == []


def test_a_disputed_attempt_is_settled_and_not_watched_again(ground: Ground) -> None:
    ground.shots("Tarn", 20, 30, tags={"straight": (4, 1)})
    ground.tag(30, "board", disputed=True)

    answer = ground.ask("watchlist")

    assert sum(game["attempts_to_watch"] for game in games(answer)) == 24


def test_a_game_without_film_says_so(ground: Ground) -> None:
    ground.shots("Tarn", 10, 20, games=2)
    ground.con.execute("UPDATE game SET video = 'disk 3' WHERE id = 1")

    answer = ground.ask("watchlist")

    assert {(g["game"], g["video"], g["video_why"]) for g in games(answer)} == {
        ("G1", "disk 3", None), ("G2", None, "no film named"),
    }  # fmt: skip
    assert any(
        note.startswith("1 of 2 games names no film: type offglass") for note in answer.notes
    )


def season(ground: Ground) -> None:
    """Six games, three open players in each."""
    for name in ("Tarn", "Oselo", "Brann"):
        ground.shots(name, 30, 48, games=6)


def test_a_budget_is_kept_and_what_is_passed_over_is_counted(ground: Ground) -> None:
    season(ground)

    all_, some = ground.ask("watchlist"), ground.ask("watchlist", budget=60)

    assert [g["attempts_to_watch"] for g in games(all_)] == [24] * 6
    assert [g["game"] for g in games(some)] == [g["game"] for g in games(all_)][:2]
    assert sum(g["attempts_to_watch"] for g in games(some)) <= 60
    assert any(n.startswith("4 more games with open players do not fit") for n in some.notes)
    assert ground.ask("watchlist", budget=10).headline == (
        "No game fits that would add anything: the smallest with an open player has 24 free throws."
    )


def test_a_game_that_adds_nothing_to_those_above_is_passed_over(ground: Ground) -> None:
    season(ground)

    found = games(ground.ask("watchlist", budget=1_000))

    # 13 more settle an untagged player: after two games of 8 each nobody needs a third.
    assert len(found) == 2
    each = [chance_decided(0, 0, 8), chance_decided(0, 0, 16)]
    assert [g["expected_so_far"] for g in found] == pytest.approx([3 * each[0], 3 * each[1]])


def test_minutes_are_turned_into_attempts_for_each_tagger(ground: Ground) -> None:
    season(ground)

    one = ground.ask("watchlist", minutes=13)
    two = ground.ask("watchlist", minutes=13, taggers=2)
    slow = ground.ask("watchlist", minutes=13, per_minute=1)

    assert [g["for_tagger"] for g in games(one)] == ["tagger 1"]
    assert [g["for_tagger"] for g in games(two)] == ["tagger 1", "tagger 2"]
    assert games(slow) == []
    assert (
        "13 minutes are taken as 26 attempts for each of 2 taggers: 2 a minute with finding them "
        "on film, an assumption (--per-minute changes it)." in two.notes
    )


def test_games_are_dealt_out_by_name(ground: Ground) -> None:
    season(ground)

    found = games(ground.ask("watchlist", taggers=" Ana ,Bo"))

    assert [g["for_tagger"] for g in found] == ["Ana", "Bo"] * 3


@pytest.mark.parametrize("taggers", ["0", "-1", "51", "", " , ", "Ana,ana"])
def test_nobody_too_many_or_one_twice_cannot_watch(ground: Ground, taggers: str) -> None:
    season(ground)

    with pytest.raises(UseError, match="--taggers"):
        ground.ask("watchlist", taggers=taggers)


def test_drawn_players_come_first_where_the_share_is_wanted(ground: Ground) -> None:
    ground.shots("Near", 12, 12, tags={"straight": (12, 0)}, games=2, first_day=9)
    ground.shots("Near", 3, 3, games=1, first_day=5)
    ground.shots("Drawn", 6, 10, games=1, first_day=4)
    ground.lot("draw", ["Drawn"], ["Drawn"])

    players, share = ground.ask("watchlist"), ground.ask("watchlist", aim="share")

    assert [g["watch"] for g in games(players)] == ["Near (3)", "Drawn (10)"]
    assert [g["watch"] for g in games(share)] == ["Drawn (10)", "Near (3)"]
    assert [g["drawn_players"] for g in games(share)] == [1, 0]
    assert by_player(share, "players")["Drawn"]["drawn"] is True
    assert any("1 open player drawn by lot comes first" in note for note in share.notes)
    none = Ground()
    season(none)
    answer = none.ask("watchlist", aim="share")
    assert any(note.startswith("Nobody drawn by lot is open here") for note in answer.notes)


def second(ground: Ground, attempts: list[int]) -> None:
    for attempt in attempts:
        ground.con.execute(
            "INSERT INTO double_tag VALUES (?, 1, TIMESTAMP '2025-01-01')", [attempt]
        )


def test_second_opinions_go_to_somebody_else_and_tell_nothing_of_the_first(ground: Ground) -> None:
    ground.shots("Tarn", 20, 30, tags={"straight": (6, 2)}, tagger="Ana")
    ground.shots("Oselo", 20, 30, tags={"board": (6, 2)}, tagger="Bo")
    second(ground, [1, 2, 31, 3])
    ground.tag(3, "straight", tagger="Bo")

    named = ground.ask("watchlist", taggers="Ana,Bo")
    alone = ground.ask("watchlist", taggers="ana")
    unnamed = ground.ask("watchlist", taggers=2)

    rows = named.part("second_opinions").rows()
    # The third has its second opinion already.
    assert {(r["attempt"], r["player"], r["for_tagger"]) for r in rows} == {
        (1, "Tarn", "Bo"), (2, "Tarn", "Bo"), (31, "Oselo", "Ana"),
    }  # fmt: skip
    assert not {"technique", "tagger", "made"} & set(rows[0])
    told = {r["attempt"]: r["for_tagger"] for r in alone.part("second_opinions").rows()}
    assert told == {1: "somebody other than Ana", 2: "somebody other than Ana", 31: "ana"}
    told = {r["attempt"]: r["for_tagger"] for r in unnamed.part("second_opinions").rows()}
    assert told[31] == "somebody other than Bo"
    assert {g["game"]: g["second_opinions"] for g in games(named)} == {
        "G1": 2, "G2": 1, "G3": 0, "G4": 0,
    }  # fmt: skip
    assert any(
        note.startswith("3 attempts of the tenth drawn to be watched") for note in named.notes
    )


def test_an_opinion_that_could_not_be_told_asks_for_no_second(ground: Ground) -> None:
    ground.shots("Tarn", 20, 30, tags={"straight": (6, 2)}, tagger="Ana")
    second(ground, [1, 2])
    ground.con.execute("UPDATE tag SET unclear = true, technique_id = NULL WHERE attempt_id = 1")

    rows = ground.ask("watchlist").part("second_opinions").rows()

    assert [row["attempt"] for row in rows] == [2]


def test_players_watched_by_result_and_seasons_keep_apart(ground: Ground) -> None:
    for i in range(12):
        ground.shots(f"P{i:02}", 40, 60, tags={"board": (2, 18)})
    ground.shots("P00", 10, 20, season="2023-24")

    answer = ground.ask("watchlist")

    assert {g["season"] for g in games(answer)} == {"2023-24"}
    assert answer.headline.endswith("of 1 open player-season.")
    refused = [p for p in answer.part("players").rows() if p["season"] == "2024-25"]
    assert all(p["state"] is None and p["may_stop"] for p in refused)
    assert all(str(p["why"]).startswith("tagged attempts were picked") for p in refused)


def test_a_team_narrows_who_is_open_and_what_is_counted(ground: Ground) -> None:
    ground.shots("Tarn", 10, 20, team="Skerry", games=2)
    ground.shots("Oselo", 10, 20, team="Weir", games=2)

    found = games(ground.ask("watchlist", team="Weir"))

    assert [g["watch"] for g in found] == ["Oselo (10)", "Oselo (10)"]


@pytest.mark.parametrize("asked", [{"technique": "board"}, {"stage": "practice"}])
def test_of_one_technique_or_of_practice_there_is_no_list(
    ground: Ground, asked: dict[str, Any]
) -> None:
    season(ground)
    ground.shots("Tarn", 10, 20, stage="practice")

    answer = ground.ask("watchlist", **asked)

    assert games(answer) == []
    assert answer.part("players").frame.is_empty()
    assert "echnique" in answer.headline


@pytest.mark.parametrize(
    "question", ["uptake", "watchlist", "adopters", "candidates", "switches", "agreement"]
)
def test_a_technique_that_is_none_is_refused_before_anything_is_said(
    ground: Ground, question: str
) -> None:
    ground.shots("Tarn", 15, 20, tags={"board": (3, 1)})

    with pytest.raises(UseError, match="did you mean board"):
        ground.ask(question, technique="boardy")
