"""Start of the command against the bare import of what it is built on."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tests.benchmarks.million import Million
from tests.benchmarks.timing import Ratio, in_turn


def measure(home: Path, million: Million) -> list[Ratio]:
    """`offglass --help` against `python -c "import click"`."""
    offglass = Path(sys.executable).with_name("offglass")
    ours, baseline = in_turn(
        lambda: _run(str(offglass), "--help"),
        lambda: _run(sys.executable, "-c", "import click"),
        times=15,
    )
    return [
        Ratio("offglass --help", ours, baseline, "1.6 times or less", "python -c 'import click'")
    ]


def _run(*words: str) -> None:
    subprocess.run(words, stdout=subprocess.DEVNULL, check=True)
