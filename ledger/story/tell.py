"""Telling the story: asking what has to be asked, and taking every sentence from an answer."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, Any

from ledger.errors import UseError
from ledger.questions import wording
from ledger.questions.explain import for_coach
from ledger.story import usual
from ledger.story.replies import SOURCES, replies
from ledger.story.story import Method, Reply, Rumour, Story, Told
from ledger.story.taking import filled, stated, watched

if TYPE_CHECKING:
    from ledger.questions.answer import Answer
    from ledger.story.usual import Ask, Beside, Heard

CAUTIONS = (
    "Records of what people did are people's data: keep what is needed, let it be corrected and "
    "taken back, ask a guardian for minors. The local law of the player's country counts.",
    "What a player should change is for the player's own coach and medical staff: a rate, an "
    "interval or a trend is a reason to look, not advice.",
    "A model is not evidence about a player: a rate allowing for luck says what is likely given "
    "his attempts and his league, and has not seen him shoot.",
    "A share of a league is only as good as the choice of who was watched: draw lots, watch them "
    "to the end, and read the notes under every answer.",
)
# Not there without something that was planned: a trial, a list, a name.
_OPTIONAL = frozenset({"player", "candidates", "trial"})
_ALWAYS = ("agreement", "watchlist", "attempts", "sources")


def tell(
    ask: Ask,
    beside: Beside,
    questions: Sequence[str] = (),
    *,
    progress: Callable[[float], None] | None = None,
) -> Story:
    """The story of one cohort.

    Args:
        ask: gives the answer to a question asked with options, over the cohort that is meant; a
            question that is asked twice is asked again, so it should remember.
        beside: what the ledger was told beside its records.
        questions: which answers are shown, in this order; the usual ones unless given.
        progress: is told how far it is, 0..1, after each answer; what it raises ends the telling.

    Raises:
        UseError: for an unknown question, or a cohort that cannot be.
    """
    shown = tuple(questions) or usual.order(beside)
    every = list(dict.fromkeys([*shown, *_five(beside), *SOURCES, *_ALWAYS]))
    found: dict[str, Answer] = {}
    for place, name in enumerate(every, start=1):
        needed = name in questions
        answer = None if needed else _narrowed(ask, beside, name, found.get("uptake"))
        answer = answer or _asked(ask, beside, name, needed=needed)
        if answer is not None:
            found[name] = answer
        if progress is not None:
            progress(place / len(every))
    return _story(found, shown, beside)


def told_rumours(beside: Beside) -> tuple[Rumour, ...]:
    """What raised the question, in sentences."""
    return tuple(Rumour(heard.text, _about(heard)) for heard in beside.rumours)


def replies_alone(ask: Ask, beside: Beside) -> tuple[Reply, ...]:
    """What a staff will ask, without the rest of the story."""
    return replies({name: _certain(ask, beside, name) for name in SOURCES}, beside)


def _story(found: dict[str, Answer], shown: Iterable[str], beside: Beside) -> Story:
    lead = found["uptake"]
    answers = tuple(found[name] for name in shown if name in found)
    return Story(
        rumours=told_rumours(beside),
        question=_question(lead),
        cohort=lead.cohort,
        sentences=tuple(Told(stated(found[name]), name) for name in _five(beside) if name in found),
        answers=answers,
        replies=replies(found, beside),
        data=_data(found),
        cautions=CAUTIONS,
        watch_next=found["watchlist"],
        clips=found["attempts"],
        method=tuple(Method(a.question, a.title, for_coach(a.question)) for a in answers),
        ledger=ledger_words(lead),
    )


def ledger_words(answer: Answer) -> str:
    """The ledger an answer was read from, up to which source and day."""
    facts = answer.ledger
    day = f" of {facts.last_day}" if facts.last_day else ""
    return f"Ledger {facts.name}, up to source {facts.last_source}{day}."


def _five(beside: Beside) -> tuple[str, ...]:
    """The questions whose headlines are the answer in five sentences."""
    worth = "candidates" if beside.lists else "worth"
    return ("uptake", "adopters", "switches", "misses", worth)


def _asked(ask: Ask, beside: Beside, name: str, *, needed: bool) -> Answer | None:
    """An answer; None where only the usual way of asking it is refused."""
    try:
        return ask(name, **usual.needed(name, beside))
    except UseError:
        if needed or name not in _OPTIONAL:
            raise
    return ask(name) if name in SOURCES else None


def _narrowed(ask: Ask, beside: Beside, name: str, lead: Answer | None) -> Answer | None:
    """What to watch next, of the latest season; clips, of the technique studied.

    None for every other question, where the cohort says which, and where those have no rows.
    """
    if lead is None or name not in ("watchlist", "attempts"):
        return None
    if name == "attempts":
        filters = {"technique": lead.asked.get("focus")}
    else:
        years = [(row["start_year"], row["season"]) for row in lead.main.rows()]
        latest = max((year for year, _ in years if year is not None), default=None)
        filters = {"season": sorted({season for year, season in years if year == latest})}
    if not all(filters.values()) or any(key in lead.asked for key in filters):
        return None
    narrow = ask(name, **usual.needed(name, beside), **filters)
    return narrow if narrow.frame.height else None


def _certain(ask: Ask, beside: Beside, name: str) -> Answer:
    answer = _asked(ask, beside, name, needed=False)
    assert answer is not None, "every source of replies can be asked without anything beside"
    return answer


def _about(heard: Heard) -> str:
    said: list[Any] = [f"Season {heard.season}"]
    said += [heard.league] if heard.league else []
    said += [f"naming {heard.player}"] if heard.player else []
    if heard.seen:
        said.append(f"seen on {heard.seen:%Y-%m-%d}{f', {heard.place}' if heard.place else ''}")
    elif heard.place:
        said.append(f"seen: {heard.place}")
    return f"{', '.join(said)}. What raised the question is never its own proof."


def _question(uptake: Answer) -> str:
    focus = uptake.asked.get("focus") or ["board-assisted"]
    words = wording.technique_words([focus] if isinstance(focus, str) else [str(f) for f in focus])
    return (
        f"Who shoots {words}, is it growing, did it help those who changed, and what would it be "
        "worth?"
    )


def _data(found: dict[str, Answer]) -> tuple[Told, ...]:
    """What the figures stand on: records, how many were watched, whether the tags can be trusted.

    A note that several answers share is about the records, not about one of them.
    """
    shared = [n for n in found["adopters"].notes if n in found["uptake"].notes]
    lines = [
        Told(found["sources"].headline, "sources"),
        *(Told(words, "adopters") for words in filled([watched(found["adopters"]), *shared])),
        Told(found["agreement"].headline, "agreement"),
    ]
    return tuple(lines)
