"""A game typed in trip by trip, or a practice session of a trial shot by shot."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from textual import events
from textual.app import ComposeResult

from ledger.errors import UseError
from ledger.intake.trip import TakenBack, Trip
from ledger.questions.wording import counted
from tui.actions import bindings_of
from tui.in_hand import MISSES
from tui.outbox import Came
from tui.pasted import Pasted, look_through
from tui.screens.dialogs import KEYS_LEAD, TextDialog
from tui.screens.game_in_hand import GameInHand
from tui.screens.report_words import way_back
from tui.screens.sheet_windows import PasteDialog
from tui.trip_line import CODES, Shooter, head_of, preview, read_trip
from tui.widgets.line_ups import LineUps
from tui.widgets.lines import Words
from tui.widgets.practice_view import PracticeView, end_words
from tui.widgets.typing_line import TypingLine, sign_of

if TYPE_CHECKING:
    from ledger.intake.scoresheet import Sheet
    from tui.session import BookLike

_MADE, _MISSED = ("+", "="), ("-",)
_GAME_KEYS = "number or letters, then + made, - missed, * not seen; then enter"
_SHORT_KEYS = "number or letters, + made, - missed, enter"
_CODE_KEYS = ", ".join(f"{digit} {words}" for digit, (_, _, words) in CODES.items())
_PRACTICE_KEYS = (
    "+ made, - missed; or one digit for a miss, as on the number pad: 7 8 9 long, 4 5 6 level, "
    "1 2 3 short, left to right"
)
# The lines of the screen that are no player's where all of its words are said.
_OTHER_LINES = 14


class ScoresheetScreen(GameInHand):
    """Takes what is typed of a game, or of a practice session."""

    kind = "scoresheet"
    heading = "Scoresheet"
    BINDINGS = bindings_of("scoresheet")

    def compose_body(self) -> ComposeResult:
        yield LineUps(self.click_player, id="line-ups", classes="hidden")
        yield PracticeView(id="practice", classes="hidden")
        yield from self.compose_typing()
        yield Words(id="marks", classes="legend")

    # -- showing ---------------------------------------------------------------------------

    def show_work(self) -> None:
        """Everything that depends on what is in hand."""
        practice, sheet = self.practice, self.sheet
        self.query_one(LineUps).set_class(sheet is None or practice is not None, "hidden")
        self.query_one(PracticeView).set_class(practice is None, "hidden")
        sentence = self.query_one("#sentence", Words)
        if practice is not None:
            trial = practice.trial
            sentence.say(f"Practice of {trial.player} on {practice.day}: trial {trial.name}")
            self.query_one(PracticeView).say(practice, self.shots)
        elif sheet is not None:
            none = f"no period yet ({self.key('period')})"
            period = f"period {self.period}" if self.period else none
            made, of = (sum(n) for n in zip((0, 0), *self.tally.values(), strict=True))
            so_far = f"; {made}/{of} made" if of else ""
            sentence.say(f"{sheet.facts.words()}; {period}{so_far}")
        else:
            sentence.say(
                f"Nothing is open: {self.key('sheet')} opens a game, or a practice session of a "
                "trial"
            )
        self.say_marks()
        self.changed_line()

    def say_marks(self) -> None:
        """Say the keys, in one line where both line-ups would not have room otherwise."""
        if self.practice is not None:
            keys = _PRACTICE_KEYS
        elif self.is_crowded():
            keys = f"{_SHORT_KEYS}; {self.key('help')} all keys"
        else:
            keys = f"{_GAME_KEYS}. After them {_CODE_KEYS}"
        self.query_one("#marks", Words).say(keys if self.sheet is not None else "")

    def is_crowded(self) -> bool:
        """Whether a line-up is longer than the room that all other words leave."""
        if self.sheet is None or self.practice is not None:
            return False
        return max(map(len, self.teams.shirts)) > self.app.size.height - _OTHER_LINES

    def dress(self) -> None:
        super().dress()
        if self.is_mounted:
            self.say_marks()

    def say_echo(self) -> None:
        lines = 1 if self.is_crowded() else None
        self.show_echo(lines)

    def changed_line(self) -> None:
        if not self.is_mounted:
            return
        text = self.line.text
        if self.sheet is None or self.practice is not None:
            self.query_one("#preview", Words).say("")
            return
        self.query_one(LineUps).say(self.teams, self.tally, head_of(text))
        waiting = (
            f"{counted(len(self.aside), 'line')} put aside: {self.key('retype')} brings it back"
        )
        said = preview(text, self.teams) if text.strip() else waiting if self.aside else ""
        self.query_one("#preview", Words).say(said)

    def click_player(self, shooter: Shooter) -> None:
        """A click types the player."""
        self.line.say(shooter.number or shooter.name)
        self.line.focus()

    # -- a game ----------------------------------------------------------------------------

    def entered_line(self, text: str, side: int) -> bool:
        if self.sheet is None:
            self.action_sheet()
            return False
        if not text.strip():
            self.tell(_GAME_KEYS)
            return False
        try:
            trip = read_trip(text, self.teams, side, self.period)
        except UseError as error:
            self.tell(error.message, trouble=True)
            return False
        self._take_trip(text, trip)
        return True

    def _take_trip(self, text: str, trip: Trip) -> None:
        assert self.sheet is not None
        sheet = self.sheet
        if trip.is_new:
            self.know(self.teams.names.index(trip.team), [(trip.number, trip.player)])
        self.tell("")
        self.put(text, lambda book: book.score(sheet, trip))

    def came(self, one: Came) -> None:
        result = one.result
        if isinstance(result, TakenBack):
            self.tally[result.step.player, result.step.team] = (result.made, result.of)
        elif hasattr(result, "trip"):
            self.tally[result.trip.player, result.trip.team] = (result.made, result.of)
        else:
            instead = f"{self.key('sources')} takes it back"
            self.echo(*(way_back(s, instead) for s in result.report.words().splitlines()))
            return
        super().came(one)

    def refused(self, one: Came) -> None:
        if self.practice is None:
            super().refused(one)
            return
        self.tell(f"not stored: {one.refused}", trouble=True)
        self.open_again()

    # -- a practice session ----------------------------------------------------------------

    def struck(self, sign: str) -> bool:
        practice, sheet = self.practice, self.sheet
        if practice is None or sheet is None:
            return False
        if sign == "\n" and practice.technique is None:
            self.program.show_asked("trial", name=practice.trial.name)
            return False
        made = sign in _MADE
        if not made and sign not in (*_MISSED, *MISSES):
            self.tell(_PRACTICE_KEYS)
            return False
        technique = practice.technique
        if technique is None:
            self.tell(end_words(self.key("sheet")))
            return False
        depth, side = MISSES.get(sign, ("", ""))
        shot = Trip(
            practice.trial.player, practice.team, (made,), techniques=(technique,),
            miss_depth=depth, miss_side=side,
        )  # fmt: skip
        self.practice = practice.after(technique, made)
        self.shots.append((technique, made))
        whole = self.practice.technique is None
        self.tell(end_words(self.key("sheet")) if whole else "")
        self.put(sign, lambda book: book.score(sheet, shot))
        self.show_work()
        return True

    # -- taking back -----------------------------------------------------------------------

    def action_take_back(self) -> None:
        """The last trip, also one that is not stored yet."""
        sheet = self.sheet
        if sheet is None:
            self.tell("nothing is open: there is nothing to take back")
            return
        if self.practice is not None and self.shots:
            self.practice = self.practice.before(*self.shots.pop())
        line_ups = f"{self.key('sources')} takes back line-ups"
        waiting = self.outbox.take_last()
        if waiting is None:
            self.put("", lambda book: _take_back(book, sheet, line_ups), "the last trip taken back")
        else:
            self.echo(f"taken back before it was stored: {waiting.text}")
            if self.practice is None:
                self.put_aside(waiting.text)
        self.show_work()

    # -- what came in one piece ------------------------------------------------------------

    def on_typing_line_pasted(self, message: TypingLine.Pasted) -> None:
        self._ask_about(message.text, ())

    def ask_about_burst(
        self,
        given: Sequence[events.Key | events.Paste],
        held: Sequence[events.Key | events.Paste],
    ) -> None:
        """Keys came that nobody can have typed: it is asked what they are.

        Those that stand on the line already belong to them; a trip that was stored stays, it can
        be taken back.
        """
        stand = list(given)
        while not self.line.text.endswith(_signs(stand)):
            stand.pop(0)
        keys = [*stand, *held]
        self.line.say(self.line.text[: len(self.line.text) - len(_signs(stand))])
        self._ask_about(_signs(keys), keys)

    def _ask_about(self, text: str, keys: Sequence[events.Key | events.Paste]) -> None:
        found = look_through(text)
        teams = self.teams if self.sheet is not None and self.practice is None else None
        dialog = PasteDialog(found, teams, keys)
        self.app.push_screen(dialog, partial(self._take_pasted, found, dialog))

    def _take_pasted(self, found: Pasted, dialog: PasteDialog, what: str | None) -> None:
        sheet = self.sheet
        if what in ("0", "1") and sheet is not None:
            side = int(what)
            self.know(side, found.shirts)
            self.put_line_up(self.teams.names[side], found.shirts)
        elif what == "rows":
            data = found.text.encode()
            words = f"{counted(found.lines, 'pasted line')} of CSV"
            self.put("", lambda book: book.add_lines("attempts", data), words)
        elif what == "trips":
            for text in found.trips:
                if not self.entered_line(text, 0):
                    self.put_aside(text)
        elif what == "keys":
            self.program.type_again(dialog.keys)
        self.show_work()

    # -- actions of every screen -----------------------------------------------------------

    def action_again(self) -> None:
        if self.asked and not len(self.outbox):
            self.open_again()

    def action_help(self) -> None:
        shown = [_GAME_KEYS, f"After the signs: {_CODE_KEYS}"]
        shown += [
            "/2 after the signs: shot with the second technique of the ledger",
            "538* before the number: 5:38 left; space instead of enter: the away team, where both "
            "teams have the number",
            "33 Ilvo Tarn+-: a new player, with his number",
            f"Practice: {_PRACTICE_KEYS}; enter after the last shot shows how the trial goes",
            "",
        ]
        lines = [*shown, *self.help_lines()]
        self.app.push_screen(TextDialog("Keys of this screen", lines, lead=KEYS_LEAD))


def _take_back(book: BookLike, sheet: Sheet, else_words: str) -> TakenBack:
    """Take the last trip back; where there is none, it is said what else may be meant."""
    try:
        return book.take_back_trip(sheet)
    except UseError as error:
        more = f"; {else_words}" if "to take back" in error.message else ""
        raise UseError(f"{error.message}{more}") from None


def _signs(keys: Sequence[events.Key | events.Paste]) -> str:
    """What keys write."""
    return "".join(e.text if isinstance(e, events.Paste) else sign_of(e) for e in keys)
