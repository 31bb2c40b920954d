"""The questions: their names, titles and options, without loading what answers them.

The command line, the terminal program and the charts all read this one list.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from ledger.errors import UseError
from ledger.questions.options import Option, read_options
from ledger.questions.together import once
from ledger.store.names import did_you_mean

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.cohort import Cohort
    from ledger.questions.answer import Answer
    from ledger.questions.inquiry import Inquiry

SEED = Option("seed", int, 1, description="Seed of the random draws; the same seed, the same bytes")


CHANCE_OF_REBOUND = Option(
    "offensive_rebound",
    float,
    None,
    description="Chance, from 0 to 1, that the offence rebounds a live miss.",
    least=0,
    most=1,
)
PER_POSSESSION = Option(
    "per_possession",
    float,
    None,
    description="Points that a possession brings, typed: there is no usual value.",
    least=0.1,
    most=3,
)
ORDERS = (
    "mean",
    "low",
    "rate",
    "attempts-per-season",
    "long",
    "short",
    "board-contact",
    "height",
    "mass",
    "two-shot-trips",
    "three-shot-trips",
)


@dataclass(frozen=True, slots=True)
class Question:
    """One question.

    Attributes:
        name: as typed.
        title: the question as a person asks it, the title of its screen.
        options: what it takes beside the cohort, each with its usual value.
        slow: whether a screen asks it only on request.
    """

    name: str
    title: str
    options: tuple[Option, ...] = ()
    slow: bool = False

    def answer(self, inquiry: Inquiry) -> Answer:
        """Ask it; loads the module of its name."""
        module = importlib.import_module(f"ledger.questions.{self.name}")
        found: Answer = module.answer(inquiry)
        return found


def _questions(*questions: Question) -> Mapping[str, Question]:
    return MappingProxyType({q.name: q for q in questions})


QUESTIONS: Mapping[str, Question] = _questions(
    Question(
        "ranking",
        "Who shoots best, allowing for luck?",
        (
            Option(
                "by",
                str,
                "player",
                ("player", "player-season", "team", "league-season"),
                "What a row is.",
            ),
            Option(
                "order",
                str,
                "shrunken",
                ("shrunken", "raw", "low", "made", "attempts"),
                "What the rows are ordered by: the rate allowing for luck unless given.",
            ),
            Option(
                "min_attempts",
                int,
                None,
                description="Rows with fewer attempts are left out of the table: 50 by player and "
                "player-season, 1 by team and league-season unless given.",
                least=0,
            ),
            Option(
                "top", int, 10, description="The N of the chance to be among the top N.", least=1
            ),
            Option(
                "state",
                str,
                None,
                ("adopter", "occasional", "not", "undecided", "untagged"),
                "Show only rows of this state; ranks and chances stay those of all rows.",
            ),
            SEED,
        ),
    ),
    Question(
        "adopters",
        "Who does it?",
        (
            Option("top", int, 10, description="The N of the count among the top N.", least=1),
            Option(
                "min_attempts",
                int,
                50,
                description="Players with fewer attempts enter neither comparison of rates.",
                least=0,
            ),
            SEED,
        ),
    ),
    Question(
        "uptake",
        "Is it growing?",
        (
            Option(
                "by", str, "league", ("league", "team", "position"), "What a row is, by season."
            ),
            Option(
                "forecast",
                bool,
                True,
                description="Say what the next season would be by the curve.",
            ),
        ),
    ),
    Question(
        "switches",
        "Who changed, and did it help?",
        (
            Option(
                "min_tagged",
                int,
                20,
                description="Players with fewer watched attempts are not judged.",
                least=20,
            ),
            Option(
                "declared",
                str,
                None,
                description="A change somebody says there was: PLAYER:DATE, several parted by ;.",
            ),
            Option(
                "show",
                int,
                10,
                description="The difference in makes per 100 that the attempts needed would show.",
                least=1,
            ),
            SEED,
        ),
        slow=True,
    ),
    Question(
        "misses",
        "Where do misses go?",
        (
            Option("by", str, "technique", ("technique", "player"), "Whose misses a grid holds."),
            SEED,
        ),
    ),
    Question(
        "candidates",
        "Who should try it?",
        (
            Option(
                "list",
                str,
                None,
                description="The shortlist or lot whose players are looked at; the other filters "
                "pick whose changes it is told from.",
                many=True,
            ),
            Option(
                "attempts",
                float,
                None,
                description="Attempts of a season, typed; the mean of his last three seasons "
                "unless given.",
                least=1,
            ),
            Option(
                "gain",
                str,
                None,
                description="Gains that are assumed, in makes per 100: 5 or 3,5,8.",
            ),
            Option(
                "level",
                float,
                None,
                description="The common make rate, from 0 to 1, of a league-season with too few "
                "players to find it.",
                least=0.01,
                most=0.99,
            ),
            Option(
                "level_weight",
                float,
                30.0,
                description="How many attempts that level weighs as much as.",
                least=1,
            ),
            Option("order", str, "mean", ORDERS, "What the rows are ordered by, largest first."),
            CHANCE_OF_REBOUND,
            PER_POSSESSION,
            SEED,
        ),
        slow=True,
    ),
    Question(
        "trial",
        "How is the trial going?",
        (Option("name", str, None, description="The trial; the only one there is unless given."),),
    ),
    Question(
        "worth",
        "What is a trip to the line worth?",
        (
            Option(
                "rate",
                float,
                None,
                description="The make rate, from 0 to 1, typed; that of the players who are meant "
                "unless given.",
                least=0,
                most=1,
            ),
            CHANCE_OF_REBOUND,
            PER_POSSESSION,
        ),
    ),
    Question(
        "watchlist",
        "What to watch next?",
        (
            Option(
                "budget",
                int,
                None,
                description="Attempts that all taggers together watch at most; every game unless "
                "given.",
                least=1,
            ),
            Option(
                "taggers",
                str,
                "1",
                description="How many people watch, or their names parted by commas.",
            ),
            Option(
                "minutes",
                int,
                None,
                description="Minutes each tagger has; no limit unless given.",
                least=1,
            ),
            Option(
                "per_minute",
                float,
                2.0,
                description="Attempts a tagger watches in a minute, with finding them on film.",
                least=0.1,
            ),
            Option(
                "aim",
                str,
                "players",
                ("players", "share"),
                "Settle most players, or first those drawn by lot, for a league's share.",
            ),
        ),
    ),
    Question("agreement", "Can we trust the tags?", (SEED,)),
    Question("player", "One player, everything", slow=True),
    Question(
        "attempts",
        "The records",
        (
            Option("limit", int, None, description="Only the first N records.", least=0),
            Option(
                "clips",
                int,
                None,
                description="A cut list by lot: N attempts on film, makes and misses in their "
                "true mix.",
                least=1,
            ),
            SEED,
        ),
    ),
    Question("sources", "What came in?"),
)


def find(name: str) -> Question:
    """The question of that name.

    Raises:
        UseError: if there is none, with near names.
    """
    if name not in QUESTIONS:
        raise UseError(f"there is no question {name!r}{did_you_mean(name, list(QUESTIONS))}")
    return QUESTIONS[name]


def answer(
    name: str,
    connection: DuckDBPyConnection,
    cohort: Cohort,
    *,
    focus: Sequence[str] | None = None,
    options: Mapping[str, Any] | None = None,
    ledger: str = "",
    drawer: Callable[..., Any] | None = None,
    progress: Callable[[float], None] | None = None,
) -> Answer:
    """Ask one question of an open ledger.

    Args:
        name: the question.
        connection: as `LedgerFile.reading()` gives it; only the store uses it.
        cohort: which attempts.
        focus: names of the techniques that are studied; board-assisted unless given.
        options: the question's own options, those that were given.
        ledger: the ledger's name, for the answer's facts.
        drawer: makes the answer's chart; `names=` tells it the ledger's leagues, in an order that
            only grows at its end.
        progress: is told how far a long answer is, 0..1.

    Raises:
        UseError: for an unknown question, option, value or name in the ledger, with near ones.
    """
    question = find(name)
    asked = inquiry(name, connection, cohort, focus, options, ledger, progress)
    options_said = repr(sorted(asked.options.items()))
    key = ("answer", name, asked.facts, asked.cohort, asked.focus, options_said)
    found = once(key, lambda: question.answer(asked))
    if drawer is None:
        return found
    return replace(found, draw=partial(drawer, names=asked.reads.leagues()))


def inquiry(
    name: str,
    connection: DuckDBPyConnection,
    cohort: Cohort,
    focus: Sequence[str] | None = None,
    options: Mapping[str, Any] | None = None,
    ledger: str = "",
    progress: Callable[[float], None] | None = None,
) -> Inquiry:
    """A question as it is put to an open ledger; the arguments are those of `answer`.

    Raises:
        UseError: as `answer` does.
    """
    from ledger.questions.inquiry import Inquiry
    from ledger.store.reads import Reads

    question = find(name)
    chosen = read_options(question.name, question.options, options or {})
    reads = Reads(connection)
    return Inquiry.of(reads, question, cohort, focus or (), chosen, ledger, progress)
