from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from ledger.errors import UseError
from ledger.store import changes
from ledger.store.check import check
from ledger.store.ledger_file import LedgerFile
from ledger.store.lots import draw_lot
from ledger.store.registers import add_rumour, add_technique, add_word
from ledger.store.shortlists import list_add, list_drop
from ledger.store.undo import bring_back, take_back


def _change(ledger: LedgerFile, deed: Any, *args: Any, **more: Any) -> Any:
    with ledger.changing("a test") as con:
        return deed(con, ledger, *args, **more)


def _ask(ledger: LedgerFile, statement: str) -> list[tuple[Any, ...]]:
    with ledger.reading() as con:
        return con.execute(statement).fetchall()


def _last(ledger: LedgerFile) -> int:
    return int(_ask(ledger, "SELECT max(id) FROM source")[0][0])


def _all(ledger: LedgerFile, *tables: str) -> list[list[tuple[Any, ...]]]:
    return [_ask(ledger, f"SELECT * FROM {t} ORDER BY ALL") for t in tables]


def _rumour(ledger: LedgerFile) -> None:
    _change(
        ledger, add_rumour, "one shoots off the glass", "2024-25", league="halma league",
        player="osell tarn", seen=date(2025, 1, 2), where="a forum",
    )  # fmt: skip


def _lot(ledger: LedgerFile) -> None:
    _change(ledger, draw_lot, "Eyes", "halma league", "2024/25", 4, 7)


def _technique(ledger: LedgerFile) -> None:
    _change(ledger, add_technique, "hook", uses_board=True, groups=["odd"])


def _word(ledger: LedgerFile) -> None:
    _change(ledger, add_word, "technique", "glassy", "board")


def _list(ledger: LedgerFile) -> None:
    _change(ledger, list_add, "hands", ["Plaa", "Osell Tarn"], note="tall")


@pytest.mark.parametrize(
    ("deed", "kind", "tables"),
    [
        (_rumour, "rumour", ("rumour",)),
        (_lot, "lot", ("lot", "lot_player")),
        (_technique, "technique", ("technique",)),
        (_word, "word", ("word", "tag", "agreed")),
        (_list, "list", ("shortlist", "shortlist_entry")),
    ],
)
def test_a_change_is_a_source_that_goes_and_comes_back_as_it_was(
    ledger: LedgerFile, deed: Any, kind: str, tables: tuple[str, ...]
) -> None:
    before = _all(ledger, *tables)

    deed(ledger)
    after = _all(ledger, *tables)
    source = _last(ledger)
    said = _change(ledger, take_back, source)
    gone = _all(ledger, *tables)
    back = _change(ledger, bring_back, source)

    assert _ask(ledger, f"SELECT kind FROM source WHERE id = {source}") == [(kind,)]
    assert before != after
    assert gone == before
    assert _all(ledger, *tables) == after
    assert said.startswith(f"source {source} ({kind}: ")
    assert "was taken back" in said
    assert back.endswith("holds again")
    assert check(ledger) == []


def test_an_id_that_was_taken_back_is_not_given_to_another(ledger: LedgerFile) -> None:
    _rumour(ledger)
    first = _last(ledger)
    _change(ledger, take_back, first)

    number = _change(ledger, add_rumour, "another one", "2024-25")
    _change(ledger, bring_back, first)

    assert number == 2
    assert _ask(ledger, "SELECT id, text FROM rumour ORDER BY id") == [
        (1, "one shoots off the glass"),
        (2, "another one"),
    ]


def test_a_technique_that_tags_carry_stays(ledger: LedgerFile) -> None:
    with ledger.changing("a test") as con:
        con.execute("UPDATE tag SET technique_as_written = 'hook', technique_id = NULL")
    _technique(ledger)
    before = _all(ledger, "technique", "tag")

    with pytest.raises(UseError, match=r"cannot be taken back: [0-9]+ tags carry it"):
        _change(ledger, take_back, _last(ledger))

    assert _all(ledger, "technique", "tag") == before


def test_a_lot_does_not_come_back_beside_another_of_its_name(ledger: LedgerFile) -> None:
    _lot(ledger)
    first = _last(ledger)
    _change(ledger, take_back, first)
    _lot(ledger)

    with pytest.raises(UseError, match="'Eyes' was taken again meanwhile"):
        _change(ledger, bring_back, first)
    assert _ask(ledger, "SELECT count(*) FROM lot") == [(1,)]


