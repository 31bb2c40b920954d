"""Each step of a profile, on the cells that real files show."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.errors import RefusedInput, UseError
from ledger.intake.profile.people import in_order, split_number
from tests.intake.profiled import GAME, read_by, records

EVENT = "[[texts]]\ncolumn = \"text\"\npattern = '^(?P<player>\\w+) (?P<made>good|miss)$'\n"


def test_rows_are_kept_dropped_and_told_with_one_of_each(tmp_path: Path) -> None:
    body = """
[[rows.keep]]
column = "type"
is = [" ft ", "FT2"]
[[rows.drop]]
column = "player"
matches = "^Total"
[fields]
player = "player"
made = "result"
"""
    lines = "type,player,result\nFT,Ott,1\nJS,Ott,1\nft,Totals,1\nft2,Tarn,0\n"

    reading = read_by(tmp_path, body + GAME, lines)

    assert records(reading, "player", "made") == [(2, "Ott", True), (5, "Tarn", False)]
    assert reading.skipped_reasons == {"dropped": 1, "not_kept": 1}
    assert any("line 3: JS,Ott,1" in told for told in reading.warnings)
    assert any("line 4: ft,Totals,1" in told for told in reading.warnings)


def test_a_header_that_comes_again_is_no_record(tmp_path: Path) -> None:
    lines = "text,note\nOtt good,x\nText,note\ntext,note\nOtt miss,y\n"

    reading = read_by(tmp_path, EVENT + 'else = "reject"\n' + GAME, lines)

    assert reading.skipped_reasons == {"repeated_header": 1}
    assert reading.reasons == {"no_match": 1}


def test_of_several_patterns_the_first_that_matches_counts(tmp_path: Path) -> None:
    body = """
[[texts]]
column = "text"
pattern = '^MISS (?P<player>\\w+) Free Throw (?P<trip_shot>\\d) of (?P<trip_of>\\d)$'
[[texts]]
column = "text"
pattern = '^(?P<made>MISS )?(?P<player>\\w+) Free Throw'
[blanks]
made = "yes"
[words.made]
MISS = "no"
"""
    lines = "text\nMISS Ott Free Throw 1 of 2\nOtt Free Throw technical\nOtt Jump Shot\n"

    reading = read_by(tmp_path, body + GAME, lines)

    found = records(reading, "player", "made", "trip_shot")
    assert found == [(2, "Ott", True, 1), (3, "Ott", True, None)]
    assert reading.skipped_reasons == {"no_match": 1}


def test_a_text_that_must_match_refuses_its_row_but_only_if_it_is_a_record(tmp_path: Path) -> None:
    clock = (
        "[[texts]]\ncolumn = \"at\"\npattern = '^(?P<period>\\d) - (?P<clock>\\d:\\d\\d)$'\n"
        'else = "reject"\n'
    )
    lines = "at,text\n2 - 0:47,Ott good\nlate,Ott miss\nlate,Tarn sits down\n"

    reading = read_by(tmp_path, clock + EVENT + GAME, lines)

    assert records(reading, "period", "clock") == [(2, 2, 47.0)]
    assert reading.rejects.select("line", "column", "value", "reason").rows() == [
        (3, "at", "late", "no_match")
    ]
    assert reading.skipped_reasons == {"no_match": 1}


def test_a_text_fills_what_a_column_left_blank_and_never_another_value(tmp_path: Path) -> None:
    body = '[fields]\nplayer = "who"\n' + EVENT
    lines = "who,text\n,Ott good\nOtt,Ott miss\nTarn,Ott miss\n"

    reading = read_by(tmp_path, body + GAME, lines)

    assert records(reading, "player") == [(2, "Ott"), (3, "Ott")]
    assert reading.rejects.select("line", "value", "reason").rows() == [
        (4, "Tarn / Ott", "two_values")
    ]


@pytest.mark.parametrize(
    ("cell", "counts"),
    [("7-9", (7, 9)), ("40 / 63", (40, 63)), ("7 of 9", (7, 9)), ("0–2", (0, 2)), ("6:8", (6, 8))],
)
def test_a_pair_gives_makes_and_attempts(
    tmp_path: Path, cell: str, counts: tuple[int, int]
) -> None:
    lines = f'who;ft\nOtt;{cell}\nTarn;-\nDorn;"2023-07-09"\nKilo;\nOselo;9-7\n'
    body = '[fields]\nplayer = "who"\n[pair]\ncolumn = "ft"\n'

    reading = read_by(tmp_path, body + GAME, lines, "box")

    assert records(reading, "player", "made", "attempts") == [(2, "Ott", *counts)]
    assert dict(reading.rejects.select("line", "reason").iter_rows()) == {
        4: "bad_pair",
        6: "made_above_attempts",
    }
    assert reading.skipped_reasons == {"not_in_table": 2}


def test_a_pair_may_be_the_other_way_round_or_in_own_words(tmp_path: Path) -> None:
    fields = '[fields]\nplayer = "who"\n[pair]\ncolumn = "ft"\n'
    own = fields + "pattern = '(?P<made>\\d+) von (?P<attempts>\\d+)'\n"

    turned = read_by(tmp_path, fields + 'first = "attempts"\n' + GAME, "who,ft\nOtt,9-7\n", "box")
    worded = read_by(tmp_path, own + GAME, "who,ft\nOtt,7 von 9\n", "box")

    assert records(turned, "made", "attempts") == records(worded, "made", "attempts") == [(2, 7, 9)]


def test_one_wrong_side_refuses_its_row_and_a_blank_side_is_no_record(tmp_path: Path) -> None:
    body = """
