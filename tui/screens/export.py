"""Where to save an answer: the ending of the name says what it becomes."""

from __future__ import annotations

from pathlib import Path

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.widgets import Input

from tui.screens.completion import PathSuggester
from tui.screens.dialogs import Dialog
from tui.widgets.lines import Words

ENDINGS = {
    ".png": "a picture for a slide",
    ".svg": "a picture that stays sharp at any size",
    ".pdf": "a page",
    ".html": "a picture for a browser",
    ".csv": "the rows",
}


class ExportDialog(Dialog[Path]):
    """A path to type; up and down change its ending."""

    BINDINGS = [
        Binding("down", "ending(1)", show=False, priority=True),
        Binding("up", "ending(-1)", show=False, priority=True),
    ]

    def __init__(self, stem: str) -> None:
        super().__init__()
        self._stem = stem
        self._warned = ""

    def compose(self) -> ComposeResult:
        with Vertical(classes="box"):
            yield Words("Save this answer as", classes="title")
            yield Input(str(Path.cwd() / f"{self._stem}.png"), suggester=PathSuggester(),
                        select_on_focus=False, id="path")  # fmt: skip
            yield Words(id="what")
            yield Words("up and down change the ending, enter saves, esc leaves it")

    def on_mount(self) -> None:
        line = self.query_one(Input)
        line.focus()
        line.cursor_position = len(line.value)
        self._say()

    @on(Input.Changed)
    def _say(self) -> None:
        here = Path(self.query_one(Input).value).suffix.lower()
        self.query_one("#what", Words).say(
            *(f"{'●' if e == here else ' '} {e:<6} {words}" for e, words in ENDINGS.items())
        )

    def action_ending(self, by: int) -> None:
        line = self.query_one(Input)
        path = Path(line.value)
        order = list(ENDINGS)
        at = order.index(path.suffix.lower()) if path.suffix.lower() in order else -1
        line.value = str(path.with_suffix(order[(at + by) % len(order)]))
        line.cursor_position = len(line.value)

    @on(Input.Submitted)
    def save(self, event: Input.Submitted) -> None:
        """Enter: save there, after a second enter where a file would be replaced."""
        path = Path(event.value.strip()).expanduser()
        what = self.query_one("#what", Words)
        if path.suffix.lower() not in ENDINGS:
            what.say(f"the ending says what it becomes: one of {', '.join(ENDINGS)}")
        elif not path.parent.is_dir():
            what.say(f"there is no folder {path.parent}")
        elif path.exists() and self._warned != str(path):
            self._warned = str(path)
            what.say(f"{path.name} is there already: enter again replaces it")
        else:
            self.dismiss(path)
