"""Who changed, one player and a trial as pictures: what is drawn is what the answer says."""

from __future__ import annotations

from datetime import date

import pytest

from ledger.charts.theme import THEMES
from ledger.questions.switches import NOTICED
from tests.charts import real
from tests.charts.reading import (
    boxes,
    caption,
    domain,
    drawn_from,
    layers,
    marked,
    marks,
    rows,
    spec_of,
    words,
)


def test_before_and_after_are_drawn_with_the_answer_s_own_limits() -> None:
    answer = real.changes(5)
    given = answer.main.rows()
    spec = spec_of(answer)

    for when in ("before", "after"):
        (limits,) = marked(spec, "rule", f"{when}_low")
        dots = drawn_from(spec, "point", f"rate_{when}")
        drawn = [(r[f"{when}_low"], r[f"{when}_high"]) for r in rows(spec, limits)]
        assert drawn == [(r[f"{when}_low"], r[f"{when}_high"]) for r in given]
        assert [d[f"rate_{when}"] for d in dots] == [r[f"rate_{when}"] for r in given]


def test_both_scales_hold_every_limit_and_the_gain_s_holds_none() -> None:
    answer = real.changes(12)
    spec = spec_of(answer)
    given = answer.main.rows()

    (rates,) = marked(spec, "rule", "before_low")
    (gains,) = marked(spec, "rule", "gain_low")

    low, high = domain(rates)
    assert low <= min(r["before_low"] for r in given)
    assert high >= max(r["after_high"] for r in given)
    low, high = domain(gains)
    assert low <= min(0.0, *(r["gain_low"] for r in given))
    assert high >= max(0.0, *(r["gain_high"] for r in given))
    assert domain(marked(spec, "rule", "none")[0]) == (low, high)


def test_a_gain_stands_in_words_and_as_a_dot_with_its_limits() -> None:
    answer = real.changes(3)
    spec = spec_of(answer)
    given = answer.main.rows()

    dots, limits = drawn_from(spec, "point", "gain"), drawn_from(spec, "rule", "gain_low")

    assert [d["gain"] for d in dots[:3]] == [r["gain"] for r in given]
    assert len(limits) == len(dots) == 5
    first = f"{round(100 * given[0]['gain']):+}"
    assert any(said.startswith(f"{first} (") for said in words(spec))


def test_only_a_rise_that_is_shown_has_a_filled_dot_and_bold_words() -> None:
    spec = spec_of(real.changes(4, claimed=(2,)))

    dots = drawn_from(spec, "point", "gain")[:4]

    filled = [d["fill"] != THEMES["light"].paper for d in dots]
    assert filled == [False, False, True, False]
    assert words(spec).count("rise shown") == 1
    bold = [
        rows(spec, layer)
        for layer in marks(spec, "text")
        if layer["mark"].get("fontWeight") == "bold"
    ]
    assert any(row["row"] == 2.5 for some in bold for row in some)


def test_players_together_stand_below_with_and_without_whom_the_rumour_named() -> None:
    spec = spec_of(real.changes(6))

    pooled = drawn_from(spec, "point", "gain")[6:]

    assert [p["shape"] for p in pooled] == ["diamond", "diamond"]
    assert [(p["gain_low"], p["gain_high"]) for p in pooled] == [(-0.04, 0.08)] * 2
    said = words(spec)
    assert "5 players together, those the rumour named left out" in said
    assert "6 players together" in said


def test_one_pooled_line_is_enough_where_the_rumour_named_nobody() -> None:
    answer = real.changes(6)
    answer = real.with_rows(answer, answer.part("pooled").rows(), "without_noticed")

    said = words(spec_of(answer))

    assert sum("together" in one for one in said) == 2  # the line and its key
    assert not any("left out" in one for one in said)


def test_where_too_few_changed_nothing_is_pooled() -> None:
    answer = real.with_rows(real.with_rows(real.changes(2), [], "pooled"), [], "without_noticed")

    spec = spec_of(answer)

    assert len(drawn_from(spec, "point", "gain")) == 2
    assert not any("together" in said for said in words(spec))


def test_of_too_many_changes_the_shown_and_the_noticed_stay() -> None:
    answer = real.changes(60, claimed=(1,))
    given = answer.main.rows()
    given[3]["claim_why"] = NOTICED
    spec = spec_of(real.with_rows(answer, given))

    names = [d["name"] for d in drawn_from(spec, "point", "rate_before")]

    assert len(names) == 9
    assert {given[1]["player"], given[3]["player"]} <= set(names)
    assert names == [r["player"] for r in given if r["player"] in names]
    assert "9 of 60 changes" in caption(spec)
    assert "rumour named him" in words(spec)


