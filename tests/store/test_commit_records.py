"""Records into an empty ledger, and every row accounted for."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.intake.bring import bring
from tests.store.filing import HEAD, desk, rows

GAME = "Halma League,2023-24,2023-10-14,G1"


def test_a_file_gives_its_attempts_and_tags_and_new_names(tmp_path: Path) -> None:
    text = rows(
        HEAD + ",technique",
        f"{GAME},Skerry,Ilvo Tarn,1,board",
        f"{GAME},Skerry,Ilvo Tarn,0,straight",
        f"{GAME},Fenholt,Bram Oselo,1,",
    )
    with desk(tmp_path) as d:
        report = d.bring(text)
        assert (report.rows, report.stored, report.attempts_stored, report.tags_stored) == (
            3,
            3,
            3,
            2,
        )
        assert report.new == {"leagues": 1, "seasons": 1, "teams": 2, "games": 1, "players": 2}
        agreed = d.rows(
            "SELECT k.name FROM agreed a JOIN technique k ON k.id = a.technique_id ORDER BY 1"
        )
        assert agreed == [("board",), ("straight",)]
        assert d.rows("SELECT DISTINCT tagger FROM tag") == [("ann",)]
        assert d.whole() == []


def test_equal_rows_of_one_file_are_several_attempts(tmp_path: Path) -> None:
    line = f"{GAME},Skerry,Ilvo Tarn,0"
    with desk(tmp_path) as d:
        assert d.bring(rows(HEAD, line, line, line)).attempts_stored == 3


def test_one_id_twice_in_a_file_is_one_attempt(tmp_path: Path) -> None:
    text = rows(
        HEAD + ",attempt_id,rebound_by",
        f"{GAME},Skerry,Ilvo Tarn,0,7,",
        f"{GAME},Skerry,Ilvo Tarn,0,7,offensive",
        f"{GAME},Skerry,Ilvo Tarn,1,7,",
        f"{GAME},Skerry,Ilvo Tarn,0,7,offensive",
    )
    with desk(tmp_path) as d:
        report = d.bring(text)
        counts = (report.stored, report.already_there, report.contradicting, report.attempts_stored)
        assert counts == (2, 1, 1, 1)
        assert d.rows("SELECT made, rebound_by FROM attempt") == [(False, "offensive")]
        assert report.contradicting_lines == (4,)
        assert d.whole() == []


def test_a_box_line_is_one_row_and_as_many_attempts_of_unknown_order(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        report = d.bring(rows(HEAD + ",attempts", f"{GAME},Skerry,Ilvo Tarn,7,9"), "box")
        assert (report.rows, report.stored, report.attempts_stored) == (1, 1, 9)
        found = d.rows(
            "SELECT count(*), count(*) FILTER (WHERE made), count(order_in_game) FROM attempt"
        )
        assert found == [(9, 7, 0)]


def test_a_box_line_of_nought_is_skipped_and_of_a_season_refused(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        report = d.bring(
            rows(
                HEAD + ",attempts",
                f"{GAME},Skerry,Ilvo Tarn,0,0",
                f"{GAME},Skerry,Bram Oselo,300,400",
            ),
            "box",
        )
        assert (report.rows, report.skipped, report.rejected) == (2, 1, 1)
        assert report.reasons == {"out_of_bounds": 1}
        assert d.rows("SELECT count(*) FROM player") == [(0,)]
        assert d.whole() == []


def test_a_shot_above_its_trip_is_refused_and_a_trip_with_a_gap_is_marked(tmp_path: Path) -> None:
    head = HEAD + ",order,trip_shot,trip_of,trip_kind"
    text = rows(
        head,
        f"{GAME},Skerry,Ilvo Tarn,1,1,3,2,",
        f"{GAME},Skerry,Ilvo Tarn,1,2,1,2,",
        f"{GAME},Skerry,Ilvo Tarn,1,3,2,2,",
        f"{GAME},Skerry,Ilvo Tarn,1,4,1,2,",
        f"{GAME},Skerry,Ilvo Tarn,1,5,1,1,",
        f"{GAME},Skerry,Ilvo Tarn,0,6,1,2,one_and_one",
    )
    with desk(tmp_path) as d:
        report = d.bring(text)
        assert report.reasons == {"out_of_bounds": 1}
        found = d.rows("SELECT order_in_game, trip_incomplete FROM attempt ORDER BY 1")
        assert found == [(2, False), (3, False), (4, True), (5, False), (6, False)]


def test_order_is_kept_only_where_every_row_of_the_game_gives_it(tmp_path: Path) -> None:
    text = rows(
        HEAD + ",order",
        f"{GAME},Skerry,Ilvo Tarn,1,1",
        f"{GAME},Skerry,Ilvo Tarn,1,",
        "Halma League,2023-24,2023-10-15,G2,Skerry,Ilvo Tarn,1,5",
    )
    with desk(tmp_path) as d:
        d.bring(text)
        assert d.rows("SELECT order_in_game FROM attempt ORDER BY id") == [(None,), (None,), (5,)]


def test_period_and_clock_give_the_order_too(tmp_path: Path) -> None:
    text = rows(
        HEAD + ",period,clock",
        f"{GAME},Skerry,Ilvo Tarn,1,2,1:30",
        f"{GAME},Skerry,Ilvo Tarn,0,1,0:05",
        f"{GAME},Skerry,Ilvo Tarn,0,2,1:30",
    )
    with desk(tmp_path) as d:
        d.bring(text)
        by_place = d.rows("SELECT period, made FROM attempt ORDER BY order_in_game")
        assert by_place == [(1, False), (2, True), (2, False)]


def test_an_unknown_technique_word_is_kept_and_the_attempt_stored(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        report = d.bring(rows(HEAD + ",technique", f"{GAME},Skerry,Ilvo Tarn,1,windmill"))
        assert (report.stored, report.tags_stored) == (1, 1)
        assert d.rows("SELECT technique_id, technique_as_written FROM tag") == [(None, "windmill")]
        assert d.rows("SELECT technique_id, disputed FROM agreed") == [(None, False)]
        assert any("--word technique:windmill" in w for w in report.warnings)
        assert d.whole() == []


def test_a_word_told_later_fills_the_technique_of_the_same_file(tmp_path: Path) -> None:
    text = rows(HEAD + ",technique", f"{GAME},Skerry,Ilvo Tarn,1,windmill")
    with desk(tmp_path) as d:
        d.bring(text)
        report = d.bring(text, words=["technique:windmill=other"])
        assert (report.stored, report.attempts_stored, report.fields_filled) == (1, 0, 1)
        assert d.rows("SELECT k.name FROM agreed a JOIN technique k ON k.id = a.technique_id") == [
            ("other",)
        ]
        assert d.whole() == []


def test_a_check_says_all_and_keeps_nothing(tmp_path: Path) -> None:
    text = rows(HEAD, f"{GAME},Skerry,Ilvo Tarn,1", f"{GAME},Skerry,Ilvo Tarn,maybe")
    with desk(tmp_path) as d:
        report = d.bring(text, check=True)
        assert (report.source, report.stored, report.rejected, report.check) == (None, 1, 1, True)
        for table in (
            "attempt",
            "player",
            "league",
            "source",
            "journal",
            "sighting",
            "refused_row",
        ):
            assert d.rows(f"SELECT count(*) FROM {table}") == [(0,)]


def test_the_same_bytes_and_the_same_rows_add_nothing(tmp_path: Path) -> None:
    text = rows(HEAD, f"{GAME},Skerry,Ilvo Tarn,1", f"{GAME},Skerry,Ilvo Tarn,0")
    with desk(tmp_path) as d:
        first = d.bring(text)
        same = d.bring(text)
        other_bytes = d.bring("\ufeff" + text.replace("\n", "\r\n"))
        for report in (same, other_bytes):
            assert (report.source, report.rows, report.already_there) == (None, 2, 2)
            assert report.duplicate_of == first.source
            assert report.exit_code == 0
            assert "nothing added" in report.words()
        assert d.rows("SELECT count(*) FROM source") == [(1,)]


def test_rejected_rows_are_kept_with_the_source(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        report = d.bring(
            rows(HEAD, f"{GAME},Skerry,Ilvo Tarn,1", f"{GAME},Skerry,Ilvo Tarn,perhaps")
        )
        assert report.exit_code == 1
        found = d.rows("SELECT source_id, line, column_name, value, reason FROM refused_row")
        assert found == [(1, 3, "made", "perhaps", "unknown_word")]


@pytest.mark.parametrize(
    ("head", "line", "said"),
    [
        (",opponent", ",Skerry", "same team as team and opponent"),
        (",home,away", ",Fenholt,Dunmoor", "neither home nor away"),
    ],
)
def test_teams_that_cannot_be_are_pointed_out(
    tmp_path: Path, head: str, line: str, said: str
) -> None:
    with desk(tmp_path) as d:
        report = d.bring(rows(HEAD + head, f"{GAME},Skerry,Ilvo Tarn,1{line}"))
        assert report.stored == 1
        assert any(said in w for w in report.warnings)


def test_the_opponent_follows_from_home_and_away(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(HEAD + ",home,away", f"{GAME},Skerry,Ilvo Tarn,1,Fenholt,Skerry"))
        found = d.rows("SELECT t.name FROM attempt a JOIN team t ON t.id = a.opponent_id")
        assert found == [("Fenholt",)]


def test_what_games_are_told_to_be_is_kept_and_filled(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(HEAD, f"{GAME},Skerry,Ilvo Tarn,1"))
        filled = d.bring(rows(HEAD + ",stage,home", f"{GAME},Skerry,Ilvo Tarn,1,playoff,Skerry"))
        assert d.rows("SELECT stage FROM game") == [("playoff",)]
        other = d.bring(rows(HEAD + ",stage", f"{GAME},Skerry,Ilvo Tarn,1,cup"))
        assert any("facts of games differ" in w for w in other.warnings)
        assert d.rows("SELECT stage FROM game") == [("playoff",)]
        d.undo(filled.source)
        assert d.rows("SELECT stage, home_team_id FROM game") == [("regular", None)]
        d.again(filled.source)
        assert d.rows("SELECT stage, home_team_id IS NULL FROM game") == [("playoff", False)]


def test_a_file_comes_in_again_for_the_rows_that_were_refused_once(tmp_path: Path) -> None:
    league = "attempt_id,league,tagger,technique"
    tags = rows(league, "x1,Halma League,ann,board", "x2,Halma League,ann,straight")
    shots = [f"{GAME},Skerry,Ilvo Tarn,1,x1", f"{GAME},Skerry,Ilvo Tarn,0,x2"]
    with desk(tmp_path) as d:
        early = d.bring(tags, "tags")
        idle = d.bring(tags, "tags")
        d.bring(rows(HEAD + ",attempt_id", shots[0]))
        half = d.bring(tags, "tags")
        d.bring(rows(HEAD + ",attempt_id", *shots))
        whole = d.bring(tags, "tags")
        again = d.bring(tags, "tags")

        assert (early.stored, early.rejected) == (0, 2)
        assert (idle.duplicate_of, idle.source, idle.rejected) == (early.source, None, 2)
        assert (idle.already_there, idle.exit_code) == (0, 1)
        assert "2 rejected again (lines 2, 3; no_such_attempt 2): --rejects FILE" in idle.words()
        assert (half.duplicate_of, half.stored, half.rejected) == (None, 1, 1)
        assert (whole.duplicate_of, whole.stored, whole.already_there) == (None, 1, 1)
        assert (again.duplicate_of, again.already_there) == (whole.source, 2)
        assert d.rows("SELECT count(*) FROM tag WHERE NOT removed") == [(2,)]
        assert d.whole() == []


def test_a_file_told_of_again_still_gives_its_refused_rows(tmp_path: Path) -> None:
    text = rows(HEAD, f"{GAME},Skerry,Ilvo Tarn,1", f"{GAME},Skerry,Ilvo Tarn,perhaps")
    with desk(tmp_path) as d:
        first = d.bring(text)
        path = d.folder / "shots.csv"
        path.write_text(text, encoding="utf-8")
        again = bring(d.file, path, rejects=d.folder / "mend.csv")

        assert (again.duplicate_of, again.already_there, again.rejected) == (first.source, 1, 1)
        assert "perhaps" in (d.folder / "mend.csv").read_text(encoding="utf-8")
        assert "they are in" in again.words()
        assert d.rows("SELECT count(*) FROM source") == [(1,)]
