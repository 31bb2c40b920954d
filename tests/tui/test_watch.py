"""Watch: keys an attempt, nothing lost, nothing doubled, whoever types however fast."""

from __future__ import annotations

import threading
from collections.abc import Callable
from itertools import count
from pathlib import Path

import pytest
from textual import events
from textual.keys import _character_to_key
from textual.pilot import Pilot

from ledger.book import Book
from ledger.errors import LedgerBusy
from tests.questions.test_film import records
from tests.tui.driving import press, rest, running, status_of, text_of
from tests.tui.fake_book import FakeBook
from tests.tui.fake_watching import to_watch
from tests.tui.keys_of_watch import opened, rest_stored, typed
from tui.app import OffglassApp
from tui.bursts import is_burst, run_length
from tui.cohorts import Whom
from tui.in_hand import ZONES, InHand, on_block
from tui.reel import Reel
from tui.screens import reeling
from tui.screens.dialogs import ConfirmDialog
from tui.screens.watch import WatchScreen
from tui.session import Job
from tui.watch_words import facts_of
from tui.widgets.attempt_view import AttemptView

CODED = ("miss_depth", "miss_side", "rebound_zone")


_came = count(1000, 1000)


async def strike(pilot: Pilot[int], keys: str, every: float = 0.1) -> None:
    """Send keys without waiting for anything, each stamped as if it came so long after the last."""
    driver, start = pilot.app._driver, next(_came)
    assert driver is not None
    for at, character in enumerate(keys):
        event = events.Key(_character_to_key(character), character)
        event.set_sender(pilot.app)
        event.time = start + every * at
        driver.send_message(event)
    await rest(pilot)


def watching(app: OffglassApp) -> WatchScreen:
    screen = app.screen
    assert isinstance(screen, WatchScreen)
    return screen


# -- keys an attempt --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("number", "keys", "stored"),
    [
        (1, "1", {"technique": "straight"}),
        (1, "2", {"technique": "board"}),
        (1, "0", {"technique": "cannot tell"}),
        (1, "-", {"technique": "not on film"}),
        (7, "17", {"technique": "straight", "miss_depth": "long", "miss_side": "left"}),
        (7, "2x", {"technique": "board", "miss_depth": "short", "miss_side": "centre"}),
        (7, "20", {"technique": "board"}),
        (7, "-", {"technique": "not on film"}),
        (7, "05", {"technique": "cannot tell", "miss_depth": "level", "miss_side": "centre"}),
        (4, "149", {"technique": "straight", "miss_depth": "level", "miss_side": "left",
                    "rebound_zone": "right_corner"}),
        (4, "2zw", {"technique": "board", "miss_depth": "short", "miss_side": "left",
                    "rebound_zone": "behind"}),
        (4, "1 2", {"technique": "straight", "rebound_zone": "high"}),
        (4, "19 ", {"technique": "straight", "miss_depth": "long", "miss_side": "right"}),
        (4, "100", {"technique": "straight"}),
    ],
)  # fmt: skip
async def test_a_make_costs_one_key_a_dead_miss_two_and_a_live_miss_three(
    number: int, keys: str, stored: dict[str, str]
) -> None:
    book = FakeBook()
    # A made one, a live miss, a dead miss.
    kinds = {1: {"made": True}, 4: {"made": False, "live": True}, 7: {"made": False, "live": False}}
    book.film_of[:] = [to_watch(number, attempt=number, **kinds[number]), to_watch(1)]
    async with running(book, show="watch") as (app, pilot, _):
        screen = await opened(app, pilot)
        await press(pilot, *("space" if key == " " else _character_to_key(key) for key in keys))
        assert screen.hand is not None
        assert screen.hand.attempt.attempt == 2
        await rest_stored(pilot, screen)
        assert book.tags == {number: stored}


async def test_space_is_the_last_technique_again() -> None:
    async with running(show="watch") as (app, pilot, book):
        screen = await opened(app, pilot)
        await press(pilot, "space")
        assert "type a technique once first" in status_of(app)
        await press(pilot, "2", "space", "minus", "space", "5", "8")
        await rest_stored(pilot, screen)
        assert [tag["technique"] for tag in book.tags.values()] == [
            "board", "board", "not on film", "board",
        ]  # fmt: skip


