"""Real answers over small ground for the pictures, and the same with other names and more rows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache
from typing import Any

import polars as pl

from ledger.charts.registry import draw
from ledger.questions.answer import Answer, Part
from tests.charts import answers
from tests.questions.ground import Ground
from tests.tui.known_answers import known

QUESTIONS = (
    *("switches", "player", "candidates", "trial", "worth", "agreement", "misses"),
    *("watchlist", "attempts", "sources"),
)
_ASKED: dict[str, dict[str, Any]] = {
    "candidates": {"gain": "3,5,8"},
    "worth": {"per_possession": 1.1, "offensive_rebound": 0.12},
}


@cache
def real(question: str) -> Answer:
    """The answer of the small league, asked so that there is something to draw."""
    return replace(known(question, **_ASKED.get(question, {})), draw=draw)


def with_rows(answer: Answer, rows: Sequence[Mapping[str, Any]], part: str = "") -> Answer:
    """The answer with other rows of the same columns."""
    old = answer.part(part)
    data = {name: [row.get(name) for row in rows] for name in old.frame.columns}
    new = Part(old.columns, pl.DataFrame(data, schema=old.frame.schema, strict=False))
    if not part:
        return replace(answer, main=new)
    return replace(answer, parts={**answer.parts, part: new})


def changes(players: int, *, names: Sequence[str] = (), claimed: Sequence[int] = ()) -> Answer:
    """Changes of so many players, figures made up around those of the one in the small league."""
    (one, *_) = real("switches").main.rows()
    rows = []
    for i in range(players):
        shift = (i % 7 - 3) / 50
        figures = {
            name: min(1.0, max(-1.0, one[name] + shift))
            for name in ("rate_after", "after_low", "after_high", "gain", "gain_low", "gain_high")
        }
        rows.append(
            one
            | figures
            | {
                "player": names[i] if i < len(names) else answers.name(i),
                "attempts_after": 100 + i,
                "direction": "from_focus" if i % 9 == 5 else "to_focus",
                "finding": "possible" if i % 11 == 7 else "switch",
                "claim": i in claimed,
                "date": None,
                "date_why": "none",
            }
        )
    pool = {"players": players, "gain": 0.02, "gain_low": -0.04, "gain_high": 0.08}
    answer = with_rows(with_rows(real("switches"), rows), [pool], "pooled")
    return with_rows(answer, [pool | {"players": players - 1}], "without_noticed")


def predicted(players: int, *, names: Sequence[str] = ()) -> Answer:
    """Candidates with points a season, some without a prediction."""
    (one, *_) = real("candidates").main.rows()
    rows = []
    for i in range(players):
        middle = (i % 5 - 1) * 1.5
        told = i % 6 != 5
        figures = {
            "points_per_season": middle,
            "points_low": middle - 17.0,
            "points_high": middle + 19.0,
            "points_low_80": middle - 8.0,
            "points_high_80": middle + 9.0,
        }
        row = one | {"player": names[i] if i < len(names) else answers.name(i)}
        row |= figures if told else dict.fromkeys(figures)
        rows.append(row | {"why": None if told else "already shoots so: changed on 2024-11-06"})
    return with_rows(with_rows(real("candidates"), rows), [], "assumed")


def games(number: int, *, seasons: int = 4, names: str = "") -> Answer:
    """A player's page with so many games over some seasons."""
    (one, *_) = real("player").main.rows()[3:]
    rows = [
        one
        | {
            "date": None,
            "game": f"{names}G{i}",
            "season": f"{2000 + i * seasons // number}-{(i * seasons // number + 1) % 100:02}",
            "running_rate": 0.6 + 0.2 * (i % 10) / 10,
            "low": 0.45 + 0.2 * (i % 10) / 10,
            "high": 0.7 + 0.2 * (i % 10) / 10,
            "focus_tags": i % 3,
            "tagged": 4 if i % 4 else 0,
        }
        for i in range(number)
    ]
    return with_rows(real("player"), rows)


def empty(question: str) -> Answer:
    """The answer of a ledger without anything."""
    asked: dict[str, Any] = {} if question != "player" else {"player": None}
    return replace(Ground().ask(question, **{k: v for k, v in asked.items() if v}), draw=draw)
