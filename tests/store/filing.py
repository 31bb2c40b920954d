"""Files and ledgers for tests of what comes in and goes out again."""

from __future__ import annotations

import tempfile
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

from ledger.intake.bring import bring
from ledger.intake.options import typed
from ledger.intake.report import Report
from ledger.store import undo as way_back
from ledger.store.check import check
from ledger.store.consents import add_consent
from ledger.store.ledger_file import LedgerFile

HEAD = "league,season,date,game,team,player,made"
_ATTEMPTS = """
    SELECT l.normal_form, s.normal_form, g.date, g.label, g.stage, h.normal_form, w.normal_form,
        t.normal_form, p.normal_form, o.normal_form, a.period, a.clock_s, a.order_in_game, a.shot,
        a.spot, a.trip_shot, a.trip_of, a.trip_kind, a.trip_incomplete, a.ended_by, a.made,
        a.rebound_by, a.file_id, {more}
    FROM attempt a JOIN game g ON g.id = a.game_id JOIN league l ON l.id = g.league_id
    JOIN season s ON s.id = g.season_id JOIN team t ON t.id = a.team_id
    JOIN player p ON p.id = a.player_id LEFT JOIN team o ON o.id = a.opponent_id
    LEFT JOIN team h ON h.id = g.home_team_id LEFT JOIN team w ON w.id = g.away_team_id
"""
_TAG = """
    x.tagger, k.name, x.technique_as_written, x.first_contact, x.miss_depth, x.miss_side,
    x.rebound_zone, x.release_angle_deg, x.confidence, x.adjudicated, x.unclear, x.picked_for,
    x.note
"""


@cache
def _empty() -> bytes:
    """An empty ledger's file, made once."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "empty.duckdb"
        LedgerFile(path, create=True, who="ann", clock=lambda: datetime(2025, 1, 1)).close()
        return path.read_bytes()


@contextmanager
def ledger(folder: Path, name: str = "book") -> Iterator[LedgerFile]:
    """An empty ledger whose clock goes on by a second at each look."""
    ticks = iter(datetime(2025, 1, 1) + timedelta(seconds=n) for n in range(100_000))
    path = folder / f"{name}.duckdb"
    path.write_bytes(_empty())
    with LedgerFile(path, who="ann", clock=lambda: next(ticks)) as file:
        yield file


class Desk:
    """A ledger and a folder of files that are brought into it."""

    def __init__(self, file: LedgerFile, folder: Path) -> None:
        self.file = file
        self.folder = folder
        self._files = 0

    def bring(self, text: str, kind: str = "attempts", **options: Any) -> Report:
        """A file of this text, in."""
        self._files += 1
        path = self.folder / f"file{self._files}.csv"
        path.write_text(text, encoding="utf-8")
        keep = {k: options.pop(k) for k in ("check", "rejects") if k in options}
        return bring(self.file, path, kind, typed(**options), **keep)

    def consent(self, *players: str, on: str = "2020-01-01", until: str | None = None) -> None:
        """Consents to records of practice."""
        for player in players:
            with self.file.changing("consent") as con:
                add_consent(
                    con,
                    self.file,
                    player,
                    given_by="player",
                    on=date.fromisoformat(on),
                    until=date.fromisoformat(until) if until else None,
                    purpose="a trial",
                )

    def undo(self, source: int | None, *, yes: bool = False) -> way_back.Undone:
        """A source taken back."""
        assert source is not None
        with self.file.changing("undo") as con:
            return way_back.undo(con, self.file, source, yes=yes)

    def again(self, source: int | None) -> way_back.Undone:
        """A source brought in again."""
        assert source is not None
        with self.file.changing("undo again") as con:
            return way_back.again(con, self.file, source)

    def rows(self, text: str) -> list[tuple[Any, ...]]:
        """What a query gives."""
        with self.file.reading() as con:
            return con.execute(text).fetchall()

    def dump(self) -> dict[str, Counter[tuple[Any, ...]]]:
        """All that counts, by names: attempts, tags, agreed techniques, totals; no ids or times."""
        live = "WHERE NOT a.removed"
        tags = (
            f"JOIN tag x ON x.attempt_id = a.id LEFT JOIN technique k ON k.id = x.technique_id "
            f"{live} AND NOT x.removed"
        )
        agreed = (
            "JOIN agreed x ON x.attempt_id = a.id LEFT JOIN technique k ON k.id = x.technique_id "
            f"{live}"
        )
        said = "k.name, x.tags, x.disputed, x.unclear, x.picked_for"
        totals = """
            SELECT l.normal_form, s.normal_form, p.normal_form, t.normal_form, x.shot, x.made,
                x.attempts
            FROM season_total x
            JOIN league l ON l.id = x.league_id JOIN season s ON s.id = x.season_id
            JOIN player p ON p.id = x.player_id LEFT JOIN team t ON t.id = x.team_id
            WHERE NOT x.removed
        """
        return {
            "attempts": Counter(self.rows(_ATTEMPTS.format(more="1") + live)),
            "tags": Counter(self.rows(_ATTEMPTS.format(more=_TAG) + tags)),
            "agreed": Counter(self.rows(_ATTEMPTS.format(more=said) + agreed)),
            "totals": Counter(self.rows(totals)),
        }

    def whole(self) -> list[str]:
        """What the check of the ledger finds; nothing, if all is well."""
        return [finding.line() for finding in check(self.file)]


@contextmanager
def desk(folder: Path, name: str = "book") -> Iterator[Desk]:
    """A desk with an empty ledger."""
    with ledger(folder, name) as file:
        yield Desk(file, folder)


def alone(*files: tuple[str, str]) -> dict[str, Counter[tuple[Any, ...]]]:
    """What a ledger holds that only ever saw these files (text, kind)."""
    return {part: Counter(found) for part, found in _alone(files).items()}


@cache
def _alone(files: tuple[tuple[str, str], ...]) -> dict[str, Counter[tuple[Any, ...]]]:
    with tempfile.TemporaryDirectory() as folder, desk(Path(folder)) as other:
        for text, kind in files:
            other.bring(text, kind)
        return other.dump()


def rows(head: str, *lines: str) -> str:
    """A file of these lines."""
    return "\n".join((head, *lines)) + "\n"
