"""Who shoots best, allowing for luck: dots with intervals on one scale, adopters marked."""

from __future__ import annotations

import math
from collections import Counter
from typing import Any

import altair as alt

from ledger.charts import caption
from ledger.charts.dots import Dot, Group, draw_dots, state_keys
from ledger.charts.sheet import blank, sheet
from ledger.charts.theme import STATE_WORDS, Size, Theme
from ledger.questions.answer import Answer
from ledger.safe_text import safe

Row = dict[str, Any]

_NOUNS = {
    "player": ("player", "players"),
    "player-season": ("player-season", "player-seasons"),
    "team": ("team-season", "team-seasons"),
    "league-season": ("league-season", "league-seasons"),
}


def build(answer: Answer, theme: Theme, size: Size) -> alt.LayerChart:
    """The first rows of a ranking in the answer's own order.

    A row's dot is its rate allowing for luck, or its raw rate where the answer gives no other;
    a small upright line marks the raw rate beside the former.
    """
    rows = answer.main.rows()
    if not rows:
        return blank(answer, theme, size, "No rows to draw.")
    by = _by(answer, rows)
    noun, nouns = _NOUNS[by]
    shown = rows[: size.rows]
    places = _places(rows)[: len(shown)]
    several = len({r.get("league") for r in rows}) > 1
    stated = by.startswith("player") and any(r.get("state") for r in rows)
    dots = tuple(
        _dot(r, by, place, several=several, stated=stated)
        for r, place in zip(shown, places, strict=True)
    )
    raw = all(r.get("shrunken_rate") is None for r in shown)
    mixed = not raw and any(r.get("shrunken_rate") is None for r in shown)
    states = {d.state for d in dots if d.state}
    page = sheet(
        answer,
        theme,
        size,
        keys=state_keys(states, theme),
        foot=46,
        caption=caption.sentences(
            caption.first_of(len(shown), len(rows), nouns),
            _reading(raw, mixed),
            caption.counted(answer, noun),
            caption.studied(answer),
            caption.source(answer),
            *answer.notes,
        ),
    )
    title = "raw share of attempts made" if raw else "share of attempts made, allowing for luck"
    return draw_dots(page, [Group("", dots)], domain=_domain(dots), axis_title=title)


def _by(answer: Answer, rows: list[Row]) -> str:
    asked = str(answer.asked.get("by", ""))
    if asked in _NOUNS:
        return asked
    if any(r.get("player") for r in rows):
        return "player"
    return "team" if any(r.get("team") for r in rows) else "league-season"


def _places(rows: list[Row]) -> list[str]:
    """Ranks as shown, row by row; one that several rows share has a sign."""
    shared = Counter(r.get("rank") for r in rows)
    places = []
    for row in rows:
        rank = row.get("rank")
        plain = "" if rank is None else f"{rank}{'=' if shared[rank] > 1 else ''}"
        places.append(safe(str(row.get("rank_shown") or plain)))
    return places


def _dot(row: Row, by: str, place: str, *, several: bool, stated: bool) -> Dot:
    shrunken = row.get("shrunken_rate")
    value, low, high = shrunken, row.get("low"), row.get("high")
    if shrunken is None:
        value, low, high = row.get("raw_rate"), row.get("raw_low"), row.get("raw_high")
    state = str(row.get("state") or "none") if stated else None
    made, attempts = row.get("made"), row.get("attempts")
    if value is None and made is None:
        figure = "–"
    else:
        figure = caption.figure(made, attempts, value, low, high)
    name, second = _names(row, by, several)
    return Dot(
        place=place,
        name=name,
        second=second,
        value=value,
        low=low,
        high=high,
        tick=row.get("raw_rate") if shrunken is not None else None,
        state=state,
        figure=figure,
        remark=STATE_WORDS.get(str(state), "") if state in ("adopter", "occasional") else "",
    )


def _names(row: Row, by: str, several: bool) -> tuple[str, str]:
    def text(column: str) -> str:
        return safe(str(row.get(column) or ""))

    league = text("league") if several else ""
    if by == "league-season":
        return text("league") or "–", text("season")
    if by == "team":
        return text("team") or "–", " ".join(filter(None, [text("season"), league]))
    place = league or text("team")
    if by == "player-season":
        place = " ".join(p for p in (text("season"), place) if p)
    return text("player") or "–", place


def _reading(raw: bool, mixed: bool) -> str:
    if raw:
        return "Dots: raw rates; lines: 95 % intervals."
    said = "Dots: rates allowing for luck; lines: 95 % intervals; small upright lines: raw rates."
    if mixed:
        said += " Without an upright line: the raw rate itself."
    return said


def _domain(dots: tuple[Dot, ...]) -> tuple[float, float]:
    ends = [v for d in dots for v in (d.value, d.low, d.high, d.tick) if v is not None] or [
        0.0,
        1.0,
    ]
    low = math.floor((min(ends) - 0.01) * 20) / 20
    high = math.ceil((max(ends) + 0.01) * 20) / 20
    return max(0.0, low), min(1.0, high)
