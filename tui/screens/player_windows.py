"""Windows in which a person says something about a player: a list, a note, what was decided."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from ledger.errors import UseError
from ledger.questions.wording import listed
from tui.cohorts import Whom
from tui.completion import PART
from tui.screens.form import Form, Line, Looked, Told, Typed
from tui.screens.report_words import way_back

if TYPE_CHECKING:
    from ledger.store.listed import OnList, Shortlist
    from tui.session import BookLike


def who_lines(whom: Whom) -> tuple[Line, Line]:
    """Who it is about, as lines that can be changed."""
    return (
        Line("player", "player", "a name", whom.name, names="player", needed=True),
        Line(
            "league", "league", "where several players have the name", whom.league,
            empty="one has it", names="league",
        ),
    )  # fmt: skip


def within(book: BookLike, whom: Whom, typed: Typed) -> str | None:
    """The league in which a typed name is looked for, of those the row names.

    A row may span several leagues; a player typed instead of the row's is looked for in all, unless
    a league was typed too.
    """
    said: str | None = typed["league"]
    if said is None or (typed["player"] != whom.name and said == whom.league):
        return None
    if ", " not in said:
        return said
    return next((n for n in book.choices("league") if n in said.split(", ")), said)


def done(book: BookLike, kind: str, before: int, said: str, **about: str) -> Told:
    """What was done, and the source that holds it where something was stored.

    Args:
        book: the ledger.
        kind: what kind of thing was written down.
        before: its newest source before.
        said: what the ledger says.
        about: whatever the screen needs to go on.
    """
    now = book.last_source()
    return Told(way_back(said), now if now > before else None, kind, about)


def list_form(whom: Whom, name: str = "") -> Form:
    """Put players on a shortlist, which is made if there is none of that name."""

    def do(book: BookLike, typed: Typed) -> Told:
        before = book.last_source()
        called = typed["list"] or _last_used(book.lists())
        players = [p.strip() for p in typed["player"].split(PART) if p.strip()]
        said = book.shortlist(called, players, league=within(book, whom, typed), note=typed["note"])
        return done(book, "list", before, said)

    who, where = who_lines(whom)
    lines = (
        Line("list", "list", "an old or a new name", name, empty="the last used"),
        Line("note", "why", "kept beside him", empty="nothing"),
        Line("player", "player", f"a name; several are parted by {PART}", who.value,
             names="player", needed=True),
        where,
    )  # fmt: skip
    return Form(
        f"Put {whom.name} on a list" if whom.name else "A list, and who is on it",
        (),
        lines,
        do,
        lambda book: _lists_there(book, whom),
        first="list" if not name else "player",
        enter="puts him on it",
    )


def note_form(whom: Whom) -> Form:
    """Write down what a number cannot say."""

    def do(book: BookLike, typed: Typed) -> Told:
        before = book.last_source()
        said = book.note(
            typed["text"], player=typed["player"], league=within(book, whom, typed),
            date=typed["day"],
        )  # fmt: skip
        return done(book, "note", before, said)

    who, where = who_lines(whom)
    lines = (
        Line("text", "note", "what a number cannot say", needed=True),
        Line("day", "day", "the day it is about", example="2025-03-31",
             empty="no day", kind="day"),
        Line("player", "player", "a name", who.value, empty="about nobody in particular",
             names="player"),
        where,
    )  # fmt: skip
    heading = f"A note about {whom.name}" if whom.name else "Write a note"
    return Form(heading, (), lines, do, first="text")


def decision_form(whom: Whom) -> Form:
    """Write down what was decided about a player, and when to look again."""
    from ledger.store.notes import CHOICES

    def do(book: BookLike, typed: Typed) -> Told:
        before = book.last_source()
        said = book.decide(
            typed["player"], typed["choice"], why=typed["why"], review=typed["review"],
            league=within(book, whom, typed),
        )  # fmt: skip
        return done(book, "decision", before, said)

    lines = (
        Line("choice", "decision", "try, wait or stop", choices=CHOICES, needed=True),
        Line("why", "why", "the reason", needed=True),
        Line("review", "look again", "a day", example="2025-03-31", empty="no day", kind="day"),
        *who_lines(whom),
    )
    return Form(
        f"What is decided about {whom.name or 'him'}?",
        ("It stands until something else is decided. From the day to look again on the contents "
         "name it.",),
        lines,
        do,
        lambda book: _decided(book, whom),
        first="choice",
    )  # fmt: skip


# What most consents are for; a trial that is named says so.
_USUAL_PURPOSE = "a practice trial"


def consent_form(whom: Whom, purpose: str = "") -> Form:
    """Write down who agreed to records of a player's practice."""

    def do(book: BookLike, typed: Typed) -> Told:
        before = book.last_source()
        said = book.consent(
            typed["player"], given_by=typed["given_by"], on=typed["on"], until=typed["until"],
            purpose=typed["purpose"], league=within(book, whom, typed),
        )  # fmt: skip
        return done(book, "consent", before, said)

    lines = (
        Line("given_by", "given by", "player or guardian", choices=("player", "guardian"),
             needed=True),
        Line("on", "from", "the first day", example="2025-03-31", kind="day", needed=True),
        Line("until", "until", "the last day", empty="no end", kind="day"),
        Line("purpose", "what for", "what the records are for", purpose or _USUAL_PURPOSE,
             example="a trial of one winter", needed=True),
        *who_lines(whom),
    )  # fmt: skip
    return Form(
        f"Who agreed to records of {_whose(whom)} practice?",
        ("Without consent no record of practice on that day is stored. "
         "For a minor a guardian agrees.",),
        lines,
        do,
        lambda book: _agreed(book, whom),
        first="given_by",
    )  # fmt: skip


