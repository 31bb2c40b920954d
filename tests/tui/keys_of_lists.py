"""The keys of Lists, and those that say something about the player of a row."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from textual.pilot import Pilot

from tests.tui.driving import press, status_of, text_of
from tests.tui.fake_book import FakeBook
from tests.tui.key_checks import asked, on
from tui.app import OffglassApp
from tui.screens.dialogs import ConfirmDialog
from tui.screens.form import FormDialog
from tui.screens.lists import ListsScreen
from tui.screens.question import QuestionScreen
from tui.widgets.lines import Words


def front(app: OffglassApp) -> type:
    """What kind of screen or window is in front."""
    return type(app.screen)


def headline(app: OffglassApp) -> str:
    return " ".join(app.screen.query_one("#headline", Words).said)


async def go_to(app: OffglassApp, pilot: Pilot[int], part: str) -> ListsScreen:
    """Leaf to a part of Lists, with the key."""
    screen = app.screen
    assert isinstance(screen, ListsScreen)
    for _ in range(8):
        shown = screen.part()
        if shown is not None and shown.name == part:
            return screen
        await press(pilot, "right")
    raise AssertionError(f"no part {part}")


@on("ranking")
async def lists(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "l")
    assert front(app) is ListsScreen
    # What is due is shown before anything is chosen.
    assert headline(app).startswith("1 review is due: Ilvo Tarn")
    await press(pilot, "c", "f12")
    assert front(app) is ListsScreen


@on("ranking")
async def keep(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "down", "k")
    assert front(app) is FormDialog
    assert "Put Bram Tarn on a list" in text_of(app)
    assert "Spring (2)" in text_of(app)
    await press(pilot, "type:Spr", "right", "down", "type:misses short", "enter")
    assert issubclass(front(app), QuestionScreen)
    assert ("shortlist", ("Spring", ("Bram Tarn",), True, "Halma League", "misses short")) in (
        book.calls
    )
    assert status_of(app) == "Bram Tarn put on Spring; source 3, u takes it back"
    # The last used is meant where no list is typed.
    await press(pilot, "down", "k", "enter")
    assert [p.player for p in book.lists()[0].players][-2:] == ["Bram Tarn", "Sefa Tarn"]
    await press(pilot, "u", "y")
    assert [p.player for p in book.lists()[0].players][-1] == "Bram Tarn"


@on("ranking")
async def note(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "h", "enter")
    # A note needs its text; the window stays.
    assert front(app) is FormDialog
    assert "note: type what a number cannot say" in text_of(app)
    await press(pilot, "type:leans back", "down", "type:2025-02-30", "enter")
    assert "day takes a day such as 2025-03-31, not '2025-02-30'" in text_of(app)
    await press(pilot, "backspace", "backspace", "type:28", "enter")
    assert ("note", ("leans back", "Ilvo Tarn", "Halma League", date(2025, 2, 28))) in book.calls
    assert status_of(app) == "noted of Ilvo Tarn; source 3, u takes it back"


@on("ranking")
async def decide(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "j")
    assert "Decided so far: try, to be looked at again on 2025-03-01" in text_of(app)
    await press(pilot, "type:maybe", "down", "type:it helps", "enter")
    assert "decision takes try, wait, stop, not 'maybe'" in text_of(app)
    await press(pilot, "ctrl+u", "type:s", "down", "down", "type:2025-09-01", "enter")
    said = ("Ilvo Tarn", "stop", "it helps", date(2025, 9, 1), "Halma League")
    assert ("decide", said) in book.calls
    assert status_of(app) == "Ilvo Tarn: stop; source 3, u takes it back"
    assert book.reviews_due() == []


@on("ranking")
async def plan(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "down", "z")
    assert "Consent first" in text_of(app)
    assert "No consent to records of Bram Tarn's practice is written down yet." in text_of(app)
    await press(pilot, "type:Winter", "enter")
    # What cannot be is one line, and all that was typed is still there.
    assert "there is a trial 'Winter' already" in text_of(app)
    await press(pilot, "type: 2", "down", "down", "down", "type:8", "enter")
    kept = ("Winter 2", "Bram Tarn", ("straight", "board"), 8, 50, 0, None, "Halma League")
    assert ("trial", kept) in book.calls
    # Nobody has agreed yet: it is offered to write that down at once.
    assert front(app) is ConfirmDialog
    await press(pilot, "y")
    assert "minor a guardian agrees." in text_of(app)
    await press(pilot, "type:g", "down", "type:2025-01-01", "enter")
    agreed = ("Bram Tarn", "guardian", date(2025, 1, 1), None, "the trial Winter 2", "Halma League")
    assert ("consent", agreed) in book.calls
    assert "source 4, u takes it back" in status_of(app)


@on("lists")
async def add(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await go_to(app, pilot, "lists")
    await press(pilot, "a", "type:Summer", "down", "down", "type:Kuno M", "right", "enter")
    assert status_of(app) == "Kuno Mun put on Summer; source 3, u takes it back"
    assert "Summer" in text_of(app)
    # In an open list its name is there already; several names are parted by a semicolon.
    await press(pilot, "down", "enter", "a", "type:Yelt Mun; Pim Nobody", "enter")
    assert "the ledger has no player 'Pim Nobody'" in text_of(app)
    await press(pilot, *["backspace"] * 6, "type:Mun", "enter")
    assert [p.player for p in book.lists()[1].players] == ["Sefa Mun", "Yelt Mun", "Pim Mun"]
    assert headline(app).startswith("Autumn: 3 players")
    for part, title in (
        ("lots", "Draw players to watch"),
        ("rumour", "What raised the question?"),
        ("trials", "Plan a trial in practice"),
        ("consents", "Who agreed to records of a player's practice?"),
        ("decisions", "What is decided about him?"),
        ("notes", "Write a note"),
    ):
        await go_to(app, pilot, part)
        await press(pilot, "a")
        assert title in text_of(app)
        await press(pilot, "escape")


@on("lists")
async def drop(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await go_to(app, pilot, "lists")
    await press(pilot, "minus")
    assert "open the list to drop players" in status_of(app)
    await press(pilot, "enter", "down", "minus")
    assert status_of(app) == "Bram Oselo dropped from Spring; source 3, u takes it back"
    assert [p.player for p in book.lists()[0].players] == ["Ilvo Tarn"]
    await press(pilot, "u", "y")
    assert [p.player for p in book.lists()[0].players] == ["Ilvo Tarn", "Bram Oselo"]
    # Elsewhere it takes back what stored the row.
    await go_to(app, pilot, "notes")
    await press(pilot, "h", "type:second", "enter", "home", "minus")
    assert "Take back source 4?" in text_of(app)
    await press(pilot, "y")
    assert [n["said"] for n in book.notes()] == ["asks for film of himself"]


@on("lists")
async def candidates(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "t")
    assert "choose a list first" in status_of(app)
    await go_to(app, pilot, "lists")
    await press(pilot, "t")
    assert issubclass(front(app), QuestionScreen)
    assert asked(book)[0] == "candidates"
    assert asked(book)[3] == {"list": "Spring"}
    await press(pilot, "escape")
    assert front(app) is ListsScreen


@on("lists")
async def consent(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "down", "w")
    assert "Who agreed to records of Bram Oselo's practice?" in text_of(app)
    await press(pilot, "type:p", "down", "type:2025-01-01", "down", "type:2024-12-01", "down")
    assert "a practice trial" in text_of(app)
    await press(pilot, "ctrl+u", "enter")
    assert "what for: type what the records are for, for example a trial" in text_of(app)
    await press(pilot, "type:a winter trial", "enter")
    assert book.consents()[-1].player == "Bram Oselo"
    assert "records of practice may be stored from 2025-01-01" in status_of(app)
    # A caution about minors is told as the command tells it.
    assert "is a guardian's consent needed?" in status_of(app)


@on("lists")
async def draw_lot(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "o")
    assert "A share of a league is honest only where the watched players were" in text_of(app)
    await press(pilot, "type:second", "down", "type:Hal", "right", "down", "type:2024-25")
    await press(pilot, "down", "type:few", "enter")
    assert "players takes a whole number, not 'few'" in text_of(app)
    await press(pilot, "ctrl+u", "type:400", "enter")
    assert "400 were asked" in text_of(app)
    await press(pilot, "ctrl+u", "type:3", "enter")
    assert ("lot", ("second", "Halma League", "2024-25", 3, None)) in book.calls
    assert "drawn with seed 11: watch all of them" in status_of(app)
    assert headline(app).startswith("2 lots of players to watch")


@on("lists")
async def rumour(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "m", "type:they bank them", "down", "type:2023-24", "enter")
    assert ("rumour", ("they bank them", "2023-24", None, None, None, None)) in book.calls
    assert "2023-24 suggested the question and will not be used to test it" in status_of(app)


def slides(book: FakeBook) -> list[str]:
    return [item.question for item in book.deck()]


@on("lists")
async def slide_down(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "greater_than_sign")
    assert status_of(app) == "no slide is chosen"
    await go_to(app, pilot, "slides")
    await press(pilot, "greater_than_sign")
    assert slides(book) == ["uptake", "ranking"]
    # The slide stays chosen where it went.
    await press(pilot, "greater_than_sign")
    assert status_of(app) == "it is the last slide"


@on("lists")
async def slide_up(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await go_to(app, pilot, "slides")
    await press(pilot, "less_than_sign")
    assert status_of(app) == "it is the first slide"
    await press(pilot, "down", "less_than_sign")
    assert slides(book) == ["uptake", "ranking"]
    await press(pilot, "minus")
    assert slides(book) == ["ranking"]
    assert "source 4, u takes it back" in status_of(app)


@on("lists")
async def save_deck(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "x")
    assert "Save the slides for a staff as" in text_of(app)
    await press(pilot, "enter")
    saved = Path.cwd() / "deck.pptx"
    # What was put aside has its own attempts.
    assert ("export_deck", (str(saved), None, None, "dark", None, True)) in book.calls
    assert "deck.pptx" in status_of(app)
    await go_to(app, pilot, "slides")
    await press(pilot, "minus", "minus", "x", "enter")
    assert "is there already: enter again replaces it" in text_of(app)
    await press(pilot, "enter")
    # Without any the usual questions are asked of the attempts that are meant.
    last = [what for name, what in book.calls if name == "export_deck"][-1]
    assert last[1] == app.meant.now.cohort
