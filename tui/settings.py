"""The user's settings of the terminal program, one TOML file in the config folder.

A line that cannot be used is said in one line, and all others count.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from tui.actions import BY_ID, keys_of
from tui.keys import is_key, key_name

THEMES = ("dark", "light", "plain")


@dataclass(frozen=True, slots=True)
class Settings:
    """What the settings file says, with the usual where it says nothing.

    Attributes:
        theme: dark, light or plain.
        mouse: whether the mouse is taken.
        who: who makes the changes and watches; empty for the machine's user.
        folder: where files are saved first; empty for the folder the program was started in.
        template: a presentation whose design slides take; empty for the usual one.
        keys: keys by action id, where they were chosen.
        trouble: what of the file could not be used, in one line; empty if all was.
    """

    theme: str = "dark"
    mouse: bool = True
    who: str = ""
    folder: str = ""
    template: str = ""
    keys: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class _Setting:
    """One setting: as it stands in a fresh file, what it is for, and what is wrong with a value."""

    fresh: str
    words: str
    wrong: Callable[[Any], str]


def _is_text(value: Any) -> str:
    return "" if isinstance(value, str) else f"is a text in quotes, not {value!r}"


# Each setting in one line, as it stands in a fresh file.
SETTINGS = {
    "theme": _Setting(
        '"dark"',
        "dark, light, or plain (no colour); NO_COLOR in the environment wins",
        lambda v: "" if v in THEMES else f"is one of {', '.join(THEMES)}, not {v!r}",
    ),
    "mouse": _Setting(
        "true",
        "whether clicks and the wheel are taken; false leaves them to the terminal",
        lambda v: "" if isinstance(v, bool) else f"is true or false, not {v!r}",
    ),
    "who": _Setting(
        '""', "who makes the changes and watches; empty: the user of this machine", _is_text
    ),
    "folder": _Setting(
        '""', "where files are saved first; empty: the folder the program was started in", _is_text
    ),
    "template": _Setting(
        '""', "a presentation whose design slides take; empty: the usual one", _is_text
    ),
}
_AT_LINE = re.compile(r"at line (\d+)")


def settings_path() -> Path:
    """Where the settings file lies on this machine."""
    from platformdirs import user_config_path

    return user_config_path("offglass", appauthor=False) / "terminal.toml"


def fresh_text() -> str:
    """A settings file with every setting, commented, for a user to change."""
    lines = ["# Settings of the offglass terminal program. Take away a # to change one."]
    for name, setting in SETTINGS.items():
        lines.append(f"# {name} = {setting.fresh}  # {setting.words}")
    lines += ["", "[keys]"]
    for action in BY_ID.values():
        keys = ", ".join(f'"{k}"' for k in action.keys)
        lines.append(f"# {action.id} = [{keys}]  # {action.help}")
    return "\n".join(lines) + "\n"


def write_fresh(path: Path) -> bool:
    """Make a settings file where there is none; whether one was made.

    Raises:
        OSError: if it cannot be written.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(fresh_text())
    except FileExistsError:
        return False
    return True


def read_settings(path: Path) -> Settings:
    """The settings of a file; a missing file gives the usual, a bad line is told and left out."""
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return Settings()
    except (OSError, ValueError) as error:
        why = " ".join(str(error).split())
        return Settings(trouble=f"{path}: {why}; the usual settings are used")
    trouble: list[str] = []
    said = _parsed(text, trouble)
    trouble += [f"no setting is called {k!r}" for k in said if k not in (*SETTINGS, "keys")]
    used: dict[str, Any] = {}
    for name, setting in SETTINGS.items():
        if name not in said:
            continue
        wrong = setting.wrong(said[name])
        if wrong:
            trouble.append(f"{name} {wrong}")
        else:
            used[name] = said[name]
    keys = _read_keys(said.get("keys", {}), trouble)
    line = f"{path}: {'; '.join(trouble)}" if trouble else ""
    return replace(Settings(keys=keys, trouble=line), **used)


def _parsed(text: str, trouble: list[str]) -> dict[str, Any]:
    """What a file says; lines that are no TOML are left out and told."""
    lines = text.splitlines()
    for _ in range(len(lines) + 1):
        try:
            return tomllib.loads("\n".join(lines))
        except tomllib.TOMLDecodeError as error:
            found = _AT_LINE.search(str(error))
            last = max((n for n, line in enumerate(lines, 1) if line.strip()), default=1)
            reached = min(int(found[1]), last) if found else last
            # What was begun and never ended is only noticed further on.
            bad = (n for n, line in enumerate(lines[:reached], 1) if not _is_whole(line))
            number = next(bad, reached)
            trouble.append(f"line {number} cannot be read")
            lines[number - 1] = ""
    return {}


def _is_whole(line: str) -> bool:
    try:
        tomllib.loads(line)
    except tomllib.TOMLDecodeError:
        return False
    return True


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
            known = [key_name(t) for t in texts if is_key(key_name(t))]
            trouble += [f"{name}: no key is called {t!r}" for t in texts if not is_key(key_name(t))]
            if known:
                out[name] = tuple(known)
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
