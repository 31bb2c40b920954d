"""Who changed, and did it help: makes before and after, and the gain without the bad start."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt

from ledger.charts import caption, measure
from ledger.charts.dumbbells import FIGURES, dumbbells, gains
from ledger.charts.lines import Heading, Lines, Words, lined
from ledger.charts.sheet import Key, blank, sheet
from ledger.charts.theme import MARGIN, Size, Theme
from ledger.questions import wording
from ledger.questions.answer import Answer
from ledger.safe_text import safe

Row = dict[str, Any]

# The part of a picture's lines that players may take: two rates each, and the pooled ones below.
_PART = 0.62
_GAP, _AIR = 46, 12
_AFTER = {"to_focus": ("adopter", "circle"), "from_focus": ("not", "square")}
_AFTER_WORDS = {"to_focus": "after, took it up", "from_focus": "after, gave it up"}
_POSSIBLE = "possible"
# What stands before several players together, and the same in fewer words.
_POOLS = (
    ("without_noticed", "together, those the rumour named left out", "without those of the rumour"),
    ("pooled", "together", "together"),
)


@dataclass(frozen=True, slots=True)
class _Line:
    """One line: a change, or several players together.

    Attributes:
        row: what the answer says.
        name: whose.
        when: since which day, or how many.
        counts: makes of attempts before and after, in words.
        figure: the gain in words, or why there is none.
        remark: what the figure may be taken for.
        pooled: whether it is of several players.
        shown: whether a rise is shown.
        brief: the name in fewer words, where it has one.
    """

    row: Row
    name: str
    when: str
    counts: str
    figure: str
    remark: str
    pooled: bool = False
    shown: bool = False
    brief: str = ""


def build(answer: Answer, theme: Theme, size: Size) -> alt.LayerChart | alt.ConcatChart:
    """Changes in the answer's order; below them the players together, where there are enough."""
    every = answer.main.rows()
    if not every:
        return blank(answer, theme, size, "Nobody is seen to have changed: nothing to draw.")
    rows = _kept(every, int(size.rows * _PART))
    often = Counter(row.get("player") for row in rows)
    players = [_player(row, again=often[row.get("player")] > 1) for row in rows]
    together = _together(answer)
    page = sheet(
        answer,
        theme,
        size,
        keys=_keys(rows, together, theme),
        foot=48,
        caption=caption.told(
            answer,
            _which(len(rows), len(every)),
            "Lines: 95 % intervals. The gain has the bad start taken out; its dot is filled where "
            "a rise is shown.",
        ),
    )
    parted = [None, *together] if together else []
    lines = [*players, *parted]
    texts = {
        field: tuple(getattr(line, field) if line else "" for line in lines)
        for field in ("when", "counts", "figure", "remark")
    }
    names = tuple(line.name if line and not line.pooled else "" for line in lines)
    bold = frozenset(i for i, line in enumerate(lines) if line and (line.shown or line.pooled))
    laid = lined(
        page,
        [
            Words(names, most=0.26),
            Words(texts["when"], most=0.2, quiet=True, leaves=2),
            Words(texts["counts"], most=0.2, quiet=True, leaves=1),
        ],
        [
            Words(texts["figure"], most=0.24, strong=bold),
            Words(texts["remark"], most=0.16, quiet=True, leaves=3),
        ],
        plot=0.42,
    )
    return _panels(laid, lines)


def _which(drawn: int, there: int) -> str:
    changes = wording.counted(there, "change")
    if drawn == there:
        return f"{changes}."
    return (
        f"{drawn} of {changes}: every rise that is shown, whom the rumour named, "
        "then those with most attempts afterwards."
    )


def _kept(rows: Sequence[Row], most: int) -> list[Row]:
    """The rows that are drawn, in their own order."""
    from ledger.questions.switches import NOTICED

    def needed(place: int) -> tuple[bool, int, int]:
        row = rows[place]
        told = bool(row.get("claim")) or row.get("claim_why") == NOTICED
        return not told, -(row.get("attempts_after") or 0), place

    wanted = sorted(range(len(rows)), key=needed)
    return [rows[i] for i in sorted(wanted[:most])]


def _player(row: Row, *, again: bool) -> _Line:
    """A change; where a player has several, its day stands with his name and never leaves it."""
    from ledger.questions.switches import NOTICED

    shown = bool(row.get("claim"))
    remark = "rise shown" if shown else ""
    if row.get("finding") == _POSSIBLE:
        remark = "possible only"
    elif row.get("claim_why") == NOTICED:
        remark = "rumour named him"
    name, when = str(row.get("player") or "–"), str(row.get("date") or row.get("season") or "")
    return _Line(
        row=row,
        name=safe(f"{name}, {when}" if again and when else name),
        when="" if again else safe(when),
        counts=_counts(row),
        figure=_gain(row) or safe(str(row.get("gain_why") or "not judged")),
        remark=remark,
        shown=shown,
    )


