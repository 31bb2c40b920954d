"""Print the figures measured against the planted truth: `python -m tests.planted [switches]`."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.planted import switching, watching
from tests.planted.measured import (
    Planted,
    calling,
    many_lots,
    misses_held,
    planted,
    shares_held,
    squares,
)
from tests.planted.trials import called


def told(data: Planted, *, lots: int) -> list[str]:
    """The measured figures, a line each."""
    found, errors = calling(data), squares(data)
    held = shares_held(data)
    missed = [name for name, holds in held if not holds]
    lines = [
        f"called adopter {found.called} player-seasons, {found.right} of them truly so; of "
        f"{found.there} that do it 80 % of the time and have 8 tags, {found.found} found, "
        f"{found.there - found.found} missed; {found.wrong_not} adopters called not",
        f"shares held {len(held) - len(missed)} of {len(held)}; missed: {missed or 'none'}",
        f"players below 100 attempts: {errors.players}; mean squared error raw {errors.raw:.5f}, "
        f"allowing for luck {errors.shrunken:.5f}, ratio {errors.ratio:.2f}; intervals held "
        f"{errors.covered:.3f}",
    ]
    for when in ("after", "before"):
        many = many_lots(data, "Halma League", "2024-25", lots=lots, suspects=when)
        lines.append(
            f"{many.lots} lots, suspects watched {when} the draw: true share {many.truth:.4f}, "
            f"mean of what the lot says {many.drawn_mean:.4f} (error {many.error:.4f}), as shown "
            f"{many.mean:.4f}, off by {many.drawn_off:.4f} and {many.off:.4f}; coverage "
            f"{many.coverage:.3f}; everybody watched as if drawn {many.naive:.3f}"
        )
    for key, row in data.uptake.items():
        true = data.league_seasons[key]["share_10"]
        shown = "bounds" if row["share"] is None else f"{row['share']:.3f}"
        limits = "" if row["low"] is None else f" ({row['low']:.3f} to {row['high']:.3f})"
        lines.append(f"{' '.join(key)}: {row['method']}, true {true:.3f}, shown {shown}{limits}")
    lines += trials_told(runs=4000)
    lines += misses_told(data)
    return lines


def trials_told(runs: int) -> list[str]:
    """How often planted trials are called, a line an effect."""
    lines = []
    for effect in (0.0, 0.08, 0.13):
        found = called(effect, runs)
        lines.append(
            f"trials with a true effect of {100 * effect:.0f} per 100: called better "
            f"{found.better:.3f}, worse {found.worse:.3f}; looking after each session "
            f"{found.peeking:.3f}"
        )
    return lines


def misses_told(data: Planted) -> list[str]:
    """Differences of misses within players and agreement, a line a figure."""
    held = misses_held(data)
    lines = [
        f"{name}: planted {true:+.2f}, within players {difference:+.3f} ({low:+.3f} to {high:+.3f})"
        for name, true, difference, low, high in held.rows
    ]
    alike, planted_share = held.agree
    return [*lines, f"told alike by two people {alike:.4f}, planted {planted_share:.4f}"]


def main() -> None:
    with tempfile.TemporaryDirectory() as folder, planted(Path(folder) / "demo") as data:
        if "switches" in sys.argv[1:]:
            print("\n".join(switching.told(data, runs=2000)))
            return
        print("\n".join([*told(data, lots=400), *watching.told(data)]))
        print("\n".join(switching.told(data, runs=400)))


if __name__ == "__main__":
    main()
