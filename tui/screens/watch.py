"""Watching: one attempt at a time, one or two keys an attempt."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from time import monotonic
from typing import Any

from textual import events, on
from textual.app import ComposeResult

from ledger.questions.wording import counted
from tui.actions import bindings_of
from tui.in_hand import CANNOT_TELL, NOT_ON_FILM, ZONES, InHand, on_block, told
from tui.screens.dialogs import ConfirmDialog
from tui.screens.form import FormDialog
from tui.screens.form import Told as Done
from tui.screens.queue_choice import QueueChoice
from tui.screens.reeling import before_words
from tui.screens.watch_windows import BurstDialog, FurtherDialog, mend_form
from tui.session import Job
from tui.typing_order import Typed
from tui.watch_words import facts_of, place_words
from tui.widgets.attempt_view import AttemptView, Shown
from tui.widgets.lines import Words

# What a key stands for: nothing where it is refused, else one answer; it may be empty.
Answer = tuple[str, ...]

_NARROW = 60
_DIGITS = 9
_UNCLEAR = {"0": CANNOT_TELL, "-": NOT_ON_FILM}
_KEYS = (
    "1 to 9       How it was shot, by the ledger's techniques; 0 cannot tell, - not on film, "
    "space as the last one.",
    "7 8 9 4 5 6 1 2 3, or q w e a s d z x c",
    "             Where a miss went, and where the ball went then, as the shooter sees the ring; "
    "0 or space: unknown.",
    "",
)


class WatchScreen(QueueChoice):
    """The attempt in hand and the keys that answer what is asked of it."""

    kind = "watch"
    heading = "Watch"
    BINDINGS = bindings_of("watch")

    def __init__(self) -> None:
        super().__init__()
        self.hand: InHand | None = None
        self.clock = monotonic
        self._last = ""
        # What there was before each of the last keys, and when the key came.
        self._befores: deque[tuple[float, InHand, int]] = deque(maxlen=16)

    def compose_body(self) -> ComposeResult:
        yield AttemptView(id="attempt")

    def on_mount(self) -> None:
        self.query_one("#sentence").add_class("one-line")

    def entered(self) -> None:
        """Go on where it stopped; without a queue, offer those that there are."""
        self.program.session.hush(self)
        if self.asked is None:
            self.show_reel()
            self.offer_first()
        elif self.reel is None and not any(j.kind == "film" for j in self.jobs):
            self.load()

    def dress(self) -> None:
        super().dress()
        if self.is_mounted:
            self.show_reel()

    # -- what is shown ---------------------------------------------------------------------

    def begun(self) -> None:
        reel = self.reel
        self.hand = InHand(reel.now) if reel is not None and reel.now is not None else None
        self.want_more()
        self.show_reel()

    def show_reel(self) -> None:
        reel, hand = self.reel, self.hand
        sentence = self.query_one("#sentence", Words)
        if reel is None:
            self.hand = None
            fetching = any(j.kind in ("film", "films") for j in self.jobs)
            sentence.say("")
            words = "fetching …" if fetching else f"{self.key('queue')} chooses what to watch"
            self.query_one(AttemptView).show(Shown(instead=(words,)))
            return
        brief = self.app.size.width < _NARROW
        sentence.say(place_words(reel, brief=brief) if hand else reel.film.words)
        if hand is None:
            self.query_one(AttemptView).show(Shown(instead=self._at_end()))
            return
        facts = facts_of(hand.attempt, reel.on_film(hand.attempt), brief=brief)
        before = before_words(reel.typed[-1]) if reel.typed else ""
        shown = Shown(facts, hand.asks, self._choices(), told(hand.fields()), before)
        self.query_one(AttemptView).show(shown)

    def _at_end(self) -> tuple[str, ...]:
        reel = self.reel
        assert reel is not None
        lines = [f"Nothing left to watch here; {counted(reel.today, 'attempt')} done today."]
        if reel.later:
            key = self.key("again")
            lines.append(f"{counted(len(reel.later), 'attempt')} left for later: {key} brings them")
        return (*lines, f"{self.key('queue')} chooses what to watch next")

    def _choices(self) -> tuple[tuple[str, str], ...]:
        assert self.reel is not None
        film = self.reel.film
        named = [(str(at), name) for at, name in enumerate(film.techniques[:_DIGITS], 1)]
        again = [("space", f"{self._last} again")] if self._last else []
        return (*named, ("0", CANNOT_TELL), ("-", NOT_ON_FILM), *again)

    # -- typing ----------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        if self.hand is not None and self.reel is not None:
            self._befores.append((event.time, self.hand, len(self.reel.typed)))
        if self.takes("-" if event.key == "minus" else event.character or ""):
            event.stop()
            event.prevent_default()

    @on(AttemptView.Pressed)
    def pressed(self, event: AttemptView.Pressed) -> None:
        """A click on a key's words."""
        self.takes(" " if event.key == "space" else event.key)

    def takes(self, sign: str) -> bool:
        """Whether what a key writes answers what is asked; it is done then."""
        hand = self.hand
        if hand is None or self.reel is None or not sign or hand.asks is None:
            return False
        answer = self._technique(sign) if hand.asks == "technique" else self._where(hand, sign)
        if answer is None:
            return False
        for value in answer:
            self._typed(hand.with_step(value))
        return True

    def _technique(self, sign: str) -> Answer | None:
        """The technique that a key stands for."""
        assert self.reel is not None
        known = self.reel.film.techniques[:_DIGITS]
        if sign in _UNCLEAR:
            return (_UNCLEAR[sign],)
        if sign == " ":
            return (self._last,) if self._last else self._refuse("type a technique once first")
        if sign.isascii() and sign.isdigit():
            if int(sign) <= len(known):
                return (known[int(sign) - 1],)
            return self._refuse(f"{sign} is no technique of this ledger: 1 to {len(known)}")
        return None

    def _where(self, hand: InHand, sign: str) -> Answer | None:
        """The key of the block that a key stands for; an empty one where the step is skipped."""
        if sign in ("0", " "):
            return ("",)
        key = on_block(sign)
        if hand.asks == "rebound" and key is not None and key not in ZONES:
            return self._refuse(f"{sign} is no place of the ball: 7 8 9, 4 5 6 or 2")
        return (key,) if key is not None else None

    def _refuse(self, line: str) -> Answer:
        """A key of these, but nothing is typed by it."""
        self.tell(line)
        return ()

    def _typed(self, hand: InHand) -> None:
        """A step was typed: the next is asked, or the next attempt is in hand."""
        self.news_is_over()
        if hand.technique not in ("", CANNOT_TELL, NOT_ON_FILM):
            self._last = hand.technique
        self.hand = hand
        if hand.asks is None:
            self._complete(hand)
        else:
            self.show_reel()

    def _complete(self, hand: InHand) -> None:
        assert self.reel is not None
        self.store(self.reel.done(hand.fields(), self.clock()))
        self.begun()

    # -- taking back -----------------------------------------------------------------------

    def action_step_back(self) -> None:
        """Half-typed first, then the last attempt."""
        self.news_is_over()
        if self.hand is not None and self.hand.begun:
            self.hand = self.hand.back()
            self.show_reel()
        elif not self._attempt_back():
            self.tell("nothing was typed here yet; what was before stands on Sources")

    def _attempt_back(self) -> bool:
        one = self.reel.back() if self.reel is not None else None
        if one is None:
            return False
        self.take_back(one)
        self.begun()
        return True

    def action_run_back(self) -> None:
        many = self.reel.run() if self.reel is not None else 0
        if not many:
            self.tell("nothing was typed here yet")
            return

        def decided(yes: bool | None) -> None:
            if yes:
                for _ in range(many):
                    self._attempt_back()
                self.tell(f"{counted(many, 'attempt')} taken back")

        words = f"Take back the last {counted(many, 'attempt')}?"
        self.app.push_screen(
            ConfirmDialog(words, "Typed without a pause of 5 s; they come again.",
                          yes="take them back"),
            decided,
        )  # fmt: skip

    # -- keys that came at once ------------------------------------------------------------

    def ask_about_burst(self, given: Sequence[Typed], held: Sequence[Typed]) -> None:
        """Keys came that nobody can have typed: what they did so far is undone, then it asks."""
        since = given[0].time if given else held[0].time
        befores = [before for before in self._befores if before[0] >= since]
        self._befores.clear()
        again = list(given)
        if befores and self.reel is not None:
            _, hand, many = befores[0]
            while len(self.reel.typed) > many:
                self._attempt_back()
            if len(self.reel.typed) == many:
                self.hand = hand
            else:
                # A step back cannot be undone: it was done, and is not done again.
                again = []
            self.show_reel()
        self.app.push_screen(BurstDialog([*again, *held], self.program.type_again))

    def on_paste(self, event: events.Paste) -> None:
        event.stop()
        self.tell("pasted text is not taken for keys; nothing of it is stored")

    # -- the other keys --------------------------------------------------------------------

    def action_further(self) -> None:
        hand = self.hand
        if hand is None:
            return

        def typed(fields: dict[str, str] | None) -> None:
            if fields is not None and self.hand is not None:
                self.news_is_over()
                self.hand = self.hand.with_more(fields)
                self.show_reel()

        attempt = hand.attempt
        self.app.push_screen(FurtherDialog(f"{attempt.player}, {attempt.game}", hand.more), typed)

    def action_later(self) -> None:
        if self.reel is not None and self.reel.now is not None:
            self.news_is_over()
            self.reel.done({}, self.clock())
            self.begun()

    def action_wrong(self) -> None:
        if self.hand is None:
            return

        def mended(done: Done | None) -> None:
            if done is not None:
                self.tell(done.line)
                self._changed = True
                self.load()

        self.app.push_screen(FormDialog(mend_form(self.hand.attempt)), mended)

    def done_undo(self, job: Job, result: Any) -> None:
        super().done_undo(job, result)
        self.load()

    def action_again(self) -> None:
        self.load() if self.asked is not None else self.action_queue()

    def help_lines(self) -> list[str]:
        return [*_KEYS, *super().help_lines()]

    def leave(self) -> None:
        """The program is being left: a technique that was typed is stored, the rest unknown."""
        if self.hand is not None and self.hand.technique and self.reel is not None:
            self.store(self.reel.done(self.hand.fields(), self.clock()))
            self.hand = None
        super().leave()
