"""A source taken back leaves the ledger as if it had never come."""

from __future__ import annotations

from itertools import permutations
from pathlib import Path

import pytest

from ledger.errors import UseError
from tests.store.filing import HEAD, alone, desk, rows
from tests.store.test_match_records import BOX, EVENTS, GAME, OTHER, TAG, TAG_HEAD

IDS = HEAD + ",attempt_id,technique"
LEFT = (rows(IDS, *[f"{GAME},Ilvo Tarn,{n % 2},{n},board" for n in range(4)]), "attempts")
RIGHT = (rows(IDS, *[f"{GAME},Ilvo Tarn,{n % 2},{n},board" for n in range(2, 7)]), "attempts")
AGAINST = (rows(IDS, *[f"{GAME},Ilvo Tarn,{(n + 1) % 2},{n},straight" for n in (1, 2)]), "attempts")
PLAIN = (rows(HEAD, *[f"{GAME},Ilvo Tarn,{m}" for m in (1, 1, 0)]), "attempts")
LONGER = (rows(HEAD, *[f"{GAME},Ilvo Tarn,{m}" for m in (0, 1, 1, 1, 0)]), "attempts")
BOX_AGAINST = (rows(HEAD + ",attempts", f"{GAME},Ilvo Tarn,5,5"), "box")

PAIRS = [
    (LEFT, RIGHT),
    (LEFT, AGAINST),
    (PLAIN, LONGER),
    (BOX, EVENTS),
    (PLAIN, BOX_AGAINST),
    (EVENTS, BOX_AGAINST),
]


@pytest.mark.parametrize("pair", [p for a in PAIRS for p in permutations(a)])
def test_taking_either_of_two_back_leaves_the_other_alone_and_bringing_it_back_restores(
    tmp_path: Path, pair: tuple[tuple[str, str], tuple[str, str]]
) -> None:
    with desk(tmp_path) as d:
        sources = [d.bring(*file).source for file in pair]
        before = d.dump()
        for number, rest in ((0, 1), (1, 0)):
            d.undo(sources[number])
            assert d.dump() == alone(pair[rest])
            d.again(sources[number])
            assert d.dump() == before
        assert d.whole() == []


