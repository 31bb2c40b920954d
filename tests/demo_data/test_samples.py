from __future__ import annotations

import csv
from collections import Counter
from datetime import date
from pathlib import Path

import pytest

from .reading import normal, rows_of

NAMES = (
    "attempts_clean", "attempts_semicolon", "attempts_unclean", "box", "league_events", "players",
    "shortlist", "tags", "totals",
)  # fmt: skip


def test_the_samples_are_nine_files_below_eight_kilobytes(samples: Path) -> None:
    files = {path.stem: path.stat().st_size for path in samples.glob("*.csv")}

    assert sorted(files) == sorted(NAMES)
    assert max(files.values()) < 8_000


def test_the_clean_sample_tells_of_ten_players_in_two_seasons(samples: Path) -> None:
    rows = rows_of(samples / "attempts_clean.csv")

    assert len(rows) == 122
    assert {row["league"] for row in rows} == {"Halma League"}
    assert {row["season"] for row in rows} == {"2023-24", "2024-25"}
    assert len({row["player"] for row in rows}) == 10
    assert [row["attempt_id"] for row in rows] == [str(i) for i in range(1, 123)]
    assert {row["made"] for row in rows} == {"yes", "no"}


def test_tags_refer_to_attempts_of_the_clean_sample_and_show_one_switch(samples: Path) -> None:
    attempts = {row["attempt_id"]: row for row in rows_of(samples / "attempts_clean.csv")}
    tags = rows_of(samples / "tags.csv")
    mine = [
        (attempts[t["attempt_id"]]["date"], t["technique"] in {"board", "off the glass", "banked"})
        for t in tags
        if attempts[t["attempt_id"]]["player"] == "Zef Olbax"
    ]

    assert {t["attempt_id"] for t in tags} <= set(attempts)
    for tag in tags:
        if tag["technique"] != "cannot_tell":
            assert bool(tag["miss_depth"]) == (attempts[tag["attempt_id"]]["made"] == "no")
    assert len(mine) == 44
    change = min(day for day, board in mine if board)
    assert all(board == (day >= change) for day, board in mine)
    in_season = [board for day, board in mine if day > "2024-08-01"]
    assert Counter(in_season) == {False: 12, True: 20}


def test_lists_name_players_of_the_clean_sample(samples: Path) -> None:
    known = {row["player"] for row in rows_of(samples / "attempts_clean.csv")}

    assert {row["player"] for row in rows_of(samples / "players.csv")} == known
    assert {row["player"] for row in rows_of(samples / "shortlist.csv")} <= known
    assert {row["player"] for row in rows_of(samples / "box.csv")} <= known


def test_totals_of_the_last_season_exceed_two_players_games(samples: Path) -> None:
    games: Counter[str] = Counter()
    made: Counter[str] = Counter()
    for row in rows_of(samples / "attempts_clean.csv"):
        if row["season"] == "2024-25":
            games[row["player"]] += 1
            made[row["player"]] += row["made"] == "yes"
    beyond = {}
    for row in rows_of(samples / "totals.csv"):
        assert 0 <= int(row["made"]) <= int(row["attempts"])
        if row["season"] == "2024-25":
            more = int(row["attempts"]) - games[row["player"]]
            assert 0 <= int(row["made"]) - made[row["player"]] <= more
            beyond[row["player"]] = more

    assert {name: more for name, more in beyond.items() if more} == {
        "Vruul Helfett": 5,
        "Jaffey Nelzux": 2,
    }


def test_box_rows_are_possible(samples: Path) -> None:
    rows = rows_of(samples / "box.csv")

    assert len(rows) == 48
    assert all(0 <= int(row["made"]) <= int(row["attempts"]) > 0 for row in rows)


def test_the_semicolon_sample_has_a_mark_days_first_and_whole_trips(samples: Path) -> None:
    raw = (samples / "attempts_semicolon.csv").read_bytes()
    rows = list(csv.DictReader(raw.decode("utf-8-sig").splitlines(), delimiter=";", strict=True))

    assert raw.startswith(b"\xef\xbb\xbf")
    assert raw.count(b"\r\n") == raw.count(b"\n")
    assert len(rows) == 56
    assert [row["Trip_shot"] for row in rows] == ["1", "2"] * 28
    assert max(int(row["Date"][:2]) for row in rows) > 12
    assert any(not row["Player"].isascii() for row in rows)
    assert any("," in row["Player"] for row in rows)


@pytest.mark.parametrize(
    ("fault", "count"),
    [("wrong field count", 2), ("bad date", 2), ("unknown word", 1), ("good", 40), ("no data", 5)],
)
def test_the_unclean_sample_holds_known_faults(samples: Path, fault: str, count: int) -> None:
    with (samples / "attempts_unclean.csv").open(encoding="utf-8", newline="") as file:
        table = list(csv.reader(file, strict=True))
    header = table[3]
    found: Counter[str] = Counter()
    for row in (row for row in table[4:] if row):
        if row == header or not any(row) or row[0].startswith(("Total", "*")):
            found["no data"] += 1
        elif len(row) != len(header):
            found["wrong field count"] += 1
        elif row[7].casefold() not in {"yes", "no"}:
            found["unknown word"] += 1
        else:
            try:
                date.fromisoformat(row[2])
            except ValueError:
                found["bad date"] += 1
            else:
                found["good"] += 1

    assert found[fault] == count


def test_the_unclean_sample_spells_a_player_with_other_blanks_and_a_word_nobody_knows(
    samples: Path,
) -> None:
    text = (samples / "attempts_unclean.csv").read_text(encoding="utf-8")
    known = {row["player"] for row in rows_of(samples / "attempts_clean.csv")}
    rows = [line.split(",") for line in text.splitlines() if line.count(",") == 8]
    names = {row[5] for row in rows if row[0] == "Halma League"}

    assert {normal(name) for name in names} <= known
    assert any("\u00a0" in name for name in names)
    assert any("  " in name for name in names)
    assert [row[8] for row in rows].count("flick") == 1


def test_the_leagues_events_come_in_by_the_profile_beside_them(
    samples: Path, tmp_path: Path
) -> None:
    from ledger.intake.bring import bring
    from ledger.intake.options import ReadOptions
    from ledger.intake.profile import parse
    from ledger.store.ledger_file import LedgerFile

    profile = parse((samples / "league_events.toml").read_text(encoding="utf-8"), "sample")

    with LedgerFile(tmp_path / "book.duckdb", create=True, who="ann") as file:
        report = bring(
            file, samples / "league_events.csv", "attempts", ReadOptions(profile=profile)
        )

    assert (report.stored, report.attempts_stored) == (15, 16)
    assert report.reasons == {"bad_clock": 1}
    assert report.skipped_reasons == {"no_match": 4}
