"""The example in every module of the statistics runs and is true."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest

import ledger.stats

MODULES = sorted(module.name for module in pkgutil.iter_modules(ledger.stats.__path__))


@pytest.mark.parametrize("name", MODULES)
def test_the_examples_of_a_module_are_true(name: str) -> None:
    module = importlib.import_module(f"ledger.stats.{name}")
    result = doctest.testmod(module)
    assert result.attempted > 0, "a module of the statistics shows an example"
    assert result.failed == 0
