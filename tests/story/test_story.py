"""The story over whole, thin and empty ground: every sentence is an answer's own."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import pytest

from ledger.errors import UseError
from ledger.questions import switch_shapes
from ledger.questions.answer import Answer
from ledger.questions.registry import QUESTIONS
from ledger.story import usual
from ledger.story.replies import SOURCES
from ledger.story.story import Reply, Story
from ledger.story.taking import sentences, stated
from ledger.story.tell import CAUTIONS, replies_alone, tell
from ledger.story.usual import Beside, Heard
from tests.questions import test_headlines as grounds
from tests.questions.ground import Ground
from tests.story import league
from tests.story.grounds import THIN, thin, told
from tests.story.league import BESIDE

TOPICS = (
    "How many do it?",
    "Who tried it and went back?",
    "Were they due for a rise anyway?",
    "Were they good shooters anyway?",
    "And on other leagues' boards, with another ball?",
    "Is it legal?",
    "What do we lose in rebounds?",
    "What is it worth in ten games?",
    "When will we know?",
    "What else changed?",
)


def asked(question: str) -> Answer:
    """As the story of the league asked it."""
    return league.ask(question, **usual.needed(question, BESIDE))


def said_of(story: Story, topic: str) -> Reply:
    return reply_to(topic, story.replies)


def reply_to(topic: str, replies: Sequence[Reply]) -> Reply:
    return next(reply for reply in replies if reply.topic == topic)


def test_the_whole_story_is_told_in_its_order() -> None:
    story = tell(league.ask, BESIDE)

    assert [a.question for a in story.answers] == [
        "uptake", "adopters", "ranking", "switches", "player", "misses", "candidates", "trial",
        "agreement", "watchlist",
    ]  # fmt: skip
    assert [s.question for s in story.sentences] == [
        "uptake", "adopters", "switches", "misses", "candidates",
    ]  # fmt: skip
    for sentence in story.sentences:
        assert sentence.words == stated(asked(sentence.question))
    assert story.rumours[0].text == "They bank them there"
    assert "2024-25" in story.rumours[0].about
    assert "never its own proof" in story.rumours[0].about
    assert "off the backboard" in story.question
    assert story.cohort == asked("uptake").cohort
    assert [r.topic for r in story.replies] == list(TOPICS)
    assert [m.question for m in story.method] == [a.question for a in story.answers]
    assert story.clips.asked["clips"] == usual.CLIPS
    assert story.watch_next.asked["budget"] == usual.BUDGET


def test_replies_hold_the_figures_of_the_answers() -> None:
    story = tell(league.ask, BESIDE)

    due = said_of(story, "Were they due for a rise anyway?")
    change = asked("switches").main.rows()[0]
    assert (change["made_before"], change["attempts_before"]) == (28, 50)
    # Raw: 82 of 100 after, 28 of 50 before, so 26 makes per 100 (METHODS, the worked example).
    assert "Tarn: raw +26 per 100" in due.long()
    assert f"{change['bad_start_points']:+.0f}" in due.long()
    assert said_of(story, "How many do it?").said == (asked("adopters").headline,)
    when = said_of(story, "When will we know?")
    assert when.said[0] == asked("trial").headline
    assert when.question == "trial"
    legal = said_of(story, "Is it legal?")
    assert not legal.known
    assert legal.short().startswith("Not known. Do this: ask the referees")


def test_every_sentence_of_a_reply_with_figures_names_whose_answer_it_is_from() -> None:
    story = tell(league.ask, BESIDE)

    for reply in story.replies:
        assert reply.known or reply.to_do, reply.topic
        assert not reply.said or reply.topic == "Is it legal?" or reply.question in QUESTIONS
        assert reply.short()
        assert reply.short() in reply.long() or reply.known


def test_who_went_back_is_counted_and_named() -> None:
    reply = said_of(tell(league.ask, BESIDE), "Who tried it and went back?")

    # Filled by hand: two players seen doing it three times, then straight for fifty.
    went = [row for row in asked("switches").part("tried").rows() if row["went_back"]]
    assert {row["player"] for row in went} == {"Wurt", "Brim"}
    assert "Brim (2 of 3 made)" in reply.long()
    # Nobody is named before them, so that they are no "others".
    assert reply.short() == "2 players tried it fewer than 10 times and went back."


def test_those_seen_doing_it_most_often_are_named_first_of_those_who_went_back() -> None:
    def ask(question: str, **options: Any) -> Answer:
        answer = league.ask(question, **options)
        if question != "switches":
            return answer
        rows = [
            {**row, "focus_tags": 9} if row["player"] == "Wurt" else row
            for row in answer.part("tried").rows()
        ]
        return replace(answer, parts={**answer.parts, "tried": switch_shapes.tried(rows)})

    reply = reply_to(TOPICS[1], replies_alone(ask, BESIDE))

    assert "Wurt (2 of 9 made) and Brim (2 of 3 made)" in reply.long()


def test_whom_the_rumour_named_is_told_as_no_test_wherever_he_is_told_of() -> None:
    replies = replies_alone(league.ask, BESIDE)

    for topic in ("Were they due for a rise anyway?", "What else changed?"):
        of_him = [words for words in reply_to(topic, replies).said if words.startswith("Tarn")]
        assert of_him
        assert all(words.endswith("; the rumour named him: not a test.") for words in of_him)


@pytest.mark.parametrize("other", [{"direction": "from_focus"}, {"finding": "possible"}])
def test_who_gave_it_up_or_changed_only_perhaps_tells_nothing_of_a_rise(
    other: dict[str, str],
) -> None:
    def ask(question: str, **options: Any) -> Answer:
        answer = league.ask(question, **options)
        if question != "switches":
            return answer
        return replace(
            answer, main=switch_shapes.main([{**row, **other} for row in answer.main.rows()])
        )

    replies = replies_alone(ask, BESIDE)

    assert not reply_to("Were they due for a rise anyway?", replies).known
    assert "Tarn" not in reply_to("What else changed?", replies).long()


def test_a_season_that_raised_the_question_is_answered_by_other_seasons() -> None:
    reply = reply_to("Were they good shooters anyway?", replies_alone(league.ask, BESIDE))

    assert not reply.known
    assert "offglass ask adopters --season" in reply.to_do


def test_a_share_of_the_season_that_raised_the_question_is_told_as_no_test_of_it(
    ground: Ground,
) -> None:
    for place in ("Halma League", "Drellin Liga"):
        for number in range(6):
            seen = {"board": (10, 5), "straight": (20, 5)}
            ground.shots(f"{place[0]}{number}", 30, 40, league=place, tags=seen)
    ground.rumour(league="Halma League")

    reply = reply_to(TOPICS[4], replies_alone(ground.ask, Beside()))

    assert "Halma League 38 % (" in reply.short()
    assert reply.said[1:] == (
        "Halma League 2024-25 suggested the question: its share and any curve through it are no "
        "test of it.",
    )


def test_when_it_will_be_known_says_why_not(ground: Ground) -> None:
    grounds.watched_whole(ground)
    ground.shortlist("Spring", ["P03"])
    beside = Beside(lists=("Spring",))

    replies = replies_alone(ground.ask, beside)

    when = reply_to("When will we know?", replies)
    assert when.short().startswith("Not known: P03, fewer than 3 switchers: no prediction. Do this")


def test_rules_that_were_written_down_are_told_as_they_stand() -> None:
    replies = replies_alone(
        league.ask, Beside(rules=(("board", "Rule 12: any part of the board"),))
    )

    legal = next(reply for reply in replies if reply.topic == "Is it legal?")
    assert legal.said == ("board: Rule 12: any part of the board",)


@pytest.mark.parametrize("fill", THIN, ids=lambda fill: fill.__name__)
def test_thin_ground_gives_a_story_that_says_what_is_not_known(
    fill: Callable[[Ground], None],
) -> None:
    story, answers = thin(fill)

    assert [s.words for s in story.sentences] == [
        stated(answers[q]) for q in ("uptake", "adopters", "switches", "misses", "worth")
    ]
    for reply in story.replies:
        assert (
            reply.known
            or "offglass" in reply.to_do
            or reply.to_do.startswith(("wait", "bring in", "ask the referees", "watch"))
        ), reply.topic
        assert "None" not in reply.long().replace("None of these", "")
        assert "nan" not in reply.long()


def test_attempts_picked_by_result_call_nobody_and_are_no_answer_to_how_many() -> None:
    many = said_of(thin(grounds.picked)[0], "How many do it?")

    assert not many.known
    assert many.why.startswith("Nobody can be called: watched attempts were picked by result")
    assert "makes and misses alike" in many.to_do


def test_an_empty_ledger_has_a_story_too(ground: Ground) -> None:
    story, _ = told(ground)

    assert all(sentence.words for sentence in story.sentences)
    many = said_of(story, "How many do it?")
    assert not many.known
    assert many.to_do == "bring in attempts with offglass import FILE"
    assert not said_of(story, "What is it worth in ten games?").known
    assert not said_of(story, "Were they due for a rise anyway?").known
    assert "offglass list NAME add" in said_of(story, "What is it worth in ten games?").long()
    assert "offglass trial" in said_of(story, "When will we know?").short()


def test_the_cautions_are_those_of_the_readme() -> None:
    together = " ".join(CAUTIONS)

    for words in ("minors", "local law", "medical staff", "not evidence about a player", "lots"):
        assert words in together


def test_only_what_was_planned_for_is_asked() -> None:
    assert "trial" not in usual.order(Beside())
    assert "player" not in usual.order(Beside())
    assert "worth" in usual.order(Beside())
    assert "candidates" in usual.order(Beside(lists=("Spring",)))
    assert usual.needed("candidates", Beside(lists=("a", "b"))) == {"list": ["a", "b"]}
    assert usual.needed("trial", Beside(trials=("first", "last"))) == {"name": "last"}
    assert usual.needed("ranking", BESIDE) == {}


def test_a_name_the_ledger_does_not_know_leaves_out_the_optional_question_only() -> None:
    beside = Beside(rumours=(Heard("so they say", "2024-25", player="Nobody Known"),))

    story = tell(league.ask, beside)

    assert "player" not in [a.question for a in story.answers]
    with pytest.raises(UseError, match="Nobody Known"):
        tell(league.ask, beside, ["player"])


def test_named_questions_are_told_in_their_order_and_the_rest_is_asked_all_the_same() -> None:
    wanted: list[str] = []

    def ask(question: str, **options: Any) -> Answer:
        wanted.append(question)
        return league.ask(question, **options)

    story = tell(ask, BESIDE, ["misses", "ranking"])

    assert [a.question for a in story.answers] == ["misses", "ranking"]
    assert set(SOURCES) <= set(wanted)
    assert len(story.sentences) == 5


def test_progress_is_told_and_can_end_the_telling() -> None:
    said: list[float] = []
    tell(league.ask, BESIDE, progress=said.append)

    assert said == sorted(said)
    assert said[-1] == 1.0

    def stop(done: float) -> None:
        if done > 0.3:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        tell(league.ask, BESIDE, progress=stop)


def test_sentences_are_parted_at_their_ends_only() -> None:
    text = "Keskume, jun. Tarn made 0.96 of 1. It is 55 % (46 to 63). A loss is not ruled out."

    assert sentences("About 3 more (−9 to 13). A loss is not ruled out.") == [
        "About 3 more (−9 to 13).",
        "A loss is not ruled out.",
    ]
    assert sentences(text)[-1] == "A loss is not ruled out."
    assert "0.96" in sentences(text)[0] or "0.96" in sentences(text)[1]


def test_what_to_watch_next_is_of_the_latest_season_and_clips_are_of_the_technique() -> None:
    story = tell(league.ask, BESIDE)

    assert story.watch_next.asked["season"] == ["2024-25"]
    assert story.watch_next.frame.height > 0
    assert story.clips.frame["technique"].unique().to_list() == ["board"]
    assert set(story.clips.frame["made"]) == {True, False}


def test_a_season_that_was_asked_for_stays_and_clips_of_nobody_are_clips_of_all(
    ground: Ground,
) -> None:
    grounds.untagged(ground)
    seen: list[tuple[str, dict[str, Any]]] = []

    def ask(question: str, **options: Any) -> Answer:
        seen.append((question, options))
        return ground.ask(question, **{"season": "2024-25", **options})

    story = tell(ask, Beside())

    assert ("watchlist", {"budget": usual.BUDGET}) in seen
    assert not any("season" in options for _, options in seen)
    assert story.clips.asked.get("technique") is None
