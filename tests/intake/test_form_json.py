from __future__ import annotations

import gzip
import json
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.errors import RefusedInput, UseError
from ledger.intake.forms import Form, json_path
from ledger.intake.records import split_record
from tests.intake.forms_given import cells, lines, opened, refused

FEED = {
    "league": "Halma League",
    "meta": {"season": "2023-24"},
    "games": [
        {
            "id": 7,
            "home": {"name": "Quarry Herons"},
            "events": [
                {"player": {"name": "Tarn Oselo", "no": None}, "made": True, "xy": [1.5, -2]},
                {"player": {"name": "Vedil Komar"}, "made": False, "marks": [{"a": 1}]},
            ],
        },
        {"id": 8, "home": {"name": "Salt Mile"}, "events": [{"made": True, "player": {}}]},
        {"id": 9, "home": {"name": "Pinewharf"}},
    ],
}
EVENTS = "$.games[*].events[*]"


def test_records_get_the_fields_of_their_parents_by_their_path() -> None:
    found = opened(json.dumps(FEED).encode(), Form(path=EVENTS))

    assert found.form == "json"
    assert found.table.columns == (
        *("$.league", "$.meta.season", "games.id", "games.home.name"),
        *("player.name", "player.no", "made", "xy"),
    )
    above = ["Halma League", "2023-24"]
    assert cells(found) == [
        [*above, "7", "Quarry Herons", "Tarn Oselo", "", "true", "1.5, -2"],
        [*above, "7", "Quarry Herons", "Vedil Komar", "", "false", ""],
        [*above, "8", "Salt Mile", "", "", "true", ""],
    ]
    assert lines(found) == [1, 2, 3]
    assert any("marks" in warning for warning in found.warnings)
    assert any("1 object above the records holds nothing" in warning for warning in found.warnings)


@pytest.mark.parametrize(
    "number", ["007e0", "1.50", "4.570", "1E+2", "123456789012345678901234567890", "-0", "0.1"]
)
def test_numbers_stay_as_the_file_writes_them(number: str) -> None:
    data = f'[{{"id": {number.removeprefix("00")}}}]'.encode()

    assert cells(opened(data)) == [[number.removeprefix("00")]]


# The two examples of RFC 8259 (The JavaScript Object Notation Data Interchange Format, 2017),
# section 13; from memory, the addresses left out.
RFC_OBJECT = b"""{
  "Image": {
    "Width":  800,
    "Height": 600,
    "Title":  "View from 15th Floor",
    "Animated" : false,
    "IDs": [116, 943, 234, 38793]
  }
}"""
RFC_ARRAY = b"""[
  {"precision": "zip", "Latitude": 37.7668, "Longitude": -122.3959, "Zip": "94107"},
  {"precision": "zip", "Latitude": 37.371991, "Longitude": -122.026020, "Zip": "94085"}
]"""


def test_the_object_of_the_standard_is_one_record() -> None:
    found = opened(RFC_OBJECT)

    assert dict(zip(found.table.columns, cells(found)[0], strict=True)) == {
        "Image.Width": "800",
        "Image.Height": "600",
        "Image.Title": "View from 15th Floor",
        "Image.Animated": "false",
        "Image.IDs": "116, 943, 234, 38793",
    }


def test_the_array_of_the_standard_is_two_records_with_its_zeros() -> None:
    found = opened(RFC_ARRAY)

    assert cells(found)[1] == ["zip", "37.371991", "-122.026020", "94085"]


# RFC 9535 (JSONPath: Query Expressions for JSON, 2024): its names, wildcards and normalized
# quoting, sections 2.3 and 2.7; from memory.
@pytest.mark.parametrize(
    ("path", "steps"),
    [
        ("$", ()),
        ("$.store.book[*]", ("store", "book", None)),
        ("$['store']['book'][*]", ("store", "book", None)),
        ('$["store"].book[ * ]', ("store", "book", None)),
        ("$.o['j j']['k.k']", ("o", "j j", "k.k")),
        ("$.store.*", ("store", None)),
        (r"$['it\'s']", ("it's",)),
        ("$.\u263a", ("\u263a",)),
    ],
)
def test_a_path_is_read_by_the_standard(path: str, steps: tuple[str | None, ...]) -> None:
    assert json_path.parsed(path) == steps
    assert json_path.parsed(json_path.written(steps)) == steps


