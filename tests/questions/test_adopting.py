"""When players took it up: not yet adopted, the shape of the spread, adopters among team-mates."""

from __future__ import annotations

from typing import Any

import pytest
from lifelines import KaplanMeierFitter
from statsmodels.stats.contingency_tables import StratifiedTable

from ledger.questions.answer import Answer
from ledger.stats import diffusion
from tests.questions.ground import Ground

YES: dict[str, Any] = {"board": (12, 6)}
NO: dict[str, Any] = {"straight": (12, 6)}
SOME: dict[str, Any] = {"straight": (16, 8), "board": (6, 3)}
FEW: dict[str, Any] = {"straight": (2, 1)}


def year(start: int) -> str:
    return f"{start}-{(start + 1) % 100:02}"


def career(ground: Ground, player: str, told: str, first: int = 2010, **more: Any) -> None:
    """One letter a season: Yes, No, Some, ? watched too little, blank not there."""
    tags = {"Y": YES, "N": NO, "S": SOME, "?": FEW}
    for at, letter in enumerate(told):
        if letter != " ":
            ground.shots(player, 40, 60, season=year(first + at), tags=tags[letter], **more)


def rows(answer: Answer, part: str) -> list[dict[str, Any]]:
    return answer.part(part).rows()


def test_not_yet_adopted_is_followed_from_the_season_after_the_first(ground: Ground) -> None:
    career(ground, "Never", "NNNN")
    career(ground, "Second", "NYYY")
    career(ground, "Fourth", "NSNY")
    career(ground, "Always", "YYYY")
    career(ground, "Late", "NY", first=2012)
    career(ground, "Unsure", "NN?Y")
    career(ground, "Gap", "N NN")
    career(ground, "Dim", "?NNN")

    answer = ground.ask("uptake")

    found = rows(answer, "adoption")
    assert [(r["season"], r["at_risk"], r["adopted"]) for r in found] == [
        ("2011-12", 5, 1), ("2012-13", 3, 0), ("2013-14", 4, 2),
    ]  # fmt: skip
    # Who enters in 2012 is at risk from 2013 on; Always began before anybody looked.
    entry = [0, 0, 0, 2, 0, 0]
    last = [3, 1, 3, 3, 1, 3]
    adopted = [False, True, True, True, False, False]
    theirs = KaplanMeierFitter().fit(last, adopted, entry=entry)
    shares = theirs.survival_function_at_times([1, 2, 3]).tolist()
    limits = theirs.confidence_interval_survival_function_
    assert [r["not_yet"] for r in found] == pytest.approx(shares)
    assert [found[2]["low"], found[2]["high"]] == pytest.approx(limits.loc[3].tolist())
    assert found[1]["low"] == found[0]["low"]
    assert [r["why"] for r in found] == [None] * 3
    assert any("1 adopter is left out who did it in the first season" in n for n in answer.notes)
    assert any("6 players of the 6 followed were not drawn by lot" in n for n in answer.notes)
    assert any("2 players are followed only up to the first season" in n for n in answer.notes)


def test_players_drawn_by_lot_make_no_warning(ground: Ground) -> None:
    career(ground, "Tarn", "NN")
    career(ground, "Oselo", "NY")
    ground.lot("one", ["Tarn", "Oselo"], ["Tarn", "Oselo"], season=year(2010))

    answer = ground.ask("uptake")

    assert not any("noticed" in note for note in answer.notes)


def test_before_anybody_takes_it_up_and_after_everybody_has_there_are_no_limits(
    ground: Ground,
) -> None:
    for i in range(3):
        career(ground, f"P{i}", "NNY")

    found = rows(ground.ask("uptake"), "adoption")

    assert [(r["not_yet"], r["low"], r["high"]) for r in found] == [
        (1.0, None, None), (0.0, None, None),
    ]  # fmt: skip
    assert [r["why"] for r in found] == [
        "nobody at risk has taken it up so far", "everybody at risk has taken it up: no limits",
    ]  # fmt: skip


def test_nobody_watched_enough_gives_no_share_but_a_reason(ground: Ground) -> None:
    career(ground, "Tarn", "??")

    (row,) = rows(ground.ask("uptake"), "adoption")

    assert (row["not_yet"], row["at_risk"]) == (None, 0)
    assert row["why"] == "nobody was watched enough from his first season on"


def test_one_season_has_no_later_one_to_adopt_in(ground: Ground) -> None:
    career(ground, "Tarn", "N")

    answer = ground.ask("uptake")

    assert rows(answer, "adoption") == []
    (spread,) = rows(answer, "diffusion")
    assert spread["why"] == "fewer than 8 seasons: the ceiling cannot be known"


