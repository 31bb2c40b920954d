"""What was typed and is not in the ledger yet, in a file of this machine.

The ledger may be busy for a moment, with a question or in another program: what is typed meanwhile
stands here, so that even a program that is killed loses nothing of it. What a program left that is
gone is stored by the next one.
"""

from __future__ import annotations

import json
import os
import threading
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ledger.errors import UseError
from ledger.questions.wording import counted

if TYPE_CHECKING:
    from tui.session import BookLike

Entry = Mapping[str, Any]


class TypedFile:
    """The file of this program on one ledger; nothing is written without a folder.

    Args:
        folder: where such files are.
        ledger: the ledger.
    """

    def __init__(self, folder: Path | None = None, ledger: Path | None = None) -> None:
        self._folder = folder
        name = sha256(str(ledger.resolve()).encode()).hexdigest()[:16] if ledger else ""
        self._name = name
        self._waiting: list[Entry] = []
        self._lock = threading.Lock()

    def put(self, entry: Entry) -> None:
        """Something was typed."""
        with self._lock:
            self._waiting.append(entry)
            self._write()

    def drop(self, entry: Entry) -> None:
        """It is in the ledger, or no longer meant."""
        with self._lock:
            self._waiting = [one for one in self._waiting if one is not entry]
            self._write()

    def left_over(self) -> list[Entry]:
        """What programs that are gone have left; it is this program's own from now on."""
        if self._folder is None or not self._folder.is_dir():
            return []
        own, begun = self._path(self._folder), bool(self._waiting)
        found: list[Entry] = []
        for path in sorted(self._folder.glob(f"{self._name}-*.jsonl")):
            number = path.stem.rpartition("-")[2]
            # In a container every program may have the same number: before anything is typed
            # here, a file of that number is another's.
            living = begun if path == own else number.isdecimal() and _is_alive(int(number))
            theirs = None if living else _read(path)
            if theirs is None:
                continue
            found += theirs
            with self._lock:
                self._waiting += theirs
                self._write()
            if path != own:
                path.unlink(missing_ok=True)
        return found

    def _path(self, folder: Path) -> Path:
        return folder / f"{self._name}-{os.getpid()}.jsonl"

    def _write(self) -> None:
        if self._folder is None:
            return
        path = self._path(self._folder)
        try:
            if not self._waiting:
                path.unlink(missing_ok=True)
                return
            self._folder.mkdir(parents=True, exist_ok=True)
            beside = path.with_suffix(".new")
            lines = [json.dumps(dict(entry), ensure_ascii=False) for entry in self._waiting]
            beside.write_text("\n".join(lines) + "\n", encoding="utf-8")
            os.replace(beside, path)
        except OSError:
            # The ledger itself is what counts: this is only for when it is busy.
            return

    def store(self, entries: list[Entry], book: BookLike) -> str:
        """Store what was left; what was done, in words.

        Args:
            entries: what was left; what is stored or refused is taken out.
            book: stores it.

        Raises:
            LedgerError: if the ledger cannot be had; what is not stored stays here.
        """
        sittings: dict[tuple[str, str], int] = {}
        done, refused = 0, []
        while entries:
            entry = entries[0]
            try:
                self._store(entry, sittings, book)
                done += 1
            except (UseError, AttributeError, KeyError, TypeError, ValueError) as error:
                refused.append(f"attempt {entry.get('attempt')}: {error}")
            self.drop(entry)
            entries.pop(0)
        said = f"{counted(done, 'step')} typed last time and not stored then: stored now"
        return said + (f"; NOT stored: {'; '.join(refused[:3])}" if refused else "")

    def _store(self, entry: Entry, sittings: dict[tuple[str, str], int], book: BookLike) -> None:
        if "untag" in entry:
            book.untag(int(entry["untag"]), int(entry["attempt"]))
            return
        kind, words = str(entry["kind"]), str(entry["words"])
        done = book.tag(
            sittings.get((kind, words)), int(entry["attempt"]),
            {str(k): str(v) for k, v in entry["fields"].items()}, kind=kind, words=words,
        )  # fmt: skip
        sittings[kind, words] = done.sitting


def typed_folder() -> Path:
    """Where such files are on this machine."""
    from platformdirs import user_state_path

    return user_state_path("offglass", appauthor=False) / "typed"


def _read(path: Path) -> list[Entry] | None:
    """The entries of a file, damaged ones left out; none where it cannot be read now."""
    try:
        lines = path.read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError:
        return None
    found: list[Entry] = []
    for line in lines:
        try:
            entry = json.loads(line)
        except ValueError:
            continue
        if isinstance(entry, dict):
            found.append(entry)
    return found


def _is_alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True
