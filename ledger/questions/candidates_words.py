"""The headline and the notes of candidates."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.questions.candidate_figures import FEW_ATTEMPTS, NO_POOL
from ledger.questions.wording import (
    amount,
    capital,
    count,
    counted,
    in_words,
    listed,
    per_hundred,
    shown_share,
)
from ledger.stats.pooled_change import LEAST_PLAYERS
from ledger.stats.practice_needed import PER_SESSION

if TYPE_CHECKING:
    from ledger.questions.candidates import Told
    from ledger.questions.inquiry import Inquiry
    from ledger.questions.switch_pool import Pool

_MANY = 4
Row = Mapping[str, Any]


def no_list(names: Sequence[str]) -> str:
    """A headline where no list was named."""
    if not names:
        return (
            "There is no list yet: type offglass list NAME add PLAYER, then ask with --list NAME."
        )
    more = f" and {len(names) - _MANY} more" if len(names) > _MANY else ""
    return f"Whose? Type --list NAME; the ledger has {', '.join(names[:_MANY])}{more}."


def empty_list(names: Sequence[str]) -> str:
    """A headline for a list without players."""
    return f"Nobody stands on {_the_list(names)}: type offglass list NAME add PLAYER."


def cohort(inquiry: Inquiry) -> str:
    """Who is looked at, and whose changes it is told from."""
    names = inquiry.reads.names.spelled("list", inquiry.options["list"])
    return f"{capital(_the_list(names))}; changes from: {inquiry.cohort_words()}"


def _the_list(names: Sequence[str]) -> str:
    return f"the {'list' if len(names) == 1 else 'lists'} {listed(names)}"


def headline(told: Told) -> str:
    """One sentence: what the first player may gain, or why nothing can be said."""
    predicted = [row for row in told.rows if row.get("predicted_gain") is not None]
    if predicted:
        return _first(predicted[0])
    rows = told.rows
    open_rows = [row for row in rows if row.get("why") == NO_POOL]
    if open_rows:
        return _no_pool(told, open_rows)
    does = [row for row in rows if _does(row)]
    if len(does) == len(rows):
        whole = rows[0]["player"] if len(rows) == 1 else f"All {count(len(rows))} on the list"
        verb = "shoots" if len(rows) == 1 else "shoot"
        return f"{whole} already {verb} {told.inquiry.focus.words}: nobody to try it."
    other = next(row for row in rows if not _does(row))
    if len(rows) == 1:
        return f"{other['player']}: {other['why']}."
    return (
        f"No prediction for any of the {count(len(rows))} players on the list: "
        f"{other['player']}, {other['why']}."
    )


def _first(row: Row) -> str:
    gain = per_hundred(row["predicted_gain"], row["predicted_low"], row["predicted_high"])
    figure, _, limits = gain.partition(" ")
    points = amount(row["points_per_season"], row["points_low"], row["points_high"])
    end = "" if row["predicted_low"] > 0 else "; a loss is not ruled out"
    if row["predicted_high"] < 0:
        end = "; a gain is not to be expected"
    number, _, ends = points.partition(" ")
    about = "as many" if figure == "0" else figure
    return (
        f"{row['player']}: about {about} makes per 100 {limits}, {number} points a season "
        f"{ends}{end}."
    )


def _no_pool(told: Told, rows: Sequence[Row]) -> str:
    pool = told.changes.pools.unnoticed
    said = f"{_changed(told, pool)}: no prediction."
    if not told.typed.gains:
        return f"{said} Type --gain 5 for the points of a gain you assume."
    row, gain = rows[0], told.typed.gains[0]
    season = row["attempts_per_season"]
    per = f"{100 * gain:g}".replace("-", "−")
    return (
        f"{said} If {row['player']} gained {per} per 100: {amount(gain * season)} points over "
        f"{season:.0f} attempts."
    )


def _changed(told: Told, pool: Pool | None) -> str:
    number = pool.players if pool else 0
    noun = "player" if number == 1 else "players"
    who = f"{capital(in_words(number))} {noun} changed" if number else "Nobody changed"
    noticed = _noticed(told)
    return f"{who} beside {listed(noticed)}, whom the rumour named" if noticed else who


def _noticed(told: Told) -> list[str]:
    """Players of the rumour who changed and are left out."""
    everybody = told.changes.pools.everybody
    sides = [effect.sides for effect in everybody.effects] if everybody else []
    return [side.player for side in sides if side.switch.person_id in told.changes.noticed]


def _does(row: Row) -> bool:
    return str(row.get("why") or "").startswith("already")


def notes(told: Told) -> list[str]:
    """What a reader must know."""
    predicted = [row for row in told.rows if row.get("predicted_gain") is not None]
    said = [*_pool(told), *_leagues(predicted), *_thin(predicted), *_typed(told)]
    does = [str(row["player"]) for row in told.rows if _does(row)]
    if does:
        verb = "shoots" if len(does) == 1 else "shoot"
        said.append(f"Already {verb} {told.inquiry.focus.words}: {_names(does)}.")
    if told.seasons_left:
        said.append(
            f"{counted(told.seasons_left, 'player-season')} shot {told.inquiry.focus.words} left "
            "out of the rates of those who do so no more."
        )
    if any(row.get("games_needed") or row.get("practice_needed") for row in told.rows):
        which = "the first assumed gain" if told.typed.gains else "the gain predicted"
        said.append(
            f"Games and practice needed would show {which} in 80 % of cases; practice in sessions "
            f"of {PER_SESSION} attempts each way."
        )
    if predicted:
        said.append(
            "Facts beside a player (misses, size, trips) are not put into the number, and no score "
            "is made of them."
        )
    return said


def _pool(told: Told) -> list[str]:
    pool = told.changes.pools.unnoticed
    if pool is None or pool.found is None:
        return [f"Fewer than {LEAST_PLAYERS} switchers: no prediction."]
    names = [effect.sides.player for effect in pool.effects]
    noticed = _noticed(told)
    without = f", without {listed(noticed)}, whom the rumour named" if noticed else ""
    said = [
        "Assumes he would gain like those who chose to switch; they chose themselves and were "
        "noticed.",
        f"Told from {counted(pool.players, 'player')} who changed{without}: {_names(names)}.",
    ]
    back = [row for row in told.changes.tried if row["went_back"]]
    if back:
        verb, figure = ("is", "he") if len(back) == 1 else ("are", "they")
        others = "1 other" if len(back) == 1 else f"{count(len(back))} others"
        said.append(
            f"{others} tried it fewer than 10 times and went back; {figure} {verb} not in this "
            "figure."
        )
    return said


def _leagues(predicted: Sequence[Row]) -> list[str]:
    foreign = [row for row in predicted if row["foreign"]]
    if not foreign:
        return []
    where = listed(list(dict.fromkeys(str(row["league"]) for row in foreign)))
    return [
        f"No switcher comes from the league of {_names([str(r['player']) for r in foreign])} "
        f"({where}): whether the effect carries over is not known."
    ]


def _thin(predicted: Sequence[Row]) -> list[str]:
    thin = [str(row["player"]) for row in predicted if row["attempts"] < FEW_ATTEMPTS]
    if not thin:
        return []
    return [f"Mostly the league level (fewer than {FEW_ATTEMPTS} attempts): {_names(thin)}."]


def _typed(told: Told) -> list[str]:
    typed, said = told.typed, []
    used = told.levels.filter(pl.col("typed"))
    if typed.level is not None and used.height:
        where = [f"{row['league']} {row['season']}" for row in used.iter_rows(named=True)]
        said.append(
            f"Level typed: {shown_share(typed.level)}, weighing {typed.weight:g} attempts, for "
            f"{_names(where)} (fewer than 8 players)."
        )
    elif typed.level is not None:
        said.append("The level typed was not needed: every league-season has one of its own.")
    if typed.attempts is not None:
        said.append(f"Attempts of a season typed: {typed.attempts:g}.")
    return said


def _names(names: Sequence[str]) -> str:
    different = list(dict.fromkeys(names))
    if len(different) <= _MANY:
        return listed(different)
    return f"{', '.join(different[:_MANY])} and {len(different) - _MANY} more"
