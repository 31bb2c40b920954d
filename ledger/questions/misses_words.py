"""The headline and the notes of misses."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.questions.guards import NOT_A_TEST
from ledger.questions.miss_tests import LEAST_MISSES, NOBODY, Compared, with_groups
from ledger.questions.wording import (
    by_luck,
    capital,
    count,
    counted,
    in_words,
    limits,
    listed,
    per_hundred,
)
from ledger.stats.intervals import wilson

if TYPE_CHECKING:
    from ledger.questions.inquiry import Inquiry

_SHOWN_SEASONS = 3


@dataclass(frozen=True, slots=True)
class _Counted:
    """Misses of one kind among all of both techniques, whoever shot them."""

    such: tuple[int, int]
    of: tuple[int, int]
    did: str

    @classmethod
    def of_column(cls, misses: pl.DataFrame, column: str, kinds: list[str], did: str) -> _Counted:
        known = misses.filter(pl.col(column).is_not_null())
        such, of = [], []
        for group in (0, 1):
            own = known.filter(pl.col("group") == group)
            of.append(int(own["attempts"].sum()))
            such.append(int(own.filter(pl.col(column).is_in(kinds))["attempts"].sum()))
        return cls((such[0], such[1]), (of[0], of[1]), did)


def headline(inquiry: Inquiry, seen: pl.DataFrame, found: Compared) -> str:
    """One sentence: how misses differ within players, or what is missing to say so."""
    misses, _ = with_groups(inquiry, seen)
    misses = misses.filter(pl.col("technique").is_not_null())
    if misses.is_empty():
        return _nothing_watched(inquiry, seen)
    name, row_name = "side", "by_side"
    counts = _Counted.of_column(misses, "side", ["left", "right"], "left by the side")
    if counts.of == (0, 0):
        counts = _Counted.of_column(misses, "depth", ["short"], "were short")
        name, row_name = "depth", "short"
    if counts.of == (0, 0):
        number = int(misses["attempts"].sum())
        if misses.filter(pl.col("depth").is_not_null() | pl.col("side").is_not_null()).is_empty():
            return f"No depth or side is noted of {_watched(number)}."
        return f"No miss {inquiry.focus.words} or {found.others} has its depth or side noted."
    if 0 in counts.of:
        return _one_technique(inquiry, counts, found.others)
    row = found.rows[row_name]
    if row["difference_why"] and not row["players"]:
        return _apart(inquiry, counts, found.others, row["difference_why"])
    if row["difference"] is None:
        return _few(inquiry, row, found.others)
    return _within(inquiry, row, counts.did, found, name)


def _watched(number: int) -> str:
    return "the one watched miss" if number == 1 else f"{count(number)} watched misses"


def _nothing_watched(inquiry: Inquiry, seen: pl.DataFrame) -> str:
    missed = int(seen.filter(~pl.col("made"))["attempts"].sum())
    if missed:
        return f"No technique is agreed for {_watched(missed)}: nothing to compare."
    if seen.is_empty():
        return f"None of these {inquiry.shots()} is watched: nobody can say where misses go."
    return f"Every watched one of these {inquiry.shots()} was made: no miss to look at."


def _one_technique(inquiry: Inquiry, counts: _Counted, others: str) -> str:
    at = 0 if counts.of[0] else 1
    words = [inquiry.focus.words, others]
    such, of = counts.such[at], counts.of[at]
    said = f"{capital(words[at])} {count(such)} of {counted(of, 'miss', 'misses')} {counts.did}"
    if of >= LEAST_MISSES:
        interval = wilson(such, of)
        said += f" ({limits(interval.low, interval.high, of)} %)"
    return f"{said}; no miss {words[1 - at]} to compare."


def _apart(inquiry: Inquiry, counts: _Counted, others: str, why: str) -> str:
    """Both techniques, but nobody who missed with both, or nothing that may be a test."""
    said = (
        f"{capital(inquiry.focus.words)} {count(counts.such[0])} of "
        f"{counted(counts.of[0], 'miss', 'misses')} {counts.did}, "
        f"{others} {count(counts.such[1])} of {count(counts.of[1])}"
    )
    if why == NOBODY:
        why = "no player missed with both, so players and techniques cannot be told apart"
    return f"{said}; {why}."


def _few(inquiry: Inquiry, row: dict[str, Any], others: str) -> str:
    first, second = row["focus_misses"], row["other_misses"]
    return (
        f"{counted(first, 'miss', 'misses')} {inquiry.focus.words} and {count(second)} {others} "
        f"by {_same(row['players'])}: counts only."
    )


def _same(players: int) -> str:
    return "the same shooter" if players == 1 else f"the same {in_words(players)} shooters"


def _within(inquiry: Inquiry, row: dict[str, Any], did: str, found: Compared, name: str) -> str:
    said = (
        f"{capital(inquiry.focus.words)} {count(row['focus_count'])} of "
        f"{count(row['focus_misses'])} misses {did}, {found.others} {count(row['other_count'])} of "
        f"{count(row['other_misses'])}, {_same(row['players']).removeprefix('the ')}"
    )
    if row["low"] is not None:
        said += f", {per_hundred(row['difference'], row['low'], row['high'])} per 100"
        # The test is of the whole table: this difference may still be none.
        if not found.shown(name) or row["low"] <= 0 <= row["high"]:
            said += ", a difference is not shown"
    return f"{said}; {_rebounds(found)}."


def _rebounds(found: Compared) -> str:
    row = found.rows["rebounds"]
    first, second = row["focus_misses"], row["other_misses"]
    if row["low"] is None:
        if first + second == 0:
            return "no rebounds of live misses to compare"
        if row["difference"] is not None:
            such = count(row["focus_count"]), count(row["other_count"])
            return (
                f"offensive rebounds {such[0]} of {count(first)} and {such[1]} of {count(second)} "
                "live misses"
            )
        return f"{count(first)} and {count(second)} live misses: too few to compare rebounds"
    if not found.shown("rebounds"):
        return "offensive rebounds cannot be told apart"
    difference = per_hundred(row["difference"], row["low"], row["high"])
    return f"offensive rebounds {difference} per 100 live misses"


def notes(inquiry: Inquiry, seen: pl.DataFrame, found: Compared) -> list[str]:
    """What was seen of how many, what is left out, and what the tests say."""
    missed = seen.filter(~pl.col("made"))
    watched = missed.filter(pl.col("technique").is_not_null())
    total = int(watched["attempts"].sum())
    both = watched.filter(pl.col("depth").is_not_null(), pl.col("side").is_not_null())
    said = []
    if total:
        located = int(both["attempts"].sum())
        said.append(
            f"{count(located)} of {counted(total, 'watched miss', 'watched misses')} "
            f"{'has' if located == 1 else 'have'} a depth and a side. Left and right are as the "
            "shooter faces the ring; short is too little power, long too much."
        )
    said += _left_out(missed, watched)
    if found.raised.height:
        names = [f"{a} {b}" for a, b in found.raised.head(_SHOWN_SEASONS).iter_rows()]
        if found.raised.height > _SHOWN_SEASONS:
            names.append(f"{found.raised.height - _SHOWN_SEASONS} more")
        said.append(f"Left out of the comparisons: {listed(names)} ({NOT_A_TEST}).")
    if any(row["difference"] is not None or row["p"] is not None for row in found.rows.values()):
        said += _tests(found, inquiry.focus.words)
    return said


def _left_out(missed: pl.DataFrame, watched: pl.DataFrame) -> list[str]:
    said = []
    picked = int(watched.filter("picked")["attempts"].sum())
    if picked:
        said.append(
            f"{counted(picked, 'miss', 'misses')} watched because of the result: in the tables of "
            "depth, side and rebounds, in no rate."
        )
    differ = int(missed.filter("differ")["attempts"].sum())
    if differ:
        said.append(
            f"{counted(differ, 'miss', 'misses')} with people who differ on depth or side: not "
            "counted there."
        )
    unknown = int(watched.filter(pl.col("live") == "unknown")["attempts"].sum())
    if unknown:
        said.append(
            f"{counted(unknown, 'miss', 'misses')} of trips whose kind or length is not known: in "
            "no figure of rebounds."
        )
    return said


def _tests(found: Compared, studied: str) -> list[str]:
    said = [
        "Compared within players who missed with both. In players who changed, technique and time "
        "are the same thing: a difference may be the season's."
    ]
    told = [
        f"{words} {by_luck(row['p_holm'])}"
        for words, name in (("depth", "depth"), ("side", "side"), ("rebounds", "rebounds"))
        if (row := found.rows[name])["p_holm"] is not None
    ]
    if told:
        said.append(f"By luck alone as much happens, all tests together: {listed(told)}.")
    row = found.rows["rebounds"]
    if row["low"] is not None:
        difference = per_hundred(row["difference"], row["low"], row["high"])
        said.append(
            f"Offensive rebounds of live misses: {count(row['focus_count'])} of "
            f"{count(row['focus_misses'])} {studied}, {count(row['other_count'])} of "
            f"{count(row['other_misses'])} {found.others}, within players {difference} per 100."
        )
    return said
