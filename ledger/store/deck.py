"""The deck: answers that were put aside for the slides, each as the question that was asked."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from ledger.errors import UseError
from ledger.store import changes
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand


@dataclass(frozen=True, slots=True)
class Item:
    """One answer of the deck.

    Attributes:
        number: its own, which it keeps however the deck is ordered.
        place: 1 for the first slide, and so on without a gap.
        question: its name in the registry.
        asked: cohort, studied techniques and options, as an answer tells them.
        at_time: when it was put into the deck, UTC.
    """

    number: int
    place: int
    question: str
    asked: Mapping[str, Any]
    at_time: datetime


def items(con: DuckDBPyConnection) -> list[Item]:
    """The deck in its order."""
    rows = con.execute(sql("deck", "items")).fetchall()
    return [
        Item(int(number), place, str(question), json.loads(asked), at_time)
        for place, (number, question, asked, at_time) in enumerate(rows, start=1)
    ]


def add_item(
    con: DuckDBPyConnection, hand: Hand, question: str, asked: Mapping[str, Any]
) -> tuple[int, Item]:
    """Put a question at the end of the deck.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when.
        question: its name.
        asked: in plain JSON types.

    Returns:
        The source that can be taken back, and the item.

    Raises:
        UseError: if it is in the deck already, asked in the same way.
    """
    for there in items(con):
        if there.question == question and dict(there.asked) == dict(asked):
            raise UseError(
                f"{question} is in the deck already, asked in the same way, at place {there.place}"
            )
    source_id = changes.begin(con, hand, "deck", f"{question} put into the deck")
    number = changes.next_id(con, "deck_item")
    last = con.execute(sql("deck", "last_place")).fetchone()
    assert last is not None
    row = {"id": number, "place": int(last[0]) + 1, "question": question}
    text = json.dumps(dict(asked), ensure_ascii=False)
    con.execute(sql("deck", "add"), row | {"asked": text, "at_time": hand.clock()})
    changes.added(con, hand, source_id, "deck_item", number)
    return source_id, _item(con, number)


def drop_item(con: DuckDBPyConnection, hand: Hand, number: int) -> tuple[int, Item]:
    """Take an answer out of the deck.

    Returns:
        The source that can be taken back, and the item as it was.

    Raises:
        UseError: if there is none of that number.
    """
    gone = _item(con, number)
    before = changes.held(con, "deck_item", {"id": number})
    source_id = changes.begin(con, hand, "deck", f"{gone.question} taken out of the deck")
    con.execute(sql("deck", "drop"), {"id": number})
    changes.changed(con, hand, source_id, "deck_item", {"id": number}, before)
    return source_id, gone


def move_item(
    con: DuckDBPyConnection, hand: Hand, number: int, place: int
) -> tuple[int | None, Item]:
    """Put an answer of the deck at another place; the others close up.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when.
        number: of the item.
        place: 1 for the first; beyond the last is the last.

    Returns:
        The source that can be taken back, None where it was there already, and the item.

    Raises:
        UseError: if there is none of that number, or no such place.
    """
    moved = _item(con, number)
    there = {int(one): int(at) for one, at in con.execute(sql("deck", "places")).fetchall()}
    if place < 1:
        raise UseError(f"the first place of the deck is 1, not {place}")
    place = min(place, len(there))
    if place == moved.place:
        return None, moved
    order = [one for one in there if one != number]
    order.insert(place - 1, number)
    source_id = changes.begin(con, hand, "deck", f"{moved.question} moved to place {place}")
    for at, one in enumerate(order, start=1):
        if there[one] != at:
            changes.set_field(con, hand, source_id, "deck_item", one, "place", at)
    return source_id, _item(con, number)


def _item(con: DuckDBPyConnection, number: int) -> Item:
    for item in items(con):
        if item.number == number:
            return item
    raise UseError(f"the deck has no item {number}: offglass deck --show shows them")
