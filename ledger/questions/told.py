"""What a question is told beside the attempts, in plain words: for every screen and every option.

The words go by an option's name: an option of that name means the same in every question.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from ledger.questions.wording import NOT_A_TEST, count

if TYPE_CHECKING:
    from ledger.questions.options import Option

_LEFT_OUT = f" ({NOT_A_TEST})."


@dataclass(frozen=True, slots=True)
class Words:
    """How one option is said.

    Attributes:
        label: what it is, in a few words.
        said: the option with its value in place of `{}`.
        values: words for its choices.
        names: the filter whose names of the ledger complete it, or empty.
        part: what parts several of those names, or empty where there is one.
        quiet: whether it is said only where it is not the usual.
        narrows: whether it leaves rows out.
        noun: what it is called in a sentence, where the label does not fit into one.
    """

    label: str
    said: str
    values: Mapping[str, str] = field(default_factory=dict)
    names: str = ""
    part: str = ""
    quiet: bool = False
    narrows: bool = False
    noun: str = ""


_ROWS = {"player-season": "player and season", "league-season": "league and season"}
_ORDERS = {
    "shrunken": "the rate allowing for luck",
    "raw": "the raw rate",
    "low": "the low end of the interval",
    "made": "makes",
    "mean": "points a season",
    "rate": "the rate allowing for luck",
    "attempts-per-season": "attempts a season",
    "long": "long misses",
    "short": "short misses",
    "board-contact": "misses off the backboard",
    "two-shot-trips": "trips of two shots",
    "three-shot-trips": "trips of three shots",
}
_STATES = {
    "adopter": "those who do it",
    "occasional": "those who do it now and then",
    "not": "those who do not",
    "undecided": "those who cannot be called",
    "untagged": "those not watched",
}
_AIMS = {"players": "to settle most players", "share": "for a league's share"}

WORDS: Mapping[str, Words] = MappingProxyType(
    {
        "by": Words("one row for each", "one row for each {}", _ROWS),
        "order": Words("order", "ordered by {}", _ORDERS, noun="the order"),
        "min_attempts": Words(
            "fewest attempts", "{} attempts or more", noun="the fewest attempts", narrows=True
        ),
        "min_tagged": Words(
            "fewest watched attempts",
            "{} watched attempts or more",
            noun="the fewest watched attempts",
            narrows=True,
        ),
        "top": Words("the first N", "the first {}"),
        "state": Words("only rows of", "only {}", _STATES, narrows=True),
        "forecast": Words("forecast of the next season", "forecast of the next season: {}"),
        "declared": Words(
            "a change that was declared",
            "declared: {}",
            names="player",
            part=";",
            noun="a declared change",
        ),
        "show": Words("difference to show, per 100", "to show {} per 100"),
        "list": Words("list", "list {}", names="list", part=";", noun="a list", narrows=True),
        "attempts": Words(
            "attempts a season", "{} attempts a season", noun="the attempts a season"
        ),
        "gain": Words(
            "gains that are assumed, per 100",
            "gain assumed: {} per 100",
            noun="the assumed gain",
        ),
        "level": Words("common make rate", "common make rate {}", noun="a common make rate"),
        "level_weight": Words(
            "weight of a typed common rate", "it weighs {} attempts", quiet=True, noun="its weight"
        ),
        "offensive_rebound": Words(
            "chance of an offensive rebound",
            "offensive rebound {}",
            noun="the chance of an offensive rebound",
        ),
        "per_possession": Words(
            "points a possession", "{} points a possession", noun="the points a possession"
        ),
        "name": Words("trial", "trial {}", names="trial", noun="the trial"),
        "rate": Words("make rate", "make rate {}", noun="a make rate"),
        "budget": Words(
            "attempts to watch at most",
            "at most {} attempts to watch",
            noun="the attempts to watch at most",
            narrows=True,
        ),
        "taggers": Words("who watches", "watching: {}", names="tagger", part=","),
        "minutes": Words("minutes each", "{} minutes each", noun="the minutes each", narrows=True),
        "per_minute": Words("attempts a minute", "{} attempts a minute", noun="attempts a minute"),
        "aim": Words("aim", "{}", _AIMS, noun="the aim"),
        "limit": Words("only the first records", "the first {} records", narrows=True),
        "clips": Words(
            "clips of a cut list", "a cut list of {} clips", noun="the clips of a cut list"
        ),
        "seed": Words(
            "seed of the random draws", "seed {}", quiet=True, noun="the seed of the random draws"
        ),
    }
)


def words_of(option: Option) -> Words:
    """How an option is said; by its name where nothing else is known of it."""
    plain = option.name.replace("_", " ")
    return WORDS.get(option.name, Words(plain, f"{plain} {{}}"))


def value_words(option: Option, value: Any) -> str:
    """A value of an option in plain words, nothing for none."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, int):
        return str(value) if option.name == "seed" else count(value)
    if isinstance(value, list | tuple):
        return "; ".join(str(one) for one in value)
    return words_of(option).values.get(value, str(value))


def told(
    options: Sequence[Option],
    asked: Mapping[str, Any],
    notes: Sequence[str] = (),
    *,
    without: Sequence[str] = (),
) -> list[str]:
    """What a question was told, one thing an item; what is not the usual stands first.

    Args:
        options: of the question.
        asked: as an answer says it, or what is going to be asked.
        notes: of the answer: a season that raised the question is told where it is left out.
        without: names of options that are said elsewhere.
    """
    changed, usual = [], []
    for option in options:
        value = asked.get(option.name, option.default)
        if value is None or option.name in without:
            continue
        words = words_of(option)
        item = words.said.format(value_words(option, value))
        if option.default is not None and value == option.default:
            usual += [] if words.quiet else [item]
        else:
            changed.append(item)
    left_out = [note.removesuffix(_LEFT_OUT) for note in notes if note.endswith(_LEFT_OUT)]
    return [*changed, *usual, *(note[:1].lower() + note[1:] for note in left_out)]
