from __future__ import annotations

from pathlib import Path

from ledger.store.registers import add_word
from tests.store.filing import Desk, desk

HEAD = "league,season,date,game,team,player,order,made,technique,note"
_ROW = "Halma League,2024-25,2024-10-05,g1,Ostra,Tarn,{},yes,{},{}"


def _file(technique: str, note: str) -> str:
    return "\n".join([HEAD, *(_ROW.format(n, technique, note) for n in range(1, 4))]) + "\n"


def _techniques(d: Desk) -> list[tuple[str | None, int]]:
    return d.rows(
        "SELECT k.name, count(*) FROM agreed a LEFT JOIN technique k ON k.id = a.technique_id "
        "GROUP BY ALL ORDER BY ALL"
    )


def test_a_word_explained_after_an_undo_is_kept_through_the_next(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(_file("vom brett", ""))
        other = d.bring(_file("vom brett", "seen twice"))
        d.undo(other.source)
        assert _techniques(d) == [(None, 3)]
        with d.file.changing("word") as con:
            add_word(con, d.file, "technique", "vom brett", "board")
        assert _techniques(d) == [("board", 3)]

        d.again(other.source)
        after_again = _techniques(d)
        d.undo(other.source)

        assert after_again == [("board", 3)]
        assert _techniques(d) == [("board", 3)]
        assert d.whole() == []
