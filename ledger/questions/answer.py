"""The answer: what every question gives, and the only thing that screens, charts and exports show.

An answer is complete in itself: a headline in one sentence, rows with documented columns, further
frames by name, notes a reader must know. Whoever shows it computes nothing.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Literal

from ledger.errors import UseError
from ledger.safe_text import safe, safe_cell

if TYPE_CHECKING:
    import polars as pl

# Codes that a terminal would obey or that turn writing round; a line end is a text's own.
_ACTING = re.compile(
    "[\x00-\x09\x0b-\x1f\x7f-\x9f\u00ad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff"
    "\ufff9-\ufffb]"
)

ColumnType = Literal["string", "integer", "number", "boolean", "date"]


@dataclass(frozen=True, slots=True)
class Column:
    """One documented column of an answer.

    Attributes:
        name: as in JSON and CSV.
        title: as on a screen or chart.
        type: a Table Schema type.
        unit: `share` (0..1), `attempts`, `makes`, `players`, `seasons`, `points`, `year`, or empty.
        description: what the figure means, in one line.
    """

    name: str
    title: str
    type: ColumnType
    unit: str = ""
    description: str = ""

    def as_dict(self) -> dict[str, str]:
        """The column as it stands in JSON."""
        return {
            "name": self.name,
            "title": self.title,
            "type": self.type,
            "unit": self.unit,
            "description": self.description,
        }


@dataclass(frozen=True, slots=True)
class Part:
    """Rows with their columns; `frame` has exactly these columns in this order."""

    columns: tuple[Column, ...]
    frame: pl.DataFrame

    def __post_init__(self) -> None:
        names = [c.name for c in self.columns]
        if names != self.frame.columns:
            raise ValueError(f"columns {names} do not describe the frame {self.frame.columns}")

    def rows(self) -> list[dict[str, Any]]:
        """The rows in plain JSON types: days as ISO text, what is not a number as None."""
        return [{k: _plain(v) for k, v in row.items()} for row in self.frame.iter_rows(named=True)]

    def as_dict(self) -> dict[str, Any]:
        """Columns and rows as they stand in JSON."""
        return {"columns": [c.as_dict() for c in self.columns], "rows": self.rows()}

    def csv(self, *, raw: bool = False) -> str:
        """The rows as CSV; text that a spreadsheet or terminal would obey is safe unless `raw`."""
        import polars as pl

        def shown(name: str, kind: pl.DataType) -> pl.Series:
            values = self.frame[name]
            if kind == pl.Boolean:
                return values.replace_strict({True: "yes", False: "no"}, return_dtype=pl.String)
            if kind.is_float():
                return values.fill_nan(None)
            if kind != pl.String or raw:
                return values
            texts = values.unique().drop_nulls().to_list()
            guarded = {t: inert for t in texts if (inert := _inert(t)) != t}
            return values.replace(guarded) if guarded else values

        columns = [shown(name, kind) for name, kind in self.frame.schema.items()]
        return pl.DataFrame(columns).write_csv(datetime_format="%Y-%m-%d %H:%M:%S")


@dataclass(frozen=True, slots=True)
class LedgerFacts:
    """What an answer was read from.

    Attributes:
        name: of the file.
        last_source: number of the last source.
        attempts: in all.
        tagged: attempts with an agreed technique.
        last_day: the day of the last source, ISO, empty where there is none.
    """

    name: str
    last_source: int
    attempts: int
    tagged: int
    last_day: str = ""

    def as_dict(self) -> dict[str, Any]:
        """The facts as they stand in JSON."""
        return {
            "name": self.name,
            "last_source": self.last_source,
            "attempts": self.attempts,
            "tagged": self.tagged,
            "last_day": self.last_day,
        }


@dataclass(frozen=True, slots=True)
class Answer:
    """The reply to one question.

    Attributes:
        question: its name in the registry.
        title: the question as a person asks it, the title of its screen.
        asked: cohort and options in plain JSON types, those that were given or matter.
        cohort: the cohort in plain words.
        headline: one sentence with its number and its uncertainty.
        main: the rows.
        parts: further frames by name.
        notes: what a reader must know: coverage, refusals, assumptions, warnings.
        ledger: what it was read from.
        draw: makes its chart (set by the book), or None where nobody set it.
    """

    question: str
    title: str
    asked: Mapping[str, Any]
    cohort: str
    headline: str
    main: Part
    parts: Mapping[str, Part]
    notes: tuple[str, ...]
    ledger: LedgerFacts
    draw: Callable[[Answer], Any] | None = field(default=None, repr=False, compare=False)

    @property
    def columns(self) -> tuple[Column, ...]:
        """The documented columns of `frame`."""
        return self.main.columns

    @property
    def frame(self) -> pl.DataFrame:
        """The rows as a polars frame."""
        return self.main.frame

    @property
    def more(self) -> Mapping[str, pl.DataFrame]:
        """Further polars frames by name."""
        return MappingProxyType({name: part.frame for name, part in self.parts.items()})

    def part(self, name: str) -> Part:
        """The rows, or one of the further frames.

        Raises:
            UseError: if the answer has no frame of that name.
        """
        if name in ("", "rows"):
            return self.main
        if name not in self.parts:
            known = ", ".join(["rows", *self.parts])
            raise UseError(f"{self.question} has no part {name!r}: use one of {known}")
        return self.parts[name]

    def chart(self, **options: Any) -> Any:
        """The answer's Altair chart; options are those of the chart's builder (theme, size).

        Raises:
            UseError: if the answer does not come from a book.
        """
        if self.draw is None:
            raise UseError(f"{self.question} was not asked of a book: nothing draws it")
        return self.draw(self, **options)

    def as_dict(self) -> dict[str, Any]:
        """The answer as it stands in JSON."""
        return {
            "question": self.question,
            "title": self.title,
            "asked": dict(self.asked),
            "cohort": self.cohort,
            "headline": self.headline,
            "ledger": self.ledger.as_dict(),
            **self.main.as_dict(),
            "more": {name: part.as_dict() for name, part in self.parts.items()},
            "notes": list(self.notes),
        }

    def json(self) -> str:
        """The answer as JSON text: two runs on the same ledger give the same bytes."""
        text = json.dumps(self.as_dict(), ensure_ascii=False, allow_nan=False, indent=1)
        return _ACTING.sub(lambda code: f"\\u{ord(code[0]):04x}", text)


def _inert(text: str) -> str:
    return safe_cell(_ACTING.sub(lambda code: safe(code[0]), text))


def _plain(value: Any) -> Any:
    if isinstance(value, float) and not math.isfinite(value):
        return None
    if isinstance(value, datetime):
        return value.isoformat(sep=" ", timespec="seconds")
    if isinstance(value, date):
        return value.isoformat()
    return value
