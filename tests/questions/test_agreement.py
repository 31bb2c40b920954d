"""Whether tags can be trusted: whose opinions count, what is refused, what is open."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import krippendorff
import numpy as np
import pytest
from statsmodels.stats.inter_rater import cohens_kappa

from ledger.questions.answer import Answer
from tests.questions.ground import Ground
from tests.questions.watching import change, watched

Fill = Callable[[Ground], None]


def twice(
    ground: Ground, first: str, second: str, number: int, *, player: str = "Tarn", **more: Any
) -> list[int]:
    """So many attempts told by Ana and by Bo."""
    ids = watched(ground, player, first, number, **more)
    for attempt in ids:
        ground.tag(attempt, second, tagger="Bo", disputed=first != second)
    return ids


def sixty(ground: Ground) -> list[int]:
    """58 of 60 alike, and of 40 misses 31 with the same depth."""
    twice(ground, "straight", "straight", 20, made=True)
    ids = twice(ground, "board", "board", 38)
    ids += twice(ground, "board", "straight", 2)
    for at, attempt in enumerate(ids):
        depth = ("short", "level", "long")[at % 3]
        other = depth if at < 31 else ("level", "long", "short")[at % 3]
        both = [("Ana", depth), ("Bo", other)]
        for tagger, told in both:
            ground.con.execute(
                "UPDATE tag SET miss_depth = ? WHERE attempt_id = ? AND tagger = ?",
                [told, attempt, tagger],
            )
    return ids


def field(answer: Answer, name: str) -> dict[str, Any]:
    (row,) = (r for r in answer.part("alpha").rows() if r["field"] == name)
    return row


def test_every_two_people_are_a_row_with_what_the_library_says(ground: Ground) -> None:
    sixty(ground)

    answer = ground.ask("agreement")

    (row,) = answer.main.rows()
    table = np.array([[38, 2], [0, 20]])
    assert (row["tagger_a"], row["tagger_b"]) == ("Ana", "Bo")
    assert (row["attempts"], row["alike"]) == (60, 58)
    assert row["agree_share"] == pytest.approx(58 / 60)
    assert row["kappa"] == pytest.approx(cohens_kappa(table, return_results=False))
    assert row["low"] < row["kappa"] <= row["high"]
    assert (row["kappa_why"], row["low_why"]) == (None, None)
    told = [[0] * 38 + [0] * 2 + [1] * 20, [0] * 38 + [1] * 2 + [1] * 20]
    alpha = field(answer, "technique")
    assert alpha["alpha"] == pytest.approx(
        krippendorff.alpha(reliability_data=told, level_of_measurement="nominal")
    )
    assert (alpha["units"], alpha["taggers"]) == (60, 2)
    depth = field(answer, "miss_depth")
    assert (depth["units"], depth["alike"], depth["agree_share"]) == (40, 31, 31 / 40)


def test_three_people_are_three_pairs_those_with_most_first(ground: Ground) -> None:
    ids = twice(ground, "board", "board", 30)
    for attempt in ids[:25]:
        ground.tag(attempt, "straight" if attempt == ids[0] else "board", tagger="Cy")

    answer = ground.ask("agreement")

    found = [(r["tagger_a"], r["tagger_b"], r["attempts"], r["alike"]) for r in answer.main.rows()]
    assert found == [("Ana", "Bo", 30, 30), ("Ana", "Cy", 25, 24), ("Bo", "Cy", 25, 24)]
    assert field(answer, "technique")["taggers"] == 3


def test_a_tag_that_settles_a_dispute_is_nobodys_opinion(ground: Ground) -> None:
    ids = sixty(ground)
    before = ground.ask("agreement")
    for attempt in ids[-2:]:
        ground.tag(attempt, "board", tagger="Cy", adjudicated=True)

    after = ground.ask("agreement")

    assert after.main.rows() == before.main.rows()
    assert field(after, "technique") == field(before, "technique")
    assert len(before.part("disputed").rows()) == 2
    assert after.part("disputed").rows() == []


def test_who_cannot_tell_or_was_taken_back_or_named_no_technique_has_no_opinion(
    ground: Ground,
) -> None:
    ids = watched(ground, "Tarn", "board", 3)
    ground.tag(ids[0], None, tagger="Bo", unclear=True)
    ground.tag(ids[1], "straight", tagger="Bo", removed=True)
    ground.tag(ids[2], None, tagger="Bo")

    answer = ground.ask("agreement")

    assert answer.main.rows() == []
    assert field(answer, "technique")["units"] == 0
    assert field(answer, "technique")["alpha_why"] == "no attempt told by two people"


def test_cannot_tell_of_a_field_is_no_opinion_of_it(ground: Ground) -> None:
    ids = twice(ground, "board", "board", 25)
    change(ground, "tag", "attempt_id", ids, {"down_at_board": "yes", "backspin": "cannot_tell"})
    change(ground, "tag", "attempt_id", ids[:5], {"down_at_board": "cannot_tell"})

    answer = ground.ask("agreement")

    assert field(answer, "down_at_board")["units"] == 20
    assert field(answer, "down_at_board")["alpha_why"] == "all tags agree on one down at board"
    assert field(answer, "backspin")["units"] == 0


def test_tags_picked_for_their_result_tell_of_misses_only(ground: Ground) -> None:
    ids = twice(ground, "board", "board", 30)
    change(ground, "tag", "attempt_id", ids, {"miss_side": "left", "first_contact": "board"})
    change(ground, "tag", "attempt_id", ids[:10], {"picked_for": "result"})

    answer = ground.ask("agreement")

    units = {r["field"]: r["units"] for r in answer.part("alpha").rows()}
    assert (units["technique"], units["first_contact"], units["miss_side"]) == (20, 20, 30)
    assert answer.main.rows()[0]["attempts"] == 20


@pytest.mark.parametrize(
    ("units", "why"),
    [
        (19, "kappa undefined: fewer than 20 attempts told by both"),
        (20, "kappa undefined: all tags agree on one technique"),
    ],
)
def test_kappa_is_refused_with_its_reason(ground: Ground, units: int, why: str) -> None:
    twice(ground, "board", "board", units)

    (row,) = ground.ask("agreement").main.rows()

    assert (row["agree_share"], row["kappa"], row["low"]) == (1.0, None, None)
    assert row["kappa_why"] == why
    assert row["kappa_shown"] is None


def test_limits_are_refused_where_draws_cannot_tell(ground: Ground) -> None:
    twice(ground, "board", "board", 15)
    ids = twice(ground, "straight", "straight", 15)

    (alike,) = ground.ask("agreement").main.rows()
    ground.tag(ids[0], "board", tagger="Bo", disputed=True)
    ground.con.execute(
        "DELETE FROM tag WHERE attempt_id = ? AND tagger = 'Bo' AND technique_id = 1", [ids[0]]
    )
    ground.con.execute("UPDATE attempt SET game_id = 1")
    (one_game,) = ground.ask("agreement").main.rows()

    assert (alike["kappa"], alike["low"]) == (1.0, None)
    assert alike["low_why"] == "told alike throughout: draws of it cannot differ"
    assert one_game["kappa"] is not None
    assert one_game["low_why"] == "all attempts are of one game"


def test_disputed_attempts_are_listed_by_name_with_who_told_what(ground: Ground) -> None:
    (attempt,) = twice(ground, "board", "straight", 1, player="[b]Oselo")
    ids = watched(ground, "Tarn", "board", 2)
    for name, technique in (("Bo", "straight"), ("Cy", "board")):
        ground.tag(ids[0], technique, tagger=name)

    answer = ground.ask("agreement")

    (row,) = answer.part("disputed").rows()
    assert (row["attempt"], row["player"], row["game"]) == (attempt, "[b]Oselo", "G1")
    assert row["values"] == "Ana: board; Bo: straight"
    assert (row["date"], row["league"]) == ("2024-11-01", "Halma League")
    assert any("offglass settle ATTEMPT TECHNIQUE" in note for note in answer.notes)


def test_misses_told_one_against_one_are_listed_until_a_ruling(ground: Ground) -> None:
    ids = twice(ground, "board", "board", 3)
    for attempt, told in zip(ids, (("long", "short"), ("long", "long"), ("level", "short")),
                             strict=True):  # fmt: skip
        for tagger, depth in zip(("Ana", "Bo"), told, strict=True):
            ground.con.execute(
                "UPDATE tag SET miss_depth = ?, miss_side = 'left' WHERE attempt_id = ? AND "
                "tagger = ?", [depth, attempt, tagger],
            )  # fmt: skip
    before = ground.ask("agreement").part("disputed_misses").rows()
    ground.tag(ids[0], "board", tagger="Cy", adjudicated=True, miss_depth="long")
    ground.tag(ids[2], "board", tagger="Cy", adjudicated=True, miss_side="left")

    after = ground.ask("agreement").part("disputed_misses").rows()

    assert [(r["attempt"], r["field"], r["values"]) for r in before] == [
        (ids[0], "miss_depth", "Ana: long; Bo: short"),
        (ids[2], "miss_depth", "Ana: level; Bo: short"),
    ]  # fmt: skip
    assert [r["attempt"] for r in after] == [ids[2]]


def test_a_technique_cannot_be_asked_for(ground: Ground) -> None:
    sixty(ground)

    answer = ground.ask("agreement", technique="board")

    assert answer.headline == (
        "Of attempts agreed to be of one technique nobody can disagree: leave out --technique."
    )
    assert answer.main.rows() == []
    assert set(answer.parts) == {"alpha", "disputed", "disputed_misses"}


def test_the_cohort_narrows_and_practice_stays_out(ground: Ground) -> None:
    twice(ground, "board", "board", 5)
    twice(ground, "board", "straight", 7, season="2023-24")
    twice(ground, "board", "board", 9, stage="practice")

    def attempts(**asked: Any) -> int:
        return sum(r["attempts"] for r in ground.ask("agreement", **asked).main.rows())

    assert attempts() == 12
    assert attempts(season="2023-24") == 7
    assert attempts(stage=("regular", "practice")) == 12
    assert attempts(stage="practice") == 9
    assert "9 attempts of practice are left out." in ground.ask("agreement").notes


def test_the_seed_moves_the_limits_a_little(ground: Ground) -> None:
    sixty(ground)

    one, again, other = (ground.ask("agreement", seed=s).main.rows()[0] for s in (1, 1, 2))

    assert one == again
    assert other["low"] == pytest.approx(one["low"], abs=0.1)
    assert other["kappa"] == one["kappa"]


def one_person(ground: Ground) -> None:
    watched(ground, "Tarn", "board", 30)


def twelve(ground: Ground) -> None:
    twice(ground, "board", "board", 12)


def all_one(ground: Ground) -> None:
    twice(ground, "straight", "straight", 40)


def apart(ground: Ground) -> None:
    twice(ground, "straight", "straight", 15)
    twice(ground, "board", "board", 6)
    twice(ground, "board", "straight", 9)


def misses_alone(ground: Ground) -> None:
    ids = twice(ground, "board", "board", 4)
    change(ground, "tag", "attempt_id", ids, {"picked_for": "result", "miss_depth": "long"})


def unwatched(ground: Ground) -> None:
    ground.shots("Tarn", 5, 9)


@pytest.mark.parametrize(
    ("fill", "said"),
    [
        (one_person, "No attempt was watched by two people (30 attempts, one person): have a "
         "random tenth watched twice."),
        (twelve, "12 of 12 alike: too few to say; 8 more."),
        (all_one, "Same technique in 40 of 40, all straight: whether they would tell another one "
         "alike is not shown."),
        (misses_alone, "No technique was told by two people; same miss depth in 4 of 4."),
        (unwatched, "None of these free throws is watched."),
    ],
    ids=lambda v: getattr(v, "__name__", ""),
)  # fmt: skip
def test_the_headline_says_what_was_watched_twice(ground: Ground, fill: Fill, said: str) -> None:
    fill(ground)

    assert ground.ask("agreement").headline == said


def test_the_headline_names_what_to_settle_first(ground: Ground) -> None:
    sixty(ground)

    answer = ground.ask("agreement")

    assert answer.headline.startswith("Same technique in 58 of 60 (beyond chance 0.93, 0.8")
    assert answer.headline.endswith(
        "same miss depth in 31 of 40: settle depth before comparing misses."
    )
    assert field(answer, "miss_depth")["alpha"] < 2 / 3


def test_a_technique_told_apart_too_little_comes_before_the_misses(ground: Ground) -> None:
    apart(ground)

    answer = ground.ask("agreement")

    assert field(answer, "technique")["alpha"] < 2 / 3
    assert answer.headline.endswith(
        ": settle what counts as which technique before comparing them."
    )
    assert any("common practice" in note for note in answer.notes)
