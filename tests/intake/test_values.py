"""One value at a time: dates, clocks, numbers, seasons, names, words."""

from __future__ import annotations

import datetime as dt

import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedInput, UseError
from ledger.intake import cells, clocks, dates, names, numbers, seasons, words
from ledger.intake.options import ReadOptions, typed, with_typed_words
from ledger.resources import schema

DAY = dt.date(2021, 12, 25)


@pytest.mark.parametrize(
    "text",
    [
        *("2021-12-25", "2021/12/25", "2021.12.25", "20211225", "25.12.2021", "25/12/2021"),
        *("12/25/2021", "25 Dec 2021", "25-Dec-2021", "Dec 25, 2021", "December 25 2021"),
        *("25. December 2021", "25th Dec 2021", "Sat, 25 Dec 2021", "2021-12-25T23:30:00-05:00"),
        *(
            "2021-12-25 00:15",
            "25.12.2021 19:30",
            "2021-12-25T19:30Z",
            "2021-12-25T19:30:00.000+0900",
        ),
    ],
)
def test_a_clear_date_is_read_as_the_day_that_is_written(text: str) -> None:
    assert dates.reader([text], None, "f")(text) == DAY


@pytest.mark.parametrize(
    "text",
    [
        "2023-02-30",
        "2023-13-01",
        "0000-00-00",
        "99999-01-01",
        "1700-01-01",
        "soon",
        "45213",
        "32.01.2023",
    ],
)
def test_what_is_no_date_that_exists_is_no_date(text: str) -> None:
    assert dates.reader([text, "2021-12-25"], None, "f")(text) is None


@pytest.mark.parametrize(
    ("order", "text", "day"),
    [
        ("dmy", "03/04/2023", dt.date(2023, 4, 3)),
        ("mdy", "03/04/2023", dt.date(2023, 3, 4)),
        ("dmy", "3.4.23", dt.date(2023, 4, 3)),
        ("ymd", "23/04/03", dt.date(2023, 4, 3)),
        ("%d.%m.%y", "03.04.99", dt.date(1999, 4, 3)),
        ("DMY", "03-04-2023", dt.date(2023, 4, 3)),
    ],
)
def test_an_order_that_was_typed_is_used(order: str, text: str, day: dt.date) -> None:
    assert dates.reader([text], order, "f")(text) == day


@pytest.mark.parametrize("order", ["%d.%m", "%H:%M", "dym", "%Q", "%"])
def test_a_format_without_a_whole_day_is_wrong_use(order: str) -> None:
    with pytest.raises(UseError, match="--dates"):
        dates.reader(["2023-01-01"], order, "f")


@given(st.dates(dt.date(1890, 1, 1), dt.date(2100, 12, 31)), st.sampled_from("-/."))
def test_an_order_is_never_guessed(day: dt.date, separator: str) -> None:
    text = day.strftime(f"%d{separator}%m{separator}%Y")
    may_be_other = day.day <= 12 and day.day != day.month

    if may_be_other:
        with pytest.raises(RefusedInput):
            dates.reader([text], None, "f")
    else:
        assert dates.reader([text], None, "f")(text) == day


def test_evidence_counts_for_its_own_separator_alone() -> None:
    with pytest.raises(RefusedInput, match="03/04/2023"):
        dates.reader(["14.10.2022", "03/04/2023"], None, "f")


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        *(("5:38", 338.0), ("05:38", 338.0), ("0:47.3", 47.3), ("0:47,3", 47.3), ("75", 75.0)),
        *(("47.3", 47.3), ("PT05M38.00S", 338.0), ("PT47S", 47.0)),
        *(("5:78", None), ("5:38:00", None), ("-3", None), ("late", None), ("PT", None)),
    ],
)
def test_a_clock_is_read_as_seconds_left(text: str, seconds: float | None) -> None:
    assert clocks.clock_reader([text])(text) == seconds


def test_minutes_and_seconds_with_a_dot_are_not_taken_for_seconds() -> None:
    assert clocks.clock_reader(["5.38", "4.10"])("5.38") is None
    assert clocks.clock_reader(["5.38", "594.20"])("5.38") == 5.38