@pytest.mark.parametrize(
    "path", ["games[*]", "$games", "$.games[0]", "$..events", "$.games[*", "$.1a", "$[?@.a]", "$."]
)
def test_a_path_of_other_things_is_refused_with_an_example(path: str) -> None:
    with pytest.raises(UseError, match=r"names and \[\*\]"):
        opened(b'{"games": []}', Form(path=path))


def test_the_only_list_of_objects_is_found_by_itself() -> None:
    data = b'{"season": "2023-24", "count": [1, 2], "rows": [{"player": "Tarn"}]}'

    found = opened(data)

    assert found.table.columns == ("$.season", "$.count", "player")
    assert cells(found) == [["2023-24", "1, 2", "Tarn"]]


def test_several_lists_are_refused_with_the_paths_that_are_there() -> None:
    with pytest.raises(RefusedInput) as told:
        opened(json.dumps(FEED).encode())

    assert "--path '$.games[*]'" in told.value.message
    assert f"{EVENTS} (3)" in told.value.message


def test_a_path_that_leads_nowhere_is_refused_with_the_paths_that_do() -> None:
    with pytest.raises(RefusedInput, match=r"no record at \$\.gams\[\*\]; paths that do"):
        opened(json.dumps(FEED).encode(), Form(path="$.gams[*]"))


def test_objects_kept_under_their_ids_come_with_them() -> None:
    data = b'{"players": {"p7": {"name": "Tarn"}, "p9": {"name": "Ruva"}}}'

    found = opened(data, Form(path="$.players[*]"))

    assert found.table.columns == ("players[*]", "name")
    assert cells(found) == [["p7", "Tarn"], ["p9", "Ruva"]]


def test_rows_that_are_lists_go_by_place_and_stay_whole() -> None:
    data = b'{"rows": [["Tarn", 1, [2, 3]], ["Ruva", 0, []]]}'

    found = opened(data, Form(path="$.rows[*]"))

    assert found.table.columns == ("1", "2", "3")
    assert cells(found) == [["Tarn", "1", "2, 3"], ["Ruva", "0", ""]]


def test_a_broken_line_is_refused_alone() -> None:
    data = b"""{"player": "Tarn", "made": 1}
{"player": "Vedil", "made": 1, "made": 0}

{"player": "Ruva", "made":
["Olmo", 1]
{"player": "Keshi", "made": NaN}
{"player": "Bilo\\u0000", "made": 1}
{"player": "\\ud83d", "made": 1}
{"player": "\\ud83d\\ude00", "made": 0}
"""

    found = opened(data)

    assert found.form == "json lines"
    assert refused(found) == [
        *[(2, "doubled_name"), (4, "bad_json"), (5, "bad_json"), (6, "bad_json")],
        *[(7, "control_character"), (8, "bad_encoding")],
    ]
    assert cells(found) == [["Tarn", "1"], ["\U0001f600", "0"]]
    assert lines(found) == [1, 9]
    texts = dict(found.table.lines.iter_rows())
    assert set(texts) == {1, 2, 4, 5, 6, 7, 8, 9}
    # Beyond the two columns, so that no mended file takes it for a player.
    assert split_record(texts[4], ",") == ["", "", '{"player": "Ruva", "made":']


def test_lines_whose_first_is_broken_are_still_lines() -> None:
    found = opened(b'{"player": "Tarn"\n{"player": "Ruva"}\n{"player": "Olmo"}\n')

    assert refused(found) == [(1, "bad_json")]
    assert cells(found) == [["Ruva"], ["Olmo"]]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b'[{"a": 1}, {"a": 2}', "line 1, character 20"),
        (b'[{"a": 1, "a": 2}]', "'a' twice"),
        (b'[{"a": NaN}]', "NaN"),
        (b'[{"a": -Infinity}]', "Infinity"),
        (b"[1, 2, 3]", "without objects"),
        (b"[]", "no records"),
        (b'{"rows": [{"a": "x\ty"}]}', "invalid control character"),
        (b'{"a": 1} {"a": 2}', "extra data"),
    ],
)
def test_what_is_no_whole_document_is_refused(data: bytes, says: str) -> None:
    with pytest.raises(RefusedInput, match=says):
        opened(data)


