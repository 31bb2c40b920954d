"""A cut list by lot: which attempts on film to look at."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ledger.questions.wording import counted, percent
from ledger.stats.clip_lot import draw

if TYPE_CHECKING:
    import polars as pl

    from ledger.questions.inquiry import Inquiry
    from ledger.store.reads import Scope

NO_FILM = (
    "None of these attempts is on film: name a game's video with offglass correct game ID "
    "video=FILE."
)


def drawn(
    inquiry: Inquiry, scope: Scope, made: int, attempts: int
) -> tuple[pl.DataFrame, list[str]]:
    """The records of a cut list, in their order, and what must be said beside them.

    Args:
        inquiry: with the options `clips` and `seed`.
        scope: its attempts without those whose tag was picked by their result, which have no mix.
        made: makes of all of them.
        attempts: how many they are.
    """
    reads = inquiry.reads
    film = reads.on_film(scope)
    if film.is_empty():
        none = f"No lot was drawn: none of the {counted(attempts, 'attempt')} is on film."
        return reads.attempts(scope.only([])), [none]
    clips, seed = inquiry.options["clips"], inquiry.options["seed"]
    lot = draw(film["made"].to_numpy(), made, attempts, clips, seed)
    ids = film["id"].gather(lot.places.tolist()).to_list()
    said = [
        f"Drawn by lot (seed {seed}) from the {counted(film.height, 'attempt')} on film: "
        f"{counted(lot.makes, 'make')} and {counted(lot.misses, 'miss', 'misses')}, the mix of all "
        f"{counted(attempts, 'attempt')} ({percent(made / attempts, attempts)} made)."
    ]
    if len(ids) < clips:
        said.append(
            f"{counted(len(ids), 'clip')} of the {clips} asked for: there are not enough makes or "
            "misses on film to keep the mix."
        )
    return reads.attempts(scope.only(ids)), said
