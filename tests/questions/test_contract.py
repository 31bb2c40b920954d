"""What every answer keeps to: columns, facts, notes, options, bytes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest

from ledger.errors import UseError
from ledger.questions.registry import QUESTIONS, find
from ledger.questions.together import asked_together
from tests.questions.ground import Ground

if TYPE_CHECKING:
    from ledger.questions.answer import Answer

COLUMNS = {
    "ranking": "rank player team league season made attempts raw_rate raw_low raw_high "
    "shrunken_rate low high top_n_chance expected_rank state focus_share",
    "ranking/prior": "league season a b mean rows",
    "adopters": "player team league season attempts tagged unclear focus_tags share low high state "
    "more_tags how_tagged adopter_since",
    "adopters/outranking": "adopters others chance_outranks low high p p_why",
    "adopters/top_n": "n adopters adopters_low adopters_high base_rate chance",
    "uptake": "league team position season start_year attempts tagged coverage players "
    "tagged_players adopters undecided drawn_players picked_players share low high share_why "
    "least_share most_share",
    "uptake/growth": "league odds_ratio low high takeoff_year takeoff_low takeoff_high "
    "midpoint_year midpoint_low midpoint_high why",
    "uptake/forecast": "league start_year share low high why",
    "uptake/adoption": "league season not_yet low high",
    "watchlist": "game date league season home away video attempts_to_watch undecided_players "
    "expected_decided per_attempt for_tagger",
    "watchlist/players": "player tagged state more_tags may_stop",
    "trial": "session date technique made attempts rate counted",
    "trial/result": "sessions difference low high p limit verdict",
    "trial/misses": "technique made missed depth side count share low high",
    "player": "date game made technique running_rate low high",
    "player/switches": "player team league number direction finding shape date date_low date_high",
    "misses": "technique player made missed depth side count share low high",
    "misses/rebounds": "technique live_misses offensive share low high",
    "misses/zones": "technique miss_side zone count share low high",
    "misses/contact": "technique contact_height down_at_board made attempts rate low high",
    "misses/tests": "what difference low high p",
    "agreement": "tagger_a tagger_b attempts agree_share kappa low high",
    "agreement/alpha": "field alpha units taggers",
    "agreement/disputed": "attempt player game values",
    "switches": "player team league number direction finding shape date date_low date_high season "
    "over_summer log_evidence shuffle_p share_before share_after made_before attempts_before "
    "rate_before made_after attempts_after rate_after left_out raw_gain raw_low raw_high "
    "expected_after expected_low expected_high surprise bad_start_points gain gain_low gain_high "
    "chance_of_gain claim attempts_needed placebo_players placebo_as_much",
    "switches/pooled": "players odds_ratio low high chance_above_1 new_player_low new_player_high "
    "tau gain gain_low gain_high naive_odds_ratio q i2",
    "switches/without_noticed": "players odds_ratio low high chance_above_1 new_player_low "
    "new_player_high tau gain gain_low gain_high naive_odds_ratio q i2",
    "switches/tried": "player focus_tags made first last went_back",
    "switches/judged": "player tagged judged why",
    "attempts": "attempt league season date game team opponent player period clock_s order_in_game "
    "shot trip_shot trip_of made technique taggers miss_depth miss_side rebound_by rebound_zone "
    "release_angle_deg video video_s picked_for note source source_line",
    "candidates": "player team league made attempts shrunken_rate low high state predicted_gain "
    "predicted_low predicted_high low_80 high_80 chance_of_gain attempts_per_season "
    "points_per_season points_low points_high games_needed practice_needed long_share short_share "
    "board_contact_share height_cm mass_kg hand why",
    "worth": "trip rate points low high",
    "worth/break_even": "trip rate chance_below why",
    "sources": "source file sha256 kind rows stored rejected skipped already_there contradicting "
    "who when taken_back",
}


@pytest.fixture(scope="module")
def filled() -> Iterator[Ground]:
    """Ten players of two seasons, some watched; practice beside them. Nobody changes it."""
    ground = Ground(apart=True)
    for i in range(9):
        for season in ("2023-24", "2024-25"):
            tags = {"board": (6, 2)} if i < 3 else {"straight": (12, 4)} if i < 8 else None
            ground.shots(f"P{i}", 50 + i, 70, season=season, tags=tags, position="guard")
    ground.shots("P1", 5, 12, stage="practice")
    yield ground
    ground.close()


@pytest.fixture(scope="module")
def answers(filled: Ground) -> dict[str, Answer]:
    """What every question says of it."""
    with asked_together():
        return {question: filled.ask(question) for question in QUESTIONS}


@pytest.mark.parametrize("name", COLUMNS)
def test_the_fixed_columns_stand_first_and_in_order(answers: dict[str, Answer], name: str) -> None:
    question, _, part = name.partition("/")
    wanted = COLUMNS[name].split()

    found = answers[question].part(part)

    assert [c.name for c in found.columns[: len(wanted)]] == wanted
    assert found.frame.columns == [c.name for c in found.columns]


@pytest.mark.parametrize("question", QUESTIONS)
@pytest.mark.parametrize("empty", [False, True])
def test_columns_keep_their_types_even_without_rows(
    filled: Ground, question: str, empty: bool
) -> None:
    kinds = {"string": "String", "integer": "Int64", "number": "Float64", "boolean": "Boolean",
             "date": "Date"}  # fmt: skip
    asked = {"stage": "friendly"} if empty and question != "sources" else {}

    answer = filled.ask(question, **asked)

    for part in ("", *answer.parts):
        found = answer.part(part)
        assert [str(t) for t in found.frame.dtypes] == [kinds[c.type] for c in found.columns]
        assert all(c.title and (c.description or c.unit) for c in found.columns)


@pytest.mark.parametrize("question", QUESTIONS)
def test_the_same_ledger_gives_the_same_bytes(
    filled: Ground, answers: dict[str, Answer], question: str
) -> None:
    assert filled.ask(question).json() == answers[question].json()


@pytest.mark.parametrize("question", ["ranking", "adopters", "uptake", "attempts"])
def test_coverage_and_practice_are_in_the_notes(filled: Ground, question: str) -> None:
    notes = filled.ask(question).notes

    assert any(note.startswith("Watched: ") for note in notes)
    assert "12 attempts of practice are left out." in notes


def test_an_answer_says_what_was_asked_and_of_which_ledger(filled: Ground) -> None:
    answer = filled.ask("ranking", league="halma league", season="2023-24..2024-25", top=5)

    assert answer.asked == {
        "league": ["halma league"], "season": ["2023-24..2024-25"], "focus": ["board-assisted"],
        "by": "player", "order": "shrunken", "min_attempts": 50, "top": 5, "seed": 1,
    }  # fmt: skip
    assert answer.ledger.as_dict() == {
        "name": "t.duckdb", "last_source": 1, "attempts": 1272, "tagged": 208,
        "last_day": "2025-01-01",
    }  # fmt: skip
    assert answer.title == "Who shoots best, allowing for luck?"
    assert any("--top 5 (usually 10)" in note for note in answer.notes)


@pytest.mark.parametrize("question", QUESTIONS)
def test_every_answer_has_a_chart_once_somebody_draws(filled: Ground, question: str) -> None:
    from ledger.charts.registry import BUILDERS
    from ledger.cohort import Cohort
    from ledger.questions.registry import answer
    from ledger.store.reads import Reads

    found = answer(question, filled.con, Cohort(), drawer=lambda a, names: (a.headline, names))

    assert question in BUILDERS
    assert found.chart() == (found.headline, Reads(filled.con).leagues())
    with pytest.raises(UseError, match="not asked of a book"):
        answer(question, filled.con, Cohort()).chart()


def test_titles_are_the_questions_a_person_asks() -> None:
    assert {q.name: q.title for q in QUESTIONS.values()} == {
        "ranking": "Who shoots best, allowing for luck?",
        "adopters": "Who does it?",
        "uptake": "Is it growing?",
        "switches": "Who changed, and did it help?",
        "misses": "Where do misses go?",
        "agreement": "Can we trust the tags?",
        "trial": "How is the trial going?",
        "player": "One player, everything",
        "attempts": "The records",
        "candidates": "Who should try it?",
        "worth": "What is a trip to the line worth?",
        "watchlist": "What to watch next?",
        "sources": "What came in?",
    }


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"by": "club"}, "--by takes player, player-season, team, league-season, not 'club'"),
        ({"ordr": "raw"}, "ranking has no option 'ordr': did you mean order?"),
        ({"top": 0}, "--top takes a whole number from 1, not 0"),
        ({"top": "many"}, "--top takes a whole number from 1, not 'many'"),
        ({"min_attempts": 2.5}, "--min-attempts takes a whole number from 0, not 2.5"),
        ({"seed": True}, "--seed takes a whole number, not True"),
        (
            {"state": "yes"},
            "--state takes adopter, occasional, not, undecided, untagged, not 'yes'",
        ),
    ],
)
def test_an_option_that_cannot_be_is_refused_with_what_it_takes(
    filled: Ground, asked: dict[str, Any], said: str
) -> None:
    with pytest.raises(UseError) as refused:
        filled.ask("ranking", **asked)

    assert refused.value.message == said


def test_values_are_read_as_a_person_types_them(filled: Ground) -> None:
    typed = filled.ask("ranking", by="Player_Season", top="3", **{"min-attempts": "10"})

    assert typed.asked["by"] == "player-season"
    assert (typed.asked["top"], typed.asked["min_attempts"]) == (3, 10)
    assert "forecast" in filled.ask("uptake").parts
    assert "forecast" not in filled.ask("uptake", forecast="no").parts
    with pytest.raises(UseError, match="--forecast takes yes or no"):
        filled.ask("uptake", forecast="perhaps")


def test_a_question_without_options_says_so(filled: Ground) -> None:
    with pytest.raises(UseError, match="sources has no option 'top': it takes none"):
        filled.ask("sources", top=3)


@pytest.mark.parametrize(
    ("name", "said"),
    [("rankings", "did you mean ranking?"), ("zzz", "there is no question 'zzz'")],
)
def test_an_unknown_question_is_answered_with_near_ones(name: str, said: str) -> None:
    with pytest.raises(UseError, match=said.replace("?", r"\?")):
        find(name)


@pytest.mark.parametrize("question", ["ranking", "adopters", "uptake"])
def test_practice_asked_for_beside_games_changes_no_figure(filled: Ground, question: str) -> None:
    games = filled.ask(question, stage="regular")
    both = filled.ask(question, stage=["regular", "practice"])

    assert both.frame.equals(games.frame)
    assert [f.rows() for f in both.more.values()] == [f.rows() for f in games.more.values()]
