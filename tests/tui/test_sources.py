"""Sources on a real ledger: what was refused and who changed what stand beside them."""

from __future__ import annotations

from pathlib import Path

from ledger.book import Book
from tests.tui.driving import press, rest, status_of, text_of
from tui.app import OffglassApp

ROWS = (
    "league,season,date,game,team,player,made\n"
    "Halma League,2024-25,2024-11-02,R1,Skerry,Ilvo Tarn,yes\n"
    "Halma League,2024-25,2024-11-31,R1,Skerry,Ilvo Tarn,yes\n"
)


async def test_refused_rows_and_the_journal_are_leafed_to_and_name_their_source(
    tmp_path: Path,
) -> None:
    path = tmp_path / "spring.duckdb"
    (tmp_path / "week.csv").write_text(ROWS, encoding="utf-8")
    with Book(path, create=True, who="Mira") as book:
        book.import_file(tmp_path / "week.csv")
        book.correct("player", 1, {"hand": "left"}, why="seen on film")
    app = OffglassApp(lambda: Book(path, who="Mira"), path.name)
    async with app.run_test(size=(120, 36)) as pilot:
        await rest(pilot)
        await press(pilot, "s")
        assert "[sources 2]  refused rows 1  journal 2" in text_of(app)
        await press(pilot, "tab")
        assert "2024-11-31" in text_of(app)
        await press(pilot, "tab")
        correction = next(line for line in text_of(app).splitlines() if "seen on film" in line)
        assert "Mira" in correction
        assert "left" in correction
        # The newest line is of the correction, whose source is taken back.
        await press(pilot, "u", "y")
        assert status_of(app) == "source 2 is taken back"
        await press(pilot, "b")
        assert status_of(app) == "source 2 is brought back"
