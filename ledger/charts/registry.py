"""Which question is drawn by what: an answer in, an Altair chart out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from importlib import import_module
from typing import Any

from ledger.charts.theme import register, size_of, theme_of
from ledger.errors import UseError
from ledger.questions.answer import Answer

# The module that draws a question; each has `build(answer, theme, size)`.
BUILDERS = {
    "ranking": "ledger.charts.ranking",
    "adopters": "ledger.charts.adopters",
    "uptake": "ledger.charts.uptake",
    "switches": "ledger.charts.switches",
    "player": "ledger.charts.player",
    "candidates": "ledger.charts.candidates",
    "trial": "ledger.charts.trial",
    "worth": "ledger.charts.worth",
    "agreement": "ledger.charts.agreement",
    "misses": "ledger.charts.misses",
    "watchlist": "ledger.charts.watchlist",
    "attempts": "ledger.charts.attempts",
    "sources": "ledger.charts.sources",
}
# In a document these stand as rows: they are worked through, not looked at.
_ROWS = frozenset({"watchlist", "attempts", "sources"})
# Of a hundred thousand records the picture looks at their sums only.
_UNSEEN = frozenset({"attempts"})
# Pictures whose colours stand for names.
_COLOURED = frozenset({"uptake"})


def drawable(answer: Answer) -> Answer:
    """The answer without rows that its picture does not look at.

    Raises:
        UseError: if the question has no chart.
    """
    if answer.question not in BUILDERS:
        raise UseError(f"{answer.question} has no chart: use its rows")
    if answer.question not in _UNSEEN:
        return answer
    return replace(answer, main=replace(answer.main, frame=answer.frame.head(0)))


def pictured(answer: Answer) -> bool:
    """Whether a slide or a page shows an answer as a picture: where it has rows to draw."""
    return answer.question not in _ROWS and answer.frame.height > 0


def draw(
    answer: Answer,
    *,
    theme: str = "light",
    size: str = "wide",
    names: Sequence[str] | None = None,
) -> Any:
    """The chart of an answer.

    Args:
        answer: complete; nothing is computed here.
        theme: light or dark.
        size: wide (16:9, for slides), square or tall (for documents).
        names: all leagues (or teams) of the ledger, in an order that only grows at its end; with
            them a league keeps its colour in every picture, however the cohort is narrowed.

    Returns:
        An Altair chart that carries its theme, its data and its size.

    Raises:
        UseError: if the question has no chart, or theme or size is unknown.
    """
    answer = drawable(answer)
    looks, room = theme_of(theme), size_of(size)
    register()
    builder = import_module(BUILDERS[answer.question])
    if answer.question in _COLOURED:
        return builder.build(answer, looks, room, names=names)
    return builder.build(answer, looks, room)
