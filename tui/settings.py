"""The user's settings of the terminal program, one TOML file in the config folder."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tui.actions import BY_ID, key_name, keys_of

THEMES = ("dark", "light", "plain")

# Each setting in one line, as it stands in a fresh file.
SETTINGS = {
    "theme": ('"dark"', "dark, light, or plain (no colour); NO_COLOR in the environment wins"),
    "mouse": ("true", "whether clicks and the wheel are taken; false leaves them to the terminal"),
}


@dataclass(frozen=True, slots=True)
class Settings:
    """What the settings file says, with the usual where it says nothing.

    Attributes:
        theme: dark, light or plain.
        mouse: whether the mouse is taken.
        keys: keys by action id, where they were chosen.
        trouble: what of the file could not be used, in one line; empty if all was.
    """

    theme: str = "dark"
    mouse: bool = True
    keys: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    trouble: str = ""


def settings_path() -> Path:
    """Where the settings file lies on this machine."""
    from platformdirs import user_config_path

    return user_config_path("offglass", appauthor=False) / "terminal.toml"


def fresh_text() -> str:
    """A settings file with every setting, commented, for a user to change."""
    lines = ["# Settings of the offglass terminal program. Take away a # to change one."]
    for name, (value, words) in SETTINGS.items():
        lines.append(f"# {name} = {value}  # {words}")
    lines += ["", "[keys]"]
    for action in BY_ID.values():
        keys = ", ".join(f'"{k}"' for k in action.keys)
        lines.append(f"# {action.id} = [{keys}]  # {action.help}")
    return "\n".join(lines) + "\n"


def read_settings(path: Path) -> Settings:
    """The settings of a file; a missing file gives the usual, a bad one says so and does too."""
    try:
        said = tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return Settings()
    except (OSError, ValueError) as error:
        why = " ".join(str(error).split())
        return Settings(trouble=f"{path}: {why}; the usual settings are used")
    trouble: list[str] = [
        f"no setting is called {k!r}" for k in said if k not in (*SETTINGS, "keys")
    ]
    theme = said.get("theme", "dark")
    if theme not in THEMES:
        trouble.append(f"theme is one of {', '.join(THEMES)}, not {theme!r}")
        theme = "dark"
    mouse = said.get("mouse", True)
    if not isinstance(mouse, bool):
        trouble.append(f"mouse is true or false, not {mouse!r}")
        mouse = True
    keys = _read_keys(said.get("keys", {}), trouble)
    line = f"{path}: {'; '.join(trouble)}" if trouble else ""
    return Settings(theme, mouse, keys, line)


def _read_keys(said: Any, trouble: list[str]) -> dict[str, tuple[str, ...]]:
    if not isinstance(said, dict):
        trouble.append('[keys] holds lines such as export = ["x"]')
        return {}
    out: dict[str, tuple[str, ...]] = {}
    for name, value in said.items():
        texts = [value] if isinstance(value, str) else value
        if name not in BY_ID:
            trouble.append(f"no action is called {name!r}")
        elif (
            not isinstance(texts, list)
            or not texts
            or not all(isinstance(t, str) and t.strip() for t in texts)
        ):
            trouble.append(f"{name} takes one or more keys, not {value!r}")
        else:
            out[name] = tuple(key_name(t) for t in texts)
    for name in list(out):
        clash = [o for o in out if o != name and _meet(o, name, out)]
        if clash and name in out:
            trouble.append(f"{name} and {clash[0]} share a key")
            del out[name]
    return out


def _meet(one: str, other: str, chosen: Mapping[str, tuple[str, ...]]) -> bool:
    """Whether two actions have a key in common on one screen."""
    kinds = set(BY_ID[one].where) & set(BY_ID[other].where)
    return any(
        set(keys_of(BY_ID[one], chosen, kind)) & set(keys_of(BY_ID[other], chosen, kind))
        for kind in kinds
    )
