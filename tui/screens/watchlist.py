"""What to watch next?"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from tui.actions import bindings_of
from tui.screens.leafing import LeafingScreen
from tui.widgets.columns import EARLY, Row, ShownColumn

if TYPE_CHECKING:
    from ledger.questions.answer import Answer

# Cells of the other columns that are wanted beside the names of those to watch.
_OTHERS = 64


def _reasons(column: ShownColumn) -> ShownColumn:
    """A number of tags, or why it takes none: the reason has room."""
    return replace(column, most=44) if column.sorts == "more_tags" else column


class WatchlistScreen(LeafingScreen):
    """Games in the order to watch them, the players who are open, and second opinions that wait."""

    kind = "watchlist"
    question = "watchlist"
    heading = "What to watch next?"
    identity = ("attempt", "player", "league", "season", "game", "date")
    BINDINGS = bindings_of("watchlist")
    parts = (
        ("", "games"),
        ("players", "players"),
        ("second_opinions", "second opinions"),
    )

    def to_watch(self) -> tuple[str, dict[str, Any]]:
        """The game, or the player, of the chosen row; or the second opinions."""
        row = self.rows.chosen()
        if self.part == "second_opinions":
            return "second", {}
        if row is None:
            return "watchlist", {}
        if self.part:
            return "player", {"player": row["player"], "league": row["league"]}
        return "game", {name: row[name] for name in ("game", "date", "league")}

    def columns_of(self, answer: Answer) -> tuple[ShownColumn, ...]:
        columns = super().columns_of(answer)
        if self.part:
            return tuple(_reasons(column) for column in columns)
        one = answer.frame["for_tagger"].n_unique() < 2
        out: list[ShownColumn] = []
        for column in columns:
            if column.sorts == "watch":
                room = self.app.size.width - _OTHERS
                out.append(replace(column, least=14, most=min(max(room, 20), 100), drop=1))
            elif column.sorts == "for_tagger":
                # Whom it is for tells nothing where one person watches everything.
                out.append(replace(column, drop=EARLY) if one else column)
            else:
                out.append(column)
        return tuple(out)

    def on_resize(self) -> None:
        if self.answer is not None:
            # How much of those to watch is told goes by the width.
            self.show_answer(self.answer)

    def notes_of(self, answer: Answer) -> tuple[str, ...]:
        """How to begin, before all else."""
        if not answer.frame.height:
            return answer.notes
        begins = f"{self.key('row')} or {self.key('watch')} watches the game of the row"
        return (f"{begins}; {self.key('choose')} says who watches and how long.", *answer.notes)

    # -- watching --------------------------------------------------------------------------

    def action_row(self) -> None:
        """Open the player; a game is watched."""
        if self.part == "players" or self.rows.chosen() is None:
            super().action_row()
        else:
            self.action_watch()

    def is_marked(self, row: Row) -> bool:
        return False
