"""A path that leads to no file is told as it was typed, once, and nothing stays in hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.driving import press, running, status_of, text_of
from tests.tui.test_goldens import write_attempts


@pytest.mark.parametrize("path", ["away/season.csv", "season.csv", "a" * 300 + "/season.csv"])
async def test_a_path_to_no_file_is_told_once_as_typed(
    path: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    async with running(size=(120, 36), show="intake") as (app, pilot, book):
        await press(pilot, f"type:{path}", "enter")
        assert status_of(app) == f"{path}: there is no such file"
        assert " ".join(text_of(app).split()).count("no such file") <= 1
        assert not [name for name, _ in book.calls if name == "import_file"]


async def test_a_file_that_was_in_hand_is_not_stored_under_another_path(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    write_attempts(tmp_path / "new.csv")
    async with running(size=(120, 36), show="intake") as (app, pilot, book):
        await press(pilot, "type:new.csv", "enter")
        assert "2024-11-32" in text_of(app)
        await press(pilot, "b", "ctrl+u", "type:knew.csv", "enter")
        assert "2024-11-32" not in text_of(app)
        await press(pilot, "f9")
        assert not [what for name, what in book.calls if name == "import_file" and not what[2]]
        assert "choose a file first" in status_of(app)
