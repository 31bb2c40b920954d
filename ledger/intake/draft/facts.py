"""What every record needs beside its result: league, season, date, game, teams, player."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger import resources
from ledger.errors import RefusedInput
from ledger.intake import dates, seasons
from ledger.intake.draft import evidence, file_name
from ledger.intake.draft.evidence import Column
from ledger.intake.draft.layout import Laid
from ledger.intake.draft.plan import Plan, literal
from ledger.intake.draft.roles import Roles
from ledger.intake.words import STARTER, normal_word

_SEASON_TEXT = re.compile(r"(?<!\d)((?:19|20)\d\d ?[-/–] ?(?:\d{4}|\d\d))(?![\d/-])")
_NULLS_SAFE = ("null", "na", "n/a", "none", "nan", "\\n")


@dataclass(slots=True)
class Drafting:
    """One drafting: the file, its parts and the plan made from them.

    Attributes:
        file: the file's name.
        laid: how it is laid out.
        roles: which column plays which part.
        plan: what is drafted so far.
        schema: the kind's Table Schema.
    """

    file: str
    laid: Laid
    roles: Roles
    plan: Plan
    schema: Mapping[str, Any]

    def fields(self) -> set[str]:
        """Names of the fields this kind of record has."""
        return {str(f["name"]) for f in self.schema["fields"]}

    def values(self, column: Column, rows: Any = None) -> dict[str, int]:
        """The filled values of a column with their rows, in all rows or in some.

        Args:
            column: the column.
            rows: a Boolean series that picks rows.
        """
        if rows is None:
            return dict(column.counts)
        cells = self.laid.table.frame[str(column.place)].filter(rows).str.strip_chars()
        counted = cells.value_counts(sort=True).iter_rows()
        return {str(v): int(n) for v, n in counted if v}


def of(file: str, laid: Laid, roles: Roles, plan: Plan) -> Drafting:
    """A drafting of one kind of record."""
    return Drafting(file, laid, roles, plan, resources.schema(plan.kind))


def where_and_when(d: Drafting) -> None:
    """League, season, stage, date and game."""
    wanted = d.fields()
    named = file_name.look(d.file)
    groups: list[str] = []
    open_fields = [_league(d), _season(d, named, groups), _stage(d) if "stage" in wanted else ""]
    if "date" in wanted:
        _date(d, named, groups)
        _game(d, named, groups)
    if groups and named.pattern:
        found = {"season": named.season, "date": named.date, "game": named.game}
        pattern = named.pattern
        for group in re.findall(r"\?P<(\w+)>", pattern):
            if group not in groups:
                pattern = pattern.replace(f"?P<{group}>", "?:")
        what = ", ".join(f"{group} {found[group]}" for group in groups)
        d.plan.put("file_name", "pattern", pattern, f"the file's name holds {what}")
        for group in groups:
            d.plan.found(group, "the file's name", f"{found[group]} in the file's name")
    _ask_constants(d, [f for f in open_fields if f])


def _ask_constants(d: Drafting, missing: Sequence[str]) -> None:
    sure = [f for f in missing if f != "stage"]
    if not missing:
        return
    above = "; ".join(" ".join(line.replace(",", " ").split()) for line in d.laid.above[:2])
    hint = f" (above the table it reads: {above})" if above else ""
    if sure:
        verb = (
            "stand in no column: write them" if len(sure) > 1 else "stands in no column: write it"
        )
        text = f"{' and '.join(sure)} {verb}{hint}"
        text += "; and the stage, where it is not the regular season" if "stage" in missing else ""
    else:
        text = f"is it the regular season? else write the stage{hint}"
    lines = {
        "league": 'league = ""',
        "season": 'season = ""   # such as 2024-25',
        "stage": 'stage = "regular"   # or playoff, cup, friendly, practice',
    }
    d.plan.ask("constants", text, [lines[f] for f in missing], missing)


def _league(d: Drafting) -> str:
    column = d.roles.get("league")
    if column is None:
        return "league"
    d.plan.take("league", column.ref, f"its header and names such as {column.example()}")
    return ""


def _season(d: Drafting, named: file_name.Named, groups: list[str]) -> str:
    column = d.roles.get("season")
    if column is not None:
        d.plan.take("season", column.ref, f"seasons such as {column.example()}")
        return ""
    if named.season_as is not None:
        why = "from the file's name, which the ledger would not read: mend it for other seasons"
        d.plan.put("constants", "season", named.season_as, why)
        d.plan.found("season", "constant", why)
        return ""
    if named.season is not None:
        groups.append("season")
        return ""
    for line in d.laid.above:
        match = _SEASON_TEXT.search(line)
        if match is not None and seasons.season_of(match[1]) is not None:
            why = "stands above the table; mend it for the files of other seasons"
            d.plan.put("constants", "season", match[1], why)
            d.plan.found("season", "constant", why)
            return ""
    return "season"


def _stage(d: Drafting) -> str:
    column = d.roles.get("stage")
    if column is None:
        return "stage"
    d.plan.take("stage", column.ref, f"its header and words such as {column.example()}")
    coded(d, "stage", column)
    return ""


def _date(d: Drafting, named: file_name.Named, groups: list[str]) -> None:
    column = d.roles.get("date")
    if column is not None:
        date_column(d, column)
    elif named.date is not None:
        groups.append("date")
    elif named.doubtful is not None:
        d.plan.ask(
            "file_name",
            f"{named.doubtful} in the file's name may be day first or month first: say which by "
            "dates = at the top, and take this pattern",
            [f"pattern = {literal(named.pattern)}", 'dates = "dmy"   # to the top of the profile'],
            ["date"],
        )
    else:
        d.plan.ask(
            "constants",
            "no column and no file name gives the date of the game: write it, or look it up",
            ['date = ""   # such as 2024-03-28'],
            ["date"],
        )


def date_column(d: Drafting, column: Column) -> None:
    """A column of dates: its order where the file settles it, else a question."""
    cells = [v for v in column.counts if evidence.is_date(v)]
    reason = f"dates such as {column.example()}"
    try:
        dates.reader(cells, None, d.file)
    except RefusedInput:
        d.plan.ask(
            None,
            f"{column.example()} may be day first or month first, no date of the file settles it:"
            " say which",
            ['dates = "dmy"   # or mdy, ymd, or a format such as %d.%m.%y'],
            ["date"],
        )
        d.plan.put("fields", "date", column.ref, reason)
        d.plan.used[str(column.ref)] = column.ref
        return
    failed = {order: _unread(cells, order, d.file) for order in ("dmy", "mdy")}
    best = min(failed, key=lambda order: failed[order])
    if failed["dmy"] != failed["mdy"]:
        settled = next(c for c in cells if _settles(c, best, d.file))
        d.plan.setting("dates", best, f"{settled} settles the order")
    else:
        d.plan.setting("dates", "ymd", "the year stands first, or the month is a word")
    d.plan.take("date", column.ref, reason)


def _unread(cells: Sequence[str], order: str, name: str) -> int:
    try:
        read = dates.reader(cells, order, name)
    except RefusedInput:
        return len(cells)
    return sum(read(cell) is None for cell in cells)


def _settles(cell: str, order: str, name: str) -> bool:
    other = "mdy" if order == "dmy" else "dmy"
    try:
        wrong = dates.reader([cell], other, name)(cell)
    except RefusedInput:
        wrong = None
    return wrong is None


def _game(d: Drafting, named: file_name.Named, groups: list[str]) -> None:
    column = d.roles.get("game")
    home, away = d.roles.get("home"), d.roles.get("away")
    if column is not None:
        d.plan.take("game", column.ref, f"its header and labels such as {column.example()}")
    elif named.game is not None:
        groups.append("game")
    elif home is not None and away is not None:
        d.plan.put(
            "fields",
            "game",
            {"join": [home.ref, away.ref], "with": " - "},
            "no column numbers the games: home and away name a game of a day",
        )
        d.plan.found("game", f"{home.ref} - {away.ref}", "home and away name a game of a day")
    else:
        d.plan.ask(
            "constants",
            "what tells two games of one day apart? one label where the file is one game, or a"
            " column in [fields]",
            ['game = ""', *(f"game = {literal(c.ref)}" for c in _labels(d))],
            ["game"],
        )


def _labels(d: Drafting) -> list[Column]:
    """Columns that may label games: filled, with few values."""
    return [
        c
        for c in d.roles.free()
        if c.filled == c.rows and 2 * len(c.counts) <= c.rows and c.rows > 1
    ][:3]


def people(d: Drafting, *, player: bool = True, team: bool = True) -> None:
    """Teams and the player, with how the names are written."""
    wanted = d.fields()
    for part in ("home", "away", "opponent"):
        column = d.roles.get(part)
        if column is not None and part in wanted:
            d.plan.take(part, column.ref, f"its header and names such as {column.example()}")
    if team:
        _named_column(d, "team", "team")
    if player:
        _player(d)
    for part in ("player_id", "number"):
        column = d.roles.get(part)
        if column is not None and part in wanted and not d.plan.has(part):
            d.plan.take(part, column.ref, f"its header and values such as {column.example()}")


def _player(d: Drafting) -> None:
    family, given = d.roles.get("family"), d.roles.get("given")
    column = d.roles.get("player")
    if column is None and family is not None and given is not None:
        d.plan.put(
            "fields",
            "player",
            {"join": [given.ref, family.ref], "with": " "},
            "given and family name in two columns",
        )
        for part in (given, family):
            d.plan.used[str(part.ref)] = part.ref
        d.plan.found("player", f"{given.ref} {family.ref}", "two columns joined")
        return
    column = column or family
    if column is None:
        _named_column(d, "player", "player")
        return
    d.plan.take("player", column.ref, f"its header and names such as {column.example()}")
    writing(d, "player", column)


def _named_column(d: Drafting, field: str, part: str) -> None:
    column = d.roles.get(part)
    if column is not None:
        d.plan.take(field, column.ref, f"its header and names such as {column.example()}")
        return
    if field == "team" and "team" not in _required(d.schema):
        return
    if field == "player" and d.roles.get("player_id") is not None:
        _look_up(d)
        return
    candidates = [c for c in d.roles.free() if c.share(evidence.is_name) >= 0.6][:4]
    lines = [f"{field} = {literal(c.ref)}   # such as {c.example()[:30]}" for c in candidates]
    d.plan.ask(
        "fields",
        f"no header says which column is the {field}",
        lines or [f'{field} = "COLUMN"'],
        [field],
    )


def _look_up(d: Drafting) -> None:
    ref = d.roles.by["player_id"].ref
    d.plan.ask(
        "lookups",
        "players stand as ids only: name the file beside this one in which their names stand",
        [
            "[[lookups]]",
            'file = "players.csv"',
            f"column = {literal(ref)}",
            'key = "id"',
            'take = {who = "name"}',
            'player = "who"   # to [fields]',
        ],
        ["player"],
    )


def _required(schema: Mapping[str, Any]) -> set[str]:
    return {f["name"] for f in schema["fields"] if f.get("constraints", {}).get("required")}


def writing(d: Drafting, field: str, column: Column) -> None:
    """How the names of a column are written: order, a shirt number beside them."""
    front = column.share(evidence.number_in_front)
    behind = column.share(evidence.number_behind)
    said: dict[str, str] = {}
    if front >= 0.6:
        said["number"] = "front"
    elif behind >= 0.6:
        said["number"] = "back"
    if column.share(evidence.family_first) >= 0.6:
        said["order"] = "family, given"
    if not said:
        return
    d.plan.put("names", field, said, f"names such as {column.example()}")
    if "number" in said and "number" in d.fields() and d.roles.get("number") is None:
        d.plan.found("number", str(column.ref), "the number beside the name")


def take_pair(d: Drafting, ref: str | int, reason: str) -> None:
    """Makes and attempts from one cell."""
    d.plan.put("pair", "column", ref, f"{reason}: makes first")
    d.plan.found("made", str(ref), reason)
    d.plan.found("attempts", str(ref), reason)


def coded(d: Drafting, field: str, column: Column, rows: Any = None) -> None:
    """The words of a coded field with their counts; unknown ones are asked."""
    known = {normal_word(w): v for v, ws in STARTER[field].items() for w in (v, *ws)}
    unknown = []
    for word, count in d.values(column, rows).items():
        if evidence.is_null(word):
            continue
        meant = known.get(normal_word(word))
        d.plan.say(f"words.{field}", f"{word}: {count:,} rows" + (f", {meant}" if meant else ""))
        if meant is None:
            unknown.append(word)
    if unknown:
        d.plan.ask(
            f"words.{field}",
            f"what do these words of {field} mean? {', '.join(STARTER[field])}",
            [f'{literal(w)} = "VALUE"' for w in unknown[:12]],
            [field],
        )


def nulls(d: Drafting) -> tuple[str, ...]:
    """Words for nothing that stand in the columns in use."""
    words = {
        value
        for column in d.roles.columns
        if str(column.ref) in d.plan.used
        for value in column.counts
        if value.casefold() in _NULLS_SAFE
    }
    return tuple(sorted(words))


def shown(column: Column) -> str:
    """A column in words for a comment: its name, or its number where it has none."""
    return f"column {column.ref}" if isinstance(column.ref, int) else f"the column {column.ref}"