def test_a_change_that_is_not_judged_says_why() -> None:
    answer = real.changes(2)
    given = answer.main.rows()
    given[0] |= {"gain": None, "gain_low": None, "gain_high": None, "gain_why": "9 after: not yet"}
    spec = spec_of(real.with_rows(answer, given))

    assert "9 after: not yet" in words(spec)
    assert len(drawn_from(spec, "point", "gain")) == 3


def test_a_running_rate_is_a_line_in_a_band_that_the_scale_holds() -> None:
    answer = real.real("player")
    spec = spec_of(answer)
    given = [r for r in answer.main.rows() if r["running_rate"] is not None]

    (band,) = marks(spec, "area")
    line = next(layer for layer in marks(spec, "line"))

    assert [(r["low"], r["high"]) for r in rows(spec, band)] == [
        (r["low"], r["high"]) for r in given
    ]
    assert [r["rate"] for r in rows(spec, line)] == [r["running_rate"] for r in given]
    low, high = domain(band, "y")
    assert low <= min(r["low"] for r in given)
    assert high >= max(r["high"] for r in given)


def test_a_change_is_shaded_from_its_first_to_its_last_day() -> None:
    answer = real.real("player")
    (change,) = answer.part("switches").rows()
    days = [r["date"] for r in answer.main.rows()]
    spec = spec_of(answer)

    (shade,) = drawn_from(spec, "rect", "x_end")

    game = spec["width"] / len(days)
    assert shade["x"] == pytest.approx((days.index(change["date_low"]) + 0.5) * game)
    assert shade["x_end"] == pytest.approx((days.index(change["date_high"]) + 0.5) * game)
    assert f"took it up {change['date']}" in words(spec)


def test_how_he_shot_stands_on_a_lane_of_its_own_by_place_shape_and_word() -> None:
    answer = real.real("player")
    given = answer.main.rows()
    spec = spec_of(answer)

    signs = next(
        rows(spec, layer)
        for layer in marks(spec, "point")
        if layer["encoding"].get("shape", {}).get("field") == "shape"
    )

    studied = [s for s in signs if s["said"] == "off the backboard"]
    other = [s for s in signs if s["said"] == "otherwise"]
    assert len(studied) == sum(bool(r["focus_tags"]) for r in given)
    assert len(other) == sum(r["tagged"] > r["focus_tags"] for r in given)
    assert {s["y"] for s in studied}.isdisjoint(s["y"] for s in other)
    assert {s["shape"] for s in studied} != {s["shape"] for s in other}


@pytest.mark.parametrize(("games", "seasons"), [(3, 1), (60, 4), (400, 30)])
def test_seasons_are_parted_and_the_last_is_always_named(games: int, seasons: int) -> None:
    answer = real.games(games, seasons=seasons)
    spec = spec_of(answer)

    dotted = [layer for layer in marks(spec, "rule") if layer["mark"].get("strokeDash") == [2, 3]]
    assert len(rows(spec, dotted[0])) == seasons - 1
    assert answer.main.rows()[-1]["season"] in words(spec)


def test_a_few_games_have_a_line_for_the_limits_of_each() -> None:
    spec = spec_of(real.real("player"))

    assert len(drawn_from(spec, "rule", "high")) == len(drawn_from(spec, "area", "high"))
    assert not drawn_from(spec_of(real.games(200)), "rule", "high")


def test_too_few_attempts_for_a_running_rate_say_so() -> None:
    answer = real.games(4)
    given = [r | {"running_rate": None, "low": None, "high": None} for r in answer.main.rows()]

    said = words(spec_of(real.with_rows(answer, given)))

    assert "Fewer than 10 attempts in games: no running rate, so nothing to draw." in said


def test_each_session_has_both_rates_with_limits_side_by_side() -> None:
    answer = real.real("trial")
    given = answer.main.rows()
    spec = spec_of(answer)

    dots = drawn_from(spec, "point", "rate")

    limits = marked(spec, "rule", "low")[0]
    assert [d["rate"] for d in dots] == [r["rate"] for r in given]
    assert [(r["low"], r["high"]) for r in rows(spec, limits)] == [
        (r["low"], r["high"]) for r in given
    ]
    assert len({(d["session"], d["shape"]) for d in dots}) == len(dots)
    low, high = domain(limits, "y")
    assert low <= min(r["low"] for r in given)
    assert high >= max(r["high"] for r in given)


