from __future__ import annotations

import datetime as dt
import hashlib
from pathlib import Path

import polars as pl
import pytest

from ledger.errors import OffglassError, RefusedInput, UseError
from ledger.intake import words
from ledger.intake.options import ReadOptions, typed
from ledger.intake.read import Reading, read, read_rows
from ledger.resources import folder
from tests.intake.scenario import HEADER, attempts, lines_of, results, text_of


def read_text(
    tmp_path: Path,
    text: str | bytes,
    kind: str = "attempts",
    options: ReadOptions | None = None,
    table: words.Words | None = None,
) -> Reading:
    path = tmp_path / "given.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read(path, kind, options, table)


FULL = (
    "attempt,league,season,date,game,home,away,stage,team,player,made,opponent,period,clock,order,"
    "shot,trip_shot,trip_of,trip_kind,ended_by,rebound_by,tagger,technique,first_contact,"
    "contact_height,contact_side,down_at_board,release_angle_deg,backspin,miss_depth,miss_side,"
    "rebound_zone,rebound_x_m,confidence,adjudicated,note\n"
    " A7 ,Halma League,23/24,2024-03-28,G 1,Pinewharf,Salt Mile,play-off,Pinewharf,Tarn  Oselo,no,"
    "Salt Mile,Q4,0:47.3,12,ft,2,2,personal,,out,Ines,off the board,board,at the top line,center,"
    "can't tell,51.5,yes,long,r,left-corner,-2.5,sure,yes,  a remark \n"
)


def test_every_kind_of_field_comes_out_typed(tmp_path: Path) -> None:
    row = read_text(tmp_path, FULL).frame.row(0, named=True)

    assert row["line"] == 2
    assert row["attempt_id"] == "A7"
    assert (row["season"], row["season_key"], row["start_year"]) == ("23/24", "2023-24", 2023)
    assert row["date"] == dt.date(2024, 3, 28)
    assert row["game"] == "G 1"
    assert (row["player"], row["made"], row["stage"]) == ("Tarn Oselo", False, "playoff")
    assert (row["period"], row["clock"], row["order"]) == (4, 47.3, 12)
    assert (row["shot"], row["trip_shot"], row["trip_kind"]) == ("free_throw", 2, "personal")
    assert row["ended_by"] is None
    assert (row["technique"], row["technique_as_written"]) == ("board", "off the board")
    assert row["unclear"] is False
    assert (row["contact_height"], row["contact_side"]) == ("at_top_line", "centre")
    assert (row["down_at_board"], row["backspin"]) == ("cannot_tell", "yes")
    assert (row["release_angle_deg"], row["rebound_x_m"]) == (51.5, -2.5)
    assert (row["miss_side"], row["rebound_zone"]) == ("right", "left_corner")
    assert row["adjudicated"] is True
    assert row["note"] == "a remark"


@pytest.mark.parametrize(
    ("cell", "technique", "written", "unclear"),
    [
        ("Bank", "board", "Bank", False),
        ("hook", None, "hook", False),
        ("?", None, None, False),
        ("", None, None, False),
        ("not on film", None, None, True),
    ],
)
def test_a_technique_never_rejects_and_is_never_straight_by_default(
    cell: str, technique: str | None, written: str | None, unclear: bool, tmp_path: Path
) -> None:
    rows = [(*row[:7], cell) for row in attempts(3)]

    frame = read_text(tmp_path, text_of(rows)).frame

    assert frame["technique"].to_list() == [technique] * 3
    assert frame["technique_as_written"].to_list() == [written] * 3
    assert frame["unclear"].to_list() == [unclear] * 3


def test_a_word_said_or_kept_in_the_ledger_settles_a_technique(tmp_path: Path) -> None:
    text = text_of([(*row[:7], "hook") for row in attempts(3)])
    table = words.build(techniques=["hooked"])

    said = read_text(tmp_path, text, options=typed(words=["technique:hook=hooked"]), table=table)
    kept = read_text(
        tmp_path, text, table=words.build({"technique": {"Hook": "hooked"}}, ["hooked"])
    )

    assert said.frame["technique"].to_list() == ["hooked"] * 3
    assert kept.frame["technique"].to_list() == ["hooked"] * 3
    assert said.warnings == kept.warnings == ()


