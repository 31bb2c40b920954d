from __future__ import annotations

from typing import Any

import pytest

from ledger.errors import UseError
from ledger.questions.answer import Answer
from ledger.stats.worth import Known, chance_below, worth
from tests.questions.ground import Ground

TYPED: dict[str, Any] = {"per_possession": 1.10, "offensive_rebound": 0.12}


def by_trip(answer: Answer, part: str = "") -> dict[str, dict[str, Any]]:
    return {row["trip"]: row for row in answer.part(part).rows()}


def league(ground: Ground) -> None:
    for i in range(12):
        ground.shots(f"P{i:02}", 45 + 2 * i, 80)
    ground.shots("Tarn", 55, 90)


def last_of_two(ground: Ground, rebounds: dict[str | None, int], *, start: int = 1) -> None:
    """Make misses live, so many with each rebound."""
    ids = [r[0] for r in ground.con.execute(
        "SELECT id FROM attempt WHERE NOT made AND id >= ? ORDER BY id", [start]
    ).fetchall()]  # fmt: skip
    at = 0
    for rebound, many in rebounds.items():
        for number in ids[at : at + many]:
            ground.con.execute(
                "UPDATE attempt SET trip_shot = 2, rebound_by = ? WHERE id = ?", [rebound, number]
            )
        at += many


@pytest.mark.parametrize(
    ("rate", "two", "three", "one_and_one"),
    [(0.60, 125.28, 185.28, 104.448), (0.75, 153.30, 228.30, 137.025)],
)
def test_typed_numbers_give_the_check_values(
    ground: Ground, rate: float, two: float, three: float, one_and_one: float
) -> None:
    answer = ground.ask("worth", rate=rate, **TYPED)
    rows, even = by_trip(answer), by_trip(answer, "break_even")

    found = [rows[trip]["points_per_100"] for trip in ("two", "three", "one_and_one")]
    assert found == pytest.approx([two, three, one_and_one])
    assert rows["two"]["low"] is None
    assert rows["two"]["low_why"] == "rate and rebounds were typed: nothing is uncertain"
    rates = [even[trip]["rate"] for trip in ("two", "three", "one_and_one")]
    assert rates == pytest.approx([0.518201, 0.337517, 0.626887], abs=1e-6)
    side = "below" if rate < 0.626887 else "not below"
    assert even["one_and_one"]["why"] == f"the typed rate is {side} it: nothing is uncertain"
    assert even["one"]["rate"] is None
    assert even["one"]["why"] == "above 1: fouling always pays, on these numbers"
    assert answer.headline == (
        "At 1.10 a possession and 12 % offensive rebounds, a foul for two shots pays below "
        f"51.8 %; the rate typed is {100 * rate:.0f} %."
    )


def test_the_curve_tells_the_points_at_every_rate(ground: Ground) -> None:
    curve = ground.ask("worth", rate=0.9, **TYPED).more["curve"]
    points = {(r["trip"], round(r["rate"], 2)): r["points"] for r in curve.rows(named=True)}

    # The check values of the trips at 60 and 75 %: counted by hand from the rules of the game.
    for rate, *wanted in ((0.60, 1.2528, 1.8528, 1.04448), (0.75, 1.5330, 2.2830, 1.37025)):
        found = [points[trip, rate] for trip in ("two", "three", "one_and_one")]
        assert found == pytest.approx(wanted)
    # Two shots pay the foul between 50 and 55 %, where the curve passes 1.10 a possession.
    assert points["two", 0.5] < 1.10 < points["two", 0.55]
    # Without a make only the rebound brings something.
    assert points["three", 0.0] == pytest.approx(0.12 * 1.10)


def test_without_points_of_a_possession_the_curve_is_of_makes(ground: Ground) -> None:
    league(ground)
    answer = ground.ask("worth", player="Tarn", offensive_rebound=0.3)
    curve = answer.more["curve"]
    points = {(r["trip"], round(r["rate"], 2)): r["points"] for r in curve.rows(named=True)}

    assert points["two", 0.5] == pytest.approx(1.0)
    assert points["one_and_one", 0.5] == pytest.approx(0.75)
    assert points["three", 1.0] == pytest.approx(3.0)
    assert {trip for trip, _ in points} == set(by_trip(answer))
    assert len(points) == 21 * curve["trip"].n_unique()


