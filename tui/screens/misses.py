"""Where do misses go?"""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from itertools import chain
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding

from ledger.cohort import BOARD_ASSISTED
from ledger.questions.layout import LAYOUTS, Shown
from ledger.questions.misses import ZONES
from ledger.questions.part_layouts import PART_LAYOUTS
from ledger.questions.wording import count, technique_words
from tui.actions import bindings_of
from tui.screens.copying import Rows, WholeRows, copy_rows
from tui.screens.dialogs import TextDialog
from tui.screens.laid_out import laid_out
from tui.screens.leafing import LeafingScreen
from tui.screens.miss_pictures import (
    CELLS,
    courts_of,
    grids_of,
    is_studied,
    told_of,
    words_of,
)
from tui.widgets import court_view, miss_grid
from tui.widgets.columns import Row, ShownColumn
from tui.widgets.court_view import CourtView
from tui.widgets.drawings import Interval
from tui.widgets.lines import Words
from tui.widgets.miss_grid import MissGridView
from tui.widgets.rows import RowsView

if TYPE_CHECKING:
    import polars as pl

    from ledger.questions.answer import Answer

# A row stands for a whole picture: so many rows of the answer.
_COURTS = ("rebound_zones", "zones")
_SIZES = {"": CELLS, **dict.fromkeys(_COURTS, len(ZONES))}
_SHOWN = {
    "": (
        Shown("technique", "text", ("technique",)),
        Shown("player", "text", ("player",)),
        Shown("team", "text", ("team",), drop=3),
        Shown("misses", "count", ("misses",)),
        Shown("with depth and side", "count", ("seen",), drop=1),
    ),
    "rebound_zones": (
        Shown("technique", "text", ("technique",)),
        Shown("rebounds with a zone", "count", ("seen",)),
    ),
    "zones": (
        Shown("technique", "text", ("technique",)),
        Shown("missed", "text", ("miss_side",)),
        Shown("rebounds with a zone", "count", ("seen",)),
    ),
}
_PICTURE = "picture"
# Notes that a reader of the pictures needs first.
_FIRST = ("By luck alone", "a depth and a side")
_COMPARED = Interval("low", "high", "difference", percent=False, zero=True)


