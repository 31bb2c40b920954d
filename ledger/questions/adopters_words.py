"""The headline and the notes of adopters."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.questions import guards
from ledger.questions.states import DECIDED
from ledger.questions.wording import capital, count, counted, in_words
from ledger.stats.technique_class import MIN_GAMES, MIN_TAGS, more_tags_needed

if TYPE_CHECKING:
    from ledger.questions.inquiry import Inquiry

Row = dict[str, Any]


def headline(inquiry: Inquiry, people: pl.DataFrame, latest: pl.DataFrame) -> str:
    """One sentence: how many of those watched enough do it, or what is missing to say so."""
    if latest.height == 1:
        return _one_player(inquiry, people)
    adopters = latest.filter(pl.col("state") == "adopter").height
    decided = latest.filter(pl.col("state").is_in(DECIDED).fill_null(False)).height
    if decided == 0:
        return _nobody_called(latest, people)
    neither = _others(latest.filter(~pl.col("state").is_in(DECIDED).fill_null(False)))
    words = inquiry.focus.words
    if decided == 1:
        who = "The one player watched enough"
        if adopters:
            return f"{who} shoots {words}{neither}."
        return f"{who} does not shoot {words} as a rule{neither}."
    if people["season"].n_unique() > 1:
        neither = f", each judged on the last season he was watched in{neither}"
    if adopters == 0:
        do_it = _as_a_rule(words, latest)
        return f"None of the {count(decided)} players watched enough {do_it}{neither}."
    if adopters == decided:
        who = "Both" if decided == 2 else f"All {in_words(decided)}"
        return f"{who} players watched enough shoot {words}{neither}."
    verb = "shoots" if adopters == 1 else "shoot"
    return (
        f"{count(adopters)} of the {count(decided)} players watched enough {verb} {words}{neither}."
    )


def _others(players: pl.DataFrame) -> str:
    """That there are further players, of whom nothing is said."""
    if players.is_empty():
        return ""
    who, verb = "the other player", "was"
    if players.height > 1:
        who, verb = f"the other {count(players.height)} players", "were"
    if players["refused"].drop_nulls().len():
        return f"; {who} cannot be called"
    return f"; {who} {verb} watched too little to say"


def _as_a_rule(words: str, latest: pl.DataFrame) -> str:
    at_times = latest.filter(pl.col("state") == "occasional").height
    if not at_times:
        return f"shoots {words}"
    do = "does" if at_times == 1 else "do"
    return f"shoots {words} as a rule, {count(at_times)} {do} now and then"


def _nobody_called(latest: pl.DataFrame, people: pl.DataFrame) -> str:
    refused = latest["refused"].drop_nulls().to_list()
    if refused:
        return f"Nobody can be called: {guards.plain(refused[0])}."
    watched = latest.filter(pl.col("all_tags") > 0).height
    if watched == 0:
        return (
            f"Nobody can be called: none of the {counted(latest.height, 'player')} has been "
            "watched yet."
        )
    have = "has" if watched == 1 else "have"
    best = people.sort("tagged", descending=True, maintain_order=True).row(0, named=True)
    return (
        f"Nobody can be called yet: {count(watched)} of {counted(latest.height, 'player')} {have} "
        f"watched attempts, at most {count(best['tagged'])} in a season."
    )


def _one_player(inquiry: Inquiry, people: pl.DataFrame) -> str:
    """A sentence on the latest season that says anything."""
    watched = people.filter(pl.col("tagged") > 0)
    enough = watched.filter(pl.col("tagged") >= MIN_TAGS)
    chosen = enough if enough.height else watched if watched.height else people
    row = chosen.sort("start_year", "tagged", maintain_order=True).row(-1, named=True)
    name = row["player"]
    if people["season"].n_unique() > 1:
        name = f"{name} in {row['season']}"
    words = inquiry.focus.words
    if row["refused"]:
        return f"{name}: {guards.plain(row['refused'])}; no share."
    if row["tagged"] == 0:
        return f"{name}: no attempt watched yet; {_more(0, 0)}."
    seen = f"{count(row['focus_tags'])} of {count(row['tagged'])}"
    said = {
        "adopter": f"shoots {words}",
        "occasional": f"shoots {words} now and then",
        "not": f"shoots {words} less than one time in ten",
    }.get(row["state"])
    if said:
        return f"{name} {said}, {seen} watched attempts."
    if row["tagged"] >= MIN_TAGS and row["tag_games"] < MIN_GAMES:
        return f"{name} {seen}: cannot be called, all of them are from one game."
    return f"{name} {seen}: cannot be called; {_more(row['focus_tags'], row['tagged'])}."


def _more(focus: int, tagged: int) -> str:
    more = more_tags_needed(focus, tagged)
    if more is None:
        return "more than 200 more would be needed"
    watched = "more " if tagged else ""
    return f"about {more} {watched}would probably settle it"


def notes(inquiry: Inquiry, people: pl.DataFrame, latest: pl.DataFrame) -> list[str]:
    """How many cannot be called and why; what the states mean."""
    said = []
    thin = latest.filter((pl.col("all_tags") > 0) & pl.col("state_season").is_null()).height
    untagged = latest.filter(pl.col("state") == "untagged").height
    if untagged:
        have = "has" if untagged == 1 else "have"
        said.append(f"{counted(untagged, 'player')} {have} no watched attempt.")
    if thin:
        have = "has" if thin == 1 else "have"
        said.append(
            f"{counted(thin, 'player')} {have} fewer than {MIN_TAGS} watched attempts in every "
            f"season here: never called before {MIN_TAGS}, from {MIN_GAMES} games."
        )
    unclear = int(people["unclear"].sum())
    if unclear:
        said.append(
            f"{counted(unclear, 'attempt')} could not be told or "
            f"{'was' if unclear == 1 else 'were'} not on film: not watched in this sense."
        )
    if people["season"].n_unique() > 1 and latest.height > 1:
        said.append(
            f"The sentence counts each player once, by his latest season with {MIN_TAGS} watched "
            "attempts or more; a row is a season."
        )
    since = people.filter(pl.col("state") == "adopter").height
    if since and people["season"].n_unique() > 1:
        said.append(
            "Since when is the first season judged so: "
            f"{inquiry.focus.words} by then at the latest."
        )
    return [capital(note) for note in said]
