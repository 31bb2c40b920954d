"""Where the records of a JSON document are: a path of names and [*], and the paths there are.

The notation is that of RFC 9535 (JSONPath), as far as it names members and takes all elements:
`$.games[*].events[*]`, `$['all games'][*]`.
"""

from __future__ import annotations

import re
from collections import Counter
from typing import Any

from ledger.errors import UseError
from ledger.intake import findings

# A step is the name of a member, or every element.
Step = str | None
Steps = tuple[Step, ...]
EVERY: Step = None
MAX_DEPTH = 32
MAX_PATHS = 200
_NAME = r"[A-Za-z_\u0080-\U0010ffff][A-Za-z0-9_\u0080-\U0010ffff]*"
_STEP = re.compile(
    rf"\.(?P<name>{_NAME})|\.\*|\[\s*\*\s*\]"
    r"|\[\s*'(?P<single>(?:[^'\\]|\\.)*)'\s*\]"
    r'|\[\s*"(?P<double>(?:[^"\\]|\\.)*)"\s*\]'
)
_PLAIN = re.compile(_NAME)


def parsed(path: str) -> Steps:
    """The steps of a path.

    Raises:
        UseError: if it is no path of names and [*].
    """
    text = path.strip()
    at = 1
    steps: list[Step] = []
    while text.startswith("$") and at < len(text):
        match = _STEP.match(text, at)
        if match is None:
            break
        quoted = match["single"] if match["single"] is not None else match["double"]
        if quoted is not None:
            steps.append(re.sub(r"\\(.)", r"\1", quoted))
        else:
            steps.append(match["name"])
        at = match.end()
    if not text.startswith("$") or at < len(text):
        raise UseError(
            f"path {findings.show(path)}: write it as names and [*] from the top, such as"
            " $.games[*].events[*] or $['all games'][*]"
        )
    if len(steps) > MAX_DEPTH:
        raise UseError(f"path {findings.show(path)}: at most {MAX_DEPTH} steps are followed")
    return tuple(steps)


def written(steps: Steps) -> str:
    """A path as it is typed."""
    out = "$"
    for step in steps:
        if step is None:
            out += "[*]"
        elif _PLAIN.fullmatch(step):
            out += f".{step}"
        else:
            out += "['" + step.replace("\\", "\\\\").replace("'", "\\'") + "']"
    return out


def lists_in(document: Any) -> dict[Steps, int]:
    """The paths that lead to objects in lists, with how many they are; at most `MAX_PATHS`."""
    found: Counter[Steps] = Counter()
    open_ones: list[tuple[Any, Steps]] = [(document, ())]
    while open_ones and len(found) < MAX_PATHS:
        value, steps = open_ones.pop()
        if len(steps) >= MAX_DEPTH:
            continue
        if isinstance(value, dict):
            inner = [(item, (*steps, key)) for key, item in value.items()]
        else:
            here = (*steps, EVERY)
            objects = sum(isinstance(item, dict) for item in value)
            if objects:
                found[here] += objects
            inner = [(item, here) for item in value]
        open_ones += [pair for pair in reversed(inner) if isinstance(pair[0], dict | list)]
    return dict(found)


def listed(paths: dict[Steps, int], most: int = 8) -> str:
    """The paths in words."""
    shown = [f"{findings.show(written(steps))} ({many})" for steps, many in paths.items()]
    rest = len(shown) - most
    return ", ".join(shown[:most]) + (f" and {rest} more" if rest > 0 else "")
