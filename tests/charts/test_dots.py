"""Ranking and adopters as pictures: what is drawn, what is said, what is left out and counted."""

from __future__ import annotations

from dataclasses import replace

import pytest

from ledger.charts.measure import width
from ledger.charts.theme import MARGIN, NARROW, SIZES, STATE_SHAPES
from ledger.errors import UseError

from . import answers
from .reading import caption, drawn_from, layers, marks, rows, spec_of, words


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("question", ["ranking", "adopters", "uptake"])
def test_a_sheet_has_exactly_its_size(question: str, size: str) -> None:
    spec = spec_of(getattr(answers, question)(), size=size)

    padding = spec["padding"]
    assert spec["autosize"] == {"type": "none"}
    assert padding["left"] + spec["width"] + padding["right"] == pytest.approx(SIZES[size].width)
    assert padding["top"] + spec["height"] + padding["bottom"] == pytest.approx(SIZES[size].height)


@pytest.mark.parametrize("question", ["ranking", "adopters", "uptake"])
def test_the_headline_is_the_title_and_the_cohort_stands_under_it(question: str) -> None:
    answer = getattr(answers, question)()

    title = spec_of(answer)["title"]

    assert " ".join(title["text"]) == answer.headline
    assert " ".join(title["subtitle"]) == answer.cohort


def test_a_headline_that_finds_no_room_ends_in_a_sign() -> None:
    answer = answers.ranking(3, headline="and so it goes on " * 40)

    title = spec_of(answer, size="square")["title"]

    assert title["text"][-1].endswith("…")


def test_a_row_is_a_dot_with_its_interval_and_the_raw_rate() -> None:
    answer = answers.ranking(12)
    spec = spec_of(answer)

    dots = drawn_from(spec, "point", "value")
    intervals = drawn_from(spec, "rule", "low")

    given = answer.main.rows()
    assert [d["value"] for d in dots] == [r["shrunken_rate"] for r in given]
    assert [(d["low"], d["high"]) for d in intervals] == [(r["low"], r["high"]) for r in given]
    assert [t["tick"] for t in drawn_from(spec, "tick", "tick")] == [r["raw_rate"] for r in given]


def test_dots_and_intervals_share_one_scale_that_holds_every_interval() -> None:
    answer = answers.ranking(20)
    spec = spec_of(answer)

    domains = [
        layer["encoding"]["x"]["scale"]["domain"]
        for layer in layers(spec)
        if layer["encoding"].get("x", {}).get("field") in ("low", "value", "tick")
    ]

    low, high = domains[0]
    assert domains == [[low, high]] * 3
    assert low <= min(r["low"] for r in answer.main.rows())
    assert high >= max(r["high"] for r in answer.main.rows())


def test_an_adopter_is_marked_by_shape_colour_and_word() -> None:
    answer = answers.ranking(20)
    spec = spec_of(answer)
    states = {r["player"]: r["state"] for r in answer.main.rows()}

    dots = drawn_from(spec, "point", "value")

    adopters = [d for d in dots if states[d["name"]] == "adopter"]
    others = [d for d in dots if states[d["name"]] == "not"]
    assert adopters
    assert others
    assert {d["remark"] for d in adopters} == {"does it"}
    assert {d["colour"] for d in adopters}.isdisjoint(d["colour"] for d in others)
    scale = next(
        layer["encoding"]["shape"]["scale"]
        for layer in marks(spec, "point")
        if layer["encoding"]["shape"].get("field") == "state"
    )
    shape = dict(zip(scale["domain"], scale["range"], strict=True))
    assert len({shape["adopter"], shape["occasional"], shape["not"]}) == 3


def test_a_settled_state_and_an_open_one_of_one_shape_differ_in_their_filling() -> None:
    spec = spec_of(answers.ranking(20))

    dots = drawn_from(spec, "point", "value")

    assert STATE_SHAPES["adopter"] == STATE_SHAPES["undecided"]
    assert all(d["fill"] == d["colour"] for d in dots if d["state"] == "adopter")
    assert all(d["fill"] == "#ffffff" for d in dots if d["state"] == "undecided")


def test_the_legend_names_only_what_is_drawn() -> None:
    answer = answers.adopters(6, seed=9)
    drawn = {r["state"] for r in answer.main.rows()}

    said = words(spec_of(answer))

    assert ("does it" in said) == ("adopter" in drawn)
    assert ("cannot be called" in said) == ("undecided" in drawn)


