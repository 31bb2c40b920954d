"""The lock file beside a ledger: who may read, who changes, and who is in the way.

DuckDB's own lock refuses a second process without a word on who holds the file, and is lost when
the same process opens and closes the file once more; so the ledger keeps a lock of its own on
`<ledger>.lock`. The system lets it go when its process dies: a stale file does not matter.
"""

from __future__ import annotations

import errno
import json
import os
import stat
import time
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from ledger.errors import LedgerBusy, LedgerReadOnly

try:
    import fcntl
except ImportError:  # not on Windows, where only DuckDB's own lock is left
    fcntl = None  # type: ignore[assignment]

_PATIENCE_S = 0.7
_PAUSE_S = 0.02
_MOST_BYTES = 4096
_NO_WRITING = (errno.EACCES, errno.EPERM, errno.EROFS)


@dataclass(frozen=True, slots=True)
class Holder:
    """Who changes the ledger right now.

    Attributes:
        who: the person.
        pid: the process.
        what: the work, as in `offglass import`.
        since: UTC, ISO text.
    """

    who: str
    pid: int
    what: str
    since: str

    def words(self) -> str:
        """As it stands in a message, the time in the reader's own zone."""
        try:
            local = datetime.fromisoformat(self.since).replace(tzinfo=UTC).astimezone()
        except ValueError:
            return f"{self.who} ({self.what}, process {self.pid})"
        today = datetime.now(UTC).astimezone().date()
        form = "%H:%M" if local.date() == today else "%Y-%m-%d %H:%M"
        return f"{self.who} ({self.what}, process {self.pid}) since {local.strftime(form)}"


