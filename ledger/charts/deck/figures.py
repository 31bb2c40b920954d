"""The figures of an answer as an editable chart wants them: categories, values, ends of intervals.

They are the answer's own, row by row; the only arithmetic is the distance from a value to the ends
of its interval, which is how such charts draw them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ledger.charts.judged import judged_rows
from ledger.charts.theme import places
from ledger.safe_text import safe

if TYPE_CHECKING:
    from ledger.questions.answer import Answer

Row = dict[str, Any]

# More bars than this nobody can read, or name.
_MOST = 14
_MOST_LINES = 6


@dataclass(frozen=True, slots=True)
class Line:
    """One series: a value with the ends of its interval for each category, or None.

    Attributes:
        name: of what.
        values: by category.
        lows: the lower ends.
        highs: the upper ends.
        place: of its colour among those of the pictures.
    """

    name: str
    values: tuple[float | None, ...]
    lows: tuple[float | None, ...]
    highs: tuple[float | None, ...]
    place: int = 0


@dataclass(frozen=True, slots=True)
class Figures:
    """An editable chart.

    Attributes:
        kind: bars that lie, a category a line, or lines over seasons.
        categories: what a value is of.
        lines: the series.
        share: whether values are shares, 0 to 1, else points.
        axis: what the scale measures.
        reading: how to read it, in a sentence.
    """

    kind: str
    categories: tuple[str, ...]
    lines: tuple[Line, ...]
    share: bool
    axis: str
    reading: str


def figures_of(answer: Answer) -> Figures | None:
    """The editable chart of an answer; None where it has none, or nothing to draw."""
    maker = _MAKERS.get(answer.question)
    return maker(answer) if maker else None


def _ranking(answer: Answer) -> Figures | None:
    rows = answer.main.rows()
    allowing = [r for r in rows if r["shrunken_rate"] is not None]
    names = ("shrunken_rate", "low", "high") if allowing else ("raw_rate", "raw_low", "raw_high")
    axis = "share made, allowing for luck" if allowing else "raw share made"
    season = answer.asked.get("by") == "player-season"
    return _bars(allowing or rows, names, axis, share=True, season=season)


def _adopters(answer: Answer) -> Figures | None:
    rows = judged_rows(answer.main.rows())
    axis = "share of watched attempts with the technique"
    return _bars(rows, ("share", "low", "high"), axis, share=True, season=True)


def _candidates(answer: Answer) -> Figures | None:
    names = ("points_per_season", "points_low", "points_high")
    return _bars(answer.main.rows(), names, "points a season", share=False)


def _bars(
    rows: Sequence[Row], names: Sequence[str], axis: str, *, share: bool, season: bool = False
) -> Figures | None:
    told = [row for row in rows if row[names[0]] is not None]
    shown = told[:_MOST]
    if not shown:
        return None
    value, low, high = ([row[name] for row in shown] for name in names)
    several = len({row.get("league") for row in shown}) > 1
    first = f"; the first {len(shown)} of {len(told):,}" if len(shown) < len(told) else ""
    return Figures(
        kind="bars",
        categories=tuple(_called(row, several=several, season=season) for row in shown),
        lines=(Line(axis, tuple(value), tuple(low), tuple(high)),),
        share=share,
        axis=axis,
        reading=f"lines are 95 % intervals{first}.",
    )


def _called(row: Row, *, several: bool, season: bool) -> str:
    """Whose row it is, with as much beside the name as tells rows apart."""
    if row.get("player"):
        words = [row["player"], row.get("season") if season else None]
        words += [row.get("league")] if several else []
    else:
        words = [row.get("team"), row.get("league") if several else None, row.get("season")]
        words = words if any(words[:2]) else [row.get("league"), row.get("season")]
    return safe(", ".join(str(word) for word in words if word))


def _uptake(answer: Answer) -> Figures | None:
    by = str(answer.asked.get("by", "league"))
    rows = [r for r in answer.main.rows() if r["start_year"] is not None]
    told = [r for r in rows if r["share"] is not None]
    if not told:
        return None
    several = by != "league" and len({r["league"] for r in rows}) > 1
    seasons = dict.fromkeys(
        r["season"] for r in sorted(rows, key=lambda r: (r["start_year"], r["season"]))
    )
    names = dict.fromkeys(_line_name(r, by, several=several) for r in told)
    lines = []
    # As in the picture: every name of the ledger has its colour.
    coloured = places(map(safe, names), _domain(answer))
    for name in list(names)[:_MOST_LINES]:
        mine = {r["season"]: r for r in told if _line_name(r, by, several=several) == name}
        cells = [mine.get(season, {}) for season in seasons]
        lines.append(
            Line(
                safe(name),
                tuple(c.get("share") for c in cells),
                tuple(c.get("low") for c in cells),
                tuple(c.get("high") for c in cells),
                coloured[safe(name)],
            )
        )
    first = f"; the first {_MOST_LINES} of {len(names)}" if len(names) > _MOST_LINES else ""
    return Figures(
        kind="lines",
        categories=tuple(safe(str(season)) for season in seasons),
        lines=tuple(lines),
        share=True,
        axis="share of attempts",
        reading=f"upright lines are 95 % intervals; seasons with bounds only are left out{first}.",
    )


def _domain(answer: Answer) -> Sequence[str] | None:
    """The names of the ledger in their order, as whoever draws the answer knows them."""
    given: Mapping[str, Any] = getattr(answer.draw, "keywords", {})
    return given.get("names")


def _line_name(row: Row, by: str, *, several: bool) -> str:
    name = str(row.get(by) or row["league"])
    return f"{name}, {row['league']}" if several else name


_MAKERS: dict[str, Callable[[Answer], Figures | None]] = {
    "ranking": _ranking,
    "adopters": _adopters,
    "candidates": _candidates,
    "uptake": _uptake,
}
