"""Which questions are told, in which order, and what each has to be told before it can be asked."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from datetime import date

    from ledger.questions.answer import Answer

Ask = Callable[..., "Answer"]

# From what was heard to what may be done: is it so, who, how good, did it help, at what price, for
# whom; then what the figures stand on, and what to watch.
ORDER = (
    "uptake",
    "adopters",
    "ranking",
    "switches",
    "player",
    "misses",
    "candidates",
    "worth",
    "trial",
    "agreement",
    "watchlist",
)
# About as much as one person watches in an evening.
BUDGET = 200
CLIPS = 20


@dataclass(frozen=True, slots=True)
class Heard:
    """A rumour as it was written down.

    Attributes:
        text: the rumour.
        season: the season it is about.
        league: its league, or None.
        player: whom it names, or None.
        seen: the day it was heard or read, or None.
        place: where, or None.
    """

    text: str
    season: str
    league: str | None = None
    player: str | None = None
    seen: date | None = None
    place: str | None = None


@dataclass(frozen=True, slots=True)
class Beside:
    """What a ledger was told beside its records, as far as questions are asked with it.

    Attributes:
        rumours: what raised the question.
        lists: names of the shortlists.
        trials: names of the trials, the last planned last.
        rules: technique to what the rules say about it, those that were written down.
    """

    rumours: tuple[Heard, ...] = ()
    lists: tuple[str, ...] = ()
    trials: tuple[str, ...] = ()
    rules: tuple[tuple[str, str], ...] = ()


def order(beside: Beside) -> tuple[str, ...]:
    """The questions in the order they are told, without those that nothing was planned for."""
    # What a gain would be worth is told of players on a list; a trip's worth stands in for it.
    without = {"worth" if beside.lists else "candidates"}
    if not beside.trials:
        without.add("trial")
    if _named(beside) is None:
        without.add("player")
    return tuple(name for name in ORDER if name not in without)


def needed(question: str, beside: Beside) -> Mapping[str, Any]:
    """What a question is asked with when nobody says more: its options, by name."""
    if question == "candidates" and beside.lists:
        return {"list": list(beside.lists)}
    if question == "trial" and beside.trials:
        return {"name": beside.trials[-1]}
    if question == "watchlist":
        return {"budget": BUDGET}
    if question == "attempts":
        return {"clips": CLIPS}
    heard = _named(beside)
    if question == "player" and heard is not None:
        league = {"league": heard.league} if heard.league else {}
        return {"player": heard.player, **league}
    return {}


def _named(beside: Beside) -> Heard | None:
    return next((heard for heard in beside.rumours if heard.player), None)