def test_two_members_of_one_dotted_name_refuse_their_record() -> None:
    found = opened(b'[{"a.b": 1, "a": {"b": 2}}, {"a.b": 3}]')

    assert found.table.rejects["value"].to_list() == ["two members come to 'a.b'"]
    assert cells(found) == [["3"]]


@pytest.mark.parametrize(
    "data",
    [
        b"[" * 200_000,
        b'{"a":' * 200_000,
        b"[" * 900 + b"]" * 900,
        b'[{"a":' + b"[" * 5000 + b"1" + b"]" * 5000 + b"}]",
    ],
)
def test_nesting_without_end_is_one_line(data: bytes) -> None:
    with pytest.raises(RefusedInput):
        opened(data)


def test_a_record_nested_too_deep_is_refused_alone() -> None:
    deep = b'{"a":' * 40 + b"1" + b"}" * 40

    found = opened(b'[{"player": "Tarn"}, ' + deep + b"]")

    assert refused(found) == [(2, "too_deep")]
    assert cells(found) == [["Tarn"]]


def test_a_document_of_too_many_names_or_containers_is_refused_quickly() -> None:
    wide = json.dumps([{f"k{at}": 1 for at in range(1001)}]).encode()
    many = b"[" + b"[]," * 5_000_001 + b"[]]"
    start = time.monotonic()

    with pytest.raises(RefusedInput, match="columns"):
        opened(wide)
    with pytest.raises(RefusedInput, match="lists and objects"):
        opened(many)

    assert time.monotonic() - start < 5


def test_a_number_of_a_million_digits_is_only_text() -> None:
    start = time.monotonic()

    found = opened(b'[{"a": ' + b"9" * 1_000_000 + b'}, {"a": 1}]')

    assert refused(found) == [(1, "too_long")]
    assert time.monotonic() - start < 2


def test_packed_json_with_a_mark_and_skipped_records_is_read() -> None:
    data = gzip.compress(b'\xef\xbb\xbf[{"a": "NULL"}, {"a": "x"}, {"a": "y"}]')

    found = opened(data, Form(nulls=("NULL",), skip=(2,)))

    assert cells(found) == [[""], ["y"]]
    assert lines(found) == [1, 3]
    assert found.table.skipped.select("line", "reason").rows() == [(2, "skip_line")]


CELL = st.text(st.characters(exclude_categories=["Cc", "Cs"]), max_size=8).filter(
    lambda text: "\ufdd0" not in text
)
VALUE = CELL | st.integers() | st.booleans() | st.none()


def said(value: object) -> str:
    if value is None:
        return ""
    return str(value).lower() if isinstance(value, bool) else str(value)


@settings(max_examples=100, deadline=None)
@given(
    rows=st.lists(st.lists(VALUE, min_size=3, max_size=3), min_size=2, max_size=8),
    one_a_line=st.booleans(),
    plain=st.booleans(),
)
def test_a_grid_comes_back_as_it_was(
    rows: list[list[object]], one_a_line: bool, plain: bool
) -> None:
    objects = [dict(zip(("a", "b.c", "\u00e9"), row, strict=True)) for row in rows]
    if one_a_line:
        text = "\n".join(json.dumps(each, ensure_ascii=plain) for each in objects)
    else:
        text = json.dumps(objects, ensure_ascii=plain, indent=2)

    found = opened(text.encode())

    assert found.form == ("json lines" if one_a_line else "json")
    assert found.table.columns == ("a", "b.c", "\u00e9")
    assert cells(found) == [[said(value) for value in row] for row in rows]
    assert refused(found) == []
