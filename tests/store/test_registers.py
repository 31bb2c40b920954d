from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np
import pytest

from ledger.errors import UseError
from ledger.store import lots
from ledger.store.check import check
from ledger.store.ledger_file import LedgerFile
from ledger.store.lots import Lot, draw_lot
from ledger.store.registers import add_rumour, add_technique, add_word, rules, write_rule
from ledger.store.shortlists import Listing, list_add, list_drop
from ledger.store.undo import undo
from ledger.store.words import coded_fields, resolve_unknown


def _change(ledger: LedgerFile, deed: Any, *args: Any, **more: Any) -> Any:
    with ledger.changing("a test") as con:
        return deed(con, ledger, *args, **more)


def _ask(ledger: LedgerFile, statement: str) -> list[tuple[Any, ...]]:
    with ledger.reading() as con:
        return con.execute(statement).fetchall()


def _draw(ledger: LedgerFile, players: int = 4, seed: int | None = 7, name: str = "one") -> Lot:
    lot: Lot = _change(ledger, draw_lot, name, "halma league", "2024/25", players, seed)
    return lot


def test_a_lot_draws_from_players_without_a_tag_and_keeps_its_frame(ledger: LedgerFile) -> None:
    lot = _draw(ledger)

    rows = _ask(ledger, "SELECT player_id, attempts, place FROM lot_player ORDER BY player_id")
    # Players 1 to 4 carry tags; all twelve have 20 attempts.
    assert [r[:2] for r in rows] == [(i, 20) for i in range(5, 13)]
    assert [p.id for p in lot.players] == [
        r[0] for r in sorted((r for r in rows if r[2]), key=lambda r: r[2])
    ]
    assert (lot.frame, lot.seed, lot.season) == (8, 7, "2024-25")


def test_the_same_seed_draws_the_same_list_and_another_one_another(ledger: LedgerFile) -> None:
    lists = [
        [p.id for p in _draw(ledger, 5, seed, f"lot {n}").players]
        for n, seed in enumerate((1, 1, 2))
    ]

    assert lists[0] == lists[1] != lists[2]


def test_a_drawn_seed_is_stored_and_draws_the_list_again(ledger: LedgerFile) -> None:
    first = _draw(ledger, seed=None)

    again = _draw(ledger, seed=first.seed, name="again")

    assert again.players == first.players
    assert _ask(ledger, "SELECT DISTINCT seed FROM lot") == [(first.seed,)]


def test_every_player_of_the_frame_is_as_likely_at_every_place() -> None:
    drawn = np.array([lots._drawn(8, 3, seed) for seed in range(4000)])

    # 4,000 draws of 3 in 8: each player 500 times at each place, give or take 5 standard errors.
    for place in range(3):
        counts = np.bincount(drawn[:, place], minlength=8)
        assert np.abs(counts - 500).max() < 5 * np.sqrt(4000 / 8 * 7 / 8)


def test_a_player_with_nine_attempts_or_only_in_practice_is_in_no_lot(ledger: LedgerFile) -> None:
    with ledger.changing("a test") as con:
        con.execute("UPDATE attempt SET removed = true WHERE player_id = 5 AND id >= 12 * 9")
        con.execute("UPDATE attempt SET shot = 'two' WHERE player_id = 6")

    _draw(ledger)

    rows = _ask(ledger, "SELECT player_id FROM lot_player ORDER BY 1")
    assert [r[0] for r in rows] == [7, 8, 9, 10, 11, 12]


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("one", "Halmo", "2024-25", 3), "no league 'Halmo'"),
        (("one", "Halma League", "2030-31", 3), "no season '2030-31'"),
        (("one", "Halma League", "2023-24", 3), "2023-24 has no player with 10 free throws"),
        (("one", "Halma League", "2024-25", 9), "has 8 players .* 9 were asked for: .*--players 8"),
        (("one", "Halma League", "2024-25", 0), "--players takes a whole number from 1"),
        (("", "Halma League", "2024-25", 3), "a list needs a name"),
        (("one", "Halma League", "2024-25", 3, -1), "--seed takes a whole number"),
    ],
)
def test_a_lot_that_cannot_be_drawn_says_why(
    shared: LedgerFile, args: tuple[Any, ...], words: str
) -> None:
    with pytest.raises(UseError, match=words):
        _change(shared, draw_lot, *args)
    assert _ask(shared, "SELECT count(*) FROM lot") == [(0,)]


