"""`profile new`, `try`, `save`, `list`, from a file to a stored week."""

from __future__ import annotations

import json
import shlex
import tomllib
from pathlib import Path
from time import process_time

import pytest

from tests.cli.conftest import Offglass
from tests.intake.leagues import pairs, sheet, two_sides
from tests.intake.leagues.case import League

WEEK = "brem week 1.csv"


def _laid_down(desk: Path, league: League) -> str:
    (desk / league.first.file).write_bytes(league.first.data)
    return league.first.file


@pytest.fixture
def by_hand(desk: Path) -> str:
    """The profile of a league as a person wrote it, and its first file beside it."""
    _laid_down(desk, pairs.LEAGUE)
    (desk / "lusk.toml").write_text(pairs.LEAGUE.profile, encoding="utf-8")
    return "lusk.toml"


@pytest.fixture
def drafted(desk: Path, offglass: Offglass) -> Path:
    """A draft for a file, in brem.toml."""
    assert (
        offglass("profile", "new", _laid_down(desk, two_sides.LEAGUE), "-o", "brem.toml").code == 0
    )
    return desk / "brem.toml"


def _answered(draft: Path) -> None:
    text = draft.read_text(encoding="utf-8")
    start, end = text.index("ask = ["), text.index("\n]", text.index("ask = [")) + 2
    text = text[:start] + text[end:]
    text = text.replace('# league = ""', 'league = "Brem League"')
    draft.write_text(text.replace('# season = ""', 'season = "2022-23"'), encoding="utf-8")


def test_new_writes_a_profile_on_stdout_and_its_questions_on_stderr(
    desk: Path, offglass: Offglass
) -> None:
    done = offglass("profile", "new", _laid_down(desk, two_sides.LEAGUE))
    body = tomllib.loads(done.out)
    assert done.code == 0
    assert body["as"] == "attempts"
    assert len(body["ask"]) == done.err.count("to answer: ")
    assert "1 question to answer" in done.err
    assert not (desk / "spring.duckdb").exists()


def test_new_never_overwrites(desk: Path, drafted: Path, offglass: Offglass) -> None:
    before = drafted.read_bytes()
    done = offglass("profile", "new", WEEK, "-o", "brem.toml")
    assert done.code == 2
    assert "never overwritten" in done.err
    assert drafted.read_bytes() == before


def test_new_takes_what_a_row_is_where_it_is_said(desk: Path, offglass: Offglass) -> None:
    done = offglass("profile", "new", _laid_down(desk, pairs.LEAGUE), "--as", "totals")
    assert tomllib.loads(done.out)["as"] == "totals"


def test_new_asks_which_sheet_of_several(desk: Path, offglass: Offglass) -> None:
    file = _laid_down(desk, sheet.LEAGUE)
    asked = offglass("profile", "new", file)
    assert "which sheet holds the records: About, Frees?" in asked.err
    assert tomllib.loads(asked.out)["form"]["sheet"] == "Frees"
    said = offglass("profile", "new", file, "--sheet", "About")
    assert "which sheet" not in said.err
    assert tomllib.loads(said.out)["form"]["sheet"] == "About"


def test_new_refuses_what_is_no_table_in_one_line(desk: Path, offglass: Offglass) -> None:
    (desk / "page.csv").write_text("<html><body>sign in</body></html>", encoding="utf-8")
    done = offglass("profile", "new", "page.csv")
    assert (done.code, done.out) == (2, "")
    assert done.err.count("\n") == 1


def test_a_draft_is_tried_before_it_is_answered_and_not_saved(
    drafted: Path, offglass: Offglass
) -> None:
    tried = offglass("profile", "try", "brem.toml", WEEK)
    assert tried.code == 1
    assert "left out until it is answered: league, season" in tried.out
    assert "?" not in tried.out.split("17 rows")[0]
    saved = offglass("profile", "save", "brem.toml")
    assert saved.code == 2
    assert "a question is open: 1: league and season" in saved.err
    assert offglass("import", WEEK, "--profile", "brem.toml").code == 2