@pytest.mark.parametrize(
    ("text", "period"),
    [
        ("3", 3),
        ("Q3", 3),
        ("3rd", 3),
        ("p3", 3),
        ("2.0", 2),
        ("H2", 2),
        ("2nd half", 2),
        ("x", None),
    ],
)
def test_a_period_is_read_as_its_number(text: str, period: int | None) -> None:
    assert clocks.period_reader([text])(text) == period


def test_overtimes_count_on_from_quarters_only() -> None:
    quarters = clocks.period_reader(["1", "4", "OT", "OT2"])
    halves = clocks.period_reader(["1", "2", "OT"])

    assert [quarters(text) for text in ("OT", "OT1", "OT2", "2OT", "overtime")] == [5, 5, 6, 6, 5]
    assert halves("OT") is None


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("7", 7),
        (" 7 ", 7),
        ("7.0", 7),
        ("-1", -1),
        ("7.5", None),
        ("1,000", None),
        ("1e5", None),
        ("٣", None),
    ],
)
def test_integers_are_read_plainly(text: str, value: int | None) -> None:
    found = cells.whole_numbers(pl.Series([text]), None, None)

    assert found.values.to_list() == [value]
    assert (found.reasons is None) == (value is not None)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        *[("0", None), ("+9", None), (" ", None), ("10", "out_of_bounds"), ("-1", "out_of_bounds")],
        *[("99999999999999", "out_of_bounds"), ("9" * 19, "bad_number")],
    ],
)
def test_whole_numbers_keep_their_bounds(text: str, reason: str | None) -> None:
    found = cells.whole_numbers(pl.Series([text]), 0, 9)

    assert found.reasons is None if reason is None else found.reasons is not None
    assert found.reasons is None or found.reasons.to_list() == [reason]


@given(
    texts=st.lists(
        st.from_regex(r"\A[+-]?[0-9]{1,24}\Z") | st.text("+-0123456789 ._x٣", max_size=5),
        min_size=1,
    )
)
def test_a_whole_number_is_read_alike_among_plain_ones_and_odd_ones(texts: list[str]) -> None:
    alone = [cells.whole_numbers(pl.Series([text]), -9, 99) for text in texts]
    among = cells.whole_numbers(pl.Series([*texts, " 7.0 "]), -9, 99)

    assert among.values.to_list() == [*(one.values[0] for one in alone), 7]
    found = [None if one.reasons is None else one.reasons[0] for one in alone]
    assert (among.reasons is None) == (set(found) == {None})
    assert among.reasons is None or among.reasons.to_list() == [*found, None]


@pytest.mark.parametrize(
    ("text", "separator", "value"),
    [
        *(("4.57", ",", 4.57), (".5", ",", 0.5), ("-3", ",", -3.0), ("4,57", ",", None)),
        *(("4,57", ";", 4.57), ("1,234", ";", None), ("0,123", ";", 0.123), ("nan", ",", None)),
        *(("inf", ",", None), ("1e5", ",", None), ("4,57", "\t", 4.57)),
    ],
)
def test_decimals_are_read_without_guessing_thousands(
    text: str, separator: str, value: float | None
) -> None:
    assert numbers.number_reader([text], separator)(text) == value


def test_a_dot_beside_decimal_commas_may_be_a_thousand() -> None:
    assert numbers.number_reader(["4,57", "1.234"], ";")("1.234") is None


@pytest.mark.parametrize(
    "text", ["2023-24", "2023/24", "2023-2024", "23-24", "2023–24", " 2023 - 24 "]
)
def test_spellings_of_one_season_are_one(text: str) -> None:
    assert seasons.season_of(text) == ("2023-24", 2023)


@pytest.mark.parametrize(
    ("text", "season"),
    [
        *(("1999-00", ("1999-00", 1999)), ("99/00", ("1999-00", 1999)), ("2024", ("2024", 2024))),
        *(("Spring 2024", ("spring 2024", 2024)), ("last", None), ("2023-25", None)),
        *(("2023-05", None), ("0001", None)),
    ],
)
def test_other_seasons_are_labels_of_their_own_or_none(
    text: str, season: tuple[str, int] | None
) -> None:
    assert seasons.season_of(text) == season


