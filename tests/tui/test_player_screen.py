"""One player, everything: how he is reached, whom it is about, what is shown of him."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import polars as pl

from ledger.cohort import Cohort
from ledger.errors import UseError
from ledger.questions.answer import Answer, Part
from tests.questions.ground import Ground
from tests.tui.driving import press, rest, running, shows, status_of, text_of
from tests.tui.fake_book import HOSTILE, FakeBook
from tests.tui.key_checks import asked
from tests.tui.known_answers import known
from tests.tui.test_hostile import harmless
from tui.cohorts import Meant, Whom
from tui.screens.dialogs import TextDialog
from tui.screens.player import PlayerScreen, facts_line
from tui.screens.who import WhoDialog
from tui.widgets.lines import Words
from tui.widgets.running_rate import RunningRate


async def test_enter_on_a_row_opens_its_player_and_escape_goes_back_to_the_row() -> None:
    async with running(show="adopters") as (app, pilot, book):
        await press(pilot, "down", "down", "enter")
        assert shows(app, PlayerScreen)
        name, cohort, _focus, _options = [what for n, what in book.calls if n == "ask"][-1]
        assert (name, cohort.player, cohort.league) == ("player", ("Sefa Tarn",), ())
        assert "Tarn made 80 %" in text_of(app)
        await press(pilot, "escape")
        assert app.screen.__class__.__name__ == "AdoptersScreen"
        assert "▸ Sefa Tarn" in text_of(app)
        # From the contents it goes back to the contents.
        await press(pilot, "c")
        app.show("player")
        await rest(pilot)
        await press(pilot, "escape")
        assert app.screen.__class__.__name__ == "ContentsScreen"


class TwoOfAName(FakeBook):
    """A ledger in which a name alone is two players'."""

    def ask(
        self, question: str, *, focus: Any = None, cohort: Any = None, **options: Any
    ) -> Answer:
        if question == "player" and not (cohort.league and cohort.team):
            self._called("ask", (question, cohort, tuple(focus or ()), options))
            raise UseError("'Ilvo Tarn' is 2 players: say which with --league or --team")
        return super().ask(question, focus=focus, cohort=cohort, **options)


async def test_a_name_of_several_is_told_apart_by_what_its_row_says() -> None:
    async with running(TwoOfAName(), show="ranking") as (app, pilot, book):
        await press(pilot, "enter")
        last = [what for name, what in book.calls if name == "ask"][-1][1]
        assert (last.player, last.league, last.team) == (
            ("Ilvo Tarn",), ("Halma League",), ("Skerry",),
        )  # fmt: skip
        assert "Tarn made 80 %" in text_of(app)
        # What all screens share is as it was.
        assert app.meant.now == Meant()


async def test_a_name_that_nothing_tells_apart_is_asked_back_in_one_line() -> None:
    async with running(TwoOfAName()) as (app, pilot, _book):
        app.show_player(Whom("Ilvo Tarn"))
        await rest(pilot)
        assert (
            status_of(app) == "'Ilvo Tarn' is 2 players: say which with the league or the team (f)"
        )
        assert "no answer yet" in text_of(app)


def test_what_tells_him_apart_never_widens_what_is_asked_for() -> None:
    meant = Meant(Cohort.of(league="Kesto Liga", season="2024-25"))
    found = meant.of_player(
        Whom("Mun", "Halma League, Kesto Liga", "Skerry"), told_apart=("league", "team")
    )
    assert (found.cohort.league, found.cohort.season) == (("Kesto Liga",), ("2024-25",))
    assert (found.cohort.player, found.cohort.team) == (("Mun",), ("Skerry",))
    several = Meant().of_player(Whom("Mun", "Halma League, Kesto Liga"), told_apart=("league",))
    assert several.cohort.league == ("Halma League", "Kesto Liga")


async def test_without_anybody_it_asks_who_and_says_how_to_choose() -> None:
    async with running(show="player") as (app, pilot, book):
        assert shows(app, WhoDialog)
        await press(pilot, "escape")
        assert shows(app, PlayerScreen)
        assert "Nobody is chosen yet: b chooses a player" in text_of(app)
        assert not [what for name, what in book.calls if name == "ask" and what[0] == "player"]
        # A player who is asked for on all screens is meant here too.
        await press(pilot, "f", "down", "down", "type:Pim Mun", "enter")
        assert [what for name, what in book.calls if name == "ask"][-1][1].player == ("Pim Mun",)