def test_lots_and_shortlists_share_their_names(ledger: LedgerFile) -> None:
    _draw(ledger, name="Eyes")
    _change(ledger, list_add, "Hands", ["Plaa"])

    with pytest.raises(UseError, match="already a lot 'Eyes'"):
        _draw(ledger, name="eyes")
    with pytest.raises(UseError, match="already a shortlist 'Hands'"):
        _draw(ledger, name="HANDS")
    with pytest.raises(UseError, match="'Eyes' is a lot"):
        _change(ledger, list_add, "eyes", ["Plaa"])


def test_a_shortlist_takes_players_and_lets_them_go(ledger: LedgerFile) -> None:
    added: Listing = _change(ledger, list_add, "eyes", ["plaa", "OSELL TARN", "Plaa"], note="tall")
    again: Listing = _change(ledger, list_add, "Eyes", ["plaa"])
    dropped: Listing = _change(ledger, list_drop, "EYES", ["plaa", "plab"])

    assert added.words() == "Plaa, Oséll Tàrn put on eyes"
    assert again.words() == "nobody put on eyes; on it already: Plaa"
    assert dropped.words() == "Plaa dropped from eyes; not on it: Plab"
    assert _ask(ledger, "SELECT player_id, note, dropped IS NULL FROM shortlist_entry") == [
        (1, "tall", False),
        (3, "tall", True),
    ]
    assert [r[0] for r in _ask(ledger, "SELECT action FROM journal ORDER BY id")] == [
        "list",
        "list add",
        "list add",
        "list drop",
    ]


def test_a_wrong_name_puts_nobody_on_a_shortlist(ledger: LedgerFile) -> None:
    with pytest.raises(UseError, match="no player 'Qrst'"):
        _change(ledger, list_add, "eyes", ["Plaa", "Qrst"])

    assert _ask(ledger, "SELECT count(*) FROM shortlist") == [(0,)]


def test_dropping_from_no_list_says_what_makes_one(ledger: LedgerFile) -> None:
    with pytest.raises(UseError, match=r"no shortlist 'none': offglass list 'none' add PLAYER"):
        _change(ledger, list_drop, "none", ["Plaa"])


def test_a_rumour_is_stored_with_what_it_names(ledger: LedgerFile) -> None:
    _change(
        ledger, add_rumour, "one  shoots off\nthe glass", "2024-25",
        league="halma league", player="osell tarn", seen=date(2025, 1, 2), where="a forum",
    )  # fmt: skip

    assert _ask(ledger, "SELECT * EXCLUDE at_time FROM rumour") == [
        (1, "one shoots off the glass", 2, 1, 3, date(2025, 1, 2), "a forum", "ana")
    ]


def test_a_rumour_without_words_is_refused(ledger: LedgerFile) -> None:
    with pytest.raises(UseError, match="a rumour needs a text"):
        _change(ledger, add_rumour, " \u200b ", "2024-25")


def test_a_technique_is_added_and_found(ledger: LedgerFile) -> None:
    named = _change(ledger, add_technique, "One hand", uses_board=True, groups=["odd", "new"])

    assert named.name == "One hand"
    assert _ask(ledger, "SELECT id, uses_board, groups, place FROM technique WHERE id > 4") == [
        (5, True, "new,odd", 5)
    ]


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("BOARD", "already a technique 'board'"),
        ("board-assisted", "a meaning of its own"),
        ("Unclear", "a meaning of its own"),
        ("a,b", "without a comma"),
        ("", "needs a name"),
        ("x" * 201, "needs a name"),
    ],
)
def test_a_technique_that_cannot_be_is_refused(shared: LedgerFile, name: str, words: str) -> None:
    with pytest.raises(UseError, match=words):
        _change(shared, add_technique, name)


def _written(ledger: LedgerFile, text: str) -> None:
    with ledger.changing("a test") as con:
        con.execute(
            "UPDATE tag SET technique_id = NULL, technique_as_written = $t WHERE id < 4",
            {"t": text},
        )
        from ledger.store.agree import agree

        agree(con)


