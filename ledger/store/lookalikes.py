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

MOST = 20
# Beyond this many names of a league the comparison itself would be felt in an import.
NAMES_MOST = 20_000
# A name cut at a column's width keeps at least this many letters; common practice, no source.
_CUT_FROM = 8


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
        for name in group["name"].to_list():
            by_form.setdefault(written_form(name), name)
        if len(by_form) <= NAMES_MOST:
            found += _pairs(by_form, new)
    more = len(found) - MOST
    return found[:MOST] + ([f"{more} more pairs of names may be one player"] if more > 0 else [])


def _pairs(by_form: dict[str, str], new: set[str]) -> list[str]:
    groups: dict[tuple[str, str], list[str]] = defaultdict(list)
    for form in by_form:
        for evidence, key in _keys(form):
            groups[evidence, key].append(form)
    said: set[frozenset[str]] = set()
    found = []
    for (evidence, _), forms in groups.items():
        if len(forms) < 2 or len(forms) > 6:
            continue
        for at, first in enumerate(forms):
            for second in forms[at + 1 :]:
                pair = frozenset((first, second))
                if pair in said or not (first in new or second in new):
                    continue
                if evidence == "initials" and not _initials(first, second):
                    continue
                said.add(pair)
                found.append(_words(by_form[first], by_form[second], evidence))
    found += _cut(by_form, new, said)
    return found


def _words(first: str, second: str, evidence: str) -> str:
    reason = {
        "accents": "they differ in accents or marks only",
        "order": "the same words in another order",
        "initials": "one has initials",
        "look": "they look alike in letters of two scripts",
    }[evidence]
    return f"{first} and {second} may be one player ({reason}); if so, type: offglass same"


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


def _cut(by_form: dict[str, str], new: set[str], said: set[frozenset[str]]) -> list[str]:
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
            found.append(
                f"{by_form[first]} and {by_form[second]} may be one player "
                "(one name is the other cut short); if so, type: offglass same"
            )
    return found
