"""The figures of the demo ledger beside the planted ones: what was found, held and missed."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from demo_data import Expects, Manifest
from ledger.cli import demo_ledger
from ledger.stats.league_share import MIN_ATTEMPTS, league_share

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.intake.report import Report

Row = dict[str, Any]
# A player-season: league, season, player and team (two players have one name).
Key = tuple[str, str, str, str]

_LOOKS_LIKE, _SUSPECT, _OTHER = 0.15, 0.8, 0.08


@dataclass(frozen=True)
class Planted:
    """A ledger of the whole scenario, and the truth it was made from."""

    book: Book
    manifest: Manifest
    reports: tuple[Report, ...]

    @cached_property
    def player_seasons(self) -> dict[Key, Row]:
        """What a perfect observer would know of every player-season."""
        table = self.manifest.truth["player_seasons"]
        rows = (dict(zip(table["columns"], row, strict=True)) for row in table["rows"])
        return {(r["league"], r["season"], r["player"].split("|")[1], r["team"]): r for r in rows}

    @cached_property
    def league_seasons(self) -> dict[tuple[str, str], Row]:
        """The same of every league-season."""
        return {(r["league"], r["season"]): r for r in self.manifest.truth["league_seasons"]}

    @cached_property
    def adopters(self) -> list[Row]:
        return self.book.ask("adopters").main.rows()

    @cached_property
    def uptake(self) -> dict[tuple[str, str], Row]:
        rows = self.book.ask("uptake").main.rows()
        return {(row["league"], row["season"]): row for row in rows}

    def drawn(self, key: tuple[str, str]) -> int:
        """How many players the lot of a league-season has named."""
        (lot,) = (one for one in self.manifest.lots if (one.league, one.season) == key)
        return lot.players

    def ability(self, name: str, league: str, teams: str) -> float:
        """The planted make rate of a player, before any effect of a technique."""
        players = self.manifest.truth["players"]
        found = players.get(f"{league}|{name}") or players[f"{league}|{name}|{teams}"]
        return float(found["ability"])

    def expected(self) -> list[tuple[Report, Expects]]:
        """Every report beside what the scenario says of its file."""
        steps = [step for step in self.manifest.steps if step not in self.manifest.lots]
        found = []
        for step, report in zip(steps, self.reports, strict=True):
            expects = getattr(step, "expects", None)
            if expects is None:
                # One line a tag, below the names of the columns.
                text = (self.manifest.folder / report.file).read_text(encoding="utf-8")
                rows = len(text.splitlines()) - 1
                expects = Expects(rows, rows)
            found.append((report, expects))
        return found


@contextmanager
def planted(folder: Path) -> Iterator[Planted]:
    """The whole demo, built as `offglass demo` builds it, without asking or drawing anything."""
    demo_ledger.make_room(folder)
    book, manifest, reports = demo_ledger.build(folder, progress=lambda *_: None)
    try:
        yield Planted(book, manifest, tuple(reports))
    finally:
        book.close()


@dataclass(frozen=True, slots=True)
class Calling:
    """Player-seasons called adopter against those whose true share is one half or more.

    Attributes:
        called: called adopter.
        right: of them truly so.
        there: truly so, with 8 tags or more and a share of their own (mixed ones below 80 % are
            rightly left open).
        found: of those called adopter.
        wrong_not: truly adopter and called "not".
    """

    called: int
    right: int
    there: int
    found: int
    wrong_not: int


def calling(data: Planted) -> Calling:
    """How well players are told apart, over every season of every league."""
    called = right = there = found = wrong_not = 0
    for row in data.adopters:
        true = data.player_seasons[row["league"], row["season"], row["player"], row["team"]]
        is_called = row["state"] == "adopter"
        called += is_called
        right += is_called and true["share"] >= 0.5
        wrong_not += row["state"] == "not" and true["share"] >= 0.5
        if true["share"] >= 0.8 and row["tagged"] >= 8:
            there += 1
            found += is_called
    return Calling(called, right, there, found, wrong_not)


def shares_held(data: Planted) -> list[tuple[str, bool]]:
    """Every league-season with an interval, and whether it holds the true share."""
    found = []
    for key, row in data.uptake.items():
        if row["low"] is not None:
            true = data.league_seasons[key]["share_10"]
            found.append((" ".join(key), bool(row["low"] <= true <= row["high"])))
    return found


@dataclass(frozen=True, slots=True)
class Squares:
    """Mean squared errors against the planted ability, of players with few attempts."""

    players: int
    raw: float
    shrunken: float
    covered: float

    @property
    def ratio(self) -> float:
        return self.shrunken / self.raw


def squares(data: Planted, below: int = 100) -> Squares:
    """Raw and shrunken rate of every player below so many attempts, over all his seasons."""
    raw, shrunken, held = [], [], []
    for row in data.book.ask("ranking", min_attempts=1).main.rows():
        if row["attempts"] < below and row["shrunken_rate"] is not None:
            true = data.ability(row["player"], row["league"], row["team"])
            raw.append((row["raw_rate"] - true) ** 2)
            shrunken.append((row["shrunken_rate"] - true) ** 2)
            held.append(row["low"] <= true <= row["high"])
    return Squares(len(raw), float(np.mean(raw)), float(np.mean(shrunken)), float(np.mean(held)))


@dataclass(frozen=True, slots=True)
class Lots:
    """Many lots of one league-season whose truth is known.

    Attributes:
        truth: the true share.
        coverage: part of the intervals that held it.
        drawn_mean: mean of what the lot alone says, joined with those watched before it; `error`
            its standard error.
        mean: mean of the shares as shown, which are never below what was seen.
        drawn_off: root of the mean squared error of what the lot alone says.
        off: the same of the shares as shown.
        naive: mean of the shares if everybody watched counted as drawn.
    """

    truth: float
    lots: int
    coverage: float
    drawn_mean: float
    error: float
    mean: float
    drawn_off: float
    off: float
    naive: float


def many_lots(
    data: Planted, league: str, season: str, *, lots: int, suspects: str, seed: int = 20405
) -> Lots:
    """Draw lots of 40 from the true attempts of one league-season and watch some suspects too.

    Args:
        suspects: `after` the lot (they could have been drawn) or `before` it (they could not).
        seed: of all draws.
    """
    rows = [r for key, r in data.player_seasons.items() if key[:2] == (league, season)]
    n, board = (np.array([r[c] for r in rows]) for c in ("attempts", "board"))
    enough = n >= MIN_ATTEMPTS
    n, board = n[enough], board[enough]
    rng = np.random.default_rng(seed)
    odds = np.where(board / n >= _LOOKS_LIKE, _SUSPECT, _OTHER)
    truth = float(board.sum() / n.sum())
    shares, alone, held, naive = [], [], [], []
    for _ in range(lots):
        suspect = rng.random(n.size) < odds
        frame = np.ones(n.size, bool) if suspects == "after" else ~suspect
        drawn = np.zeros(n.size, bool)
        drawn[rng.permutation(np.flatnonzero(frame))[:40]] = True
        t, f = _watched(n, board, drawn, suspect, rng)
        share = league_share(n, t, f, drawn, in_frame=frame)
        assert share.share is not None
        assert share.low is not None
        assert share.high is not None
        assert share.p is not None
        shares.append(share.share)
        held.append(share.low <= truth <= share.high)
        own = suspect & ~frame
        alone.append(float((n[own] @ (f[own] / t[own]) + n[~own].sum() * share.p) / n.sum()))
        seen = t > 0
        naive.append(float(n[seen] @ (f[seen] / t[seen]) / n[seen].sum()))

    def off(values: list[float]) -> float:
        return float(np.sqrt(np.mean((np.array(values) - truth) ** 2)))

    return Lots(
        truth=truth,
        lots=lots,
        coverage=float(np.mean(held)),
        drawn_mean=float(np.mean(alone)),
        error=float(np.std(alone, ddof=1) / np.sqrt(lots)),
        mean=float(np.mean(shares)),
        drawn_off=off(alone),
        off=off(shares),
        naive=float(np.mean(naive)),
    )


def _watched(
    n: NDArray[np.int64],
    board: NDArray[np.int64],
    drawn: NDArray[np.bool_],
    suspect: NDArray[np.bool_],
    rng: np.random.Generator,
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """A random part of each watched player's attempts: up to 66 of the drawn, 80 of a suspect."""
    most = np.where(suspect, 80, np.where(drawn, 66, 0))
    t = np.minimum(n, most)
    f = rng.hypergeometric(board, n - board, np.maximum(t, 1))
    return t, np.where(t > 0, f, 0)


