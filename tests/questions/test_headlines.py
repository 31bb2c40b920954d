"""Headlines over thin, empty, one-player, whole and hostile cohorts: one sentence, and true."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

from ledger.questions.together import asked_together
from tests.questions import changing
from tests.questions.ground import Ground

FORBIDDEN = re.compile(
    r"\b(best|significant|proves?|tagged|board-assisted|posterior|None(?! of the)|nan|no effect)\b"
)
Fill = Callable[[Ground], None]


def nothing(ground: Ground) -> None:
    """No record at all."""


def practice(ground: Ground) -> None:
    ground.shots("Tarn", 10, 20, stage="practice")


def one_attempt(ground: Ground) -> None:
    ground.shots("Tarn", 1, 1, games=1)


def one_player(ground: Ground) -> None:
    ground.shots("Tarn", 75, 100, tags={"straight": (4, 1)})


def one_player_sure(ground: Ground) -> None:
    ground.shots("Tarn", 75, 100, tags={"board": (30, 10)})


def one_straight(ground: Ground) -> None:
    ground.shots("Tarn", 75, 100, tags={"straight": (30, 10)})


def one_now_and_then(ground: Ground) -> None:
    ground.shots("Tarn", 75, 100, tags={"straight": (24, 8), "board": (9, 3)})


def untagged(ground: Ground) -> None:
    for i in range(12):
        ground.shots(f"P{i:02}", 40 + i, 60)


def thin(ground: Ground) -> None:
    for i in range(6):
        ground.shots(f"P{i}", 4, 6, tags={"board": (1, 0)} if i == 0 else None)


def watched_whole(ground: Ground) -> None:
    for i in range(12):
        share = {"board": (20, 10)} if i < 2 else {"straight": (20, 10)}
        ground.shots(f"P{i:02}", 40, 60, tags=share)


def everybody_does(ground: Ground) -> None:
    for i in range(12):
        ground.shots(f"P{i:02}", 40, 60, tags={"board": (40, 20)})


def some_now_and_then(ground: Ground) -> None:
    for i in range(12):
        mixed = {"straight": (16, 8), "board": (6, 3)} if i == 0 else {"straight": (20, 10)}
        ground.shots(f"P{i:02}", 40, 60, tags=mixed)


def picked(ground: Ground) -> None:
    for i in range(12):
        ground.shots(f"P{i:02}", 40, 60, tags={"board": (2, 18)})


def hostile(ground: Ground) -> None:
    ground.shots("[b]=1+1. {x} \x1b[31m%s", 75, 100, tags={"board": (30, 10)})


def changed_well(ground: Ground) -> None:
    changing.league(ground)
    changing.changed(ground, "Tarn", (28, 50), (82, 100))


def changed_after_a_bad_start(ground: Ground) -> None:
    changing.league(ground)
    changing.changed(ground, "Tarn", (23, 40), (75, 100))


def changed_for_the_worse(ground: Ground) -> None:
    changing.league(ground)
    changing.changed(ground, "Tarn", (38, 50), (52, 100))


def changed_alone(ground: Ground) -> None:
    changing.changed(ground, "Tarn", (28, 50), (82, 100))


def changed_lately(ground: Ground) -> None:
    """Eleven attempts since."""
    changing.league(ground)
    changing.changed(ground, "Tarn", (28, 50), (9, 11))


def changed_by_forty(ground: Ground) -> None:
    changing.league(ground, 30)
    for i in range(40):
        changing.changed(ground, f"S{i:03}", (30 + i % 7, 50), (70 + i % 11, 100))


def stopped(ground: Ground) -> None:
    changing.league(ground)
    changing.changed(ground, "Tarn", (28, 50), (82, 100), techniques=("board", "straight"))


EMPTY = "This ledger holds no attempts yet: type offglass import FILE."
NO_LIST = "There is no list yet: type offglass list NAME add PLAYER, then ask with --list NAME."
HEADLINES: dict[tuple[str, Fill], str] = {
    ("ranking", nothing): EMPTY,
    ("ranking", practice): "This ledger holds no free throws of games.",
    ("ranking", one_attempt): "No player has 50 attempts here: 1 player with fewer; type "
    "--min-attempts for a lower floor.",
    ("ranking", one_player): "1 row: raw rates only; import the league's totals for an order.",
    ("ranking", untagged): "P11 is first after allowing for luck, 80 % (73 to 86), but all twelve "
    "overlap.",
    ("ranking", thin): "No player has 50 attempts here: 6 players with fewer; type --min-attempts "
    "for a lower floor.",
    (
        "ranking",
        watched_whole,
    ): "P00 and eleven others share the first place after allowing for luck, 67 % (60 to 73).",
    ("adopters", nothing): EMPTY,
    ("adopters", practice): "This ledger holds no free throws of games.",
    ("adopters", one_attempt): "Tarn: no attempt watched yet; about 13 would probably settle it.",
    ("adopters", one_player): "Tarn 0 of 5: cannot be called; about 8 more would probably settle "
    "it.",
    ("adopters", one_player_sure): "Tarn shoots off the backboard, 40 of 40 watched attempts.",
    ("adopters", one_straight): "Tarn shoots off the backboard less than one time in ten, 0 of 40 "
    "watched attempts.",
    ("adopters", one_now_and_then): "Tarn shoots off the backboard now and then, 12 of 44 watched "
    "attempts.",
    ("adopters", untagged): "Nobody can be called: none of the 12 players has been watched yet.",
    ("adopters", thin): "Nobody can be called yet: 1 of 6 players has watched attempts, at most 1 "
    "in a season.",
    ("adopters", watched_whole): "2 of the 12 players watched enough shoot off the backboard.",
    ("adopters", everybody_does): "All twelve players watched enough shoot off the backboard.",
    ("adopters", some_now_and_then): "None of the 12 players watched enough shoots off the "
    "backboard as a rule, 1 does now and then.",
    ("adopters", picked): "Nobody can be called: watched attempts were picked by result (90 % of "
    "misses watched, 5 % of makes).",
    ("uptake", nothing): EMPTY,
    ("uptake", practice): "This ledger holds no free throws of games.",
    ("uptake", one_attempt): "No player has 10 free throws in 2024-25: no share of a league.",
    ("uptake", one_player): "Off the backboard: 0 % of free throws (fewer than 5 players: no "
    "interval) in 2024-25; every player watched.",
    ("uptake", untagged): "Nobody was watched in 2024-25: nothing can be said. Draw 12 players.",
    ("uptake", thin): "No player has 10 free throws in 2024-25: no share of a league.",
    ("uptake", picked): "No share in 2024-25: watched attempts were picked by result (90 % of "
    "misses watched, 5 % of makes).",
    ("misses", nothing): EMPTY,
    ("misses", practice): "This ledger holds no free throws of games.",
    ("misses", one_attempt): "None of these free throws is watched: nobody can say where misses "
    "go.",
    ("misses", one_player): "No depth or side is noted of the one watched miss.",
    ("misses", untagged): "None of these free throws is watched: nobody can say where misses go.",
    ("misses", thin): "Every watched one of these free throws was made: no miss to look at.",
    ("misses", watched_whole): "No depth or side is noted of 120 watched misses.",
    ("agreement", nothing): EMPTY,
    ("agreement", practice): "This ledger holds no free throws of games.",
    ("agreement", one_attempt): "None of these free throws is watched.",
    ("agreement", one_player): "No attempt was watched by two people (5 attempts, one person): "
    "have a random tenth watched twice.",
    ("agreement", untagged): "None of these free throws is watched.",
    ("agreement", everybody_does): "No attempt was watched by two people (720 attempts, one "
    "person): have a random tenth watched twice.",
    ("worth", nothing): EMPTY,
    ("worth", practice): "This ledger holds no free throws of games.",
    ("worth", one_attempt): "No live misses recorded: type --offensive-rebound.",
    ("worth", untagged): "No live misses recorded: type --offensive-rebound.",
    ("candidates", nothing): NO_LIST,
    ("candidates", untagged): NO_LIST,
    ("switches", nothing): EMPTY,
    ("switches", practice): "This ledger holds no free throws of games.",
    ("switches", one_attempt): "No attempt here is watched: nobody's change can be looked for.",
    ("switches", untagged): "No attempt here is watched: nobody's change can be looked for.",
    ("switches", one_player): "Tarn: fewer than 10 watched attempts on a side: not judged.",
    ("switches", thin): "P0: fewer than 10 watched attempts on a side: not judged.",
    ("switches", one_player_sure): "No change to shooting off the backboard shows in the games of "
    "the 1 player watched enough.",
    ("switches", everybody_does): "No change to shooting off the backboard shows in the games of "
    "the 12 players watched enough.",
    ("switches", picked): "Nobody's change can be looked for: watched attempts were picked by "
    "result (90 % of misses watched, 5 % of makes).",
    ("switches", changed_well): "Tarn shoots off the backboard since 2024-11-06 and made 82 of "
    "100; unchanged we would expect 68 (56 to 80). About 12 more per 100 (2 to 21); 12 of the raw "
    "26 are his bad start; a rise is shown: a shooter who changed nothing does this about once in "
    "130.",
    ("switches", changed_after_a_bad_start): "Tarn shoots off the backboard since 2024-11-06 and "
    "made 75 of 100; unchanged we would expect 70 (59 to 81). About 4 more per 100 (−6 to 14); 13 "
    "of the raw 18 are his bad start; a rise is not shown: a shooter who changed nothing does this "
    "about once in 5.",
    ("switches", changed_for_the_worse): "Tarn shoots off the backboard since 2024-11-06 and made "
    "52 of 100; unchanged we would expect 75 (65 to 85). About 20 fewer per 100 (−31 to −10); a "
    "rise is not shown: a shooter who changed nothing makes as few less than once in 1,000.",
    ("switches", changed_alone): "Tarn shoots off the backboard since 2024-11-06 and made 82 of "
    "100, before it 28 of 50, luck and bad start included about 26 more per 100 (11 to 41); fewer "
    "than 8 players in a league-season: no level to allow for luck with.",
    ("switches", changed_lately): "Tarn shoots off the backboard since 2024-11-06 and made 9 of "
    "11; unchanged we would expect 8 (4 to 10). About 6 more per 100 (−14 to 22); 12 of the raw 26 "
    "are his bad start; a rise is not shown: a shooter who changed nothing does this about once in "
    "5.",
    ("switches", changed_by_forty): "40 players changed to shooting off the backboard; over all "
    "of them, bad starts taken out: about 5 more per 100 (3 to 7).",
    ("switches", stopped): "Nobody changed to shooting off the backboard here; Tarn stopped doing "
    "it.",
    ("attempts", nothing): EMPTY,
    ("attempts", practice): "This ledger holds no free throws of games.",
    ("attempts", one_attempt): "1 free throw by 1 player in 1 game, 0 watched.",
    ("attempts", one_player): "100 free throws by 1 player in 4 games, 5.0 % watched.",
    ("attempts", untagged): "720 free throws by 12 players in 4 games, 0.0 % watched.",
    ("attempts", everybody_does): "720 free throws by 12 players in 4 games, 100.0 % watched.",
    ("trial", nothing): "No trial is planned: type offglass trial NAME --player P --techniques "
    "straight,board before its first attempt.",
    ("player", nothing): "Say which player: type --player NAME.",
    ("watchlist", nothing): EMPTY,
    ("watchlist", practice): "This ledger holds no free throws of games.",
    ("watchlist", one_attempt): "1 game, 1 free throw, should settle hardly any of 1 open player.",
    ("watchlist", one_player): "4 games, 95 free throws, should settle about 1 of 1 open player.",
    ("watchlist", one_player_sure): "Nobody is open here: 1 called.",
    ("watchlist", untagged): "4 games, 720 free throws, should settle about 10 of 12 open players.",
    ("watchlist", thin): "4 games, 35 free throws, should settle hardly any of 6 open players.",
    ("watchlist", watched_whole): "Nobody is open here: 12 called.",
    ("watchlist", everybody_does): "Nobody is open here: 12 called.",
    ("watchlist", picked): "Nobody is open here: 12 watched by result.",
    ("sources", nothing): "Nothing has come in yet: type offglass import FILE.",
}


@pytest.mark.parametrize(
    ("question", "fill"), HEADLINES, ids=[f"{q}-{f.__name__}" for q, f in HEADLINES]
)
def test_the_headline_says_what_the_data_bear(ground: Ground, question: str, fill: Fill) -> None:
    fill(ground)

    assert ground.ask(question).headline == HEADLINES[(question, fill)]


FILLS = [one_player, thin, some_now_and_then, hostile, changed_well, changed_alone, stopped]

ASKED: list[tuple[str, dict[str, Any]]] = [
    ("ranking", {}),
    ("ranking", {"min_attempts": 1}),
    ("ranking", {"by": "team"}),
    ("ranking", {"by": "league-season"}),
    ("ranking", {"order": "raw"}),
    ("ranking", {"order": "attempts"}),
    ("ranking", {"state": "adopter", "min_attempts": 1}),
    ("ranking", {"technique": "board"}),
    ("adopters", {}),
    ("adopters", {"focus": ("underhand",)}),
    ("uptake", {}),
    ("uptake", {"by": "team"}),
    ("uptake", {"focus": ("straight", "other")}),
    ("misses", {}),
    ("misses", {"by": "player", "focus": ("straight",)}),
    ("agreement", {}),
    ("agreement", {"technique": "board"}),
    ("worth", {}),
    ("worth", {"offensive_rebound": 0.12}),
    ("worth", {"offensive_rebound": 0.12, "per_possession": 1.1}),
    ("worth", {"rate": 0.6, "per_possession": 2.5, "offensive_rebound": 0}),
    ("candidates", {}),
    ("attempts", {"stage": "practice"}),
    ("trial", {}),
    ("player", {}),
    ("player", {"league": "Halma League", "stage": "practice"}),
    ("watchlist", {}),
    ("watchlist", {"budget": 12}),
    ("watchlist", {"aim": "share", "minutes": 30, "taggers": 2}),
    ("sources", {}),
    ("switches", {}),
    ("switches", {"focus": ("underhand",)}),
    ("switches", {"technique": "board"}),
]


@pytest.mark.parametrize("fill", FILLS, ids=[f.__name__ for f in FILLS])
def test_every_headline_is_a_sentence_a_coach_cannot_misread(ground: Ground, fill: Fill) -> None:
    fill(ground)
    with asked_together():
        found = [ground.ask(question, **asked) for question, asked in ASKED]

    for headline in (answer.headline for answer in found):
        assert headline[0].isupper() or headline[0].isdigit() or headline.startswith("[b]")
        assert headline.endswith(".")
        assert "\n" not in headline
        assert not FORBIDDEN.search(headline), headline


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"season": "2023-24"}, "No free throws here: without --season there are 60."),
        ({"stage": "cup"}, "No free throws here: without --stage there are 60."),
        (
            {"season": "2023-24", "stage": "cup", "period": 4},
            "No free throws here: no single filter is the reason, take out two or more.",
        ),
        ({"shot": "three"}, "This ledger holds no threes of games."),
    ],
)
def test_an_empty_cohort_says_which_filter_leaves_nothing(
    ground: Ground, asked: dict[str, Any], said: str
) -> None:
    ground.shots("Tarn", 40, 60)
    ground.season("2023-24")

    for question in ("ranking", "adopters", "uptake", "attempts"):
        answer = ground.ask(question, **asked)

        assert answer.headline == said
        assert answer.frame.is_empty()


@pytest.mark.parametrize(
    ("fill", "headline"),
    [
        (one_attempt, "Tarn made 1 of 1."),
        (one_player, "Tarn shoots 74.8 % (65.9 to 82.7)."),
        (thin, "the 6 players together shoot 66 % (50 to 80)."),
        (untagged, "the 12 players together shoot 75.8 % (72.6 to 78.9)."),
    ],
)
def test_a_foul_pays_below_a_rate_that_stands_beside_the_shooters(
    ground: Ground, fill: Fill, headline: str
) -> None:
    fill(ground)

    said = ground.ask("worth", per_possession=1.1, offensive_rebound=0.12).headline

    assert said == (
        "At 1.10 a possession and 12 % offensive rebounds, a foul for two shots pays below 51.8 %; "
        f"{headline}"
    )


@pytest.mark.parametrize("fill", [one_player, thin, picked, everybody_does, hostile])
def test_a_list_over_thin_records_gets_a_sentence_too(ground: Ground, fill: Fill) -> None:
    fill(ground)
    (name,) = ground.con.execute("SELECT min(name) FROM player").fetchone() or ("",)
    ground.shortlist("spring", [name])

    for asked in ({}, {"gain": "5"}, {"level": 0.7}, {"gain": "-3", "level": 0.7}):
        headline = ground.ask("candidates", list="spring", **asked).headline

        assert headline.endswith(".")
        assert not FORBIDDEN.search(headline), headline
