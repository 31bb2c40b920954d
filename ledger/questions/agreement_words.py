"""The headline and the notes of agreement."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isnan
from typing import TYPE_CHECKING

from ledger.questions.inquiry import practice_note
from ledger.questions.wording import count, counted, in_words, listed, percent, technique_words
from ledger.stats.tag_agreement import LEAST_UNITS, Alpha

if TYPE_CHECKING:
    from ledger.questions.inquiry import Inquiry

# Below two thirds not even tentative conclusions: common practice, from memory.
ENOUGH = 2 / 3
PART_TWICE = "a random tenth"
_OF_MISSES = {"miss_depth": "depth", "miss_side": "side"}


@dataclass(frozen=True, slots=True)
class Told:
    """What the sentence is made of.

    Attributes:
        alphas: agreement of all by field.
        techniques: techniques that were told by those who watched the same.
        watched: watched attempts, and the people who watched them.
        disputed: open attempts by the name of their part.
    """

    alphas: Mapping[str, Alpha]
    techniques: tuple[str, ...]
    watched: tuple[int, int]
    disputed: Mapping[str, int]


def with_limits(figure: float, low: float, high: float) -> str | None:
    """Kappa or alpha with its limits, to two places.

    >>> with_limits(0.731, 0.6, 0.851)
    '0.73 (0.60 to 0.85)'
    """
    if isnan(figure):
        return None
    if isnan(low):
        return f"{_two(figure)} (no limits)"
    return f"{_two(figure)} ({_two(low)} to {_two(high)})"


def _two(figure: float) -> str:
    return f"{figure:.2f}".replace("-", "−")


def headline(inquiry: Inquiry, told: Told) -> str:
    """One sentence: how many were told alike, and what to settle before it is used."""
    technique = told.alphas["technique"]
    attempts, people = told.watched
    if attempts == 0 and not any(a.units for a in told.alphas.values()):
        return _nobody(inquiry)
    if technique.units == 0:
        if told.alphas["miss_depth"].units or told.alphas["miss_side"].units:
            return f"No technique was told by two people; same {_misses(told)}."
        return (
            f"No attempt was watched by two people ({counted(attempts, 'attempt')}, "
            f"{in_words(people)} {'person' if people == 1 else 'people'}): "
            f"have {PART_TWICE} watched twice."
        )
    if technique.units < LEAST_UNITS:
        return (
            f"{count(technique.alike)} of {count(technique.units)} alike: too few to say; "
            f"{LEAST_UNITS - technique.units} more."
        )
    said = f"Same technique in {count(technique.alike)} of {count(technique.units)}"
    if technique.one_category:
        one = technique_words(told.techniques[:1])
        said += f", all {one}: whether they would tell another one alike is not shown"
    elif not isnan(technique.low):
        low, high = _two(technique.low), _two(technique.high)
        said += f" (beyond chance {_two(technique.alpha)}, {low} to {high})"
    misses = _misses(told)
    said += f"{';' if technique.one_category else ','} same {misses}" if misses else ""
    return f"{said}{_settle(told)}."


def _nobody(inquiry: Inquiry) -> str:
    there = inquiry.reads.how_many(inquiry.scope)
    if there == 0:
        return inquiry.nothing_here()
    return f"None of these {inquiry.shots()} is watched."


def _misses(told: Told) -> str:
    parts = []
    for field, word in _OF_MISSES.items():
        found = told.alphas[field]
        if found.units:
            parts.append(f"miss {word} in {count(found.alike)} of {count(found.units)}")
    return listed(parts)


def _settle(told: Told) -> str:
    """What is not told alike enough to be compared."""
    if _poor(told.alphas["technique"]):
        return ": settle what counts as which technique before comparing them"
    poor = [word for field, word in _OF_MISSES.items() if _poor(told.alphas[field])]
    return f": settle {listed(poor)} before comparing misses" if poor else ""


def _poor(found: Alpha) -> bool:
    return found.units >= LEAST_UNITS and not isnan(found.alpha) and found.alpha < ENOUGH


def notes(inquiry: Inquiry, told: Told, *, practice: bool) -> list[str]:
    """How much was watched twice, what agreement is not, and what is open."""
    attempts, people = told.watched
    twice = told.alphas["technique"].units
    said = []
    if attempts:
        part = percent(twice / attempts, attempts)
        said.append(
            f"Watched by two people or more: {count(twice)} of {counted(attempts, 'attempt')} "
            f"({part}), {counted(people, 'person', 'people')} in all. To judge a sitting "
            f"{PART_TWICE} is watched twice."
        )
    if twice:
        said.append(
            "Agreement is not truth: two people can be wrong alike. Tags that settle a dispute are "
            "nobody's own opinion and enter no figure here; nor does the technique of attempts "
            "watched because of their result."
        )
    if any(_poor(a) for a in told.alphas.values()):
        said.append(
            "Less than two thirds of the agreement beyond chance is taken for too little to "
            "compare anything by (common practice)."
        )
    number = told.disputed["disputed"]
    if number:
        them = "it is" if number == 1 else "they are"
        said.append(
            f"{counted(number, 'attempt')} of disputed technique ({them} listed in the part "
            "disputed): type offglass settle ATTEMPT TECHNIQUE."
        )
    number = told.disputed["disputed_misses"]
    if number:
        said.append(
            f"Depth or side of misses told differently {counted(number, 'time')} (part "
            "disputed_misses): left out of misses until somebody settles it."
        )
    if not practice:
        said += practice_note(inquiry.reads.practice(inquiry.scope))
    return said
