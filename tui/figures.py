"""Any value of an answer as words, and long lists cut short.

What the answers themselves say is written by `ledger.questions.wording` and `layout`; this is for
the columns that have no layout there.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ledger.questions import wording
from ledger.questions.layout import LAYOUTS, STATE_WORDS
from ledger.questions.part_layouts import PART_LAYOUTS

NONE = "–"
# One decimal of a percentage: the details of a row show more than its table.
_DETAILED = 100
# Columns whose values are codes that the tables tell in plain words.
_CODED = frozenset(
    shown.columns[0]
    for layout in (*LAYOUTS.values(), *PART_LAYOUTS.values())
    for shown in layout
    if shown.kind == "state"
)


def cell(value: Any, unit: str = "") -> str:
    """Any figure of an answer by its unit, as plain text.

    >>> cell(0.849, "share"), cell(1180, "attempts"), cell(2024, "year"), cell(None)
    ('84.9 %', '1,180', '2024', '–')
    """
    if value is None:
        return NONE
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
        return str(value) if unit in ("year", "") else wording.count(value)
    if isinstance(value, float):
        return wording.percent(value, _DETAILED) if unit == "share" else f"{value:.4g}"
    return str(value)


def detail(name: str, value: Any, unit: str = "") -> str:
    """A figure or word of the column of that name, codes in the words of the tables.

    >>> detail("direction", "to_focus"), detail("player", "one")
    ('took it up', 'one')
    """
    if name in _CODED and value in STATE_WORDS:
        return STATE_WORDS[value]
    return cell(value, unit)


def listed(names: Sequence[str], most: int = 3) -> str:
    """Names in a row, the last ones counted where there are too many.

    >>> listed(["a", "b", "c", "d", "e"])
    'a, b, c and 2 more'
    """
    if len(names) <= most:
        return wording.listed(names)
    return ", ".join(names[:most]) + f" and {len(names) - most} more"
