"""Who a name is."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.store.filing import HEAD, desk, rows


def shot(date: str, team: str, player: str, league: str = "Halma League", made: int = 1) -> str:
    return f"{league},2023-24,{date},G{date},{team},{player},{made}"


def people(d: object) -> int:
    return int(d.rows("SELECT count(DISTINCT coalesce(same_as, id)) FROM player")[0][0])  # type: ignore[attr-defined]


@pytest.mark.parametrize("other", ["ILVO  TARN", "Ilvo\u00a0Tarn", "I\u200blvo Tarn", "ilvo tarn "])
def test_case_blanks_and_invisible_letters_make_no_second_player(
    tmp_path: Path, other: str
) -> None:
    text = rows(
        HEAD, shot("2023-10-01", "Skerry", "Ilvo Tarn"), shot("2023-10-02", "Skerry", other)
    )
    with desk(tmp_path) as d:
        report = d.bring(text)
        assert report.new["players"] == 1
        assert people(d) == 1
        assert d.rows("SELECT name FROM person") == [("Ilvo Tarn",)]
        assert d.whole() == []


def test_a_record_keeps_the_capitals_it_was_written_with(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(HEAD, shot("2023-10-01", "Skerry", "Ilvo Tarn")))
        d.bring(rows(HEAD, shot("2023-10-02", "Skerry", "ILVO TARN")))
        written = d.rows(
            "SELECT p.name FROM attempt a JOIN player p ON p.id = a.player_id ORDER BY a.id"
        )
        assert written == [("Ilvo Tarn",), ("ILVO TARN",)]
        assert people(d) == 1


def test_composed_and_decomposed_letters_are_one_player_and_accents_tell_apart(
    tmp_path: Path,
) -> None:
    text = rows(
        HEAD,
        shot("2023-10-01", "Skerry", "\u00c9sk Nibo"),
        shot("2023-10-02", "Skerry", "E\u0301sk Nibo"),
        shot("2023-10-03", "Skerry", "Esk Nibo"),
    )
    with desk(tmp_path) as d:
        report = d.bring(text)
        assert people(d) == 2
        assert any("accents" in w for w in report.warnings)


def test_one_name_in_two_leagues_is_two_players(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(
            rows(
                HEAD,
                shot("2023-10-01", "Skerry", "Ilvo Tarn"),
                shot("2023-10-02", "Skerry", "Ilvo Tarn", league="Ormeda Liga"),
            )
        )
        assert people(d) == 2


def test_two_teams_on_one_day_are_two_players_and_listed(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        report = d.bring(
            rows(
                HEAD,
                shot("2023-10-01", "Skerry", "Ilvo Tarn"),
                shot("2023-10-01", "Fenholt", "Ilvo Tarn"),
            )
        )
        assert people(d) == 2
        assert any("Ilvo Tarn played for" in w and "offglass same" in w for w in report.warnings)


def test_interleaving_days_are_two_players_a_move_is_one(tmp_path: Path) -> None:
    text = rows(
        HEAD,
        shot("2023-10-01", "Skerry", "Ilvo Tarn"),
        shot("2023-10-05", "Fenholt", "Ilvo Tarn"),
        shot("2023-10-09", "Skerry", "Ilvo Tarn"),
        shot("2023-10-01", "Skerry", "Bram Oselo"),
        shot("2023-10-05", "Skerry", "Bram Oselo"),
        shot("2023-12-09", "Fenholt", "Bram Oselo"),
    )
    with desk(tmp_path) as d:
        d.bring(text)
        by_name = d.rows("SELECT name, count(*) FROM player GROUP BY 1 ORDER BY 1")
        assert by_name == [("Bram Oselo", 1), ("Ilvo Tarn", 2)]
        assert d.whole() == []


def test_days_of_the_ledger_count_in_the_test(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(
            rows(
                HEAD,
                shot("2023-10-01", "Skerry", "Ilvo Tarn"),
                shot("2023-10-09", "Skerry", "Ilvo Tarn"),
            )
        )
        report = d.bring(rows(HEAD, shot("2023-10-05", "Fenholt", "Ilvo Tarn")))
        assert report.new["players"] == 1
        assert people(d) == 2


def test_a_player_who_moved_is_parted_when_his_days_turn_out_to_interleave(tmp_path: Path) -> None:
    moved = rows(
        HEAD,
        shot("2023-10-01", "Skerry", "Ilvo Tarn"),
        shot("2023-11-01", "Fenholt", "Ilvo Tarn"),
    )
    with desk(tmp_path) as d:
        d.bring(moved)
        assert people(d) == 1
        late = d.bring(rows(HEAD, shot("2023-12-01", "Skerry", "Ilvo Tarn")))
        by_team = (
            "SELECT t.name, count(DISTINCT a.player_id), count(*) FROM attempt a "
            "JOIN team t ON t.id = a.team_id WHERE NOT a.removed GROUP BY 1 ORDER BY 1"
        )
        assert d.rows(by_team) == [("Fenholt", 1, 1), ("Skerry", 1, 2)]
        assert d.rows("SELECT count(DISTINCT player_id) FROM attempt") == [(2,)]
        d.undo(late.source)
        assert d.rows("SELECT count(DISTINCT player_id) FROM attempt WHERE NOT removed") == [(1,)]
        d.again(late.source)
        assert d.rows("SELECT count(DISTINCT player_id) FROM attempt WHERE NOT removed") == [(2,)]
        assert d.whole() == []


@pytest.mark.parametrize(
    ("other", "evidence"),
    [
        ("Tarn Ilvo", "another order"),
        ("I. Tarn", "initials"),
        ("\u0406lvo Tarn", "two scripts"),
        ("Ilvo Tar", "cut short"),
    ],
)
def test_names_that_may_be_one_are_offered_with_evidence_and_kept_apart(
    tmp_path: Path, other: str, evidence: str
) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(HEAD, shot("2023-10-01", "Skerry", "Ilvo Tarn")))
        report = d.bring(rows(HEAD, shot("2023-10-02", "Skerry", other)))
        assert people(d) == 2
        assert any(evidence in w for w in report.warnings)


def test_seasons_in_two_spellings_are_one(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(HEAD, shot("2023-10-01", "Skerry", "Ilvo Tarn")))
        d.bring(rows(HEAD, shot("2023-10-01", "Skerry", "Ilvo Tarn").replace("2023-24", "2023/24")))
        assert d.rows("SELECT count(*) FROM season") == [(1,)]
        assert d.rows("SELECT count(*) FROM attempt") == [(1,)]
