"""Figures and techniques in plain words: how every answer, screen and picture says them.

Digits follow the number of attempts behind a figure: below 10 the counts themselves, from 10 whole
percent, from 100 one decimal; limits have the digits of their figure.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

NOT_A_TEST = "this season suggested the question: not a test"
_NUMBER_WORDS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)
_FEW = 10
_MANY = 100
# How a coach says it: after "he shoots", "they shoot", "free throws".
_TECHNIQUE_WORDS = {
    "board": "off the backboard",
    "board-assisted": "off the backboard",
    "underhand": "underhand",
    "straight": "straight",
    "other": "in another way",
}
_SHOT_WORDS = {
    "free_throw": ("free throw", "free throws"),
    "two": ("two", "twos"),
    "three": ("three", "threes"),
}


def count(number: int) -> str:
    """A whole number with its thousands parted.

    >>> count(1180)
    '1,180'
    """
    return f"{number:,}"


def counted(number: int, one: str, many: str | None = None) -> str:
    """A number with its noun.

    >>> counted(1, "player"), counted(1180, "free throw")
    ('1 player', '1,180 free throws')
    """
    return f"{count(number)} {one if number == 1 else many or one + 's'}"


def in_words(number: int) -> str:
    """A small number as a word, a larger one in digits.

    >>> in_words(5), in_words(94)
    ('five', '94')
    """
    return _NUMBER_WORDS[number] if 0 <= number < len(_NUMBER_WORDS) else count(number)


def percent(share: float, attempts: float) -> str:
    """A share as a percentage with the digits that so many attempts allow.

    A share above 0 is never shown as 0, one below 1 never as 100.

    >>> percent(0.8488, 103), percent(0.5, 24), percent(0.001, 24)
    ('84.9 %', '50 %', 'under 1 %')
    """
    places = _places(attempts)
    step = 1.0 if places == 0 else 0.1
    shown = f"{100.0 * share:.{places}f}"
    if share > 0 and float(shown) == 0:
        return f"under {step:g} %"
    if share < 1 and float(shown) == 100:
        return f"over {100 - step:g} %"
    return f"{shown} %"


def rate(share: float, attempts: int) -> str:
    """A rate or share in words: "k of n" below 10 attempts, else a percentage.

    Args:
        share: 0 to 1.
        attempts: the attempts behind it, 100 where a rule of digits does not apply.

    >>> rate(0.8, 5), rate(0.8488, 103)
    ('4 of 5', '84.9 %')
    """
    if attempts < _FEW:
        made = share * attempts
        # A rate that was drawn to a common level is no count any more.
        if abs(made - round(made)) < 1e-6:
            return f"{round(made)} of {attempts}"
    return percent(share, attempts)


def rate_with_interval(share: float, low: float, high: float, attempts: int) -> str:
    """A rate with its limits in the same digits.

    >>> rate_with_interval(0.849, 0.792, 0.896, 103)
    '84.9 % (79.2 to 89.6)'
    """
    figure = rate(share, attempts)
    if not figure.endswith("%"):
        return figure
    return f"{figure} ({limits(low, high, attempts)})"


def limits(low: float, high: float, attempts: float) -> str:
    """Two limits in percent without the sign, with the digits of their figure.

    >>> limits(0.792, 0.896, 103)
    '79.2 to 89.6'
    """
    places = _places(attempts)
    return f"{100.0 * low:.{places}f} to {100.0 * high:.{places}f}"


def per_hundred(difference: float, low: float, high: float) -> str:
    """A difference of rates with its limits, in makes per 100.

    >>> per_hundred(0.143, 0.031, 0.255), per_hundred(-0.02, -0.1, 0.06)
    ('+14 (+3 to +26)', '−2 (−10 to +6)')
    """
    return f"{signed(difference)} ({signed(low)} to {signed(high)})"


def signed(share: float) -> str:
    """A difference in whole makes per 100 with its sign."""
    points = round(100.0 * share)
    return f"−{-points}" if points < 0 else f"+{points}" if points else "0"


def amount(figure: float, low: float | None = None, high: float | None = None) -> str:
    """A figure that is no share, with its limits where it has any: small ones with decimals.

    >>> amount(9.9, -16.6, 28.0), amount(1.274, 1.15, 1.36), amount(5.04, 5.0, 5.1)
    ('10 (−17 to 28)', '1.27 (1.15 to 1.36)', '5.0 (5.0 to 5.1)')
    """
    ends = [figure, *(end for end in (low, high) if end is not None)]
    largest = max(abs(end) for end in ends)
    places = 0 if largest >= 20 else 1 if largest >= 5 else 2
    shown = [f"{end:.{places}f}".replace("-", "−") for end in ends]
    shown = [text.removeprefix("−") if not text.strip("−0.") else text for text in shown]
    return f"{shown[0]} ({shown[1]} to {shown[2]})" if len(shown) == 3 else shown[0]


def shown_share(share: float) -> str:
    """A share as somebody gave it, with no more digits than it needs.

    >>> shown_share(0.12), shown_share(0.055)
    ('12 %', '5.5 %')
    """
    return f"{round(100 * share, 2):g} %"


def between(low: float, high: float) -> str:
    """Bounds in whole percent.

    >>> between(0.03, 0.71)
    '3 to 71 %'
    """
    return f"{100.0 * low:.0f} to {100.0 * high:.0f} %"


def by_luck(p: float) -> str:
    """How often luck alone does as much, for a test of groups.

    >>> by_luck(0.144), by_luck(0.0021), by_luck(0.0004), by_luck(0.61)
    ('about once in 7', 'about once in 480', 'less than once in 1,000', 'more often than not')
    """
    if p < 0.001:
        return "less than once in 1,000"
    if p >= 0.5:
        return "more often than not"
    times = 1.0 / p
    return f"about once in {round(times, -1) if times >= 100 else round(times):.0f}"


def listed(words: Sequence[str], last: str = "and") -> str:
    """Words in a row.

    >>> listed(["a", "b", "c"])
    'a, b and c'
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def technique_words(names: Iterable[str]) -> str:
    """Techniques as they stand after "shoots".

    >>> technique_words(["board-assisted"]), technique_words(["underhand", "hook"])
    ('off the backboard', 'underhand or by “hook”')
    """
    words: list[str] = []
    for name in names:
        said = _TECHNIQUE_WORDS.get(name, f"by “{name}”")
        if said not in words:
            words.append(said)
    return listed(words, "or")