def trial_form(whom: Whom, tried: str = "board") -> Form:
    """Plan a practice trial, before its first attempt."""

    def do(book: BookLike, typed: Typed) -> Told:
        before = book.last_source()
        league = within(book, whom, typed)
        numbers = {n: typed[n] for n in _NUMBERS if typed[n] is not None}
        planned = book.trial(
            typed["name"], player=typed["player"], techniques=(typed["usual"], typed["tried"]),
            league=league, **numbers,
        )  # fmt: skip
        first = planned.practice_only + planned.counted // 2
        said = (
            f"{planned.name} is planned for {planned.player} with seed {planned.seed}; looks after "
            f"session {first} and {planned.sessions}, nothing is called before or between"
        )
        consent = "" if _holds(book, planned.player) else "none"
        return done(
            book, "trial", before, said, trial=planned.name, player=planned.player,
            league=league or "", consent=consent,
        )  # fmt: skip

    lines = (
        Line("name", "trial", "what it will be called", needed=True),
        Line("usual", "he uses", "the technique he uses", "straight", names="technique",
             needed=True),
        Line("tried", "he tries", "the technique he tries", tried, names="technique",
             needed=True),
        Line("sessions", "sessions", "how many, four or more", empty="12", kind="number"),
        Line("per_session", "each way", "attempts with each in a session", empty="50",
             kind="number"),
        Line("practice_only", "not counted", "the first so many only practise", empty="none",
             kind="number"),
        Line("seed", "seed", "for the same plan again", empty="drawn", kind="number"),
        *who_lines(whom),
    )  # fmt: skip
    return Form(
        f"Plan a trial in practice{f' for {whom.name}' if whom.name else ''}",
        ("Consent first: records of practice are stored only for days somebody agreed to. The "
         "order of blocks is drawn by lot. Practice is compared with practice only.",),
        lines,
        do,
        lambda book: _agreed(book, whom),
        first="name",
        enter="stores the plan",
    )  # fmt: skip


_NUMBERS = ("sessions", "per_session", "practice_only", "seed")
FORMS: Mapping[str, Callable[[Whom], Form]] = {
    "list": list_form,
    "note": note_form,
    "decision": decision_form,
    "consent": consent_form,
    "trial": trial_form,
}


# -- what the ledger holds already -------------------------------------------------------------


def _last_used(there: list[Shortlist]) -> str:
    used = [(max((p.put for p in one.players), default=one.made), one.name) for one in there]
    if not used:
        raise UseError("list: type a name for the first list")
    return max(used)[1]


def _lists_there(book: BookLike, whom: Whom) -> Looked:
    there = book.lists()
    if not there:
        return Looked("There is no list yet: the name makes it.")
    sizes = listed([f"{one.name} ({len(one.players)})" for one in there])
    on = [one.name for one in there for p in one.players if _is(p, whom)]
    also = f" He is on {listed(on)} already." if on else ""
    words = f"Lists: {sizes}; last used {_last_used(there)}.{also}"
    return Looked(words, {"list": [one.name for one in there]})


def _whose(whom: Whom) -> str:
    return f"{whom.name}'s" if whom.name else "a player's"


def _decided(book: BookLike, whom: Whom) -> Looked:
    his = [d for d in book.decisions() if d.stands and _is(d, whom)]
    if not his:
        return Looked("")
    last = his[-1]
    again = f", to be looked at again on {last.review}" if last.review else ""
    by = f"{last.at_time:%Y-%m-%d}, {last.who}: {last.why}"
    return Looked(f"Decided so far: {last.choice}{again} ({by})")


def _agreed(book: BookLike, whom: Whom) -> Looked:
    if not whom.name:
        return Looked("")
    his = [c for c in book.consents() if _is(c, whom)]
    if not his:
        return Looked(f"No consent to records of {whom.name}'s practice is written down yet.")
    days = [
        f"{c.given_on} to {c.until}" if c.until else f"from {c.given_on}, without an end"
        for c in his
    ]
    return Looked(f"Written down: consent of {whom.name}, {listed(days)}.")


def _holds(book: BookLike, player: str) -> bool:
    day = book.today()
    return any(c.player == player and (c.until is None or c.until >= day) for c in book.consents())


def _is(row: Any | OnList, whom: Whom) -> bool:
    """Whether it is about the one the window is about, as far as his name and league tell."""
    leagues = whom.league.split(", ") if whom.league else []
    return row.player == whom.name and (not leagues or row.league in leagues)
