"""One player: his running rate with its limits, how he shot in each game, and where he changed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import altair as alt

from ledger.charts import caption, measure
from ledger.charts.running_marks import FIRST_LANE, LANE, LETTERS, Change, Lane, Plot, above
from ledger.charts.sheet import blank, sheet
from ledger.charts.theme import MARGIN, Size, Theme
from ledger.questions import wording
from ledger.questions.answer import Answer
from ledger.safe_text import safe

Row = dict[str, Any]

_AXIS_ROOM = 46
_DIRECTIONS = {"to_focus": "took it up", "from_focus": "gave it up"}
_FINDINGS = {"possible": "perhaps ", "declared": "declared: "}


def build(answer: Answer, theme: Theme, size: Size) -> alt.LayerChart:
    """Games side by side in their order, seasons parted by thin lines."""
    games = answer.main.rows()
    if not any(game.get("running_rate") is not None for game in games):
        few = (
            "Fewer than 10 attempts in games: no running rate, so nothing to draw."
            if games
            else "No game to draw."
        )
        return blank(answer, theme, size, few)
    changes = _changes(answer, games)
    lanes = _lanes(answer, games, theme)
    last = next(g for g in reversed(games) if g.get("running_rate") is not None)
    figure = caption.figure(
        None, last.get("running_attempts"), last["running_rate"], last.get("low"), last.get("high")
    )
    lane_room = max((measure.width(lane.words, LETTERS) for lane in lanes), default=0.0) + 14
    page = sheet(
        answer,
        theme,
        size,
        left=MARGIN + min(size.width * 0.2, max(_AXIS_ROOM, lane_room)),
        right=MARGIN + 12 + max(measure.width(figure, 13, bold=True), 60),
        foot=FIRST_LANE + LANE * len(lanes) + 22,
        head=20,
        caption=caption.told(
            answer,
            f"{wording.counted(len(games), 'game')}. Line: made of the last 50 attempts up to and "
            "with a game; band: its 95 % limits.",
            "Upright band: the games between which the change lies with 90 %." if changes else "",
            "Signs under the plot: games in which somebody saw it." if lanes else "",
        ),
    )
    rows = above(changes, page, len(games))
    page = replace(page, head=20 + 16 * max((row for row, _, _ in rows), default=0))
    plot = Plot(page, tuple(games))
    layers = [
        *plot.changes(changes),
        *plot.seasons(),
        *plot.rate(),
        *plot.lanes(lanes),
        *plot.change_words(changes, rows),
        *plot.last_words(last, figure),
        *page.words(),
    ]
    return page.finish(alt.LayerChart(layer=layers), width=page.width, height=page.height)


def _lanes(answer: Answer, games: Sequence[Row], theme: Theme) -> list[Lane]:
    """The studied technique and all others; nothing where nobody watched."""
    asked = answer.asked.get("focus") or []
    names = [asked] if isinstance(asked, str) else [str(name) for name in asked]
    studied = [i for i, g in enumerate(games) if g.get("focus_tags")]
    other = [i for i, g in enumerate(games) if (g.get("tagged") or 0) > (g.get("focus_tags") or 0)]
    if not studied and not other:
        return []
    lane = Lane(
        wording.technique_words(names) if names else "studied",
        tuple(studied),
        theme.states["adopter"],
        "circle",
    )
    return [lane, Lane("otherwise", tuple(other), theme.states["not"], "square")]


def _changes(answer: Answer, games: Sequence[Row]) -> list[Change]:
    """Changes with a day, by the places of their games."""
    part = answer.parts.get("switches")
    days = [str(game.get("date") or "") for game in games]
    found = []
    for row in part.rows() if part else []:
        day = row.get("date")
        after = [i for i, d in enumerate(days) if d >= str(day)]
        if not day or not after:
            continue
        low, high = str(row.get("date_low") or day), str(row.get("date_high") or day)
        first = max((i for i, d in enumerate(days) if d <= low), default=after[0])
        last = next((i for i, d in enumerate(days) if d >= high), after[0])
        words = _DIRECTIONS.get(str(row.get("direction")), "changed")
        found.append(
            Change(
                after[0] - 0.5,
                min(first, after[0]),
                max(last, after[0]),
                f"{_FINDINGS.get(str(row.get('finding')), '')}{words} {safe(str(day))}",
            )
        )
    return found
