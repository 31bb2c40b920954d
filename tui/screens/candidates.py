"""Who should try it?"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from ledger.questions.layout import LAYOUTS
from tui.actions import bindings_of
from tui.screens.laid_out import laid_out
from tui.screens.leafing import LeafingScreen
from tui.widgets.columns import ShownColumn
from tui.widgets.drawings import Interval

if TYPE_CHECKING:
    from ledger.questions.answer import Answer

_GAIN = Interval("predicted_low", "predicted_high", "predicted_gain", percent=False, zero=True)
_POINTS = Interval("points_low", "points_high", "points_per_season",
                   percent=False, zero=True, share=False)  # fmt: skip
_DRAWN = {"predicted_gain": _GAIN, "points_per_season": _POINTS}
# Notes that a reader of the figures needs first.
_FIRST = ("Assumes he would gain", "Told from")
# Points leave a narrow screen before makes do.
_DROPS = {"predicted_gain": 1, "points_per_season": 4}
_FIGURES = {"predicted_gain": 0, "points_per_season": 3}
_CHANGED: dict[str, dict[str, Any]] = {
    "shrunken_rate": {"drop": 5},
    "attempts_per_season": {"drop": 6},
    "state": {"drop": 7},
}


class CandidatesScreen(LeafingScreen):
    """Listed players with what they may gain, drawn over a zero."""

    kind = "candidates"
    question = "candidates"
    heading = "Who should try it?"
    identity = ("player", "team", "league", "gain")
    in_sentence = ("list",)
    BINDINGS = bindings_of("candidates")
    parts = (
        ("", "players"),
        ("assumed", "if they gained"),
        ("pooled", "all together"),
        ("prior", "levels"),
    )

    def parts_of(self, answer: Answer) -> list[tuple[str, str]]:
        """Parts without a row tell nothing here: without a list, without an assumed gain."""
        listed = bool(answer.frame.height)
        return [
            (name, words)
            for name, words in super().parts_of(answer)
            if not name or (listed and answer.more[name].height)
        ]

    def columns_of(self, answer: Answer) -> tuple[ShownColumn, ...]:
        if self.part:
            return super().columns_of(answer)
        if not answer.frame.height:
            return ()
        # What he may gain is drawn; his own rate stands beside it in figures.
        columns = laid_out(answer.frame, LAYOUTS["candidates"], drawn=False)
        predicted = bool(answer.frame["predicted_gain"].count())
        out: list[ShownColumn] = []
        for column in columns:
            name = column.sorts or ""
            if name not in _DRAWN:
                out.append(replace(column, **_CHANGED.get(name, {})))
            elif predicted:
                column = replace(column, drop=_FIGURES[name])
                drawing = ShownColumn(
                    "less │ more", least=16, most=44, drop=_DROPS[name], drawing=_DRAWN[name]
                )
                out += [column, drawing]
            elif name == "predicted_gain":
                # Without a figure in any row the reasons have the room.
                out.append(replace(column, title="why no prediction", most=80))
        return tuple(out)

    def why_empty(self, answer: Answer) -> str:
        if "list" not in self.options:
            return f"No list is chosen: {self.key('row')} chooses one."
        return super().why_empty(answer)

    def action_row(self) -> None:
        """Open the player; without a list, choose one."""
        if self.answer is not None and not self.rows.count:
            self.change("list")
        else:
            super().action_row()

    def notes_of(self, answer: Answer) -> tuple[str, ...]:
        """What the figures assume before all else; without a list, which keys make one."""
        if answer.frame.height:
            return tuple(sorted(answer.notes, key=lambda note: not note.startswith(_FIRST)))
        keys = (
            f"{self.key('row')} chooses a list; {self.key('keep')} puts the player of a row of "
            f"any other screen on one, {self.key('lists')} shows them all."
        )
        return (keys, *answer.notes)
