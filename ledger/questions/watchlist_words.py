"""The headline and the notes of the watchlist."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from ledger.questions.states import DECIDED
from ledger.questions.wording import count, counted
from ledger.stats.watch_order import MIXES

if TYPE_CHECKING:
    from ledger.questions.inquiry import Inquiry
    from ledger.questions.watchlist import Found


def attempts_each(inquiry: Inquiry) -> int | None:
    """Attempts one tagger watches in the minutes given; no limit unless they are."""
    minutes = inquiry.options["minutes"]
    return None if minutes is None else int(minutes * inquiry.options["per_minute"])


def headline(inquiry: Inquiry, found: Found) -> str:
    """One sentence: how much to watch, and how many players it should settle."""
    open_ = found.people.filter("is_open").height
    if open_ == 0:
        return _nobody_open(found.people)
    if found.games == 0:
        return "No open player has unwatched film here."
    if not found.rows:
        return (
            "No game fits that would add anything: the smallest with an open player has "
            f"{count(found.smallest)} {inquiry.shots(found.smallest)}."
        )
    attempts = sum(row["attempts_to_watch"] for row in found.rows)
    return (
        f"{counted(len(found.rows), 'game')}, {count(attempts)} {inquiry.shots(attempts)}, "
        f"should settle {_about(found.rows[-1]['expected_so_far'])} of "
        f"{count(open_)} open {_noun(found.people)}{'' if open_ == 1 else 's'}."
    )


def _noun(people: pl.DataFrame) -> str:
    return "player" if people["season"].n_unique() == 1 else "player-season"


def _about(expected: float) -> str:
    if expected < 0.5:
        return "hardly any"
    return f"about {count(round(expected))}"


def _nobody_open(people: pl.DataFrame) -> str:
    decided = people.filter(pl.col("state").is_in(DECIDED).fill_null(False)).height
    mixes = people.filter(
        pl.col("refused").is_null() & (pl.col("state") == "undecided") & (pl.col("tagged") >= MIXES)
    ).height
    refused = people.height - decided - mixes
    said = [f"{count(decided)} called"] if decided else []
    if mixes:
        said.append(f"{count(mixes)} undecided after {MIXES} attempts and left so")
    if refused:
        said.append(f"{count(refused)} watched by result")
    return f"Nobody is open here: {', '.join(said)}."


def notes(inquiry: Inquiry, found: Found) -> list[str]:
    """What is assumed, what has no film, what is passed over, what is owed twice."""
    said = []
    each, pace = attempts_each(inquiry), inquiry.options["per_minute"]
    if each is not None:
        said.append(
            f"{inquiry.options['minutes']} minutes are taken as {counted(each, 'attempt')} for "
            f"each of {counted(len(found.taggers.names), 'tagger')}: {pace:g} "
            "a minute with finding them on film, an assumption (--per-minute changes it)."
        )
    if len(found.rows) < found.games:
        shown = found.games - len(found.rows)
        verb = "does" if shown == 1 else "do"
        said.append(
            f"{counted(shown, 'more game')} with open players {verb} not fit, or "
            f"add{'s' if shown == 1 else ''} nothing to those above."
        )
    without = sum(row["video"] is None for row in found.rows)
    if without:
        said.append(
            f"{count(without)} of {counted(len(found.rows), 'game')} "
            f"{'names' if without == 1 else 'name'} no film: type offglass correct game ID "
            "video=PLACE --why TEXT."
        )
    said += _about_people(inquiry, found)
    if found.owed:
        verb = "waits" if found.owed == 1 else "wait"
        said.append(
            f"{counted(found.owed, 'attempt')} of the tenth drawn to be watched twice {verb} for a "
            "second opinion (--part second_opinions); it is given without knowing the first."
        )
    return said


def _about_people(inquiry: Inquiry, found: Found) -> list[str]:
    people, said = found.people, []
    mixes = people.filter(pl.col("why").str.starts_with("mixes").fill_null(False)).height
    if mixes:
        one = mixes == 1
        said.append(
            f"{counted(mixes, _noun(people))} {'is' if one else 'are'} undecided after {MIXES} "
            f"watched attempts: {'he mixes' if one else 'they mix'}, leave "
            f"{'him' if one else 'them'} undecided."
        )
    if inquiry.options["aim"] == "share":
        waiting = people.filter(pl.col("drawn") & pl.col("is_open")).height
        if waiting:
            said.append(
                f"{counted(waiting, 'open player')} drawn by lot "
                f"{'comes' if waiting == 1 else 'come'} first: they make the league's share."
            )
        else:
            said.append(
                "Nobody drawn by lot is open here, so the order is that of players: offglass lot "
                "draws some."
            )
    if people.filter(pl.col("unclear") > 0).height:
        said.append("Attempts that could not be told or are not on film are not offered again.")
    return said