async def test_a_key_that_means_nothing_here_stores_nothing_and_says_so() -> None:
    async with running(show="watch") as (app, pilot, book):
        screen = await opened(app, pilot)
        await press(pilot, "7")
        assert "7 is no technique of this ledger: 1 to 4" in status_of(app)
        await press(pilot, "p", "s", "q", "c", "g")
        assert screen.hand is not None
        assert not screen.hand.begun
        await press(pilot, "1", "1", "1", "1", "5", "1")
        assert "1 is no place of the ball: 7 8 9, 4 5 6 or 2" in status_of(app)
        await rest_stored(pilot, screen)
        assert sorted(book.tags) == [1, 2, 3]


@pytest.mark.parametrize("layout", ["йцуфывячс", "QWEASDZXC", "ㅂㅈㄷㅁㄴㅇㅋㅌㅊ"])
def test_the_block_is_the_same_physical_keys_under_other_layouts(layout: str) -> None:
    assert [on_block(c) for c in layout] == list("789456123")


async def test_a_cyrillic_block_and_cyrillic_letters_are_typed() -> None:
    async with running(show="watch") as (app, pilot, book):
        screen = await opened(app, pilot)
        await strike(pilot, "1112йц")
        await rest_stored(pilot, screen)
        assert (book.tags[4]["miss_depth"], book.tags[4]["rebound_zone"]) == ("long", "behind")
        await strike(pilot, "г")
        await rest_stored(pilot, screen)
        assert 4 not in book.tags


def test_every_word_that_a_key_stores_is_one_of_the_schema() -> None:
    from ledger import resources

    allowed = {
        f["name"]: f.get("constraints", {}).get("enum") for f in resources.schema("tags")["fields"]
    }
    miss = InHand(to_watch(3, live=True))
    for first in "123456789":
        for second in ZONES:
            hand = miss.with_step("board").with_step(first).with_step(second)
            assert hand.asks is None
            for name in CODED:
                assert hand.fields()[name] in allowed[name]


# -- order, speed, bursts ---------------------------------------------------------------------


def film_of_two_hundred(book: FakeBook) -> None:
    book.film_of[:] = [to_watch(n, made=True, live=None) for n in range(230)]


@pytest.mark.parametrize("every", [0.1, 0.01])
async def test_two_hundred_attempts_arrive_complete_and_in_order(every: float) -> None:
    book = FakeBook()
    film_of_two_hundred(book)
    keys = "".join("12340-"[n * 7 % 6] for n in range(200))
    async with running(book, show="watch") as (app, pilot, _):
        screen = await opened(app, pilot)
        await strike(pilot, keys, every)
        await rest_stored(pilot, screen)
        words = {"1": "straight", "2": "board", "3": "underhand", "4": "other",
                 "0": "cannot tell", "-": "not on film"}  # fmt: skip
        found = [(what[0], what[1]["technique"]) for what in typed(book)]
        assert found == [(n + 1, words[key]) for n, key in enumerate(keys)]
        assert "201 of 230, 200 done today" in text_of(app)


async def test_a_key_is_seen_before_it_is_stored() -> None:
    async with running(show="watch") as (app, pilot, book):
        screen = await opened(app, pilot)
        busy = book.busy = True
        await strike(pilot, "12")
        assert "3 of 60, 2 done today" in text_of(app)
        for _ in range(30):
            await pilot.pause(0.01)
        assert "2 typed, not stored yet" in status_of(app)
        assert busy
        assert not book.tags
        book.busy = False
        screen.try_to_store()
        await rest_stored(pilot, screen)
        assert sorted(book.tags) == [1, 2]


async def test_what_the_ledger_refuses_comes_back_to_the_queue_and_is_said() -> None:
    async with running(show="watch") as (app, pilot, book):
        screen = await opened(app, pilot)
        gone = book.film_of.pop(1)
        await strike(pilot, "111")
        await rest_stored(pilot, screen)
        assert sorted(book.tags) == [1, 3]
        assert "NOT stored: there is no attempt 2 any more" in status_of(app)
        assert screen.reel is not None
        assert [a.attempt for a in screen.reel.coming][:2] == [4, 2]
        assert gone.attempt == 2
        assert "3 of 60, 2 done today" in text_of(app)


async def test_keys_that_come_at_once_are_asked_about_and_nothing_of_them_is_stored() -> None:
    book = FakeBook()
    film_of_two_hundred(book)
    async with running(book, show="watch") as (app, pilot, _):
        screen = await opened(app, pilot)
        await strike(pilot, "11", 0.2)
        await strike(pilot, "2" * 20, 0.001)
        assert isinstance(app.screen, ConfirmDialog)
        assert "20 keys came at once, as when a text is pasted." in text_of(app)
        await pilot.pause(0.1)
        assert sorted(book.tags) == [1, 2]
        await press(pilot, "n")
        assert watching(app).hand is not None
        await rest_stored(pilot, screen)
        assert sorted(book.tags) == [1, 2]
        assert "3 of 230, 2 done today" in text_of(app)


