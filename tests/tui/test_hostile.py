"""Names that try to act: markup, links, escape sequences, reversed writing. None may."""

from __future__ import annotations

import pytest

from tests.tui.driving import press, rest, running, text_of
from tests.tui.fake_book import HOSTILE, FakeBook
from tui.app import OffglassApp

FORBIDDEN = "\x1b\x07\x9b\u202e\u202c\u200b\r"


def hostile_book() -> FakeBook:
    return FakeBook(
        names=HOSTILE,
        leagues=HOSTILE[:4],
        headline=f"{HOSTILE[2]} is first; {HOSTILE[0]} {HOSTILE[1]}",
    )


def harmless(app: OffglassApp) -> str:
    text = text_of(app)
    assert not any(c in text for c in FORBIDDEN)
    for strip in app.screen._compositor.render_strips():
        for segment in strip:
            meta = segment.style.meta if segment.style else {}
            assert "@click" not in meta
            assert "@click" not in str(meta)
    return text


@pytest.mark.parametrize("size", [(120, 40), (40, 12)], ids=["wide", "small"])
async def test_hostile_names_are_shown_and_do_nothing(size: tuple[int, int]) -> None:
    async with running(hostile_book(), size=size) as (app, pilot, _):
        for room in ("contents", "ranking", "adopters", "uptake", "attempts", "sources"):
            app.show(room)
            await rest(pilot)
            text = harmless(app)
            assert "[/red]" in text or size[0] == 40 or room == "sources"


async def test_hostile_names_do_nothing_in_windows() -> None:
    async with running(hostile_book(), size=(120, 40), show="ranking") as (app, pilot, _book):
        for cursor in range(len(HOSTILE)):
            await press(pilot, "enter")
            harmless(app)
            await press(pilot, "escape", *["down"] * (cursor < len(HOSTILE) - 1))
        await press(pilot, "f", "type:Kim", "right")
        assert "Kim [/red] [b" in harmless(app)
        await press(pilot, "enter")
        assert "Kim [/red] [b" in harmless(app)
        await press(pilot, "f", "down", "down", "type:[@click=app.quit]")
        harmless(app)
        await press(pilot, "escape", "slash", "type:[@click", "enter")
        harmless(app)
        assert app.return_value is None


async def test_a_hostile_line_of_the_ledger_does_nothing() -> None:
    book = hostile_book()

    def refuse(*_: object, **__: object) -> None:
        from ledger.errors import UseError

        raise UseError(f"the ledger has no player {HOSTILE[2]} {HOSTILE[0]}")

    async with running(book, show="ranking") as (app, pilot, _):
        book.ask = refuse  # type: ignore[assignment, method-assign]
        await press(pilot, "r")
        assert "the ledger has no player" in harmless(app)


async def test_hostile_files_do_nothing(tmp_path: object, monkeypatch: pytest.MonkeyPatch) -> None:
    from pathlib import Path

    folder = Path(str(tmp_path))
    monkeypatch.chdir(folder)
    (folder / "[@click=app.quit]x.csv").write_text(
        "league,season,date,game,team,player,made\n"
        'Halma League,2024-25,2024-11-02,R1,Skerry,"Kim [/red] [b",yes\n'
        'Halma League,2024-25,2024-11-02,R1,Skerry,"A\x1b[31mB",yes\n',
        encoding="utf-8",
    )
    async with running(size=(120, 30), show="intake") as (app, pilot, _):
        await press(pilot, "type:[@click", "right")
        harmless(app)
        await press(pilot, "enter")
        harmless(app)
        await press(pilot, "o", "enter")
        assert "Kim [/red] [b" in harmless(app)


async def test_copied_rows_hold_no_control_codes() -> None:
    async with running(hostile_book(), show="ranking") as (app, pilot, _):
        await press(pilot, "y")
        assert not any(c in app.clipboard for c in FORBIDDEN)
        await press(pilot, "Y")
        assert "'=HYPERLINK" in app.clipboard