BOX = "league,season,date,game,team,player,made,attempted,FT%\n"


@pytest.mark.parametrize(
    ("pair", "reason"),
    [
        ("5,0", "made_above_attempts"),
        ("9,7", "made_above_attempts"),
        ("-1,4", "out_of_bounds"),
        ("NaN,4", "bad_number"),
        ("inf,4", "bad_number"),
        ("1,99999999999", "out_of_bounds"),
        (",4", "missing"),
        ("7-9,9", "bad_number"),
        ("0.83,4", "bad_number"),
    ],
)
def test_an_impossible_box_row_is_rejected_alone(pair: str, reason: str, tmp_path: Path) -> None:
    start = "Halma League,2023-24,2024-01-05,G1,Pinewharf,"
    text = f"{BOX}{start}Tarn,7,9,78%\n{start}Vedil,{pair},0.5\n{start}Ruva,0,0,\n"

    reading = read_text(tmp_path, text, "box")

    assert reading.frame.select("player", "made", "attempts").rows() == [
        ("Tarn", 7, 9),
        ("Ruva", 0, 0),
    ]
    assert reading.rejects.select("line", "reason").rows() == [(3, reason)]


def test_a_blank_pair_of_a_box_is_not_in_the_table(tmp_path: Path) -> None:
    start = "Halma League,2023-24,2024-01-05,G1,Pinewharf,"
    text = f"{BOX}{start}Tarn,,,\n{start}Vedil,-,-,-\n{start}Ruva,1,2,50\nTotal,,,,,,1,2,50\n"

    reading = read_text(tmp_path, text, "box")

    assert reading.frame["player"].to_list() == ["Ruva"]
    assert reading.skipped.select("line", "reason").rows() == [
        (2, "not_in_table"),
        (3, "not_in_table"),
        (5, "totals_row"),
    ]
    assert reading.rows == 4


def test_totals_need_neither_game_nor_date(tmp_path: Path) -> None:
    text = "league,season,player,made,attempts\nHalma League,2023-24,Tarn,80,100\n"

    assert read_text(tmp_path, text, "totals").frame["attempts"].to_list() == [100]


def test_tags_are_keyed_by_an_id_or_by_place(tmp_path: Path) -> None:
    by_id = "attempt_id,technique\nA1,board\n,straight\n"
    by_place = (
        "league,season,date,game,player,nth,technique\nH,2023-24,2024-01-05,G1,Tarn,2,board\n"
    )

    one, other = read_text(tmp_path, by_id, "tags"), read_text(tmp_path, by_place, "tags")

    assert one.frame["attempt_id"].to_list() == ["A1"]
    assert one.reasons == {"missing": 1}
    assert other.frame["nth"].to_list() == [2]
    with pytest.raises(RefusedInput, match="attempt_id"):
        read_text(tmp_path, "league,player,technique\nH,Tarn,board\n", "tags")


def test_players_and_shortlists_are_read(tmp_path: Path) -> None:
    players = read_text(
        tmp_path, "player,league,height_cm,hand\nTarn,H,201.5,L\nVedil,H,2015,R\n", "players"
    )
    listed = read_text(tmp_path, "player\nTarn\n", "shortlist", typed(sets=["list=spring"]))

    assert players.frame.select("player", "height_cm", "hand").rows() == [("Tarn", 201.5, "left")]
    assert players.reasons == {"out_of_bounds": 1}
    assert listed.frame.select("list", "player").rows() == [("spring", "Tarn")]


def test_a_kind_that_is_not_there_is_wrong_use(tmp_path: Path) -> None:
    with pytest.raises(UseError, match="--as"):
        read_text(tmp_path, "player\n", "boxes")


