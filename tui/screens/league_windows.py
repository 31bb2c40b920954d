"""Windows in which a person says something about a league: a lot, and what raised the question."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ledger.questions.wording import counted
from tui.cohorts import Whom
from tui.screens.form import Form, Line, Told, Typed
from tui.screens.player_windows import done, within

if TYPE_CHECKING:
    from tui.session import BookLike


def lot_form(league: str = "", season: str = "") -> Form:
    """Draw and save a random list of players to watch."""

    def do(book: BookLike, typed: Typed) -> Told:
        before = book.last_source()
        drawn = book.lot(
            typed["name"], league=typed["league"], season=typed["season"],
            players=typed["players"], seed=typed["seed"],
        )  # fmt: skip
        said = (
            f"{drawn.name}: {len(drawn.players)} of the {counted(drawn.frame, 'player')} of "
            f"{drawn.league}, {drawn.season}, without a tag yet, drawn with seed {drawn.seed}: "
            "watch all of them, in this order"
        )
        return done(book, "lot", before, said)

    lines = (
        Line("name", "lot", "what it will be called", needed=True),
        Line("league", "league", "a league", league, names="league", needed=True),
        Line(
            "season", "season", "a season", season, example="2024-25", names="season", needed=True
        ),
        Line("players", "players", "how many to draw", kind="number", needed=True),
        Line("seed", "seed", "for the same list again", empty="drawn", kind="number"),
    )
    return Form(
        "Draw players to watch",
        ("A share of a league is honest only where the watched players were drawn, not picked: "
         "watch all of them, in the order drawn.",),
        lines,
        do,
        enter="draws them",
    )  # fmt: skip


def rumour_form(whom: Whom) -> Form:
    """Store what raised the question."""

    def do(book: BookLike, typed: Typed) -> Told:
        before = book.last_source()
        book.rumour(
            typed["text"], season=typed["season"], player=typed["player"],
            league=within(book, whom, typed), seen=typed["seen"], where=typed["where"],
        )  # fmt: skip
        said = f"stored; {typed['season']} suggested the question and will not be used to test it"
        return done(book, "rumour", before, said)

    lines = (
        Line("text", "rumour", "what was seen or heard, in a sentence", needed=True),
        Line("season", "season", "the season that raised it", example="2024-25", names="season",
             needed=True),
        Line("seen", "seen", "the day", example="2025-03-31", empty="not known", kind="day"),
        Line("where", "where", "where it was seen or read", empty="not known"),
        Line("player", "player", "who was noticed", whom.name, empty="nobody", names="player"),
        Line("league", "league", "the league it was seen in", whom.league, empty="not known",
             names="league"),
    )  # fmt: skip
    return Form(
        "What raised the question?",
        ("It is shown first and never used as its own proof: its season and its player are left "
         "out where the question is tested.",),
        lines,
        do,
        first="text",
    )  # fmt: skip
