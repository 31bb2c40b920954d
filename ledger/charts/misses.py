"""Where misses go: short or long by left or right, and where the rebounds come down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt

from ledger.charts import caption, measure
from ledger.charts.court_marks import HIGH_M, WIDE_M, Court, zones_of
from ledger.charts.miss_marks import FEW, SIDE_ROW, Block, Drawing
from ledger.charts.sheet import Sheet, blank, sheet
from ledger.charts.theme import Size, Theme
from ledger.questions import wording
from ledger.questions.answer import Answer
from ledger.safe_text import safe

Row = dict[str, Any]

# Techniques with their courts, one above the other; grids of players side by side.
_ROWS = {"wide": 2, "square": 2, "tall": 4}
_PLAYERS = {"wide": (4, 2), "square": (2, 3), "tall": (2, 5)}
_HEADING, _TWO_LINES, _GAP = 24.0, 42.0, 18.0
_HIGHEST = 230.0
_STRAIGHT = "straight"


@dataclass(frozen=True, slots=True)
class _Group:
    """The misses of one technique, or of one player with it."""

    name: str
    technique: str
    player: str
    cells: tuple[Row, ...]
    zones: tuple[Row, ...]

    @property
    def seen(self) -> int:
        """Misses with a depth and a side."""
        return int(self.cells[0].get("seen") or 0)


def build(answer: Answer, theme: Theme, size: Size) -> alt.LayerChart:
    """A grid for each technique with its half court; by player the grids alone."""
    groups = _groups(answer)
    if not groups:
        return blank(answer, theme, size, "Nobody saw how a miss went: nothing to draw.")
    by_player = answer.asked.get("by") == "player"
    across, down = _PLAYERS[size.name] if by_player else (1, _ROWS[size.name])
    if size.bare and by_player:
        down = 1 if size.name == "wide" else 2
    shown = _kept(groups, across * down, _focus(answer))
    page = sheet(
        answer,
        theme,
        size,
        foot=0,
        caption=caption.told(
            answer,
            _which(len(shown), len(groups), by_player),
            _whose(answer, shown),
            "In each cell the share, its 95 % limits and, where they fit, the misses; as the "
            "shooter faces the ring, long is too much power. The stronger the colour, the greater "
            "the share.",
            "Court to scale." if any(g.zones for g in shown) else "",
        ),
    )
    return _draw(page, shown, across, _focus(answer))


def _groups(answer: Answer) -> list[_Group]:
    """Groups in the order of the answer's rows; nine cells each."""
    part = answer.parts.get("rebound_zones")
    zones = zones_of(part.rows()) if part else []
    by_player = answer.asked.get("by") == "player"
    found: dict[tuple[Any, ...], list[Row]] = {}
    for row in answer.main.rows():
        key = (row["technique"], *(row.get(k) for k in ("player", "team", "league")))
        if row.get("seen"):
            found.setdefault(key if by_player else key[:1], []).append(row)
    groups = []
    for key, cells in found.items():
        technique = str(key[0])
        words = wording.capital(wording.technique_words([safe(technique)]))
        own = () if by_player else tuple(dict(z) for z in zones if z["technique"] == technique)
        name = safe(str(key[1] or "–")) if by_player else words
        player = repr(key[1:]) if by_player else ""
        groups.append(_Group(name, technique, player, tuple(cells), own))
    return groups


def _focus(answer: Answer) -> str:
    asked = answer.asked.get("focus") or []
    names = [asked] if isinstance(asked, str) else [str(name) for name in asked]
    return wording.technique_words(names)


def _studied(group: _Group, focus: str) -> bool:
    return wording.technique_words([group.technique]) in focus


def _which(drawn: int, there: int, by_player: bool) -> str:
    if drawn == there:
        return ""
    if by_player:
        return f"{drawn} of {there} grids: of the players with most misses of the studied kind."
    return f"{drawn} of {wording.counted(there, 'technique')}: those with most misses seen."


def _whose(answer: Answer, groups: Sequence[_Group]) -> str:
    """That what stands side by side is of different players, unless the cohort names but one."""
    asked = answer.asked.get("player") or ()
    one = isinstance(asked, str) or len(asked) == 1
    if one or len({g.technique for g in groups}) < 2:
        return ""
    if answer.asked.get("by") == "player":
        return "Compare a player with himself only."
    return (
        "Each technique has other players: compare no shares, only a difference, which is within "
        "the same players."
    )


def _kept(groups: Sequence[_Group], most: int, focus: str) -> list[_Group]:
    """The studied technique and straight first, then those with most misses, in their order.

    By player whole players, those with most misses of the studied technique.
    """
    studied: dict[str, int] = {}
    for group in groups:
        seen = group.seen if _studied(group, focus) else 0
        studied[group.player] = studied.get(group.player, 0) + seen

    def needed(place: int) -> tuple[int, str, bool, int, int]:
        group = groups[place]
        usual = _studied(group, focus) or group.technique == _STRAIGHT
        return -studied[group.player], group.player, not usual, -group.seen, place

    return [groups[i] for i in sorted(sorted(range(len(groups)), key=needed)[:most])]


def _draw(page: Sheet, groups: Sequence[_Group], across: int, focus: str) -> alt.LayerChart:
    down = -(-len(groups) // across)
    width = (page.width - _GAP * (across - 1)) / across
    height = min(_HIGHEST, (page.height - _GAP * (down - 1)) / down)
    page = page.no_higher_than(down * height + (down - 1) * _GAP)
    courts = any(g.zones for g in groups)
    drawing = Drawing(page, _top(groups, "cells"), _top(groups, "zones"))
    for place, group in enumerate(groups):
        x = place % across * (width + _GAP)
        y = place // across * (height + _GAP)
        grid = width if not courts else width - _GAP * 2 - _court_width(width, height)
        studied = _studied(group, focus)
        head = _TWO_LINES if group.player else _HEADING
        said = _counted(group)
        if group.player:
            drawing.name(x, y + 9, measure.cut(group.name, width, 14, bold=True))
            drawing.silence(x, y + 27, measure.cut(said, width, 12))
        else:
            room = width - measure.width(said, 12) - 14
            drawing.heading(x, y + 9, measure.cut(group.name, room, 14, bold=True), said)
        drawing.grid(Block(x, y + head, grid, height - head), group.cells, studied)
        if group.zones:
            left = x + grid + 2 * _GAP
            top = y + _HEADING + SIDE_ROW
            shape = Court.within(left, top, x + width - left, y + height - top)
            drawing.court(shape, group.zones, studied, str(place))
        elif courts:
            drawing.silence(x + grid + 2 * _GAP, y + _HEADING + 7, "no rebound noted")
    return page.finish(
        alt.LayerChart(layer=[*drawing.layers(), *page.words()]),
        width=page.width,
        height=down * height + (down - 1) * _GAP,
    )


def _court_width(width: float, height: float) -> float:
    return min(0.5 * width, (height - _HEADING - SIDE_ROW) / HIGH_M * WIDE_M)


def _top(groups: Sequence[_Group], what: str) -> float:
    rows = [row for group in groups for row in getattr(group, what) if row["seen"] >= FEW]
    shares = [row["share"] for row in rows if row["share"] is not None]
    return max(shares, default=1.0) or 1.0


def _counted(group: _Group) -> str:
    if group.player:
        seen = wording.counted(group.seen, "miss", "misses")
        return f"{wording.technique_words([safe(group.technique)])}, {seen} seen"
    return f"{wording.counted(group.seen, 'miss', 'misses')} seen"
