"""What is found by typing: every question, then every action that somebody may look for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from tui.actions import actions_of, keys_of
from tui.keys import shown_key

if TYPE_CHECKING:
    from tui.app import OffglassApp
    from tui.screens.base import RoomScreen

# What does its work by its key alone: nobody would type the name of a step to the side.
_NOT_LOOKED_FOR = frozenset({"palette", "back", "part", "part_before", "find_next"})


@dataclass(frozen=True, slots=True)
class Offer:
    """Something that can be found.

    Attributes:
        words: what it does.
        more: other words by which it is found.
        key: its key on the screen, empty where there is none.
        run: does it.
    """

    words: str
    more: str
    key: str
    run: Callable[[], Any]

    def found_by(self, typed: str) -> bool:
        """Whether every typed word is in its words."""
        said = f"{self.words} {self.more}".casefold()
        return all(word in said for word in typed.casefold().split())


def offers_of(program: OffglassApp, screen: RoomScreen) -> Iterator[Offer]:
    """What can be found while this screen is in front."""
    for question in program.questions:
        yield Offer(question.title, question.name, "", partial(program.show, question.name))
    for action in actions_of(screen.kind):
        if action.id in _NOT_LOOKED_FOR:
            continue
        keys = keys_of(action, program.settings.keys, screen.kind)
        run = partial(program.call_later, screen.run_action, action.id)
        more = f"{action.short} {action.id.replace('_', ' ')}"
        yield Offer(action.help.rstrip("."), more, shown_key(keys[0]) if keys else "", run)


def found(offers: Sequence[Offer], typed: str) -> list[Offer]:
    """Those that what is typed means, in their order; all where nothing is typed."""
    return [offer for offer in offers if offer.found_by(typed)]
