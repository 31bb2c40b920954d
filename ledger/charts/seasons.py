"""Seasons as places on an axis, and a league's seasons as lines that break where one is missing."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ledger.charts import measure
from ledger.safe_text import safe

Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Point:
    """One season of one series.

    Attributes:
        year: the place on the axis: the season's first year, a part of one added where a league
            has several seasons in it.
        season: its label.
        run: which unbroken line it belongs to; lines break at a missing season.
        share: the estimate, or None where only bounds can be given.
        low: the interval's lower end, or None.
        high: its upper end, or None.
        least: the share if nobody else did it, or None.
        most: the share if everybody else did it, or None.
        attempts: of the season.
        tagged: watched ones of them.
        why: why there is no share, or empty.
        ahead: whether it is a forecast.
        raised: whether it is the season that raised the question.
    """

    year: float
    season: str
    run: int
    share: float | None
    low: float | None
    high: float | None
    least: float | None
    most: float | None
    attempts: int
    tagged: int
    why: str = ""
    ahead: bool = False
    raised: bool = False

    @property
    def bounded(self) -> bool:
        """Whether only bounds can be drawn: none from 0 to 100 %, which would say nothing."""
        if self.share is not None or self.least is None or self.most is None:
            return False
        return self.least > 0 or self.most < 1

    @property
    def top(self) -> float:
        """The highest place that its share and interval take."""
        return max((v for v in (self.share, self.high) if v is not None), default=0.0)


@dataclass(frozen=True, slots=True)
class Series:
    """One league, team or position over its seasons, oldest first, a forecast last."""

    name: str
    points: tuple[Point, ...]

    @property
    def attempts(self) -> int:
        """Of all its seasons."""
        return sum(p.attempts for p in self.points)

    @property
    def seen(self) -> tuple[Point, ...]:
        """The seasons played, without a forecast."""
        return tuple(p for p in self.points if not p.ahead)

    @property
    def last(self) -> Point:
        """The last season played of which something is drawn, else the very last."""
        drawn = [p for p in self.seen if p.share is not None or p.bounded]
        return (drawn or self.seen)[-1]

    @property
    def forecast(self) -> Point | None:
        """The season ahead, if one is foreseen."""
        return self.points[-1] if self.points[-1].ahead else None

    @property
    def end(self) -> Point:
        """Where its line ends: at the forecast, if there is one."""
        return self.forecast or self.last


def series_of(rows: Sequence[Row], names: Sequence[str], forecasts: Sequence[Row]) -> list[Series]:
    """The rows as series, in the order of their names.

    Args:
        rows: of the answer; those without a first year are left out.
        names: the name of each row's series.
        forecasts: rows of `forecast`; only the season right after a league's last is taken.
    """
    grouped: dict[str, list[Row]] = defaultdict(list)
    for row, name in zip(rows, names, strict=True):
        if row.get("start_year") is not None:
            grouped[name].append(row)
    ahead = {str(r.get("league")): r for r in forecasts if r.get("share") is not None}
    return [
        Series(name, (*_points(grouped[name]), *_ahead(grouped[name], ahead.get(name))))
        for name in sorted(grouped)
    ]


def season_labels(
    series: Sequence[Series], width: float, span: tuple[float, float], letters: float
) -> list[tuple[float, str]]:
    """Labels under the axis that do not touch: the last season played always has one.

    Args:
        series: whose seasons are labelled; where leagues name one year differently the year itself
            stands.
        width: of the plot.
        span: both ends of the axis.
        letters: the size of the labels.

    Returns:
        Places on the axis and their words.
    """
    words: dict[float, Counter[str]] = defaultdict(Counter)
    for one in series:
        for point in one.points:
            words[point.year][point.season] += 1
    said = {
        year: next(iter(found)) if len(found) == 1 else str(int(year))
        for year, found in words.items()
    }
    per_year = width / (span[1] - span[0])

    def ends(year: float) -> tuple[float, float]:
        half = measure.width(said[year], letters) / 2 + 5
        at = (year - span[0]) * per_year
        return at - half, at + half

    played = {p.year for one in series for p in one.seen}
    kept: list[float] = []
    for year in sorted(said, key=lambda year: (year in played, year), reverse=True):
        left, right = ends(year)
        if all(right <= ends(other)[0] or left >= ends(other)[1] for other in kept):
            kept.append(year)
    return [(year, said[year]) for year in sorted(kept)]


def dodge(places: Sequence[float], gap: float | Sequence[float], room: float) -> list[float]:
    """Places moved as little as is simple so that neighbours are `gap` apart, within 0 and `room`.

    Args:
        places: wanted, in any order.
        gap: the least distance, or for each place that to the next one below it; made smaller
            where all of them would not fit.
        room: the greatest place.

    Returns:
        The new places, in the order given.
    """
    order = sorted(range(len(places)), key=lambda i: (places[i], i))
    gaps = [gap] * len(places) if isinstance(gap, int | float) else list(gap)
    whole = sum(gaps[i] for i in order[:-1])
    if whole > room:
        gaps = [one * room / whole for one in gaps]
    moved = [0.0] * len(places)
    floor = 0.0
    for i in order:
        moved[i] = max(places[i], floor)
        floor = moved[i] + gaps[i]
    ceiling = room
    for above, i in zip([*order[-2::-1], None], order[::-1], strict=True):
        moved[i] = min(moved[i], ceiling)
        ceiling = moved[i] - (gaps[above] if above is not None else 0.0)
    return moved


def _points(rows: list[Row]) -> list[Point]:
    rows = sorted(rows, key=lambda r: (r["start_year"], str(r.get("season"))))
    in_year = Counter(r["start_year"] for r in rows)
    before: Counter[int] = Counter()
    points: list[Point] = []
    run = 0
    for row in rows:
        year = row["start_year"]
        place = year + before[year] / in_year[year]
        before[year] += 1
        if points and (year - int(points[-1].year) > 1 or points[-1].share is None):
            run += 1
        points.append(
            Point(
                year=place,
                season=safe(str(row.get("season") or year)),
                run=run,
                share=row.get("share"),
                low=row.get("low"),
                high=row.get("high"),
                least=row.get("least_share"),
                most=row.get("most_share"),
                attempts=row.get("attempts") or 0,
                tagged=row.get("tagged") or 0,
                why=safe(str(row.get("share_why") or "")),
                raised=bool(row.get("raised")),
            )
        )
    return points


def _ahead(rows: list[Row], forecast: Row | None) -> list[Point]:
    last = max(int(r["start_year"]) for r in rows)
    if forecast is None or forecast.get("start_year") != last + 1:
        return []
    return [
        Point(
            year=float(last + 1),
            season="forecast",
            run=-1,
            share=forecast["share"],
            low=forecast.get("low"),
            high=forecast.get("high"),
            least=None,
            most=None,
            attempts=0,
            tagged=0,
            ahead=True,
        )
    ]
