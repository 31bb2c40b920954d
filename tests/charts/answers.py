"""Answers built by hand, with the columns that the questions promise, for the tests of the charts.

Everything in them is invented. Figures are only plausible: the charts compute none.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from typing import Any

import polars as pl

from ledger.questions.answer import Answer, Column, ColumnType, LedgerFacts, Part


def _columns(names: str) -> tuple[str, ...]:
    return tuple(names.split())


RANKING = _columns(
    "rank player team league season made attempts raw_rate raw_low raw_high shrunken_rate low high"
    " top_n_chance expected_rank state focus_share tagged coverage"
)
ADOPTERS = _columns(
    "player team league season attempts tagged coverage unclear focus_tags share low high state"
    " more_tags how_tagged adopter_since"
)
UPTAKE = _columns(
    "league team position season start_year attempts tagged coverage players tagged_players"
    " adopters undecided drawn_players picked_players share low high share_why least_share"
    " most_share raised"
)
FORECAST = _columns("league start_year share low high why")

_TEXT = {
    *("player", "team", "league", "season", "position", "state", "how_tagged"),
    *("adopter_since", "share_why", "why", "more_tags"),
}
_WHOLE = {
    *("rank", "made", "attempts", "tagged", "unclear", "focus_tags", "start_year", "players"),
    *("tagged_players", "adopters", "undecided", "drawn_players", "picked_players"),
}
_FIRST = ("Il", "Bra", "Ose", "Tar", "Kev", "Mul", "Ven", "Dor", "Sab", "Yel", "Pim", "Ruk")
_LAST = ("vo", "mna", "lo", "nik", "dra", "shem", "tovi", "rell", "bax", "qun", "zefi", "gor")
LEAGUES = tuple(
    f"{name} League"
    for name in (
        *("Halma", "Tavli", "Morra", "Senet", "Nardi", "Surak"),
        *("Pachi", "Mehen", "Tafla", "Wari", "Bao", "Yote"),
    )
)


def name(number: int) -> str:
    """A made-up name, another one for every number below 1,728."""
    return (
        f"{_FIRST[number % 12]}{_LAST[number // 12 % 12]}"
        f" {_FIRST[(number + 5) % 12]}{_LAST[(number * 7 + number // 144) % 12]}"
    )


def part(columns: Sequence[str], rows: Sequence[Mapping[str, Any]]) -> Part:
    """A part of an answer; a column a row does not give is empty."""
    described = tuple(Column(c, c.replace("_", " "), _type(c)) for c in columns)
    frame = pl.DataFrame(
        {c: [row.get(c) for row in rows] for c in columns},
        schema={c: _dtype(c) for c in columns},
        strict=False,
    )
    return Part(described, frame)


def answer(
    question: str,
    main: Part,
    *,
    headline: str = "Tarnik is first after allowing for luck, 84.9 % (79.2 to 89.6), but the first"
    " five overlap.",
    cohort: str = "Free throws in Halma League, 2019-20 to 2024-25",
    parts: Mapping[str, Part] | None = None,
    notes: Sequence[str] = (),
    asked: Mapping[str, Any] | None = None,
) -> Answer:
    """An answer of one question."""
    return Answer(
        question=question,
        title=question,
        asked=asked or {},
        cohort=cohort,
        headline=headline,
        main=main,
        parts=parts or {},
        notes=tuple(notes),
        ledger=LedgerFacts("spring.duckdb", 12, 181233, 40211),
    )


def ranking(
    players: int = 30, *, names: Sequence[str] = (), seed: int = 1, raw: bool = False, **more: Any
) -> Answer:
    """A ranking of so many players."""
    rng = random.Random(seed)
    rows = []
    for i in range(players):
        attempts = rng.choice([4, 8, 23, 60, 120, 240])
        rate = min(0.97, max(0.4, rng.gauss(0.75, 0.07)))
        made = round(rate * attempts)
        half = 0.5 / (attempts + 35) ** 0.5 * 1.6
        near = (made + 26) / (attempts + 35)
        rows.append(
            {
                "player": names[i] if i < len(names) else name(i),
                "team": f"{_FIRST[i % 11]}{_LAST[i % 7]}",
                "league": LEAGUES[0],
                "season": "2024-25",
                "made": made,
                "attempts": attempts,
                "raw_rate": made / attempts,
                "raw_low": max(0.0, made / attempts - half * 1.3),
                "raw_high": min(1.0, made / attempts + half * 1.3),
                "shrunken_rate": None if raw else near,
                "low": None if raw else near - half,
                "high": None if raw else min(1.0, near + half * 0.8),
                "state": rng.choice(["adopter", "not", "not", "undecided", "occasional", None]),
                "tagged": attempts // 4,
                "coverage": 0.25,
            }
        )
    rows.sort(key=lambda r: -(r["shrunken_rate"] or r["raw_rate"]))
    for i, row in enumerate(rows):
        row["rank"] = i + 1
    return answer("ranking", part(RANKING, rows), **more)


def adopters(players: int = 40, *, names: Sequence[str] = (), seed: int = 2, **more: Any) -> Answer:
    """Players with their share of the technique; some undecided, some never watched."""
    rng = random.Random(seed)
    rows: list[dict[str, Any]] = []
    for i in range(players):
        tagged = rng.choice([0, 3, 5, 12, 30, 60, 130])
        true = rng.choice([0.02, 0.02, 0.02, 0.3, 0.93])
        seen = sum(rng.random() < true for _ in range(tagged))
        share = seen / tagged if tagged else None
        state = _state(seen, tagged)
        half = 0.45 / (tagged + 1) ** 0.5
        rows.append(
            {
                "player": names[i] if i < len(names) else name(i),
                "team": f"{_FIRST[i % 11]}{_LAST[i % 7]}",
                "league": LEAGUES[0],
                "season": "2024-25",
                "attempts": tagged * 2 + 20,
                "tagged": tagged,
                "coverage": tagged / (tagged * 2 + 20),
                "focus_tags": seen,
                "share": share,
                "low": None if share is None else max(0.0, share - half),
                "high": None if share is None else min(1.0, share + half),
                "state": state,
                "more_tags": "8" if state == "undecided" else None,
                "how_tagged": "drawn",
                "adopter_since": "2021-22" if state == "adopter" else None,
            }
        )
    more.setdefault("headline", "7 of the 37 players watched enough shoot off the backboard.")
    return answer("adopters", part(ADOPTERS, rows), **more)


def uptake(
    leagues: int | Sequence[str] = 3,
    seasons: int = 7,
    *,
    seed: int = 3,
    bounds: Sequence[int] = (),
    gaps: Sequence[int] = (),
    forecast: bool = False,
    **more: Any,
) -> Answer:
    """Shares over seasons.

    Args:
        leagues: how many, or their names.
        seasons: how many, the last one 2024-25.
        seed: for the invented figures.
        bounds: places of leagues where only bounds are known, in the first half of the seasons.
        gaps: places of seasons that every league but the first leaves out.
        forecast: whether the next season is extrapolated.
        more: headline, notes and the like.
    """
    rng = random.Random(seed)
    called = LEAGUES[:leagues] if isinstance(leagues, int) else tuple(leagues)
    rows, ahead = [], []
    for place, league in enumerate(called):
        share = rng.uniform(0.01, 0.2)
        for step in range(seasons):
            year = 2024 - seasons + 1 + step
            share = min(0.9, max(0.0, share + rng.uniform(-0.02, 0.35 / seasons)))
            if place and step in gaps:
                continue
            only = place in bounds and step < max(1, seasons // 2)
            half = rng.uniform(0.02, 0.12)
            rows.append(
                {
                    "league": league,
                    "season": f"{year}-{(year + 1) % 100:02d}",
                    "start_year": year,
                    "attempts": 2000,
                    "tagged": 400,
                    "coverage": 0.2,
                    "players": 60,
                    "tagged_players": 14,
                    "adopters": 3,
                    "undecided": 2,
                    "drawn_players": 0 if only else 12,
                    "picked_players": 2,
                    "share": None if only else share,
                    "low": None if only else max(0.0, share - half),
                    "high": None if only else min(1.0, share + half * 1.3),
                    "share_why": "tagged players were chosen, not drawn" if only else None,
                    "least_share": max(0.0, share - half * 1.5),
                    "most_share": min(1.0, share + half * 3),
                    "raised": False,
                }
            )
        row = {"league": league, "start_year": 2025, "share": min(1.0, share * 1.15)}
        ahead.append(row | {"low": share * 0.7, "high": min(1.0, share * 1.7 + 0.05)})
    parts = {"forecast": part(FORECAST, ahead if forecast else [])}
    more.setdefault(
        "headline",
        "Off the backboard: 4 % of free throws (1 to 9) five seasons ago, 19 % (12 to 28) now;"
        " players drawn by lot.",
    )
    return answer("uptake", part(UPTAKE, rows), parts=parts, **more)


def _state(seen: int, tagged: int) -> str:
    if not tagged:
        return "untagged"
    if tagged < 8:
        return "undecided"
    share = seen / tagged
    return "adopter" if share > 0.7 else "not" if share < 0.1 else "occasional"


def _type(column: str) -> ColumnType:
    if column in _TEXT:
        return "string"
    if column == "raised":
        return "boolean"
    return "integer" if column in _WHOLE else "number"


def _dtype(column: str) -> Any:
    kinds = {"string": pl.String, "integer": pl.Int64, "number": pl.Float64, "boolean": pl.Boolean}
    return kinds[_type(column)]