def test_an_answered_draft_stores_what_a_person_reads_in_the_file(
    drafted: Path, offglass: Offglass
) -> None:
    _answered(drafted)
    assert offglass("profile", "save", "brem.toml", "--name", "brem").code == 0
    done = offglass("import", WEEK, "--profile", "brem", "--json")
    report = json.loads(done.out)
    first = two_sides.LEAGUE.first
    assert report["stored"] == first.stored
    assert report["reasons"] == dict(first.rejected)
    assert report["attempts_stored"] == len(first.records.strip().splitlines()) - 1


def test_try_shows_records_and_counts_and_needs_no_ledger(
    desk: Path, by_hand: str, offglass: Offglass
) -> None:
    done = offglass("profile", "try", by_hand, "box.csv", "--limit", "2")
    assert done.code == 1
    assert "Vruul Helfett" in done.out
    assert "Zef Olbax" not in done.out
    assert "11 rows: 6 records, 3 rejected, 2 skipped; nothing was stored" in done.out
    assert "rejected bad_pair: 1, line 10 Frees: five" in done.out
    assert "skipped not_in_table: 2, line 5" in done.out
    assert not (desk / "spring.duckdb").exists()


def test_try_as_json_counts_every_row(by_hand: str, offglass: Offglass) -> None:
    found = json.loads(offglass("profile", "try", by_hand, "box.csv", "--json").out)
    counted = sum(r["rows"] for what in ("skipped", "rejected") for r in found[what].values())
    assert found["rows"] == 11 == found["records"] + counted
    assert found["first"][0] == {
        "line": 2, "league": "Lusk League", "season": "2023-24", "date": "2023-09-17",
        "game": "M1", "team": "Luskery", "player": "Vruul Helfett", "made": 7, "attempts": 9,
    }  # fmt: skip


def test_try_counts_the_words_of_coded_fields(drafted: Path, offglass: Offglass) -> None:
    done = offglass("profile", "try", "brem.toml", WEEK)
    assert "words of trip_kind: Technical 4 (technical), Flagrant 2 (flagrant)" in done.out


def test_try_uses_the_words_of_the_ledger(desk: Path, offglass: Offglass) -> None:
    import ledger

    (desk / "p.toml").write_text(
        'profile = 1\nname = "p"\nas = "attempts"\n[fields]\nmade = "result"\n', encoding="utf-8"
    )
    (desk / "f.csv").write_text(
        "league,season,date,game,team,player,result\n"
        "Halma League,2023-24,2024-02-13,G1,Tarvask,Zef Olbax,plop\n"
        "Halma League,2023-24,2024-02-13,G1,Tarvask,Zef Olbax,made\n",
        encoding="utf-8",
    )
    fields = "\n".join(
        f'{f} = "{f}"' for f in ["league", "season", "date", "game", "team", "player"]
    )
    with (desk / "p.toml").open("a", encoding="utf-8") as out:
        out.write(fields + "\n")
    without = json.loads(offglass("profile", "try", "p.toml", "f.csv", "--json").out)
    assert without["rejected"]["unknown_word"]["rows"] == 1
    with ledger.open(desk / "spring.duckdb", create=True) as book:
        book.add_word("made", "plop", "no")
    done = offglass("profile", "try", "p.toml", "f.csv", "--json")
    assert done.code == 0
    assert {"text": "plop", "rows": 1, "value": "no"} in json.loads(done.out)["words"]["made"]


def test_try_refuses_a_file_that_does_not_fit(desk: Path, by_hand: str, offglass: Offglass) -> None:
    (desk / "changed.csv").write_bytes(pairs.LEAGUE.changed)
    done = offglass("profile", "try", by_hand, "changed.csv")
    assert (done.code, done.out) == (2, "")
    assert "Frees" in done.err


