"""The draft for box scores and totals: makes and attempts in two columns or as a pair."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from ledger.intake import summary_rows
from ledger.intake.draft import evidence, facts, headers
from ledger.intake.draft.evidence import Column
from ledger.intake.draft.facts import Drafting
from ledger.intake.draft.plan import comment, literal
from ledger.intake.draft.roles import Roles, assign, pairs_by_value

_ALL_TEAMS = ("tot", "total", "totals", "all", "2tm", "3tm", "4tm")


def draft(d: Drafting) -> None:
    """Draft a profile of box rows or of totals."""
    facts.where_and_when(d)
    groups = doubled(d.roles.columns)
    if groups:
        _unfold(d, groups)
    else:
        facts.people(d)
        _counts(d)
    _drop(d)


def doubled(columns: tuple[Column, ...]) -> list[dict[str, Column]]:
    """Two sides side by side: the same player and count columns twice, by name or by side word."""
    groups: dict[str, list[Column]] = {}
    for column in columns:
        groups.setdefault(headers.plain(column.name), []).append(column)
    twice = {name: found for name, found in groups.items() if name and len(found) == 2}
    first: list[Column] = [found[0] for found in twice.values()]
    second: list[Column] = [found[1] for found in twice.values()]
    sides: dict[str, dict[str, Column]] = {"home": {}, "away": {}}
    for column in columns:
        part = headers.side(column.name)
        if part is not None:
            sides[part[0]][part[1]] = column
    shared = [rest for rest in sides["home"] if rest in sides["away"]]
    if not twice and shared:
        found_sides = []
        for which in ("home", "away"):
            by = {}
            for rest in shared:
                meant = headers.meaning(rest)
                if meant:
                    by[meant] = sides[which][rest]
            found_sides.append(by)
        return found_sides if _is_side(found_sides[0]) else []
    parts = [dict(assign(tuple(cols)).by) for cols in (first, second)]
    return parts if all(_is_side(p) for p in parts) else []


def _is_side(parts: dict[str, Column]) -> bool:
    has_player = "player" in parts or "family" in parts
    return has_player and ("ft_pair" in parts or {"ft_made", "ft_attempts"} <= parts.keys())


def _unfold(d: Drafting, groups: list[dict[str, Column]]) -> None:
    which = [headers.side(g["player"].name) if "player" in g else None for g in groups]
    home, away = d.roles.get("home"), d.roles.get("away")
    names = [{"home": home, "away": away}.get(w[0]) if w else None for w in which]
    facts.people(d, player=False, team=False)
    own = {
        part: f"side {part.replace('_', ' ')}"
        for part in ("player", "number", "team", "ft_made", "ft_attempts", "ft_pair")
        if all(part in g for g in groups)
    }
    for at, group in enumerate(groups):
        entry = d.plan.block("sides")
        entry.append(f"# side {at + 1} of each row")
        for part, new in own.items():
            entry.append(f"{literal(new)} = {literal(group[part].ref)}")
            d.plan.used[str(group[part].ref)] = group[part].ref
        named = names[at]
        if "team" not in own and named is not None:
            entry.append(f"side = {literal(named.ref)}")
        elif "team" not in own:
            entry.append('# side = {value = "TEAM"}')
    added: list[str] = []
    for part, field in (("player", "player"), ("number", "number"), ("team", "team")):
        if part in own and field in d.fields():
            d.plan.take(field, own[part], "one of each side")
            added.append(own[part])
    if "team" not in own:
        if all(n is not None for n in names):
            d.plan.take("team", "side", "the team of the side")
            added.append("side")
        else:
            d.plan.ask(
                "fields",
                "whose players are the first and whose the second of each row? write the team, or"
                " a column that names it, into both sides above; and who plays at home",
                [
                    'team = "side"',
                    'home = "TEAM"   # to [constants], or leave it out',
                    'away = "TEAM"   # to [constants], or leave it out',
                ],
                ["team", "home", "away"],
            )
    if "ft_pair" in own:
        _pair(d, own["ft_pair"], "pairs of makes and attempts")
        added.append(own["ft_pair"])
    else:
        for part, field in (("ft_made", "made"), ("ft_attempts", "attempts")):
            d.plan.take(field, own[part], "one of each side")
            added.append(own[part])
    for name in added:
        d.plan.used.pop(name, None)
    facts.writing(d, "player", groups[0]["player"])


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
        _pair(d, pair.ref, f"pairs such as {pair.example()}")
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


def _pair(d: Drafting, ref: str | int, reason: str) -> None:
    d.plan.put("pair", "column", ref, f"{reason}: makes first")
    d.plan.found("made", str(ref), reason)
    d.plan.found("attempts", str(ref), reason)


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
