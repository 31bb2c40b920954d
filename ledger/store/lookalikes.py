"""Names that may be one person written in two ways: offered with the evidence, never joined."""

from __future__ import annotations

import unicodedata
from collections import defaultdict
from collections.abc import Iterable
from itertools import pairwise
from typing import TYPE_CHECKING

from ledger.store import frames
from ledger.store.names import loose_form, written_form

if TYPE_CHECKING:
    import polars as pl
    from duckdb import DuckDBPyConnection

# An import names so many; `offglass same` lists all of them.
MOST = 5
# Beyond this many names of a league the comparison itself would be felt in an import.
NAMES_MOST = 20_000
# A name cut at a column's width keeps at least this many letters; common practice, no source.
_CUT_FROM = 8
REASONS = {
    "accents": "they differ in accents or marks only",
    "order": "the same words in another order",
    "initials": "one has initials",
    "look": "they look alike in letters of two scripts",
    "cut": "one name is the other cut short",
}


def doubtful(con: DuckDBPyConnection, leagues: pl.DataFrame, names: Iterable[str]) -> list[str]:
    """Warnings about new names that may be names the league already has, at most `MOST`.

    Args:
        con: an open ledger in which the new names already stand.
        leagues: their leagues, column `league_id`.
        names: the new names.
    """
    new = {written_form(name) for name in names}
    if not new or len(new) > NAMES_MOST:
        return []
    found: list[str] = []
    listed = frames.fetch(con, ("commit/identity", "names_of_league"), wanted=leagues)
    for _, group in listed.group_by("league_id", maintain_order=True):
        by_form: dict[str, str] = {}
        people: dict[str, set[int]] = defaultdict(set)
        for _, name, person in group.iter_rows():
            form = written_form(name)
            by_form.setdefault(form, name)
            people[form].add(person)
        if len(by_form) <= NAMES_MOST:
            found += [
                _words(by_form[a], by_form[b], reason)
                for a, b, reason in pairs(by_form, new)
                if not people[a] & people[b]
            ]
    more = len(found) - MOST
    if more > 0:
        return [*found[:MOST], f"{more} more pairs of names may be one player: offglass same"]
    return found


def pairs(forms: Iterable[str], new: set[str] | None = None) -> list[tuple[str, str, str]]:
    """Forms of names that may be one name written in two ways, with the reason.

    Args:
        forms: the forms of one league, as `written_form` gives them.
        new: only pairs with one of these.
    """
    by_form = list(dict.fromkeys(forms))
    new = set(by_form) if new is None else new
    groups: dict[tuple[str, str], list[str]] = defaultdict(list)
    for form in by_form:
        for evidence, key in _keys(form):
            groups[evidence, key].append(form)
    said: set[frozenset[str]] = set()
    found = []
    for (evidence, _), alike in groups.items():
        if len(alike) < 2 or len(alike) > 6:
            continue
        for at, first in enumerate(alike):
            for second in alike[at + 1 :]:
                pair = frozenset((first, second))
                if pair in said or not (first in new or second in new):
                    continue
                if evidence == "initials" and not _initials(first, second):
                    continue
                said.add(pair)
                found.append((first, second, evidence))
    found += _cut(by_form, new, said)
    return found


def _words(first: str, second: str, evidence: str) -> str:
    return (
        f"{first} and {second} may be one player ({REASONS[evidence]}); if so, type: "
        f'offglass same "{first}" "{second}"'
    )


def _keys(form: str) -> list[tuple[str, str]]:
    plain = "".join(c if c.isalnum() or c.isspace() else " " for c in loose_form(form))
    words = plain.split()
    keys = [("accents", " ".join(words)), ("order", " ".join(sorted(words)))]
    if len(words) > 1:
        for family, given in ((words[-1], words[0]), (words[0], words[-1])):
            keys.append(("initials", f"{given[0]} {family}"))
    if not form.isascii():
        keys.append(("look", _look(form)))
    else:
        keys.append(("look", form))
    return keys


def _initials(first: str, second: str) -> bool:
    """Whether one of two names is the other with a given name cut to its first letter."""
    short, long = sorted((first, second), key=len)
    bare = [w.strip(".") for w in short.split()]
    return any(len(w) == 1 for w in bare) and not any(len(w.strip(".")) == 1 for w in long.split())


def _look(form: str) -> str:
    """The name with every letter that looks like a plain one written as that."""
    from confusable_homoglyphs import confusables

    out = []
    for letter in form:
        if letter.isascii():
            out.append(letter)
            continue
        twins = confusables.confusables_data.get(letter, [])
        plain = [
            t["c"] for t in twins if len(t["c"]) == 1 and t["c"].isascii() and t["c"].isalpha()
        ]
        out.append(plain[0] if plain else letter)
    return unicodedata.normalize("NFC", "".join(out)).casefold()


def _cut(
    by_form: list[str], new: set[str], said: set[frozenset[str]]
) -> list[tuple[str, str, str]]:
    found = []
    ordered = sorted(by_form)
    for first, second in pairwise(ordered):
        if (
            len(first) >= _CUT_FROM
            and second.startswith(first)
            and not second[len(first) :].startswith(" ")
            and (first in new or second in new)
            and frozenset((first, second)) not in said
        ):
            found.append((first, second, "cut"))
    return found
