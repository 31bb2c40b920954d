"""The slides on Lists: moved, dropped, and saved as a deck."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tui.screens.export import DeckDialog, Wanted
from tui.screens.form import Told
from tui.screens.player_windows import done
from tui.session import Job

if TYPE_CHECKING:
    from textual.app import App

    from tui.app import OffglassApp
    from tui.listed import Held
    from tui.session import BookLike, Hears
    from tui.widgets.rows import RowsView


class DeckPart:
    """A part of Lists: what is done with slides."""

    if TYPE_CHECKING:
        app: Any[App[Any]]
        held: Held | None

        @property
        def program(self) -> OffglassApp: ...
        @property
        def rows(self) -> RowsView: ...
        def tell(self, line: str, *, trouble: bool = False) -> None: ...
        def tell_in_front(self, line: str) -> None: ...
        def await_job(self, job: Job) -> Job: ...
        def store(self, words: str, call: Callable[[BookLike], Told]) -> None: ...

    def _slide(self) -> Mapping[str, Any] | None:
        row = self.rows.chosen()
        if row is not None and row.get("number") is not None:
            return row
        self.tell("no slide is chosen")
        return None

    def drop_slide(self, number: int) -> None:
        """Take a slide out of the deck."""

        def drop(book: BookLike) -> Told:
            before = book.last_source()
            return done(book, "slide", before, book.drop_from_deck(number))

        self.store("dropping the slide", drop)

    def action_slide_up(self) -> None:
        self._move(-1)

    def action_slide_down(self) -> None:
        self._move(1)

    def _move(self, by: int) -> None:
        row = self._slide()
        if row is None:
            return
        number, place = row["number"], row["place"] + by
        if not 1 <= place <= self.rows.count:
            self.tell("it is the first slide" if by < 0 else "it is the last slide")
            return

        def move(book: BookLike) -> Told:
            before = book.last_source()
            return done(book, "slide", before, book.move_in_deck(number, place))

        self.store("moving the slide", move)

    def action_save_deck(self) -> None:
        self.app.push_screen(DeckDialog(self.program.save_folder()), self._save)

    def _save(self, wanted: Wanted | None) -> None:
        if wanted is None or wanted.path is None:
            return
        path, theme, meant = wanted.path, self.program.chart_theme(), self.program.meant.now
        template = self.program.settings.template or None
        # What was put aside has its own attempts; the usual questions are asked of those meant now.
        asked = {} if self.held and self.held.slides else {
            "cohort": meant.cohort, "focus": meant.focus,
        }  # fmt: skip

        def save(book: BookLike, hears: Hears) -> Path:
            return book.export_deck(path, theme=theme, template=template, progress=hears, **asked)

        words = f"saving {path.name}"
        self.await_job(self.program.session.do_telling(self, "saved", words, save))  # type: ignore[arg-type]

    def done_saved(self, job: Job, path: Path) -> None:
        """The deck is written."""
        self.program.saved = path
        self.tell_in_front(f"saved {path}")
