"""Uptake as a picture: lines that break, bounds without a point, names that do not collide."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import Any

import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.charts.caption import figure
from ledger.charts.measure import width
from ledger.charts.registry import draw
from ledger.charts.seasons import dodge, series_of
from ledger.charts.theme import SIZES, THEMES, looks
from ledger.questions.wording import percent

from . import answers
from .reading import Spec, boxes, caption, drawn_from, layers, marks, rows, spec_of, words


def rows_of_ends(spec: Spec) -> list[dict[str, Any]]:
    """What stands at the ends of the lines."""
    return next(
        rows(spec, layer)
        for layer in marks(spec, "text")
        if layer["encoding"]["text"]["field"] == "name"
    )


def test_shares_are_drawn_with_their_intervals_on_an_axis_from_zero() -> None:
    answer = answers.uptake(3, 5)
    spec = spec_of(answer)

    given_rows = answer.main.rows()
    shares = {r["share"] for r in drawn_from(spec, "point", "share")}
    spans = {(r["low"], r["high"]) for r in drawn_from(spec, "rule", "low")}
    assert shares == {r["share"] for r in given_rows}
    assert spans == {(r["low"], r["high"]) for r in given_rows}
    domains = [
        layer["encoding"]["y"]["scale"]["domain"]
        for layer in layers(spec)
        if layer["encoding"].get("y", {}).get("field") in ("share", "low", "least")
    ]
    assert {tuple(d) for d in domains} == {tuple(domains[0])}
    assert domains[0][0] == 0
    assert domains[0][1] >= max(r["high"] for r in given_rows)


def test_where_only_bounds_are_honest_there_is_a_range_and_no_point() -> None:
    answer = answers.uptake(2, 6, bounds=(1,))
    spec = spec_of(answer)
    bounded = [r for r in answer.main.rows() if r["share"] is None]

    ranges = drawn_from(spec, "rule", "least")
    points = drawn_from(spec, "point", "share")

    assert len(ranges) == len(bounded) == 3
    assert [(r["least"], r["most"]) for r in ranges] == [
        (r["least_share"], r["most_share"]) for r in bounded
    ]
    assert not {(r["series"], r["season"]) for r in ranges} & {
        (p["series"], p["season"]) for p in points
    }
    assert "Pale bars: no share can be given" in caption(spec)


def test_bounds_that_would_press_the_shares_flat_run_out_with_their_end_in_figures() -> None:
    answer = answers.uptake(2, 6, bounds=(1,))
    wide = answer.frame.with_columns(
        least_share=pl.lit(0.02), most_share=pl.lit(0.94), high=answer.frame["share"] + 0.02
    )
    spec = spec_of(replace(answer, main=replace(answer.main, frame=wide)))

    bars = next(
        layer
        for layer in marks(spec, "rule")
        if layer["encoding"].get("y2", {}).get("field") == "most"
    )
    top = bars["encoding"]["y"]["scale"]["domain"][1]
    assert top < 0.7
    assert bars["mark"]["clip"] is True
    assert {row["most"] for row in rows(spec, bars)} == {0.94}
    assert words(spec).count("to 94 %") == 3
    assert "A bar that runs out at the top ends at the figure written there." in caption(spec)


def test_bounds_stand_whole_where_nothing_else_is_drawn() -> None:
    answer = answers.uptake(1, 4, bounds=(0,))
    wide = answer.frame.filter(answer.frame["share"].is_null()).with_columns(
        least_share=pl.lit(0.02), most_share=pl.lit(0.94)
    )
    spec = spec_of(replace(answer, main=replace(answer.main, frame=wide)))

    bars = marks(spec, "rule")[1]
    assert bars["encoding"]["y"]["scale"]["domain"] == [0, 1.0]
    assert "to 94 %" not in words(spec)
    assert "2 to 94 %" in words(spec)


def test_a_season_nobody_watched_is_counted_and_not_drawn() -> None:
    answer = answers.uptake(1, 4, bounds=(0,))
    unknown = answer.frame["share"].is_null()
    frame = answer.frame.with_columns(
        least_share=pl.when(unknown).then(0.0).otherwise(0.1),
        most_share=pl.when(unknown).then(1.0).otherwise(0.9),
    )
    spec = spec_of(replace(answer, main=replace(answer.main, frame=frame)))

    assert not drawn_from(spec, "rule", "least")
    assert "2 league-seasons without any share: not drawn." in caption(spec)


def test_a_line_is_named_by_the_last_season_it_shows() -> None:
    answer = answers.uptake(2, 4)
    gone = (answer.frame["start_year"] == 2024) & (answer.frame["league"] == answers.LEAGUES[0])
    frame = answer.frame.with_columns(
        share=pl.when(~gone).then(0.1),
        low=pl.when(~gone).then(0.05),
        high=pl.when(~gone).then(0.2),
        least_share=pl.when(~gone).then(0.01).otherwise(0.0),
        most_share=pl.when(~gone).then(0.3).otherwise(1.0),
    )

    said = words(spec_of(replace(answer, main=replace(answer.main, frame=frame))))

    assert "10 % (5 to 20), 2023-24" in said
    assert "10 % (5 to 20)" in said


def test_a_missing_season_breaks_the_line() -> None:
    spec = spec_of(answers.uptake(2, 6, gaps=(2,)))

    lines = drawn_from(spec, "line", "share")

    first, second = sorted({r["series"] for r in lines})
    assert len({r["line"] for r in lines if r["series"] == first}) == 1
    assert len({r["line"] for r in lines if r["series"] == second}) == 2
    assert "A line breaks where a season has no share." in caption(spec)


def test_every_line_and_band_is_one_run_of_seasons() -> None:
    spec = spec_of(answers.uptake(2, 9, gaps=(2, 5)))

    for layer in [*marks(spec, "line"), *marks(spec, "area")]:
        assert layer["encoding"]["detail"]["field"] == "line"


def test_a_forecast_is_dashed_hollow_and_called_an_extrapolation() -> None:
    spec = spec_of(answers.uptake(1, 5, forecast=True))

    dashed = [layer for layer in marks(spec, "line") if "strokeDash" in layer["mark"]]
    assert [r["year"] for r in rows(spec, dashed[0])] == [2024, 2025]
    ahead = [r for r in drawn_from(spec, "point", "share") if r["season"] == "forecast"]
    assert [r["fill"] for r in ahead] == ["#ffffff"]
    assert ahead[0]["share"] > 0
    assert len(drawn_from(spec, "rule", "low")) == 6
    assert "extrapolation; assumes growth to 100 %" in caption(spec)
    assert "forecast" in words(spec)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("leagues", [1, 3, 6])
def test_what_is_foreseen_stands_in_figures_beside_its_league(leagues: int, size: str) -> None:
    answer = answers.uptake(leagues, 5, forecast=True)
    spec = spec_of(answer, size=size)

    foreseen = answer.parts["forecast"].rows()
    said = [word for word in words(spec) if word.startswith("forecast ")]
    assert sorted(said) == sorted(
        "forecast " + figure(None, None, row["share"], row["low"], row["high"]) for row in foreseen
    )
    if leagues < 6:
        assert "concat" not in spec
    found = boxes(spec)
    assert not [(a, b) for a, b in itertools.combinations(found, 2) if a.touches(b)]
    room = SIZES[size]
    assert all(b.right <= room.width and b.bottom <= room.height for b in found)


def test_in_narrow_panels_a_forecast_is_its_share_alone() -> None:
    answer = answers.uptake(12, 5, forecast=True)
    spec = spec_of(answer, size="page")

    shares = [percent(row["share"], 50) for row in answer.parts["forecast"].rows()]
    said = [word for word in words(spec) if word.startswith("forecast ")]
    assert sorted(said) == sorted(f"forecast {share}" for share in shares)


def test_on_a_telephone_figures_give_up_their_interval_before_they_are_cut() -> None:
    answer = answers.uptake(2, 5, forecast=True)

    found = rows_of_ends(spec_of(answer, size="telephone"))

    shares = {row["league"]: percent(row["share"], 50) for row in answer.parts["forecast"].rows()}
    assert {end["series"]: end["ahead"] for end in found} == {
        league: f"forecast {share}" for league, share in shares.items()
    }
    assert not any("…" in end["figure"] for end in found)


@pytest.mark.parametrize("theme", THEMES)
def test_the_season_that_raised_the_question_has_a_ring_and_a_word(theme: str) -> None:
    answer = answers.uptake(3, 5)
    raised = (pl.col("season") == "2024-25") & (pl.col("league") == answers.LEAGUES[1])
    frame = answer.frame.with_columns(raised=raised)
    spec = spec_of(replace(answer, main=replace(answer.main, frame=frame)), theme=theme)

    (ring,) = (layer for layer in marks(spec, "point") if layer["mark"].get("filled") is False)
    (row,) = rows(spec, ring)
    expected = frame.filter(pl.col("raised"))
    assert (row["series"], row["season"]) == (answers.LEAGUES[1], "2024-25")
    assert row["share"] == expected["share"].item()
    points = next(layer for layer in marks(spec, "point") if "shape" in layer["encoding"])
    assert ring["mark"]["size"] > 2 * points["mark"]["size"]
    assert "the season that raised the question" in words(spec)


def test_where_no_season_raised_the_question_nothing_is_ringed() -> None:
    answer = answers.uptake(3, 5, bounds=(1,))
    raised = pl.col("share").is_null()
    frame = answer.frame.with_columns(raised=raised)

    for one in (answer, replace(answer, main=replace(answer.main, frame=frame))):
        spec = spec_of(one)
        assert "the season that raised the question" not in words(spec)
        assert not [m for m in marks(spec, "point") if m["mark"].get("filled") is False]


def test_the_last_season_played_is_named_where_the_one_ahead_leaves_no_room() -> None:
    answer = answers.uptake(2, 12, forecast=True)

    for size, labels in (("wide", ["2024-25", "forecast"]), ("square", ["2024-25"])):
        spec = spec_of(answer, size=size)
        axis = next(
            rows(spec, layer) for layer in marks(spec, "text") if layer["mark"]["align"] == "center"
        )
        assert [row["words"] for row in axis if row["words"] in ("2024-25", "forecast")] == labels


def test_the_name_of_a_bar_is_tied_to_it_level() -> None:
    answer = answers.uptake(3, 2, bounds=(0, 1, 2))
    frame = answer.frame.with_columns(
        share=None, low=None, high=None, least_share=pl.lit(0.1), most_share=pl.lit(0.9)
    ).with_columns(pl.col("share", "low", "high").cast(pl.Float64))
    spec = spec_of(replace(answer, main=replace(answer.main, frame=frame)))

    ends = rows_of_ends(spec)
    assert len(ends) == 3
    assert all(end["y_from"] == end["y"] for end in ends)


def test_without_a_forecast_nothing_is_dashed_or_promised() -> None:
    spec = spec_of(answers.uptake(2, 5))

    assert not [layer for layer in marks(spec, "line") if "strokeDash" in layer["mark"]]
    assert "extrapolation" not in caption(spec)


def test_only_the_very_next_season_is_forecast() -> None:
    answer = answers.uptake(1, 4)
    forecasts = [
        {"league": answers.LEAGUES[0], "start_year": year, "share": 0.5} for year in (2027, 2026)
    ]

    found = series_of(answer.main.rows(), [answers.LEAGUES[0]] * 4, forecasts)

    assert all(not point.ahead for point in found[0].points)


def test_a_forecast_that_was_refused_is_not_drawn() -> None:
    answer = answers.uptake(1, 4, forecast=True)
    part = answer.parts["forecast"]
    refused = part.frame.with_columns(share=None, low=None, high=None)
    answer = replace(answer, parts={"forecast": replace(part, frame=refused)})

    assert not [
        p for p in drawn_from(spec_of(answer), "point", "share") if p["season"] == "forecast"
    ]


def test_an_estimate_without_interval_is_hollow_and_said_to_be() -> None:
    answer = answers.uptake(1, 2)
    frame = answer.frame.with_columns(low=None, high=None)
    answer = replace(answer, main=replace(answer.main, frame=frame))
    spec = spec_of(answer)

    assert {p["fill"] for p in drawn_from(spec, "point", "share")} == {"#ffffff"}
    assert "Hollow points: too few for an interval." in caption(spec)


@pytest.mark.parametrize("many", [1, 3, 6])
def test_lines_in_one_plot_are_named_at_their_ends_without_touching(many: int) -> None:
    answer = answers.uptake([f"League {i}" for i in range(many)], 5)
    flat = answer.frame.with_columns(share=0.1, low=0.05, high=0.2)
    spec = spec_of(replace(answer, main=replace(answer.main, frame=flat)))

    ends = next(
        rows(spec, layer)
        for layer in marks(spec, "text")
        if layer["encoding"]["text"]["field"] == "name"
    )

    places = sorted(end["y"] for end in ends)
    assert [end["name"] for end in ends] == sorted(f"League {i}" for i in range(many))
    assert all(b - a >= 34 - 1e-9 for a, b in itertools.pairwise(places))
    assert 0 <= places[0] <= places[-1] <= spec["height"]


def test_more_lines_than_can_be_told_apart_get_panels_on_one_scale() -> None:
    spec = spec_of(answers.uptake(7, 3))

    assert len(spec["concat"]) == 7
    assert spec["columns"] == 4
    scales = {
        str(layer["encoding"]["y"]["scale"])
        for layer in layers(spec)
        if layer["encoding"].get("y", {}).get("field") == "share"
    }
    assert len(scales) == 1
    assert set(answers.LEAGUES[:7]) <= set(words(spec))


def test_many_seasons_of_several_leagues_get_panels_too() -> None:
    assert "concat" in spec_of(answers.uptake(4, 30))
    assert "layer" in spec_of(answers.uptake(4, 6))


def test_panels_name_the_ends_of_the_common_axis() -> None:
    answer = answers.uptake(7, 4)
    late = answer.frame.filter(
        (answer.frame["league"] != answers.LEAGUES[0]) | (answer.frame["start_year"] > 2022)
    )

    said = words(spec_of(replace(answer, main=replace(answer.main, frame=late))))

    assert said.count("2021-22") == said.count("2024-25") == 7
    assert "2023-24" not in said


def test_more_panels_than_fit_show_those_with_most_attempts_and_count_all() -> None:
    names = [f"League {i:02}" for i in range(23)]
    answer = answers.uptake(names, 3)
    weight = answer.frame["league"].str.slice(7).cast(int) * 100
    heavy = answer.frame.with_columns(attempts=weight + 500)
    spec = spec_of(replace(answer, main=replace(answer.main, frame=heavy)))

    drawn = {r["series"] for r in drawn_from(spec, "point", "share")}

    assert drawn == set(names[11:])
    assert "The 12 of 23 leagues with most attempts." in caption(spec)


def test_colours_are_fixed_for_all_series_of_the_answer() -> None:
    answer = answers.uptake(4, 4)
    spec = draw(answer, names=answers.LEAGUES).to_dict()

    scales = [
        layer["encoding"][channel]["scale"]
        for layer in layers(spec)
        for channel in ("color", "stroke")
        if layer["encoding"].get(channel, {}).get("field") == "series"
    ]

    expected = looks(answers.LEAGUES[:4], THEMES["light"], answers.LEAGUES)
    assert scales
    for scale in scales:
        assert scale["domain"] == sorted(answers.LEAGUES[:4])
        assert scale["range"] == [expected[name].colour for name in sorted(answers.LEAGUES[:4])]


@pytest.mark.parametrize("seasons", [1, 7, 30])
def test_season_labels_never_touch_and_the_last_season_has_one(seasons: int) -> None:
    spec = spec_of(answers.uptake(2, seasons))

    labels = next(
        rows(spec, layer) for layer in marks(spec, "text") if layer["mark"]["align"] == "center"
    )
    halves = [width(label["words"], 11.5) / 2 for label in labels]
    for one, other, half, next_half in zip(labels, labels[1:], halves, halves[1:], strict=False):
        assert one["x"] + half < other["x"] - next_half
    assert labels[-1]["words"] == "2024-25"


def test_leagues_that_name_a_year_differently_are_labelled_by_the_year() -> None:
    answer = answers.uptake(2, 2)
    frame = answer.frame.with_columns(
        season=answer.frame["season"].str.slice(0, 4)
        + answer.frame["league"].replace_strict({answers.LEAGUES[0]: "-x", answers.LEAGUES[1]: ""})
    )

    said = words(spec_of(replace(answer, main=replace(answer.main, frame=frame))))

    assert {"2023", "2024"} <= set(said)
    assert "2024-x" not in said


def test_two_seasons_in_one_year_stand_beside_each_other() -> None:
    answer = answers.uptake(1, 2)
    frame = answer.frame.with_columns(start_year=2024)

    drawn = drawn_from(
        spec_of(replace(answer, main=replace(answer.main, frame=frame))), "point", "share"
    )

    assert [p["year"] for p in drawn] == [2024, 2024.5]


def test_teams_of_several_leagues_carry_their_league() -> None:
    answer = answers.uptake(2, 3, asked={"by": "team"})
    frame = answer.frame.with_columns(team=answer.frame["league"].str.slice(0, 3))

    names = {
        p["series"]
        for p in drawn_from(
            spec_of(replace(answer, main=replace(answer.main, frame=frame))), "point", "share"
        )
    }

    assert names == {"Hal, Halma League", "Tav, Tavli League"}


def test_no_season_at_all_is_a_sheet_that_says_so() -> None:
    spec = spec_of(answers.uptake(0, 0, headline="No free throws."))

    assert "No season to draw." in words(spec)


@given(st.lists(st.floats(0, 300), min_size=1, max_size=12), st.floats(5, 40))
def test_moved_labels_keep_their_distance_order_and_room(places: list[float], gap: float) -> None:
    moved = dodge(places, gap, 300)

    order = sorted(range(len(places)), key=lambda i: (places[i], i))
    apart = min(gap, 300 / max(len(places) - 1, 1))
    assert all(-1e-6 <= m <= 300 + 1e-6 for m in moved)
    for one, other in itertools.pairwise(order):
        assert moved[other] - moved[one] >= apart - 1e-6


@given(st.lists(st.tuples(st.floats(0, 300), st.floats(5, 40)), min_size=1, max_size=8))
def test_labels_of_several_heights_stay_clear_of_each_other(
    wanted: list[tuple[float, float]],
) -> None:
    places, gaps = [place for place, _ in wanted], [gap for _, gap in wanted]

    moved = dodge(places, gaps, 300)

    order = sorted(range(len(places)), key=lambda i: (places[i], i))
    assert all(-1e-6 <= m <= 300 + 1e-6 for m in moved)
    for one, other in itertools.pairwise(order):
        assert moved[other] - moved[one] >= gaps[one] - 1e-6
