"""`merge` and `export --share` as they are typed."""

from __future__ import annotations

import json
from pathlib import Path

from tests.cli.conftest import SAMPLES, Offglass


def test_merge_tells_what_came_and_twice_says_so_in_one_line(filled: Offglass) -> None:
    assert filled("new", "mine.duckdb").code == 0

    first = filled("--ledger", "mine.duckdb", "merge", "spring.duckdb")
    again = filled("--ledger", "mine.duckdb", "merge", "spring.duckdb")
    told = json.loads(filled("--ledger", "mine.duckdb", "merge", "spring.duckdb", "--json").out)

    assert (first.code, first.out) == (0, "")
    assert first.err.startswith("spring.duckdb is source 1: ")
    assert "; to take it back: offglass undo 1" in first.err
    assert (again.code, again.out) == (0, "")
    assert again.err.count("\n") == 1
    assert "is already in the ledger as source 1" in again.err
    assert (told["duplicate_of"], told["source"], told["kind"]) == (1, None, "merge")
    ranked = ("ask", "ranking", "--json", "--min-attempts", "5")
    ours = json.loads(filled("--ledger", "mine.duckdb", *ranked).out)
    theirs = json.loads(filled(*ranked).out)
    assert (ours["headline"], ours["rows"]) == (theirs["headline"], theirs["rows"])


def test_merge_lists_contradictions_as_data_and_ends_with_1(filled: Offglass) -> None:
    assert filled("new", "mine.duckdb").code == 0
    filled("--ledger", "mine.duckdb", "import", f"{SAMPLES}/attempts_clean.csv")
    row = json.loads(filled("ask", "attempts", "--json").out)["rows"][0]
    change = f"made={'no' if row['made'] else 'yes'}"
    assert filled("correct", "attempt", str(row["attempt"]), change, "--why", "film").code == 0

    done = filled("--ledger", "mine.duckdb", "merge", "spring.duckdb")

    assert done.code == 1
    there, here = ("no", "yes") if row["made"] else ("yes", "no")
    assert f"made is {there} there, {here} here" in done.out
    assert "1 contradicts and was not taken" in done.err


def test_merge_of_no_ledger_is_one_line_and_3(filled: Offglass, desk: Path) -> None:
    (desk / "x.duckdb").write_text("nothing")

    for name in ("x.duckdb", "none.duckdb"):
        done = filled("merge", name)
        assert (done.code, done.out, done.err.count("\n")) == (3, "", 1)
    itself = filled("merge", "spring.duckdb")
    assert (itself.code, itself.err.count("\n")) == (2, 1)


def test_share_says_what_left_on_stderr(filled: Offglass, desk: Path) -> None:
    done = filled("export", "out", "--share", "--shot", "free_throw")

    assert (done.code, done.out) == (0, "")
    text = (desk / "out" / "contents.txt").read_text(encoding="utf-8")
    assert done.err.startswith("What left: Free throws in all leagues\nattempts.csv: ")
    assert "What did not leave:" in done.err
    assert [line for line in text.splitlines() if line] == done.err.splitlines()[:-1]


def test_a_cohort_goes_with_share_only(filled: Offglass) -> None:
    done = filled("export", "out", "--season", "2023-24")

    assert (done.code, done.out) == (2, "")
    assert "--season goes with --share only" in done.err
