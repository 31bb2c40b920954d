"""What a draft proposes, what it asks, what it refuses: small files, one trap each."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.errors import OffglassError, RefusedInput
from ledger.intake import snapshot
from ledger.intake.draft import Draft, draft, event_text, file_name, headers, lexicon
from ledger.intake.draft.layout import records_path
from ledger.intake.draft.plan import literal
from ledger.intake.profile import parse

BOX = "Game,Date,Team,Player,{made},{tried}\nG1,2024-02-13,Tarvask,Vruul Helfett,{a},{b}\n"


def _draft(text: str, name: str = "file.csv", kind: str | None = None) -> Draft:
    return draft(snapshot.of_bytes(text.encode(), name), kind)


def _body(drafted: Draft) -> dict[str, Any]:
    parse(drafted.text, "draft")
    return tomllib.loads(drafted.text)


def _asked(drafted: Draft) -> set[str]:
    return {p.field for p in drafted.proposals if p.asked}


@pytest.mark.parametrize(
    ("header", "meaning"),
    [
        ("FTM", "ft_made"),
        ("FTA", "ft_attempts"),
        ("FT%", "percent"),
        ("Free throws made", "ft_made"),
        ("free_throws_attempted", "ft_attempts"),
        ("TL Convertidos", "ft_made"),
        ("T.L. intentados", "ft_attempts"),
        ("LF réussis", "ft_made"),
        ("자유투성공", "ft_made"),
        ("자유투시도", "ft_attempts"),
        ("FGM", None),
        ("Spieler", "player"),
        ("선수명", "player"),
        ("homeTeam", "home"),
        ("shooter.name", "player"),
        ("games.away.name", "away"),
        ("game.id", "game"),
        ("minutes", "minutes"),
        ("bananas", None),
    ],
)
def test_a_header_means_what_the_trade_means_by_it(header: str, meaning: str | None) -> None:
    assert headers.meaning(header) == meaning


def test_makes_and_attempts_in_two_columns_are_a_box_score() -> None:
    rows = BOX.format(made="FTM", tried="FTA", a=7, b=9) + "G1,2024-02-13,Tarvask,Zef Olbax,2,2\n"
    drafted = _draft(rows)
    assert drafted.kind == "box"
    fields = _body(drafted)["fields"]
    assert (fields["made"], fields["attempts"]) == ("FTM", "FTA")


def test_swapped_headings_are_asked_not_taken() -> None:
    rows = BOX.format(made="FTM", tried="FTA", a=9, b=7)
    rows += "G1,2024-02-13,Tarvask,Zef Olbax,5,2\nG1,2024-02-13,Tarvask,Quon Vask,4,4\n"
    drafted = _draft(rows)
    assert {"made", "attempts"} <= _asked(drafted)
    assert not {"made", "attempts"} & _body(drafted)["fields"].keys()


def test_a_percentage_is_never_taken_for_makes() -> None:
    rows = "Game,Date,Team,Player,FT%,FTA\nG1,2024-02-13,Tarvask,Vruul Helfett,77.8,9\n"
    rows += "G1,2024-02-13,Tarvask,Zef Olbax,50,2\n"
    drafted = _draft(rows, kind="box")
    assert "made" in _asked(drafted)
    assert "FT%" not in _body(drafted)["fields"].values()


@pytest.mark.parametrize(
    ("dates", "order", "asked"),
    [
        (("13/02/2024", "05/03/2024"), "dmy", False),
        (("02/13/2024", "03/05/2024"), "mdy", False),
        (("2024-02-13", "2024-03-05"), "ymd", False),
        (("20240213", "20240305"), "ymd", False),
        (("05/03/2024", "06/03/2024"), None, True),
        (("13/02/24", "14/02/24"), None, True),
    ],
)
def test_the_order_of_a_date_is_taken_from_the_file_or_asked(
    dates: tuple[str, str], order: str | None, asked: bool
) -> None:
    rows = "Game,Date,Team,Player,FTM,FTA\n"
    rows += "".join(f"G{at},{day},Tarvask,Zef Olbax,1,2\n" for at, day in enumerate(dates))
    drafted = _draft(rows)
    assert _body(drafted).get("dates") == order
    assert ("date" in _asked(drafted)) is asked


EVENTS = "Game,Date,Team,Player,Event\n"


def _events(*texts: str) -> str:
    return EVENTS + "".join(f"G1,2024-02-13,Tarvask,Zef Olbax,{text}\n" for text in texts)


def test_usual_words_of_a_result_are_proposed() -> None:
    drafted = _draft(_events("Free throw made", "Free throw missed", "Rebound"))
    body = _body(drafted)
    assert "made" not in _asked(drafted)
    assert body["texts"][0]["pattern"] == "^Free throw (?P<made>missed|made)$"
    assert body["texts"][0]["else"] == "reject"


def test_attempt_may_mean_missed_and_is_asked() -> None:
    drafted = _draft(_events("Free throw made", "Free throw attempt", "Free throw attempt"))
    assert "made" in _asked(drafted)
    assert "attempt" not in _body(drafted).get("words", {}).get("made", {})
    assert any("attempt may mean a miss" in q for q in drafted.questions)


def test_a_slash_may_be_the_players_count_and_is_asked() -> None:
    drafted = _draft(_events("Free throw made 1/1", "Free throw missed 1/2"))
    assert {"trip_shot", "trip_of"} <= _asked(drafted)
    assert "trip_shot" not in _body(drafted)["texts"][0]["pattern"]


def test_a_count_above_any_trip_is_no_trip() -> None:
    drafted = _draft(_events("Free throw made 1/1", "Free throw missed 6/8"))
    assert not any("trip_shot" in t["pattern"] for t in _body(drafted)["texts"])
    assert not {"trip_shot", "trip_of"} & _asked(drafted)


def test_n_of_m_in_words_is_the_trip() -> None:
    drafted = _draft(_events("Free throw 1 of 2 made", "Free throw 2 of 2 missed"))
    pattern = _body(drafted)["texts"][0]["pattern"]
    assert r"(?P<trip_shot>\d) of (?P<trip_of>\d)" in pattern


@pytest.mark.parametrize("points", [True, False])
def test_the_absence_of_a_word_is_made_only_where_points_show_it(points: bool) -> None:
    counted = " (1 PTS)" if points else ""
    texts = (f"Free Throw 1 of 2{counted}", "MISS Free Throw 2 of 2", "Rebound")
    drafted = _draft(_events(*texts))
    assert (_body(drafted).get("blanks") == {"made": "yes"}) is points
    assert ("made" in _asked(drafted)) is not points


def test_plus_and_minus_are_asked() -> None:
    rows = "Game,Date,Team,Player,Result\n"
    rows += "".join(f"G1,2024-02-13,Tarvask,Zef Olbax,{sign}\n" for sign in "+-+-")
    assert "made" in _asked(_draft(rows))


def test_one_result_throughout_is_asked() -> None:
    rows = "Game,Date,Team,Player,Result\n" + "G1,2024-02-13,Tarvask,Zef Olbax,made\n" * 25
    assert "made" in _asked(_draft(rows))


def test_a_clock_that_runs_up_is_asked() -> None:
    rows = "Game,Date,Team,Player,Result,Period,Clock\n"
    times = [(1, "0:30"), (1, "4:10"), (1, "9:30"), (2, "1:00"), (2, "2:00")]
    rows += "".join(f"G1,2024-02-13,Tarvask,Zef Olbax,made,{p},{c}\n" for p, c in times)
    rows += "G1,2024-02-13,Tarvask,Zef Olbax,missed,2,3:00\n"
    assert "clock" in _asked(_draft(rows))


def test_the_newest_row_first_is_found() -> None:
    rows = "Game,Date,Team,Player,Result,Period,Clock\n"
    times = [(4, "0:10"), (4, "2:10"), (3, "1:30"), (1, "1:00"), (1, "2:00")]
    rows += "".join(f"G1,2024-02-13,Tarvask,Zef Olbax,made,{p},{c}\n" for p, c in times)
    rows += "G1,2024-02-13,Tarvask,Zef Olbax,missed,1,3:00\n"
    assert _body(_draft(rows))["order"] == "reversed"


def test_families_first_and_numbers_in_front_are_found() -> None:
    rows = "Game;Date;Team;Player;FTM;FTA\n"
    for name in ("12 Olbax, Zef", "7 Helfett, Vruul", "9 Vask, Quon"):
        rows += f"G1;2024-02-13;Tarvask;{name};1;2\n"
    written = _body(_draft(rows))["names"]["player"]
    assert written == {"number": "front", "order": "family, given"}


def test_rows_of_totals_and_repeated_headers_are_dropped() -> None:
    rows = "Player,Team,FTM,FTA\nZef Olbax,TOT,5,6\nZef Olbax,Tarvask,3,4\nZef Olbax,Brask,2,2\n"
    rows += "Player,Team,FTM,FTA\nLeague totals,,5,6\n"
    drafted = _draft(rows, "season 2023-24.csv")
    assert drafted.kind == "totals"
    dropped = {word for rule in _body(drafted)["rows"]["drop"] for word in rule["is"]}
    assert {"TOT", "Player", "League totals"} <= dropped
    assert _body(drafted)["file_name"]["pattern"] == r"(?P<season>\d{4}-\d{2})"


def test_events_without_a_free_throw_are_refused_with_that_reason() -> None:
    with pytest.raises(RefusedInput, match="no free throw"):
        _draft(_events("Layup made", "Rebound", "Foul"))


def test_teams_without_players_are_refused_with_that_reason() -> None:
    rows = "Game,Date,Team,FTM,FTA\nG1,2024-02-13,Tarvask,7,9\nG1,2024-02-13,Brask,2,2\n"
    with pytest.raises(RefusedInput, match="no players"):
        _draft(rows)


@pytest.mark.parametrize(
    ("name", "date", "doubtful"),
    [
        ("U16 2017-07-09.json", "2017-07-09", None),
        ("halma_20170709.csv", "20170709", None),
        ("halma 07-09-2017.csv", None, "07-09-2017"),
        ("halma 2017.csv", None, None),
        ("halma 20171399.csv", None, None),
    ],
)
def test_a_date_in_a_files_name_is_found_where_it_reads_one_way(
    name: str, date: str | None, doubtful: str | None
) -> None:
    found = file_name.look(name)
    assert (found.date, found.doubtful) == (date, doubtful)


def test_a_name_between_two_parts_becomes_a_group() -> None:
    texts = {"MISS Ott Free Throw 2 of 3": 2, "MISS K. Bel-Ak Free Throw 1 of 1": 1}
    found = event_text.draft(texts, want_player=True)
    pattern = found.patterns[0][0]
    assert pattern == (
        r"^(?P<made>MISS) (?P<player>[^(]+?) Free Throw (?P<trip_shot>\d) of (?P<trip_of>\d)$"
    )


def test_numbers_in_front_of_a_name_in_a_text_are_no_part_of_the_name() -> None:
    texts = {"12 Olbax (Tarvask) makes free throw": 1, "4 Vask (Brask) misses free throw": 1}
    found = event_text.draft(texts, want_player=True, teams=("Tarvask", "Brask"))
    match = re.match(found.patterns[0][0], "12 Olbax (Tarvask) makes free throw")
    assert match is not None
    assert match.groupdict() == {
        "number": "12", "player": "Olbax", "team": "Tarvask", "made": "makes",
    }  # fmt: skip


@pytest.mark.parametrize(("clocks", "taken"), [(("9:10", "8:10"), True), (("8:10", "9:10"), False)])
def test_an_id_gives_the_order_only_where_the_clock_agrees(
    clocks: tuple[str, str], taken: bool
) -> None:
    rows = "event_id,game,date,team,player,result,period,clock\n"
    for at, clock in enumerate(clocks, 1):
        rows += f"{at},G1,2024-02-13,Tarvask,Zef Olbax,{('made', 'missed')[at % 2]},1,{clock}\n"
    assert (_body(_draft(rows))["fields"].get("order") == "event_id") is taken


def test_home_and_away_columns_of_one_row_are_unfolded() -> None:
    rows = "Home,Away,Home player,Home FTM,Home FTA,Away player,Away FTM,Away FTA\n"
    rows += "Tarvask,Brask,Zef Olbax,1,2,Quon Vask,3,4\n" * 2
    drafted = _draft(rows, "2024-02-13.csv")
    sides = _body(drafted)["sides"]
    assert [side["side"] for side in sides] == ["Home", "Away"]
    assert [side["side ft made"] for side in sides] == ["Home FTM", "Away FTM"]
    assert "team" not in _asked(drafted)


def test_a_word_seen_in_one_kind_of_text_is_read_in_the_others() -> None:
    texts = {"Free throw 1 of 2 made": 1, "Free throw 2 of 2 missed": 1, "Free throw missed": 1}
    found = event_text.draft(texts, want_player=False)
    assert all("(?P<made>missed|made)" in pattern for pattern, _, _ in found.patterns)


@pytest.mark.parametrize(
    ("word", "value"),
    [("Made", "yes"), ("ANOTADO", "yes"), ("fallado", "no"), ("성공", "yes"), ("attempt", None),
     ("in", None), ("x", None), ("+", None)],
)  # fmt: skip
def test_a_word_has_a_result_only_where_the_trade_has_one(word: str, value: str | None) -> None:
    assert lexicon.result(word) == value


def test_a_header_over_two_lines_stays_one_line_of_the_profile() -> None:
    rows = 'Game,Date,Home,Away,"Home\ntext","Away\ntext"\n'
    rows += "G1,2024-02-13,Tarvask,Brask,Zef Olbax Free Throw 1 of 1 made,\n"
    rows += "G1,2024-02-13,Tarvask,Brask,,Quon Vask Free Throw 1 of 1 missed\n"
    assert _body(_draft(rows))["sides"][0]["happened"] == "Home\ntext"


def test_the_records_of_a_document_are_its_richest_list() -> None:
    event = {"player": "Zef Olbax", "made": True, "clock": "1:00"}
    document = {"pages": [{"n": 1}] * 9, "games": [{"date": "2024-02-13", "events": [event] * 3}]}
    assert records_path(document) == "$.games[*].events[*]"


@given(st.text(max_size=60))
@settings(max_examples=200, deadline=None)
def test_any_text_written_as_toml_is_read_back(text: str) -> None:
    text = text.encode("utf-8", "ignore").decode()
    assert tomllib.loads(f"a = {literal(text)}")["a"] == text


def _outcome(text: str) -> str:
    """The profile drafted from a text, or the one line that refuses it."""
    try:
        return _draft(text).text
    except OffglassError as refused:
        return refused.message


@given(
    st.lists(
        st.sampled_from(
            ["Player", "FTM", "FTA", "Free throw made", "1 of 2", "7-9", "2024-02-13", "", "Total",
             "Zef Olbax", "made", "'", '"', "\\", "%", "{", "[1]", ";", "\t", "(", "0:47", "Q1"]
        ),
        min_size=1,
        max_size=40,
    ),
    st.integers(1, 6),
    st.sampled_from([",", ";", "\t", "|", "  "]),
)  # fmt: skip
@settings(max_examples=120, deadline=None)
def test_any_table_is_drafted_or_refused_in_one_line(
    cells: list[str], width: int, separator: str
) -> None:
    rows = [separator.join(cells[at : at + width]) for at in range(0, len(cells), width)]
    said = _outcome("\n".join(rows) + "\n")
    assert said
    assert "\n" not in said or parse(said, "draft").name == "file"


def test_what_stands_before_a_colon_is_no_part_of_a_name() -> None:
    texts = {
        "Zelloby: Zef Olbax Free Throw 1 of 2": 3,
        "Tarvumere: Quonik Tolvax Free Throw 1 of 2": 3,
    }

    unknown = event_text.draft(texts, want_player=True)
    known = event_text.draft(texts, want_player=True, teams=["Zelloby", "Tarvumere"])

    assert unknown.patterns[0][0].startswith("^[^:]+: (?P<player>")
    assert known.patterns[0][0].startswith("^(?P<team>[^:]+): (?P<player>")
