"""A book with hand-made answers, for tests of the screens. Everything in it is invented."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import Any

import polars as pl

from ledger.cohort import Cohort
from ledger.errors import LedgerBusy, Stopped, UseError
from ledger.intake.read import Reading
from ledger.intake.report import Report
from ledger.questions.answer import Answer, Column, ColumnType, LedgerFacts, Part
from ledger.questions.registry import QUESTIONS
from ledger.store.reads import Contents, LeagueSeason, Rumour, SourceLine
from tests.tui.fake_lists import FakeLists, written
from tests.tui.fake_scoring import FakeScoring
from tests.tui.fake_watching import FakeWatching
from tests.tui.known_answers import known

_WHOLE = frozenset(
    """
    rank made attempts tagged unclear focus_tags state_focus_tags state_tags start_year
    players tagged_players
    adopters undecided drawn_players picked_players source rows stored rejected skipped
    already_there contradicting attempt period order_in_game trip_shot trip_of source_line
    """.split()  # noqa: SIM905
)
_SHARES = frozenset(
    """
    raw_rate raw_low raw_high shrunken_rate low high top_n_chance focus_share share
    coverage least_share most_share
    """.split()  # noqa: SIM905
)
_NUMBERS = _SHARES | {"expected_rank", "clock_s", "release_angle_deg", "video_s"}
RANKING = tuple(
    """
    rank player team league season made attempts raw_rate raw_low raw_high shrunken_rate
    low high top_n_chance expected_rank state focus_share
    state_focus_tags state_tags
    """.split()  # noqa: SIM905
)
ADOPTERS = tuple(
    """
    player team league season attempts tagged coverage unclear focus_tags share low high
    state more_tags how_tagged adopter_since
    """.split()  # noqa: SIM905
)
UPTAKE = tuple(
    """
    league team position season start_year attempts tagged coverage players tagged_players
    adopters undecided drawn_players picked_players share low high share_why least_share
    most_share
    """.split()  # noqa: SIM905
)
FORECAST = tuple(
    """
    league start_year share low high why
    """.split()  # noqa: SIM905
)
SOURCES = tuple(
    """
    source file sha256 kind rows stored rejected skipped already_there contradicting who
    when taken_back
    """.split()  # noqa: SIM905
)
ATTEMPTS = tuple(
    """
    attempt league season date game team opponent player period clock_s order_in_game shot trip_shot
    trip_of made technique taggers miss_depth miss_side rebound_by rebound_zone release_angle_deg
    video video_s picked_for note source source_line
    """.split()  # noqa: SIM905
)

HOSTILE = (
    "Kim [/red] [b",
    "[@click=app.quit]Ota[/]",
    "Ilvo\x1b[31m Tarn\x1b]52;c;aGFsbG8=\x07",
    "Sela \u202eoro\u202c\u200b",
    "[KOR] 하늘 바람\u0301",
    "=HYPERLINK(1)\r\nBrand",
)


def part(columns: Sequence[str], rows: Sequence[Mapping[str, Any]]) -> Part:
    """A part with described columns; a column a row does not give is empty."""

    def kind(name: str) -> ColumnType:
        if name in ("date", "made") and columns is ATTEMPTS:
            return "date" if name == "date" else "boolean"
        if name in _WHOLE:
            return "integer"
        return "number" if name in _NUMBERS else "string"

    described = tuple(
        Column(c, c.replace("_", " "), kind(c), "share" if c in _SHARES else "", f"what {c} means")
        for c in columns
    )
    types: dict[str, Any] = {
        "string": pl.String, "integer": pl.Int64, "number": pl.Float64, "date": pl.Date,
        "boolean": pl.Boolean,
    }  # fmt: skip
    data = {c: [row.get(c) for row in rows] for c in columns}
    schema = {c.name: types[c.type] for c in described}
    return Part(described, pl.DataFrame(data, schema=schema, strict=False))


def ranking_rows(names: Sequence[str]) -> list[dict[str, Any]]:
    """Rows of a ranking in falling order, plausible and fixed."""
    teams = ("Skerry", "Fenholt", "Aldmoor")
    out = []
    for i, name in enumerate(names):
        rate = 0.849 - 0.009 * (i % 40)
        attempts = 103 + 7 * (i % 11)
        state = ("adopter", "not", "undecided", "untagged", "occasional")[i % 5]
        out.append(
            {
                "rank": i + 1, "player": name, "team": teams[i % 3], "league": "Halma League",
                "season": "2024-25", "made": round(rate * attempts), "attempts": attempts,
                "raw_rate": rate, "raw_low": rate - 0.06, "raw_high": rate + 0.05,
                "shrunken_rate": rate, "low": rate - 0.057, "high": rate + 0.047,
                "top_n_chance": 0.9 - 0.02 * (i % 40), "expected_rank": i + 1.5, "state": state,
                "focus_share": None if state == "untagged" else (1.0, 0.0, 0.6, 0.0, 0.4)[i % 5],
                "state_focus_tags": (41, 0, 9, None, 8)[i % 5],
                "state_tags": (41, 38, 15, None, 20)[i % 5],
            }
        )  # fmt: skip
    return out


NAMES = tuple(
    f"{first} {last}"
    for last in ("Tarn", "Oselo", "Mun", "Dravik")
    for first in ("Ilvo", "Bram", "Sefa", "Kuno", "Yelt", "Pim")
)


def _ranking(names: Sequence[str]) -> Part:
    return part(RANKING, ranking_rows(names))


def _adopters(names: Sequence[str]) -> Part:
    rows = []
    for i, name in enumerate(names):
        tagged = (41, 13, 5, 0)[i % 4]
        focus = (41, 0, 2, 0)[i % 4]
        known = tagged > 0
        share = focus / tagged if known else None
        rows.append(
            {
                "player": name, "team": ("Skerry", "Fenholt")[i % 2], "league": "Halma League",
                "season": "2024-25", "attempts": 103 + i, "tagged": tagged,
                "coverage": tagged / (103 + i), "unclear": 1, "focus_tags": focus, "share": share,
                "low": max(0.0, share - 0.05) if share is not None else None,
                "high": min(1.0, share + 0.2) if share is not None else None,
                "state": ("adopter", "not", "undecided", "untagged")[i % 4],
                "more_tags": (None, None, "8", "more than 200")[i % 4], "how_tagged": "drawn",
                "adopter_since": "2021-22" if i % 4 == 0 else None,
            }
        )  # fmt: skip
    return part(ADOPTERS, rows)


def _uptake(leagues: Sequence[str]) -> tuple[Part, Part]:
    rows, foreseen = [], []
    for k, league in enumerate(leagues):
        for year in range(2019, 2025):
            share = 0.03 + 0.03 * (year - 2019) + 0.02 * k if (year, k) != (2020, 1) else None
            rows.append(
                {
                    "league": league, "season": f"{year}-{(year + 1) % 100:02d}",
                    "start_year": year, "attempts": 9000, "tagged": 1800, "coverage": 0.2,
                    "players": 90, "tagged_players": 24, "adopters": year - 2018,
                    "undecided": 5, "drawn_players": 12, "picked_players": 12, "share": share,
                    "low": None if share is None else max(0.0, share - 0.03),
                    "high": None if share is None else share + 0.05,
                    "share_why": "those watched were picked" if share is None else None,
                    "least_share": 0.03, "most_share": 0.71,
                }
            )  # fmt: skip
        foreseen.append(
            {"league": league, "start_year": 2025, "share": 0.2 + 0.02 * k, "low": 0.1,
             "high": 0.3}
        )  # fmt: skip
    return part(UPTAKE, rows), part(FORECAST, foreseen)


@dataclass
class FakeSource:
    """A row of the sources."""

    number: int
    file: str
    stored: int
    taken_back: str | None = None


def report(
    source: int | None, name: str, kind: str, rows: int, stored: int, rejected: int, **more: Any
) -> Report:
    """A report of an import, every row accounted for."""
    there = rows - stored - rejected
    return Report(
        source=source, file=name, sha256="0" * 64, kind=kind, rows=rows, stored=stored,
        rejected=rejected, skipped=0, already_there=there, contradicting=0,
        attempts_stored=stored, **more,
    )  # fmt: skip


@dataclass
class FakeBook(FakeLists, FakeScoring, FakeWatching):
    """The methods of a book that the screens use, each call written down."""

    names: Sequence[str] = NAMES
    leagues: Sequence[str] = ("Halma League", "Kesto Liga")
    empty: bool = False
    busy: bool = False
    calls: list[tuple[str, Any]] = field(default_factory=list)
    sources: list[FakeSource] = field(
        default_factory=lambda: [FakeSource(1, "halma.csv", 1180), FakeSource(2, "tags.csv", 300)]
    )
    hold: threading.Event | None = None
    part: float | None = None
    gone: str = ""
    stopped: threading.Event = field(default_factory=threading.Event)
    closed: bool = False
    others_tags: bool = False
    changes: int = 2
    headline: str = "Tarn is first after allowing for luck, 84.9 % (79.2 to 89.6)."
    threads: set[int] = field(default_factory=set)
    written: list[Any] = field(default_factory=written)

    def _called(self, name: str, what: Any) -> None:
        self.calls.append((name, what))
        self.threads.add(threading.get_ident())
        if self.busy:
            raise LedgerBusy("the ledger is held by Mira (offglass import, since 14:02)")

    def _source(self, what: str) -> int:
        self.sources.append(FakeSource(len(self.sources) + 1, what, 0))
        self.changes += 1
        return len(self.sources)

    def ask(
        self,
        question: str,
        *,
        focus: Any = None,
        cohort: Any = None,
        progress: Callable[[float], None] | None = None,
        **options: Any,
    ) -> Answer:
        self._called("ask", (question, cohort, tuple(focus or ()), options))
        if cohort is not None and self.gone and self.gone in cohort.league:
            raise UseError(f"there is no league {self.gone!r} in this ledger")
        if self.hold is not None and question != "sources":
            self._wait(self.hold, progress)
        return self._answer(question, cohort or Cohort(), options)

    def _wait(self, hold: threading.Event, progress: Callable[[float], None] | None) -> None:
        """Work until the test lets it go, telling how far it is where a test wants that."""
        while not hold.wait(0.02):
            if progress is not None and self.part is not None:
                progress(self.part)
            if self.stopped.is_set():
                self.stopped.clear()
                raise Stopped("stopped")

    def _answer(self, question: str, cohort: Cohort, options: dict[str, Any]) -> Answer:
        if question not in _HEADLINES and question != "ranking":
            return known(question, **options)
        names = [n for n in self.names if not cohort.player or n in cohort.player]
        more: dict[str, Part] = {}
        asked = {**cohort.asked(), **options}
        if question == "ranking":
            main = _ranking(names)
            asked = {"by": "player", "order": "shrunken", "min_attempts": 50, **asked}
        elif question == "adopters":
            main = _adopters(names)
        elif question == "uptake":
            main, more["forecast"] = _uptake(cohort.league or self.leagues)
            asked = {"by": "league", **asked}
        elif question == "sources":
            main = self._sources()
        else:
            main = part(
                ATTEMPTS,
                [{"attempt": i, "date": date(2024, 11, 2), "game": "R1", "player": n,
                  "team": "Skerry", "made": i % 3 > 0, "technique": "board", "source": 1}
                 for i, n in enumerate(names)],
            )  # fmt: skip
        return Answer(
            question=question,
            title=QUESTIONS[question].title,
            asked=asked,
            cohort=cohort.sentence(),
            headline=self.headline if question == "ranking" else _HEADLINES[question],
            main=main,
            parts=more,
            notes=("22.2 % of the attempts are watched.", "57 of 94 players count neither way."),
            ledger=LedgerFacts("spring.duckdb", 2, 181233, 40211),
            draw=None if question in ("sources", "attempts") else lambda _a: None,
        )

    def _sources(self) -> Part:
        rows = [
            {"source": s.number, "file": s.file, "sha256": "0" * 64, "kind": "attempts",
             "rows": s.stored, "stored": s.stored, "rejected": 0, "skipped": 0, "already_there": 0,
             "contradicting": 0, "who": "Mira", "when": "2025-03-02 12:00:00",
             "taken_back": s.taken_back}
            for s in self.sources
        ]  # fmt: skip
        return part(SOURCES, rows)

    def contents(self) -> Contents:
        self._called("contents", None)
        if self.empty:
            return Contents((), 0, 0, 0, 0, 0, 0, 0, (), (), 0, None)
        leagues = tuple(
            LeagueSeason(name, f"{y}-{(y + 1) % 100:02d}", y, "free_throw", 15102, 3350, 94)
            for name in self.leagues
            for y in range(2019, 2025)
        )
        last = SourceLine(2, "tags.csv", "tags", 300, 300, 0, "Mira", "2025-03-02 12:00:00", False)
        rumour = Rumour(
            "someone banks his free throws", "2022-23", "Halma League", None, None, None
        )
        return Contents(leagues, 181233, 40211, 0, 0, 412, 960, 2, (last,), (rumour,), self.changes,
                        last.when)  # fmt: skip

    def choices(self, field_name: str) -> list[str]:
        self._called("choices", field_name)
        known: dict[str, Sequence[str]] = {
            "league": self.leagues,
            "season": tuple(f"{y}-{(y + 1) % 100:02d}" for y in range(2019, 2025)),
            "player": self.names,
            "team": ("Skerry", "Fenholt", "Aldmoor"),
            "list": ("Spring", "Spring lot"),
            "trial": ("Winter", "Summer"),
            "tagger": ("Mira", "Oren"),
            "technique": ("board-assisted", "straight", "board", "underhand", "other"),
        }
        return list(known.get(field_name, ()))

    def import_file(
        self,
        path: Any,
        kind: str = "attempts",
        options: Any = None,
        *,
        check: bool = False,
        rejects: Path | None = None,
    ) -> Report:
        from ledger.intake.read import read

        self._called("import_file", (Path(path).name, kind, check, rejects))
        reading = read(path, kind, options)
        if rejects is not None:
            rejects.write_text("line,reason\n", encoding="utf-8")
        if any(s.file == Path(path).name and not s.taken_back for s in self.sources):
            said = (f"{Path(path).name}: this file is already in the ledger: nothing added",)
            return report(
                None, reading.name, kind, reading.rows, 0, 0, warnings=said, duplicate_of=1
            )
        number = None if check else len(self.sources) + 1
        if not check:
            self.sources.append(FakeSource(len(self.sources) + 1, Path(path).name, 1))
            self.changes += 1
        return report(
            number, reading.name, kind, reading.rows, reading.frame.height, reading.rejects.height,
            warnings=reading.warnings, reasons=reading.reasons, check=check,
        )  # fmt: skip

    def read_file(self, path: Any, kind: str = "attempts", options: Any = None) -> Reading:
        from ledger.intake.read import read

        return read(path, kind, options)

    def settle(self, attempt: int, technique: str) -> str:
        self._called("settle", (attempt, technique))
        source = self._source(f"attempt {attempt} settled: {technique}")
        return (
            f"attempt {attempt} settled: {technique}; before: disputed (Ana board, Bo straight); "
            f"to take it back: offglass undo {source}"
        )

    def undo(self, source: int, *, again: bool = False, yes: bool = False) -> str:
        self._called("undo", (source, again, yes))
        if self.others_tags and not yes and not again:
            raise UseError("12 attempts of source 1 carry tags of Oren: type --yes to take them")
        at = source - 1
        when = None if again else "2025-03-03 09:00:00"
        self.sources[at] = replace(self.sources[at], taken_back=when)
        self.changes += 1
        return "done"

    def export_chart(
        self,
        answer: Answer,
        path: Any,
        *,
        theme: str = "light",
        size: str = "wide",  # noqa: ARG002
        progress: Callable[[float], None] | None = None,
    ) -> Path:
        self._called("export_chart", (answer.question, str(path), theme))
        if self.hold is not None:
            self._wait(self.hold, progress)
        Path(path).write_text("picture", encoding="utf-8")
        return Path(path)

    def export_slide(
        self, answer: Answer, path: Any, *, theme: str = "light", template: Any = None
    ) -> Path:
        self._called("export_slide", (answer.question, str(path), theme, template))
        Path(path).write_text("slide", encoding="utf-8")
        return Path(path)

    def put_in_deck(self, answer: Answer) -> str:
        self._called("put_in_deck", answer.question)
        number = self._source("deck")
        return f"{answer.title} is slide 1 of the deck; to take it back: offglass undo {number}"

    def release(self) -> bool:
        self.calls.append(("release", None))
        return True

    def interrupt(self) -> None:
        self.calls.append(("interrupt", None))
        self.stopped.set()

    def close(self) -> None:
        self.closed = True


_HEADLINES = {
    "adopters": "7 of the 37 players watched enough shoot off the backboard; the other 57 players "
    "were watched too little to say.",
    "uptake": "Off the backboard: 4 % of free throws (1 to 9) five seasons ago, 19 % now.",
    "sources": "2 sources, the last by Mira.",
    "attempts": "24 records.",
}

Opener = Callable[[], FakeBook]
