"""Planted changes: what is found, held and claimed, against nominal values.

Nominal values are those of the method's page (computed there by simulation, not published). Bounds
are three standard errors or more from what `python -m tests.planted switches` measures.
"""

from __future__ import annotations

import pytest

from tests.planted import switching
from tests.planted.measured import Planted, Row

RUNS = 150

pytestmark = pytest.mark.xdist_group("planted")


def figures(lines: list[switching.Line]) -> list[float]:
    return [one.measured for one in lines]


def test_players_who_change_nothing_are_hardly_ever_taken_for_changed() -> None:
    constant = switching.false_alarms(400, switching.constant, 11)
    mixed = switching.false_alarms(RUNS, switching.mixed, 12)

    assert max(figures(constant)) <= 0.02
    before, after = figures(mixed)
    assert before > 0.15
    assert after <= 0.1


def test_a_sharp_change_is_found_and_its_range_holds_the_day() -> None:
    found, held = figures(switching.detected(80, 13))

    assert found == 1.0
    # 90 % nominal; whole games make it wider.
    assert held >= 0.95


def test_there_and_back_is_found_whole() -> None:
    assert switching.there_and_back(RUNS, 14).measured >= 0.95


def test_a_straight_drift_is_seldom_called_sharp() -> None:
    passed, called = figures(switching.drifts(RUNS, 15))

    assert passed > 0.6
    assert called < 0.12


@pytest.mark.parametrize("attempts", [20, 100])
def test_nothing_is_made_of_a_bad_start_that_ends(attempts: int) -> None:
    claims, _, bias, raw_bias, coverage = figures(
        switching.after_bad_starts(RUNS, 0.0, attempts, 16)
    )

    assert claims <= 0.06
    assert abs(bias) < 0.02
    assert raw_bias > bias + 0.03
    assert coverage >= 0.92


def test_a_true_rise_after_a_bad_start_is_understated_a_little() -> None:
    claims, _, bias, raw_bias, coverage = figures(switching.after_bad_starts(RUNS, 0.08, 50, 17))

    assert claims > 0.08
    assert -0.035 < bias < 0.0
    assert raw_bias > 0.04
    assert coverage >= 0.92


@pytest.mark.parametrize(("players", "spread"), [(3, 0.0), (5, 0.3)])
def test_no_effect_over_several_is_claimed_for_none(players: int, spread: float) -> None:
    coverage, claims, new = figures(switching.over_several(60, players, spread, 18))

    assert coverage >= 0.88
    assert claims <= 0.08
    assert new >= 0.88


# -- the scenario -------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def rows(data: Planted) -> dict[str, list[Row]]:
    found: dict[str, list[Row]] = {}
    for row in data.book.ask("switches").main.rows():
        found.setdefault(row["player"], []).append(row)
    return found


def changes(data: Planted, shape: str) -> list[Row]:
    return [c for c in data.manifest.truth["switchers"] if c["shape"] == shape]


def name(change: Row) -> str:
    return str(change["player"].split("|")[1])


def test_every_planted_sharp_change_is_found_within_its_range(
    data: Planted, rows: dict[str, list[Row]]
) -> None:
    planted = changes(data, "sharp")

    assert len(planted) >= 8
    held = []
    for change in planted:
        (row,) = rows[name(change)]
        assert (row["finding"], row["direction"], row["shape"]) == ("switch", "to_focus", "sharp")
        assert row["season"] == change["season"]
        held.append(row["date_low"] < change["date"] <= row["date_high"])
    # One tag in a hundred is misread: at most one range of ten misses its day.
    assert sum(held) >= len(held) - 1


def test_planted_effects_lie_within_the_limits_of_the_gains(
    data: Planted, rows: dict[str, list[Row]]
) -> None:
    held = []
    for change in changes(data, "sharp"):
        (row,) = rows[name(change)]
        held.append(row["gain_low"] <= change["effect"] <= row["gain_high"])
        if change["effect"] == 0:
            assert row["claim"] is False, change["name"]

    assert sum(held) >= len(held) - 1


def test_the_planted_bad_start_is_no_rise(data: Planted, rows: dict[str, list[Row]]) -> None:
    (planted,) = [c for c in changes(data, "sharp") if c["name"] == "bad_start"]
    (row,) = rows[name(planted)]

    assert row["raw_gain"] > 0.08
    assert row["bad_start_points"] > 5
    assert row["gain"] < row["raw_gain"] / 2
    assert row["claim"] is False


def test_who_went_back_changed_twice(data: Planted, rows: dict[str, list[Row]]) -> None:
    (planted,) = changes(data, "returned")
    found = sorted(rows[name(planted)], key=lambda r: r["number"])

    assert [r["direction"] for r in found] == ["to_focus", "from_focus"]
    for row, day in zip(found, (planted["date"], planted["back"]), strict=True):
        assert row["date_low"] < day <= row["date_high"]


def test_who_tried_it_a_few_times_is_listed_and_never_claimed(
    data: Planted, rows: dict[str, list[Row]]
) -> None:
    (planted,) = data.manifest.truth["tried"]
    tried = {r["player"]: r for r in data.book.ask("switches").part("tried").rows()}

    row = tried[name(planted)]
    assert row["went_back"] is True
    assert 0 < row["focus_tags"] <= planted["attempts"]
    assert row["first"] >= planted["date"]
    assert {r["finding"] for r in rows.get(name(planted), [])} <= {"possible"}


def test_the_noticed_player_is_in_one_pool_and_not_in_the_other(data: Planted) -> None:
    answer = data.book.ask("switches")
    (everybody,), (without,) = (answer.part(p).rows() for p in ("pooled", "without_noticed"))
    noticed = data.manifest.truth["noticed"]["player"]

    assert everybody["players"] == without["players"] + 1
    assert f"without {noticed}, whom the rumour named" in answer.headline
    # Planted: 3 points for those who changed over a summer, 8 or none for the others.
    effects = [change["effect"] for change in data.manifest.truth["switchers"]]
    mean = sum(effects) / len(effects)
    assert without["gain_low"] <= mean <= without["gain_high"]


def test_the_figures_of_changes_can_be_printed(data: Planted) -> None:
    lines = switching.told(data, runs=4)

    assert sum(line.startswith("bad_start: planted sharp") for line in lines) == 1
    assert all("nominal" in line or "planted" in line for line in lines)