def test_a_player_enters_with_his_rate_allowing_for_luck(ground: Ground) -> None:
    league(ground)
    answer = ground.ask("worth", player="Tarn", **TYPED)
    (rank,) = ground.ask("ranking", player="Tarn").main.rows()
    known = {row["what"]: row for row in answer.part("known").rows()}

    assert known["rate"]["value"] == pytest.approx(rank["shrunken_rate"])
    limits = (known["rate"]["low"], known["rate"]["high"])
    assert limits == pytest.approx((rank["low"], rank["high"]))
    assert (known["rate"]["count"], known["rate"]["of"]) == (55, 90)
    row, even = by_trip(answer)["two"], by_trip(answer, "break_even")["two"]
    assert row["points"] == pytest.approx(
        2 * rank["shrunken_rate"] + (1 - rank["shrunken_rate"]) * 0.132, abs=1e-4
    )
    assert row["low"] == pytest.approx(2 * rank["low"] + (1 - rank["low"]) * 0.132, abs=2e-3)
    assert 0 < even["chance_below"] < 0.1
    assert answer.headline == (
        "At 1.10 a possession and 12 % offensive rebounds, a foul for two shots pays below "
        "51.8 %; Tarn shoots 64 % (55 to 72)."
    )


def test_a_whole_league_shoots_together(ground: Ground) -> None:
    league(ground)
    answer = ground.ask("worth", **TYPED)

    made, attempts = 12 * 45 + 132 + 55, 12 * 80 + 90
    assert by_trip(answer)["two"]["rate"] == pytest.approx((made + 0.5) / (attempts + 1))
    assert "the 13 players together shoot 69.2 %" in answer.headline
    assert any("say with --player whose trips are meant" in note for note in answer.notes)


def test_a_player_of_a_small_league_enters_with_his_own_makes(ground: Ground) -> None:
    ground.shots("Tarn", 55, 90)
    answer = ground.ask("worth", player="Tarn", **TYPED)

    assert by_trip(answer)["two"]["rate"] == pytest.approx(55.5 / 91)
    assert any(note.startswith("No level of his league") for note in answer.notes)


def test_rebounds_are_counted_over_live_misses_that_were_noted(ground: Ground) -> None:
    league(ground)
    last_of_two(ground, {"offensive": 6, "defensive": 40, "out": 4, None: 5})
    answer = ground.ask("worth", per_possession=1.1)
    known = {row["what"]: row for row in answer.part("known").rows()}["offensive_rebound"]
    made, attempts = 727, 1050
    rate, rebound = Known.beta(made + 0.5, attempts - made + 0.5, 400), Known.beta(6.5, 44.5, 100)

    assert (known["count"], known["of"], known["given"]) == (6, 50, "recorded")
    assert known["value"] == pytest.approx(6.5 / 51)
    found = by_trip(answer)["three"]
    expected = worth({"three": 1.0}, rate, rebound, 1.1)
    assert (found["points"], found["low"], found["high"]) == pytest.approx(
        (expected.mean, expected.low, expected.high)
    )
    even = by_trip(answer, "break_even")["one_and_one"]
    assert even["chance_below"] == pytest.approx(chance_below("one_and_one", rate, rebound, 1.1))
    assert "Offensive rebounds: 6 of 50 live misses whose rebound is noted (12 %)." in answer.notes
    assert "5 live misses have no rebound noted: left out." in answer.notes


@pytest.mark.parametrize(
    ("change", "live"),
    [
        ("trip_shot = 2", 10),
        ("trip_shot = 1", 0),
        ("trip_shot = 2, ended_by = 'buzzer'", 0),
        ("trip_shot = 2, trip_kind = 'technical'", 0),
        ("trip_shot = 2, trip_kind = 'unknown'", 0),
        ("trip_shot = 2, trip_kind = NULL", 0),
        ("trip_shot = 1, trip_kind = 'one_and_one'", 10),
        ("trip_shot = 2, trip_kind = 'one_and_one'", 10),
        ("trip_shot = 2, made = true", 0),
    ],
)
def test_a_miss_is_live_only_at_the_end_of_a_trip(ground: Ground, change: str, live: int) -> None:
    ground.shots("Tarn", 20, 30)
    ground.con.execute(f"UPDATE attempt SET rebound_by = 'offensive', {change} WHERE NOT made")

    found = ground.reads.trips_worth.live_misses(ground.reads.scope(_free_throws()))

    assert (found.live, found.noted, found.offensive) == (live, live, live)


def _free_throws() -> Any:
    from ledger.cohort import Cohort

    return Cohort()


def test_the_mix_is_weighted_by_recorded_trips_and_the_rest_is_counted(ground: Ground) -> None:
    ground.shots("Tarn", 60, 100)
    for place, change in (
        (10, "trip_of = 3"),
        (20, "trip_of = 1"),
        (30, "trip_kind = 'one_and_one'"),
        (40, "trip_kind = 'technical'"),
        (50, "trip_kind = 'unknown'"),
        (60, "trip_of = NULL, trip_shot = NULL"),
        (70, "trip_incomplete = true"),
        (80, "trip_shot = 2"),
        (90, "trip_kind = NULL"),
    ):
        ground.con.execute(
            f"UPDATE attempt SET {change} WHERE id BETWEEN ? AND ?", [place, place + 9]
        )
    answer = ground.ask("worth", rate=0.6, **TYPED)
    rows = by_trip(answer)

    trips = {trip: row["trips"] for trip, row in rows.items()}
    assert trips == {"one": 10, "two": 10, "three": 10, "one_and_one": 10, "mix": 40}
    mean = sum(rows[trip]["points"] for trip in ("one", "two", "three", "one_and_one")) / 4
    assert rows["mix"]["points"] == pytest.approx(mean)
    assert any(n.startswith("10 trips after technical or flagrant fouls") for n in answer.notes)
    assert any(n.startswith("40 attempts of a trip whose kind is not known") for n in answer.notes)


