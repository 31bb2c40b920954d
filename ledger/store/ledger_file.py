"""The ledger file: opened late, read by many, changed by one, closed when idle."""

from __future__ import annotations

import getpass
import os
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from ledger.errors import LedgerBusy, LedgerError, LedgerReadOnly
from ledger.store import opened, opening
from ledger.store.connection import translated
from ledger.store.lock import FileLock, Holder
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

Mode = Literal["read", "write"]

# How long reads go on over the connection of the last change before it is given up for one that
# lets other readers in: tagging reads after every tag, and a switch costs some 50 ms.
_LINGER_S = 2.0
# Connections a fork has copied into this process: closing one would write to its parent's file.
_not_ours: list[object] = []


def utc_now() -> datetime:
    """UTC now, without a zone, as the ledger keeps times."""
    return datetime.now(UTC).replace(tzinfo=None)


def user_name() -> str:
    """The machine's name for the person at it."""
    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError):
        return "somebody"


class LedgerFile:
    """One ledger on disk, for one process; several threads may use it one after another.

    Args:
        path: the file; it is never opened by any other means while this object has it open.
        create: make an empty ledger where there is none; its folder must exist.
        who: who makes the changes, the machine's user unless given.
        clock: gives UTC now without a zone, for tests.

    Raises:
        LedgerError: if the file is missing or plainly no ledger. The rest shows when it is opened.
    """

    def __init__(
        self,
        path: str | os.PathLike[str],
        *,
        create: bool = False,
        who: str | None = None,
        clock: Callable[[], datetime] | None = None,
    ) -> None:
        self.path = Path(os.path.realpath(path))
        self.name = self.path.name
        self.who = who or user_name()
        self.clock: Callable[[], datetime] = clock or utc_now
        self.notice: str | None = None
        self._turn = threading.RLock()
        self._lock = FileLock(f"{self.path}.lock", self.name)
        self._con: DuckDBPyConnection | None = None
        self._mode: Mode = "read"
        self._key: opened.Key | None = None
        self._uses = 0
        self._changing = False
        self._last_use = 0.0
        self._stop_asked = False
        self._closed = False
        self._pid = os.getpid()
        if create and not os.path.lexists(self.path):
            opening.create(self.path, self._lock, self._holder("offglass new"), self.clock)
        opening.look_from_outside(self.path)

    def __enter__(self) -> LedgerFile:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @property
    def read_only(self) -> bool:
        """Whether this person may only read: the file or its folder cannot be written to."""
        return not (os.access(self.path, os.W_OK) and os.access(self.path.parent, os.W_OK))

    @property
    def last_change_known(self) -> int | None:
        """The number of the last change made here, as the lock file beside the ledger has it."""
        return self._lock.last_change()

    @contextmanager
    def reading(self) -> Iterator[DuckDBPyConnection]:
        """A connection that can only read, with the temporary views in place.

        Inside `changing` it is the connection of the change. The file stays open afterwards, shared
        with other readers, until `release`, `close` or a change.

        Raises:
            LedgerError: busy, damaged, newer, or gone.
            Stopped: if `interrupt` was called meanwhile.
        """
        with self._turn:
            if self._changing and self._con is not None:
                yield self._con
                return
            con = self._open_to_read()
            with self._in_use(), translated(self.name):
                fenced = self._mode == "write" and self._uses == 1
                if fenced:
                    con.execute(sql("connection", "begin_reading"))
                try:
                    yield con
                finally:
                    if fenced:
                        with suppress(Exception):
                            con.execute(sql("connection", "commit"))

    @contextmanager
    def changing(self, what: str) -> Iterator[DuckDBPyConnection]:
        """A connection inside one transaction: kept whole at the end, or not at all.

        Args:
            what: the work in a few words, such as `offglass import`; others in the way read it.

        Raises:
            LedgerError: busy, damaged, newer, read-only, or the disk is full.
            Stopped: if `interrupt` was called before the change was kept.
        """
        with self._turn:
            if self._uses:
                raise RuntimeError("a change cannot begin inside another use of the ledger")
            con = self._open_to_write(what)
            with self._in_use():
                self._changing = True
                try:
                    with translated(self.name):
                        con.execute(sql("connection", "begin"))
                        yield con
                        number = opening.keep(con, stop_asked=lambda: self._stop_asked)
                except BaseException:
                    self._undo_all()
                    raise
                finally:
                    self._changing = False
                self._lock.note_change(number)
                self._write_out(con)

    def interrupt(self) -> None:
        """Stop the statement that is running, from any thread; a change then keeps nothing."""
        con = self._con
        if self._uses and con is not None:
            self._stop_asked = True
            con.interrupt()

    def release(self) -> bool:
        """Close an idle connection and let others in; it is opened again when needed.

        Returns:
            False if it is in use, and stays open.
        """
        if not self._turn.acquire(blocking=False):
            return False
        try:
            if self._uses:
                return False
            self._shut()
            return True
        finally:
            self._turn.release()

    def idle_s(self) -> float:
        """Seconds since the last use of an open connection; 0 while in use or closed."""
        if self._con is None or self._uses:
            return 0.0
        return time.monotonic() - self._last_use

    def close(self) -> None:
        """Stop what is running, close, and stay closed."""
        self._closed = True
        self.interrupt()
        with self._turn:
            if not self._uses:
                self._shut()

    @contextmanager
    def alone(self, what: str) -> Iterator[str]:
        """Keep everybody else out while the file is closed here: for a backup or a merge.

        Yields:
            The real path of the file, which may be attached elsewhere meanwhile.
        """
        with self._turn:
            if self._uses:
                raise RuntimeError("the ledger is in use")
            self._ready()
            self._shut()
            self._claim()
            if self.read_only:
                self._share()
            else:
                self._lock.take(self._holder(what))
            try:
                with self._in_use(), translated(self.name):
                    yield str(self.path)
            finally:
                self._lock.release()

    @contextmanager
    def _in_use(self) -> Iterator[None]:
        self._uses += 1
        if self._uses == 1:
            self._stop_asked = False
        try:
            yield
        finally:
            self._uses -= 1
            self._last_use = time.monotonic()
            if self._closed and not self._uses:
                self._shut()

    def _open_to_read(self) -> DuckDBPyConnection:
        self._ready()
        if self._con is not None:
            lingering = time.monotonic() - self._last_use < _LINGER_S
            if self._mode == "read" or self._uses or lingering:
                return self._con
            self._shut()
        self._claim()
        self._share()
        return self._connect("read")

    def _open_to_write(self, what: str) -> DuckDBPyConnection:
        self._ready()
        if self._con is not None and self._mode == "write":
            self._lock.rename_work(self._holder(what))
            return self._con
        if self.read_only:
            raise LedgerReadOnly(
                f"{self.name} cannot be changed: no permission to write to it or its folder; "
                "copy it to a folder of your own first"
            )
        self._shut()
        self._claim()
        self._lock.take(self._holder(what))
        return self._connect("write")

    def _connect(self, mode: Mode) -> DuckDBPyConnection:
        try:
            with translated(self.name):
                con = opening.connect(self.path, mode == "read", self.clock)
        except BaseException:
            self._lock.release()
            raise
        self._con, self._mode = con, mode
        self._key = opened.key_of(str(self.path))
        opened.add(self._key, self)
        return con

    def _share(self) -> None:
        if not self._lock.share() and self.notice is None:
            self.notice = (
                f"{self.name} is read without a lock (no permission to write in its folder): "
                "answers may change while somebody else changes it"
            )

    def _claim(self) -> None:
        opening.look_from_outside(self.path)
        if not opened.clear_the_way(opened.key_of(str(self.path)), self):
            raise LedgerBusy(
                f"{self.name} is in use elsewhere in this program: try again when it is done"
            )

    def _ready(self) -> None:
        if self._pid != os.getpid():
            _not_ours.append(self._con)
            self._con, self._key, self._pid = None, None, os.getpid()
            self._lock.release()
        if self._closed:
            raise LedgerError(f"{self.name} was closed: open it again")

    def _holder(self, what: str) -> Holder:
        return Holder(self.who, os.getpid(), what, self.clock().isoformat(timespec="seconds"))

    def _undo_all(self) -> None:
        try:
            if self._con is not None:
                self._con.execute(sql("connection", "rollback"))
        except Exception:
            # A full disk or a stop leaves a connection that can do nothing more.
            self._shut()

    def _write_out(self, con: DuckDBPyConnection) -> None:
        try:
            con.execute(sql("connection", "checkpoint"))
        except Exception as e:
            self._shut()
            if type(e).__name__ == "InterruptException":
                return
            raise LedgerError(
                f"the change is kept, but {self.name} could not be written out whole: "
                "make room on the disk, then type offglass check"
            ) from None

    def _shut(self) -> None:
        if self._pid != os.getpid():
            return
        con, self._con = self._con, None
        try:
            if con is not None:
                with suppress(Exception):
                    con.close()
                with suppress(OSError):
                    if self._key is not None and self._mode == "write":
                        opened.mark(self._key, str(self.path))
        finally:
            if self._key is not None:
                opened.drop(self._key, self)
                self._key = None
            self._lock.release()
