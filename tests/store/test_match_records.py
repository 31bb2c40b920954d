"""The same game from two files is the same attempts."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.store.filing import HEAD, Desk, alone, desk, rows

GAME = "Halma League,2023-24,2023-10-14,G1,Skerry"
OTHER = "Halma League,2023-24,2023-10-21,G2,Skerry"


def counts(report: object) -> tuple[int, int, int]:
    return (report.stored, report.already_there, report.contradicting)  # type: ignore[attr-defined]


def both_orders(a: tuple[str, str], b: tuple[str, str]) -> tuple[object, object]:
    return alone(a, b), alone(b, a)


def made(d: Desk) -> list[tuple[int, int]]:
    return d.rows("SELECT count(*) FILTER (WHERE made), count(*) FROM attempt WHERE NOT removed")


@pytest.mark.parametrize("turned", [False, True])
def test_files_that_overlap_by_id_are_joined_in_either_order(tmp_path: Path, turned: bool) -> None:
    head = HEAD + ",attempt_id,technique"
    lines = [
        f"{GAME if n % 2 else OTHER},Player {n % 3},{n % 2},{n},{('board', 'straight')[n % 2]}"
        for n in range(9)
    ]
    first, second = rows(head, *lines[:6]), rows(head, *lines[4:])
    if turned:
        first, second = second, first
    with desk(tmp_path) as d:
        start = d.bring(first)
        report = d.bring(second)
        assert report.already_there == 2
        assert report.stored == 9 - start.stored
        assert made(d) == [(4, 9)]
        assert d.whole() == []


def test_an_id_that_says_something_else_contradicts_and_nothing_of_it_is_taken(
    tmp_path: Path,
) -> None:
    head = HEAD + ",attempt_id,rebound_by"
    with desk(tmp_path) as d:
        d.bring(rows(head, f"{GAME},Ilvo Tarn,0,7,"))
        report = d.bring(rows(head, f"{GAME},Ilvo Tarn,1,7,offensive"))
        assert counts(report) == (0, 0, 1)
        assert report.exit_code == 1
        assert any("the ledger" in w and "contradict" in w for w in report.warnings)
        assert d.rows("SELECT made, rebound_by FROM attempt") == [(False, None)]


def test_one_id_in_two_leagues_is_two_attempts(tmp_path: Path) -> None:
    head = HEAD + ",attempt_id"
    line = f"{GAME},Ilvo Tarn,1,7"
    with desk(tmp_path) as d:
        d.bring(rows(head, line))
        assert d.bring(rows(head, line.replace("Halma League", "Ormeda Liga"))).stored == 1


def test_different_ids_at_no_known_place_are_different_attempts(tmp_path: Path) -> None:
    head = HEAD + ",attempt_id"
    with desk(tmp_path) as d:
        d.bring(rows(head, f"{GAME},Ilvo Tarn,1,1"))
        assert counts(d.bring(rows(head, f"{GAME},Ilvo Tarn,1,2"))) == (1, 0, 0)


def test_a_file_with_ids_fills_the_ids_of_one_without(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(HEAD, f"{GAME},Ilvo Tarn,1", f"{GAME},Ilvo Tarn,0"))
        report = d.bring(
            rows(HEAD + ",attempt_id", f"{GAME},Ilvo Tarn,0,8", f"{GAME},Ilvo Tarn,1,7")
        )
        assert counts(report) == (2, 0, 0)
        assert report.attempts_stored == 0
        assert d.rows("SELECT made, file_id FROM attempt ORDER BY 1") == [(False, "8"), (True, "7")]


def test_games_without_order_are_matched_as_counts(tmp_path: Path) -> None:
    first = rows(HEAD, *[f"{GAME},Ilvo Tarn,{m}" for m in (1, 1, 0)])
    second = rows(HEAD, *[f"{GAME},Ilvo Tarn,{m}" for m in (0, 1, 1, 1, 0)])
    with desk(tmp_path) as d:
        d.bring(first)
        assert counts(d.bring(second)) == (2, 3, 0)
        assert made(d) == [(3, 5)]
        assert d.rows("SELECT count(order_in_game) FROM attempt") == [(0,)]
    ab, ba = both_orders((first, "attempts"), (second, "attempts"))
    assert ab == ba


def test_counts_pair_equal_techniques_first_and_fill_blank_ones(tmp_path: Path) -> None:
    head = HEAD + ",technique"
    with desk(tmp_path) as d:
        d.bring(rows(head, f"{GAME},Ilvo Tarn,1,", f"{GAME},Ilvo Tarn,1,straight"))
        report = d.bring(rows(head, f"{GAME},Ilvo Tarn,1,straight", f"{GAME},Ilvo Tarn,1,board"))
        assert counts(report) == (1, 1, 0)
        assert made(d) == [(2, 2)]
        names = d.rows(
            "SELECT k.name FROM tag t JOIN technique k ON k.id = t.technique_id ORDER BY 1"
        )
        assert names == [("board",), ("straight",)]


def test_counts_that_cannot_both_be_right_contradict(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(HEAD, f"{GAME},Ilvo Tarn,1", f"{GAME},Ilvo Tarn,1"))
        report = d.bring(rows(HEAD, f"{GAME},Ilvo Tarn,1", f"{GAME},Ilvo Tarn,0"))
        assert counts(report) == (0, 1, 1)
        assert made(d) == [(2, 2)]


def test_equal_numbers_are_one_attempt_wherever_a_file_begins(tmp_path: Path) -> None:
    head = HEAD + ",order"
    lines = [f"{GAME},Player {n % 3},{n % 2},{n * 3}" for n in range(8)]
    first, second = (rows(head, *lines[:5]), "attempts"), (rows(head, *lines[3:]), "attempts")
    with desk(tmp_path) as d:
        d.bring(first[0])
        assert counts(d.bring(second[0])) == (3, 2, 0)
    ab, ba = both_orders(first, second)
    assert ab == ba


def test_another_result_at_one_number_contradicts(tmp_path: Path) -> None:
    head = HEAD + ",order"
    lines = [f"{GAME},Ilvo Tarn,1,{n}" for n in range(4)]
    with desk(tmp_path) as d:
        d.bring(rows(head, *lines))
        report = d.bring(rows(head, *lines[:3], f"{GAME},Ilvo Tarn,0,3"))
        assert counts(report) == (0, 3, 1)


def test_equal_times_are_one_attempt_and_equal_rows_of_one_second_stay_two(tmp_path: Path) -> None:
    head = HEAD + ",period,clock"
    twice = f"{GAME},Ilvo Tarn,0,2,5:38"
    first = rows(head, twice, twice, f"{GAME},Ilvo Tarn,1,2,1:02")
    second = rows(head, twice, twice, f"{GAME},Ilvo Tarn,1,3,9:00")
    with desk(tmp_path) as d:
        d.bring(first)
        assert counts(d.bring(second)) == (1, 2, 0)
        assert made(d) == [(2, 4)]
        in_order = d.rows("SELECT period, clock_s FROM attempt ORDER BY order_in_game")
        assert in_order == [(2, 338.0), (2, 338.0), (2, 62.0), (3, 540.0)]


def test_a_clock_stopped_a_second_later_is_no_second_attempt(tmp_path: Path) -> None:
    head = HEAD + ",period,clock"
    with desk(tmp_path) as d:
        d.bring(rows(head, f"{GAME},Ilvo Tarn,1,1,5:00", f"{GAME},Ilvo Tarn,1,2,5:38"))
        report = d.bring(rows(head, f"{GAME},Ilvo Tarn,1,1,5:00", f"{GAME},Ilvo Tarn,1,2,5:37"))
        assert counts(report) == (0, 1, 1)
        assert made(d) == [(2, 2)]


def test_numbers_and_times_meet_as_the_nth_of_a_player(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        numbered = [f"{GAME},Ilvo Tarn,{m},{n}" for n, m in ((40, 1), (12, 0), (90, 0))]
        d.bring(rows(HEAD + ",order", *numbered))
        timed = [
            f"{GAME},Ilvo Tarn,{m},{c}" for m, c in ((0, "1,9:00"), (1, "2,8:00"), (1, "4,1:00"))
        ]
        report = d.bring(rows(HEAD + ",period,clock", *timed))
        assert counts(report) == (2, 0, 1)
        found = d.rows("SELECT order_in_game, made, period FROM attempt ORDER BY 1")
        assert found == [(12, False, 1), (40, True, 2), (90, False, None)]


def test_a_game_numbered_in_another_way_is_recognised_by_its_makes_and_misses(
    tmp_path: Path,
) -> None:
    results = [1, 0, 0, 1, 1, 0, 1, 1, 1, 0]
    head = HEAD + ",order"
    with desk(tmp_path) as d:
        d.bring(
            rows(head, *[f"{GAME},Player {n % 2},{m},{100 + 7 * n}" for n, m in enumerate(results)])
        )
        again = rows(head, *[f"{GAME},Player {n % 2},{m},{n}" for n, m in enumerate(results)])
        assert counts(d.bring(again)) == (0, 10, 0)


BOX = (rows(HEAD + ",attempts", f"{GAME},Ilvo Tarn,2,3", f"{GAME},Bram Oselo,1,1"), "box")
EVENTS = (
    rows(
        HEAD + ",order,technique",
        f"{GAME},Ilvo Tarn,1,1,board",
        f"{GAME},Ilvo Tarn,0,2,straight",
        f"{GAME},Ilvo Tarn,1,3,board",
        f"{GAME},Ilvo Tarn,1,4,",
    ),
    "attempts",
)


def test_events_complete_a_box_score_and_a_box_score_adds_nothing_to_events(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(*BOX)
        report = d.bring(*EVENTS)
        assert counts(report) == (4, 0, 0)
        assert (report.attempts_stored, report.tags_stored) == (1, 3)
        assert made(d) == [(4, 5)]
    ab, ba = both_orders(BOX, EVENTS)
    assert ab == ba


def test_counts_of_a_box_score_that_differ_are_said(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(*EVENTS)
        report = d.bring(*BOX)
        assert "Ilvo Tarn in G1: box score 2 of 3, events 3 of 4, kept 3 of 4" in report.warnings
        assert counts(report) == (1, 1, 0)


def test_a_box_line_that_is_no_richer_and_contradicts_gives_nothing_at_all(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(HEAD, f"{GAME},Ilvo Tarn,1", f"{GAME},Ilvo Tarn,0"))
        report = d.bring(rows(HEAD + ",attempts", f"{GAME},Ilvo Tarn,2,2"), "box")
        assert counts(report) == (0, 0, 1)
        assert made(d) == [(1, 2)]


TAG_HEAD = "league,season,date,game,player,nth,tagger,technique,miss_depth"
TAG = "Halma League,2023-24,2023-10-14,G1,Ilvo Tarn"


def test_tags_find_the_nth_attempt_by_order_and_those_of_two_people_stand_side_by_side(
    tmp_path: Path,
) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(HEAD + ",order", *[f"{GAME},Ilvo Tarn,{m},{n}" for n, m in ((9, 0), (2, 1))]))
        d.bring(rows(TAG_HEAD, f"{TAG},2,bo,board,short", f"{TAG},1,,straight,"), "tags")
        d.bring(rows(TAG_HEAD, f"{TAG},2,cy,straight,"), "tags")
        found = d.rows(
            "SELECT a.order_in_game, t.tagger, k.name, t.miss_depth FROM tag t "
            "JOIN attempt a ON a.id = t.attempt_id JOIN technique k ON k.id = t.technique_id "
            "ORDER BY 1, 2"
        )
        assert found == [
            (2, "ann", "straight", None),
            (9, "bo", "board", "short"),
            (9, "cy", "straight", None),
        ]
        assert d.rows("SELECT tags, disputed FROM agreed ORDER BY 1") == [(1, False), (2, True)]
        assert d.whole() == []


def test_tags_by_id_and_tags_that_find_nothing(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(HEAD + ",attempt_id", f"{GAME},Ilvo Tarn,1,A7"))
        report = d.bring(rows("attempt_id,technique", "A7,board", "A8,board", "A7,"), "tags")
        assert (report.stored, report.rejected, report.skipped) == (1, 1, 1)
        assert report.reasons == {"no_such_attempt": 1}
        assert d.rows("SELECT value, column_name FROM refused_row") == [("A8", "attempt_id")]


def test_an_id_of_two_leagues_is_not_guessed(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        line = f"{GAME},Ilvo Tarn,1,A7"
        d.bring(rows(HEAD + ",attempt_id", line, line.replace("Halma League", "Ormeda Liga")))
        report = d.bring(rows("attempt_id,technique", "A7,board"), "tags")
        assert report.reasons == {"several_attempts": 1}
        report = d.bring(rows("attempt_id,league,technique", "A7,Ormeda Liga,board"), "tags")
        assert report.stored == 1


def test_a_tag_of_one_person_that_differs_contradicts_and_one_that_adds_fills(
    tmp_path: Path,
) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(HEAD, f"{GAME},Ilvo Tarn,0"))
        d.bring(rows(TAG_HEAD, f"{TAG},1,bo,board,"), "tags")
        fills = d.bring(rows(TAG_HEAD, f"{TAG},1,bo,board,short"), "tags")
        assert (counts(fills), fills.fields_filled, fills.tags_stored) == ((1, 0, 0), 1, 0)
        differs = d.bring(rows(TAG_HEAD, f"{TAG},1,bo,straight,short"), "tags")
        assert counts(differs) == (0, 0, 1)
        unclear = d.bring(rows(TAG_HEAD, f"{TAG},1,bo,cannot tell,"), "tags")
        assert counts(unclear) == (0, 0, 1)
        assert d.rows("SELECT k.name FROM agreed a JOIN technique k ON k.id = a.technique_id") == [
            ("board",)
        ]


def test_a_sheet_watched_by_two_people_agrees_by_majority_and_rulings_settle(
    tmp_path: Path,
) -> None:
    head = TAG_HEAD + ",adjudicated"
    agreed = (
        "SELECT k.name, a.disputed FROM agreed a LEFT JOIN technique k ON k.id = a.technique_id"
    )
    with desk(tmp_path) as d:
        d.bring(rows(HEAD, f"{GAME},Ilvo Tarn,0"))
        d.bring(rows(head, f"{TAG},1,bo,board,,", f"{TAG},1,cy,straight,,"), "tags")
        assert d.rows(agreed) == [(None, True)]
        d.bring(rows(head, f"{TAG},1,di,straight,,yes"), "tags")
        assert d.rows(agreed) == [("straight", False)]