async def test_another_player_takes_the_place_of_the_one_shown() -> None:
    async with running() as (app, pilot, book):
        for name in ("Ilvo Tarn", "Bram Oselo"):
            app.show_player(Whom(name))
            await rest(pilot)
            assert asked(book)[1].player == (name,)  # type: ignore[attr-defined]


async def test_a_name_that_is_nowhere_takes_nobody() -> None:
    async with running(show="player") as (app, pilot, _book):
        await press(pilot, "type:zzz", "enter")
        assert shows(app, WhoDialog)
        assert "0 of 24 players" in text_of(app)
        assert app.player is None


async def test_his_parts_are_leafed_through_and_details_are_of_the_part_shown() -> None:
    async with running(size=(120, 36)) as (app, pilot, _book):
        app.show_player(Whom("Tarn"))
        await rest(pilot)
        answer = known("player")
        days = [row["date"] for row in answer.main.rows()]
        assert text_of(app).index(days[-1]) < text_of(app).index(days[-2])
        for title in ("seasons 1", "techniques 2", "changes 1", "misses", "notes 0", "decided 0"):
            await press(pilot, "tab")
            assert f"[{title}]" in text_of(app)
            if title == "changes 1":
                assert "took it up" in text_of(app)
                await press(pilot, "enter")
                assert shows(app, TextDialog)
                assert "Direction: took it up" in text_of(app)
                await press(pilot, "escape", "Y")
                assert app.clipboard.startswith("player,team,league,number,direction")
        assert status_of(app) == "nothing is decided about him"
        await press(pilot, "tab")
        assert status_of(app) == ""


async def test_season_totals_alone_leave_the_picture_away() -> None:
    ground = Ground()
    ground.total("Tarn", 80, 100)
    answer = ground.ask("player", player="Tarn")

    class Totals(FakeBook):
        def _answer(self, question: str, cohort: Cohort, options: dict[str, Any]) -> Answer:
            usual = super()._answer
            return answer if question == "player" else usual(question, cohort, options)

    async with running(Totals()) as (app, pilot, _book):
        app.show_player(Whom("Tarn"))
        await rest(pilot)
        assert "no running rate" in text_of(app)
        assert not app.screen.query_one(RunningRate).display


async def test_a_hostile_player_does_nothing() -> None:
    answer = known("player")
    names = {"player": HOSTILE[2], "team": HOSTILE[0], "position": HOSTILE[3], "hand": HOSTILE[1]}
    frame = answer.part("facts").frame
    for name, text in names.items():
        frame = frame.with_columns(frame[name].replace(frame[name][0], text).fill_null(text))
    facts = Part(answer.part("facts").columns, frame)
    hostile = replace(answer, headline=HOSTILE[1], parts={**answer.parts, "facts": facts})

    class Hostile(FakeBook):
        def _answer(self, question: str, cohort: Cohort, options: dict[str, Any]) -> Answer:
            usual = super()._answer
            return hostile if question == "player" else usual(question, cohort, options)

    async with running(Hostile(names=HOSTILE), size=(120, 36)) as (app, pilot, _book):
        app.show("player")
        await rest(pilot)
        harmless(app)
        await press(pilot, "down", "enter")
        assert "[/red]" in harmless(app)
        assert app.return_value is None


def test_the_facts_say_what_is_known_and_what_no_file_tells() -> None:
    line = facts_line(known("player"))
    assert line.startswith("watched 150 of 150 attempts (100.0 %) · Skerry · Halma League · ")
    assert "no file tells" in line
    assert "None" not in line
    assert "be told" not in line


def test_what_is_neither_watched_nor_offered_to_be_watched_is_named() -> None:
    answer = known("player")
    facts = answer.part("facts")
    rows = facts.frame.with_columns(unclear=pl.lit(12), disputed=pl.lit(5))
    told = replace(answer, parts={**answer.parts, "facts": replace(facts, frame=rows)})
    assert facts_line(told).startswith(
        "watched 150 of 150 attempts (100.0 %), 12 could not be told, 5 told differently · "
    )


async def test_the_small_window_keeps_headline_and_rows() -> None:
    async with running(size=(40, 12)) as (app, pilot, _book):
        app.show_player(Whom("Tarn"))
        await rest(pilot)
        assert not app.screen.query_one(RunningRate).display
        assert app.screen.query_one("#headline", Words).region.height >= 2
        assert "▸" in text_of(app)