def test_a_guarded_cell_gets_its_own_text_back_and_others_keep_theirs(tmp_path: Path) -> None:
    header = (*HEADER, "guarded")
    row = attempts(1)[0]
    rows = [
        (*row[:5], "'=1+1", *row[6:], "player"),
        (*row[:5], "'Tarn", *row[6:], ""),
        ("'-Halma", *row[1:5], "'@x", *row[6:], "league, player"),
    ]

    frame = read_text(tmp_path, text_of(rows, header)).frame

    assert frame["player"].to_list() == ["=1+1", "'Tarn", "@x"]
    assert frame["league"].to_list() == [row[0], row[0], "-Halma"]
    assert "guarded" not in frame.columns


def test_a_reject_names_line_column_value_reason_and_fix_and_keeps_the_row(tmp_path: Path) -> None:
    lines = lines_of(attempts(4))
    lines[2] = lines[2].replace("2023-1", "2023-9", 1)

    reading = read_text(tmp_path, "\n".join(lines))
    reject = reading.rejects.row(0, named=True)

    assert (reject["line"], reject["column"], reject["reason"]) == (3, "date", "bad_date")
    assert reject["value"].startswith("2023-9")
    assert "2024-03-28" in reject["fix"]
    assert reject["record"] == lines[2]


def test_a_reject_over_several_lines_keeps_all_of_them(tmp_path: Path) -> None:
    rows = [(*row, "one\ntwo") for row in attempts(2)]
    rows[1] = (*rows[1][:6], "perhaps", *rows[1][7:])

    reading = read_text(tmp_path, text_of(rows, (*HEADER, "note")))

    assert reading.rejects["record"][0].count("\n") == 1
    assert reading.rejects["record"][0].endswith('two"')


def test_what_a_reject_shows_cannot_act_on_a_terminal(tmp_path: Path) -> None:
    rows = [(*row[:5], "Tarn\x1b[2J" + "x" * 500, *row[6:]) for row in attempts(1)]

    value = read_text(tmp_path, text_of(rows)).rejects["value"][0]

    assert "\x1b" not in value
    assert len(value) == 80


def test_the_first_bad_column_of_the_file_is_the_reason(tmp_path: Path) -> None:
    rows = [("perhaps", "soon", *row[:2], *row[3:6]) for row in attempts(2)]
    rows.append(("yes", "2024-01-05", *attempts(1)[0][:2], *attempts(1)[0][3:6]))

    text = text_of(rows, ("made", "date", "league", "season", "game", "team", "player"))

    assert read_text(tmp_path, text).reasons == {"unknown_word": 2}


def test_content_is_the_same_in_other_bytes_and_not_for_another_value(tmp_path: Path) -> None:
    rows = attempts(20)
    plain = read_text(tmp_path, text_of(rows))
    same = [
        b"\xef\xbb\xbf" + text_of(rows, newline="\r\n").encode(),
        text_of(rows).encode("utf-16"),
        text_of(rows, separator=";", quoting=1).encode(),
        b"A title\n" + text_of([row[::-1] for row in rows], HEADER[::-1]).encode(),
        text_of([(row[0], "2023/24", *row[2:]) for row in rows]).encode(),
    ]
    other = [(*row[:6], "1" if row[6] == "0" else "0", row[7]) for row in rows[:1]] + rows[1:]

    hashes = {read_text(tmp_path, data).content_hash for data in same}

    assert hashes == {plain.content_hash}
    assert read_text(tmp_path, text_of(other)).content_hash != plain.content_hash
    assert read_text(tmp_path, text_of(rows[::-1])).content_hash != plain.content_hash


def test_the_content_hash_is_that_of_the_documented_text(tmp_path: Path) -> None:
    # Kept with every source: another form would make old ledgers forget what they have seen.
    reading = read_text(tmp_path, "player,list,note\nTarn,A,\nVedil,A,x\n", "shortlist")
    columns = ["list\nA\x1fA", "note\n\x1e\x1fx", "player\nTarn\x1fVedil"]
    text = "offglass records 1\nshortlist\n2" + "".join(f"\n{column}" for column in columns)

    assert reading.content_hash == hashlib.sha256(text.encode()).hexdigest()