def shot_words(shots: Sequence[str], number: int | None = None) -> str:
    """What is shot, "free throws" or in the singular for one; several kinds are "attempts".

    >>> shot_words(["free_throw"]), shot_words(["two", "three"], 1)
    ('free throws', 'attempt')
    """
    one, many = _SHOT_WORDS[shots[0]] if len(shots) == 1 else ("attempt", "attempts")
    return one if number == 1 else many


def clock(seconds: float) -> str:
    """Time left of a period, in minutes and seconds.

    >>> clock(277.0), clock(43.5)
    ('4:37', '0:43.5')
    """
    minutes, rest = divmod(round(seconds * 10), 600)
    return f"{minutes}:{rest // 10:02d}" + (f".{rest % 10}" if rest % 10 else "")


def film_place(seconds: float) -> str:
    """A place on a film, from its beginning.

    >>> film_place(754.4), film_place(3754.0)
    ('12:34', '1:02:34')
    """
    hours, rest = divmod(round(seconds), 3600)
    minutes, left = divmod(rest, 60)
    return f"{hours}:{minutes:02d}:{left:02d}" if hours else f"{minutes}:{left:02d}"


def capital(sentence: str) -> str:
    """The sentence with its first letter large."""
    return sentence[:1].upper() + sentence[1:]


def _places(attempts: float) -> int:
    return 1 if attempts >= _MANY else 0