async def test_keys_that_came_at_once_and_were_meant_are_taken_and_go_back_together() -> None:
    book = FakeBook()
    film_of_two_hundred(book)
    async with running(book, show="watch") as (app, pilot, _):
        screen = await opened(app, pilot)
        now = [0.0]
        screen.clock = lambda: now[0]
        await strike(pilot, "1")
        now[0] = 60.0
        await strike(pilot, "2" * 20, 0.001)
        await press(pilot, "y")
        await rest_stored(pilot, screen)
        said = [tag["technique"] for tag in book.tags.values()]
        assert said == ["straight", *["board"] * 20]
        await press(pilot, "U")
        assert "Take back the last 20 attempts?" in text_of(app)
        await press(pilot, "y")
        await rest_stored(pilot, screen)
        assert sorted(book.tags) == [1]


async def test_letters_of_a_pasted_text_call_nothing() -> None:
    async with running(show="watch") as (app, pilot, book):
        await opened(app, pilot)
        await strike(pilot, "moun on the way, quite", 0.0005)
        assert isinstance(app.screen, ConfirmDialog)
        await press(pilot, "escape")
        assert not typed(book)


async def test_a_pasted_text_is_never_taken_for_keys() -> None:
    async with running(show="watch") as (app, pilot, book):
        screen = await opened(app, pilot)
        app.post_message(events.Paste("1111 y 2222"))
        await rest(pilot)
        assert "pasted text is not taken for keys" in status_of(app)
        assert screen.hand is not None
        assert not screen.hand.begun
        assert not typed(book)


def test_more_than_eight_keys_in_fifty_milliseconds_are_a_burst() -> None:
    assert not is_burst([0.01 * n for n in range(200)])
    assert not is_burst([0.0] * 8)
    assert is_burst([0.0] * 9)
    assert is_burst([*(0.2 * n for n in range(20)), *(10 + 0.005 * n for n in range(9))])
    assert run_length([0.0, 0.2, 0.21, 0.22]) == 3
    assert run_length([]) == 0


# -- taking back, resuming, leaving -----------------------------------------------------------


async def test_a_step_that_is_taken_back_before_it_is_stored_is_never_stored() -> None:
    async with running(show="watch") as (app, pilot, book):
        screen = await opened(app, pilot)
        await strike(pilot, "1u2")
        await rest_stored(pilot, screen)
        assert typed(book)[-1] == (1, {"technique": "board"}, "unwatched")
        assert book.tags == {1: {"technique": "board"}}
        await press(pilot, "u", "u")
        await rest_stored(pilot, screen)
        assert "nothing was typed here yet" in status_of(app)
        assert book.tags == {}


async def test_what_is_left_for_later_comes_back_by_a_step_back() -> None:
    async with running(show="watch") as (app, pilot, book):
        screen = await opened(app, pilot)
        await press(pilot, "n", "u")
        assert screen.hand is not None
        assert screen.hand.attempt.attempt == 1
        assert not typed(book)


async def test_work_goes_on_where_it_stopped() -> None:
    book = FakeBook()
    async with running(book, show="watch") as (app, pilot, _):
        screen = await opened(app, pilot)
        await strike(pilot, "111")
        await rest_stored(pilot, screen)
    async with running(book, show="watch") as (app, pilot, _):
        screen = await opened(app, pilot)
        assert screen.hand is not None
        assert screen.hand.attempt.attempt == 4
        assert "4 of 60, 3 done today" in text_of(app)


async def test_leaving_for_another_screen_keeps_what_is_half_typed_and_tells_the_others() -> None:
    async with running(show="watch") as (app, pilot, book):
        screen = await opened(app, pilot)
        await press(pilot, "1", "1", "1", "2")
        await rest_stored(pilot, screen)
        before, asked = app.changes, len([c for c in book.calls if c[0] == "contents"])
        await press(pilot, "f4")
        assert app.changes == before + 1
        assert len([c for c in book.calls if c[0] == "contents"]) == asked + 1
        await press(pilot, "v")
        assert watching(app).hand == InHand(to_watch(3), (("technique", "board"),))


