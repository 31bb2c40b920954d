"""The pictures of lists: what came in, the records, what to watch next; counts as they are."""

from __future__ import annotations

from typing import Any

import pytest

from tests.charts import answers, real
from tests.charts.reading import caption, drawn_from, marks, spec_of, words
from tests.tui.known_answers import known


def sources(*rows: dict[str, Any]) -> Any:
    (one, *_) = real.real("sources").main.rows()
    return real.with_rows(real.real("sources"), [one | row for row in rows])


def leagues(number: int, seasons: int) -> Any:
    rows = [
        {
            "league": f"{answers.name(at)} League",
            "season": f"{1990 + year}-{(1991 + year) % 100:02}",
            "start_year": 1990 + year,
            "attempts": 1000 + at,
            "tagged": 10 * year,
            "coverage": 10 * year / (1000 + at),
        }
        for at in range(number)
        for year in range(seasons)
    ]
    return real.with_rows(real.real("attempts"), rows, "by_season")


def test_a_source_is_as_long_as_its_rows_and_dark_as_far_as_they_were_stored() -> None:
    spec = spec_of(
        sources(
            {"source": 1, "file": "a.csv", "rows": 90, "stored": 60, "rejected": 20},
            {"source": 2, "file": "b.csv", "rows": 40, "stored": 40, "contradicting": 0},
        )
    )

    assert [r["whole"] for r in drawn_from(spec, "rule", "whole")] == [90, 40]
    assert [r["part"] for r in drawn_from(spec, "rule", "part")] == [60, 40]
    assert {"60 of 90 rows", "20 refused", "40 of 40 rows"} <= set(words(spec))


def test_what_was_taken_back_is_quiet_and_said_to_be() -> None:
    spec = spec_of(
        sources(
            {"rows": 9, "stored": 9, "taken_back": "2026-01-03 10:00:00"},
            {"rows": 9, "stored": 9},
        )
    )

    back, kept = drawn_from(spec, "rule", "part")
    assert back["colour"] != kept["colour"]
    assert words(spec).count("taken back") == 1


def test_of_many_sources_those_with_trouble_and_the_largest_are_kept_in_their_order() -> None:
    rows = [
        {
            "source": at,
            "file": f"f{at}.csv",
            "rows": 10 + at,
            "stored": 10,
            "rejected": int(at == 3),
        }
        for at in range(60)
    ]
    spec = spec_of(sources(*rows))

    drawn = [r["name"] for r in drawn_from(spec, "rule", "part")]

    assert drawn == ["f3.csv", *(f"f{at}.csv" for at in range(45, 60))]
    assert "16 of 60 sources of records" in caption(spec)


def test_changes_beside_the_records_are_no_line() -> None:
    spec = spec_of(sources({"kind": "note", "rows": 1}, {"kind": "tags", "rows": 7, "stored": 7}))

    assert [r["whole"] for r in drawn_from(spec, "rule", "whole")] == [7]


def test_the_watched_part_of_a_league_season_is_the_answer_s_own_count() -> None:
    answer = real.real("attempts")
    (row,) = answer.part("by_season").rows()
    spec = spec_of(answer)

    (whole,) = drawn_from(spec, "rule", "whole")
    assert (whole["part"], whole["whole"]) == (row["tagged"], row["attempts"]) == (182, 1382)
    assert "182 of 1,382 (13.2 %)" in words(spec)


def test_seasons_are_counted_whatever_the_list_is_cut_to() -> None:
    whole = real.real("attempts").part("by_season").rows()

    assert known("attempts", limit=5).part("by_season").rows() == whole


@pytest.mark.parametrize("size", ["wide", "tall"])
def test_of_twelve_leagues_and_thirty_seasons_the_latest_are_drawn(size: str) -> None:
    spec = spec_of(leagues(12, 30), size=size)

    drawn = drawn_from(spec, "rule", "whole")

    room = {"wide": 16, "tall": 44}[size]
    assert len(drawn) == room
    assert f"The latest {room} of 360 league-seasons." in caption(spec)
    years = {row["name"].rpartition(", ")[2] for row in drawn}
    assert "2019-20" in years
    assert "1999-00" not in years


def test_a_game_to_watch_stands_where_the_answer_says_how_many_are_settled_by_then() -> None:
    answer = real.real("watchlist")
    spec = spec_of(answer)

    drawn = drawn_from(spec, "point", "settled")

    assert [d["settled"] for d in drawn] == [r["expected_so_far"] for r in answer.main.rows()]
    assert "no interval" in caption(spec)


def test_who_watches_is_named_where_several_do() -> None:
    alone, shared = known("watchlist"), known("watchlist", taggers="Ana,Bo")

    assert "tagger 1" not in words(spec_of(alone))
    assert {"Ana", "Bo"} <= set(words(spec_of(shared)))


@pytest.mark.parametrize("question", ["watchlist", "attempts", "sources"])
def test_counts_have_no_interval(question: str) -> None:
    spec = spec_of(real.real(question))

    assert all(
        "low" not in str(channel)
        for layer in marks(spec, "rule")
        for channel in layer["encoding"].values()
    )
