"""Each screen as text, at three sizes.

`OFFGLASS_RENEW_GOLDENS=1 pytest tests/tui/test_goldens.py` writes the files anew; read the
difference before it is committed.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.tui.driving import press, rest, running, text_of
from tests.tui.keys_of_scoresheet import open_game
from tui.cohorts import Whom

GOLDENS = Path(__file__).parent / "goldens"
SIZES = ((80, 24), (120, 36), (40, 12))
ROOMS = (
    "contents", "ranking", "adopters", "uptake", "switches", "trial", "sources", "attempts",
    "lists", "misses", "candidates", "worth", "watchlist", "agreement",
)  # fmt: skip


# Going round once for each size: a program of its own for each room took three times as long.
_SEEN: dict[tuple[int, int], dict[str, str]] = {}


async def rooms_at(size: tuple[int, int]) -> dict[str, str]:
    """How each room reads."""
    seen = {}
    async with running(size=size) as (app, pilot, _):
        for room in ROOMS:
            app.show(room)
            await rest(pilot)
            seen[room] = text_of(app)
    return seen


def compare(name: str, text: str) -> None:
    path = GOLDENS / f"{name}.txt"
    if os.environ.get("OFFGLASS_RENEW_GOLDENS"):
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    assert text == path.read_text(encoding="utf-8"), f"{path.name} differs"


@pytest.mark.parametrize("size", SIZES, ids=lambda s: f"{s[0]}x{s[1]}")
@pytest.mark.parametrize("room", ROOMS)
async def test_a_screen_reads_as_it_did(room: str, size: tuple[int, int]) -> None:
    if size not in _SEEN:
        _SEEN[size] = await rooms_at(size)
    compare(f"{room}-{size[0]}x{size[1]}", _SEEN[size][room])


@pytest.mark.parametrize("size", SIZES, ids=lambda s: f"{s[0]}x{s[1]}")
async def test_the_page_of_a_player_reads_as_it_did(size: tuple[int, int]) -> None:
    async with running(size=size) as (app, pilot, _book):
        app.show_player(Whom("Tarn"))
        await rest(pilot)
        compare(f"player-{size[0]}x{size[1]}", text_of(app))


@pytest.mark.parametrize("size", SIZES, ids=lambda s: f"{s[0]}x{s[1]}")
async def test_a_live_miss_that_is_watched_reads_as_it_did(size: tuple[int, int]) -> None:
    async with running(size=size) as (app, pilot, _book):
        app.show_watch("lot", name="honest")
        await rest(pilot)
        await press(pilot, "1", "2", "2", "2", "7")
        compare(f"watch-{size[0]}x{size[1]}", text_of(app))


@pytest.mark.parametrize("size", SIZES, ids=lambda s: f"{s[0]}x{s[1]}")
async def test_a_checked_file_reads_as_it_did(
    size: tuple[int, int], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    write_attempts(tmp_path / "new.csv")
    async with running(size=size, show="intake") as (app, pilot, _):
        await press(pilot, "type:new.csv", "enter")
        await rest(pilot)
        compare(f"intake-{size[0]}x{size[1]}", text_of(app))


@pytest.mark.parametrize("size", SIZES, ids=lambda s: f"{s[0]}x{s[1]}")
async def test_a_game_being_typed_reads_as_it_did(size: tuple[int, int]) -> None:
    async with running(size=size, show="scoresheet") as (app, pilot, _):
        await open_game(pilot)
        await press(pilot, "f9", *"12+-", "enter", *"12++", "space", *"7-1", "enter", *"12+")
        compare(f"scoresheet-{size[0]}x{size[1]}", text_of(app))


@pytest.mark.parametrize("key", ["f", "question_mark", "x", "o", "d"])
async def test_a_window_over_a_screen_reads_as_it_did(
    key: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir("/")
    monkeypatch.setattr("tui.app.settings_path", lambda: Path("terminal.toml"))
    async with running(show="ranking") as (app, pilot, _):
        await press(pilot, key)
        compare(f"ranking-{key}", text_of(app))


def write_attempts(path: Path) -> None:
    """A small file of attempts: three good rows, one refused."""
    path.write_text(
        "league,season,date,game,team,player,made,technique,shoe\n"
        "Halma League,2024-25,2024-11-02,R1,Skerry,Ilvo Tarn,yes,board,44\n"
        "Halma League,2024-25,2024-11-02,R1,Skerry,Ilvo Tarn,no,board,44\n"
        "Halma League,2024-25,2024-11-32,R1,Skerry,Bram Oselo,yes,straight,45\n"
        "Halma League,2024-25,2024-11-02,R1,Skerry,Bram Oselo,yes,straight,45\n",
        encoding="utf-8",
    )


def write_stranger(path: Path) -> None:
    """A file that does not say which part of a date is the day, nor what its words mean."""
    path.write_text(
        "league,season,date,game,team,player,made\n"
        "Halma League,2024-25,03/04/2025,R1,Skerry,Ilvo Tarn,ja\n"
        "Halma League,2024-25,03/04/2025,R1,Skerry,Ilvo Tarn,nein\n",
        encoding="utf-8",
    )
