from __future__ import annotations

from typing import Any

import pytest

from ledger.errors import UseError
from ledger.store import names
from ledger.store.ledger_file import LedgerFile


def _add(ledger: LedgerFile, *statements: str) -> None:
    with ledger.changing("a test") as con:
        for statement in statements:
            con.execute(statement)


def _find(ledger: LedgerFile, kind: str, *args: Any) -> names.Named:
    with ledger.reading() as con:
        found: names.Named = getattr(names, f"find_{kind}")(con, *args)
        return found


@pytest.mark.parametrize(
    ("kind", "text", "number"),
    [
        ("league", "Halma League", 1),
        ("league", "halma  LEAGUE ", 1),
        ("season", "2023-24", 1),
        ("season", "2023/24", 1),
        ("season", "2023-2024", 1),
        ("season", "23-24", 1),
        ("season", "2024", 2),
        ("season", "2024–25", 2),
        ("team", "ostra", 1),
        ("team", "=WEIL", 2),
        ("player", "Oséll Tàrn", 3),
        ("player", "osell tarn", 3),
        ("player", "OSE\u0301LL TA\u0300RN", 3),
        ("player", "tarn osell", 3),
        ("technique", "BOARD", 2),
    ],
)
def test_a_name_is_found_without_case_and_accents(
    shared: LedgerFile, kind: str, text: str, number: int
) -> None:
    assert _find(shared, kind, text).id == number


@pytest.mark.parametrize(
    ("kind", "text", "words"),
    [
        ("league", "Halmo League", r"no league 'Halmo League': did you mean Halma League\?"),
        ("league", "zzz", r"no league 'zzz': there is Halma League"),
        ("season", "2031-32", r"no season '2031-32'"),
        ("season", "2023-25", r"no season '2023-25'"),
        ("player", "Osell Tarm", r"did you mean Oséll Tàrn"),
        ("player", "Tarn", r"did you mean"),
        ("player", "", r"no player ''"),
        ("technique", "bord", r"did you mean board\?"),
        ("list", "eyes", r"no list 'eyes': it has no lists yet"),
    ],
)
def test_a_near_miss_is_answered_with_a_question(
    shared: LedgerFile, kind: str, text: str, words: str
) -> None:
    with pytest.raises(UseError, match=words):
        _find(shared, kind, text)


def test_accents_count_where_they_tell_two_apart(ledger: LedgerFile) -> None:
    _add(
        ledger,
        "UPDATE player SET name = 'Kimó', normal_form = 'kimó' WHERE id = 1",
        "UPDATE player SET name = 'Kimo', normal_form = 'kimo' WHERE id = 2",
    )

    assert _find(ledger, "player", "KIMÓ").id == 1
    assert _find(ledger, "player", "kimo").id == 2
    with pytest.raises(UseError, match=r"'kimö' is 2 players: .*Kimó .* or Kimo"):
        _find(ledger, "player", "kimö")


def test_one_name_in_two_leagues_asks_for_the_league(ledger: LedgerFile) -> None:
    _add(
        ledger,
        "INSERT INTO league VALUES (2, 'Sund Cup', 'sund cup', NULL)",
        "INSERT INTO player VALUES (40, 2, 'Plaa', 'plaa', NULL, NULL, NULL, NULL, NULL, NULL)",
    )

    with pytest.raises(UseError, match=r"2 players: Plaa \(Halma League\) or Plaa \(Sund Cup\)"):
        _find(ledger, "player", "plaa")
    assert _find(ledger, "player", "plaa", "sund cup").id == 40
    assert _find(ledger, "player", "plaa", 1).id == 1


def test_one_name_twice_in_a_league_is_told_apart_by_team(ledger: LedgerFile) -> None:
    _add(ledger, "UPDATE player SET name = 'Plaa', normal_form = 'plaa' WHERE id = 2")

    with pytest.raises(UseError, match=r"Plaa \(Halma League, .*Ostra.*say which with --team"):
        _find(ledger, "player", "plaa")


def test_names_that_are_one_lead_to_the_one_that_stands_for_both(ledger: LedgerFile) -> None:
    _add(ledger, "UPDATE player SET same_as = 3 WHERE id = 5")

    assert _find(ledger, "player", "plae") == names.Named(3, "Oséll Tàrn", "Halma League")


@pytest.mark.parametrize(
    ("text", "year"),
    [
        ("2023-24", 2023),
        ("1999-00", 1999),
        ("99/00", 1999),
        ("2023", 2023),
        ("2023-25", None),
        ("autumn", None),
        ("", None),
        ("２０２３", None),
    ],
)
def test_the_year_a_season_begins_in(text: str, year: int | None) -> None:
    assert names.start_year(text) == year


def test_invisible_letters_do_not_count() -> None:
    assert names.written_form("Ta\u200brn\u202e ") == "tarn"
