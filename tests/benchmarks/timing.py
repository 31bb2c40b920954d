"""Taking times in turn, so that a drift of the machine meets both sides alike."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Ratio:
    """One line of the report: medians in seconds, and what the baseline does not do."""

    name: str
    ours: float
    baseline: float
    aim: str
    baseline_is: str

    def line(self) -> str:
        """The line as printed."""
        ours, baseline = self.ours * 1000, self.baseline * 1000
        figures = f"{ours:>9,.0f} ms  baseline {baseline:>8,.0f} ms  ratio {ours / baseline:>6.2f}"
        return f"{self.name:<34}{figures}  aim {self.aim}\n{'':<34}baseline: {self.baseline_is}"


def seconds(work: Callable[[], object]) -> float:
    """Wall-clock seconds of one call."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def in_turn(
    ours: Callable[[], object], baseline: Callable[[], object], *, times: int = 5
) -> tuple[float, float]:
    """Medians of both, timed A B A B after one warm-up each."""
    ours()
    baseline()
    pairs = [(seconds(ours), seconds(baseline)) for _ in range(times)]
    return statistics.median(a for a, _ in pairs), statistics.median(b for _, b in pairs)
