"""One file's whole way into a ledger."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from ledger.errors import RefusedInput, UseError
from ledger.intake.bring import bring
from ledger.intake.options import typed
from tests.store.filing import HEAD, desk, rows

GAME = "Halma League,2023-24,2023-10-14,G1,Skerry"


def table(path: Path, delimiter: str = ",") -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, delimiter=delimiter))


def test_a_refused_file_leaves_the_ledger_as_it_was(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        with pytest.raises(RefusedInput, match="--as box"):
            d.bring(rows(HEAD + ",attempted", f"{GAME},Ilvo Tarn,7,9"))
        assert d.rows("SELECT count(*) FROM source") == [(0,)]
        assert d.rows("SELECT value FROM ledger_meta WHERE key = 'changes'") == [("0",)]


def test_words_of_the_ledger_are_used(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        with d.file.changing("a word") as con:
            con.execute(
                "INSERT INTO word VALUES "
                "('made', 'ja', 'ja', 'yes', 'ann', TIMESTAMP '2025-01-01 00:00:00')"
            )
            con.execute("INSERT INTO technique VALUES (5, 'windmill', false, '', NULL, 5)")
        report = d.bring(rows(HEAD + ",technique", f"{GAME},Ilvo Tarn,ja,Windmill"))
        assert report.stored == 1
        assert d.rows("SELECT technique_id FROM tag") == [(5,)]


def test_what_is_told_beside_the_file_is_kept_with_the_source(tmp_path: Path) -> None:
    text = rows(
        "Liga,Datum,Spiel,Team,Spieler,Treffer,technique", "Halma,2023-10-14,G1,Skerry,Tarn,1,board"
    )
    maps = ["Liga=league", "Datum=date", "Spiel=game", "Spieler=player", "Treffer=made"]
    with desk(tmp_path) as d:
        report = d.bring(text, maps=maps, sets=["season=2023-24"], drawn=True, tagger="bo")
        assert report.mapping["Spieler"] == "player"
        found = d.rows("SELECT drawn, mapping, sha256, who, kind FROM source")
        assert found[0][0] is True
        assert '"Spieler": "player"' in found[0][1]
        assert (found[0][2], found[0][3], found[0][4]) == (report.sha256, "ann", "attempts")
        assert d.rows("SELECT tagger FROM tag") == [("bo",)]


def test_refused_rows_are_written_to_be_mended_and_come_in_again(tmp_path: Path) -> None:
    out = tmp_path / "refused.csv"
    text = rows(
        "Liga;date;game;team;Spieler;made;note",
        "Halma;2023-10-14;G1;Skerry;Tarn;1;fine",
        'Halma;2023-10-14;G1;Skerry;"=Oselo; B";maybe;"a ""quoted"" note"',
        "Halma;2023-10-14;G1;Skerry;Dorn;0;-3",
        "Halma;2023-13-45;G1;Skerry;Dorn;0;@home",
    )
    with desk(tmp_path) as d:
        report = d.bring(
            text,
            rejects=out,
            maps=["Liga=league", "Spieler=player"],
            sets=["season=2023-24"],
        )
        assert (report.rejected, report.rejects_file) == (2, str(out))
        written = table(out, ";")
        assert [r["line"] for r in written] == ["3", "5"]
        assert [r["reason"] for r in written] == ["unknown_word", "bad_date"]
        assert all(r["fix"] for r in written)
        assert (written[0]["player"], written[0]["guarded"]) == ("'=Oselo; B", "player")
        assert (written[0]["note"], written[0]["season"]) == ('a "quoted" note', "2023-24")
        assert (written[1]["note"], written[1]["guarded"]) == ("'@home", "note")
        mended = (
            out.read_text(encoding="utf-8")
            .replace("maybe", "1")
            .replace("2023-13-45", "2023-10-15")
        )
        again = d.bring(mended)
        assert (again.rows, again.stored) == (2, 2)
        names = d.rows("SELECT name FROM player ORDER BY 1")
        assert names == [("=Oselo; B",), ("Dorn",), ("Tarn",)]
        assert d.rows("SELECT note FROM tag WHERE note LIKE '@%'") == [("@home",)]


def test_rows_with_too_few_or_too_many_cells_keep_all_their_text(tmp_path: Path) -> None:
    out = tmp_path / "refused.csv"
    with desk(tmp_path) as d:
        d.bring(rows(HEAD, f"{GAME},Ilvo Tarn,1,more,=still", f"{GAME},Ilvo"), rejects=out)
    first, second = table(out)
    assert (first["made"], first["beyond_header"]) == ("1", "more,=still")
    assert (second["player"], second["made"], second["beyond_header"]) == ("Ilvo", "", "")


def test_rows_refused_by_the_ledger_are_written_too(tmp_path: Path) -> None:
    out = tmp_path / "refused.csv"
    text = rows("attempt_id,technique,note", 'A8,board,"two\nlines"', "A9,board,x")
    with desk(tmp_path) as d:
        d.bring(text, "tags", rejects=out)
    found = table(out)
    assert [(r["attempt_id"], r["note"], r["reason"]) for r in found] == [
        ("A8", "two\nlines", "no_such_attempt"),
        ("A9", "x", "no_such_attempt"),
    ]


def test_the_rejects_file_is_never_the_file_itself_and_says_when_it_cannot_be_written(
    tmp_path: Path,
) -> None:
    path = tmp_path / "shots.csv"
    path.write_text(rows(HEAD, f"{GAME},Ilvo Tarn,maybe", f"{GAME},Ilvo Tarn,1"), encoding="utf-8")
    before = path.read_bytes()
    with desk(tmp_path) as d:
        with pytest.raises(UseError, match="is the file itself"):
            bring(d.file, path, rejects=path)
        with pytest.raises(UseError, match="cannot be written"):
            bring(d.file, path, rejects=tmp_path / "nowhere" / "refused.csv")
        assert d.rows("SELECT count(*) FROM source") == [(0,)]
    assert path.read_bytes() == before


def test_a_stop_in_the_middle_keeps_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from ledger.store import bulk

    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    with desk(tmp_path) as d:
        monkeypatch.setattr(bulk, "add_sightings", stopped)
        with pytest.raises(KeyboardInterrupt):
            d.bring(rows(HEAD, f"{GAME},Ilvo Tarn,1"))
        monkeypatch.undo()
        assert d.rows("SELECT count(*) FROM attempt") == [(0,)]
        assert d.bring(rows(HEAD, f"{GAME},Ilvo Tarn,1")).stored == 1
        assert d.whole() == []


def test_many_rows_go_in_in_pieces(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from ledger.store import frames

    monkeypatch.setattr(frames, "PIECE", 7)
    lines = [f"{GAME},Player {n % 5},{n % 2},board" for n in range(50)]
    with desk(tmp_path) as d:
        report = d.bring(rows(HEAD + ",technique", *lines))
        assert (report.attempts_stored, report.tags_stored) == (50, 50)
        assert d.rows("SELECT count(DISTINCT id), min(id), max(id) FROM attempt") == [(50, 1, 50)]
        assert d.rows("SELECT count(DISTINCT line) FROM sighting") == [(50,)]
        assert d.whole() == []


def test_options_typed_anew_are_no_repetition(tmp_path: Path) -> None:
    text = rows(HEAD + ",x", f"{GAME},Ilvo Tarn,1,offensive")
    path = tmp_path / "shots.csv"
    path.write_text(text, encoding="utf-8")
    with desk(tmp_path) as d:
        bring(d.file, path)
        report = bring(d.file, path, options=typed(["x=rebound_by"]))
        assert (report.duplicate_of, report.stored, report.fields_filled) == (None, 1, 1)
        assert bring(d.file, path, options=typed(["x=rebound_by"])).duplicate_of == report.source