[[sides]]
who = "home"
result = "home result"
side = {value = "Skerry"}
[[sides]]
who = "away"
result = "away result"
side = {value = "Ostra"}
[constants]
league = "Halma League"
season = "2023-24"
date = "2023-10-14"
game = "G1"
[fields]
player = "who"
made = "result"
team = "side"
"""
    lines = """
home,home result,away,away result
Ott,1,Tarn,0
Ott,0,,
Ott,1,Tarn,maybe
,,,
"""

    reading = read_by(tmp_path, body, lines)

    assert records(reading, "player", "team") == [
        (2, "Ott", "Skerry"),
        (2, "Tarn", "Ostra"),
        (3, "Ott", "Skerry"),
    ]
    assert reading.rejects.select("line", "value").rows() == [(4, "maybe")]
    assert reading.rows == 2 + 1 + reading.skipped.height


def test_fields_come_out_of_the_name_of_the_file_and_what_is_typed_stands_above(
    tmp_path: Path,
) -> None:
    body = """
[file_name]
pattern = '(?P<game>U\\d+) (?P<date>\\d{4}-\\d\\d-\\d\\d)'
[constants]
league = "Halma League"
season = "2023-24"
team = "Skerry"
[fields]
player = "who"
made = "made"
"""
    lines = "who,made\nOtt,1\n"

    named = read_by(tmp_path, body, lines, file="U16 2023-07-09.csv")
    typed = read_by(
        tmp_path, body, lines, file="U16 2023-07-09.csv", sets=["game=G7", "season=2022-23"]
    )

    assert [str(d) for d in named.frame["date"]] == ["2023-07-09"]
    assert (named.frame["game"][0], typed.frame["game"][0]) == ("U16", "G7")
    assert typed.frame["season"][0] == "2022-23"
    with pytest.raises(RefusedInput, match="its name does not match"):
        read_by(tmp_path, body, lines, file="week.csv")
    with pytest.raises(UseError, match="--set player"):
        read_by(tmp_path, body, lines, file="U16 2023-07-09.csv", sets=["player=Ott"])


def test_a_second_file_gives_names_and_rows_it_lacks_or_tells_twice_are_refused(
    tmp_path: Path,
) -> None:
    (tmp_path / "ids.csv").write_text(
        "id,name\n007,Ott\n7,Tarn\n7,Tarn\n9,Dorn\n9,Kilo\n", encoding="utf-8"
    )
    body = """
[[lookups]]
file = "ids.csv"
column = "pid"
key = "id"
take = {who = "name"}
[fields]
player = "who"
made = "made"
"""
    lines = "pid,made\n007,1\n7,0\n8,1\n9,1\n,1\n"

    reading = read_by(tmp_path, body + GAME, lines)

    assert records(reading, "player") == [(2, "Ott"), (3, "Tarn")]
    assert reading.rejects.select("line", "value", "reason").rows() == [
        (4, "8", "not_in_second_file"),
        (5, "9", "twice_in_second_file"),
        (6, "", "missing"),
    ]
    assert "--second-file ids.csv" in reading.mapping
    with pytest.raises(RefusedInput, match=r"persons\.csv: no such file"):
        read_by(tmp_path, body.replace("ids.csv", "persons.csv") + GAME, lines)


def test_a_number_out_of_a_text_is_looked_up_after_the_texts(tmp_path: Path) -> None:
    (tmp_path / "shirts.csv").write_text("shirt,name\n32,Ott\n", encoding="utf-8")
    body = """
