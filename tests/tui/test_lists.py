"""Lists and the windows about players: on real ledgers, and where something goes wrong."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual import events
from textual.pilot import Pilot
from textual.widgets import Input

from ledger.book import Book
from tests.tui.driving import press, rest, running, status_of, text_of
from tests.tui.fake_book import HOSTILE, FakeBook
from tests.tui.keys_of_lists import front, go_to, headline
from tui.app import OffglassApp
from tui.screens.dialogs import ConfirmDialog, TextDialog
from tui.screens.form import FormDialog, Line
from tui.screens.lists import ListsScreen
from tui.screens.question import QuestionScreen
from tui.screens.ranking import RankingScreen
from tui.widgets.lines import Words
from tui.widgets.rows import RowsView
from tui.widgets.sections import SectionsLine, seen_of

HEADER = "league,season,date,game,team,player,made,technique\n"


def two_leagues(path: Path) -> None:
    """Fifty attempts of each of four names in two leagues; one of the names is in both."""
    lines = []
    for league, names in (
        ("Halma League", ("Ilvo Tarn", "Bram Oselo", "Sefa Mun", "Kuno Dravik")),
        ("Drellin Liga", ("Ilvo Tarn", "Yelt Pim")),
    ):
        for place, name in enumerate(names):
            for k in range(50):
                made = "yes" if (k * 7 + place) % 10 < 7 else "no"
                day = 1 + k // 5
                lines.append(f"{league},2024-25,2024-11-{day:02d},R{day},Skerry,{name},{made},\n")
    path.write_text(HEADER + "".join(lines), encoding="utf-8")


@asynccontextmanager
async def on_real_book(
    folder: Path, size: tuple[int, int] = (120, 36)
) -> AsyncIterator[tuple[OffglassApp, Pilot[int], Path]]:
    """The program on a ledger of two leagues, at its ranking."""
    two_leagues(folder / "attempts.csv")
    ledger = folder / "spring.duckdb"
    with Book(ledger, create=True, who="Mira") as book:
        book.import_file(folder / "attempts.csv", "attempts")
    app = OffglassApp(lambda: Book(ledger, who="Mira"), ledger.name)
    async with app.run_test(size=size) as pilot:
        await rest(pilot)
        app.show("ranking")
        await rest(pilot)
        yield app, pilot, ledger


def chosen(app: OffglassApp) -> dict[str, object]:
    row = app.screen.query_one(RowsView).chosen()
    assert row is not None
    return dict(row)


async def find(pilot: Pilot[int], league: str) -> None:
    """Go to Tarn of one league."""
    for _ in range(8):
        row = chosen(pilot.app)  # type: ignore[arg-type]
        if (row["player"], row["league"]) == ("Ilvo Tarn", league):
            return
        await press(pilot, "down")
    raise AssertionError("no such row")


async def test_a_scouts_afternoon_is_written_down_and_taken_back(tmp_path: Path) -> None:
    async with on_real_book(tmp_path) as (app, pilot, ledger):
        # His name is two players': the row tells which is meant.
        await find(pilot, "Drellin Liga")
        await press(pilot, "k", "type:Spring", "down", "type:banks them", "enter")
        assert status_of(app) == "Ilvo Tarn put on Spring; source 2, u takes it back"
        await press(pilot, "j", "type:try", "down", "type:misses long", "down")
        await press(pilot, "type:2025-04-01", "enter")
        assert "Ilvo Tarn: try, to be looked at again on 2025-04-01; source 3" in status_of(app)
        await press(pilot, "h", "type:asks for film", "enter")
        assert status_of(app) == "noted of Ilvo Tarn; source 4, u takes it back"
        await press(pilot, "z", "type:Winter", "down", "down", "down", "type:8", "enter")
        assert front(app) is ConfirmDialog
        await press(pilot, "y", "type:player", "down", "type:2025-01-01", "enter")
        assert "records of practice may be stored from 2025-01-01; source 6" in status_of(app)

        await press(pilot, "l")
        assert headline(app) == "1 review is due: Ilvo Tarn; 1 decision in force."
        assert chosen(app)["league"] == "Drellin Liga"
        await press(pilot, "enter")
        assert front(app) is TextDialog
        assert "Because: misses long" in text_of(app)
        await press(pilot, "escape")
        await go_to(app, pilot, "lists")
        await press(pilot, "enter")
        assert headline(app) == "Spring: 1 player, something is decided about 1 of them."
        assert chosen(app)["note"] == "banks them"
        await go_to(app, pilot, "trials")
        assert chosen(app)["consent"] == "holds"
        assert "8 of 50 each way" in text_of(app)
        await go_to(app, pilot, "notes")
        assert chosen(app)["text"] == "asks for film"

        for source in (6, 5, 4, 3, 2):
            await press(pilot, "u")
            assert f"Take back source {source}?" in text_of(app)
            assert "0 records" not in text_of(app)
            await press(pilot, "y")
        for part in ("lists", "trials", "consents", "decisions", "notes"):
            screen = await go_to(app, pilot, part)
            shown = screen.part()
            assert shown is not None
            assert shown.rows == ()
    with Book(ledger) as book:
        assert book.lists() == []
        assert book.contents().attempts == 300


async def test_a_lot_is_drawn_and_read_in_its_order(tmp_path: Path) -> None:
    async with on_real_book(tmp_path) as (app, pilot, ledger):
        await press(pilot, "l", "o", "type:honest", "down", "type:halma league", "down")
        await press(pilot, "type:2024-25", "down", "type:9", "enter")
        # What cannot be is said in the ledger's own words, and nothing typed is lost.
        assert "Halma League 2024-25 has 4 players" in text_of(app)
        await press(pilot, "backspace", "type:3", "down", "type:5", "enter")
        assert "3 of the 4 players of Halma League, 2024-25" in status_of(app)
        assert "source 2, u takes it back" in status_of(app)
        await press(pilot, "enter")
        shown = app.screen.query_one(RowsView)
        names = [shown.row(i)["player"] for i in range(shown.count)]
        with Book(ledger) as book:
            assert names == [p.player for p in book.lots()[0].players]
        assert chosen(app)["watched"] == "0 of 50"
        # The lot is watched from here, and what was watched is seen when one comes back.
        await press(pilot, "v")
        assert getattr(app.screen, "kind", "") == "watch"
        assert "honest" in text_of(app)
        await press(pilot, "0", "escape")
        while front(app) is not ListsScreen:
            await press(pilot, "escape")
        await press(pilot, "r")
        assert headline(app).endswith("149 free throws left to watch.")
        await press(pilot, "enter")
        assert isinstance(app.screen, QuestionScreen)
        assert app.screen.question == "player"
        await press(pilot, "escape")
        assert front(app) is ListsScreen
        await press(pilot, "escape")
        assert headline(app) == "1 lot of players to watch, 0 watched to the end."
        # The first takes away what was said, the second goes back to where one came from.
        await press(pilot, "escape", "escape")
        assert front(app) is RankingScreen


async def test_a_name_of_two_players_is_asked_back_and_the_window_stays(tmp_path: Path) -> None:
    async with on_real_book(tmp_path) as (app, pilot, _):
        await press(pilot, "l")
        await go_to(app, pilot, "notes")
        await press(pilot, "a", "type:asks for film", "down", "down", "type:Ilvo Tarn", "enter")
        assert front(app) is FormDialog
        assert "'Ilvo Tarn' is 2 players" in text_of(app)
        await press(pilot, "down", "type:Drellin Liga", "enter")
        assert status_of(app) == "noted of Ilvo Tarn; source 2, u takes it back"
        assert chosen(app)["league"] == "Drellin Liga"


async def test_three_players_of_the_ranking_are_asked_who_should_try_it(tmp_path: Path) -> None:
    async with on_real_book(tmp_path) as (app, pilot, _):
        await press(pilot, "k", "type:Spring", "enter", "down", "k", "enter", "down", "k", "enter")
        await press(pilot, "l")
        await go_to(app, pilot, "lists")
        assert chosen(app)["players"] == 3
        await press(pilot, "t")
        assert isinstance(app.screen, QuestionScreen)
        assert app.screen.answer is not None
        assert app.screen.answer.asked["list"] == ["Spring"]
        assert app.screen.answer.frame.height == 3


async def test_a_row_without_a_player_is_said_so(tmp_path: Path) -> None:
    async with running(show="ranking") as (app, pilot, book):
        book.names = ()
        await press(pilot, "r", "k")
        assert status_of(app) == "there is no row yet"
    async with on_real_book(tmp_path) as (app, pilot, _):
        await press(pilot, "b", "3")
        assert "Skerry" in text_of(app)
        await press(pilot, "j")
        assert status_of(app) == "this row names no player"


async def test_nothing_typed_is_lost_while_another_process_has_the_ledger() -> None:
    async with running(show="ranking") as (app, pilot, book):
        await press(pilot, "h", "type:leans back")
        book.busy = True
        await press(pilot, "enter")
        assert front(app) is FormDialog
        assert "the ledger is held by Mira" in text_of(app)
        assert "tries again" in text_of(app)
        assert app.screen.query_one("#text-typed", Input).value == "leans back"
        book.busy = False
        await press(pilot, "enter")
        assert "noted of Ilvo Tarn" in status_of(app)


async def test_pasted_lines_become_one_and_none_is_lost() -> None:
    async with running(show="ranking") as (app, pilot, book):
        await press(pilot, "h")
        app.post_message(events.Paste("leans back\nlooks down\n"))
        await rest(pilot)
        await press(pilot, "enter")
        assert [n["said"] for n in book.notes()][-1] == "leans back looks down"


async def test_an_answer_is_asked_anew_only_where_it_tells_what_was_written() -> None:
    async with running(show="ranking") as (app, pilot, book):

        def asked() -> list[str]:
            return [what[0] for name, what in book.calls if name == "ask"]

        await press(pilot, "enter", "escape")
        before = asked()
        await press(pilot, "k", "enter", "h", "type:leans back", "enter")
        assert "noted of Ilvo Tarn" in status_of(app)
        assert asked() == before
        # His page tells of it: it is asked anew when it is seen; what ranks him is not.
        await press(pilot, "enter", "escape")
        assert asked() == [*before, "player"]
        # Nobody else changed the ledger: the contents do not make it all be asked again.
        await press(pilot, "c", "1")
        assert asked().count("ranking") == before.count("ranking") + 1


async def test_what_is_written_on_a_players_page_is_on_it_at_once(tmp_path: Path) -> None:
    async with on_real_book(tmp_path) as (app, pilot, _):
        await find(pilot, "Drellin Liga")
        await press(pilot, "enter")
        assert "notes 0" in text_of(app)
        await press(pilot, "h", "type:looks down", "enter")
        assert "notes 1" in text_of(app)
        assert status_of(app) == "noted of Ilvo Tarn; source 2, u takes it back"
        await press(pilot, "u", "y")
        assert "notes 0" in text_of(app)


async def test_leaving_a_window_stores_nothing() -> None:
    async with running(show="ranking") as (app, pilot, book):
        await press(pilot, "j", "type:try", "down", "type:because", "escape")
        assert issubclass(front(app), QuestionScreen)
        assert not any(name == "decide" for name, _ in book.calls)


async def test_a_player_typed_instead_of_the_rows_is_looked_for_in_all_leagues() -> None:
    async with running(show="ranking") as (_, pilot, book):
        await press(pilot, "h", "type:leans", "down", "down", "ctrl+u", "type:Kuno Mun", "enter")
        assert ("note", ("leans", "Kuno Mun", None, None)) in book.calls


async def test_the_reviews_that_are_due_are_the_first_line_of_the_contents() -> None:
    async with running() as (app, pilot, book):
        assert "! 1 review is due: Ilvo Tarn" in text_of(app)
        # They came after the questions: what was chosen is still chosen.
        await press(pilot, "enter")
        assert isinstance(app.screen, QuestionScreen)
        assert app.screen.question == "ranking"
        await press(pilot, "c", "1")
        assert isinstance(app.screen, QuestionScreen)
        assert app.screen.question == "ranking"
        await press(pilot, "c", "home", "enter")
        assert front(app) is ListsScreen
        assert headline(app).startswith("1 review is due")
        # From another part of Lists, too.
        await go_to(app, pilot, "lots")
        await press(pilot, "c", "home", "enter")
        assert headline(app).startswith("1 review is due")
        await press(pilot, "j", "type:wait", "down", "type:not yet", "enter", "c")
        assert "is due" not in text_of(app)
        assert book.reviews_due() == []


async def test_parts_are_chosen_with_the_mouse_and_rows_opened_by_two_clicks() -> None:
    async with running(show="lists") as (app, pilot, _):
        line = app.screen.query_one(SectionsLine)
        await pilot.click(line, offset=(2, 0))
        await rest(pilot)
        assert headline(app).startswith("2 lists of players")
        await pilot.click(app.screen.query_one(RowsView), offset=(4, 2), times=2)
        await rest(pilot)
        assert headline(app).startswith("Autumn: 1 player")


async def test_hostile_names_act_on_nothing() -> None:
    book = FakeBook(names=HOSTILE)
    book.written = []
    async with running(book, size=(120, 36), show="ranking") as (app, pilot, _):
        await press(pilot, "k", "type:[red]Spring[/", "enter", "j", "type:try", "down")
        await press(pilot, "type:[@click=app.quit]why", "enter", "l")
        await go_to(app, pilot, "lists")
        await press(pilot, "enter")
        seen = text_of(app)
        assert "[red]Spring[/" in seen
        assert HOSTILE[0] in seen
        assert "\x1b" not in seen
        await press(pilot, "d")
        assert "[@click=app.quit]why" in text_of(app)


@pytest.mark.parametrize(
    ("line", "typed", "value"),
    [
        (Line("d", "day", kind="day"), " 2025-03-31 ", "2025-03-31"),
        (Line("n", "number", kind="number"), "12", "12"),
        (Line("c", "choice", choices=("try", "wait", "stop")), "W", "wait"),
        (Line("t", "text"), " two  words ", "two words"),
        (Line("t", "text"), "   ", "None"),
    ],
)
def test_a_line_is_read_as_what_it_is(line: Line, typed: str, value: str) -> None:
    assert str(line.read(typed)) == value


@pytest.mark.parametrize("chosen", range(7))
@pytest.mark.parametrize("cells", [20, 38, 60, 80, 200])
def test_the_chosen_part_is_always_seen(chosen: int, cells: int) -> None:
    names = ["lists 12", "lots 3", "rumour 1", "trials 0", "consents 2", "decisions 9", "notes 4"]
    seen = seen_of(names, chosen, cells)
    assert f"[{names[chosen]}]" in [words for _, words in seen]
    at, words = seen[-1]
    assert at + len(words) <= cells or len(seen) <= 3


def last_of(app: OffglassApp) -> str:
    """The line of keys."""
    return text_of(app).splitlines()[-1]


async def test_each_part_offers_the_keys_that_do_something_in_it() -> None:
    async with running(size=(200, 36), show="lists") as (app, pilot, _):
        for part, there, elsewhere in (
            ("lists", ("a add", "t who should try it"), ("m rumour", "x save", "- drop")),
            ("lots", ("a add",), ("m rumour", "k on a list", "x save", "o draw a lot")),
            ("rumour", ("a add", "- drop"), ("m rumour", "k on a list", "x save")),
            ("trials", ("a add", "w consent"), ("m rumour", "k on a list", "z trial")),
            ("consents", ("a add", "- drop"), ("w consent", "k on a list")),
            ("decisions", ("j decide", "k on a list"), ("m rumour", "w consent")),
            ("notes", ("h note", "k on a list"), ("m rumour", "x save")),
            ("slides", ("x save the slides", "- drop"), ("a add", "k on a list", "m rumour")),
        ):
            await go_to(app, pilot, part)
            line = last_of(app)
            assert all(key in line for key in there), (part, line)
            assert not any(key in line for key in elsewhere), (part, line)
        await go_to(app, pilot, "lists")
        await press(pilot, "enter")
        assert all(key in last_of(app) for key in ("a add", "- drop", "k on a list", "j decide"))


@pytest.mark.parametrize(
    ("part", "said"),
    [("rumour", "a stores one"), ("trials", "a plans one"), ("consents", "a writes one down"),
     ("lots", "a draws another"), ("slides", "on an answer x puts it here")],
)  # fmt: skip
async def test_the_words_under_a_part_name_the_keys_of_its_last_line(part: str, said: str) -> None:
    async with running(size=(160, 36), show="lists") as (app, pilot, _):
        screen = await go_to(app, pilot, part)
        assert said in " ".join(screen.query_one("#notes", Words).said)


async def test_an_empty_part_says_how_something_comes_into_it() -> None:
    from tests.tui.fake_lists import written

    book = FakeBook(written=[])
    assert written()
    async with running(book, size=(120, 36), show="lists") as (app, pilot, _):
        await go_to(app, pilot, "notes")
        assert "Nothing stands here yet: a adds something." in text_of(app)
        await go_to(app, pilot, "slides")
        assert "Nothing stands here yet: x on an answer puts it here." in text_of(app)
        await press(pilot, "enter")
        assert status_of(app) == "Nothing stands here yet: x on an answer puts it here."
