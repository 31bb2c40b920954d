"""Drafts on a shelf of files whose profile a person wrote: mostly right, never wrong unasked."""

from __future__ import annotations

import tomllib
from functools import cache

import pytest
from jsonschema import Draft202012Validator

from ledger import resources
from ledger.errors import UseError
from ledger.intake import snapshot
from ledger.intake.draft import Draft, draft
from ledger.intake.forms import Form
from ledger.intake.options import ReadOptions
from ledger.intake.profile import parse
from ledger.intake.read import read_snapshot
from tests.intake.draft_quality import Verdict, held, judge, leagues, table
from tests.intake.leagues.case import League

LEAGUES = {league.name: league for league in leagues()}
# Share of the fields a file holds that its draft gets right; measured 80.1 % when this was written.
LEAST_RIGHT = 0.78


@cache
def _judged(name: str) -> Verdict:
    return judge(LEAGUES[name])


def _drafted(league: League) -> Draft:
    encoding = parse(league.profile, league.name).form.encoding
    taken = snapshot.of_bytes(league.first.data, league.first.file)
    return draft(taken, form=Form(encoding=encoding))


@pytest.mark.parametrize("name", LEAGUES)
def test_no_field_of_a_draft_is_wrong_without_a_question(name: str) -> None:
    verdict = _judged(name)
    wrong = [field for field, said in verdict.fields.items() if said == "wrong"]
    assert wrong == [], {field: verdict.examples.get(field) for field in wrong}


def test_most_fields_that_files_hold_are_drafted_right() -> None:
    verdicts = [_judged(name) for name in LEAGUES]
    right = sum(v.count("right") for v in verdicts)
    assert len(verdicts) >= 10
    assert right / held(verdicts) >= LEAST_RIGHT, table(verdicts)


@pytest.mark.parametrize("name", LEAGUES)
def test_a_draft_is_a_profile_by_the_open_schema(name: str) -> None:
    data = tomllib.loads(_drafted(LEAGUES[name]).text)
    problems = list(Draft202012Validator(resources.schema("profile")).iter_errors(data))
    assert problems == []
    assert data["as"] == LEAGUES[name].kind


@pytest.mark.parametrize("name", LEAGUES)
def test_every_question_stands_in_the_profile_beside_a_disabled_line(name: str) -> None:
    drafted = _drafted(LEAGUES[name])
    asked = tomllib.loads(drafted.text).get("ask", [])
    assert [text.split(": ", 1)[1] for text in asked] == list(drafted.questions)
    assert drafted.questions
    for number in range(1, len(asked) + 1):
        assert drafted.text.count(f"# ASK {number}: ") == 1


@pytest.mark.parametrize("name", LEAGUES)
def test_a_draft_with_open_questions_imports_nothing(name: str) -> None:
    league = LEAGUES[name]
    profile = parse(_drafted(league).text, "draft")
    taken = snapshot.of_bytes(league.first.data, league.first.file)
    with pytest.raises(UseError, match="question open"):
        read_snapshot(taken, None, ReadOptions(profile=profile))


def test_the_league_and_season_that_stand_nowhere_are_always_asked() -> None:
    for league in LEAGUES.values():
        constants = parse(league.profile, league.name).constants
        asked = {p.field for p in _drafted(league).proposals if p.asked}
        filled = {p.field for p in _drafted(league).proposals if not p.asked}
        for field in {"league", "season"} & constants.keys():
            assert field in asked or field in filled
            if field == "league":
                assert field in asked