def test_a_word_taken_back_leaves_what_a_later_change_made_of_it(ledger: LedgerFile) -> None:
    _change(ledger, add_word, "technique", "glassy", "straight")
    first = _last(ledger)
    _word(ledger)
    second = _last(ledger)

    _change(ledger, take_back, first)
    still = _ask(ledger, "SELECT value FROM word")
    _change(ledger, take_back, second)
    none = _ask(ledger, "SELECT value FROM word")
    _change(ledger, bring_back, first)

    assert (still, none) == ([("board",)], [])
    assert _ask(ledger, "SELECT value FROM word") == [("straight",)]


def test_tags_read_anew_by_a_word_are_read_as_before_when_it_goes(ledger: LedgerFile) -> None:
    with ledger.changing("a test") as con:
        con.execute("UPDATE tag SET technique_as_written = 'glassy', technique_id = NULL")
        con.execute("UPDATE tag SET technique_id = 3 WHERE id = (SELECT min(id) FROM tag)")
        from ledger.store.agree import agree

        agree(con)
    before = _all(ledger, "tag", "agreed")

    _word(ledger)
    read = _ask(ledger, "SELECT DISTINCT technique_id FROM tag")
    _change(ledger, take_back, _last(ledger))

    assert read == [(2,)]
    assert _all(ledger, "tag", "agreed") == before


def test_a_list_keeps_what_others_put_on_it(ledger: LedgerFile) -> None:
    _list(ledger)
    first = _last(ledger)
    _change(ledger, list_add, "hands", ["Plab"])
    second = _last(ledger)

    _change(ledger, take_back, first)
    kept = _ask(ledger, "SELECT player_id FROM shortlist_entry")
    _change(ledger, take_back, second)

    assert kept == [(2,)]
    assert _all(ledger, "shortlist", "shortlist_entry") == [[], []]


def test_a_drop_taken_back_puts_the_player_on_the_list_again(ledger: LedgerFile) -> None:
    _list(ledger)
    first = _last(ledger)
    before = _all(ledger, "shortlist_entry")
    _change(ledger, list_drop, "hands", ["Plaa"])
    dropped = _last(ledger)

    _change(ledger, take_back, dropped)
    stands = _all(ledger, "shortlist_entry")
    _change(ledger, bring_back, dropped)
    _change(ledger, take_back, first)

    assert stands == before
    assert _all(ledger, "shortlist_entry") == [[]]


def test_a_drop_does_not_come_back_undone_beside_a_new_entry(ledger: LedgerFile) -> None:
    _list(ledger)
    _change(ledger, list_drop, "hands", ["Plaa"])
    dropped = _last(ledger)
    _change(ledger, list_add, "hands", ["Plaa"])

    with pytest.raises(UseError, match="Plaa is on hands again"):
        _change(ledger, take_back, dropped)


def test_a_field_is_set_and_the_last_live_change_of_it_holds(ledger: LedgerFile) -> None:
    def put(value: Any) -> int:
        with ledger.changing("a test") as con:
            source = changes.begin(con, ledger, "same", "Plaa")
            changes.set_field(con, ledger, source, "player", 4, "same_as", value, why="one person")
        return source

    first, second = put(1), put(2)

    def now() -> Any:
        return _ask(ledger, "SELECT same_as FROM player WHERE id = 4")[0][0]

    seen = [now()]
    for deed, source in (
        (take_back, first), (take_back, second), (bring_back, first), (bring_back, second),
    ):  # fmt: skip
        _change(ledger, deed, source)
        seen.append(now())

    assert seen == [2, 2, None, 1, 2]
    assert _ask(ledger, "SELECT old_value, new_value, why FROM journal WHERE action = 'set'") == [
        (None, "1", "one person"),
        ("1", "2", "one person"),
    ]


def test_a_technique_does_not_come_back_beside_a_word_of_its_name(ledger: LedgerFile) -> None:
    _technique(ledger)
    first = _last(ledger)
    _change(ledger, take_back, first)
    _change(ledger, add_word, "technique", "Hook", "board")

    with pytest.raises(UseError, match="was taken again meanwhile"):
        _change(ledger, bring_back, first)