@dataclass(frozen=True, slots=True)
class MissesHeld:
    """Differences of two techniques within players beside the planted ones, and agreement.

    Attributes:
        rows: what, planted difference, measured, low, high.
        agree: share of attempts told alike by two people, and the planted share.
    """

    rows: tuple[tuple[str, float, float, float, float], ...]
    agree: tuple[float, float]


def misses_held(data: Planted) -> MissesHeld:
    """Where misses go and how far people agree, against how the scenario was written."""
    offence = data.manifest.truth["offensive_rebound"]
    # Shares of misses by the scenario's odds: by the side .75 and .45, short .26 and .42.
    planted = {
        "misses left by the side": 0.75 - 0.45,
        "short misses": 0.26 - 0.42,
        "offensive rebounds": offence["board"] - offence["straight"],
    }
    found = {r["what"].partition(",")[0]: r for r in data.book.ask("misses").part("tests").rows()}
    rows = tuple(
        (name, true, *(float(found[name][c]) for c in ("difference", "low", "high")))
        for name, true in planted.items()
    )
    pairs = data.book.ask("agreement").main.rows()
    alike = sum(r["alike"] for r in pairs) / sum(r["attempts"] for r in pairs)
    # Each of two misreads one technique in a hundred; both at once are alike again.
    return MissesHeld(rows, (alike, 0.99**2 + 0.01**2))
