"""A running list from week to week, and messages that can be pasted and read as they stand."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from tests.cli.conftest import Offglass

RUNNING = """
profile = 1
name = "running"
as = "attempts"
order = "file"
[form]
type = "text"
separator = "comma"
header = 1
[constants]
league = "Halma League"
season = "2024-25"
game = "1"
team = "Zelloby"
[fields]
date = "Day"
player = "Shooter"
made = "In"
[words.made]
x = "yes"
"-" = "no"
"""
HEAD = "Day,Shooter,In\n"
OLD = "2025-04-05,Zef Olbax,x\n2025-04-05,Zef Olbax,-\n2025-04-05,Zef Olbax,-\n"
NEW = "2025-04-12,Zef Olbax,x\n2025-04-12,Skel Urzkett,x\n"
BY_HAND = "league=L season=2024-25 date=2025-01-05 game=1 team=T player=Zef made=yes"


@pytest.mark.parametrize("later", [NEW + OLD, OLD + NEW], ids=["on top", "below"])
def test_new_games_of_a_running_list_leave_the_known_ones_as_they_are(
    desk: Path, offglass: Offglass, later: str
) -> None:
    (desk / "running.toml").write_text(RUNNING)
    (desk / "week1.csv").write_text(HEAD + OLD)
    (desk / "week2.csv").write_text(HEAD + later)
    assert offglass("import", "--profile", "running.toml", "week1.csv").code == 0

    second = offglass("import", "--profile", "running.toml", "week2.csv", "--json")

    report = json.loads(second.out)
    assert (report["stored"], report["already_there"], report["contradicting"]) == (2, 3, 0)


def test_a_draft_takes_the_number_and_the_length_of_a_trip_from_their_own_columns(
    desk: Path, offglass: Offglass
) -> None:
    throws = [
        {"player": "Zef Olbax", "team": "Zelloby", "type": "freethrow", "result": result,
         "ft": {"no": no, "of": 2}}
        for no, result in ((1, "made"), (2, "missed"), (1, "missed"), (2, "made"))
    ]  # fmt: skip
    game = {"id": "900", "date": "2025-03-01", "events": throws}
    body = {"league": "Halma League", "season": "2024-25", "games": [game]}
    (desk / "feed.json").write_text(json.dumps(body))

    offglass("profile", "new", "feed.json", "-o", "feed.toml")
    tried = offglass("profile", "try", "feed.toml", "feed.json", "--json")

    records = json.loads(tried.out)["first"]
    assert [(int(r["trip_shot"]), int(r["trip_of"])) for r in records] == [(1, 2), (2, 2)] * 2


def test_the_next_command_of_a_draft_can_be_pasted_where_a_name_has_spaces(
    desk: Path, offglass: Offglass
) -> None:
    (desk / "week 1.csv").write_text(HEAD + OLD)

    drafted = offglass("profile", "new", "week 1.csv", "-o", "my list.toml")

    assert "next: offglass profile try 'my list.toml' 'week 1.csv'" in drafted.err


def test_the_help_of_add_gives_an_example_a_line(offglass: Offglass) -> None:
    lines = [line.strip() for line in offglass("add", "--help").out.splitlines()]

    assert "offglass add tag 12 technique=board miss_depth=long" in lines
    assert "\\b" not in "".join(lines)


def test_a_missing_choice_is_told_in_one_plain_line(offglass: Offglass) -> None:
    told = offglass("correct")

    assert (told.code, told.err.count("\n")) == (2, 1)
    assert "Choose from: attempt, player, game, team" in told.err


def test_one_attempt_that_leaves_is_told_as_one(desk: Path, offglass: Offglass) -> None:
    offglass("add", "attempt", *BY_HAND.split())
    offglass("add", "tag", "1", "technique=board")

    tag = offglass("undo", "2")
    attempt = offglass("undo", "1")

    assert "0 attempts and 1 tag left the ledger, 1 attempt stays" in tag.err + tag.out
    assert "1 attempt and 0 tags left the ledger;" in attempt.err + attempt.out


def test_refused_rows_of_a_pipe_name_the_command_that_tells_them(
    offglass: Offglass, monkeypatch: pytest.MonkeyPatch
) -> None:
    piped = io.TextIOWrapper(io.BytesIO(b"attempt_id,technique\n99,board\n"))
    monkeypatch.setattr("sys.stdin", piped)

    added = offglass("add", "tags", "--stdin")

    assert "--rejects" not in added.err
    assert "; offglass sources 1 says why" in added.err
    assert "99" in offglass("sources", "1").out


def test_a_shared_folder_that_is_loaded_says_how_it_is_read(desk: Path, filled: Offglass) -> None:
    filled("export", "shared", "--share")

    done = filled("load", "shared", "--ledger", "other.duckdb")

    assert done.code == 2
    assert "offglass import tags.csv --as tags" in done.err
    assert not (desk / "other.duckdb").exists()


def test_a_field_that_takes_no_words_is_answered_with_those_that_do(offglass: Offglass) -> None:
    offglass("new")

    done = offglass("word", "colour:x=y")

    assert done.code == 2
    assert "made" in done.err
    assert "technique" in done.err
