"""What was written down about players, as parts of one screen; nothing is counted but rows."""

from __future__ import annotations

from tui.listed import plans, players, said, slides
from tui.listed.held import Held, Key, Part, held_of, review_words


def parts_of(held: Held, key: Key) -> tuple[Part, ...]:
    """The parts, in their order.

    Args:
        held: what was written down.
        key: gives the key of an action.
    """
    makers = (
        players.lists, players.lots, plans.rumours, plans.trials, plans.consents, said.decisions,
        said.notes, slides.slides,
    )  # fmt: skip
    return tuple(make(held, key) for make in makers)


def opened(held: Held, part: str, name: str, key: Key) -> Part | None:
    """The players of a list or lot; None where it is gone."""
    make = players.opened_list if part == "lists" else players.opened_lot
    return make(held, name, key)


__all__ = ["Held", "Key", "Part", "held_of", "opened", "parts_of", "review_words"]