def test_the_mapping_used_is_told(tmp_path: Path) -> None:
    text = text_of([row[1:] for row in attempts(2)], ("Saison", *HEADER[2:]))

    reading = read_text(tmp_path, text, options=typed(["Saison=season"], ["league=Halma League"]))

    assert reading.mapping["Saison"] == "season"
    assert reading.mapping["--set league"] == "Halma League"


def test_a_value_set_for_the_whole_file_obeys_the_same_rules(tmp_path: Path) -> None:
    text = text_of([row[1:] for row in attempts(2)], HEADER[1:])

    with pytest.raises(RefusedInput, match="--set league"):
        read_text(tmp_path, text, options=typed(sets=["league=" + "x" * 500]))


def test_a_clean_file_passes_an_outside_reader_of_the_same_schema(tmp_path: Path) -> None:
    from frictionless import Resource, Schema, system

    path = tmp_path / "given.csv"
    path.write_text(
        text_of(
            [
                (*row, "9" if at == 3 else "1", "x" if at == 5 else "2")
                for at, row in enumerate(attempts(8))
            ],
            (*HEADER, "period", "trip_of"),
        )
    )
    wanted = [
        "league",
        "season",
        "date",
        "game",
        "team",
        "player",
        "made",
        "technique",
        "period",
        "trip_of",
    ]
    outside = Schema.from_descriptor(str(folder("schemas") / "attempts.json"))
    fields = [field for name in wanted for field in outside.fields if field.name == name]

    with system.use_context(trusted=True):
        report = Resource(path=str(path), schema=Schema(fields=fields)).validate()
    ours = read(path).rejects

    theirs = {(error[0], error[1]) for error in report.flatten(["rowNumber", "fieldName"])}
    assert set(ours.select("line", "column").rows()) == theirs == {(7, "trip_of")}


def test_a_large_plain_file_is_read_in_bulk(tmp_path: Path) -> None:
    rows = attempts(600) * 50
    text = text_of(rows)

    reading = read_text(tmp_path, text)

    assert reading.frame.height == 30_000
    assert reading.frame.schema["date"] == pl.Date
    assert reading.frame["made"].sum() == sum(made for _, made in results(rows))


@pytest.mark.parametrize("text", ["league\n", "player,made\n1,2\n", "a\tb\n", "\ufeff"])
def test_a_file_without_what_is_needed_is_refused(text: str, tmp_path: Path) -> None:
    with pytest.raises(OffglassError):
        read_text(tmp_path, text)


def test_typed_rows_obey_the_rules_of_a_file() -> None:
    row = dict(zip(HEADER, attempts(1)[0], strict=True)) | {"note": 'one\n"two", 3,4,5,6,7,8'}

    reading = read_rows([row, row | {"made": "perhaps"}, row | {"game": "G\x1b[2J"}], "attempts")

    assert reading.frame.select("line", "note").rows() == [(1, row["note"])]
    assert reading.rejects.select("line", "column", "reason").rows() == [
        (2, "made", "unknown_word"),
        (3, "game", "control_character"),
    ]
    with pytest.raises(RefusedInput, match="player"):
        read_rows([{"league": "H", "made": "yes"}], "attempts")


def test_a_flood_of_unknown_techniques_is_told_in_few_lines(tmp_path: Path) -> None:
    rows = [(*row[:7], f"word {at % 40}") for at, row in enumerate(attempts(90))]

    reading = read_text(tmp_path, text_of(rows))

    assert len(reading.warnings) == 21
    assert reading.warnings[-1].startswith("20 more technique words in 40 rows")


def test_letters_lost_before_are_noticed(tmp_path: Path) -> None:
    rows = [(*row[:5], "J\ufffdrva", *row[6:]) for row in attempts(2)]

    assert "lost letter" in read_text(tmp_path, text_of(rows)).warnings[0]


def test_blank_rows_are_counted_whatever_separates_them(tmp_path: Path) -> None:
    for separator in ",;\t|":
        text = text_of(attempts(2), separator=separator) + separator * 7 + "\n\n"

        assert read_text(tmp_path, text).skipped["reason"].to_list() == ["blank_row"]
