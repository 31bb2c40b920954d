"""A window in which questions and actions are found by typing part of what they do."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ledger.safe_text import cut
from tui.palette import Offer, found
from tui.screens.narrowing import NarrowingDialog

_KEY = 5
NOTHING = "Nothing here is called so: fewer letters, or other words."


class FindDialog(NarrowingDialog[Offer]):
    """What can be done here; gives what was chosen.

    Args:
        offers: all there is.
    """

    title_words = "What do you want to do?"
    wanted = "type part of it"
    takes = "does"

    def __init__(self, offers: Sequence[Offer]) -> None:
        super().__init__()
        self._offers = tuple(offers)

    def narrowed(self, typed: str) -> tuple[Sequence[Offer], str]:
        offers = found(self._offers, typed)
        return offers, "" if offers else NOTHING

    def lines(self, found: Sequence[Offer]) -> Iterable[str]:
        wide = self.app.size.width
        # The box with its lines, the blanks beside the words, the scroll bar.
        cells = (wide if wide < 60 else min(100, wide * 9 // 10)) - 7
        return (cut(f"{offer.key:<{_KEY}} {offer.words}", cells) for offer in found)
