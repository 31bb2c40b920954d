"""The screens on a real ledger: a file in, a question, and back again."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.book import Book
from tests.tui.driving import press, rest, status_of, text_of
from tui.app import OffglassApp
from tui.screens.question import QuestionScreen

HEADER = "league,season,date,game,team,player,made,technique\n"


def season_file(path: Path) -> None:
    """Twelve players of one league with sixty attempts each, invented."""
    lines = []
    for number in range(12):
        name = f"Player {chr(65 + number)}"
        for k in range(60):
            made = "yes" if (k * 7 + number) % 10 < 7 else "no"
            how = "board" if number % 3 == 0 else "straight"
            day = 1 + k // 6
            lines.append(
                f"Halma League,2024-25,2024-11-{day:02d},R{day},Skerry,{name},{made},{how}\n"
            )
    path.write_text(HEADER + "".join(lines), encoding="utf-8")


async def test_a_file_comes_in_is_asked_about_and_taken_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    season_file(tmp_path / "season.csv")
    ledger = tmp_path / "spring.duckdb"
    app = OffglassApp(lambda: Book(ledger, create=True, who="Mira"), ledger.name)
    async with app.run_test(size=(120, 36)) as pilot:
        await rest(pilot)
        assert "The ledger is empty." in text_of(app)
        await press(pilot, "i", "type:season.csv", "enter")
        assert "720 rows: 720 would be stored (720 attempts, 720 tags)." in text_of(app)
        await press(pilot, "a")
        assert "stored as source 1; u takes it back" in status_of(app)
        assert "720 attempts, 100.0 % watched" in text_of(app)
        # Taken back where it came in, the file is looked at again, and the top line follows.
        await press(pilot, "u", "y")
        assert "source 1 is taken back; nothing is stored yet" in status_of(app)
        assert text_of(app).splitlines()[0].endswith("empty")
        await press(pilot, "s", "b")
        assert "720 attempts, 100.0 % watched" in text_of(app)
        await press(pilot, "c", "1")
        assert "Player A" in text_of(app)
        assert isinstance(app.screen, QuestionScreen)
        assert app.screen.answer is not None
        assert app.screen.answer.frame.height == 12
        assert app.screen.answer.headline[:40] in text_of(app)
        await press(pilot, "c", "2")
        assert "yes" in text_of(app)
        await press(pilot, "s", "u", "y")
        assert "source 1 is taken back" in status_of(app)
        await press(pilot, "b")
        assert "source 1 is brought back" in status_of(app)
        await press(pilot, "f2", "f", "type:Halmo League", "enter", "1")
        assert "Halma League" in status_of(app)
    with Book(ledger) as book:
        assert book.contents().attempts == 720
