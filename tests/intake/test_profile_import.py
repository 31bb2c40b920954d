"""A profiled file's whole way into a ledger: counted by rows, refused rows back in plain fields."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from ledger.cli.importing import import_
from ledger.errors import UseError
from ledger.intake.bring import bring
from ledger.intake.options import typed
from ledger.intake.report import Report
from tests.intake.profiled import HEAD, profile
from tests.store.filing import Desk, desk

BODY = """
dates = "dmy"
order = "file"

[[sides]]
who = "home"
text = "home text"
side = {value = "Skerry"}

[[sides]]
who = "away"
text = "away text"
side = {value = "Ostra"}

[file_name]
pattern = '(?P<game>round \\d+)'

[constants]
league = "Halma League"
season = "2023-24"

[[lookups]]
file = "names.csv"
column = "who"
key = "id"
take = {name = "name"}

[fields]
player = "name"
team = "side"
date = "day"
period = "quarter"
clock = "left"

[[texts]]
column = "text"
pattern = '^(?P<made>[A-Z]+) (?P<trip_shot>\\d)/(?P<trip_of>\\d)$'

[words.made]
IN = "yes"
OUT = "no"

[words.period]
"1er" = "1"
"""
NAMES = "id,name\n1,Ott\n2,Tarn\n3,=Dorn\n"
LINES = """
day,quarter,left,home,home text,away,away text
07/11/15,1er,5:38,1,IN 1/2,,
07/11/15,1er,5:38,1,OUT 2/2,2,IN 1/1
07/11/15,1er,5:20,3,WIDE 1/1,2,IN 1/1
07/11/15,1er,5:10,9,IN 1/1,,
07/11/15,1er,5:00,,,2,timeout
31/02/15,2,4:00,1,IN 1/1,,
07/11/15,OT,4:00,1,IN 1/1
"""
# Those without a refused row.
GOOD = "".join(LINES.splitlines(keepends=True)[:4])


def lay_out(d: Desk, lines: str = LINES, file: str = "round 3.csv") -> Path:
    (d.folder / "names.csv").write_text(NAMES, encoding="utf-8")
    path = d.folder / file
    path.write_text(lines.lstrip("\n"), encoding="utf-8")
    return path


def come_in(d: Desk, path: Path, body: str = BODY, **options: Any) -> Report:
    keep = {key: options.pop(key) for key in ("check", "rejects") if key in options}
    return bring(d.file, path, None, typed(profile=profile(body), **options), **keep)


def test_the_report_counts_rows_of_the_file(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        report = come_in(d, lay_out(d))

        assert (report.rows, report.stored, report.attempts_stored) == (7, 2, 3)
        assert (report.rejected, report.skipped) == (4, 1)
        assert report.reasons == {
            "bad_date": 1,
            "not_in_second_file": 1,
            "unknown_word": 1,
            "wrong_field_count": 1,
        }
        assert report.skipped_reasons == {"no_match": 1}
        assert d.whole() == []


def test_a_check_says_the_same_and_stores_nothing(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        checked = come_in(d, lay_out(d), check=True)

        assert (checked.rows, checked.stored, checked.source) == (7, 2, None)
        assert d.rows("SELECT count(*) FROM attempt") == [(0,)]


def test_refused_rows_mended_come_in_without_the_profile(tmp_path: Path) -> None:
    out = tmp_path / "refused.csv"
    with desk(tmp_path) as d:
        report = come_in(d, lay_out(d), rejects=out)
        with out.open(encoding="utf-8", newline="") as file:
            written = list(csv.DictReader(file))
        assert [row["line"] for row in written] == ["4", "4", "5", "7", "8"]
        assert {row["refused_by"] for row in written[:2]} == {f"{report.sha256}:4"}
        first = written[0]
        assert (first["player"], first["guarded"], first["team"]) == ("'=Dorn", "player", "Skerry")
        assert (first["date"], first["period"], first["clock"]) == ("2015-11-07", "1", "5:20")
        assert (first["game"], first["league"], first["season"]) == (
            "round 3",
            "Halma League",
            "2023-24",
        )
        assert (written[1]["made"], written[1]["player"]) == ("yes", "Tarn")
        assert "names.csv has no row for 9" in written[2]["fix"]
        assert written[4]["beyond_header"] == "07/11/15,OT,4:00,1,IN 1/1"

        mended = out.read_text(encoding="utf-8")
        for wrong, right in (("WIDE", "no"), ("31/02/15", "2015-02-28"), (",Skerry,9,", "")):
            mended = mended.replace(wrong, right)
        kept = [row for row in mended.splitlines() if "not_in_second" not in row]
        kept = [row for row in kept if "wrong_field" not in row]
        again = d.bring("\n".join(kept) + "\n")

        assert (again.rows, again.stored, again.rejected) == (3, 3, 0)
        names = d.rows("SELECT DISTINCT p.name FROM attempt a JOIN player p ON p.id = a.player_id")
        assert sorted(names) == [("=Dorn",), ("Ott",), ("Tarn",)]
        assert d.rows("SELECT count(*) FROM attempt") == [(6,)]
        assert d.whole() == []


def test_the_same_bytes_by_the_same_profile_add_nothing_and_are_not_read_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with desk(tmp_path) as d:
        first = come_in(d, lay_out(d, GOOD))

        def never(*_: object, **__: object) -> None:
            raise AssertionError("the file was read again")

        monkeypatch.setattr("ledger.intake.bring.read_snapshot", never)
        again = come_in(d, lay_out(d, GOOD))

        assert (again.duplicate_of, again.stored, again.exit_code) == (first.source, 0, 0)
        assert again.words().count("\n") == 0


def test_rows_that_the_profile_left_refused_are_not_said_to_be_there(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        first = come_in(d, lay_out(d))

        again = come_in(d, lay_out(d))

        assert (again.duplicate_of, again.stored, again.exit_code) == (first.source, 0, 1)
        assert (again.rejected, again.already_there) == (4, 2)


def test_another_profile_or_second_file_is_read_and_the_same_records_add_nothing(
    tmp_path: Path,
) -> None:
    with desk(tmp_path) as d:
        path = lay_out(d)
        first = come_in(d, path)

        other = come_in(d, path, BODY + "\n# another text\n")
        (d.folder / "names.csv").write_text(NAMES + "9,Kilo\n", encoding="utf-8")
        more = come_in(d, path)

        assert (other.duplicate_of, other.stored) == (first.source, 0)
        assert (more.duplicate_of, more.stored, more.already_there) == (None, 1, 2)


def test_what_a_source_was_read_by_is_kept_with_it(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        report = come_in(d, lay_out(d))

        kept = json.loads(d.rows("SELECT mapping FROM source")[0][0])
        assert kept["--profile"] == "Halma"
        assert kept["--profile-digest"] == profile(BODY).digest
        assert (kept["name"], kept["--set league"]) == ("player", "Halma League")
        assert report.mapping["text (text)"] == "made"


def test_more_than_one_game_holds_refuses_both_sides_of_a_row(tmp_path: Path) -> None:
    body = """
