"""The draft for a file with one attempt a row, or with events among which attempts stand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ledger.errors import RefusedInput
from ledger.intake.draft import (
    event_text,
    evidence,
    facts,
    headers,
    lexicon,
    made_words,
    playing_order,
)
from ledger.intake.draft.evidence import Column
from ledger.intake.draft.facts import Drafting
from ledger.intake.draft.plan import comment, literal
from ledger.intake.draft.roles import says_free_throw, text_columns

_SIDE_TEXT = "happened"
_CODED = ("trip_kind", "ended_by", "rebound_by", "hand")
_WORTH = (("1", "free_throw"), ("2", "two"), ("3", "three"))
_PLAIN = ("attempt_id", "spot", "note", "video_s", "x_m", "y_m")
_TAGGED = (
    *("technique", "first_contact", "contact_height", "contact_side", "down_at_board", "backspin"),
    *("release_angle_deg", "miss_depth", "miss_side", "rebound_zone", "rebound_x_m"),
    *("rebound_y_m", "confidence", "adjudicated", "tagger", "picked_for"),
)


def draft(d: Drafting) -> None:
    """Draft a profile of attempts.

    Raises:
        RefusedInput: if the file tells events and none of them is a free throw.
    """
    texts = text_columns(d.roles)
    sides = _sides(d, texts)
    facts.where_and_when(d)
    told = {c.place for c in texts}
    rows: Any = None
    taken_out: frozenset[str] = frozenset()
    if sides is not None:
        taken_out = _two_sides(d, sides)
        rows = _any_free_throw(d, [c for c in texts if c.place in told])
    elif texts:
        taken_out, rows = _one_text(d, texts)
    else:
        _no_events(d)
    facts.people(
        d, player="player" not in taken_out, team="team" not in taken_out and sides is None
    )
    if not texts:
        _made_column(d, None)
    _rest(d, rows, taken_out)
    playing_order.say(d)


def _sides(d: Drafting, texts: Sequence[Column]) -> tuple[Column, Column] | None:
    """The two text columns of home and away, where a row holds both."""
    by_side: dict[str, Column] = {}
    for column in texts:
        part = headers.side(column.name)
        meant = headers.meaning(column.name)
        which = part[0] if part else {"home_text": "home", "away_text": "away"}.get(meant or "")
        if which in ("home", "away") and which not in by_side:
            by_side[which] = column
    for which, meaning in (("home", "home_text"), ("away", "away_text")):
        column_of = d.roles.get(meaning)
        if which not in by_side and column_of is not None and by_side:
            by_side[which] = column_of
    return (by_side["home"], by_side["away"]) if len(by_side) == 2 else None


def _any_free_throw(d: Drafting, columns: Sequence[Column]) -> Any:
    import polars as pl

    frame = d.laid.table.frame
    hit = pl.Series([False] * frame.height, dtype=pl.Boolean)
    for column in columns:
        words = [v for v in column.counts if says_free_throw(v)]
        hit = hit | frame[str(column.place)].str.strip_chars().is_in(words)
    return hit


def _two_sides(d: Drafting, sides: tuple[Column, Column]) -> frozenset[str]:
    names = [d.roles.get(part) for part in ("home", "away")]
    teams = all(n is not None for n in names)
    for at, column in enumerate(sides):
        entry = d.plan.block("sides")
        which = ("home", "away")[at]
        entry.append(f"# {comment(f'the text of the {which} side is in {facts.shown(column)}')}")
        entry.append(f"{_SIDE_TEXT} = {literal(column.ref)}")
        d.plan.used[str(column.ref)] = column.ref
        own, other = names[at], names[1 - at]
        if own is not None and other is not None:
            entry.append(f"side = {literal(own.ref)}")
            entry.append(f"against = {literal(other.ref)}")
    if teams:
        d.plan.take("team", "side", "the team whose text it is")
        d.plan.take("opponent", "against", "the other team")
        for added in ("side", "against"):
            d.plan.used.pop(added, None)
    else:
        d.plan.ask(
            "sides",
            'no column names the two teams: write side = {value = "TEAM"} into both sides above',
            ['side = {value = "TEAM"}'],
            (),
        )
        d.plan.ask("fields", "then take the team from there", ['team = "side"'], ["team"])
    merged: dict[str, int] = {}
    for column in sides:
        for text, n in column.counts.items():
            merged[text] = merged.get(text, 0) + n
    groups = _patterns(d, _SIDE_TEXT, merged, want_made=d.roles.get("made") is None)
    return groups | {"team"}


def _one_text(d: Drafting, texts: Sequence[Column]) -> tuple[frozenset[str], Any]:
    """Events in one column, as codes or as texts."""
    made = d.roles.get("made")
    if made is not None and made.place in {c.place for c in texts}:
        made = None
    spoken = [c for c in texts if any(_speaks(v) for v in c.counts)]
    column = max(spoken or texts, key=lambda c: sum(map(says_free_throw, c.counts)))
    hits = [v for v in column.counts if says_free_throw(v)]
    rows = _any_free_throw(d, [column])
    d.plan.used[str(column.ref)] = column.ref
    if any(_speaks(v) or _has_figures(v) for v in hits) and any(
        lexicon.FREE_THROW.search(v) for v in hits
    ):
        groups = _patterns(d, column.ref, column.counts, want_made=made is None)
        if "made" not in groups:
            _made_column(d, rows)
        return groups, rows
    keep = d.plan.block("rows.keep")
    listed = ", ".join(f"{v} ({n:,} rows)" for v, n in list(column.counts.items())[:12])
    keep += [
        f"# {comment('words of this column: ' + listed)}",
        f"column = {literal(column.ref)}",
        f"is = {literal(_one_spelling(hits))}",
    ]
    if len(_one_spelling(hits)) > 1 and made is None:
        d.plan.take("made", column.ref, "the word for the event says the result")
        made_words.say(d, {v: column.counts[v] for v in hits})
    else:
        _made_column(d, rows)
    return frozenset(), rows


def _one_spelling(words: Sequence[str]) -> list[str]:
    """Each word once, capitals aside."""
    return list({w.casefold(): w for w in reversed(words)}.values())[::-1]


def _speaks(value: str) -> bool:
    """Whether a text about a free throw says more than that it is one."""
    if not lexicon.FREE_THROW.search(value):
        return False
    rest = lexicon.FREE_THROW.sub("", value, count=1)
    return lexicon.RESULT.search(rest) is not None or len(rest.split()) > 2


def _has_figures(value: str) -> bool:
    return says_free_throw(value) and any(c.isdecimal() for c in value)


def _patterns(
    d: Drafting, column: str | int, texts: Mapping[str, int], *, want_made: bool
) -> frozenset[str]:
    """Entries of `texts` for one column; the fields they fill."""
    player = d.roles.get("player") or d.roles.get("family")
    teams = {v for part in ("team", "home", "away") if (c := d.roles.get(part)) for v in c.counts}
    found = event_text.draft(texts, want_player=player is None, teams=teams, want_made=want_made)
    must = column != _SIDE_TEXT
    if must:
        _keep_phrases(d, column, found.phrases)
    for at, (pattern, rows, example) in enumerate(found.patterns):
        entry = d.plan.block("texts")
        entry += [
            f"# {comment(f'{rows:,} rows such as: {example}')}",
            f"column = {literal(column)}",
            f"pattern = {literal(pattern)}",
        ]
        if must:
            entry.append('else = "reject"')
        if found.with_trips and found.with_trips[at] != pattern:
            entry.append(f"# pattern = {literal(found.with_trips[at])}")
    if found.left[0]:
        d.plan.say("texts", f"{found.left[0]:,} more rows match none, such as: {found.left[1]}")
    if found.doubtful_trips:
        d.plan.ask(
            "texts",
            f"is {found.doubtful_trips} the place in the trip, or the player's count in the game?"
            " for the trip take the second pattern of each entry",
            [],
            ["trip_shot", "trip_of"],
        )
    for group in sorted(found.groups):
        d.plan.found(group, str(column), "a group of the text's pattern")
    if want_made:
        _result_words(d, found)
    return found.groups


def _keep_phrases(d: Drafting, column: str | int, phrases: Sequence[str]) -> None:
    """Rows about free throws stay in: one whose text no pattern fits is refused."""
    choice = "|".join(event_text.literal(p) for p in phrases)
    letters = all(p.isascii() for p in phrases)
    pattern = rf"(?i)\b(?:{choice})\b" if letters else f"(?i)(?:{choice})"
    d.plan.block("rows.keep").extend(
        [
            "# rows about free throws; one that no pattern below fits is rejected, never lost",
            f"column = {literal(column)}",
            f"matches = {literal(pattern)}",
        ]
    )


def _result_words(d: Drafting, found: event_text.Drafted) -> None:
    made_words.say(d, found.results, unsaid=found.unsaid)
    if not found.unsaid:
        return
    values = {lexicon.result(word) for word in found.results}
    with_points, missed_with_points = found.points
    sure = values == {"no"} and with_points == found.unsaid and not missed_with_points
    if sure:
        why = f"{found.unsaid:,} rows have no such word and count points: made"
        d.plan.put("blanks", "made", "yes", why)
        d.plan.found("made", "absence of a word", why)
        return
    meant = "made" if values == {"no"} else "missed" if values == {"yes"} else "made or missed"
    one = "1 text about a free throw holds no word of result: is it"
    many = f"{found.unsaid:,} texts about a free throw hold no word of result: are these"
    d.plan.ask(
        "blanks",
        f"{one if found.unsaid == 1 else many} {meant}?",
        [f'made = "{"no" if values == {"yes"} else "yes"}"'],
        ["made"],
    )


def _made_column(d: Drafting, rows: Any) -> None:
    column = d.roles.get("made")
    if column is None:
        candidates = [c for c in d.roles.free() if len(d.values(c, rows)) <= 4][:4]
        lines = [
            f"made = {literal(c.ref)}   # {comment(', '.join(list(d.values(c, rows))[:4]))}"
            for c in candidates
        ]
        d.plan.ask(
            "fields",
            "no header says which column holds the result",
            lines or ['made = "COLUMN"'],
            ["made"],
        )
        return
    values = d.values(column, rows)
    first = next(iter(values), "")
    d.plan.take("made", column.ref, f"its header and words such as {first}")
    made_words.say(d, values)


def _no_events(d: Drafting) -> None:
    """Without a word for a free throw: a table of attempts, or a file that has none."""
    if d.roles.get("shot") is not None:
        return
    for part in ("event", "subtype", "text"):
        column = d.roles.get(part)
        if column is None or len(column.counts) < 2:
            continue
        if d.roles.get("made") is None and evidence.Column.share(column, evidence.is_name) > 0.8:
            listed = ", ".join(list(column.counts)[:8])
            raise RefusedInput(
                f"{d.file}: no free throw among the words of {facts.shown(column)} ({listed}); if"
                " there are some, write a profile with rows.keep"
            )
        listed = ", ".join(f"{v} ({n:,} rows)" for v, n in list(column.counts.items())[:12])
        d.plan.ask(
            "rows.keep",
            f"which rows are free throws? {facts.shown(column)} holds {listed}",
            ["[[rows.keep]]", f"column = {literal(column.ref)}", 'is = ["WORD"]'],
            ["shot"],
        )
        return


def _rest(d: Drafting, rows: Any, taken: frozenset[str]) -> None:
    """Trip, clock, and whatever else the file holds of an attempt."""
    pair = d.roles.get("trip_pair")
    if pair is not None and "trip_shot" not in taken and not d.plan.has("trip_shot"):
        _trip_pair(d, pair)
    for part in ("trip_shot", "trip_of"):
        column = d.roles.get(part)
        if column is not None and part not in taken and not d.plan.has(part):
            d.plan.take(part, column.ref, f"its header and values such as {column.example()}")
    for part in _CODED:
        column = d.roles.get(part)
        if column is not None and part in d.fields() and part not in taken:
            d.plan.take(part, column.ref, f"its header and words such as {column.example()}")
            facts.coded(d, part, column, rows)
    if not text_columns(d.roles):
        _shot(d)
    _coordinates(d)
    for part in (*_PLAIN, *_TAGGED):
        column = d.roles.get(part)
        if column is not None and part in d.fields() and part not in taken:
            _plain(d, part, column)


def _coordinates(d: Drafting) -> None:
    x, y = d.roles.get("x"), d.roles.get("y")
    if x is None or y is None or d.plan.has("x_m"):
        return
    d.plan.ask(
        "fields",
        f"are {x.name} and {y.name} metres from the centre of the ring, {x.name} to the shooter's"
        " right? else leave them out",
        [f"x_m = {literal(x.ref)}", f"y_m = {literal(y.ref)}"],
        ["x_m", "y_m"],
    )


def _plain(d: Drafting, part: str, column: Column) -> None:
    if part == "attempt_id" and not _is_id(d, column):
        return
    d.plan.take(part, column.ref, f"its header and values such as {column.example()}")


def _is_id(d: Drafting, column: Column) -> bool:
    """An id is one in the whole file; small numbers in a file of one game may start anew."""
    if max(column.counts.values()) > 1 or column.filled < column.rows:
        return False
    games = d.roles.get("game")
    return (
        not column.share(evidence.is_integer)
        or (games is not None and len(games.counts) > 1)
        or (min(map(len, column.counts)) > 6 or headers.meaning(column.name) == "attempt_id")
    )


def _trip_pair(d: Drafting, column: Column) -> None:
    joint = "/" if column.share(lambda v: "/" in v) else ""
    pattern = r"^(?P<trip_shot>\d)\s*\D{1,8}\s*(?P<trip_of>\d)$"
    lines = [f"column = {literal(column.ref)}", f"pattern = {literal(pattern)}", 'else = "reject"']
    if joint:
        d.plan.ask(
            "texts",
            f"is {column.example()} in {facts.shown(column)} the place in the trip, or the player's"
            " count in the game?",
            ["[[texts]]", *lines],
            ["trip_shot", "trip_of"],
        )
        return
    d.plan.block("texts").extend(
        [f"# {comment(f'places in a trip such as {column.example()}')}", *lines]
    )
    d.plan.used[str(column.ref)] = column.ref
    for part in ("trip_shot", "trip_of"):
        d.plan.found(part, str(column.ref), "the place in the trip")


def _shot(d: Drafting) -> None:
    column = d.roles.get("shot")
    if column is None:
        return
    d.plan.take("shot", column.ref, f"its header and words such as {column.example()}")
    if _may_count_throws(d, column):
        d.plan.ask(
            "words.shot",
            f"are the numbers of {facts.shown(column)} what a shot is worth? If they count the"
            " throws of a trip, the column is trip_shot and not shot",
            [f"{literal(text)} = {literal(value)}" for text, value in _WORTH],
            ["shot"],
        )
    elif column.share(lambda v: v in ("1", "2", "3")) >= 0.8:
        for text, value in _WORTH:
            d.plan.put("words.shot", text, value, f"worth {text}")
    else:
        facts.coded(d, "shot", column)


def _may_count_throws(d: Drafting, column: Column) -> bool:
    """Whether bare numbers come as the throws of trips do: never more seconds than firsts."""
    rows = [sum(n for v, n in column.counts.items() if v == text) for text, _ in _WORTH]
    falling = rows[0] >= rows[1] >= rows[2] and rows[0] > 0
    return falling and sum(rows) == column.filled and d.roles.get("trip_shot") is None