async def test_what_is_half_typed_when_the_program_ends_is_stored() -> None:
    book = FakeBook()
    async with running(book, show="watch") as (app, pilot, _):
        await opened(app, pilot)
        await press(pilot, "1", "1", "1", "2")
        app.exit(143)
        assert app.session.ended.wait(5) or True
    assert app.session.ended.is_set()
    assert book.tags[4] == {"technique": "board"}
    assert len(book.tags) == 4


async def test_what_could_not_be_stored_at_the_end_is_said_in_the_shell() -> None:
    book = FakeBook()
    async with running(book, show="watch") as (app, pilot, _):
        await opened(app, pilot)
        book.busy = True
        await strike(pilot, "11")
        app.exit(0)
    said = "2 steps typed, not in the ledger yet: the next start stores it"
    assert app.last_words == [said]


async def test_a_sitting_that_was_taken_back_goes_on_as_another() -> None:
    async with running(show="watch") as (app, pilot, book):
        screen = await opened(app, pilot)
        await press(pilot, "1")
        await rest_stored(pilot, screen)
        first = screen.sitting.number
        await press(pilot, "f7", "y")
        await press(pilot, "1")
        await rest_stored(pilot, screen)
        assert first == 3
        assert ("undo", (3, False, False)) in book.calls


async def test_more_is_fetched_before_the_queue_runs_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reeling, "_MOST", 120)
    book = FakeBook()
    book.film_of[:] = [to_watch(n, made=True, live=None) for n in range(140)]
    async with running(book, show="watch") as (app, pilot, _):
        screen = await opened(app, pilot)
        assert screen.reel is not None
        assert screen.reel.coming[-1].attempt == 120
        await strike(pilot, "1" * 40, 0.01)
        await rest_stored(pilot, screen)
        assert screen.reel.coming[-1].attempt == 140
        assert "41 of 140, 40 done today" in text_of(app)


async def test_at_the_end_of_a_queue_it_says_what_to_do_next() -> None:
    book = FakeBook()
    book.film_of[:] = [to_watch(0), to_watch(2)]
    async with running(book, show="watch") as (app, pilot, _):
        await opened(app, pilot)
        await press(pilot, "n", "1")
        text = text_of(app)
        assert "Nothing left to watch here; 1 attempt done today." in text
        assert "1 attempt left for later: F5 brings them" in text
        await press(pilot, "1", "f5")
        assert watching(app).hand is not None


# -- what is shown ----------------------------------------------------------------------------


async def test_after_two_places_on_film_the_next_is_told_about() -> None:
    async with running(show="watch") as (app, pilot, _):
        await opened(app, pilot)
        # 10:00 left is at 1:00 of the film, 9:50 left at 1:30: three seconds a second.
        for keys in (("1:00", "1"), ("", "1"), ("1:30", "1")):
            if keys[0]:
                await press(pilot, "plus", *["tab"] * 7, f"type:{keys[0]}", "enter")
            await press(pilot, keys[1])
        assert "film: games/r1.mp4, about 1:30" in text_of(app)
        await press(pilot, "1", "5", "5")
        assert "film: games/r1.mp4, about 2:00" in text_of(app)


async def test_a_wrong_place_on_film_is_told_and_nothing_typed_is_lost() -> None:
    async with running(show="watch") as (app, pilot, _):
        await opened(app, pilot)
        await press(pilot, "plus", "type:yes", *["tab"] * 4, "type:120", "enter")
        assert "the angle is 0 to 90 degrees, not '120'" in text_of(app)
        await press(pilot, "ctrl+u", "type:52°", "enter", "plus")
        assert "yes" in text_of(app)
        await press(pilot, "escape", "u")
        assert "with more" not in text_of(app)


async def test_a_click_on_the_words_of_a_key_is_that_key() -> None:
    async with running(show="watch") as (app, pilot, book):
        screen = await opened(app, pilot)
        view = screen.query_one(AttemptView)
        assert view._picture is not None
        for key in ("2", "space", "2", "2", "9", "4"):
            x, y = next(place for place, stands in view._picture.keys.items() if stands == key)
            await pilot.click(view, offset=(x, y))
            await rest(pilot)
        await rest_stored(pilot, screen)
        zones = [tag.get("rebound_zone") for tag in book.tags.values()]
        assert zones == [None, None, None, "left_side"]


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({"trip_kind": "technical"}, "✗ missed, 2 of 2, technical, live miss; period 1, 9:50 left"),
        ({"live": None, "trip_shot": None}, "✗ missed; period 1, 9:50 left"),
        ({"period": None, "clock_s": None}, "✗ missed, 2 of 2, live miss; no time recorded"),
        ({"clock_s": None}, "✗ missed, 2 of 2, live miss; period 1"),
        ({"clock_s": 5.25, "live": False}, "✗ missed, 2 of 2, dead miss; period 1, 0:05.2 left"),
        (
            {"trip_kind": "one_and_one"},
            "✗ missed, 2 of 2 one-and-one, live miss; period 1, 9:50 left",
        ),
        ({"shot": "three", "trip_shot": None}, "✗ missed, three, live miss; period 1, 9:50 left"),
    ],
)
def test_what_became_of_it_and_when_is_told(more: dict[str, object], told: str) -> None:
    assert facts_of(to_watch(3, **more), None)[1] == told