@given(st.text())
def test_cleaning_a_name_twice_changes_nothing_more(text: str) -> None:
    once = names.clean(text)

    assert names.clean(once) == once
    assert names.normal_form(names.normal_form(text)) == names.normal_form(text)
    assert once == once.strip()


def test_accents_and_scripts_keep_names_apart() -> None:
    assert names.normal_form("Oselo") == names.normal_form("OSELO")
    assert names.normal_form("Öselo") != names.normal_form("Oselo")


def test_look_alikes_are_pointed_out_and_plain_accents_are_not() -> None:
    cyrillic = "T\u0430rn"

    assert names.lookalikes(["Tarn", cyrillic, "Jörva", "차무린"]) == [(cyrillic, "Tarn")]
    assert names.lookalikes(["Tarn", "Vedil"]) == []
    assert names.lookalikes([cyrillic]) == [(cyrillic, "")]
    assert names.lookalikes(["K. Παπος", "ヤマダ 太郎", "Рон Тарн"]) == []


def test_a_name_read_in_the_wrong_encoding_is_noticed() -> None:
    assert names.misread("Jörva".encode().decode("cp1252")) == "Jörva"
    assert names.misread("Jörva") is None
    assert names.misread("Σαβος") is None


def test_every_value_of_a_coded_field_is_its_own_word() -> None:
    table = words.build()
    for kind in ("attempts", "box", "totals", "tags", "players", "shortlist"):
        for field in schema(kind)["fields"]:
            for value in field.get("constraints", {}).get("enum", ()):
                assert table.look(field["name"], value) == value
                assert table.look(field["name"], value.upper().replace("_", "-")) == value


@pytest.mark.parametrize("text", ["-1", "+1", "1/0", "10", "01", "", "ye s", "maybe", "1.0"])
def test_a_word_that_is_not_in_the_table_stands_for_nothing(text: str) -> None:
    assert words.build().look("made", text) is None


def test_own_techniques_and_own_words_are_known() -> None:
    table = words.build({"technique": {"gancho": "hook"}, "made": {"예": "yes"}}, ["hook"])

    assert table.look("technique", "HOOK") == "hook"
    assert table.look("technique", "Gancho") == "hook"
    assert table.look("made", "예") == "yes"
    assert table.look("technique", "not on film") == words.UNCLEAR
    assert table.look("technique", "?") == words.NOT_RECORDED


@pytest.mark.parametrize(
    ("said", "complaint"),
    [
        ("made:예=perhaps", "no value perhaps"),
        ("technique:gancho=hok", "no value hok"),
        ("player:x=y", "takes no words"),
        ("mde:x=yes", "did you mean made"),
    ],
)
def test_a_word_for_nothing_is_wrong_use(said: str, complaint: str) -> None:
    with pytest.raises(UseError, match=complaint):
        with_typed_words(words.build(), schema("attempts"), typed(words=[said]))


@pytest.mark.parametrize(
    "wrong",
    [{"maps": ["player"]}, {"sets": ["league="]}, {"words": ["made=yes"]}, {"words": ["made:x"]}],
)
def test_options_of_another_form_are_wrong_use(wrong: dict[str, list[str]]) -> None:
    with pytest.raises(UseError, match="write it as"):
        typed(**wrong)  # type: ignore[arg-type]


def test_typed_options_are_taken_apart_at_the_right_signs() -> None:
    options = typed(["a=b=player"], ["league=A=B"], ["made:x:y=no"])

    assert options == ReadOptions(
        map=(("a=b", "player"),), set_values=(("league", "A=B"),), words=(("made", "x:y", "no"),)
    )


@pytest.mark.parametrize(
    ("text", "nowhere"),
    [
        ("31.04.2025", True), ("2024-11-32", True), ("31 April 2025", True), ("32.32.32", True),
        ("04/25/2025", False), ("25.04.2025", False), ("soon", False), ("", False),
    ],
)  # fmt: skip
def test_a_day_that_is_none_in_any_order_is_told_from_one_in_another(
    text: str, nowhere: bool
) -> None:
    assert dates.exists_nowhere(text) is nowhere