def _gain(row: Row) -> str:
    gain, low, high = row.get("gain"), row.get("gain_low"), row.get("gain_high")
    if gain is None or low is None or high is None:
        return ""
    return wording.per_hundred(gain, low, high)


def _counts(row: Row) -> str:
    sides = [(row.get(f"made_{when}"), row.get(f"attempts_{when}")) for when in ("before", "after")]
    said = [f"{made}/{of}" for made, of in sides if made is not None and of is not None]
    return ", then ".join(said)


def _together(answer: Answer) -> list[_Line]:
    """The pooled lines; one only where the rumour named nobody of them."""
    found = []
    for name, words, fewer in _POOLS:
        part = answer.parts.get(name)
        row = next(iter(part.rows()), None) if part else None
        if row is None or row.get("gain") is None:
            continue
        found.append((row, words, fewer))
    if len(found) == 2 and found[0][0].get("players") == found[1][0].get("players"):
        found = found[1:]
    return [
        _Line(
            row=row,
            name=f"{wording.counted(row['players'], 'player')} {words}",
            when="",
            counts="",
            figure=_gain(row),
            remark="",
            pooled=True,
            brief=f"{wording.count(row['players'])} {fewer}",
        )
        for row, words, fewer in found
    ]


def _keys(rows: Sequence[Row], together: Sequence[_Line], theme: Theme) -> tuple[Key, ...]:
    keys = [Key("before", theme.muted, "circle", filled=False)]
    there = {str(r.get("direction")) for r in rows}
    for direction, (state, shape) in _AFTER.items():
        if direction in there:
            keys.append(Key(_AFTER_WORDS[direction], theme.states[state], shape))
    if any(r.get("finding") == _POSSIBLE for r in rows):
        keys.append(Key("a possible change only", theme.states["undecided"], "triangle-up"))
    if together:
        keys.append(Key("several players together", theme.ink, "diamond"))
    return tuple(keys)


def _drawn(lines: Sequence[_Line | None], theme: Theme) -> list[Row]:
    """What is drawn of each line: the answer's own figures, and how they look."""
    return [
        {name: line.row.get(name) for name in FIGURES}
        | {
            "row": place + 0.5,
            "row_before": place + 0.34,
            "row_after": place + 0.66,
            "name": line.name,
            "when": line.when,
            "counts": line.counts,
            "figure": line.figure,
            "wide": 3.4 if line.pooled else 2.2,
            **_look(line, theme),
        }
        for place, line in enumerate(lines)
        if line
    ]


def _look(line: _Line, theme: Theme) -> dict[str, str]:
    if line.pooled:
        return {"colour": theme.ink, "shape": "diamond", "fill": theme.ink}
    state, shape = _AFTER.get(str(line.row.get("direction")), _AFTER["to_focus"])
    if line.row.get("finding") == _POSSIBLE:
        state, shape = "undecided", "triangle-up"
    colour = theme.states[state]
    return {"colour": colour, "shape": shape, "fill": colour if line.shown else theme.paper}


def _fitting(line: _Line, room: float, letters: float) -> str:
    whole = measure.width(line.name, letters, bold=True) <= room
    return line.name if whole else line.brief


def _panels(laid: Lines, lines: Sequence[_Line | None]) -> alt.ConcatChart:
    page = laid.page
    drawn = _drawn(lines, page.theme)
    left = (page.width - _GAP) * 0.56
    right = page.width - _GAP - left
    players = [i for i, line in enumerate(lines) if line and not line.pooled]
    standing = [i for i, line in enumerate(lines) if line]
    # They end where the second panel begins.
    room = page.left - MARGIN + left + _GAP - _AIR
    headings = [
        Heading(i, _fitting(line, room, laid.letters), room)
        for i, line in enumerate(lines)
        if line and line.pooled
    ]
    first = [
        laid.guides(players, left),
        *dumbbells(laid, drawn, left),
        *laid.words(headings),
        *page.words(),
    ]
    second = [laid.guides(standing, right), *gains(laid, drawn, right)]
    panels = [
        alt.LayerChart(layer=layers).properties(width=width, height=laid.height)
        for layers, width in ((first, left), (second, right))
    ]
    return page.finish_panels(
        alt.ConcatChart(
            concat=panels, columns=2, bounds="flush", spacing={"column": _GAP, "row": 0}
        )
    )
