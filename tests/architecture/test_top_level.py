"""What a visitor sees first, and what may never be committed."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
VISIBLE = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "ledger",
    "tui",
    "tests",
    "demo_data",
    "schemas",
}


def _committed() -> list[str]:
    if not (ROOT / ".git").exists():
        pytest.skip("not a git checkout")
    done = subprocess.run(["git", "ls-files"], capture_output=True, text=True, cwd=ROOT, check=True)
    return done.stdout.splitlines()


def test_the_top_level_shows_eight_entries_and_nothing_else() -> None:
    top = {name.split("/")[0] for name in _committed()}

    assert {name for name in top if not name.startswith(".")} == VISIBLE


def test_no_lock_file_with_addresses_is_committed() -> None:
    assert [
        n for n in _committed() if re.search(r"(\.lock|lock\.json|requirements.*\.txt)$", n)
    ] == []
