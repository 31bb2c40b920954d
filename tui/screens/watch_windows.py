"""The windows over Watch: further fields, a wrong record, what to watch, keys that came at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input

from ledger.errors import UseError
from ledger.questions.wording import count, film_place
from tui.screens.dialogs import ConfirmDialog, Dialog
from tui.screens.form import Form, Line, Told, TypedLine
from tui.watch_words import film_seconds
from tui.widgets.lines import Words

if TYPE_CHECKING:
    from ledger.questions.film import Offered
    from ledger.store.reads.film import ToWatch
    from tui.session import BookLike

_YES_NO = ("yes", "no", "cannot tell")
# The first says in plain words what is stored as the first contact.
_HIT = "hit_board"
LINES: tuple[Line, ...] = (
    Line(_HIT, "hit board", "yes: the ball hit the backboard, though not meant to",
         choices=("yes", "no")),
    Line("contact_height", "height", "on the board: below, at or above the inner top line",
         choices=("below top line", "at top line", "above top line")),
    Line("contact_side", "side", "on the board, as he sees it: left, centre, right",
         choices=("left", "centre", "right")),
    Line("down_at_board", "falling", "on the way down at the board: yes, no, cannot tell",
         choices=_YES_NO),
    Line("release_angle_deg", "angle", "of release, in degrees above the horizontal"),
    Line("backspin", "backspin", "yes, no, cannot tell", choices=_YES_NO),
    Line("confidence", "sure", "sure, likely, guess", choices=("sure", "likely", "guess")),
    Line("video_s", "film time", "12:34; after two in a period: about where others are"),
    Line("note", "note", "whatever else is to be said of it"),
)  # fmt: skip


class FurtherDialog(Dialog[dict[str, str]]):
    """Further fields of the attempt in hand; gives those that were typed."""

    BINDINGS = [
        Binding("down", "move(1)", show=False),
        Binding("up", "move(-1)", show=False),
    ]

    def __init__(self, who: str, known: Mapping[str, str]) -> None:
        super().__init__()
        self._who = who
        self._known = shown_fields(known)

    def compose(self) -> ComposeResult:
        with Vertical(classes="box"):
            yield Words(f"More of it: {self._who}", classes="title")
            with VerticalScroll(can_focus=False, id="fields"):
                for line in LINES:
                    with Horizontal(classes="field"):
                        yield Words(line.label, classes="label")
                        yield TypedLine(
                            self._known.get(line.name, ""), placeholder=line.says,
                            id=f"{line.name}-typed", select_on_focus=False,
                        )  # fmt: skip
            yield Words(" ", id="matches")
            yield Words("enter keeps it with this attempt; a beginning is enough; tab or ↓ next")

    def on_mount(self) -> None:
        self.query(Input).first().focus()
        self._fit()

    def on_resize(self) -> None:
        self._fit()

    def _fit(self) -> None:
        room = self.app.size.height - 6
        self.query_one("#fields").styles.height = min(len(LINES), max(2, room))

    def action_move(self, by: int) -> None:
        (self.focus_next if by > 0 else self.focus_previous)(Input)

    @on(Input.Submitted)
    def take(self) -> None:
        """Enter in any line: all that was typed."""
        typed = {}
        for line in LINES:
            place = self.query_one(f"#{line.name}-typed", Input)
            try:
                typed[line.name] = read_field(line, place.value)
            except UseError as error:
                self.query_one("#matches", Words).say(error.message)
                place.focus()
                return
        self.dismiss(stored_fields(typed))


def read_field(line: Line, text: str) -> str:
    """What was typed on a line, empty where nothing was.

    Raises:
        UseError: if it cannot be that.
    """
    said = line.read(text)
    if said is None:
        return ""
    if line.name == "video_s":
        return film_seconds(said)
    if line.name == "release_angle_deg":
        try:
            angle = float(said.removesuffix("°").replace(",", "."))
        except ValueError:
            angle = -1.0
        if not 0 <= angle <= 90:
            raise UseError(f"the angle is 0 to 90 degrees, not {said!r}")
        return f"{angle:g}"
    return str(said)


def stored_fields(typed: Mapping[str, str]) -> dict[str, str]:
    """What was typed, as fields of a tag."""
    out = {name: value for name, value in typed.items() if value and name != _HIT}
    if typed.get(_HIT) == "yes":
        out["first_contact"] = "board"
    return out


def shown_fields(known: Mapping[str, str]) -> dict[str, str]:
    """Fields of a tag as they stand on the lines."""
    out = dict(known)
    if out.pop("first_contact", "") == "board":
        out[_HIT] = "yes"
    if "video_s" in out:
        out["video_s"] = film_place(float(out["video_s"]))
    return out


def mend_form(attempt: ToWatch) -> Form:
    """The window in which the record of an attempt is put right."""
    recorded = "made" if attempt.made else "missed"

    def mend(book: BookLike, typed: Mapping[str, Any]) -> Told:
        changes = {}
        if typed["player"] and typed["player"] != attempt.player:
            changes["player"] = str(typed["player"])
        if typed["result"] and typed["result"] != recorded:
            changes["made"] = "yes" if typed["result"] == "made" else "no"
        if not changes:
            raise UseError("it is recorded so already: type another shooter or result")
        return Told(book.correct("attempt", attempt.attempt, changes, why=str(typed["why"])))

    return Form(
        heading="The record is wrong",
        words=(
            f"Recorded: {attempt.player}, {recorded}. Put right what the film shows; it is "
            "journalled and can be taken back on Sources.",
        ),
        lines=(
            Line("player", "shooter", "another shooter", attempt.player, names="player"),
            Line("result", "result", "made or missed", recorded, choices=("made", "missed")),
            Line("why", "why", "what shows it", example="seen on film", needed=True),
        ),
        do=mend,
        first="player",
        enter="mends it",
    )


def offers_of(offered: Sequence[Offered]) -> list[tuple[str, str]]:
    """What can be watched, as choices: the number of the offer, or what is chosen next."""
    out = []
    for at, one in enumerate(offered):
        left = "" if one.left is None else f": {count(one.left)} to watch"
        out.append((str(at), f"{one.words}{left}"))
    lots = [one for one, offer in zip(out, offered, strict=True) if offer.kind == "lot"]
    others = [one for one in out if one not in lots]
    # Digits choose the first nine; lots may be many.
    return [*others, ("game", "A game …"), ("player", "A player …"), *lots]


class BurstDialog(ConfirmDialog):
    """Keys came that nobody can have typed; further ones that come while it asks belong to them."""

    def __init__(self, keys: Sequence[Any], decided: Callable[[Sequence[Any]], None]) -> None:
        self._keys = list(keys)
        self._decided = decided
        super().__init__(
            f"{len(keys)} keys came at once, as when a text is pasted.",
            "Nothing of them is taken yet. Were they meant?",
            yes="take them as typed",
        )

    def ask_about_burst(self, given: Sequence[Any], held: Sequence[Any]) -> None:
        """More of the same."""
        self._keys.extend(held)

    def on_paste(self, event: events.Paste) -> None:
        event.stop()

    def action_answer(self, yes: bool) -> None:
        self.dismiss(yes)
        if yes:
            self._decided(self._keys)
