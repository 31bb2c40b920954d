"""Where to save an answer: the ending of the name says what it becomes."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.widgets import Input

from tui.completion import PathSuggester
from tui.screens.dialogs import Dialog
from tui.widgets.lines import Words

PICTURES = {
    ".png": "a picture for a slide",
    ".svg": "a picture that stays sharp at any size",
    ".pdf": "a page",
    ".html": "a picture for a browser",
    ".json": "a picture that other programs can draw and change",
}
ALWAYS = {".csv": "the rows", ".pptx": "a slide", "": "one more slide of the deck"}


@dataclass(frozen=True, slots=True)
class Wanted:
    """What an answer is to become: a file, or one more slide of the deck where there is no path."""

    path: Path | None


class ExportDialog(Dialog[Wanted]):
    """A path to type; up and down change what it becomes."""

    BINDINGS = [
        Binding("down", "ending(1)", show=False, priority=True),
        Binding("up", "ending(-1)", show=False, priority=True),
    ]

    asks = "Save this answer as"

    def __init__(self, stem: Path, *, has_picture: bool = True) -> None:
        super().__init__()
        self._endings = {**(PICTURES if has_picture else {}), **ALWAYS}
        # The name that stands there again after the deck was looked at.
        self._named = stem.with_suffix(next(iter(self._endings)))
        self._warned = ""

    def compose(self) -> ComposeResult:
        with Vertical(classes="box"):
            yield Words(self.asks, classes="title")
            yield Input(str(self._named), suggester=PathSuggester(), select_on_focus=False,
                        placeholder="the deck needs no name", id="path")  # fmt: skip
            yield Words(id="what")
            yield Words(id="trouble", classes="hidden")
            yield Words("↑ ↓ change what it becomes, → completes, enter does it, esc leaves it")

    def on_mount(self) -> None:
        line = self.query_one(Input)
        line.focus()
        line.cursor_position = len(line.value)
        self._say()

    def _ending(self) -> str:
        """What it becomes as it stands; empty for the deck."""
        typed = self.query_one(Input).value.strip()
        return Path(typed).suffix.lower() or "?" if typed else ""

    @on(Input.Changed)
    def _say(self) -> None:
        here = self._ending()
        self.query_one("#what", Words).say(
            *(
                f"{'●' if ending == here else ' '} {ending or 'deck':<6} {words}"
                for ending, words in self._endings.items()
            )
        )
        self._trouble("")

    def _trouble(self, line: str) -> None:
        trouble = self.query_one("#trouble", Words)
        trouble.say(line)
        trouble.set_class(not line, "hidden")

    def action_ending(self, by: int) -> None:
        line = self.query_one(Input)
        if Path(line.value.strip()).name:
            self._named = Path(line.value.strip())
        order = list(self._endings)
        here = self._ending()
        at = order.index(here) if here in order else -1
        ending = order[(at + by) % len(order)]
        line.value = str(self._named.with_suffix(ending)) if ending else ""
        line.cursor_position = len(line.value)

    @on(Input.Submitted)
    def save(self, event: Input.Submitted) -> None:
        """Enter: save there, after a second enter where a file would be replaced."""
        if not event.value.strip():
            self.dismiss(Wanted(None))
            return
        path = Path(event.value.strip()).expanduser()
        if not path.suffix or path.suffix.lower() not in self._endings:
            known = ", ".join(e for e in self._endings if e)
            self._trouble(f"the ending says what it becomes: one of {known}")
        elif not path.parent.is_dir():
            self._trouble(f"there is no folder {path.parent}")
        elif path.exists() and self._warned != str(path):
            self._warned = str(path)
            self._trouble(f"{path.name} is there already: enter again replaces it")
        else:
            self.dismiss(Wanted(path))


class DeckDialog(ExportDialog):
    """Where to save the slides that were put aside, or those of the usual questions."""

    asks = "Save the slides for a staff as"

    def __init__(self, folder: Path) -> None:
        super().__init__(folder / "deck", has_picture=False)
        self._endings = {".pptx": "slides with the same figures to edit and the speaker's notes"}
        self._named = folder / "deck.pptx"
