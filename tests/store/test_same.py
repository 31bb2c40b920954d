"""Names that a person says are one, and what becomes of games that were told under both."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from itertools import permutations
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.errors import UseError
from ledger.store import same as joining
from tests.store.filing import HEAD, Desk, desk, rows

GAME = "Halma League,2023-24,2023-10-14,G1,Skerry"


def shots(who: str, *made: int, game: str = GAME) -> str:
    return rows(HEAD, *[f"{game},{who},{m}" for m in made])


def join(d: Desk, *names: str, kind: str = "player", within: str | None = None) -> joining.Joined:
    with d.file.changing("same") as con:
        return joining.same(con, d.file, names, kind=kind, within=within)


def part(d: Desk, *names: str, kind: str = "player") -> joining.Joined:
    with d.file.changing("same") as con:
        return joining.apart(con, d.file, names, kind=kind)


def live(d: Desk) -> list[tuple[int, int]]:
    return d.rows("SELECT count(*) FILTER (WHERE made), count(*) FROM attempt WHERE NOT removed")


def people(d: Desk) -> int:
    return int(d.rows("SELECT count(DISTINCT person_id) FROM live_attempt")[0][0])


def test_two_spellings_are_one_player_and_the_first_is_shown(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(shots("Ilvo Tarn", 1, 0))
        d.bring(shots("I. Tarn", 1, game="Halma League,2023-24,2023-10-21,G2,Skerry"))
        done = join(d, "i. tarn", "ILVO TARN")
        assert people(d) == 1
        assert d.rows("SELECT DISTINCT name FROM live_attempt JOIN person USING (person_id)") == [
            ("I. Tarn",)
        ]
        assert "offglass undo" in done.words()
        assert d.whole() == []


def test_one_game_told_under_two_names_counts_once_and_the_fuller_file_stays(
    tmp_path: Path,
) -> None:
    with desk(tmp_path) as d:
        d.bring(shots("Ilvo Tarn", 1, 1, 0))
        d.bring(shots("I. Tarn", 1, 1, 0, 1))
        assert live(d) == [(5, 7)]
        done = join(d, "Ilvo Tarn", "I. Tarn")
        assert live(d) == [(3, 4)]
        assert "3 attempts that came under both names count once" in done.words()
        assert d.whole() == []


def test_the_order_of_files_and_of_the_join_does_not_matter(tmp_path: Path) -> None:
    texts = (shots("Ilvo Tarn", 1, 1, 0), shots("I. Tarn", 1, 0, 1), shots("Tarn Ilvo", 1, 1, 0))
    found = []
    for at, order in enumerate(permutations(texts)):
        with desk(tmp_path, f"b{at}") as d:
            for text in order[:2]:
                d.bring(text)
            names = [n for n in ("Ilvo Tarn", "I. Tarn", "Tarn Ilvo") if n in "".join(order[:2])]
            first = join(d, *names)
            d.bring(order[2])
            last = [n for n in ("Ilvo Tarn", "I. Tarn", "Tarn Ilvo") if n not in names]
            join(d, *names[:1], *last)
            assert first.source_id == 3
            assert d.whole() == []
            found.append(live(d))
    assert found == [[(2, 3)]] * 6


def test_records_that_differ_are_said_and_the_first_holds(tmp_path: Path) -> None:
    head = HEAD + ",order"
    with desk(tmp_path) as d:
        d.bring(rows(head, f"{GAME},Ilvo Tarn,1,1", f"{GAME},Ilvo Tarn,1,2"))
        second = d.bring(rows(head, f"{GAME},I. Tarn,1,1", f"{GAME},I. Tarn,0,2"))
        done = join(d, "Ilvo Tarn", "I. Tarn")
        assert live(d) == [(2, 2)]
        assert "1 of their records differ" in done.words()
        assert d.rows(f"SELECT contradicting FROM source WHERE id = {second.source}") == [(1,)]
        assert d.whole() == []


def test_names_of_one_game_in_one_file_are_joined_with_a_warning(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(HEAD, f"{GAME},Ilvo Tarn,1", f"{GAME},I. Tarn,1"))
        done = join(d, "Ilvo Tarn", "I. Tarn")
        assert live(d) == [(2, 2)]
        assert "speaks for several players" in done.words()


def test_chains_lead_to_one_row_whatever_the_order_of_undoing(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        for at, name in enumerate(("Aro", "Bro", "Cro", "Dro")):
            d.bring(shots(name, 1, game=f"Halma League,2023-24,2023-11-0{at + 1},G{at},Skerry"))
        first = join(d, "Aro", "Bro")
        second = join(d, "Cro", "Dro")
        third = join(d, "Bro", "Cro")
        assert people(d) == 1
        assert d.whole() == []
        d.undo(first.source_id)
        assert people(d) == 2
        assert d.whole() == []
        d.undo(third.source_id)
        assert people(d) == 3
        d.again(first.source_id)
        d.undo(second.source_id)
        assert people(d) == 3
        assert d.whole() == []


def test_three_names_at_once(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        for at, name in enumerate(("Aro", "Bro", "Cro")):
            d.bring(shots(name, 1, game=f"Halma League,2023-24,2023-11-0{at + 1},G{at},Skerry"))
        join(d, "Aro", "Bro", "Cro")
        assert people(d) == 1


def test_apart_takes_one_name_out_and_leaves_the_rest_joined(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        for at, name in enumerate(("Aro", "Bro", "Cro")):
            d.bring(shots(name, 1, game=f"Halma League,2023-24,2023-11-0{at + 1},G{at},Skerry"))
        join(d, "Aro", "Bro", "Cro")
        done = part(d, "Bro", "Aro")
        assert people(d) == 2
        assert d.rows(
            "SELECT count(*) FROM player b JOIN player c ON c.id = coalesce(b.same_as, b.id) "
            "WHERE b.name = 'Cro' AND c.name = 'Bro'"
        ) == [(1,)]
        d.undo(done.source_id)
        assert people(d) == 1
        assert d.whole() == []


def test_what_comes_in_after_a_join_is_of_the_name_it_came_with_once_that_is_undone(
    tmp_path: Path,
) -> None:
    later = shots("I. Tarn", 0, 0, game="Halma League,2023-24,2023-11-01,G5,Skerry")
    with desk(tmp_path) as d, desk(tmp_path, "other") as other:
        d.bring(shots("Ilvo Tarn", 1))
        d.bring(shots("I. Tarn", 1))
        done = join(d, "Ilvo Tarn", "I. Tarn")
        d.bring(later)
        d.undo(done.source_id)
        for text in (shots("Ilvo Tarn", 1), shots("I. Tarn", 1), later):
            other.bring(text)
        assert d.dump() == other.dump()


def test_tags_and_corrections_of_a_record_that_was_joined_come_back_with_it(tmp_path: Path) -> None:
    head = HEAD + ",attempt_id"
    with desk(tmp_path) as d:
        d.bring(rows(head, f"{GAME},Ilvo Tarn,1,"))
        d.bring(rows(head, f"{GAME},I. Tarn,1,x7"))
        d.bring(rows("attempt_id,technique,tagger", "x7,board,ann"), "tags")
        before = d.dump()
        done = join(d, "Ilvo Tarn", "I. Tarn")
        assert live(d) == [(1, 1)]
        assert sum(d.dump()["tags"].values()) == 1
        assert d.whole() == []
        d.undo(done.source_id)
        assert d.dump() == before
        assert d.rows("SELECT count(*) FROM attempt") == [(2,)]
        d.again(done.source_id)
        assert sum(d.dump()["tags"].values()) == 1
        assert d.whole() == []


def test_teams_of_two_spellings_make_one_game_and_one_player_of_a_name(tmp_path: Path) -> None:
    head = "league,season,date,game,home,away,team,player,made"
    line = "Halma League,2023-24,2023-10-14,G1"
    with desk(tmp_path) as d:
        d.bring(rows(head, f"{line},Skerry,Fenholt,Skerry,Ilvo Tarn,1"))
        d.bring(rows(head, f"{line},Skerry BC,Fenholt,Skerry BC,Ilvo Tarn,1"))
        before = d.dump()
        assert people(d) == 2
        done = join(d, "Skerry", "skerry bc", kind="team")
        assert (live(d), people(d)) == ([(1, 1)], 1)
        assert d.whole() == []
        third = d.bring(rows(head, f"{line},Skerry BC,Fenholt,Skerry BC,Ilvo Tarn,1"))
        assert live(d) == [(1, 1)]
        assert third.source is None
        d.undo(done.source_id)
        assert d.dump() == before
        assert d.whole() == []
        d.again(done.source_id)
        assert (live(d), people(d)) == ([(1, 1)], 1)


def test_games_without_a_label_are_one_where_their_teams_are(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(shots("Ilvo Tarn", 1, 0))
        d.bring(shots("Ilvo Tarn", 1, 0, game="Halma League,2023-24,2023-10-14,G9,Skerry BC"))
        with d.file.changing("a test") as con:
            con.execute("UPDATE game SET label = NULL, home_team_id = id")
        done = join(d, "Skerry", "Skerry BC", kind="team")
        assert (live(d), people(d)) == ([(1, 2)], 1)
        assert d.whole() == []
        d.undo(done.source_id)
        assert (live(d), people(d)) == ([(2, 4)], 2)
        assert d.rows("SELECT count(*) FROM attempt") == [(4,)]


def test_leagues_of_two_spellings_take_teams_players_and_games_with_them(tmp_path: Path) -> None:
    other = GAME.replace("Halma League", "Halma Liga")
    with desk(tmp_path) as d:
        first = d.bring(shots("Ilvo Tarn", 1, 0))
        d.bring(shots("Ilvo Tarn", 1, 0, game=other))
        before = d.dump()
        done = join(d, "Halma League", "Halma Liga", kind="league")
        assert (live(d), people(d)) == ([(1, 2)], 1)
        assert d.whole() == []
        d.bring(shots("Ilvo Tarn", 1, 0, 1, game=other))
        assert live(d) == [(2, 3)]
        d.undo(4)
        d.undo(first.source)
        assert live(d) == [(1, 2)]
        d.again(first.source)
        assert live(d) == [(1, 2)]
        d.undo(done.source_id)
        assert d.dump() == before
        assert d.whole() == []


def test_totals_of_two_spellings_count_once(tmp_path: Path) -> None:
    head = "league,season,team,player,made,attempts"
    with desk(tmp_path) as d:
        d.bring(rows(head, "Halma League,2023-24,Skerry,Ilvo Tarn,70,90"), "totals")
        d.bring(rows(head, "Halma League,2023-24,Skerry,I. Tarn,70,90"), "totals")
        before = d.dump()
        done = join(d, "Ilvo Tarn", "I. Tarn")
        assert d.rows("SELECT sum(attempts) FROM season_total WHERE NOT removed") == [(90,)]
        d.undo(done.source_id)
        assert d.dump() == before


def test_a_returning_player_is_joined_by_hand_and_stays_joined(tmp_path: Path) -> None:
    def day(team: str, date: str) -> str:
        return shots("Ilvo Tarn", 1, game=f"Halma League,2023-24,{date},{team}{date},{team}")

    with desk(tmp_path) as d:
        d.bring(day("Skerry", "2023-10-14"))
        d.bring(day("Fenholt", "2024-01-10"))
        assert people(d) == 1
        d.bring(day("Skerry", "2024-03-20"))
        assert people(d) == 2
        with pytest.raises(UseError, match=r'is 2 players: type "Ilvo Tarn \((Skerry|Fenholt)\)"'):
            join(d, "Ilvo Tarn", "Ilvo Tarn")
        join(d, "Ilvo Tarn (Skerry)", "Ilvo Tarn (Fenholt)")
        assert people(d) == 1
        d.bring(day("Fenholt", "2024-04-01"))
        d.bring(day("Skerry", "2024-04-08"))
        assert people(d) == 1
        d.bring(day("Dunmoor", "2024-04-08"))
        assert people(d) == 2
        assert d.whole() == []


def test_one_person_abroad_and_at_home(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(shots("Ilvo Tarn", 1))
        d.bring(shots("Ilvo Tarn", 1, game="Ormeda Liga,2024-25,2024-10-14,G1,Dunmoor"))
        with pytest.raises(
            UseError, match=r'type "Ilvo Tarn \(Skerry\)" .*"Ilvo Tarn \(Dunmoor\)"'
        ):
            join(d, "Ilvo Tarn", "Ilvo Tarn")
        join(d, "Ilvo Tarn (Halma League)", "ilvo tarn (ormeda liga)")
        assert people(d) == 1
        d.bring(shots("Ilvo Tarn", 0, game="Ormeda Liga,2024-25,2024-10-21,G2,Dunmoor"))
        assert people(d) == 1
        assert d.whole() == []


@pytest.mark.parametrize(
    ("names", "kind", "words"),
    [
        (["Ilvo Tarn"], "player", "give two players or more"),
        (["Ilvo Tarn", "Ilva Tarn"], "player", "no player 'Ilva Tarn': did you mean"),
        (["Ilvo Tarn", "ilvo tarn"], "player", "are one player already"),
        (["Skerry", "Dunmoor"], "team", "play in different leagues"),
        (["Halma League", "Nordic"], "league", "no league 'Nordic'"),
    ],
)
def test_what_cannot_be_joined_is_said_in_one_line(
    tmp_path: Path, names: Sequence[str], kind: str, words: str
) -> None:
    with desk(tmp_path) as d:
        d.bring(shots("Ilvo Tarn", 1))
        d.bring(shots("Bram Oselo", 1, game="Ormeda Liga,2024-25,2024-10-14,G1,Dunmoor"))
        before = d.rows("SELECT count(*) FROM source")
        with pytest.raises(UseError, match=words):
            join(d, *names, kind=kind)
        assert d.rows("SELECT count(*) FROM source") == before


NAMES = ("Ilvo Tarn", "I. Tarn", "Ilvo Tàrn")


@settings(
    max_examples=6,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(NAMES),
            st.sampled_from(["Skerry", "Skerry BC"]),
            st.lists(st.integers(0, 1), min_size=1, max_size=4).map(tuple),
        ),
        min_size=2,
        max_size=3,
        unique=True,
    )
)
def test_a_join_taken_back_leaves_the_ledger_as_it_was(
    files: list[tuple[str, str, tuple[int, ...]]],
) -> None:
    with tempfile.TemporaryDirectory() as name, desk(Path(name)) as d:
        for who, team, made in files:
            d.bring(shots(who, *made, game=GAME.replace("Skerry", team)))
        before = d.dump()
        joins = []
        names = list(dict.fromkeys(f[0] for f in files))
        teams = list(dict.fromkeys(f[1] for f in files))
        if len(teams) > 1:
            joins.append(join(d, *teams, kind="team").source_id)
        if len(names) > 1:
            joins.append(join(d, *names).source_id)
        joined = d.dump()
        assert d.whole() == []
        for source in joins:
            d.undo(source)
        assert d.dump() == before
        assert d.whole() == []
        for source in joins:
            d.again(source)
        assert d.dump() == joined


def test_a_team_written_otherwise_than_home_and_away_has_its_opponent(tmp_path: Path) -> None:
    head = "league,season,date,game,home,away,team,player,made"
    with desk(tmp_path) as d:
        d.bring(shots("Ilvo Tarn", 1))
        d.bring(shots("Bram Oselo", 1, game="Halma League,2023-24,2023-10-21,G2,Skerry BC"))
        join(d, "Skerry", "Skerry BC", kind="team")
        line = "Halma League,2023-24,2023-10-28,G3,Skerry,Fenholt,Skerry BC"
        report = d.bring(rows(head, f"{line},Bram Oselo,1"))
        assert not any("neither home nor away" in w for w in report.warnings)
        assert d.rows("SELECT t.name FROM attempt a JOIN team t ON t.id = a.opponent_id") == [
            ("Fenholt",)
        ]
