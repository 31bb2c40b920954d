"""What the palette offers: every question, then every action of the screen."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import TYPE_CHECKING, Any

from textual.app import SystemCommand

from tui.actions import actions_of
from tui.screens.base import RoomScreen

if TYPE_CHECKING:
    from textual.screen import Screen

    from tui.app import OffglassApp


def commands_of(program: OffglassApp, screen: Screen[Any]) -> Iterable[SystemCommand]:
    """The commands that can be found by typing while this screen is in front."""
    for question in program.questions:
        show = partial(program.show, question.name)
        yield SystemCommand(question.title, f"Ask: {question.name}", show)
    if not isinstance(screen, RoomScreen):
        return
    for action in actions_of(screen.kind):
        if action.id != "palette":
            run = partial(program.call_later, screen.run_action, action.id)
            words = action.short or action.id.replace("_", " ")
            yield SystemCommand(words, action.help, run)
