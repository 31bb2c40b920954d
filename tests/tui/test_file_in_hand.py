"""The rows of a file in hand."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input

from tests.tui.driving import press, running, text_of
from tui.app import OffglassApp

_HEAD = "league,season,date,game,team,player,made,opponent,home,away,period,clock\n"
_ROW = "Halma League,2024-25,2024-11-02,G1,Skerry,Ilvo Tarn,yes,Fenholt,Skerry,Fenholt,1,9:59\n"


async def test_columns_without_room_are_counted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("wide.csv").write_text(_HEAD + _ROW, encoding="utf-8")
    async with running(show="intake") as (app, pilot, _):
        await press(pilot, "type:wide.csv", "enter")
        heading = _heading(app)
        gone = [n for n in _HEAD.strip().split(",") if n not in heading.split()]
        assert gone
        assert f" +{len(gone)}" in heading
        await pilot.resize_terminal(220, 30)
        await press(pilot, "down")
        assert "clock" in _heading(app)
        assert " +" not in _heading(app)


def _heading(app: OffglassApp) -> str:
    """The titles over the rows."""
    return next(li for li in text_of(app).splitlines() if li.split()[:2] == ["line", "league"])


async def test_a_long_row_opens_at_its_beginning_with_the_day_at_fault_chosen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    good, bad = _ROW.replace("11-02", "11-30"), _ROW.replace("2024-11-02", "2024-11-31")
    Path("week.csv").write_text(_HEAD + good + bad, encoding="utf-8")
    async with running(show="intake") as (app, pilot, _):
        await press(pilot, "type:week.csv", "enter")
        assert "d mend a row" in text_of(app).splitlines()[-1]
        await press(pilot, "d")
        line = app.focused
        assert isinstance(line, Input)
        assert line.selected_text == "2024-11-31"
        assert f" {bad[:40]}" in text_of(app)
        # No order makes a day of it: none is offered.
        assert "there is no such day" in text_of(app)
        assert "dates" not in text_of(app)
        await press(pilot, *"2024-11-03", "enter")
        assert "2 would be stored" in text_of(app)


async def test_the_way_to_mend_is_said_where_words_are_unknown_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    rows = (
        _HEAD.replace("clock", "technique"), _ROW.replace("9:59", "flump"),
        _ROW.replace("yes", "perhaps").replace("9:59", "board"),
    )  # fmt: skip
    Path("week.csv").write_text("".join(rows), encoding="utf-8")
    async with running(show="intake") as (app, pilot, _):
        await press(pilot, "type:week.csv", "enter")
        assert "d mends the chosen row" in " ".join(text_of(app).split())
