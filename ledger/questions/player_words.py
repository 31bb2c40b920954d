"""The headline and the notes of a player's page."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from ledger.questions.wording import count, counted, percent, rate_with_interval

if TYPE_CHECKING:
    from ledger.questions.answer import Part
    from ledger.questions.inquiry import Inquiry
    from ledger.questions.player import Found

NOBODY = "Say which player: type --player NAME."


def headline(inquiry: Inquiry, found: Found) -> str:
    """One sentence: his last attempts, all of them, and how often he was seen doing it."""
    name = found.person["player"]
    seasons = found.seasons
    made, attempts = int(seasons["made"].sum()), int(seasons["attempts"].sum())
    if not attempts:
        return inquiry.nothing_here()
    shots = inquiry.shots()
    tagged, focus = int(seasons["tagged"].sum()), int(seasons["focus_tags"].sum())
    watched = f"watched {count(tagged)} times, {count(focus)} {inquiry.focus.words}"
    if tagged == 1:
        watched = f"watched once, {count(focus)} {inquiry.focus.words}"
    if not tagged:
        watched = "never watched"
    if seasons["refused"].drop_nulls().len():
        watched = "watched because of the result in part, so no share"
    whole = f"{count(made)} of {count(attempts)}"
    if not found.games.height:
        return f"{name} made {whole} {shots}, season totals only: no running rate; {watched}."
    last = found.games.row(-1, named=True)
    if last["running_rate"] is None:
        return f"{name} made {whole} {shots}: no running rate before 10; {watched}."
    behind = last["running_attempts"]
    running = rate_with_interval(last["running_rate"], last["low"], last["high"], behind)
    if behind == attempts:
        return f"{name} made {running} of {count(behind)} {shots}; {watched}."
    rate = percent(made / attempts, attempts)
    return (
        f"{name} made {running} of his last {behind} {shots} and {rate} of all "
        f"{count(attempts)}; {watched}."
    )


def notes(found: Found, decisions: Part) -> list[str]:
    """What a reader must know: the records, the changes, what is due."""
    said = [*found.table.notes(), *found.refusals.among(found.table.rows).notes()]
    if found.games.height:
        said.append(
            "The running rate is a description: neighbouring points share attempts, and a change "
            "is read from the changes, never from the curve."
        )
    box = found.games.filter(~pl.col("ordered")).height
    if box:
        said.append(
            f"{counted(box, 'game')} of unknown order: within one every attempt stands for the "
            "game's own rate."
        )
    if found.table.attempts and found.games.height:
        said.append(f"Changes of his shot: {found.changes.headline}")
    due = decisions.frame.filter("due").height
    if due:
        verb = "is" if due == 1 else "are"
        said.append(f"{counted(due, 'decision')} {verb} due to be looked at again.")
    return said