def test_the_shape_of_the_spread_is_told_of_players_there_throughout(ground: Ground) -> None:
    told = {1: 1, 2: 3, 3: 4, 4: 3, 5: 1}
    number = 0
    for first, adopters in told.items():
        for _ in range(adopters):
            career(ground, f"P{number:02}", "N" * first + "Y" * (8 - first))
            number += 1
    for i in range(12):
        career(ground, f"Never{i:02}", "N" * 8)
    career(ground, "Comes", "NY", first=2016)
    career(ground, "Goes", "NNY")
    career(ground, "Unsure", "NNN?NNNN")
    career(ground, "Always", "YYYYYYYY")

    (row,) = rows(ground.ask("uptake"), "diffusion")

    assert (row["seasons"], row["players"], row["adopters"]) == (8, 26, 13)
    # Season 1 is the first: the one who always did it counts there, the unsure one up to season 3.
    found = diffusion.fit([1, 1, 3, 4, 3, 1, 0, 0], [8] * 12 + [3])
    assert (row["ceiling"], row["low"], row["high"]) == (found.ceiling, found.low, found.high)
    assert (row["p"], row["q"], row["why"]) == (found.p, found.q, None)
    assert row["low"] < row["ceiling"] < row["high"]
    assert row["ceiling"] == pytest.approx(0.5, abs=0.03)


def test_a_spread_that_still_grows_has_no_ceiling(ground: Ground) -> None:
    for at in range(7):
        for i in range(1 + at // 3):
            career(ground, f"P{at}{i}", "N" * (at + 1) + "Y" * (7 - at))

    (row,) = rows(ground.ask("uptake"), "diffusion")

    assert (row["ceiling"], row["p"], row["q"], row["low"]) == (None,) * 4
    assert row["why"] == "the peak is not passed: the ceiling cannot be known"


def test_a_spread_of_nobody_is_told_of_those_who_were_there_throughout(ground: Ground) -> None:
    for i in range(8):
        career(ground, f"Stays{i}", "N" * 8)
    career(ground, "Comes", "NNY", first=2014)

    answer = ground.ask("uptake")

    (row,) = rows(answer, "diffusion")
    assert sum(r["adopted"] for r in rows(answer, "adoption")) == 1
    assert (row["players"], row["adopters"]) == (8, 0)
    assert row["why"].startswith("of the players there in the first and the last season nobody")


def league_of_teams(ground: Ground) -> None:
    """Skerry has an adopter from the first season on, Weir none until its own."""
    career(ground, "Source", "YYY", team="Skerry")
    for i in range(8):
        career(ground, f"S{i}", "NYY" if i < 3 else "NNY" if i < 5 else "NNN", team="Skerry")
    for i in range(10):
        career(ground, f"W{i}", "NNN" if i else "NYY", team="Weir")
    career(ground, "Moved", "N", team="Weir")
    career(ground, "Moved", "N", first=2011, team="Skerry")
    career(ground, "Absent", "N N", team="Skerry")


def test_adopters_among_team_mates_are_counted_of_the_season_before(ground: Ground) -> None:
    league_of_teams(ground)

    answer = ground.ask("uptake")

    (row,) = rows(answer, "team_mates")
    # 2011: with S0..S7, without W0..W9 and Moved; 2012: with S3..S7 and W1..W9, nobody without.
    assert (row["with_adopted"], row["with_players"]) == (5, 8 + 5 + 9)
    assert (row["without_adopted"], row["without_players"]) == (1, 11)
    theirs = StratifiedTable([[[3, 5], [1, 10]], [[2, 12], [0, 0]]])
    assert row["odds_ratio"] == pytest.approx(theirs.oddsratio_pooled)
    assert row["seasons"] == 1
    assert row["low"] < row["odds_ratio"] < row["high"]
    assert (
        "Adopters among team-mates: players of one team share coaches; this is not proof of "
        "copying." in answer.notes
    )
    assert not any("effect" in note for note in answer.notes)


def test_too_few_adoptions_beside_an_adopter_are_not_compared(ground: Ground) -> None:
    career(ground, "Source", "YY")
    career(ground, "Tarn", "NY")
    career(ground, "Oselo", "NN")

    answer = ground.ask("uptake")

    (row,) = rows(answer, "team_mates")
    assert (row["odds_ratio"], row["why"]) == (None, "too few adoptions to compare")
    assert not any("coaches" in note for note in answer.notes)


def test_leagues_are_kept_apart_and_rows_by_team_change_nothing(ground: Ground) -> None:
    league_of_teams(ground)
    for season in (2010, 2011):
        ground.shots("Tarn", 40, 60, league="Okel Division", season=year(season), tags=NO)

    by_league, by_team = ground.ask("uptake"), ground.ask("uptake", by="team")

    for part in ("adoption", "diffusion", "team_mates"):
        assert rows(by_league, part) == rows(by_team, part)
    assert [r["league"] for r in rows(by_league, "diffusion")] == ["Halma League", "Okel Division"]
    assert [r["at_risk"] for r in rows(by_league, "adoption")] == [20, 15, 1]


def test_players_watched_by_result_are_not_followed(ground: Ground) -> None:
    for i in range(12):
        career(ground, f"P{i:02}", "N")
        ground.shots(f"P{i:02}", 40, 60, season=year(2011), tags={"board": (2, 18)})

    (row,) = rows(ground.ask("uptake"), "adoption")

    assert (row["at_risk"], row["adopted"]) == (0, 0)


@pytest.mark.parametrize("asked", [{"technique": "board"}, {"stage": "practice"}])
def test_where_there_is_no_share_the_frames_are_empty(
    ground: Ground, asked: dict[str, str]
) -> None:
    career(ground, "Tarn", "NN")
    ground.shots("Tarn", 4, 10, stage="practice")

    answer = ground.ask("uptake", **asked)

    assert all(answer.part(p).frame.is_empty() for p in ("adoption", "diffusion", "team_mates"))
