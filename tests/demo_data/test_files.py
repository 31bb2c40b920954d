from __future__ import annotations

import csv
import io
import json
from collections import Counter
from datetime import date
from itertools import pairwise
from pathlib import Path

import pytest

from demo_data import ImportStep, Manifest
from demo_data.names import fold

from .reading import normal, records, text_of

SCHEMAS = Path(__file__).resolve().parents[2] / "schemas"


def step(manifest: Manifest, part: str) -> ImportStep:
    (found,) = [s for s in manifest.imports if part in s.path.name]
    return found


def test_clean_files_have_the_columns_and_the_words_of_the_schema(large: Manifest) -> None:
    fields = {
        field["name"]: set(field.get("constraints", {}).get("enum", ()))
        for field in json.loads((SCHEMAS / "attempts.json").read_text())["fields"]
    }
    rows = records(step(large, "halma_2019-20.csv"))

    assert set(rows[0]) <= set(fields)
    for name in rows[0]:
        if fields[name]:
            assert {row[name] for row in rows} - {""} <= fields[name], name


def test_every_clean_file_has_one_row_an_attempt(large: Manifest) -> None:
    for one in large.imports:
        if (
            one.kind in {"attempts", "totals", "players", "shortlist"}
            and "desk" not in one.path.name
        ):
            separator = ";" if "drellin" in one.path.name else ","
            assert len(records(one, separator)) == one.expects.rows, one.path.name


def test_attempt_ids_are_unique_and_in_one_league_only(large: Manifest) -> None:
    ids = [
        row["attempt_id"]
        for one in large.imports
        if one.path.name.startswith("halma_")
        for row in records(one)
    ]

    assert len(set(ids)) == len(ids) > 80_000
    assert "attempt_id" not in records(step(large, "okelmar_2021-22_typed"))[0]


def test_order_counts_every_game_from_one_and_clocks_run_down(small: Manifest) -> None:
    games: dict[tuple[str, str], list[dict[str, str]]] = {}
    for row in records(step(small, "halma_2022-23.csv")):
        games.setdefault((row["date"], row["game"]), []).append(row)
    for rows in games.values():
        assert [int(row["order"]) for row in rows] == list(range(1, len(rows) + 1))
        at = [(int(r["period"]), -int(r["clock"].split(":")[0]) * 60 - int(r["clock"][-2:]))
              for r in rows]  # fmt: skip
        assert at == sorted(at)
        assert {row["team"] for row in rows} <= {rows[0]["home"], rows[0]["away"]}


def test_trips_are_whole_and_belong_to_one_shooter(small: Manifest) -> None:
    rows = records(step(small, "halma_2023-24.csv"))
    for before, row in pairwise(rows):
        if row["trip_shot"] != "1":
            assert int(before["trip_shot"]) == int(row["trip_shot"]) - 1
            assert before["player"] == row["player"]
            assert before["trip_of"] == row["trip_of"]


def test_the_semicolon_files_have_a_mark_crlf_and_days_first(large: Manifest) -> None:
    one = step(large, "drellin_2020-21.csv")
    raw = one.path.read_bytes()
    rows = records(one, ";")

    assert raw.startswith(b"\xef\xbb\xbf")
    assert raw.count(b"\r\n") == raw.count(b"\n") == len(rows) + 1
    assert one.options == {"dates": "dmy"}
    assert max(int(row["date"][:2]) for row in rows) > 12
    for text in {row["date"] for row in rows}:
        date(int(text[6:]), int(text[3:5]), int(text[:2]))


def test_the_windows_file_holds_accents_that_are_no_utf_8(large: Manifest) -> None:
    one = step(large, "cp1252")

    with pytest.raises(UnicodeDecodeError):
        one.path.read_text(encoding="utf-8")
    names = {row["player"] for row in records(one, ";")}

    assert any(name != fold(name) and not name.isascii() for name in names)


def test_the_broken_file_holds_what_its_report_must_show(large: Manifest) -> None:
    one = step(large, "desk")
    table = list(csv.reader(io.StringIO(text_of(one)), delimiter=";", strict=True))
    width = len(table[3])
    header = table[3]
    kinds: Counter[str] = Counter()
    for row in table[4:]:
        if not row:
            continue
        if row == header or not any(row) or row[0].startswith(("Total", "*")):
            kinds["not_data"] += 1
        elif len(row) != width:
            kinds["wrong_field_count"] += 1
        elif row[header.index("Made")] not in {"made", "missed"}:
            kinds["unknown_word"] += 1
        else:
            day, month, year = map(int, row[header.index("Date")].split("."))
            try:
                date(year, month, day)
            except ValueError:
                kinds["bad_date"] += 1
            else:
                kinds["stored"] += 1

    assert table[0] == ["Drellin Liga: free throws by game"]
    assert kinds.pop("not_data") == one.expects.not_data
    assert kinds.pop("stored") == one.expects.stored
    assert kinds == one.expects.rejected
    assert one.expects.rows == one.expects.stored + sum(one.expects.rejected.values())


