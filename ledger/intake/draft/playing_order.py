"""In which order the rows of a game stand: shown by clock and trips, else asked."""

from __future__ import annotations

import re
from itertools import pairwise

from ledger.intake import clocks
from ledger.intake.draft import evidence, headers
from ledger.intake.draft.evidence import Column
from ledger.intake.draft.facts import Drafting
from ledger.intake.draft.plan import comment, literal

# Numbers under these headers count events; an id or a row number need not.
_ORDER_WORDS = ("order", "seq", "sequence", "sequence number", "event no", "event number", "nth")
_PERIOD_CLOCK = re.compile(r"^(\w{1,3})\s*[-/|,;]\s*(\d{1,2}:\d\d(?:[.,]\d)?)$")
_OF = re.compile(r"(?<!\d)(\d)\s*(?:of|out of|de|von|di|sur|od)\s*(\d)(?!\d)", re.IGNORECASE)


def say(d: Drafting) -> None:
    """Period, clock and order of the attempts."""
    period, clock = d.roles.get("period"), d.roles.get("clock")
    both = d.roles.get("period_clock")
    if both is not None:
        _period_clock(d, both.ref, both.example())
    if period is not None:
        d.plan.take("period", period.ref, f"its header and values such as {period.example()}")
    elapsed = d.roles.get("elapsed")
    if elapsed is not None and clock is None:
        _ask_up(d, elapsed.name, elapsed.ref)
    if clock is not None and counts_up(d) and period is not None:
        _ask_up(d, clock.name, clock.ref)
    elif clock is not None and "clock" in d.roles.by_value and not _runs_down(d):
        d.plan.ask(
            "fields",
            f"is {clock.name} the time left in the period?",
            [f"clock = {literal(clock.ref)}"],
            ["clock"],
        )
    elif clock is not None:
        d.plan.take("clock", clock.ref, f"its header and values such as {clock.example()}")
    order = d.roles.get("order")
    if order is not None and order.share(evidence.is_integer) == 1.0 and _orders(d, order):
        d.plan.take("order", order.ref, "its header and whole numbers")
        return
    _row_order(d)


def _ask_up(d: Drafting, name: str, ref: str | int) -> None:
    d.plan.ask(
        "clock",
        f"{name} seems to count up (or the newest row stands first): write how long a period is",
        [
            'counts = "up"',
            "period_minutes = 10",
            "overtime_minutes = 5",
            f"clock = {literal(ref)}   # to [fields]",
        ],
        ["clock"],
    )


def _runs_down(d: Drafting) -> bool:
    down, up = _by_clock(d)
    return down > 3 * up


def _period_clock(d: Drafting, ref: str | int, example: str) -> None:
    pattern = r"^(?P<period>[A-Za-z]{0,3}\d{0,2})\s*[-/|,;]\s*(?P<clock>\d{1,2}:\d\d(?:[.,]\d)?)$"
    d.plan.block("texts").extend(
        [
            f"# {comment(f'period and clock in one cell such as {example}')}",
            f"column = {literal(ref)}",
            f"pattern = {literal(pattern)}",
            'else = "reject"',
        ]
    )
    d.plan.used[str(ref)] = ref
    for part in ("period", "clock"):
        d.plan.found(part, str(ref), "period and clock in one cell")


def _orders(d: Drafting, column: Column) -> bool:
    """Whether a column of whole numbers gives the order of play: an id only where time agrees."""
    agree = differ = 0
    cells = d.laid.table.frame.head(20_000)[str(column.place)].str.strip_chars()
    numbers = [int(float(cell)) for cell in cells if evidence.is_integer(cell)]
    rising = all(a < b for a, b in pairwise(numbers))
    forward, back = _by_clock(d)
    if rising:
        agree, differ = forward, back
    elif all(a > b for a, b in pairwise(numbers)):
        agree, differ = back, forward
    if agree + differ:
        return agree >= 3 * differ
    return headers.plain(column.name) in _ORDER_WORDS


def _row_order(d: Drafting) -> None:
    down, up = _by_clock(d)
    both = d.roles.get("period_clock") is not None
    why = "the clock runs down"
    if not down and not up:
        down, up = _by_trips(d)
        why = "throws of a trip follow each other"
    if not down and not up:
        down, up = _by_period(d)
        why = "periods follow each other"
    if down and down >= 3 * up:
        d.plan.setting("order", "file", f"{why} from row to row")
        d.plan.found("order", "as in the file", why)
    elif up and up >= 3 * down:
        d.plan.setting("order", "reversed", "the newest row stands first: the clock runs up")
        d.plan.found("order", "reversed", "newest first")
    elif down + up and (both or {"clock", "period"} <= d.roles.by.keys()):
        d.plan.setting("order", "clock", "rows do not stand in order; period and clock order them")
        d.plan.found("order", "by clock", "period and clock")
    else:
        d.plan.ask(
            None,
            "do the rows of a game stand in the order of play?",
            ['order = "file"   # or reversed for newest first; leave it out where nobody knows'],
            ["order"],
        )