def test_taking_all_back_leaves_nothing_in_any_order(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        first, second = d.bring(*LEFT).source, d.bring(*RIGHT).source
        before = d.dump()
        d.undo(second)
        undone = d.undo(first)
        assert undone.attempts == 4
        assert not any(d.dump().values())
        d.again(first)
        d.again(second)
        assert d.dump() == before
        assert d.whole() == []


def test_a_contradiction_is_left_alone_and_counts_when_the_first_is_taken_back(
    tmp_path: Path,
) -> None:
    made = "SELECT file_id, made FROM attempt WHERE NOT removed ORDER BY 1"
    with desk(tmp_path) as d:
        first = d.bring(rows(IDS, f"{GAME},Ilvo Tarn,1,7,board"))
        report = d.bring(rows(IDS, f"{GAME},Ilvo Tarn,0,7,board"))
        assert report.contradicting == 1
        assert d.rows(made) == [("7", True)]
        undone = d.undo(first.source)
        assert (undone.attempts, undone.kept) == (0, 1)
        assert d.rows(made) == [("7", False)]
        d.again(first.source)
        assert d.rows(made) == [("7", True)]
        assert d.whole() == []


def test_a_file_taken_back_may_come_in_again_and_the_old_one_then_doubles_nothing(
    tmp_path: Path,
) -> None:
    with desk(tmp_path) as d:
        first = d.bring(*EVENTS)
        before = d.dump()
        ids = d.rows("SELECT id FROM attempt ORDER BY 1")
        d.undo(first.source)
        second = d.bring(*EVENTS)
        assert second.source == 2
        assert second.stored == 4
        assert d.dump() == before
        assert d.rows("SELECT id FROM attempt WHERE NOT removed ORDER BY 1") == ids
        assert d.whole() == []
        d.again(first.source)
        assert d.dump() == before
        d.undo(first.source)
        assert d.dump() == before
        d.undo(second.source)
        assert not any(d.dump().values())
        assert d.whole() == []


def test_a_file_of_counts_taken_back_may_come_in_again(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        first = d.bring(*BOX)
        before = d.dump()
        d.undo(first.source)
        d.bring(*BOX)
        assert d.dump() == before
        d.again(first.source)
        assert d.dump() == before
        assert d.whole() == []


def test_tags_of_others_need_a_second_yes_and_come_back_with_their_attempts(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        first = d.bring(*EVENTS)
        d.bring(rows(TAG_HEAD, f"{TAG},2,bo,board,short", f"{TAG},4,cy,board,"), "tags")
        before = d.dump()
        with pytest.raises(UseError, match="2 tags by bo, cy from other sources"):
            d.undo(first.source)
        assert d.dump() == before
        d.undo(first.source, yes=True)
        assert not any(d.dump().values())
        assert d.whole() == []
        d.again(first.source)
        assert d.dump() == before
        assert d.whole() == []


def test_tags_taken_back_leave_the_attempts(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(*EVENTS)
        before = d.dump()
        tags = d.bring(
            rows(TAG_HEAD, f"{TAG},1,bo,straight,", f"{TAG},2,ann,straight,short"), "tags"
        )
        with_tags = d.dump()
        undone = d.undo(tags.source)
        assert (undone.attempts, undone.tags) == (0, 1)
        assert d.dump() == before
        d.again(tags.source)
        assert d.dump() == with_tags
        assert d.whole() == []


def test_tags_of_others_on_attempts_another_source_has_seen_stay(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        first = d.bring(*LEFT)
        d.bring(*RIGHT)
        d.bring(rows("attempt_id,tagger,technique", "3,bo,straight"), "tags")
        d.undo(first.source)
        assert d.rows("SELECT tagger FROM tag WHERE NOT removed AND tagger = 'bo'") == [("bo",)]
        assert d.whole() == []


def test_three_sources_rest_on_one_another(tmp_path: Path) -> None:
    third = (rows(HEAD + ",rebound_by,order", f"{GAME},Ilvo Tarn,0,offensive,2"), "attempts")
    files = [BOX, EVENTS, third]
    with desk(tmp_path) as d:
        sources = [d.bring(*f).source for f in files]
        whole = d.dump()
        for number in range(3):
            d.undo(sources[number])
            rest = [f for n, f in enumerate(files) if n != number]
            assert d.dump() == alone(*rest)
            d.again(sources[number])
            assert d.dump() == whole
        assert d.whole() == []


def test_season_totals_count_once_and_the_next_one_counts_when_the_first_goes(
    tmp_path: Path,
) -> None:
    head = "league,season,team,player,made,attempts"
    with desk(tmp_path) as d:
        first = d.bring(rows(head, "Halma League,2023-24,Skerry,Ilvo Tarn,70,90"), "totals")
        text = rows(
            head,
            "Halma League,2023-24,Skerry,Ilvo Tarn,71,90",
            "Halma League,2023-24,Skerry,Bram Oselo,5,9",
            "Halma League,2023-24,Skerry,Bram Oselo,5,9",
        )
        second = d.bring(text, "totals")
        assert (second.stored, second.already_there, second.contradicting) == (1, 1, 1)
        made = "SELECT made FROM season_total WHERE NOT removed ORDER BY 1"
        assert d.rows(made) == [(5,), (70,)]
        before = d.dump()
        d.undo(first.source)
        assert d.rows(made) == [(5,), (71,)]
        assert d.dump() == alone((text, "totals"))
        d.again(first.source)
        assert d.dump() == before
        assert d.whole() == []


def test_what_cannot_be_taken_back_is_said(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        with pytest.raises(UseError, match="no source 4"):
            d.undo(4)
        source = d.bring(*PLAIN).source
        with pytest.raises(UseError, match="was not taken back"):
            d.again(source)
        words = d.undo(source).words()
        assert f"offglass undo {source} --again" in words
        with pytest.raises(UseError, match="taken back already"):
            d.undo(source)


def test_the_journal_tells_of_both(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        source = d.bring(*PLAIN).source
        d.undo(source)
        d.again(source)
        assert d.rows("SELECT action, who FROM journal ORDER BY id") == [
            ("import", "ann"),
            ("undo", "ann"),
            ("undo again", "ann"),
        ]


def test_trips_are_marked_anew_when_a_member_goes(tmp_path: Path) -> None:
    head = HEAD + ",order,trip_shot,trip_of"
    one, two = f"{OTHER},Ilvo Tarn,1,1,1,2", f"{OTHER},Ilvo Tarn,0,2,2,2"
    marks = "SELECT trip_incomplete FROM attempt WHERE NOT removed ORDER BY order_in_game"
    with desk(tmp_path) as d:
        d.bring(rows(head, one))
        assert d.rows(marks) == [(True,)]
        second = d.bring(rows(head, two, one))
        assert d.rows(marks) == [(False,), (False,)]
        d.undo(second.source)
        assert d.rows(marks) == [(True,)]
