"""The draft for box scores and totals: makes and attempts in two columns or as a pair."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from ledger.intake import summary_rows
from ledger.intake.draft import evidence, facts, headers, side_by_side
from ledger.intake.draft.evidence import Column
from ledger.intake.draft.facts import Drafting
from ledger.intake.draft.plan import comment, literal
from ledger.intake.draft.roles import Roles, pairs_by_value

_ALL_TEAMS = ("tot", "total", "totals", "all", "2tm", "3tm", "4tm")


def draft(d: Drafting) -> None:
    """Draft a profile of box rows or of totals."""
    facts.where_and_when(d)
    groups = side_by_side.find(d.roles.columns)
    if groups:
        side_by_side.unfold(d, groups)
    else:
        facts.people(d)
        _counts(d)
    _drop(d)


def _counts(d: Drafting) -> None:
    pair = d.roles.get("ft_pair")
    made = d.roles.get("ft_made") or d.roles.get("made")
    tried = d.roles.get("ft_attempts") or d.roles.get("attempts")
    if made is not None and tried is not None:
        fit, rows = _fits(d, made, tried)
        if rows and fit < 0.8 * rows:
            d.plan.ask(
                "fields",
                f"{made.name} is above {tried.name} in {rows - fit:,} of {rows:,} rows: which of"
                " the two counts the makes?",
                [f"made = {literal(made.ref)}", f"attempts = {literal(tried.ref)}"],
                ["made", "attempts"],
            )
            return
        why = f"its header; never above {tried.name}" if fit == rows else "its header"
        d.plan.take("made", made.ref, why)
        d.plan.take("attempts", tried.ref, f"its header; {fit:,} of {rows:,} rows fit {made.name}")
        _generic(d, made)
        return
    if pair is not None:
        facts.take_pair(d, pair.ref, f"pairs such as {pair.example()}")
        d.plan.used[str(pair.ref)] = pair.ref
        return
    unnamed = pairs_by_value(d.roles)
    if unnamed:
        d.plan.ask(
            "pair",
            f"are pairs such as {unnamed[0].example()} makes and attempts of free throws? then take"
            " the column; of what else there is, choose the one that is",
            [f"column = {literal(c.ref)}" for c in unnamed],
            ["made", "attempts"],
        )
        return
    likely = likely_counts(d.roles, d.laid.table.frame)
    named = [(made or likely[0][0], tried or likely[0][1])] if likely else [(made, tried)]
    lines = [
        f"{field} = {literal(c.ref)}   # {c.name}, such as {c.example()}"
        for field, c in zip(("made", "attempts"), named[0], strict=True)
        if c is not None
    ]
    d.plan.ask(
        "fields",
        "makes and attempts of free throws are not both named by a header: say which columns",
        lines or ['made = "COLUMN"', 'attempts = "COLUMN"'],
        ["made", "attempts"],
    )


def likely_counts(roles: Roles, frame: Any) -> list[tuple[Column, Column]]:
    """Neighbours of whole numbers of which the first is never above the second, by values only."""
    free = ("", "trip_of", "trip_shot", "made", "attempts", "ft_made", "ft_attempts")
    whole = [
        c
        for c in roles.columns
        if roles.part_of(c) in free
        and c.filled > 2
        and c.share(evidence.is_integer) == 1.0
        and not headers.is_percent(c.name)
    ]
    found = []
    for a, b in pairwise(whole):
        if b.place != a.place + 1:
            continue
        pairs = [
            (int(float(x)), int(float(y)))
            for x, y in frame.select(str(a.place), str(b.place)).iter_rows()
            if evidence.is_integer(x.strip()) and evidence.is_integer(y.strip())
        ]
        below = all(x <= y for x, y in pairs) and any(x < y for x, y in pairs)
        if below and max(y for _, y in pairs) > 1:
            found.append((a, b))
    return found


def _generic(d: Drafting, made: Column) -> None:
    """Counts whose header does not say of what."""
    if headers.meaning(made.name) in ("ft_made", "ft") or d.roles.get("shot") is not None:
        return
    own = {headers.plain(c.name) for c in d.roles.columns}
    if {"made", "attempts"} <= own:
        return
    d.plan.ask(
        "constants",
        f"no header says that {made.name} counts free throws: does it?",
        ['shot = "free_throw"'],
        ["shot"],
    )


def _fits(d: Drafting, made: Column, tried: Column) -> tuple[int, int]:
    """Rows in which makes are not above attempts, and rows with both."""
    import polars as pl

    pairs = d.laid.table.frame.select(
        a=pl.col(str(made.place)).str.strip_chars().cast(pl.Float64, strict=False),
        b=pl.col(str(tried.place)).str.strip_chars().cast(pl.Float64, strict=False),
    ).drop_nulls()
    return int((pairs["a"] <= pairs["b"]).sum()), pairs.height


def _drop(d: Drafting) -> None:
    """Rows of totals, repeated headers, and the sum of a player who changed teams."""
    seen: set[int] = set()
    # A row of totals says so in one of the names, or in the first column of the table.
    named = [d.roles.get("player"), d.roles.get("family"), d.roles.get("team")]
    for column in [*named, *d.roles.columns[:2]]:
        if column is None or column.place in seen:
            continue
        seen.add(column.place)
        words = [v for v in column.counts if _sums(v) or v == column.name]
        if not words:
            continue
        rows = sum(column.counts[w] for w in words)
        d.plan.block("rows.drop").extend(
            [
                f"# {comment(f'{rows:,} rows of totals or of a repeated header')}",
                f"column = {literal(column.ref)}",
                f"is = {literal(words)}",
            ]
        )
        d.plan.used[str(column.ref)] = column.ref


def _sums(value: str) -> bool:
    words = headers.plain(value).split()
    if not words or not evidence.is_name(value):
        return False
    if value.casefold() in _ALL_TEAMS or summary_rows.is_total_word(value):
        return True
    return len(words) <= 3 and words[-1] in ("total", "totals", "average", "averages", "summe")
