"""Bare numbers in a column of kinds of shots: what a shot is worth, or which throw of its trip.

A 2 may be a two-pointer, and the second throw of a trip. It is a kind of shot only where somebody
said so, where words of the same column prove what the column holds, or where another column counts
the throws; a 1, which is no kind, speaks against it.
"""

from __future__ import annotations

from collections.abc import Iterable

from ledger.errors import RefusedInput
from ledger.intake import findings
from ledger.intake.words import Words, normal_word

FIELD = "shot"
_WORTH = (("1", "free_throw"), ("2", "two"), ("3", "three"))
_KINDS = tuple((FIELD, text, value) for text, value in _WORTH[1:])


def known(
    cells: Iterable[str], words: Words, column: str, name: str, *, counted: bool, out: str
) -> Words:
    """The word table for one column of kinds of shots.

    Args:
        cells: its different filled cells.
        words: the word table in use; what somebody said of the numbers stands in it.
        column: the column's name as written.
        name: the file's name for messages.
        counted: another column of the file tells which throw of its trip a row is.
        out: what to do where they count throws.

    Raises:
        RefusedInput: if nothing shows that the numbers are kinds of shots.
    """
    seen = [normal_word(cell) for cell in cells]
    open_ = sorted({text for text in seen if text.isdecimal() and words.look(FIELD, text) is None})
    if not open_:
        return words
    proved = any(words.look(FIELD, text) is not None for text in seen)
    if "1" not in open_ and (proved or counted):
        return words.with_words(_KINDS)
    if proved:
        # Its words are kinds: a number among them is a fault of its own row.
        return words
    # What is said of one of them tells what the others are.
    text, value = next(((t, v) for t, v in _WORTH if t in open_), (open_[0], "free_throw"))
    listed = ", ".join(findings.show(one) for one in open_[:6])
    kind = "number" if len(open_) == 1 else "numbers"
    raise RefusedInput(
        f"{name}: column {findings.show(column)} holds the {kind} {listed}: kinds of shots, or"
        f" throws of a trip counted? Nothing stored; {out} if they count,"
        f" --word {FIELD}:{findings.show(text)}={value} if they are kinds"
    )