@pytest.mark.parametrize(("size", "most"), [("wide", 16), ("square", 28), ("tall", 44)])
def test_a_long_ranking_shows_its_first_rows_and_counts_all(size: str, most: int) -> None:
    answer = answers.ranking(94)

    spec = spec_of(answer, size=size)

    names = [d["name"] for d in drawn_from(spec, "point", "value")]
    assert names == answer.frame["player"].to_list()[:most]
    assert f"First {most} of 94 players." in caption(spec)


def test_four_hundred_players_are_no_trouble() -> None:
    spec = spec_of(answers.ranking(400), size="tall")

    assert "First 44 of 400 players." in caption(spec)


def test_the_caption_counts_attempts_coverage_and_names_the_ledger() -> None:
    answer = answers.ranking(10, notes=["few rows: the common level is partly assumed"])
    frame = answer.frame

    said = caption(spec_of(answer))

    attempts, tagged = frame["attempts"].sum(), frame["tagged"].sum()
    assert f"10 players, {attempts:,} attempts, {tagged:,} of them watched" in said
    assert "Ledger spring.duckdb, up to source 12." in said
    assert "Few rows: the common level is partly assumed." in said


def test_notes_that_find_no_room_are_counted() -> None:
    notes = [
        f"note {i} says something at a length that fills a good part of a line" for i in range(9)
    ]

    said = caption(spec_of(answers.ranking(10, notes=notes)))

    assert "more notes with the answer.)" in said
    assert "Note 0 says" in said


def test_without_a_common_level_the_raw_rates_are_drawn_and_called_so() -> None:
    answer = answers.ranking(6, raw=True)

    spec = spec_of(answer)

    assert [d["value"] for d in drawn_from(spec, "point", "value")] == [
        r["raw_rate"] for r in answer.main.rows()
    ]
    assert not marks(spec, "tick")
    assert "raw rates" in caption(spec)


def test_below_ten_attempts_only_counts_are_written() -> None:
    answer = answers.ranking(30)
    few = {r["player"]: r for r in answer.main.rows() if r["attempts"] < 10}

    dots = {d["name"]: d for d in drawn_from(spec_of(answer, size="tall"), "point", "value")}

    assert few
    assert all(dots[n]["figure"] == f"{r['made']} of {r['attempts']}" for n, r in few.items())


def test_equal_ranks_are_shown_as_shared() -> None:
    answer = answers.ranking(4)
    frame = answer.frame.with_columns(rank=answer.frame["rank"].clip(2))
    tied = replace(answer, main=replace(answer.main, frame=frame))

    places = [d["place"] for d in drawn_from(spec_of(tied), "point", "value")]

    assert places == ["2=", "2=", "3", "4"]


def test_one_player_is_a_picture_too() -> None:
    spec = spec_of(answers.ranking(1))

    assert len(drawn_from(spec, "point", "value")) == 1


@pytest.mark.parametrize("question", ["ranking", "adopters"])
def test_an_empty_answer_is_a_sheet_that_says_why(question: str) -> None:
    empty = getattr(answers, question)(0, headline="No free throws of that name.")

    spec = spec_of(empty)

    assert spec["title"]["text"] == ["No free throws of that name."]
    assert any("to draw" in said for said in words(spec))


def test_a_question_without_a_chart_says_so() -> None:
    answer = replace(answers.ranking(2), question="weather")

    with pytest.raises(UseError, match="weather has no chart"):
        spec_of(answer)


def test_the_share_axis_of_adopters_is_the_whole_one() -> None:
    spec = spec_of(answers.adopters())

    domains = [
        layer["encoding"]["x"]["scale"]["domain"]
        for layer in layers(spec)
        if layer["encoding"].get("x", {}).get("field") in ("low", "value")
    ]

    assert domains == [[0.0, 1.0]] * 2


def test_the_undecided_stand_apart_and_the_unwatched_are_counted() -> None:
    answer = answers.adopters(24, seed=4)
    states = [r["state"] for r in answer.main.rows()]

    spec = spec_of(answer, size="tall")

    dots = drawn_from(spec, "point", "value")
    heading = next(
        row
        for layer in marks(spec, "text")
        for row in rows(spec, layer)
        if row.get("words") == "Cannot be called yet"
    )
    assert all((d["row"] > heading["row"]) == (d["state"] == "undecided") for d in dots)
    assert len(dots) == len(states) - states.count("untagged")
    assert f"{states.count('untagged')} players never watched" in caption(spec)


def test_adopters_come_first_and_the_undecided_keep_a_third_of_a_full_picture() -> None:
    spec = spec_of(answers.adopters(200))

    states = [d["state"] for d in drawn_from(spec, "point", "value")]

    assert states == sorted(states, key=["adopter", "occasional", "not", "undecided"].index)
    assert states.count("undecided") == 5
    assert len(states) == 15
    assert "judged players. First 5 of" in caption(spec)