def test_the_running_difference_is_the_course_of_the_answer() -> None:
    answer = real.real("trial")
    course = answer.part("course").rows()
    spec = spec_of(answer)

    drawn = drawn_from(spec, "line", "difference")
    limits = marked(spec, "rule", "low")[1]

    assert [d["difference"] for d in drawn] == [r["difference"] for r in course]
    assert [(r["low"], r["high"]) for r in rows(spec, limits)] == [
        (r["low"], r["high"]) for r in course if r["low"] is not None
    ]
    low, high = domain(limits, "y")
    assert low <= min(r["low"] for r in course if r["low"] is not None) < 0 < high


def test_what_would_end_the_trial_is_drawn_at_its_look() -> None:
    answer = real.real("trial")
    look = next(r for r in answer.part("course").rows() if r["stop_low"] is not None)
    spec = spec_of(answer)

    (stop,) = drawn_from(spec, "rule", "stop_low")

    assert (stop["stop_low"], stop["stop_high"]) == (look["stop_low"], look["stop_high"])
    assert 0 < stop["session"] - look["session"] < 0.5
    assert "The long thin line at a look must lie on one side of 0" in caption(spec)
    assert {"looked at", "next look"} <= set(words(spec))


def test_sessions_still_to_come_have_their_room() -> None:
    spec = spec_of(real.real("trial"))

    limits = marked(spec, "rule", "low")[0]

    assert domain(limits) == (0.5, 12.5)
    assert "12" in words(spec)
    assert "after 6 of 12" in words(spec)


def test_the_next_look_stands_behind_the_sessions_that_only_practise() -> None:
    # Two sessions of the plan only practise and the first was shot: the sixth that counts is the
    # eighth.
    answer = real.real("trial")
    plan = [r | {"counted": r["session"] > 2} for r in answer.part("plan").rows()]
    begun = [r | {"counted": False} for r in answer.main.rows() if r["session"] == 1]
    course = [
        r | dict.fromkeys(("sessions", "difference", "low", "high", "limit"))
        for r in answer.part("course").rows()[:1]
    ]
    result = [r | {"sessions": 0, "next_look": 6} for r in answer.part("result").rows()]
    for name, given in (("plan", plan), ("course", course), ("result", result)):
        answer = real.with_rows(answer, given, name)
    spec = spec_of(real.with_rows(answer, begun))

    middle = {b.words: (b.left + b.right) / 2 for b in boxes(spec) if b.words in ("8", "next look")}

    assert middle["8"] < middle["next look"] < middle["8"] + 60


def test_a_session_that_is_not_counted_is_pale_and_named() -> None:
    answer = real.real("trial")
    given = [r | {"counted": r["session"] != 2} for r in answer.main.rows()]
    spec = spec_of(real.with_rows(answer, given))

    pale = {d["session"] for d in drawn_from(spec, "point", "rate") if d["strength"] < 1}

    assert {round(session) for session in pale} == {2}
    assert "Not counted, pale: session 2." in caption(spec)


def test_the_words_of_two_changes_near_each_other_stand_on_two_rows() -> None:
    answer = real.real("player")
    (change,) = answer.part("switches").rows()
    two = [change, change | {"number": 2, "direction": "from_focus"}]
    spec = spec_of(real.with_rows(answer, two, "switches"))

    places = {b.words: b.top for b in boxes(spec) if "it up 20" in b.words}

    assert len(set(places.values())) == len(places) == 2
    assert len([x for x in layers(spec) if x["mark"]["type"] == "rect"]) == 1


@pytest.mark.parametrize("size", ["square", "slide", "page"])
def test_words_before_several_players_end_where_what_is_drawn_of_them_begins(size: str) -> None:
    spec = spec_of(real.changes(60), size=size)

    first, second = (panel["width"] for panel in spec["concat"])
    begins = spec["padding"]["left"] + first + spec["spacing"]["column"]
    together = [b for b in boxes(spec) if b.words.startswith(("59 ", "60 "))]
    assert len(together) == 2
    assert all(b.right < begins for b in together)
    assert not any(b.words.endswith("…") for b in together)
    assert second > 60


@pytest.mark.parametrize("size", ["wide", "square", "tall"])
def test_several_changes_of_one_player_are_told_apart_at_every_size(size: str) -> None:
    answer = real.changes(4, names=["Tarn", "Oselo", "Tarn"])
    days = [date(2023, 12, 1 + i) for i in range(4)]
    dated = [{**row, "date": day} for row, day in zip(answer.main.rows(), days, strict=True)]
    said = words(spec_of(real.with_rows(answer, dated), size=size))

    assert said.count("Tarn, 2023-12-01") == said.count("Tarn, 2023-12-03") == 1
    assert "Tarn" not in said
    assert said.count("Oselo") == 1
