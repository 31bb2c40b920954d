"""What came in: every batch, to be taken back or brought back; what was refused; the journal."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from tui.actions import bindings_of
from tui.cohorts import Meant
from tui.screens.leafing import LeafingScreen
from tui.widgets.columns import Row, ShownColumn

if TYPE_CHECKING:
    import polars as pl

    from ledger.questions.answer import Answer


class SourcesScreen(LeafingScreen):
    """The sources of the whole ledger, whatever cohort is meant."""

    kind = "sources"
    question = "sources"
    heading = "What came in?"
    identity = ("source", "line")
    parts = (("", "sources"), ("refused", "refused rows"), ("journal", "journal"))
    BINDINGS = bindings_of("sources")

    def sentence(self, meant: Meant, answer: Answer | None) -> str:
        return "All sources of the ledger, the last first"

    def rows_of(self, answer: Answer, part: str) -> pl.DataFrame:
        found = super().rows_of(answer, part)
        return found if part else found.sort("source", descending=True)

    def columns_of(self, answer: Answer) -> tuple[ShownColumn, ...]:
        return tuple(_as_it_fits(column) for column in super().columns_of(answer))

    def why_empty(self, answer: Answer) -> str:
        if self.part:
            return super().why_empty(answer)
        return f"Nothing has come in yet: {self.key('intake')} adds a file."

    def _source(self) -> Row | None:
        """The source of the chosen row, on whichever table it stands."""
        row, answer = self.rows.chosen(), self.answer
        if row is None or answer is None or not self.part:
            return row
        return next((r for r in answer.main.rows() if r["source"] == row["source"]), None)

    def action_undo(self) -> None:
        row = self._source()
        if row is None:
            self.tell("there is no source to take back")
        elif row["taken_back"] is not None:
            brings = f"{self.key('bring_back')} brings it back"
            self.tell(f"source {row['source']} is taken back already; {brings}")
        else:
            self.confirm_undo(row)

    def action_bring_back(self) -> None:
        row = self._source()
        if row is None or row["taken_back"] is None:
            self.tell("only a source that was taken back can be brought back")
            return
        self.await_job(self.program.session.undo(self, row["source"], again=True))


def _as_it_fits(column: ShownColumn) -> ShownColumn:
    """A kind is whole; a moment becomes its day where there is no room for more."""
    if column.sorts == "kind":
        return replace(column, least=10)
    if column.sorts not in ("when", "taken_back"):
        return column
    minutes, day = (partial(_moment, column.words, cells) for cells in (16, 10))
    return replace(column, words=minutes, short=day, least=10, most=16)


def _moment(words: Callable[[Row], str], cells: int, row: Row) -> str:
    return words(row)[:cells]