def test_an_adopter_shows_since_when_at_the_latest() -> None:
    spec = spec_of(answers.adopters(30))

    said = {d["remark"] for d in drawn_from(spec, "point", "value") if d["state"] == "adopter"}

    assert said == {"by 2021-22 at the latest"}


def test_of_a_player_the_latest_season_watched_enough_is_drawn() -> None:
    seasons = [("2022-23", 20), ("2023-24", 9), ("2024-25", 3)]
    given = [
        {
            "player": "Ilvo Mulvo",
            "team": "Dorvo",
            "league": "Halma League",
            "season": season,
            "attempts": 50,
            "tagged": tagged,
            "focus_tags": 0,
            "share": 0.0,
            "low": 0.0,
            "high": 0.2,
            "state": "not" if tagged > 13 else "undecided",
        }
        for season, tagged in seasons
    ]
    answer = answers.answer("adopters", answers.part(answers.ADOPTERS, given))

    spec = spec_of(answer)

    dots = drawn_from(spec, "point", "value")
    assert [(d["second"], d["state"]) for d in dots] == [("2023-24 Dorvo", "undecided")]
    assert "Of each player his latest season with 8 watched attempts." in caption(spec)
    assert "3 player-seasons, 150 attempts" in caption(spec)


def test_two_players_of_one_name_in_one_season_are_two_rows() -> None:
    row = {"player": "Ilvo Mulvo", "league": "Halma League", "season": "2024-25", "attempts": 50}
    row |= {"tagged": 20, "focus_tags": 20, "share": 1.0, "low": 0.9, "high": 1.0}
    given = [row | {"team": team, "state": "adopter"} for team in ("Dorvo", "Ilmna")]
    answer = answers.answer("adopters", answers.part(answers.ADOPTERS, given))

    assert len(drawn_from(spec_of(answer), "point", "value")) == 2


def test_a_note_that_tells_the_coverage_is_not_said_twice() -> None:
    said = caption(spec_of(answers.ranking(5, notes=["Watched: 40 of 80 attempts (50 %)."])))

    assert said.count("atched") == 1


def test_a_ranking_of_teams_names_the_season_of_each() -> None:
    answer = answers.ranking(4, asked={"by": "team"})

    spec = spec_of(answer)

    dots = drawn_from(spec, "point", "value")
    assert {d["second"] for d in dots} == {"2024-25"}
    assert [d["name"] for d in dots] == answer.frame["team"].to_list()
    assert {d["state"] for d in dots} == {"plain"}
    assert "4 team-seasons" in caption(spec)


def test_only_untagged_players_leave_a_sheet_that_says_so() -> None:
    answer = answers.adopters(8)
    frame = answer.frame.filter(answer.frame["state"] == "untagged")
    only = replace(answer, main=replace(answer.main, frame=frame))

    assert any("watched: nothing to draw" in said for said in words(spec_of(only)))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("question", ["ranking", "adopters"])
def test_words_beside_the_plot_never_touch_each_other_or_the_edge(question: str, size: str) -> None:
    spec = spec_of(getattr(answers, question)(40, names=["N" * 60, "Ilvo " * 20]), size=size)

    left = spec["padding"]["left"]
    columns = [
        layer
        for layer in marks(spec, "text")
        if layer["mark"]["align"] == "left"
        and layer["encoding"]["text"]["field"] in ("name_cut", "second_cut", "figure", "remark_cut")
    ]
    starts = [layer["encoding"]["x"]["value"] for layer in columns]
    assert starts == sorted(starts)
    ends = [starts[1], 0.0, starts[3], SIZES[size].width - left - MARGIN + 9]
    for layer, start, end in zip(columns, starts, ends, strict=True):
        field, letters = layer["encoding"]["text"]["field"], layer["mark"]["fontSize"]
        widest = max(width(str(row[field]), letters) for row in rows(spec, layer))
        assert widest == 0 or start + widest <= end
    assert spec["width"] > 0.3 * SIZES[size].width


@pytest.mark.parametrize("question", ["ranking", "adopters"])
def test_on_a_telephone_remarks_leave_before_the_plot_is_no_scale_any_more(question: str) -> None:
    spec = spec_of(getattr(answers, question)(40), size="telephone")

    remarks = next(
        rows(spec, layer)
        for layer in marks(spec, "text")
        if layer["encoding"]["text"]["field"] == "remark_cut"
    )
    assert {row["remark_cut"] for row in remarks} == {""}
    assert any(row["remark"] for row in remarks)
    assert spec["width"] > 0.18 * NARROW["telephone"].width
