"""Two sides of one row: the same player and count columns twice, unfolded into two records."""

from __future__ import annotations

from ledger.intake.draft import facts, headers
from ledger.intake.draft.evidence import Column
from ledger.intake.draft.facts import Drafting
from ledger.intake.draft.plan import literal
from ledger.intake.draft.roles import assign

Side = dict[str, Column]
_PARTS = ("player", "family", "number", "team", "ft_made", "ft_attempts", "ft_pair")


def find(columns: tuple[Column, ...]) -> list[Side]:
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


def unfold(d: Drafting, groups: list[Side]) -> None:
    """Unfold the two sides, and ask whose they are where nothing names the teams."""
    named = _teams(d, groups)
    facts.people(d, player=False, team=False)
    own = {
        part: f"side {part.replace('_', ' ')}"
        for part in _PARTS
        if all(part in group for group in groups)
    }
    for at, group in enumerate(groups):
        entry = d.plan.block("sides")
        entry.append(f"# side {at + 1} of each row")
        for part, new in own.items():
            entry.append(f"{literal(new)} = {literal(group[part].ref)}")
            d.plan.used[str(group[part].ref)] = group[part].ref
        if "team" not in own:
            team, other = named[at], named[1 - at]
            if team is not None and other is not None:
                entry += [f"side = {literal(team.ref)}", f"against = {literal(other.ref)}"]
            else:
                entry += ['# side = {value = "TEAM"}', '# against = {value = "OTHER TEAM"}']
    _fields(d, own, groups[0])
    if "team" not in own:
        _whose(d, known=all(team is not None for team in named))


def _teams(d: Drafting, groups: list[Side]) -> list[Column | None]:
    """The column that names the team of each side, where the headers say home and away."""
    words = [headers.side(next(iter(group.values())).name) for group in groups]
    return [d.roles.get(word[0]) if word else None for word in words]


def _fields(d: Drafting, own: dict[str, str], first: Side) -> None:
    person = "player" if "player" in own else "family"
    wanted = {person: "player", "number": "number", "team": "team"}
    if "ft_pair" not in own:
        wanted |= {"ft_made": "made", "ft_attempts": "attempts"}
    for part, field in wanted.items():
        if part in own and field in d.fields():
            d.plan.take(field, own[part], "one of each side")
    if "ft_pair" in own:
        facts.take_pair(d, own["ft_pair"], "pairs of makes and attempts")
    for name in own.values():
        # A column that a side adds is none of the file's own.
        d.plan.used.pop(name, None)
    facts.writing(d, "player", first[person])


def _whose(d: Drafting, *, known: bool) -> None:
    if known:
        for field, added in (("team", "side"), ("opponent", "against")):
            d.plan.take(field, added, f"the {field} of the side")
            d.plan.used.pop(added, None)
        return
    d.plan.ask(
        "fields",
        "whose players are the first and whose the second of each row? write the teams, or"
        " columns that name them, into both sides above; and who plays at home",
        [
            'team = "side"',
            'opponent = "against"',
            'home = "TEAM"   # to [constants], or leave it out',
            'away = "TEAM"   # to [constants], or leave it out',
        ],
        ["team", "opponent", "home", "away"],
    )
