"""Names that belong to nobody: nonsense syllables put together by a seed.

The syllables are fixed, so every name that can come out is known beforehand: the whole pool was
compared once with some 120,000 given names, family names and places of 90 languages, and the few
that agreed were taken out.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

import numpy as np

_GIVEN = (
    "Vru Ozk Ilv Teb Quo Zef Drun Kesk Plo Yurb Obr Skel Graum Wimb Eph Hask Nolg Jaff Brev Umt",
    "nik ado ul emar oth issel iv ume ak orin ey ast urro ebbo",
)
_FAMILY = (
    "Brask Tolv Quem Dren Skorb Vask Helf Urzk Plint Zagr Wurt Kelb Fosp Nelz Grelv Ulst Mork Jund"
    " Pesk Hruv Olb Tind Crav Sless",
    "ano ivar ett oldi umen arv enkul osh irre aduk ell ontu isk eva ormun ax",
)
_TEAM = (
    "Skol Bram Vest Orzl Quen Tarv Drus Holk Fenn Wrag Klym Osp Zell Murd Pant Gorb Lusk Hadv Ymb"
    " Nask",
    "omer vund holt ery ung umere oby ask ith ost",
)
# Every one of them exists in Windows-1252, in which one season of the scenario is written.
_ACCENTS = {"o": "ö", "e": "é", "a": "å", "n": "ñ", "s": "š", "u": "ü"}


def _pool(syllables: tuple[str, str]) -> list[str]:
    return [first + last for first in syllables[0].split() for last in syllables[1].split()]


def fold(name: str) -> str:
    """The name without accents and capitals: two players never differ in those alone."""
    plain = unicodedata.normalize("NFKD", name)
    return "".join(c for c in plain if not unicodedata.combining(c)).casefold()


def team_names(count: int, rng: np.random.Generator, taken: Iterable[str] = ()) -> list[str]:
    """`count` team names, none of them in `taken`."""
    left = sorted(set(_pool(_TEAM)) - set(taken))
    return [left[i] for i in rng.permutation(len(left))[:count].tolist()]


def player_names(count: int, rng: np.random.Generator) -> list[str]:
    """`count` different player names.

    In every hundred about eight have an accent, four a hyphen, four an apostrophe and one a comma.
    """
    given, family = _pool(_GIVEN), _pool(_FAMILY)
    picks = rng.permutation(len(given) * len(family))[: 2 * count].tolist()
    seen: set[str] = set()
    names: list[str] = []
    for place in picks:
        number = len(names)
        first, last = given[place // len(family)], family[place % len(family)]
        name = _dress(first, last, family[(place * 7 + 3) % len(family)], number % 100)
        if fold(name) not in seen:
            seen.add(fold(name))
            names.append(name)
        if len(names) == count:
            break
    return names


def _dress(first: str, last: str, other: str, turn: int) -> str:
    """The name as it is written; `turn` 0..99 decides who gets an unusual one."""
    if turn % 12 == 3:
        place = next((i for i, c in enumerate(last) if i and c in _ACCENTS), None)
        if place is not None:
            last = last[:place] + _ACCENTS[last[place]] + last[place + 1 :]
    elif turn % 25 == 6:
        last = f"{last}-{other}"
    elif turn % 25 == 10:
        last = f"T'{last}"
    elif turn == 17:
        last = f"{last}, jun."
    return f"{first} {last}"