[[sides]]
who = "home"
ft = "home ft"
side = {value = "Skerry"}
[[sides]]
who = "away"
ft = "away ft"
side = {value = "Ostra"}
[constants]
league = "Halma League"
season = "2023-24"
date = "2023-10-14"
game = "G1"
[fields]
player = "who"
team = "side"
[pair]
column = "ft"
"""
    lines = "home,home ft,away,away ft\nOtt,7-9,Tarn,300-999\nDorn,0-0,Kilo,1-2\nOselo,0-0,Ulm,-\n"
    with desk(tmp_path) as d:
        path = lay_out(d, lines)
        report = bring(d.file, path, None, typed(profile=profile(body, "box")))

        assert (report.rows, report.stored, report.rejected, report.skipped) == (3, 1, 1, 1)
        assert d.rows("SELECT count(*) FROM attempt") == [(2,)]


def test_a_profile_of_another_kind_than_as_is_refused(tmp_path: Path) -> None:
    with (
        desk(tmp_path) as d,
        pytest.raises(UseError, match="--as box: the profile Halma is one of attempts"),
    ):
        bring(d.file, lay_out(d), "box", typed(profile=profile(BODY)))


@pytest.mark.parametrize("saved", [False, True])
def test_the_command_takes_a_profile_by_its_name_or_its_file(tmp_path: Path, saved: bool) -> None:
    text = HEAD.format(kind="attempts") + BODY
    own = tmp_path / "halma.toml"
    own.write_text(text, encoding="utf-8")
    with desk(tmp_path) as d:
        path = lay_out(d)
        if saved:
            from ledger.intake.profile.keeping import keep

            keep(d.file, text, "halma.toml")
        d.file.close()
        name = "HALMA" if saved else str(own)
        asked = [str(path), "--profile", name, "--ledger", str(d.file.path), "--json", "--quiet"]

        result = CliRunner().invoke(import_, asked, standalone_mode=False)

        assert result.return_value == 1
        assert json.loads(result.stdout)["stored"] == 2
