"""What a reply says is to be done can be typed as it stands."""

from __future__ import annotations

import ast
import re
import shlex
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

import ledger.story
from ledger.cli.commands import offglass
from ledger.errors import UseError

# A command ends where the sentence goes on.
COMMAND = re.compile(r"offglass ([a-z]+.*?)(?=, |\)|;| \(|\.?$)")
FILLED_IN = {"N": "12", "PLAYER:DATE": "Tarn:2024-01-31", "A..B": "2019-20..2023-24"}


def commands() -> Iterator[str]:
    """Every command that the story names, as it stands there."""
    for path in sorted(Path(ledger.story.__file__).parent.glob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                yield from (found[1] for found in COMMAND.finditer(node.value))


def parse(words: list[str]) -> None:
    """Parse a command as the shell gives it, without running it.

    Raises:
        click.UsageError: if it is none, or not whole.
    """
    command: click.Command = offglass
    with click.Context(offglass, info_name="offglass") as context:
        while isinstance(command, click.Group):
            name, found, words = command.resolve_command(context, words)
            assert found is not None
            assert name is not None
            if isinstance(found, click.Group):
                command = found
                continue
            found.make_context(name, words, parent=context)
            return


def test_the_story_names_commands() -> None:
    assert len(set(commands())) >= 10


@pytest.mark.parametrize("command", sorted(set(commands())))
def test_a_command_that_a_reply_names_is_whole(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "FILE").write_text("", encoding="utf-8")
    parse([FILLED_IN.get(word, word) for word in shlex.split(command)])


@pytest.mark.parametrize("command", ["lot", "technique rule board", "nix", "ask nix"])
def test_a_command_that_is_not_whole_is_found_out(command: str) -> None:
    with pytest.raises((click.UsageError, UseError)):
        parse(command.split())
