"""A profile that cannot be used is refused in one line that names the key and what it may be."""

from __future__ import annotations

import json

import jsonschema
import pytest

from ledger import resources
from ledger.errors import UseError
from ledger.intake.profile import MAX_BYTES, parse
from tests.intake.profiled import GAME, HEAD, profile

_TEXT = "[[texts]]\ncolumn = 'text'\npattern = '{}'\n"


def refusal(text: str) -> str:
    with pytest.raises(UseError) as refused:
        parse(text, "halma.toml")
    message = refused.value.message
    assert message.startswith("halma.toml: ")
    assert "\n" not in message
    return message


@pytest.mark.parametrize(
    ("body", "told"),
    [
        ("feilds = {}", "no key feilds; did you mean fields?"),
        ('[form]\nseperator = "comma"', "form has no key seperator; did you mean separator?"),
        ('[form]\nseparator = ","', "it may be comma, semicolon, tab, pipe"),
        ('[form]\nheader = "2"', "form.header is '2'; it takes a whole number"),
        ("[fields]\nteam = 0", "fields.team: 0 is no column"),
        ("[fields]\nteam = true", "fields.team: True is no column"),
        ('[fields]\nteam = {join = ["a"]}', "fields.team.join needs at least 2"),
        ('[fields]\nteam = {jion = ["a"]}', "no key jion; did you mean join?"),
        ('[[rows.keep]]\ncolumn = "a"', "rows.keep[1]: give either is or matches"),
        ('[[rows.keep]]\nis = ["x"]', "rows.keep[1] lacks the key column"),
        ('[[sides]]\na = "b"', "sides needs at least 2"),
        ("[[sides]]\na = 1\n" * 31, "sides has 31 entries, at most 30"),
        ("trip_seconds = -1", "trip_seconds is -1; it is at least 0"),
        ("[constants]\nseason = 2024-01-01", "constants.season"),
    ],
)
def test_a_key_that_the_format_does_not_have_is_named(body: str, told: str) -> None:
    assert told in refusal(HEAD.format(kind="attempts") + body)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("profile = ", "TOML cannot be read"),
        ("x = " + "[" * 5000, "nested too deep"),
        ('profile = 1\nas = "box"', "lacks the key name"),
        ('profile = 2\nname = "a"\nas = "box"', "profile is 2; it may be 1"),
        (HEAD.format(kind="shots"), "as is 'shots'; it may be attempts, box"),
        (HEAD.format(kind="box") + "#" * MAX_BYTES, "at most 256 KiB"),
    ],
)
def test_a_text_that_is_no_profile_is_refused(text: str, told: str) -> None:
    assert told in refusal(text)


@pytest.mark.parametrize(
    ("body", "told"),
    [
        ('[fields]\nplyer = "a"', "fields.plyer: attempts have no such field; did you mean player"),
        ('[fields]\nguarded = "a"', "fields.guarded: attempts have no such field"),
        (_TEXT.format("(?P<plyer>x)"), "the group plyer is no field"),
        (_TEXT.format("(?P<player>x"), "texts[1].pattern: no regular expression: unclosed group"),
        (_TEXT.format("a)(b"), "unopened group"),
        (_TEXT.format("(?=x)(?P<player>x)"), "look-ahead"),
        (_TEXT.format("(a{1000}){1000}"), "size limit"),
        ('[file_name]\npattern = "U16"', "file_name.pattern: it has no named group"),
        ('[words.made]\nGOOD = "jes"', "words.made.GOOD: no value jes; did you mean yes?"),
        ('[words.made]\nGood = "yes"\ngood = "no"', "the same word stands there with another"),
        ('[constants]\nteam = "A"\n[fields]\nteam = "b"', "fields.team fills it too; keep one"),
        ('[constants]\nseason = "x"', "constants.season: x: write the season as"),
        ('[constants]\nstage = "finale"', "constants.stage: no value finale; it may be regular"),
        ('[constants]\ndate = "07/08/15"', "has a year of two digits"),
        ('dates = "abc"', "dates: it may be dmy, mdy, ymd"),
        ('[pair]\ncolumn = "a"', "pair: attempts have no made and attempts"),
        ('[names.made]\norder = "family, given"', "names.made: no field of names"),
        ('[names.team]\nnumber = "front"', "names.team.number: only a player has one"),
        ('[clock]\ncounts = "up"', "clock.period_minutes: a clock that counts up needs it"),
        ('[clock]\ncounts = "up"\nperiod_minutes = 10', "up needs the field period"),
        ('order = "file"\n[fields]\norder = "nr"', "order: fields.order fills the order too"),
        (
            '[[sides]]\na = {value = "x"}\n[[sides]]\na = "y"',
            "sides[1]: it names no column",
        ),
    ],
)
def test_parts_that_do_not_go_together_are_named(body: str, told: str) -> None:
    assert told in refusal(HEAD.format(kind="attempts") + body)


@pytest.mark.parametrize("file", ["../ids.csv", "/etc/ids.csv", "a\\\\b.csv", ".."])
def test_a_second_file_lies_beside_the_first_and_nowhere_else(file: str) -> None:
    body = f'[[lookups]]\nfile = "{file}"\ncolumn = "a"\nkey = "b"\ntake = {{c = "d"}}'

    assert "lookups[1].file" in refusal(HEAD.format(kind="attempts") + body)


@pytest.mark.parametrize(
    ("kind", "body", "told"),
    [
        ("box", 'order = "file"', "order: box have no order"),
        ("totals", 'trips = "by clock"', "trips: totals have no trips"),
        ("box", '[clock]\ncounts = "down"', "clock: box have no clock"),
        ("box", '[pair]\ncolumn = "a"\npattern = "(\\\\d+) von (\\\\d+)"', "it needs the groups"),
    ],
)
def test_what_a_kind_does_not_have_is_refused(kind: str, body: str, told: str) -> None:
    assert told in refusal(HEAD.format(kind=kind) + body)


def test_a_group_that_a_later_step_uses_needs_no_field() -> None:
    body = _TEXT.format("(?P<rest>.*) good") + _TEXT.format("(?P<player>.+)").replace(
        "'text'", "'rest'"
    )

    assert [text.column for text in profile(body).texts] == ["text", "rest"]


def test_the_format_itself_is_a_json_schema_that_profiles_of_all_parts_keep() -> None:
    schema = resources.schema("profile")

    jsonschema.Draft202012Validator.check_schema(schema)

    assert set(json.loads(json.dumps(schema))["required"]) == {"profile", "name", "as"}


def test_a_profile_keeps_its_text_and_its_hash_tells_it_from_any_other() -> None:
    one, other = profile(GAME), profile(GAME + "\n")

    assert one.body == HEAD.format(kind="attempts") + GAME
    assert len(one.digest) == 64
    assert one.digest != other.digest
