"""Every command on a small ledger: what goes to stdout, what to stderr, and the exit code."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from ledger import resources
from tests.cli.conftest import SAMPLES, Offglass

QUESTIONS = ("ranking", "adopters", "uptake", "attempts", "sources")


@pytest.mark.parametrize("question", QUESTIONS)
def test_an_answer_as_json_keeps_to_its_schema(filled: Offglass, question: str) -> None:
    done = filled("ask", question, "--json")

    answer = json.loads(done.out)
    Draft202012Validator(resources.schema("answer")).validate(answer)
    assert (done.code, done.err) == (0, "")
    assert answer["question"] == question
    assert all(set(row) == {c["name"] for c in answer["columns"]} for row in answer["rows"])


@pytest.mark.parametrize("question", QUESTIONS)
def test_two_runs_give_the_same_bytes(filled: Offglass, question: str) -> None:
    assert filled("ask", question, "--json").out == filled("ask", question, "--json").out


@pytest.mark.parametrize("question", QUESTIONS)
def test_csv_holds_the_rows_of_the_json(filled: Offglass, question: str) -> None:
    few = ("--min-attempts", "5") if question == "ranking" else ()
    answer = json.loads(filled("ask", question, "--json", *few).out)

    table = list(csv.DictReader(io.StringIO(filled("ask", question, "--csv", *few).out)))

    assert len(table) == len(answer["rows"]) > 0
    assert list(table[0]) == [c["name"] for c in answer["columns"]]
    for written, row in zip(table, answer["rows"], strict=True):
        for name, value in row.items():
            if isinstance(value, float):
                assert float(written[name]) == value


def test_a_part_of_an_answer_can_be_had_alone(filled: Offglass) -> None:
    whole = json.loads(filled("ask", "ranking", "--json").out)

    part = filled("ask", "ranking", "--part", "prior", "--csv")

    assert part.code == 0
    names = [c["name"] for c in whole["more"]["prior"]["columns"]]
    assert part.out.splitlines()[0] == ",".join(names)


def test_a_part_that_is_none_names_those_there_are(filled: Offglass) -> None:
    done = filled("ask", "ranking", "--part", "prio")

    assert done.code == 2
    assert done.out == ""
    assert done.err == "offglass: ranking has no part 'prio': use one of rows, prior\n"


def test_the_table_draws_the_intervals_in_the_rows(filled: Offglass) -> None:
    page = filled("ask", "ranking", "--min-attempts", "5").out

    assert page.startswith("Who shoots best, allowing for luck?\n")
    assert page.count("●") == 10
    assert page.count("┝") == 10


def test_plain_tables_hold_nothing_drawn(filled: Offglass) -> None:
    page = filled("ask", "ranking", "--min-attempts", "5", "--plain").out

    assert not set("●┝┥━") & set(page)
    assert "Zef Olbax" in page


def test_a_limit_counts_what_it_leaves_out(filled: Offglass) -> None:
    page = filled("ask", "attempts", "--limit", "3").out

    assert "Only the first 3 of 122 records are listed." in page


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (("ask", "rankin"), "there is no question 'rankin': did you mean ranking?"),
        (("aks", "ranking"), "no command is called 'aks': did you mean ask?"),
        (("ask", "ranking", "--league", "Halme League"), "did you mean Halma League?"),
        (("ask", "ranking", "--season", "1999-00"), "1999-00"),
        (("ask", "ranking", "--from", "31.10.2024"), "--from takes a day such as 2024-10-31"),
        (("ask", "ranking", "--stage", "summer"), "regular, playoff, cup, friendly, practice"),
        (("ask", "ranking", "--order", "luck"), "--order"),
        (("ask", "ranking", "--top", "ten"), "--top"),
        (("ask", "ranking", "--source", "77"), "77"),
        (("ask", "ranking", "--json", "--csv"), "exclude each other"),
        (("ask", "uptake", "--focus", "bord"), "did you mean"),
        (("import", "nowhere.csv"), "nowhere.csv"),
        (("import", SAMPLES), "folder"),
        (("undo", "99"), "99"),
        (("correct", "attempt", "1", "made", "--why", "x"), "FIELD=VALUE"),
        (("correct", "attempt", "1", "made=perhaps", "--why", "x"), "perhaps"),
        (("correct", "attempt", "12345678", "made=no", "--why", "x"), "12345678"),
        (("list", "autumn", "add", "Nobody Known"), "Nobody Known"),
        (
            ("lot", "a", "--league", "Halma League", "--season", "2023-24", "--players", "90"),
            "before anybody",
        ),
        (("chart", "ranking", "-o", "slide.gif"), "gif"),
        (("explain", "everything"), "everything"),
        (("new", "spring.duckdb"), "spring.duckdb"),
    ],
)
def test_wrong_use_is_one_line_on_stderr(
    filled: Offglass, words: tuple[str, ...], line: str
) -> None:
    done = filled(*words)

    assert done.code == 2, done
    assert done.out == ""
    assert done.err.count("\n") == 1
    assert done.err.startswith("offglass: ")
    assert line in done.err


def test_a_ledger_that_is_not_there_is_trouble_in_one_line(offglass: Offglass) -> None:
    done = offglass("ask", "ranking")

    assert (done.code, done.out, done.err.count("\n")) == (3, "", 1)
    assert "spring.duckdb" in done.err


def test_a_file_that_is_no_ledger_is_trouble_in_one_line(offglass: Offglass, desk: Path) -> None:
    (desk / "spring.duckdb").write_text("league,season\n", encoding="utf-8")

    done = offglass("ask", "ranking")

    assert (done.code, done.out, done.err.count("\n")) == (3, "", 1)
    assert (desk / "spring.duckdb").read_text(encoding="utf-8") == "league,season\n"


def test_global_options_stand_before_or_after_the_command(filled: Offglass) -> None:
    before = filled(
        "--ledger", "spring.duckdb", "--focus", "underhand", "ask", "adopters", "--json"
    )
    after = filled("ask", "adopters", "--json", "--focus", "underhand", "--ledger", "spring.duckdb")

    assert before.out == after.out
    assert (
        json.loads(before.out)["headline"]
        != json.loads(filled("ask", "adopters", "--json").out)["headline"]
    )


def test_an_import_with_rejected_rows_reports_them_and_ends_with_one(offglass: Offglass) -> None:
    done = offglass("import", f"{SAMPLES}/attempts_unclean.csv", "--json")

    report = json.loads(done.out)
    assert done.code == 1
    assert (report["rows"], report["stored"], report["rejected"], report["skipped"]) == (
        50,
        40,
        5,
        5,
    )
    assert sum(report["reasons"].values()) == report["rejected"]
    assert report["rows"] == sum(
        report[k] for k in ("stored", "rejected", "skipped", "already_there", "contradicting")
    )


def test_rejected_rows_can_be_mended_and_imported(offglass: Offglass, desk: Path) -> None:
    offglass("import", f"{SAMPLES}/attempts_unclean.csv", "--rejects", "mend.csv")
    text = (desk / "mend.csv").read_text(encoding="utf-8")
    mended = text.replace("2025-11-31", "2025-11-30").replace("perhaps", "no")
    mended = mended.replace("2025-13-07", "2025-12-07")
    (desk / "mended.csv").write_text(mended, encoding="utf-8")

    done = offglass("import", "mended.csv", "--json")

    report = json.loads(done.out)
    assert (report["stored"], report["rejected"]) == (3, 2)


def test_a_mended_row_is_not_lost_beside_an_equal_one(offglass: Offglass, desk: Path) -> None:
    row = "Halma League,2023-24,2023-10-14,G1,Skerry,Ilvo Tarn"
    lines = ("league,season,date,game,team,player,made", f"{row},yes", f"{row},ja", f"{row},no")
    (desk / "shots.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    first = offglass("import", "shots.csv", "--rejects", "mend.csv")
    mended = (desk / "mend.csv").read_text(encoding="utf-8").replace(",ja,", ",yes,")
    (desk / "mended.csv").write_text(mended, encoding="utf-8")

    done = offglass("import", "mended.csv")

    assert (first.code, done.code) == (1, 0)
    assert "1 of 1 row stored (1 attempt)" in done.out + done.err
    again = offglass("import", "mended.csv")
    assert "nothing added" in again.out + again.err


def test_a_check_of_a_file_stores_nothing(offglass: Offglass) -> None:
    assert offglass("new").code == 0
    checked = json.loads(
        offglass("import", f"{SAMPLES}/attempts_clean.csv", "--check", "--json").out
    )

    sources = json.loads(offglass("sources", "--json").out)

    assert checked["stored"] == 122
    assert sources["rows"] == []


def test_the_same_file_again_adds_nothing(filled: Offglass) -> None:
    done = filled("import", f"{SAMPLES}/attempts_clean.csv", "--json")

    report = json.loads(done.out)
    assert (done.code, report["stored"], report["already_there"]) == (0, 0, 122)


def test_several_files_are_several_sources_and_the_worst_code_wins(offglass: Offglass) -> None:
    done = offglass(
        "import",
        f"{SAMPLES}/attempts_clean.csv",
        "nowhere.csv",
        f"{SAMPLES}/attempts_semicolon.csv",
        "--json",
    )

    assert done.code == 2
    assert [r["file"] for r in json.loads(done.out)] == [
        "attempts_clean.csv",
        "attempts_semicolon.csv",
    ]
    assert "nowhere.csv" in done.err


@pytest.mark.parametrize("kind", ["box", "totals", "players", "shortlist"])
def test_every_kind_of_sample_comes_in_whole(filled: Offglass, kind: str) -> None:
    done = filled("import", f"{SAMPLES}/{kind}.csv", "--as", kind, "--json")

    report = json.loads(done.out)
    assert (done.code, report["rejected"], report["kind"]) == (0, 0, kind)
    assert report["stored"] == report["rows"] > 0


def test_undo_and_the_way_back(filled: Offglass) -> None:
    before = filled("ask", "adopters", "--csv").out

    assert filled("undo", "2").code == 0
    without = filled("ask", "adopters", "--csv").out
    assert filled("undo", "2", "--again").code == 0

    assert without != before
    assert filled("ask", "adopters", "--csv").out == before


def test_undo_names_the_tags_of_others_that_would_go(filled: Offglass) -> None:
    refused = filled("undo", "1")

    assert refused.code == 2
    assert "--yes" in refused.err
    assert filled("undo", "1", "--yes").code == 0


def test_a_correction_is_kept_journalled_and_taken_back(filled: Offglass) -> None:
    rows = csv.DictReader(io.StringIO(filled("ask", "attempts", "--csv").out))
    first = next(row for row in rows if row["made"] == "yes")

    done = filled("correct", "attempt", first["attempt"], "made=no", "--why", "seen on film")

    assert done.code == 0
    after = {
        r["attempt"]: r for r in csv.DictReader(io.StringIO(filled("ask", "attempts", "--csv").out))
    }
    assert after[first["attempt"]]["made"] == "no"
    entries = json.loads(filled("journal", "--json").out)
    assert any(e["why"] == "seen on film" for e in entries)
    assert filled("undo", "3").code == 0
    back = {
        r["attempt"]: r for r in csv.DictReader(io.StringIO(filled("ask", "attempts", "--csv").out))
    }
    assert back[first["attempt"]]["made"] == "yes"


def test_lists_lots_rumours_and_techniques(filled: Offglass) -> None:
    assert filled("list", "autumn", "add", "Zef Olbax", "Teb Morkosh").code == 0
    assert filled("list", "autumn", "drop", "Teb Morkosh").code == 0
    assert (
        json.loads(filled("ask", "adopters", "--list", "autumn", "--json").out)["rows"][0]["player"]
        == "Zef Olbax"
    )
    assert (
        filled("rumour", "They bank them there", "--season", "2024-25", "--seen", "2025-01-09").code
        == 0
    )
    assert filled("technique", "add", "hook", "--board").code == 0
    assert filled("import", f"{SAMPLES}/attempts_semicolon.csv").code == 0
    lot = filled(
        "lot",
        "watch",
        "--league",
        "Halma League",
        "--season",
        "2022-23",
        "--players",
        "1",
        "--seed",
        "4",
    )
    assert lot.code in (0, 2)


def test_the_ledger_goes_out_and_comes_back_whole(filled: Offglass, desk: Path) -> None:
    before = filled("ask", "ranking", "--min-attempts", "5", "--csv").out

    assert filled("export", "package").code == 0
    assert filled("load", "package", "--ledger", "again.duckdb").code == 0
    assert filled("backup", "copy.duckdb").code == 0

    for name in ("again.duckdb", "copy.duckdb"):
        assert (
            filled("ask", "ranking", "--min-attempts", "5", "--csv", "--ledger", name).out == before
        )
        assert filled("check", "--ledger", name).code == 0


def test_explanations_speak_to_a_coach_and_to_an_analyst(offglass: Offglass) -> None:
    for question in QUESTIONS:
        text = offglass("explain", question).out
        assert text.index("coach") < text.index("analyst")


@pytest.mark.parametrize("ending", ["png", "svg", "pdf", "html", "json"])
def test_a_chart_is_written_in_every_form(filled: Offglass, desk: Path, ending: str) -> None:
    done = filled("chart", "adopters", "-o", f"slide.{ending}", "--theme", "dark")

    assert (done.code, done.out) == (0, "")
    assert (desk / f"slide.{ending}").stat().st_size > 1000


def test_names_cannot_act_on_the_terminal(offglass: Offglass, desk: Path) -> None:
    name = "Kim [/red] ‮[@click=x]"
    (desk / "hostile.csv").write_text(
        "league,season,date,game,team,player,made\n"
        + "".join(f"=cmd(),2024-25,2024-11-0{d},G{d},T,{name},1\n" for d in range(1, 9)),
        encoding="utf-8",
    )
    (desk / "\x1b[31mred.csv").write_text("league\n", encoding="utf-8")

    stored = offglass("import", "hostile.csv")
    refused = offglass("import", "\x1b[31mred.csv")
    page = offglass("ask", "ranking", "--min-attempts", "1")
    cells = offglass("ask", "ranking", "--min-attempts", "1", "--csv")

    assert stored.code == 0
    assert refused.code == 2
    for text in (stored.err, refused.err, page.out, cells.out):
        assert not {c for c in text if c == "\x1b" or c == "‮"}
    assert "Kim [/red]" in page.out
    assert "'=cmd()" in cells.out


def test_the_quiet_option_leaves_only_what_went_wrong(offglass: Offglass) -> None:
    done = offglass("import", f"{SAMPLES}/attempts_clean.csv", "--quiet")

    assert (done.code, done.out, done.err) == (0, "", "")


def test_help_lists_every_command_with_its_line(offglass: Offglass) -> None:
    from ledger.cli.commands import COMMANDS

    text = offglass("--help").out

    for name, (_, _, line) in COMMANDS.items():
        assert f"  {name}" in text
        assert line in text


def test_every_command_has_help(offglass: Offglass) -> None:
    from ledger.cli.commands import COMMANDS

    for name in COMMANDS:
        done = offglass(name, "--help")
        assert done.code == 0
        assert done.out.startswith(f"Usage: offglass {name}")
