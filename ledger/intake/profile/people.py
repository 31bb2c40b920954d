"""Names as they are written: family first, a shirt number beside them."""

from __future__ import annotations

import re

import polars as pl

from ledger.intake.cells import different
from ledger.intake.profile.filling import fill
from ledger.intake.profile.format import Written
from ledger.intake.profile.work import Work

_MARK = r"(?:#|[Nn][or]\.? ?)?"
_FRONT = re.compile(rf"^\(?{_MARK}(\d{{1,3}})\)?(?: ?[,.:;\-–—] ?| +|$)(.*)$", re.DOTALL)
# A run of blanks is tried from its first one only: a cell of thousands must not take seconds.
_BACK = re.compile(
    rf"^(.*?)(?: ?, ?| ?[-–—] ?|(?<! ) +|(?=[(#]))\(?{_MARK}(\d{{1,3}})\)?$", re.DOTALL
)


def put_right(work: Work, name: str, said: Written) -> None:
    """Write the names of a field given name first, and put a shirt number where it belongs."""
    column = f"={name}"
    if column not in work.frame.columns:
        return
    cells = work.frame[column]
    uniques = different(cells)
    parts = {cell: split_number(cell, said.number) for cell in uniques}
    ordered = {cell: in_order(rest, said.order) for cell, (rest, _) in parts.items()}
    work.frame = work.frame.with_columns(_spread(cells, ordered).alias(column))
    if said.number != "none":
        fill(work, "number", _spread(cells, {cell: number for cell, (_, number) in parts.items()}))


def split_number(text: str, where: str) -> tuple[str, str]:
    """A name without the shirt number beside it, and the number, blank where there is none.

    A player who is only a number keeps it as his name.

    >>> split_number("12, K. Ott", "front"), split_number("Ott (7)", "back")
    (('K. Ott', '12'), ('Ott', '7'))
    >>> split_number("#32", "front")
    ('#32', '32')
    """
    cell = text.strip()
    if where == "front" and (match := _FRONT.match(cell)) is not None:
        return match[2].strip() or cell, match[1]
    if where == "back" and (match := _BACK.match(cell)) is not None:
        return match[1].strip() or cell, match[2]
    return cell, ""


def in_order(text: str, order: str) -> str:
    """A name given name first.

    Without a comma the family name is the words in capitals at the front, else the first word.

    >>> in_order("Ott, K.", "family, given"), in_order("VAN OTT Kilo", "family given")
    ('K. Ott', 'Kilo VAN OTT')
    """
    if order == "family, given":
        family, comma, given = text.partition(",")
        return f"{given.strip()} {family.strip()}".strip() if comma else text.strip()
    if order == "family given":
        words = text.split()
        capitals = 0
        while capitals < len(words) and _in_capitals(words[capitals]):
            capitals += 1
        many = capitals if 0 < capitals < len(words) else 1
        return " ".join((*words[many:], *words[:many]))
    return text.strip()


def _in_capitals(word: str) -> bool:
    return sum(letter.isalpha() for letter in word) > 1 and word.isupper()


def _spread(cells: pl.Series, meant: dict[str, str]) -> pl.Series:
    if not meant:
        return cells
    return cells.replace_strict(
        list(meant), list(meant.values()), default="", return_dtype=pl.String
    )