class MissesScreen(LeafingScreen):
    """Grids of depth by side, courts of rebounds, and what the tests say."""

    kind = "misses"
    question = "misses"
    heading = "Where do misses go?"
    identity = ("technique", "player", "team", "miss_side", "what", "contact_height",
                "down_at_board")  # fmt: skip
    BINDINGS = [
        *bindings_of("misses"),
        # Rows without room for them are gone through all the same, by their pictures.
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
    ]
    parts = (
        ("", "how they miss"),
        ("rebound_zones", "where rebounds go"),
        ("zones", "by side of the miss"),
        ("rebounds", "offensive rebounds"),
        ("tests", "compared"),
        ("contact", "on the backboard"),
    )

    def compose_picture(self) -> ComposeResult:
        yield MissGridView(id="grids", classes="picture")
        yield CourtView(id="courts", classes="picture")
        yield Words(classes="legend", id="legend")

    @property
    def studied(self) -> tuple[str, ...]:
        """The technique that is studied."""
        return self.program.meant.now.focus

    # -- showing ---------------------------------------------------------------------------

    def rows_of(self, answer: Answer, part: str) -> pl.DataFrame:
        frame = super().rows_of(answer, part)
        size = _SIZES.get(part)
        return frame.gather_every(size).with_row_index(_PICTURE) if size else frame

    def columns_of(self, answer: Answer) -> tuple[ShownColumn, ...]:
        shown = _SHOWN.get(self.part)
        columns = laid_out(self.frame_of(answer), shown) if shown else super().columns_of(answer)
        said = compared_words(answer) if self.part == "tests" else ("", "")
        return tuple(chain.from_iterable(_said(column, said) for column in columns))

    def notes_of(self, answer: Answer) -> tuple[str, ...]:
        """What the tests say and how sides are meant before all else."""
        return tuple(sorted(answer.notes, key=lambda note: not any(w in note for w in _FIRST)))

    def show_answer(self, answer: Answer) -> None:
        super().show_answer(answer)
        self.query_one(MissGridView).show(grids_of(answer, self.studied))
        if self.part in _COURTS:
            self.query_one(CourtView).show(courts_of(answer, self.part, self.studied))
        self.query_one("#grids").set_class(bool(self.part), "hidden")
        self.query_one("#courts").set_class(self.part not in _COURTS, "hidden")
        legend = self.query_one("#legend", Words)
        legend.say(court_view.LEGEND if self.part else miss_grid.LEGEND)
        drawn = self.part in _SIZES and bool(answer.frame.height)
        legend.set_class(not drawn, "hidden")
        self.set_class(drawn, "pictured")
        self.set_class(drawn, "drawn")
        self.rows.set_class(self.part in _COURTS, "under-courts")
        self.follow()

    def is_marked(self, row: Row) -> bool:
        return is_studied(row.get("technique"), self.studied)

    def action_step(self, rows: int) -> None:
        self.rows.action_step(rows)

    @on(RowsView.Moved)
    def follow(self) -> None:
        """The picture is that of the row under the cursor."""
        row = self.rows.chosen()
        number = int(row[_PICTURE]) if row is not None and _PICTURE in row else 0
        self.query_one(MissGridView).choose(number)
        self.query_one(CourtView).choose(number)

    # -- what a row stands for -------------------------------------------------------------

    def action_details(self) -> None:
        row = self.rows.chosen()
        if row is None or self.answer is None or _PICTURE not in row:
            super().action_details()
            return
        title, lines = told_of(self.answer, self.part, int(row[_PICTURE]))
        self.app.push_screen(TextDialog(title, lines))

    def action_copy(self) -> None:
        self._copy(as_csv=False)

    def action_copy_csv(self) -> None:
        self._copy(as_csv=True)

    def _copy(self, *, as_csv: bool) -> None:
        rows: Rows = self.rows
        if self.answer is not None and self.part in _SIZES:
            frame = self.shown_part(self.answer).frame
            layout = PART_LAYOUTS[f"misses.{self.part}"] if self.part else LAYOUTS["misses"]
            rows = WholeRows(frame, laid_out(frame, layout))
        self.tell(copy_rows(self.program, self.answer, rows, as_csv=as_csv))


def compared_words(answer: Answer) -> tuple[str, str]:
    """What is compared with what: every test of an answer compares the same two."""
    rows = answer.part("tests").rows()
    text = str(rows[0]["what"]).partition(", ")[2] if rows else ""
    one, _, other = text.removesuffix(", within players").partition(" minus ")
    return one.replace(BOARD_ASSISTED, technique_words([BOARD_ASSISTED])), other


def _said(column: ShownColumn, compared: tuple[str, str]) -> list[ShownColumn]:
    """The column with techniques as a coach says them; a difference is drawn beside its figure."""
    if column.sorts == "technique":
        return [replace(column, words=_technique)]
    if column.sorts == "what":
        return [replace(column, title="within players", words=_what)]
    if column.sorts in ("focus_count", "other_count"):
        title = compared[column.sorts == "other_count"]
        return [replace(column, title=title, words=partial(_of, column.sorts))]
    if column.sorts == "p_holm":
        return [replace(column, least=column.most)]
    if column.sorts == "difference":
        drawn = ShownColumn("fewer │ more", least=16, most=40, drop=5, drawing=_COMPARED)
        return [column, drawn]
    return [column]


def _technique(row: Row) -> str:
    return words_of(str(row["technique"]))


def _of(name: str, row: Row) -> str:
    """Such misses of all; of a whole table the misses alone."""
    such, of = row[name], row[name.replace("count", "misses")]
    return f"{count(of or 0)}" if such is None else f"{count(such)}/{count(of)}"


def _what(row: Row) -> str:
    """What was compared, without what the heading says."""
    return str(row["what"]).partition(", ")[0]