@pytest.mark.parametrize("with_ledger", [True, False])
def test_try_names_a_profile_that_is_nowhere(
    by_hand: str, offglass: Offglass, with_ledger: bool
) -> None:
    if with_ledger:
        assert offglass("new").code == 0
    done = offglass("profile", "try", "nowhere", "box.csv")
    assert done.code == 2
    assert "nowhere" in done.err


def test_save_again_replaces_and_undo_brings_the_old_one_back(
    desk: Path, by_hand: str, offglass: Offglass
) -> None:
    first = (desk / by_hand).read_text(encoding="utf-8")
    assert offglass("profile", "save", by_hand).code == 0
    second = first.replace("as = ", 'note = "mended"\nas = ')
    (desk / by_hand).write_text(second, encoding="utf-8")
    done = offglass("profile", "save", by_hand)
    assert "offglass undo 2" in done.err
    assert offglass("profile", "list", "Lusk League, box scores").out.strip() == second.strip()
    assert offglass("undo", "2").code == 0
    assert offglass("profile", "list", "Lusk League, box scores").out.strip() == first.strip()
    assert "profile" in offglass("journal").out


def test_save_refuses_what_is_no_profile(desk: Path, offglass: Offglass) -> None:
    (desk / "bad.toml").write_text('profile = 1\nname = "x"\nas = "boxes"\n', encoding="utf-8")
    done = offglass("profile", "save", "bad.toml")
    assert done.code == 2
    assert "as is 'boxes'; it may be attempts, box" in done.err


def test_save_under_another_name_keeps_the_rest_as_written(
    desk: Path, by_hand: str, offglass: Offglass
) -> None:
    assert offglass("profile", "save", by_hand, "--name", 'The "new" one').code == 0
    body = tomllib.loads(offglass("profile", "list", 'The "new" one').out)
    before = tomllib.loads((desk / by_hand).read_text(encoding="utf-8"))
    assert body == before | {"name": 'The "new" one'}


def test_what_save_says_to_type_next_is_one_word_for_the_shell(
    by_hand: str, offglass: Offglass
) -> None:
    name = "lusk'; echo oh"

    saved = offglass("profile", "save", by_hand, "--name", name)

    typed = saved.err.partition("next: ")[2].partition("; to take it back: ")[0]
    assert shlex.split(typed) == ["offglass", "import", "FILE", "--profile", name]


def test_a_profile_of_blank_lines_is_renamed_or_refused_in_no_time(
    desk: Path, offglass: Offglass
) -> None:
    (desk / "blank.toml").write_text("\n" * 200_000, encoding="utf-8")
    began = process_time()

    done = offglass("profile", "save", "blank.toml", "--name", "lusk")

    assert done.code == 2
    assert "write its name on a line of its own" in done.err
    assert process_time() - began < 10


def test_list_says_what_each_profile_is(by_hand: str, offglass: Offglass) -> None:
    assert offglass("new").code == 0
    assert "no profile is saved yet" in offglass("profile", "list").out
    assert offglass("profile", "save", by_hand).code == 0
    row = json.loads(offglass("profile", "list", "--json").out)[0]
    assert (row["name"], row["kind"]) == ("Lusk League, box scores", "box")
    assert row["fields"] == "league, season, game, date, team, player, made, attempts"


def test_a_hostile_name_never_reaches_the_terminal(
    desk: Path, by_hand: str, offglass: Offglass
) -> None:
    rows = (desk / "box.csv").read_text(encoding="utf-8").replace("Zef Olbax", "Zef \u202eOlbax")
    (desk / "box.csv").write_text(rows, encoding="utf-8")
    done = offglass("profile", "new", "box.csv")
    tried = offglass("profile", "try", by_hand, "box.csv")
    assert "\u202e" not in done.out + done.err + tried.out + tried.err


def test_profile_alone_says_in_one_line_what_is_missing(offglass: Offglass) -> None:
    done = offglass("profile")
    assert (done.code, done.out) == (2, "")
    assert done.err.count("\n") == 1
    assert "Usage" not in done.err