async def test_hostile_names_reach_the_screen_as_plain_text() -> None:
    book = FakeBook()
    book.film_of[:] = [to_watch(0, player="Kim [/red] [b\x1b[31m", game="[@click=app.quit]R1[/]")]
    async with running(book, show="watch") as (app, pilot, _):
        await opened(app, pilot)
        text = text_of(app)
        assert "Kim [/red] [b" in text
        assert "\x1b" not in text
        assert "[@click=app.quit]R1[/]" in text


def test_a_run_ends_where_nothing_was_typed_for_five_seconds() -> None:
    from ledger.questions.film import Film

    attempts = tuple(to_watch(n) for n in range(6))
    reel = Reel(Film("game", "R1", attempts, 6, 0, 0, ("board",), frozenset(), (), "Mira"))
    for at in (0.0, 4.9, 9.9, 12.0):
        reel.done({"technique": "board"}, at)
    assert reel.run() == 2
    reel.back()
    assert reel.run() == 1
    assert reel.today == 3


# -- on a real book ---------------------------------------------------------------------------


@pytest.fixture
def ledger(tmp_path: Path) -> Path:
    games, path = tmp_path / "games.csv", tmp_path / "spring.duckdb"
    games.write_text(records(), encoding="utf-8")
    with Book(path, create=True, who="Mira") as book:
        book.import_file(games)
    return path


async def watch_game(app: OffglassApp, pilot: Pilot[int]) -> WatchScreen:
    await rest(pilot)
    app.show_watch("game", game="R1")
    await rest(pilot)
    return watching(app)


async def test_a_game_is_watched_and_the_work_is_one_source(ledger: Path) -> None:
    app = OffglassApp(lambda: Book(ledger, who="Mira"), ledger.name)
    async with app.run_test(size=(100, 30)) as pilot:
        screen = await watch_game(app, pilot)
        assert "R1, Skerry - Fenholt, 2024-11-01: 1 of 24, 0 done today" in text_of(app)
        for _ in range(24):
            assert screen.hand is not None
            made, live = screen.hand.attempt.made, screen.hand.attempt.live
            await strike(pilot, "2" if made else "179" if live else "17")
        await rest_stored(pilot, screen)
        assert "Nothing left to watch here; 24 attempts done today." in text_of(app)
        await press(pilot, "U", "y")
        await rest_stored(pilot, screen)
        assert "1 of 24, 0 done today" in text_of(app)
        await strike(pilot, "27")
        await rest_stored(pilot, screen)
    with Book(ledger, who="Oren") as book:
        sources = book.ask("sources").frame.select("kind", "rows", "stored", "skipped")
        assert sources.rows()[-1] == ("entry", 25, 1, 24)
        assert book.contents().tagged == 1
        assert book.film("game", game="R1").left == 24
        assert book.film("game", game="R1", tagger="Mira").left == 23
        assert book.check() == []


async def test_a_record_that_is_wrong_is_mended_on_the_spot(ledger: Path) -> None:
    app = OffglassApp(lambda: Book(ledger, who="Mira"), ledger.name)
    async with app.run_test(size=(100, 30)) as pilot:
        screen = await watch_game(app, pilot)
        assert screen.hand is not None
        number = screen.hand.attempt.attempt
        was = screen.hand.attempt
        await press(pilot, "m", "ctrl+u", "type:Sefa Mun", "tab", "ctrl+u")
        await press(pilot, f"type:{'missed' if was.made else 'made'}", "tab", "type:film", "enter")
        assert screen.hand.attempt.attempt == number
        assert screen.hand.attempt.player == "Sefa Mun"
        assert screen.hand.attempt.made is not was.made


