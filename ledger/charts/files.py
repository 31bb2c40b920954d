"""Files that appear whole or not at all, for everything that a chart room writes."""

from __future__ import annotations

import os
import secrets
import stat
from collections.abc import Sequence
from pathlib import Path

from ledger.errors import UseError


def checked(path: Path, kinds: Sequence[str], *, what: str = "a picture") -> str:
    """The kind of a file that can be written, by its ending.

    Args:
        path: the file.
        kinds: endings that may be, without the dot.
        what: what has such an ending.

    Raises:
        UseError: if its ending is unknown, its folder is missing, or something else is there.
    """
    kind = path.suffix[1:].lower()
    if kind not in kinds:
        endings = ", ".join(f".{k}" for k in kinds)
        use = f"use one of {endings}" if len(kinds) > 1 else f"use {endings}"
        raise UseError(f"{path.name!r} has no ending of {what}: {use}")
    if not path.parent.is_dir():
        raise UseError(f"there is no folder {str(path.parent)!r}: make it first")
    try:
        there = path.lstat()
    except FileNotFoundError:
        return kind
    except OSError as error:
        raise UseError(f"{str(path)!r} cannot be written: {error.strerror}") from None
    if not stat.S_ISREG(there.st_mode):
        raise UseError(f"{str(path)!r} is there and no ordinary file: give another name")
    return kind


def write(path: Path, content: bytes) -> None:
    """The whole file in one step, so that nobody ever sees half of it."""
    part = path.parent / f".offglass-{secrets.token_hex(8)}.part"
    try:
        with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666), "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(part, path)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise UseError(
            f"{str(path)!r} cannot be written: {error.strerror}; give another folder"
        ) from None
    except BaseException:
        part.unlink(missing_ok=True)
        raise
