"""Which screen stands behind which name: loaded when it is first shown."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.screens.base import RoomScreen

# Questions without a line of their own are shown by the general screen.
SCREENS = {
    "contents": "contents:ContentsScreen",
    "ranking": "ranking:RankingScreen",
    "adopters": "adopters:AdoptersScreen",
    "uptake": "uptake:UptakeScreen",
    "switches": "switches:SwitchesScreen",
    "trial": "trial:TrialScreen",
    "misses": "misses:MissesScreen",
    "candidates": "candidates:CandidatesScreen",
    "worth": "worth:WorthScreen",
    "watchlist": "watchlist:WatchlistScreen",
    "agreement": "agreement:AgreementScreen",
    "player": "player:PlayerScreen",
    "intake": "intake:IntakeScreen",
    "lists": "lists:ListsScreen",
    "sources": "sources:SourcesScreen",
    "scoresheet": "scoresheet:ScoresheetScreen",
    "watch": "watch:WatchScreen",
}


def screen_of(name: str, title: str) -> RoomScreen:
    """A new screen of that name; `title` heads the general one."""
    if name in SCREENS:
        module, kind = SCREENS[name].split(":")
        found: RoomScreen = getattr(import_module(f"tui.screens.{module}"), kind)()
        return found
    from tui.screens.question import QuestionScreen

    members = {"question": name, "heading": title, "__module__": __name__}
    general: RoomScreen = type("GeneralQuestionScreen", (QuestionScreen,), members)()
    return general
