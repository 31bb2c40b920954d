"""Changes of technique planted with a known truth: how often they are found, held and claimed.

Nominal values stand beside those measured. Nothing here reads a ledger: players are drawn, and the
functions of `ledger.stats` judge them as `switches` does.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import log
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import expit, logit

from ledger.stats.before_after import CLAIM, Before, likelihood_of_change, size
from ledger.stats.change_points import Counts, drift_evidence, find, ranges
from ledger.stats.mixing import LEAST_GAMES, shuffled
from ledger.stats.pooled_change import pooled

if TYPE_CHECKING:
    from numpy.random import Generator

    from tests.planted.measured import Planted

A, B = 30.0, 10.0
"""The league: rates are Beta(30, 10), as `switches` knows them but for the fit."""

_BAD = 0.65


@dataclass(frozen=True, slots=True)
class Line:
    """One figure measured over replicates, beside what it should be."""

    what: str
    nominal: str
    measured: float
    error: float
    replicates: int

    def __str__(self) -> str:
        """The line as printed."""
        return (
            f"{self.what}: nominal {self.nominal}, measured {self.measured:.4f} "
            f"(error {self.error:.4f}, {self.replicates} replicates)"
        )


def line(what: str, nominal: str, values: list[float] | list[bool]) -> Line:
    """A mean and its standard error."""
    found = np.array(values, dtype=np.float64)
    if not found.size:
        return Line(what, nominal, float("nan"), float("nan"), 0)
    return Line(
        what, nominal, float(found.mean()), float(found.std() / found.size**0.5), found.size
    )


# -- finding ------------------------------------------------------------------------------------


def games(rng: Generator, tags: int) -> Counts:
    """Tagged attempts by game: 2 to 6 a game until so many."""
    found: list[int] = []
    while sum(found) < tags:
        found.append(min(int(rng.integers(2, 7)), tags - sum(found)))
    return np.array(found)


def constant(rng: Generator, tags: Counts) -> Counts:
    """A constant share of any size."""
    return rng.binomial(tags, rng.uniform(0, 1))


def mixed(rng: Generator, tags: Counts) -> Counts:
    """Shares that jump from game to game between hardly ever and nearly always."""
    return rng.binomial(tags, rng.beta(0.3, 0.3, len(tags)))


def sharp(rng: Generator, tags: Counts, at: int) -> Counts:
    """From .05 to .95 after so many games."""
    return rng.binomial(tags, np.where(np.arange(len(tags)) < at, 0.05, 0.95))


def straight_drift(rng: Generator, tags: Counts) -> Counts:
    """From .02 to .98 in a straight line."""
    along = (np.cumsum(tags) - tags / 2) / tags.sum()
    return rng.binomial(tags, 0.02 + 0.96 * along)


def false_alarms(runs: int, draw: Callable[[Generator, Counts], Counts], seed: int) -> list[Line]:
    """How often players who change nothing look as if, before and after shuffling their games."""
    rng = np.random.default_rng(seed)
    before, after = [], []
    for _ in range(runs):
        tags = games(rng, int(rng.integers(40, 61)))
        focus = draw(rng, tags)
        before.append(bool(find(focus, tags).places))
        after.append(before[-1] and _switch(focus, tags, int(rng.integers(1 << 30))))
    kind = "constant share" if draw is constant else "mixing from game to game"
    nominal = ("1.4 % at most",) * 2 if draw is constant else ("5 to 15 %", "2 to 4 %")
    return [
        line(f"false alarms, {kind}, before shuffling", nominal[0], before),
        line(f"false alarms, {kind}", nominal[1], after),
    ]


def _switch(focus: Counts, tags: Counts, seed: int) -> bool:
    return int((tags > 0).sum()) >= LEAST_GAMES and shuffled(focus, tags, seed=seed).p <= 0.05


def detected(runs: int, seed: int) -> list[Line]:
    """How often a change from .05 to .95 is found, and its range holds the day of the change."""
    rng = np.random.default_rng(seed)
    found, held = [], []
    for _ in range(runs):
        tags = games(rng, int(rng.integers(40, 61)))
        # Ten tags on each side, as an admissible change has.
        places = np.nonzero((np.cumsum(tags) >= 12) & (np.cumsum(tags) <= tags.sum() - 12))[0] + 1
        at = int(rng.choice(places))
        focus = sharp(rng, tags, at)
        changes = find(focus, tags).places
        found.append(bool(changes) and _switch(focus, tags, int(rng.integers(1 << 30))))
        if len(changes) == 1:
            (one,) = ranges(focus, tags, changes)
            held.append(one.first <= at <= one.last)
    return [
        line("a change from .05 to .95 at 40 to 60 tags is found", "100 %", found),
        line("the 90 % range of dates holds it", "97 to 100 %", held),
    ]


def there_and_back(runs: int, seed: int) -> Line:
    """How often both changes of a player who went back are found."""
    rng = np.random.default_rng(seed)
    found = []
    for _ in range(runs):
        tags = games(rng, 60)
        at = np.searchsorted(np.cumsum(tags), [20, 40]) + 1
        inside = (np.arange(len(tags)) >= at[0]) & (np.arange(len(tags)) < at[1])
        focus = rng.binomial(tags, np.where(inside, 0.95, 0.05))
        found.append(len(find(focus, tags).places) == 2)
    return line("there and back, both changes found", "97 to 100 %", found)


def drifts(runs: int, seed: int) -> list[Line]:
    """How often a straight drift passes as a change, and as a sharp one."""
    rng = np.random.default_rng(seed)
    found, sharp_too = [], []
    for _ in range(runs):
        tags = games(rng, int(rng.integers(40, 61)))
        focus = straight_drift(rng, tags)
        changes = find(focus, tags)
        found.append(bool(changes.places))
        ahead = max(changes.log_evidence) - drift_evidence(focus, tags)
        sharp_too.append(found[-1] and ahead >= log(3))
    return [
        line("a straight drift passes the ten-to-one rule", "75 to 86 %", found),
        line("a straight drift is called sharp", "2 to 6 %", sharp_too),
    ]


# -- one player ---------------------------------------------------------------------------------


def after_bad_starts(runs: int, effect: float, attempts: int, seed: int) -> list[Line]:
    """Gains of players who changed after a bad start.

    Args:
        runs: players.
        effect: true difference of their rate.
        attempts: attempts before the change.
        seed: of the draws.
    """
    rng = np.random.default_rng(seed)
    claims, raws, off, raw_off, held = [], [], [], [], []
    for _ in range(runs):
        rate, made = _bad_start(rng, attempts)
        true = min(rate + effect, 0.995) - rate
        after = int(rng.binomial(100, rate + true))
        gain = size(Before(A + made, B + attempts - made), after, 100)
        raw = after / 100 - made / attempts
        spread = (after * (100 - after) / 1e6 + made * (attempts - made) / attempts**3) ** 0.5
        claims.append(gain.chance >= CLAIM)
        raws.append(raw > 1.959964 * spread)
        off.append(gain.mean - true)
        raw_off.append(raw - true)
        held.append(gain.low <= true <= gain.high)
    what = f"{attempts} attempts before, true {100 * effect:+.0f} per 100"
    none = effect == 0
    return [
        line(f"{what}: a rise is claimed", "1 to 2 %" if none else "no nominal", claims),
        line(f"{what}: raw difference above 0", "5 to 9 %" if none else "no nominal", raws),
        line(f"{what}: bias", "−.006 to .003" if none else "−.011 to −.023", off),
        line(f"{what}: bias of the raw difference", "no nominal", raw_off),
        line(f"{what}: coverage", ".96 to .97" if none else ".95 to .98", held),
    ]


def _bad_start(rng: Generator, attempts: int) -> tuple[float, int]:
    """A player of the league whose start was below .65: his rate and his makes."""
    while True:
        rate = float(rng.beta(A, B))
        made = int(rng.binomial(attempts, rate))
        if made / attempts <= _BAD:
            return rate, made


# -- several players ----------------------------------------------------------------------------


def over_several(runs: int, players: int, spread: float, seed: int) -> list[Line]:
    """The pooled effect over players who changed after bad starts, without effect on average."""
    rng = np.random.default_rng(seed)
    held, claims, new = [], [], []
    for _ in range(runs):
        likelihoods = []
        for _ in range(players):
            rate, made = _bad_start(rng, 50)
            after = int(rng.binomial(100, expit(logit(rate) + rng.normal(0, spread))))
            likelihoods.append(likelihood_of_change(Before(A + made, B + 50 - made), after, 100))
        pool = pooled(likelihoods)
        held.append(pool.low <= 0 <= pool.high)
        claims.append(pool.chance >= CLAIM)
        new.append(pool.new_low <= rng.normal(0, spread) <= pool.new_high)
    what = f"{players} switchers, spread {spread:g}"
    covered = {3: "1.00, .99", 5: ".99, .97", 8: ".99, .96"}[players].split(", ")
    return [
        line(f"{what}: coverage of the effect", covered[spread > 0], held),
        line(f"{what}: an effect is claimed", "2 % at most", claims),
        line(f"{what}: coverage of a new player", ".95 at least", new),
    ]


def measured(runs: int, seed: int = 20406) -> list[Line]:
    """All figures; `runs` replicates of each player, fewer of what takes long."""
    found = [*false_alarms(runs, constant, seed), *false_alarms(runs, mixed, seed + 1)]
    found += [*detected(runs // 2, seed + 2), there_and_back(runs, seed + 3)]
    found += drifts(runs, seed + 4)
    for attempts in (20, 50, 100, 200):
        for effect in (0.0, 0.08):
            found += after_bad_starts(runs, effect, attempts, seed + attempts)
    for players in (3, 5, 8):
        for spread in (0.0, 0.3):
            found += over_several(max(runs // 2, 2), players, spread, seed + players)
    return found


# -- the scenario -------------------------------------------------------------------------------


def told(data: Planted, runs: int) -> list[str]:
    """Every figure, and each planted switcher of the scenario beside what is said of him."""
    lines = [str(one) for one in measured(runs)]
    rows = {r["player"]: r for r in reversed(data.book.ask("switches").main.rows())}
    for change in data.manifest.truth["switchers"]:
        if change["name"] == "summer":
            continue
        row = rows.get(change["player"].split("|")[1])
        said = "not found"
        if row is not None:
            gain = (
                "not judged"
                if row["gain"] is None
                else (
                    f"{100 * row['gain']:+.0f} ({100 * row['gain_low']:+.0f} to "
                    f"{100 * row['gain_high']:+.0f})"
                )
            )
            said = (
                f"{row['finding']}, {row['shape']}, {row['date']} ({row['date_low']} to "
                f"{row['date_high']}), {gain}, claimed: {row['claim']}"
            )
        lines.append(
            f"{change['name']}: planted {change['shape']} {change['date']}, "
            f"{100 * change['effect']:+.0f}; {said}"
        )
    return lines
