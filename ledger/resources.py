"""Where the files that come with the package lie.

In an installed package `schemas` and `demo_data` lie under `ledger/`; in a checkout they lie
beside it. Nothing else in the project needs to know which.
"""

from __future__ import annotations

import importlib.util
import json
import sys
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any

_HERE = Path(__file__).resolve().parent


def folder(name: str) -> Path:
    """The folder `name` (`schemas`, `demo_data`), installed or in a checkout.

    Raises:
        FileNotFoundError: if the package was installed without it.
    """
    for base in (_HERE, _HERE.parent):
        if (base / name).is_dir():
            return base / name
    raise FileNotFoundError(f"offglass was installed without its {name}")


@cache
def schema(name: str) -> dict[str, Any]:
    """One of `schemas/*.json` by its name without the ending, read once.

    Raises:
        FileNotFoundError: if there is no such schema.
    """
    text = (folder("schemas") / f"{name}.json").read_text(encoding="utf-8")
    loaded: dict[str, Any] = json.loads(text)
    return loaded


def demo_module() -> ModuleType:
    """The generator of the invented scenario, wherever it lies."""
    name = "offglass_demo_data"
    if name in sys.modules:
        return sys.modules[name]
    home = folder("demo_data")
    spec = importlib.util.spec_from_file_location(
        name, home / "__init__.py", submodule_search_locations=[str(home)]
    )
    if spec is None or spec.loader is None:
        raise FileNotFoundError("demo_data has no __init__.py")
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module
