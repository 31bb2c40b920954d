"""What to watch next?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.actions import bindings_of
from tui.screens.leafing import LeafingScreen
from tui.widgets.columns import Row

if TYPE_CHECKING:
    pass


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

    def is_marked(self, row: Row) -> bool:
        return False