def _by_clock(d: Drafting) -> tuple[int, int]:
    """Steps from row to row, within a game, in which time goes on and in which it goes back."""
    down = up = 0
    for (game_a, period_a, clock_a), (game_b, period_b, clock_b) in pairwise(_times(d)):
        if game_a != game_b:
            continue
        at_a, at_b = (period_a, -clock_a), (period_b, -clock_b)
        down += at_a < at_b
        up += at_a > at_b
    return down, up


def _by_period(d: Drafting) -> tuple[int, int]:
    period = d.roles.get("period")
    if period is None:
        return 0, 0
    frame = d.laid.table.frame.head(20_000)
    cells = frame[str(period.place)].to_list()
    game = d.roles.get("game") or d.roles.get("date")
    games = frame[str(game.place)].to_list() if game is not None else [""] * frame.height
    read = clocks.period_reader(sorted({*cells, "4"}))
    seen = [(g, p) for g, cell in zip(games, cells, strict=True) if (p := read(cell)) is not None]
    steps = [(a[1], b[1]) for a, b in pairwise(seen) if a[0] == b[0]]
    return sum(a < b for a, b in steps), sum(a > b for a, b in steps)


def counts_up(d: Drafting) -> bool:
    """Whether within a period the clock grows from row to row while periods go forward."""
    forward = back = grows = falls = 0
    for (game_a, period_a, clock_a), (game_b, period_b, clock_b) in pairwise(_times(d)):
        if game_a == game_b:
            forward += period_a < period_b
            back += period_a > period_b
            grows += period_a == period_b and clock_a < clock_b
            falls += period_a == period_b and clock_a > clock_b
    return grows > falls and forward >= back and (forward > 0 or back == 0)


def _times(d: Drafting) -> list[tuple[str, int, float]]:
    """Game, period and clock of the first rows that have them, in the file's order."""
    clock, period = d.roles.get("clock"), d.roles.get("period")
    both = d.roles.get("period_clock")
    frame = d.laid.table.frame.head(20_000)
    if clock is not None:
        clock_cells = frame[str(clock.place)].to_list()
        period_cells = (
            frame[str(period.place)].to_list() if period is not None else ["1"] * frame.height
        )
    elif both is not None:
        found = [_PERIOD_CLOCK.match(cell.strip()) for cell in frame[str(both.place)]]
        clock_cells = [m[2] if m else "" for m in found]
        period_cells = [m[1] if m else "" for m in found]
    else:
        return []
    game = d.roles.get("game") or d.roles.get("date")
    games = frame[str(game.place)].to_list() if game is not None else [""] * frame.height
    read_clock = clocks.clock_reader(sorted(set(clock_cells)))
    read_period = clocks.period_reader(sorted({*period_cells, "4"}))
    return [
        (g, p, c)
        for g, p_text, c_text in zip(games, period_cells, clock_cells, strict=True)
        if (p := read_period(p_text)) is not None and (c := read_clock(c_text)) is not None
    ]


def _by_trips(d: Drafting) -> tuple[int, int]:
    shot, of = d.roles.get("trip_shot"), d.roles.get("trip_of")
    pair = d.roles.get("trip_pair")
    frame = d.laid.table.frame.head(20_000)
    throws: list[tuple[str, str] | None] = []
    if shot is not None and of is not None:
        throws = list(zip(frame[str(shot.place)], frame[str(of.place)], strict=True))
    else:
        texts = (
            [pair]
            if pair is not None
            else [c for c in d.roles.columns if c.share(lambda v: _OF.search(v) is not None) > 0]
        )
        if len(texts) == 1:
            found = [_OF.search(v or "") for v in frame[str(texts[0].place)]]
            throws = [(m[1], m[2]) if m else None for m in found]
    down = up = 0
    for a, b in pairwise(t for t in throws if t and t[0].isdecimal()):
        if a[1] == b[1] and abs(int(a[0]) - int(b[0])) == 1:
            down += int(a[0]) < int(b[0])
            up += int(a[0]) > int(b[0])
    return down, up