[[texts]]
column = "text"
pattern = '^#(?P<shirt>\\d+) (?P<made>good|miss)$'
[[lookups]]
file = "shirts.csv"
column = "shirt"
key = "shirt"
take = {who = "name"}
[fields]
player = "who"
"""

    reading = read_by(tmp_path, body + GAME, "text\n#32 good\n#9 sits down\n")

    assert records(reading, "player", "made") == [(2, "Ott", True)]


def test_joined_columns_leave_out_blank_parts(tmp_path: Path) -> None:
    body = '[fields]\nplayer = {join = ["given", "family"]}\nmade = "made"\n'

    reading = read_by(tmp_path, body + GAME, "family,given,made\nOtt,Kilo,1\nTarn, ,0\n")

    assert records(reading, "player") == [(2, "Kilo Ott"), (3, "Tarn")]


@pytest.mark.parametrize(
    ("text", "where", "found"),
    [
        ("12, K. Ott", "front", ("K. Ott", "12")),
        ("#12 Ott", "front", ("Ott", "12")),
        ("12. Ott", "front", ("Ott", "12")),
        ("(00) Ott", "front", ("Ott", "00")),
        ("12-Ott", "front", ("Ott", "12")),
        ("#32", "front", ("#32", "32")),
        ("Ott", "front", ("Ott", "")),
        ("3rd Ott", "front", ("3rd Ott", "")),
        ("Ott (7)", "back", ("Ott", "7")),
        ("Ott #7", "back", ("Ott", "7")),
        ("Ott, 7", "back", ("Ott", "7")),
        ("Ott7", "back", ("Ott7", "")),
    ],
)
def test_a_shirt_number_beside_a_name_is_told_from_it(
    text: str, where: str, found: tuple[str, str]
) -> None:
    assert split_number(text, where) == found


@pytest.mark.parametrize(
    ("text", "order", "name"),
    [
        ("Ott, Kilo", "family, given", "Kilo Ott"),
        ("Ott", "family, given", "Ott"),
        ("Ott Kilo B.", "family given", "Kilo B. Ott"),
        ("VAN OTT Kilo", "family given", "Kilo VAN OTT"),
        ("OTT K.", "family given", "K. OTT"),
        ("Ott Kilo", "as written", "Ott Kilo"),
    ],
)
def test_names_are_written_given_name_first(text: str, order: str, name: str) -> None:
    assert in_order(text, order) == name


def test_numbers_and_names_of_a_column_go_to_their_fields(tmp_path: Path) -> None:
    body = (
        '[fields]\nplayer = "who"\nmade = "made"\n'
        '[names.player]\norder = "family, given"\nnumber = "front"\n'
    )

    reading = read_by(tmp_path, body + GAME, 'who,made\n"12 Ott, Kilo",1\n"#32",0\n')

    assert records(reading, "player", "number") == [(2, "Kilo Ott", "12"), (3, "#32", "32")]


def test_a_clock_that_counts_up_is_turned_and_needs_its_period(tmp_path: Path) -> None:
    body = (
        '[fields]\nplayer = "who"\nmade = "made"\nperiod = "q"\nclock = "t"\n'
        '[clock]\ncounts = "up"\nperiod_minutes = 10\n'
    )
    lines = "who,made,q,t\nOtt,1,1,4:22\nOtt,1,5,4:22.5\nOtt,0,1,10:01\nOtt,0,,1:00\nOtt,0,2,x\n"

    reading = read_by(tmp_path, body + GAME, lines)

    assert records(reading, "clock") == [(2, 338.0), (3, 37.5)]
    assert dict(reading.rejects.select("line", "reason").iter_rows()) == {
        4: "bad_clock",
        5: "clock_without_period",
        6: "bad_clock",
    }


@pytest.mark.parametrize(("order", "wanted"), [("file", [1, 2, 3]), ("reversed", [3, 2, 1])])
def test_records_are_numbered_as_the_file_has_them_or_from_its_end(
    tmp_path: Path, order: str, wanted: list[int]
) -> None:
    lines = "text\nOtt good\nOtt jumps\nOtt miss\nTarn good\n"

    reading = read_by(tmp_path, f'order = "{order}"\n' + EVENT + GAME, lines)

    assert reading.frame["order"].to_list() == wanted


def test_words_of_other_fields_are_read_too(tmp_path: Path) -> None:
    body = (
        '[fields]\nperiod = "q"\nplayer = "who"\nmade = "made"\n'
        '[words.period]\n"1er cuarto" = "1"\nPRORROGA = "5"\n'
    )

    reading = read_by(tmp_path, body + GAME, "q,who,made\n1er Cuarto,Ott,1\nprorroga,Ott,0\n")

    assert records(reading, "period") == [(2, 1), (3, 5)]


def test_words_for_nothing_are_blank(tmp_path: Path) -> None:
    body = '[form]\nnulls = ["NULL", "-"]\n[fields]\nplayer = "who"\nmade = "made"\nspot = "spot"\n'

    reading = read_by(tmp_path, body + GAME, "who,made,spot\nOtt,1,NULL\nTarn,0,-\nNULL,1,left\n")

    assert records(reading, "spot") == [(2, None), (3, None)]
    assert reading.reasons == {"missing": 1}


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        ("player,made\nOtt,1\n", "gone: who; new: player"),
        ("who,result\nOtt,1\n", "gone: made; new: result"),
        ("who,made,who\nOtt,1,Ott\n", "2 columns are called who"),
    ],
)
def test_a_file_that_changed_its_shape_is_refused_with_what_changed(
    tmp_path: Path, lines: str, told: str
) -> None:
    body = '[fits]\ncolumns = ["who", "made"]\n[fields]\nplayer = "who"\nmade = "made"\n'

    with pytest.raises(RefusedInput) as refused:
        read_by(tmp_path, body + GAME, lines)

    assert told in refused.value.message
    assert "\n" not in refused.value.message


def test_a_column_more_is_only_told(tmp_path: Path) -> None:
    body = '[fits]\ncolumns = ["who", "made"]\n[fields]\nplayer = "who"\nmade = "made"\n'

    reading = read_by(tmp_path, body + GAME, "who,made,extra\nOtt,1,x\n")

    assert "columns the profile does not know, left out: extra" in reading.warnings


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        ("text\nOtt jumps\n", "holds no attempts by the profile Halma: 1 row matched by no"),
        ("text,made\n", "it has no rows"),
    ],
)
def test_a_file_without_attempts_is_refused(tmp_path: Path, lines: str, told: str) -> None:
    with pytest.raises(RefusedInput, match=told):
        read_by(tmp_path, EVENT + GAME, lines)


def test_a_file_of_teams_without_players_is_refused(tmp_path: Path) -> None:
    fields = '[fields]\nteam = "team"\nmade = "made"\nplayer = "who"\n'
    constants = GAME.replace('team = "Skerry"\n', "")

    with pytest.raises(RefusedInput, match="teams but no players"):
        read_by(tmp_path, fields + constants, "team,who,made\nSkerry,,1\nSkerry,,0\n")
    body = fields.replace('player = "who"\n', "") + constants
    with pytest.raises(RefusedInput, match="teams but no players"):
        read_by(tmp_path, body, "team,made\nSkerry,1\n")


@pytest.mark.parametrize(("word", "said"), [("good", "made"), ("miss", "missed")])
def test_ten_attempts_of_one_result_are_worth_a_word(tmp_path: Path, word: str, said: str) -> None:
    ten, nine = f"Ott {word}\n" * 10, f"Ott {word}\n" * 9

    warned = read_by(tmp_path, EVENT + GAME, "text\n" + ten).warnings
    quiet = read_by(tmp_path, EVENT + GAME, "text\n" + nine).warnings

    assert any(told.startswith(f"all 10 attempts were {said}") for told in warned)
    assert not any(told.startswith("all ") for told in quiet)


def test_a_profile_goes_with_its_own_kind_and_without_map(tmp_path: Path) -> None:
    with pytest.raises(UseError, match="--map goes without a profile"):
        read_by(tmp_path, EVENT + GAME, "text\nOtt good\n", maps=["text=note"])
    with pytest.raises(UseError, match="a question open: which word is made"):
        read_by(tmp_path, 'ask = ["which word is made"]\n' + EVENT + GAME, "text\nOtt good\n")
