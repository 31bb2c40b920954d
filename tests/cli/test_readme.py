"""README is true: each command of its tour runs, in its order, and says what README shows."""

from __future__ import annotations

import doctest
import re
import shlex
from pathlib import Path

import pytest

from tests.cli.conftest import Offglass

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
CONSOLE = re.compile(r"^```console\n(.*?)^```", re.S | re.M)


def _steps() -> list[tuple[str, str]]:
    """(command, what README shows of its output), in order."""
    steps = []
    for block in CONSOLE.findall(README):
        for piece in re.split(r"^\$ ", block, flags=re.M)[1:]:
            command, _, output = piece.partition("\n")
            steps.append((command, output))
    return steps


def test_the_tour_says_what_really_happens(offglass: Offglass) -> None:
    checker = doctest.OutputChecker()
    steps = _steps()

    assert len(steps) >= 8
    for command, wanted in steps:
        program, *words = shlex.split(command)
        assert program == "offglass", command
        done = offglass(*words)
        got = done.out + done.err
        same = checker.check_output(wanted, got, doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE)
        assert same, f"$ {command}\n{got}"


def test_the_job_is_told_first_and_in_one_paragraph() -> None:
    title, job, *_ = README.split("\n\n")

    assert title == "# offglass"
    assert "free throws" in job
    assert job.count("\n") > 3


def test_there_are_exactly_two_commands_to_install_with() -> None:
    blocks = re.findall(r"^```sh\n(.*?)^```", README, re.S | re.M)

    assert [b.count("\n") for b in blocks] == [1, 1]
    assert "offglass demo" in blocks[0]
    assert "pytest" in blocks[1]


@pytest.mark.parametrize(
    "name", ["new", "import", "ask", "explain", "chart", "undo", "lot", "rumour"]
)
def test_the_readme_names_the_commands_of_the_job(name: str) -> None:
    assert f"offglass {name}" in README


def test_the_usual_cautions_are_there() -> None:
    for word in ("minors", "local law", "medical staff", "not evidence about a player"):
        assert word in README
