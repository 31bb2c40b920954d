"""What the names of a cohort mean in one ledger: numbers of rows, or "did you mean".

Unlike a command that changes one thing, a cohort may mean several things of one name: all of them
are taken. Names match without case and accents, but the name as written wins over its look-alike.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, Any

from ledger.errors import UseError
from ledger.store.names import did_you_mean, loose_form, start_year, tidy, written_form
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

Row = dict[str, Any]

BOARD_ASSISTED = "board-assisted"
_NONE = "it has no {kind} yet, type offglass import FILE"
# Filters that have names: the list they stand in, and the column of the name that is shown.
_CHOICES = {
    "league": ("leagues", "name"),
    "season": ("seasons", "label"),
    "team": ("teams", "name"),
    "opponent": ("teams", "name"),
    "position": ("positions", "written"),
    "player": ("players", "name"),
    "list": ("lists", "written"),
    "spot": ("spots", "written"),
    "trial": ("trials", "written"),
    "tagger": ("taggers", "written"),
}


class Directory:
    """The names of one ledger, each list read once when first needed.

    Args:
        connection: an open ledger, its views in place.
    """

    def __init__(self, connection: DuckDBPyConnection) -> None:
        self._con = connection
        self._lists: dict[str, list[Row]] = {}

    def rows(self, what: str) -> list[Row]:
        """One of the lists of `sql/reads/directory.sql`, as dictionaries."""
        if what not in self._lists:
            done = self._con.execute(sql("reads/directory", what))
            names = [column[0] for column in done.description or ()]
            self._lists[what] = [dict(zip(names, row, strict=True)) for row in done.fetchall()]
        return self._lists[what]

    def choices(self, field: str) -> list[str]:
        """The names that may be typed for a filter, in order, each once.

        Raises:
            UseError: if the filter has no names.
        """
        if field in ("technique", "focus"):
            known = self.rows("techniques")
            names = [BOARD_ASSISTED, *(r["name"] for r in known), *_groups(known)]
        elif field in _CHOICES:
            what, column = _CHOICES[field]
            names = [row[column] for row in self.rows(what)]
        else:
            raise UseError(f"{field} has no names: {', '.join((*_CHOICES, 'technique'))} have")
        return list(dict.fromkeys(names))

    def spelled(self, field: str, texts: Iterable[str]) -> tuple[str, ...]:
        """Names as the ledger shows them, for a filter with names; others stay as typed.

        Raises:
            UseError: for a name the ledger does not know.
        """
        if field not in _CHOICES or field == "season":
            return tuple(texts)
        what, column = _CHOICES[field]
        kind = "list or lot" if field == "list" else what.removesuffix("s")
        rows = self.rows(what)
        names = [row[column] for text in texts for row in self._matching(kind, text, rows)]
        return tuple(dict.fromkeys(names))

    def leagues(self, texts: Iterable[str]) -> list[int]:
        """Numbers of all league rows that are shown under the leagues meant."""
        return self._everybody("leagues", "league", texts, self.rows("leagues"))

    def written_as(self, leagues: Iterable[int]) -> list[int]:
        """Numbers of all league rows that are shown as these, for the conditions of a scope."""
        shown = set(leagues)
        return sorted({int(r["id"]) for r in self.rows("leagues") if r["one_id"] in shown})

    def teams(self, texts: Iterable[str], leagues: Sequence[int] = ()) -> list[int]:
        """Numbers of all team rows that are the teams meant, in some leagues or all."""
        return self._everybody("teams", "team", texts, self._within("teams", leagues))

    def players(self, texts: Iterable[str], leagues: Sequence[int] = ()) -> list[int]:
        """Numbers of all player rows that are the persons meant, in some leagues or all."""
        return self._everybody("players", "player", texts, self._within("players", leagues))

    def words(self, what: str, kind: str, texts: Iterable[str]) -> list[str]:
        """Stored words (positions, spots) that are meant.

        Raises:
            UseError: if a word is in no record.
        """
        found: set[str] = set()
        for text in texts:
            found.update(r["written"] for r in self._matching(kind, text, self.rows(what)))
        return sorted(found)

    def lists(self, texts: Iterable[str]) -> tuple[list[int], list[int]]:
        """Numbers of the shortlists and of the lots that are meant."""
        rows = [r for t in texts for r in self._matching("list or lot", t, self.rows("lists"))]
        shortlists = sorted({r["id"] for r in rows if r["kind"] == "list"})
        return shortlists, sorted({r["id"] for r in rows if r["kind"] == "lot"})

    def techniques(self, texts: Iterable[str]) -> list[Row]:
        """The techniques meant by names, groups or `board-assisted`, in their own order.

        Raises:
            UseError: for a name that is neither, with near ones.
        """
        known = self.rows("techniques")
        wanted: set[int] = set()
        for text in texts:
            is_meant = _technique_test(loose_form(text))
            hits = {row["id"] for row in known if is_meant(row)}
            if not hits:
                choices = [BOARD_ASSISTED, *(r["name"] for r in known), *_groups(known)]
                raise UseError(f"the ledger has no technique {text!r}{did_you_mean(text, choices)}")
            wanted |= hits
        return [row for row in known if row["id"] in wanted]

    def seasons(self, texts: Iterable[str]) -> list[int]:
        """Numbers of the seasons meant by labels or ranges `A..B`, both ends included."""
        found: set[int] = set()
        for text in texts:
            first, dots, last = text.partition("..")
            if dots:
                start, end = self._start_year(first, text), self._start_year(last, text)
                if start > end:
                    raise UseError(
                        f"the season range {text!r} ends before it begins: turn it round"
                    )
                found.update(
                    r["id"] for r in self.rows("seasons") if start <= r["start_year"] <= end
                )
            else:
                found.update(self._season(text))
        return sorted(found)

    def sources(self, numbers: Iterable[int]) -> list[int]:
        """The numbers, each of which is a source.

        Raises:
            UseError: if one is not.
        """
        known = {r["id"] for r in self.rows("sources")}
        for number in numbers:
            if number not in known:
                there = f"the last is {max(known)}" if known else _NONE.format(kind="source")
                raise UseError(f"the ledger has no source {number}: {there}")
        return sorted(set(numbers))

    def _within(self, what: str, leagues: Sequence[int]) -> list[Row]:
        rows = self.rows(what)
        return [r for r in rows if r["league_id"] in leagues] if leagues else rows

    def _everybody(self, what: str, kind: str, texts: Iterable[str], rows: list[Row]) -> list[int]:
        """Every row number of the things meant, under all their spellings."""
        meant = {r["one_id"] for text in texts for r in self._matching(kind, text, rows)}
        return sorted({r["id"] for r in self.rows(what) if r["one_id"] in meant})

    def _matching(self, kind: str, text: str, rows: list[Row]) -> list[Row]:
        for form in (tidy, written_form, loose_form):
            asked = form(text)
            found = [r for r in rows if form(r["written"]) == asked]
            if found and asked:
                return found
        names = [r["written"] for r in rows]
        end = did_you_mean(text, names) if names else f": {_NONE.format(kind=kind)}"
        end = end or ": the names stand in offglass ask attempts"
        raise UseError(f"the ledger has no {kind} {text!r}{end}")

    def _season(self, text: str) -> list[int]:
        rows, asked = self.rows("seasons"), loose_form(text)
        hits = [r["id"] for r in rows if asked in (loose_form(r["label"]), r["normal_form"])]
        if not hits:
            year = start_year(text)
            hits = [r["id"] for r in rows if year == r["start_year"]]
        if not hits:
            labels = [r["label"] for r in rows]
            end = (
                f": it has {labels[0]} to {labels[-1]}"
                if labels
                else f": {_NONE.format(kind='season')}"
            )
            end = did_you_mean(text, labels) or end
            raise UseError(f"the ledger has no season {text!r}{end}")
        return hits

    def _start_year(self, text: str, whole: str) -> int:
        asked = loose_form(text)
        for row in self.rows("seasons"):
            if asked in (loose_form(row["label"]), row["normal_form"]):
                return int(row["start_year"])
        year = start_year(text)
        if year is None:
            raise UseError(f"the season range {whole!r} needs two seasons such as 2019-20..2024-25")
        return year


def _technique_test(asked: str) -> Callable[[Row], bool]:
    if asked.replace(" ", "-").replace("_", "-") == BOARD_ASSISTED:
        return lambda row: bool(row["uses_board"])
    return lambda row: loose_form(row["name"]) == asked or asked in map(loose_form, _groups([row]))


def _groups(rows: Iterable[Row]) -> list[str]:
    return [g.strip() for r in rows for g in r["groups"].split(",") if g.strip()]
