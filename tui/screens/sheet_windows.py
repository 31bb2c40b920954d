"""Windows of the scoresheet: which game or practice, a line-up, and what a pasted text is."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical, VerticalScroll
from textual.widgets import Input

from ledger.cohort import STAGES
from ledger.errors import UseError
from ledger.intake.trip import PRACTICE, GameFacts
from ledger.questions.wording import counted
from ledger.safe_text import cut
from tui.completion import folded
from tui.pasted import LOOKED_AT, Pasted, look_through, shirt_of
from tui.screens.dialogs import ChoiceDialog, Dialog
from tui.screens.form import Form, Line, Looked, Told, Typed
from tui.trip_line import Teams
from tui.widgets.lines import Words

if TYPE_CHECKING:
    from ledger.intake.scoresheet import Sheet
    from ledger.questions.practising import Practice
    from tui.session import BookLike

_FACTS = ("league", "season", "date", "home", "away", "label", "stage")
_SHOWN = 12


@dataclass(slots=True)
class Opened:
    """What was asked for, and what the ledger gave."""

    asked: dict[str, str]
    sheet: Sheet | None = None
    practice: Practice | None = None


def open_asked(book: BookLike, asked: Mapping[str, str]) -> Opened:
    """A game by its facts, or the practice of a trial on a day.

    Raises:
        UseError: naming what is missing or cannot be.
    """
    given = {name: value for name, value in asked.items() if value}
    if given.get("trial"):
        practice, sheet = book.open_practice(given["trial"], given.get("date", ""))
        return Opened(given, sheet, practice)
    facts = {name: given.get(name, "") for name in _FACTS}
    if facts["stage"] == PRACTICE:
        raise UseError("practice is typed in as the session of a trial: name the trial")
    return Opened(given, book.open_sheet(GameFacts(**facts)))


def sheet_form(
    game: Mapping[str, str],
    trial: str,
    today: str,
    take: Callable[[Opened], None],
    *,
    practice: bool = False,
) -> Form:
    """Choose a game, or the practice session of a trial.

    Args:
        game: the game that was open last; a session leaves it as it was.
        trial: the trial that was open last.
        today: the day that stands there first; always that of a session.
        take: is given what was opened.
        practice: whether a session is open.
    """
    warned: set[GameFacts] = set()

    def do(book: BookLike, typed: Typed) -> Told:
        said = {name: str(value or "") for name, value in typed.items()}
        if said["trial"]:
            opened = open_asked(book, {"trial": said["trial"], "date": said["session"]})
        else:
            facts = {name: said[name] for name in _FACTS}
            _ask_once(book, GameFacts(**facts), warned)
            opened = open_asked(book, facts)
        take(opened)
        return Told("", kind="sheet")

    return Form(
        "Which game, or which practice, is typed in?",
        ("A game that is in the ledger already goes on where it stopped.",),
        _sheet_lines(game, trial, today),
        do,
        lambda book: _offered(book, game.get("league", "")),
        # What changes from one game, or session, to the next.
        first="trial" if practice else "date" if game else "",
        enter="opens it",
    )


def _sheet_lines(game: Mapping[str, str], trial: str, today: str) -> tuple[Line, ...]:
    last = f"; the last was {trial}" if trial else ""
    return (
        Line("league", "league", "as the ledger has it, or a new one", game.get("league", "")),
        Line("season", "season", "", game.get("season", ""), example="2024-25"),
        Line("date", "date", "", game.get("date", "") or today, example="2024-11-02", kind="day"),
        Line("home", "home team", "a name", game.get("home", "")),
        Line("away", "away team", "a name", game.get("away", "")),
        Line("stage", "stage", "", game.get("stage", ""), empty="regular season",
             choices=tuple(s for s in STAGES if s != PRACTICE)),
        Line("label", "label", "where the day has two such games", game.get("label", ""),
             empty="the two teams"),
        Line("trial", "or a trial", "", empty=f"a game{last}"),
        Line("session", "its day", "", today, empty=today, kind="day"),
    )  # fmt: skip


def _offered(book: BookLike, first: str) -> Looked:
    """Names to complete what is typed, those of one league first."""
    there = book.competitions()
    leagues = sorted(there.leagues, key=lambda name: name != first)
    seasons = [s for name in leagues for s in there.seasons.get(name, ())]
    teams = [t for name in leagues for t in there.teams.get(name, ())]
    trials = [trial.name for trial in book.trials()]
    return Looked(
        "",
        {
            "league": leagues, "season": list(dict.fromkeys(seasons)),
            "home": list(dict.fromkeys(teams)), "away": list(dict.fromkeys(teams)),
            "trial": trials,
        },
    )  # fmt: skip


def _ask_once(book: BookLike, facts: GameFacts, warned: set[GameFacts]) -> None:
    """Stop at what is likely a slip: at a day far outside its season only the first time.

    Raises:
        UseError: saying what it is.
    """
    trials = {folded(t.name): t.name for t in book.trials()}
    teams = {folded(name) for names in book.competitions().teams.values() for name in names}
    for team in map(folded, (facts.home, facts.away)):
        if team in trials and team not in teams:
            raise UseError(f"{trials[team]} is a trial, no team: type it in the line of the trial")
    facts = facts.whole()
    if facts.far_words and facts not in warned:
        warned.add(facts)
        raise UseError(f"{facts.far_words}: mend one of them, or enter opens it as it is")


class LineUpDialog(Dialog[None]):
    """Who is with each team: number and name a line, or a whole list pasted.

    Args:
        teams: as they are.
        side: whose line-up is open first.
        add: adds players to a team; gives both line-ups as they are then.
    """

    BINDINGS = [Binding("tab,shift+tab", "other", show=False, priority=True)]

    def __init__(
        self, teams: Teams, side: int, add: Callable[[int, Sequence[tuple[str, str]]], Teams]
    ) -> None:
        super().__init__()
        self._teams = teams
        self._side = side
        self._add = add

    def compose(self) -> ComposeResult:
        with Vertical(classes="box"):
            yield Words(id="team", classes="title")
            with VerticalScroll(id="text"):
                yield Words(id="players")
            yield LineUpLine(placeholder="for example 12 Ilvo Tarn", id="player")
            yield Words(id="told")
            yield Words("enter adds him, tab is the other team, a list may be pasted, esc closes")

    def on_mount(self) -> None:
        self._say()
        self.query_one(Input).focus()

    def on_resize(self) -> None:
        self.query_one("#text").styles.max_height = max(2, self.app.size.height - 8)

    def _say(self, told: str = "") -> None:
        self.query_one("#team", Words).say(f"Line-up of {self._teams.names[self._side]}")
        shirts = self._teams.shirts[self._side]
        rows = [f"{s.number:>3} {s.name}" for s in shirts]
        self.query_one("#players", Words).say(*(rows or ["nobody yet"]))
        self.query_one("#told", Words).say(told or " ")

    def action_other(self) -> None:
        self._side = 1 - self._side
        self._say()

    @on(Input.Submitted)
    def take(self, event: Input.Submitted) -> None:
        """Enter: that player; an empty line closes."""
        if not event.value.strip():
            self.dismiss(None)
            return
        shirt = shirt_of(event.value)
        if shirt is None:
            self._say(f"{cut(event.value.strip(), 40)!r} is no number and name, such as 12 Tarn")
            return
        event.input.value = ""
        self._store([shirt])

    def take_list(self, text: str) -> None:
        """A list was pasted."""
        found = look_through(text)
        if not found.shirts:
            self._say(f"no line of the {found.lines} is a number and a name, such as 12 Tarn")
            return
        left = found.lines - len(found.shirts)
        more = f"; {counted(left, 'line')} left out: no number and name" if left else ""
        self._store(found.shirts, f"{counted(len(found.shirts), 'player')} pasted{more}")

    def _store(self, shirts: Sequence[tuple[str, str]], told: str = "") -> None:
        there = self._teams.shirts[self._side]
        known = {(s.number, s.name.casefold()) for s in there}
        fresh = [s for s in shirts if (s[0], s[1].casefold()) not in known]
        taken = {s.number: s.name for s in there if s.number}
        for number, name in fresh:
            if number in taken:
                self._say(f"number {number} is {taken[number]}: {name} needs another")
                return
        if fresh:
            self._teams = self._add(self._side, fresh)
        self._say(told or ("" if fresh else "he is in the line-up already"))


class LineUpLine(Input):
    """A line that hands a pasted list of several lines to its window."""

    def _on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        if "\n" in event.text.strip() and isinstance(self.screen, LineUpDialog):
            self.screen.take_list(event.text)
        else:
            self.insert_text_at_cursor(" ".join(event.text.split()))


class PasteDialog(ChoiceDialog):
    """What is to become of a text that was pasted, or came as fast as one.

    Args:
        found: the text, looked through.
        teams: the two teams, or none where no game is open.
        keys: the keys it came as, where it was not pasted as a text.
    """

    def __init__(
        self, found: Pasted, teams: Teams | None, keys: Sequence[events.Key | events.Paste] = ()
    ) -> None:
        self.keys = list(keys)
        choices: list[tuple[str, str]] = []
        if teams is not None and found.shirts:
            many = counted(len(found.shirts), "player")
            choices += [
                (str(side), f"{many} for the line-up of {teams.names[side]}") for side in (0, 1)
            ]
        if teams is not None and found.trips:
            choices.append(("trips", f"{counted(len(found.trips), 'trip')}, one a line"))
        if found.is_csv:
            choices.append(("rows", "rows of attempts as CSV, stored as a source of their own"))
        asked = "What is it?" if choices else _no_use(found)
        if keys:
            choices.append(("keys", "keys: take them as typed"))
        choices.append(("nothing", "nothing: leave it out"))
        came = "came faster than anybody types" if keys else "were pasted"
        lines = counted(found.lines, "line")
        super().__init__(f"{lines} {came}: {cut(found.first, 40)} … {asked}", choices)

    def ask_about_burst(
        self,
        given: Sequence[events.Key | events.Paste],
        held: Sequence[events.Key | events.Paste],
    ) -> None:
        """More of the same: none of it is an answer."""
        self.keys.extend(held)


def _no_use(found: Pasted) -> str:
    """Why a pasted text cannot become anything here."""
    if found.lines > LOOKED_AT:
        return "It is too much to be typed: save it as a file, F3 brings it in."
    return "No line of it is a player, a trip, or a header of columns."