def test_a_word_is_read_into_the_tags_that_wait_for_it(ledger: LedgerFile) -> None:
    _written(ledger, "VOM  Brett")

    touched = _change(ledger, add_word, "technique", "vom brett", "BOARD")

    assert touched == 4
    assert _ask(ledger, "SELECT DISTINCT technique_id FROM tag WHERE id < 4") == [(2,)]
    assert _ask(ledger, "SELECT DISTINCT technique_id FROM agreed WHERE attempt_id < 4") == [(2,)]
    assert check(ledger) == []


def test_a_word_may_change_its_meaning(ledger: LedgerFile) -> None:
    _written(ledger, "brett")
    _change(ledger, add_word, "technique", "brett", "board")

    _change(ledger, add_word, "technique", "Brett", "underhand")

    assert _ask(ledger, "SELECT value FROM word") == [("underhand",)]
    assert _ask(ledger, "SELECT DISTINCT technique_id FROM tag WHERE id < 4") == [(3,)]
    told = "old_value ->> '$[0].value', new_value ->> '$[0].value'"
    assert _ask(ledger, f"SELECT {told} FROM journal WHERE field IS NULL ORDER BY id") == [
        (None, "board"),
        ("board", "underhand"),
    ]


def test_a_word_may_mean_that_nothing_could_be_seen(ledger: LedgerFile) -> None:
    _written(ledger, "?")

    _change(ledger, add_word, "technique", "?", "unclear")

    assert _ask(ledger, "SELECT DISTINCT unclear FROM agreed WHERE attempt_id < 4") == [(True,)]


def test_a_new_technique_is_read_into_the_tags_that_wait_for_it(ledger: LedgerFile) -> None:
    _written(ledger, "One Hand")

    _change(ledger, add_technique, "one hand")

    assert _ask(ledger, "SELECT DISTINCT technique_id FROM agreed WHERE attempt_id < 4") == [(5,)]


def test_tags_rebuilt_later_get_the_meaning_of_known_words(ledger: LedgerFile) -> None:
    _change(ledger, add_word, "technique", "brett", "board")
    _written(ledger, "Brett")

    with ledger.changing("a test") as con:
        touched = resolve_unknown(con)

    assert touched == 4
    assert _ask(ledger, "SELECT DISTINCT technique_id FROM tag WHERE id < 4") == [(2,)]


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("mode", "x", "yes"), "no coded field is called 'mode'.*did you mean made"),
        (("made", "x", "perhaps"), "'perhaps' is no made: use yes, no"),
        (("made", " ", "yes"), "needs a word of 1 to 200 letters"),
        (("technique", "x", "bord"), "did you mean board"),
        (("technique", "straight", "board"), "a technique of its own"),
    ],
)
def test_a_word_that_cannot_be_is_refused(
    shared: LedgerFile, args: tuple[str, ...], words: str
) -> None:
    with pytest.raises(UseError, match=words):
        _change(shared, add_word, *args)


def test_the_coded_fields_come_from_the_schemas() -> None:
    fields = coded_fields()

    assert fields["made"] == ("yes", "no")
    assert fields["stage"] == ("regular", "playoff", "cup", "friendly", "practice")
    assert fields["technique"] == ()
    assert "player" not in fields


def _rules(ledger: LedgerFile) -> list[tuple[str, str]]:
    with ledger.reading() as con:
        return rules(con)


def test_what_the_rules_say_of_a_technique_is_kept_changed_and_taken_back(
    ledger: LedgerFile,
) -> None:
    _change(ledger, add_technique, "hook", rule_note="  nowhere   forbidden ")
    _change(ledger, write_rule, "BOARD", "allowed, so the referees")
    _change(ledger, write_rule, "board", "allowed everywhere")

    assert _rules(ledger) == [("board", "allowed everywhere"), ("hook", "nowhere forbidden")]
    (last,) = _ask(ledger, "SELECT max(id) FROM source")[0]
    _change(ledger, undo, last)
    assert _rules(ledger) == [
        ("board", "allowed, so the referees"), ("hook", "nowhere forbidden"),
    ]  # fmt: skip
    _change(ledger, undo, last - 1)
    assert _rules(ledger) == [("hook", "nowhere forbidden")]
    assert check(ledger) == []


@pytest.mark.parametrize("text", ["", "   ", "x" * 10_001])
def test_a_rule_that_says_nothing_or_too_much_is_refused(ledger: LedgerFile, text: str) -> None:
    with pytest.raises(UseError, match="a rule is a text of 1 to 10,000 letters"):
        _change(ledger, write_rule, "board", text)
    assert _rules(ledger) == []
