"""Candidates, a trip's worth and the agreement of tags as pictures."""

from __future__ import annotations

import pytest

from ledger.charts.theme import THEMES
from ledger.questions.wording import amount, percent
from tests.charts import real
from tests.charts.reading import (
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


def test_a_candidate_has_both_intervals_around_his_dot() -> None:
    answer = real.predicted(5)
    told = [r for r in answer.main.rows() if r["points_per_season"] is not None]
    spec = spec_of(answer)

    (wide,) = marked(spec, "rule", "points_low")
    (narrow,) = marked(spec, "rule", "points_low_80")

    for layer, tail in ((wide, ""), (narrow, "_80")):
        drawn = [(r[f"points_low{tail}"], r[f"points_high{tail}"]) for r in rows(spec, layer)]
        assert drawn == [(r[f"points_low{tail}"], r[f"points_high{tail}"]) for r in told]
    assert narrow["mark"]["strokeWidth"] > wide["mark"]["strokeWidth"]
    dots = drawn_from(spec, "point", "points_per_season")
    assert [d["points_per_season"] for d in dots] == [r["points_per_season"] for r in told]


def test_the_scale_of_points_holds_every_limit_and_nothing_gained() -> None:
    answer = real.predicted(12)
    told = [r for r in answer.main.rows() if r["points_low"] is not None]
    spec = spec_of(answer)

    low, high = domain(marked(spec, "rule", "points_low")[0])

    assert low < min(r["points_low"] for r in told)
    assert high > max(r["points_high"] for r in told)
    assert domain(marked(spec, "rule", "none")[0]) == (low, high)


def test_who_has_no_prediction_stands_apart_with_the_reason() -> None:
    answer = real.predicted(12)
    without = [r["player"] for r in answer.main.rows() if r["why"]]
    spec = spec_of(answer)

    said = words(spec)

    assert said.count("already shoots so: changed on 2024-11-06") == len(without) == 2
    assert set(without) <= set(said)
    assert "No prediction" in said
    assert not {d["name"] for d in drawn_from(spec, "point", "points_per_season")} & set(without)


def test_of_four_hundred_candidates_the_first_are_drawn_and_all_counted() -> None:
    spec = spec_of(real.predicted(400))

    said = caption(spec)

    assert "of 334 players with a figure" in said
    assert "of 66 players without" in said
    assert "400 players with" in said


def test_gains_that_are_assumed_have_a_shape_each_and_no_interval() -> None:
    answer = real.predicted(6)
    nobody = [
        r | {"points_per_season": None, "points_low": None, "points_high": None}
        for r in answer.main.rows()
    ]
    first = answer.main.rows()[0]
    assumed = [
        {"player": first["player"], "league": first["league"], "gain": gain,
         "attempts_per_season": 100.0, "points_per_season": 100 * gain}
        for gain in (0.03, 0.05, 0.08)
    ]  # fmt: skip
    spec = spec_of(real.with_rows(real.with_rows(answer, nobody), assumed, "assumed"))

    dots = drawn_from(spec, "point", "points")

    assert [d["points"] for d in dots] == pytest.approx([3.0, 5.0, 8.0])
    assert len({d["shape"] for d in dots}) == 3
    assert "if he made 5 more per 100" in words(spec)
    assert not marked(spec, "rule", "points_low")
    assert "nothing here has an interval" in caption(spec)


@pytest.mark.parametrize("theme", THEMES)
def test_no_line_of_the_plot_runs_through_a_reason(theme: str) -> None:
    spec = spec_of(real.predicted(7), theme=theme)

    (paper,) = (
        layer for layer in marks(spec, "rect") if layer["mark"].get("color") == THEMES[theme].paper
    )
    boxes = rows(spec, paper)
    reasons = [w for w in words(spec) if w.startswith("already shoots so")]
    assert len(boxes) == len(reasons) == 1
    assert boxes[0]["x"] <= 0 < boxes[0]["x_end"]
    places = layers(spec)
    text = next(i for i, la in enumerate(places) for r in rows(spec, la) if reasons[0] in r.values()
                and la["mark"]["type"] == "text")  # fmt: skip
    assert places.index(paper) < text


def test_nobody_to_predict_for_says_why() -> None:
    answer = real.predicted(2)
    nobody = [
        r | {"points_per_season": None, "why": "fewer than 3 switchers: no prediction"}
        for r in answer.main.rows()
    ]

    said = words(spec_of(real.with_rows(answer, nobody)))

    assert "No points to draw: fewer than 3 switchers: no prediction." in said


def test_points_of_a_trip_follow_the_answer_s_curve() -> None:
    answer = real.real("worth")
    spec = spec_of(answer)
    curve = [r for r in answer.part("curve").rows() if r["trip"] == "two"]

    lines = {str(layer["mark"]["strokeDash"]): rows(spec, layer) for layer in marks(spec, "line")}

    assert len(lines) == 4
    (two,) = (
        rows(spec, layer) for layer in marks(spec, "line") if layer["mark"]["strokeWidth"] == 3
    )
    given = {round(r["rate"], 6): r["points"] for r in curve}
    assert all(row["points"] == given[round(row["rate"], 6)] for row in two)
    assert two[-1]["rate"] == 1


def test_the_shooter_is_a_line_in_a_band_and_a_dot_on_each_curve() -> None:
    answer = real.real("worth")
    known = {r["what"]: r for r in answer.part("known").rows()}
    spec = spec_of(answer)

    (band,) = drawn_from(spec, "rect", "low")
    dots = drawn_from(spec, "point", "points")

    assert (band["low"], band["high"]) == (known["rate"]["low"], known["rate"]["high"])
    kinds = [r for r in answer.main.rows() if r["trip"] != "mix"]
    assert sorted(d["points"] for d in dots) == sorted(r["points"] for r in kinds)
    (limits,) = marked(spec, "rule", "trip") or [
        layer for layer in marked(spec, "rule", "low") if "y2" in layer["encoding"]
    ]
    assert sorted(r["low"] for r in rows(spec, limits)) == sorted(r["low"] for r in kinds)
    low, high = domain(limits, "y")
    assert low == 0
    assert high >= max(r["high"] for r in kinds)


def test_points_beside_the_end_of_a_line_say_at_which_rate_they_are() -> None:
    answer = real.real("worth")
    rate = next(r for r in answer.part("known").rows() if r["what"] == "rate")
    kinds = [r for r in answer.main.rows() if r["trip"] != "mix"]

    said = [w for w in words(spec_of(answer)) if w.startswith("at ")]

    lead = f"at {percent(rate['value'], rate['of'])}: "
    assert sorted(said) == sorted(lead + amount(r["points"], r["low"], r["high"]) for r in kinds)


def test_each_break_even_is_marked_where_its_line_meets_the_possession() -> None:
    answer = real.real("worth")
    even = [r for r in answer.part("break_even").rows() if r["rate"] is not None]
    spec = spec_of(answer)

    signs = next(
        rows(spec, layer)
        for layer in marks(spec, "point")
        if layer["mark"].get("shape") == "diamond"
    )

    low, high = domain(marks(spec, "line")[0])
    drawn = sorted(low + s["x"] / spec["width"] * (high - low) for s in signs)
    assert drawn == pytest.approx(sorted(r["rate"] for r in even))
    # METHODS 6.8: V 1.10, r .12 give .518201 for two shots.
    assert "51.8 %" in words(spec)
    assert "a possession" in words(spec)


def test_without_a_possession_points_are_of_makes_alone_and_nothing_breaks_even() -> None:
    answer = real.real("worth")
    known = [
        r | ({"value": None, "given": "missing"} if r["what"] == "per_possession" else {})
        for r in answer.part("known").rows()
    ]
    makes = [r | {"counted": "makes"} for r in answer.main.rows()]
    bare = real.with_rows(real.with_rows(answer, known, "known"), makes)
    spec = spec_of(real.with_rows(bare, [], "break_even"))

    assert "points of a trip from makes alone" in words(spec)
    assert "a possession" not in words(spec)
    assert not [m for m in marks(spec, "point") if m["mark"].get("shape") == "diamond"]


def test_every_field_two_people_told_is_a_line_with_its_limits() -> None:
    answer = real.real("agreement")
    told = [r for r in answer.part("alpha").rows() if r["units"] and r["alpha"] is not None]
    pairs = [r for r in answer.main.rows() if r["kappa"] is not None]
    spec = spec_of(answer)

    dots = drawn_from(spec, "point", "value")
    limits = drawn_from(spec, "rule", "low")

    assert [d["value"] for d in dots] == [r["alpha"] for r in told] + [r["kappa"] for r in pairs]
    assert [(r["low"], r["high"]) for r in limits] == [
        (r["low"], r["high"]) for r in (*told, *pairs) if r["low"] is not None
    ]
    low, high = domain(marked(spec, "point", "value")[0])
    assert low <= min(0.0, *(r["low"] for r in limits))
    assert high >= 1


def test_a_field_without_a_figure_says_why_and_one_without_limits_is_hollow() -> None:
    answer = real.real("agreement")
    given = answer.part("alpha").rows()
    given[0] |= {"alpha": None, "low": None, "high": None, "units": 12, "alike": 12,
                 "alpha_why": "fewer than 20 attempts told by both"}  # fmt: skip
    given[1] |= {"alpha": 1.0, "low": None, "high": None, "units": 60, "alike": 60}
    spec = spec_of(real.with_rows(answer, given, "alpha"))

    said = words(spec)
    dots = {d["name"]: d for d in drawn_from(spec, "point", "value")}

    assert "fewer than 20 attempts told by both" in said
    assert "technique" not in dots
    assert dots["first contact"]["fill"] == THEMES["light"].paper
    assert "1.00, no limits" in said
    assert "60 of 60 alike" in said


def test_more_pairs_than_fit_are_counted() -> None:
    answer = real.real("agreement")
    (pair, *_) = answer.main.rows()
    many = [pair | {"tagger_a": f"A{i}", "tagger_b": f"B{i}"} for i in range(90)]

    said = caption(spec_of(real.with_rows(answer, many)))

    assert "of 90 pairs of people." in said