async def test_another_process_that_has_the_ledger_loses_nothing(
    ledger: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = OffglassApp(lambda: Book(ledger, who="Mira"), ledger.name)
    async with app.run_test(size=(100, 30)) as pilot:
        screen = await watch_game(app, pilot)

        def held(*_: object, **__: object) -> None:
            raise LedgerBusy("spring.duckdb is being changed by Oren (offglass import)")

        with monkeypatch.context() as patched:
            patched.setattr(Book, "tag", held)
            await strike(pilot, "27")
            for _ in range(30):
                await pilot.pause(0.01)
            assert "1 typed, not stored yet" in status_of(app)
        screen.try_to_store()
        await rest_stored(pilot, screen)
    with Book(ledger) as book:
        assert book.contents().tagged == 1


def begun(job: Job) -> bool:
    return job.since is not None


async def until(pilot: Pilot[int], holds: Callable[[], bool]) -> None:
    for _ in range(400):
        if holds():
            return
        await pilot.pause(0.005)
    raise AssertionError("it does not come about")


async def test_what_is_typed_does_not_wait_for_a_question_which_is_asked_again() -> None:
    book = FakeBook()
    async with running(book, show="watch") as (app, pilot, _):
        screen = await opened(app, pilot)
        book.hold = threading.Event()
        asked = app.session.ask(app.screen, "ranking", app.meant.now, {})
        waiting = app.session.ask(app.screen, "adopters", app.meant.now, {})
        await until(pilot, lambda: begun(asked))
        await strike(pilot, "1")
        await rest_stored(pilot, screen)
        assert sorted(book.tags) == [1]
        assert not begun(waiting)
        book.hold.set()
        await until(pilot, lambda: begun(waiting))
        names = [what[0] if name == "ask" else name for name, what in book.calls]
        assert names[names.index("tag") :] == ["tag", "ranking", "adopters"]


async def test_while_somebody_types_nothing_is_fetched_ahead_for_other_screens() -> None:
    async with running(show="watch") as (app, pilot, book):
        screen = await opened(app, pilot)
        ahead = app.session.ask(app.room("contents"), "uptake", app.meant.now, {}, behind=True)
        await strike(pilot, "11")
        await rest_stored(pilot, screen)
        assert not begun(ahead)
        await press(pilot, "f4")
        await until(pilot, lambda: begun(ahead))
        assert sorted(book.tags) == [1, 2]


# -- the way there ----------------------------------------------------------------------------


async def test_what_a_row_names_is_watched() -> None:
    async with running(show="watchlist") as (app, pilot, book):
        answer = app.screen.answer  # type: ignore[attr-defined]
        row = answer.frame.row(0, named=True)
        await press(pilot, "v")
        assert ("film", ("game", {"game": row["game"]}, ())) in book.calls
        assert watching(app).asked == ("game", {n: row[n] for n in ("game", "date", "league")})
        await press(pilot, "escape", "tab", "v")
        queue, which = watching(app).asked or ("", {})
        assert queue == "player"
        assert set(which) == {"player", "league"}
        await press(pilot, "escape", "tab", "v")
        assert watching(app).asked == ("second", {})


async def test_a_player_and_a_lot_are_watched_from_their_screens() -> None:
    async with running(show="lists") as (app, pilot, _):
        app.screen.show_part("lots")  # type: ignore[attr-defined]
        await press(pilot, "v")
        assert watching(app).asked == ("lot", {"name": "honest"})
        app.show_player(Whom("Tarn", "Halma League"))
        await rest(pilot)
        await press(pilot, "v")
        assert watching(app).asked == ("player", {"player": "Tarn", "league": "Halma League"})


async def test_a_queue_that_is_asked_for_again_goes_on() -> None:
    async with running(show="watch") as (app, pilot, book):
        screen = await opened(app, pilot)
        await press(pilot, "1", "1", "1", "2", "f2")
        app.show_watch("unwatched")
        await rest(pilot)
        assert screen.hand is not None
        assert screen.hand.said == (("technique", "board"),)
        assert len([what for name, what in book.calls if name == "film"]) == 1


@pytest.mark.parametrize("then", ["u", "n", "7"])
async def test_a_refusal_goes_with_the_next_key_that_is_taken(then: str) -> None:
    async with running(show="watch") as (app, pilot, _):
        await press(pilot, "escape")
        app.show_watch("lot", name="honest")
        await rest(pilot)
        await press(pilot, "1", "2", "2", "2", "7", "1")
        assert status_of(app) == "1 is no place of the ball: 7 8 9, 4 5 6 or 2"
        await press(pilot, then)
        assert "no place of the ball" not in text_of(app)