def test_a_broken_row_moves_the_place_of_no_other_attempt(large: Manifest) -> None:
    one = step(large, "desk")
    table = list(csv.reader(io.StringIO(text_of(one)), delimiter=";", strict=True))
    game = table[3].index("Game")
    games = [row[game] if len(row) > game else "" for row in table]
    unknown = [i for i, row in enumerate(table) if row and row[-1] in {"perhaps", "unsure"}]

    assert len(unknown) == 4
    for place in unknown:
        assert games[place - 1] == games[place] != games[place + 1]


def test_the_two_overlapping_files_share_the_rows_already_there(large: Manifest) -> None:
    autumn, spring = (records(step(large, f"drellin_2023-24_{p}"), ";") for p in "ab")
    expects = step(large, "drellin_2023-24_b").expects

    shared = Counter(tuple(r.values()) for r in autumn) & Counter(tuple(r.values()) for r in spring)

    assert shared.total() == expects.already_there > 0
    assert expects.stored == len(spring) - shared.total()
    assert len(autumn) + expects.stored == 7126


def test_odd_spellings_are_the_same_names_when_blanks_and_marks_are_put_right(
    large: Manifest,
) -> None:
    written = {
        row["player"]
        for p in "ab"
        for row in records(step(large, f"drellin_2023-24_{p}"), ";")
    }  # fmt: skip
    known = {p["name"] for p in large.truth["players"].values()}

    assert {normal(name) for name in written} <= known
    odd = written - known
    assert any("  " in name for name in odd)
    assert any("\u00a0" in name for name in odd)
    assert any("\u0301" in name or "\u0303" in name or "\u0308" in name for name in odd)


def test_box_rows_hold_the_makes_and_attempts_of_their_season(large: Manifest) -> None:
    one = step(large, "_box")
    rows = records(one, ";")
    good = [r for r in rows if r["league"] != "Total" and int(r["made"]) <= int(r["attempts"])]
    (season,) = [s for s in large.truth["league_seasons"] if s["recorded"] == "box"]

    assert (
        len(good) == one.expects.stored == len({(r["date"], r["game"], r["player"]) for r in good})
    )
    assert (
        len(rows) - len(good) == one.expects.not_data + one.expects.rejected["made_above_attempts"]
    )
    assert sum(int(r["made"]) for r in good) == season["made"]
    assert sum(int(r["attempts"]) for r in good) == season["attempts"] == one.expects.attempts


def test_totals_exceed_the_typed_in_games_by_the_planted_remainder(large: Manifest) -> None:
    games: Counter[str] = Counter()
    made: Counter[str] = Counter()
    for row in records(step(large, "_typed")):
        games[row["player"]] += 1
        made[row["player"]] += row["made"] == "yes"
    totals = {row["player"]: row for row in records(step(large, "_totals"))}
    planted = {t["player"].split("|")[1]: t for t in large.truth["totals"]}

    assert set(totals) == set(planted)
    for name, truth in planted.items():
        assert int(totals[name]["attempts"]) == truth["attempts"]
        assert int(totals[name]["made"]) == truth["made"]
        assert (games[name], made[name]) == (truth["games_attempts"], truth["games_made"])
        assert truth["without_game"] == truth["attempts"] - games[name]
    remainders = [t["without_game"] for t in planted.values() if t["games_attempts"]]
    assert sum(r > 0 for r in remainders) == 4
    assert sum(r == 0 for r in remainders) >= 5


def test_the_league_with_its_own_column_names_says_what_they_mean(large: Manifest) -> None:
    one = step(large, "okelmar_2022-23.csv")
    rows = records(one)
    mapped = dict(pair.split("=") for pair in one.options["map"])
    words = dict(pair.removeprefix("made:").split("=") for pair in one.options["word"])

    assert set(rows[0]) == {column.lower() for column in mapped}
    assert {row["result"] for row in rows} == set(words)
    assert "league=Okelmar Division" in one.options["set"]


def test_the_census_notes_a_technique_for_every_attempt_and_two_unknown_words(
    large: Manifest,
) -> None:
    one = step(large, "_sheet")
    words = Counter(row["technique"] for row in records(one))

    assert words[""] == 0
    assert set(one.expects.warned_words) == {"flick", "set"}
    assert words["flick"] + words["set"] == 5
    assert 0.015 < words["cannot_tell"] / words.total() < 0.045


def test_the_players_file_names_everybody_once(large: Manifest) -> None:
    rows = records(step(large, "players.csv"))

    keys = Counter((r["league"], r["player"], r["team"]) for r in rows)

    assert max(keys.values()) == 1
    assert len(rows) == large.truth["expected"]["players"]
    assert all(150 < int(r["height_cm"]) < 230 and 50 < int(r["mass_kg"]) < 140 for r in rows)


def test_the_shortlist_names_eight_players_one_of_whom_shoots_so_already(large: Manifest) -> None:
    rows = records(step(large, "shortlist.csv"))
    table = large.truth["player_seasons"]["rows"]
    last = {r[0]: r for r in table if r[2] == "2024-25"}

    classes = [last[f"{r['league']}|{r['player']}"][-1] for r in rows]

    assert len(rows) == len(large.shortlist) == 8
    assert {r["list"] for r in rows} == {"autumn"}
    assert classes.count("adopter") == 1
    assert [r["player"] for r in rows] == [e.player for e in large.shortlist]
