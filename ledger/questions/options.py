"""Options of questions: what they take, and values read from words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf, isfinite
from typing import Any

from ledger.errors import UseError
from ledger.store.names import did_you_mean

_YES = ("yes", "true", "on", "1")
_NO = ("no", "false", "off", "0")


@dataclass(frozen=True, slots=True)
class Option:
    """One option of a question.

    Attributes:
        name: as in Python; on the command line with dashes.
        type: str, int, float or bool.
        default: its usual value, or None.
        choices: the words it takes, or empty.
        description: one sentence.
        least: the smallest number it takes.
        most: the largest.
        many: whether it takes several words, which are read as a list.
    """

    name: str
    type: type
    default: Any
    choices: tuple[str, ...] = ()
    description: str = ""
    least: float | None = None
    most: float | None = None
    many: bool = False

    def read(self, value: Any) -> Any:
        """A value as a person gave it, in the option's own type.

        Raises:
            UseError: if it cannot be one.
        """
        if value is None:
            return self.default
        if self.many:
            words = (value,) if isinstance(value, str) else tuple(value)
            return [" ".join(str(word).split()) for word in words] or self.default
        if self.choices:
            return self._choice(str(value))
        if self.type is bool:
            return self._flag(value)
        if self.type is str:
            return str(value)
        return self._number(value)

    @property
    def flag(self) -> str:
        """As typed on the command line."""
        return "--" + self.name.replace("_", "-")

    def _choice(self, value: str) -> str:
        word = value.strip().casefold().replace("_", "-").replace(" ", "-")
        if word not in self.choices:
            raise UseError(f"{self.flag} takes {', '.join(self.choices)}, not {value!r}")
        return word

    def _flag(self, value: Any) -> bool:
        word = str(value).strip().casefold()
        if word not in (*_YES, *_NO):
            raise UseError(f"{self.flag} takes yes or no, not {value!r}")
        return word in _YES

    def _number(self, value: Any) -> Any:
        kind = "a whole number" if self.type is int else "a number"
        try:
            number = self.type(value)
            exact = not isinstance(value, bool) and (self.type is float or number == float(value))
        except (TypeError, ValueError, OverflowError):
            exact, number = False, 0
        least = -inf if self.least is None else self.least
        most = inf if self.most is None else self.most
        if not exact or not isfinite(number) or not least <= number <= most:
            room = "" if self.least is None else f" from {self.least:g}"
            room += "" if self.most is None else f" to {self.most:g}"
            raise UseError(f"{self.flag} takes {kind}{room}, not {value!r}")
        return number


def read_options(
    question: str, options: tuple[Option, ...], given: Mapping[str, Any]
) -> dict[str, Any]:
    """Every option of a question with its value.

    Raises:
        UseError: for an option the question does not have, or a value it does not take.
    """
    known = {option.name: option for option in options}
    for name in given:
        if name.replace("-", "_") not in known:
            near = did_you_mean(name, list(known)) if known else ": it takes none"
            raise UseError(
                f"{question} has no option {name!r}{near or ': it takes ' + ', '.join(known)}"
            )
    values = {name.replace("-", "_"): value for name, value in given.items()}
    return {name: option.read(values.get(name)) for name, option in known.items()}
