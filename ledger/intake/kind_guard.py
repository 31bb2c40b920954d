"""Is this a file of single attempts at all?

`--as` is never inferred, but a box score read as attempts would be silently wrong, so such a
file is refused whole. The rule: a column of counts, pairs or percentages beside or in `made`
shows that a row is no single attempt. Only where words such as yes or missed prove that `made`
means one result are a few stray numbers junk, rejected row by row.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from ledger.errors import RefusedInput
from ledger.intake import findings
from ledger.intake.mapping import count_columns, header_form
from ledger.intake.words import Words, normal_word

_COUNT = re.compile(r"^\+?\d+$")
_PAIR = re.compile(r"^\d+\s*(?:-|–|/|\bof\b|\bout of\b|:)\s*\d+$", re.IGNORECASE)
_PERCENT = re.compile(r"^[+-]?(?:\d*[.,])?\d*\s*%$|^[+-]?\d*[.,]\d+$")
# What `ask attempts --csv` writes and no other file: the ledger's number, and where it came from.
_OWN_LIST = frozenset(["attempt", "source", "sourceline"])
_ZERO_OR_ONE = re.compile(r"^[+-]?[01](?:[.,]0+)?$")


@dataclass(slots=True)
class _Seen:
    """How many cells of `made` read like what, and one example of each."""

    words: int = 0
    counts: int = 0
    pairs: int = 0
    percents: int = 0
    total: int = 0
    example: str = ""

    @property
    def other(self) -> int:
        return self.counts + self.pairs + self.percents


def refuse_own_list(headers: Sequence[str], name: str) -> None:
    """Refuse this program's own list of attempts as attempts: they would count twice.

    Raises:
        RefusedInput: naming what the list is good for.
    """
    if {header_form(text) for text in headers} >= _OWN_LIST:
        raise RefusedInput(
            f"{name}: this is a list of offglass ask attempts, and its attempts are in that ledger"
            " already; nothing stored; type --as tags to bring in what was filled in, or offglass"
            " export to take records to another ledger"
        )


def check(
    made_cells: Sequence[tuple[str, int]], headers: Sequence[str], words: Words, name: str
) -> None:
    """Refuse a file of counts or percentages that came as attempts.

    Args:
        made_cells: the different filled cells of `made` with their number of rows.
        headers: all column names as written.
        words: the word table in use.
        name: the file's name for messages.

    Raises:
        RefusedInput: naming `--as box`, or saying that percentages are no attempts.
    """
    counted = count_columns(headers)
    if counted:
        raise RefusedInput(
            f"{name}: a column {findings.show(counted[0])} beside made: these are counts, not"
            " single attempts; nothing stored; type --as box (or --as totals)"
        )
    seen = _look(made_cells, words)
    # Words prove single results; a few numbers among them are junk of single rows.
    if not seen.other or (seen.words and 2 * seen.other <= seen.total):
        return
    if seen.percents >= max(1, seen.pairs):
        raise RefusedInput(
            f"{name}: made holds percentages ({seen.example}); they are no attempts and cannot be"
            " imported; find the makes and attempts behind them"
        )
    what = "pairs of makes and attempts" if seen.pairs else "counts above 1"
    raise RefusedInput(
        f"{name}: made holds {what} ({seen.example}), not the result of one attempt; nothing"
        " stored; type --as box if the file has makes and attempts"
    )


def is_pair(text: str) -> bool:
    """Whether the text reads like makes and attempts in one cell, such as `7-9` or `7 of 9`."""
    return _PAIR.match(text.strip()) is not None


def _look(made_cells: Sequence[tuple[str, int]], words: Words) -> _Seen:
    seen = _Seen()
    kinds: dict[str, str] = {}
    for cell, rows in made_cells:
        text = cell.strip()
        seen.total += rows
        if words.look("made", text) is not None:
            # The digits 0 and 1 may be counts too: they prove nothing.
            if normal_word(text) not in ("0", "1"):
                seen.words += rows
        elif _PAIR.match(text):
            seen.pairs += rows
            kinds.setdefault("pair", text)
        elif _PERCENT.match(text) and not _ZERO_OR_ONE.match(text):
            seen.percents += rows
            kinds.setdefault("percent", text)
        elif _COUNT.match(text) and int(text) > 1:
            seen.counts += rows
            kinds.setdefault("count", text)
    order = (
        ("percent", "pair", "count") if seen.percents >= max(1, seen.pairs) else ("pair", "count")
    )
    example = next((kinds[kind] for kind in order if kind in kinds), "")
    seen.example = findings.show(example)
    return seen