class FileLock:
    """One process's hold on `<ledger>.lock`: none, shared or exclusive.

    Args:
        path: the lock file.
        name: the ledger as the user knows it.
    """

    def __init__(self, path: str, name: str) -> None:
        self._path = path
        self._name = name
        self._fd: int | None = None
        self._pid = 0
        self._alone = False

    @property
    def held(self) -> bool:
        """Whether this process holds it, either way."""
        return self._fd is not None and self._pid == os.getpid()

    def share(self) -> bool:
        """Hold it as one of several readers.

        Returns:
            False where no lock file can be made or read: then the ledger is read without one.

        Raises:
            LedgerBusy: if somebody changes the ledger.
        """
        self.release()
        fd = self._open(writing=False)
        if fd is None:
            return False
        self._take(fd, exclusive=False)
        return True

    def take(self, holder: Holder) -> None:
        """Hold it alone, and say who does.

        Raises:
            LedgerBusy: if somebody reads or changes the ledger.
            LedgerReadOnly: if the lock file cannot be made.
        """
        self.release()
        fd = self._open(writing=True)
        if fd is None:
            raise LedgerReadOnly(
                f"{self._name} cannot be changed: no permission to write in its folder; "
                "copy it to a folder of your own first"
            )
        self._take(fd, exclusive=True)
        self._write({**self._read(), "holder": _as_dict(holder)})

    def rename_work(self, holder: Holder) -> None:
        """Say what the holder, already alone, does now."""
        if self.held and self._alone:
            self._write({**self._read(), "holder": _as_dict(holder)})

    def note_change(self, number: int) -> None:
        """Keep, outside the ledger, the number of its last change: an older file shows by it."""
        if self.held and self._alone:
            self._write({**self._read(), "last_change": number})

    def last_change(self) -> int | None:
        """The number of the last change made beside this lock file, if one is known."""
        value = _load(self._path).get("last_change")
        return value if isinstance(value, int) else None

    def release(self) -> None:
        """Let go; a copy of the hold in a forked child is closed without letting go."""
        fd, self._fd = self._fd, None
        if fd is None:
            return
        if self._pid == os.getpid():
            if self._alone:
                kept = self._read(fd)
                kept.pop("holder", None)
                self._write(kept, fd)
            if fcntl is not None:
                fcntl.flock(fd, fcntl.LOCK_UN)
        self._alone = False
        os.close(fd)

    def _open(self, *, writing: bool) -> int | None:
        flags = os.O_CLOEXEC | os.O_NOFOLLOW | os.O_NONBLOCK if hasattr(os, "O_NOFOLLOW") else 0
        try:
            fd = os.open(self._path, os.O_RDWR | os.O_CREAT | flags, 0o666)
        except OSError as e:
            if writing or e.errno not in _NO_WRITING:
                if e.errno in _NO_WRITING:
                    return None
                raise LedgerReadOnly(
                    f"{self._name} cannot be locked ({e.strerror}): look at {self._path}"
                ) from None
            try:
                fd = os.open(self._path, os.O_RDONLY | flags)
            except OSError:
                return None
        if not stat.S_ISREG(os.fstat(fd).st_mode):
            os.close(fd)
            raise LedgerReadOnly(f"{self._name} cannot be locked: {self._path} is no plain file")
        return fd

    def _take(self, fd: int, *, exclusive: bool) -> None:
        if fcntl is not None:
            way = (fcntl.LOCK_EX if exclusive else fcntl.LOCK_SH) | fcntl.LOCK_NB
            end = time.monotonic() + _PATIENCE_S
            while True:
                try:
                    fcntl.flock(fd, way)
                    break
                except OSError as e:
                    if e.errno not in (errno.EWOULDBLOCK, errno.EACCES, errno.EINTR):
                        os.close(fd)
                        raise LedgerReadOnly(
                            f"{self._name} cannot be locked ({e.strerror}): "
                            "keep it on a disk of this machine"
                        ) from None
                    if time.monotonic() >= end:
                        os.close(fd)
                        raise self.busy() from None
                time.sleep(_PAUSE_S)
        self._fd = fd
        self._pid = os.getpid()
        self._alone = exclusive

    def busy(self) -> LedgerBusy:
        """The error that says who is in the way."""
        holder = _holder(_load(self._path))
        if holder and _alive(holder.pid):
            return LedgerBusy(
                f"{self._name} is being changed by {holder.words()}: try again when it is done"
            )
        return LedgerBusy(
            f"another program has {self._name} open: try again when it is closed or idle"
        )

    def _read(self, fd: int | None = None) -> dict[str, Any]:
        fd = self._fd if fd is None else fd
        if fd is None:
            return {}
        os.lseek(fd, 0, os.SEEK_SET)
        return _parse(os.read(fd, _MOST_BYTES))

    def _write(self, body: dict[str, Any], fd: int | None = None) -> None:
        fd = self._fd if fd is None else fd
        if fd is None:
            return
        data = json.dumps(body).encode()
        try:
            os.lseek(fd, 0, os.SEEK_SET)
            os.ftruncate(fd, 0)
            os.write(fd, data)
        except OSError:
            # A full disk must not keep the ledger from being changed or let go.
            return


def _as_dict(holder: Holder) -> dict[str, Any]:
    return {
        "who": holder.who[:200],
        "pid": holder.pid,
        "what": holder.what[:200],
        "since": holder.since,
    }


def _holder(body: dict[str, Any]) -> Holder | None:
    kept = body.get("holder")
    if not isinstance(kept, dict) or not isinstance(kept.get("pid"), int):
        return None
    who, what, since = (str(kept.get(k, ""))[:200] for k in ("who", "what", "since"))
    return Holder(who=who or "somebody", pid=kept["pid"], what=what or "offglass", since=since)


def _alive(pid: int) -> bool:
    # What a killed process left written must not be blamed for a reader in the way.
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True


def _load(path: str) -> dict[str, Any]:
    try:
        fd = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
    except OSError:
        return {}
    try:
        return _parse(os.read(fd, _MOST_BYTES))
    except OSError:
        return {}
    finally:
        os.close(fd)


def _parse(data: bytes) -> dict[str, Any]:
    try:
        body = json.loads(data)
    except ValueError:
        return {}
    return body if isinstance(body, dict) else {}