def test_without_points_of_a_possession_it_says_what_to_type(ground: Ground) -> None:
    league(ground)
    answer = ground.ask("worth", player="Tarn", offensive_rebound=0.12)

    assert {row["why"] for row in answer.part("break_even").rows()} == {
        "type --per-possession: points of one possession"
    }
    assert {row["counted"] for row in answer.main.rows()} == {"makes"}
    assert by_trip(answer)["two"]["points"] == pytest.approx(
        2 * by_trip(answer)["two"]["rate"], abs=1e-4
    )
    assert answer.headline == (
        "Tarn shoots 64 % (55 to 72); two shots bring 1.27 (1.10 to 1.43) points from makes alone: "
        "type --per-possession for rebounds and the deliberate foul."
    )


def test_without_a_noted_rebound_it_says_what_to_type(ground: Ground) -> None:
    league(ground)
    answer = ground.ask("worth", per_possession=1.1)

    assert answer.headline == "No live misses recorded: type --offensive-rebound."
    assert {row["why"] for row in answer.part("break_even").rows()} == {
        "no rebound of a live miss recorded: type --offensive-rebound"
    }
    last_of_two(ground, {None: 7})
    assert ground.ask("worth", per_possession=1.1).headline == (
        "No rebound is noted of 7 live misses: type --offensive-rebound."
    )


def test_few_live_misses_are_said_to_be_few(ground: Ground) -> None:
    league(ground)
    last_of_two(ground, {"offensive": 1, "defensive": 4})
    answer = ground.ask("worth", per_possession=1.1)

    assert any(note.startswith("Fewer than 20 such misses") for note in answer.notes)
    assert "Offensive rebounds: 1 of 5 live misses whose rebound is noted." in answer.notes


def test_a_rate_by_technique_is_refused_where_tags_were_picked_by_result(ground: Ground) -> None:
    ground.shots("Tarn", 60, 100, tags={"board": (5, 36)})
    answer = ground.ask("worth", technique="board", **TYPED)

    assert answer.headline.startswith("No rate by technique: the watched attempts were picked")
    assert answer.frame.is_empty()
    assert not ground.ask("worth", **TYPED).frame.is_empty()


def test_practice_and_other_shots_have_no_trips(ground: Ground) -> None:
    league(ground)
    before = ground.ask("worth", **TYPED)
    ground.shots("Tarn", 50, 50, stage="practice", first_day=60)

    assert ground.ask("worth", **TYPED).frame.equals(before.frame)
    assert ground.ask("worth", stage="practice").headline == (
        "A trip to the line is of a game: leave out --stage practice."
    )
    assert ground.ask("worth", shot="three", rate=0.4).headline == (
        "A trip to the line is of free throws: leave out --shot."
    )


def test_where_fouling_always_pays_it_says_so(ground: Ground) -> None:
    answer = ground.ask("worth", rate=0.9, per_possession=2.5, offensive_rebound=0.1)

    assert "a foul for two shots always pays" in answer.headline
    assert by_trip(answer, "break_even")["two"]["rate"] is None


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"rate": 60}, "--rate takes a number from 0 to 1, not 60"),
        ({"rate": "nan"}, "--rate takes a number from 0 to 1, not 'nan'"),
        ({"offensive_rebound": 12}, "--offensive-rebound takes a number from 0 to 1, not 12"),
        ({"per_possession": 0}, "--per-possession takes a number from 0.1 to 3, not 0"),
    ],
)
def test_what_cannot_be_is_refused(ground: Ground, asked: dict[str, Any], said: str) -> None:
    with pytest.raises(UseError) as refused:
        ground.ask("worth", **asked)

    assert refused.value.message == said


def test_figures_of_kinds_that_were_not_recorded_are_said_to_be_worked_out(ground: Ground) -> None:
    league(ground)
    last_of_two(ground, {"offensive": 5, "defensive": 20})
    ground.con.execute("UPDATE attempt SET trip_of = 2, trip_kind = 'personal'")

    answer = ground.ask("worth", **TYPED)

    assert by_trip(answer)["one_and_one"]["trips"] == 0
    said = [note for note in answer.notes if note.startswith("Not recorded")]
    assert said == [
        "Not recorded among these attempts: trips of one shot, three shots or one-and-one; their "
        "points follow from the rate alone."
    ]
