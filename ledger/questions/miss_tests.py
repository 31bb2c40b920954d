"""Do misses of the technique that is studied differ from straight ones, within players?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np
import polars as pl
from numpy.typing import NDArray

from ledger.questions import columns
from ledger.questions.guards import NOT_A_TEST, Suspicion
from ledger.questions.miss_grid import DEPTHS, SIDES
from ledger.questions.player_seasons import LEAGUE_SEASON
from ledger.stats.label_test import permuted
from ledger.stats.mantel_haenszel import rate_difference
from ledger.stats.rank_test import holm

if TYPE_CHECKING:
    from ledger.questions.inquiry import Inquiry

STRAIGHT = "straight"
LEAST_MISSES = 10
LIMIT = 0.05
NOBODY = "no player missed with both techniques"
ONE_KIND = "every miss compared is of one kind"
_BY_DEPTH = "of short and of long misses below"
_BY_SIDE = "of misses left by the side below"
WHOLLY = "all or nothing: no interval"

COLUMNS = (
    columns.text("what", "What", "What is compared, within players"),
    columns.share("difference", "Difference", "Share of the technique studied minus the other"),
    columns.share("low", "Low", "Lower limit of the difference (95 %)"),
    columns.share("high", "High", "Upper limit of the difference (95 %)"),
    columns.share("p", "p", "How often luck alone differs as much"),
    columns.share("p_holm", "p of all", "The same for all tests of this table together (Holm)"),
    columns.number_of("players", "Players", "players", "Players with such misses of both kinds"),
    columns.number_of("focus_count", "Of those", "attempts", "Such misses of the one studied"),
    columns.number_of("focus_misses", "Misses", "attempts", "Its misses compared"),
    columns.number_of("other_count", "Of those, other", "attempts", "Such misses of the other"),
    columns.number_of("other_misses", "Misses, other", "attempts", "Misses of the other compared"),
    columns.text("difference_why", "Why no difference", "Why there is no difference or interval"),
    columns.text("p_why", "Why no test", "Why there is no test"),
    columns.number_of("arrangements", "Arrangements", "", "Labels dealt so many times"),
    columns.text("method", "How", "Every arrangement counted, or drawn by lot"),
)


@dataclass(frozen=True, slots=True)
class Sides:
    """Misses of two techniques by player and kind.

    Attributes:
        tables: (players, 2, kinds), the technique studied first; players with both only.
        why: why nothing may be tested or given an interval, or empty.
    """

    tables: NDArray[np.int64]
    why: str

    @property
    def players(self) -> int:
        """Players with both."""
        return len(self.tables)

    @property
    def misses(self) -> tuple[int, int]:
        """Misses of both techniques, of those players."""
        first, second = self.tables.sum(axis=(0, 2)).tolist() if self.players else (0, 0)
        return first, second


@dataclass(frozen=True, slots=True)
class Compared:
    """What the tests came to.

    Attributes:
        rows: rows of the part `tests`, by what they are about.
        raised: `league, season` left out because they raised the question.
        others: how the other technique stands after "shoots".
    """

    rows: dict[str, dict[str, Any]]
    raised: pl.DataFrame
    others: str

    def shown(self, name: str) -> bool:
        """Whether a test finds a difference, all tests of the table together."""
        p = self.rows[name]["p_holm"]
        return p is not None and p <= LIMIT


def with_groups(inquiry: Inquiry, seen: pl.DataFrame) -> tuple[pl.DataFrame, str]:
    """Misses with `group` 0 (studied) or 1 (the other), others empty; and the other in words.

    Straight misses are the other ones, unless they are studied themselves: then all that are known.
    """
    focus = pl.col("technique_id").is_in(list(inquiry.focus.ids))
    straight = [row["id"] for row in inquiry.reads.names.techniques([STRAIGHT])]
    if set(straight) & set(inquiry.focus.ids):
        other, words = pl.col("technique_id").is_not_null() & ~focus, "in another way"
    else:
        other, words = pl.col("technique_id").is_in(straight), STRAIGHT
    grouped = seen.filter(~pl.col("made")).with_columns(
        group=pl.when(focus).then(0).when(other).then(1)
    )
    return grouped, words


def compared(inquiry: Inquiry, seen: pl.DataFrame) -> Compared:
    """Compare depth, side and rebounds within players.

    Args:
        inquiry: with the option `seed`.
        seen: as `Missing.seen` gives them.
    """
    misses, others = with_groups(inquiry, seen)
    misses = misses.filter(pl.col("group").is_not_null())
    seasons = misses.select(*LEAGUE_SEASON, "league", "season").unique(maintain_order=True)
    _, raised = Suspicion.of(inquiry).split(seasons)
    tested = misses.join(raised, on=LEAGUE_SEASON, how="anti", maintain_order="left")
    only_raised = tested.is_empty() and not misses.is_empty()
    seed = int(inquiry.options["seed"])
    names = f"{', '.join(inquiry.focus.names)} minus {'others' if others != STRAIGHT else others}"
    depth = _sides(tested, "depth", DEPTHS, only_raised)
    side = _sides(tested, "side", SIDES, only_raised)
    live = tested.filter(pl.col("live") == "live")
    rebound = live.with_columns(offence=_offence(pl.col("rebound_by")))
    offence = _sides(rebound, "offence", ("yes", "no"), only_raised)
    rows = {
        "depth": _tested(f"depth of misses, {names}, within players", depth, seed, _BY_DEPTH),
        "side": _tested(f"side of misses, {names}, within players", side, seed, _BY_SIDE),
        "rebounds": _difference(
            f"offensive rebounds, {names}, within players", offence, (0,), seed
        ),
        "short": _difference(f"short misses, {names}, within players", depth, (0,)),
        "long": _difference(f"long misses, {names}, within players", depth, (2,)),
        "by_side": _difference(f"misses left by the side, {names}, within players", side, (0, 2)),
    }
    found = [row["p"] if row["p"] is not None else np.nan for row in rows.values()]
    for row, p in zip(rows.values(), holm(found), strict=True):
        row["p_holm"] = None if np.isnan(p) else float(p)
    return Compared(rows, raised.select("league", "season"), others)


def _offence(rebound: pl.Expr) -> pl.Expr:
    taken = pl.when(rebound == "offensive").then(pl.lit("yes")).otherwise(pl.lit("no"))
    return pl.when(rebound.is_not_null()).then(taken)


def _sides(misses: pl.DataFrame, column: str, kinds: Sequence[str], only_raised: bool) -> Sides:
    known = misses.filter(pl.col(column).is_in(list(kinds)))
    people, at = np.unique(known["person_id"].to_numpy(), return_inverse=True)
    kind = known[column].replace_strict({k: i for i, k in enumerate(kinds)}, return_dtype=pl.Int64)
    tables = np.zeros((len(people), 2, len(kinds)), dtype=np.int64)
    np.add.at(
        tables, (at, known["group"].to_numpy(), kind.to_numpy()), known["attempts"].to_numpy()
    )
    found = Sides(tables[tables.sum(axis=2).all(axis=1)], "")
    if only_raised:
        return replace(found, why=NOT_A_TEST)
    if not found.players:
        return replace(found, why=NOBODY)
    if min(found.misses) < LEAST_MISSES:
        first, second = found.misses
        return replace(found, why=f"fewer than {LEAST_MISSES} misses: {first} and {second}")
    return found


def _row(what: str, found: Sides) -> dict[str, Any]:
    row: dict[str, Any] = dict.fromkeys(column.name for column in COLUMNS)
    first, second = found.misses
    return row | {
        "what": what, "players": found.players, "focus_misses": first, "other_misses": second,
    }  # fmt: skip


def _tested(what: str, found: Sides, seed: int, instead: str) -> dict[str, Any]:
    """A test of the whole table: one difference cannot say it."""
    row = _row(what, found)
    row["difference_why"] = found.why or instead
    if found.why:
        return row | {"p_why": found.why}
    return row | _permuted(found, seed)


def _permuted(found: Sides, seed: int) -> dict[str, Any]:
    test = permuted(list(found.tables), seed=seed)
    if test is None:
        return {"p_why": ONE_KIND}
    how = "every arrangement" if test.exact else f"by lot, seed {test.seed}"
    return {"p": test.p, "arrangements": test.arrangements, "method": how}


def _difference(
    what: str, found: Sides, kinds: tuple[int, ...], seed: int | None = None
) -> dict[str, Any]:
    """Share of some kinds, the technique studied minus the other, players as strata.

    With a seed it is tested too, by labels dealt anew: few misses make the interval too short for a
    test (false in 9 to 20 % with one player and 10 misses of one technique).
    """
    row = _row(what, found)
    such = found.tables[:, :, list(kinds)].sum(axis=2)
    of = found.tables.sum(axis=2)
    row["focus_count"], row["other_count"] = (int(such[:, g].sum()) for g in (0, 1))
    row["p_why"] = "tested with its table" if seed is None else None
    if found.why:
        return row | {"difference_why": found.why, "p_why": found.why}
    pooled = rate_difference(such[:, 0], of[:, 0], such[:, 1], of[:, 1])
    row["difference"] = pooled.difference
    if seed is not None:
        row |= _permuted(found, seed)
    if not pooled.error > 0:
        why = ONE_KIND if such.sum() in (0, of.sum()) else WHOLLY
        return row | {"difference_why": why, "p_why": why if row["p"] is None else None}
    return row | {"low": pooled.low, "high": pooled.high}
