"""The same figures to edit: an office program's own chart holds the answer's values."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from ledger.charts.deck.plots import _accents
from ledger.charts.deck.slides import Slides
from ledger.charts.registry import draw
from ledger.charts.theme import THEMES, looks
from ledger.questions.answer import Answer
from tests.charts import answers
from tests.deck.reading import (
    amounts,
    description,
    hidden,
    named,
    opened,
    sheet,
    shown,
    title,
    words,
)
from tests.story import league

pytestmark = pytest.mark.usefixtures("unpainted")


def chart_of(path: Path, answer: Answer) -> tuple[Any, Any]:
    """The hidden slide of an answer, and its chart."""
    with Slides(path) as slides:
        slides.add_answer(answer)
        slides.write()
    (slide,) = hidden(opened(path))
    return slide, named(slide, "Chart").chart


def close(found: Any, wanted: Any) -> bool:
    return list(found) == pytest.approx(list(wanted), abs=1e-12)


def test_a_ranking_is_bars_with_the_intervals_of_its_rows(tmp_path: Path) -> None:
    answer = answers.ranking(6)
    rows = answer.main.rows()

    slide, chart = chart_of(tmp_path / "r.pptx", answer)

    (series,) = chart.plots[0].series
    assert chart.chart_type.name == "BAR_CLUSTERED"
    assert list(chart.plots[0].categories) == [row["player"] for row in rows]
    assert close(series.values, [row["shrunken_rate"] for row in rows])
    assert close(amounts(series, "minus"), [r["shrunken_rate"] - r["low"] for r in rows])
    assert close(amounts(series, "plus"), [r["high"] - r["shrunken_rate"] for r in rows])
    assert title(slide) == answer.headline
    assert "The same figures to edit" in words(slide)
    assert answer.headline in description(named(slide, "Chart"))


def test_the_workbook_holds_the_figures_and_the_ends_of_their_intervals(tmp_path: Path) -> None:
    answer = answers.ranking(4)
    rows = answer.main.rows()

    _, chart = chart_of(tmp_path / "r.pptx", answer)

    cells = sheet(chart)
    title = "share made, allowing for luck"
    assert cells[0] == [None, title, *(f"{title}, {w}" for w in ("low", "high", "down", "up"))]
    for row, cell in zip(rows, cells[1:], strict=True):
        assert cell[0] == row["player"]
        assert close(cell[1:4], [row["shrunken_rate"], row["low"], row["high"]])
    # What the intervals are drawn from stands in the cells that the chart names.
    xml = chart._chartSpace.xml
    assert "Sheet1!$E$2:$E$5" in xml
    assert "Sheet1!$F$2:$F$5" in xml


def test_raw_rates_stand_in_where_no_other_is_given(tmp_path: Path) -> None:
    answer = answers.ranking(3, raw=True)

    _, chart = chart_of(tmp_path / "r.pptx", answer)

    (series,) = chart.plots[0].series
    assert close(series.values, [row["raw_rate"] for row in answer.main.rows()])


def test_adopters_stand_in_the_order_of_the_picture_and_only_those_judged(tmp_path: Path) -> None:
    answer = answers.adopters(12)
    judged = [r for r in answer.main.rows() if r["state"] in ("adopter", "occasional", "not")]

    _, chart = chart_of(tmp_path / "a.pptx", answer)

    (series,) = chart.plots[0].series
    by_name = {row["player"]: row["share"] for row in judged}
    names = [name.partition(",")[0] for name in chart.plots[0].categories]
    assert sorted(names) == sorted(by_name)
    assert close(series.values, [by_name[name] for name in names])


def test_shares_over_seasons_are_lines_with_gaps_where_none_is_given(tmp_path: Path) -> None:
    answer = answers.uptake(3, 5, bounds=(1,), gaps=(2,))
    rows = [row for row in answer.main.rows() if row["share"] is not None]

    _, chart = chart_of(tmp_path / "u.pptx", answer)

    assert chart.chart_type.name == "LINE_MARKERS"
    seasons = list(chart.plots[0].categories)
    assert seasons == sorted({row["season"] for row in answer.main.rows()})
    by_cell = {(row["league"], row["season"]): row for row in rows}
    for series in chart.plots[0].series:
        wanted = [by_cell.get((series.name, season)) for season in seasons]
        for value, down, up, row in zip(
            series.values, amounts(series, "minus"), amounts(series, "plus"), wanted, strict=True
        ):
            if row is None:
                assert value is down is up is None
            else:
                found = [value - down, value, value + up]
                assert close(found, [row["low"], row["share"], row["high"]])
    assert any(None in series.values for series in chart.plots[0].series)


def test_candidates_show_points_and_a_scale_that_holds_every_interval(tmp_path: Path) -> None:
    columns = ("player", "league", "points_per_season", "points_low", "points_high")
    rows = [
        dict(zip(columns, row, strict=True))
        for row in (
            ("Oselo", "Halma League", 9.9, -16.6, 28.0),
            ("Brim", "Halma League", -1.5, -20.0, 4.0),
            ("Tarn", "Halma League", None, None, None),
        )
    ]
    answer = answers.answer("candidates", answers.part(columns, rows))

    _, chart = chart_of(tmp_path / "c.pptx", answer)

    (series,) = chart.plots[0].series
    assert list(chart.plots[0].categories) == ["Oselo", "Brim"]
    assert close(series.values, [9.9, -1.5])
    assert close(amounts(series, "minus"), [26.5, 18.5])
    assert chart.value_axis.minimum_scale <= -20.0
    assert chart.value_axis.maximum_scale >= 28.0


def test_players_of_one_name_and_more_rows_than_fit_are_told_of(tmp_path: Path) -> None:
    answer = answers.ranking(30, names=["Oselo", "Oselo"])

    slide, chart = chart_of(tmp_path / "r.pptx", answer)

    assert len(list(chart.plots[0].categories)) == 14
    assert "the first 14 of 30" in words(slide)


@pytest.mark.parametrize("question", ["attempts", "sources"])
def test_questions_without_such_a_chart_have_no_hidden_slide(tmp_path: Path, question: str) -> None:
    with Slides(tmp_path / "x.pptx") as slides:
        slides.add_answer(league.ask(question))
        done = slides.write()

    assert (done.shown, done.hidden) == (1, 0)
    assert len(shown(opened(done.path))) == 1


def test_a_league_has_the_colour_of_the_picture_in_the_same_theme(tmp_path: Path) -> None:
    names = (*answers.LEAGUES[3:6], *answers.LEAGUES[:3])
    answer = replace(answers.uptake(3, 4), draw=partial(draw, names=names))
    pictured = looks(answers.LEAGUES[:3], THEMES["light"], names)

    _, chart = chart_of(tmp_path / "u.pptx", answer)

    accents = dict(enumerate(THEMES["light"].series[:6], start=1))
    for series in chart.plots[0].series:
        (used,) = set(re.findall(r"accent(\d)", series._element.xml))
        assert accents[int(used)] == pictured[series.name].colour


def test_leagues_beyond_the_template_s_accents_take_those_nobody_has() -> None:
    assert _accents([1, 7, 0]) == [2, 3, 1]
    assert len(set(_accents([7, 6, 2, 3, 4, 5]))) == 6
