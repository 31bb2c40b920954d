"""Every action of the registry, called by its key."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path

import pytest

from tests.tui.driving import running
from tests.tui.key_checks import CHECKS
from tests.tui.test_goldens import write_attempts
from tui.actions import ACTIONS

for module in Path(__file__).parent.glob("keys_of_*.py"):
    import_module(f"tests.tui.{module.stem}")


def test_every_action_has_a_key_test() -> None:
    assert {name.rstrip("_") for name in CHECKS} == {action.id for action in ACTIONS}


@pytest.mark.parametrize("name", sorted(CHECKS))
async def test_the_key_does_what_the_registry_says(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    write_attempts(tmp_path / "new.csv")
    room, check = CHECKS[name]
    async with running(show=room) as (app, pilot, book):
        await check(app, pilot, book)
