"""One process's hold on one ledger file: the connection, the lock beside it, whose turn it is."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from ledger.errors import LedgerBusy, LedgerError, LedgerReadOnly
from ledger.store import opened, opening
from ledger.store.connection import translated
from ledger.store.lock import FileLock, Holder

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

Mode = Literal["read", "write"]

# Connections a fork has copied into this process: closing one would write to its parent's file.
_not_ours: list[object] = []


class Hold:
    """The connection of a `LedgerFile`, opened for reading or for changes, shut when idle.

    Args:
        path: the real path of the file.
        who: who makes the changes.
        clock: gives UTC now, without a zone.
    """

    def __init__(self, path: Path, who: str, clock: Callable[[], datetime]) -> None:
        self.path = path
        self.who = who
        self.clock = clock
        self.turn = threading.RLock()
        self.lock = FileLock(f"{path}.lock", path.name)
        self.con: DuckDBPyConnection | None = None
        self.mode: Mode = "read"
        self.uses = 0
        self.last_use = 0.0
        self.stop_asked = False
        self.closed = False
        self.notice: str | None = None
        self._key: opened.Key | None = None
        self._pid = os.getpid()

    @property
    def read_only(self) -> bool:
        """Whether this person may only read: the file or its folder cannot be written to."""
        return not (os.access(self.path, os.W_OK) and os.access(self.path.parent, os.W_OK))

    @contextmanager
    def in_use(self) -> Iterator[None]:
        """While it lasts the connection is not let go."""
        self.uses += 1
        if self.uses == 1:
            self.stop_asked = False
        try:
            yield
        finally:
            self.uses -= 1
            self.last_use = time.monotonic()
            if self.closed and not self.uses:
                self.shut()

    def to_read(self, *, linger_s: float) -> DuckDBPyConnection:
        """A connection for reading.

        Args:
            linger_s: how long after a change its connection still serves reads.

        Raises:
            LedgerError: busy, damaged, newer, or gone.
        """
        self.ready()
        if self.con is not None:
            lingering = time.monotonic() - self.last_use < linger_s
            if self.mode == "read" or self.uses or lingering:
                return self.con
            self.shut()
        self.claim()
        self.share()
        try:
            return self._connect("read")
        except opening.OutOfDate:
            if self.read_only:
                raise
        self._bring_up_to_date()
        self.share()
        return self._connect("read")

    def to_write(self, what: str) -> DuckDBPyConnection:
        """A connection for one change, everybody else kept out.

        Raises:
            LedgerError: busy, damaged, newer, gone, or not to be written to.
        """
        self.ready()
        if self.con is not None and self.mode == "write":
            self.lock.rename_work(self.holder(what))
            return self.con
        self.shut()
        self.claim()
        if self.read_only:
            raise LedgerReadOnly(
                f"{self.path.name} cannot be changed: no permission to write to it or its folder; "
                "copy it to a folder of your own first"
            )
        self.lock.take(self.holder(what))
        return self._connect("write")

    def claim(self) -> None:
        """See that the file is there and no other part of this process has it open."""
        opening.look_from_outside(self.path)
        if not opened.clear_the_way(opened.key_of(str(self.path)), self):
            raise LedgerBusy(
                f"{self.path.name} is in use elsewhere in this program: try again when that is done"
            )

    def share(self) -> None:
        """Hold the lock with other readers, or say once that there is none to hold."""
        if not self.lock.share() and self.notice is None:
            self.notice = (
                f"{self.path.name} is read without a lock (no permission to write in its folder): "
                "answers may change while somebody else changes it"
            )

    def holder(self, what: str) -> Holder:
        """This person, doing `what` since now."""
        return Holder(self.who, os.getpid(), what, self.clock().isoformat(timespec="seconds"))

    def ready(self) -> None:
        """See that this is the process that opened it, and that it was not closed for good.

        Raises:
            LedgerError: if it was closed.
        """
        if self._pid != os.getpid():
            _not_ours.append(self.con)
            self.con, self._key, self._pid = None, None, os.getpid()
            self.lock.release()
        if self.closed:
            raise LedgerError(f"{self.path.name} was closed: open it again")

    def release(self) -> bool:
        """Close an idle connection and let others in.

        Returns:
            False if it is in use, and stays open.
        """
        if not self.turn.acquire(blocking=False):
            return False
        try:
            if self.uses:
                return False
            self.shut()
            return True
        finally:
            self.turn.release()

    def shut(self) -> None:
        """Close the connection and let go of the lock; nothing is left beside the file."""
        if self._pid != os.getpid():
            return
        con, self.con = self.con, None
        try:
            if con is not None:
                with suppress(Exception):
                    con.close()
                with suppress(OSError):
                    if self._key is not None and self.mode == "write":
                        opened.mark(self._key, str(self.path))
        finally:
            if self._key is not None:
                opened.drop(self._key, self)
                self._key = None
            self.lock.release()

    def _connect(self, mode: Mode) -> DuckDBPyConnection:
        try:
            with translated(self.path.name):
                con = opening.connect(self.path, mode == "read", self.clock)
                self._key = opened.key_of(str(self.path))
        except BaseException:
            self.lock.release()
            raise
        self.con, self.mode = con, mode
        opened.add(self._key, self)
        return con

    def _bring_up_to_date(self) -> None:
        self.lock.take(self.holder("bringing it up to date"))
        try:
            with translated(self.path.name):
                opening.bring_up_to_date(self.path, self.clock)
        finally:
            self.lock.release()
