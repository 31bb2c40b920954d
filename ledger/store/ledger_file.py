"""The ledger file: opened late, read by many, changed by one, closed when idle."""

from __future__ import annotations

import getpass
import os
import time
import weakref
from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from ledger.errors import LedgerError
from ledger.store import opening
from ledger.store.connection import beside, translated
from ledger.store.hold import Hold
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.fingerprint import Kept

# How long reads go on over the connection of the last change before it is given up for one that
# lets other readers in: tagging reads after every tag, and a switch costs some 50 ms.
_LINGER_S = 2.0


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
        self.path = opening.real_path(path)
        self.name = self.path.name
        self.who = who or user_name()
        self.clock: Callable[[], datetime] = clock or utc_now
        self._hold = Hold(self.path, self.who, self.clock)
        self._changing = False
        # The last change kept through this object, and over which connection.
        self.last_kept: int | None = None
        self._left: tuple[object, Kept | None] = (None, None)
        if create and not os.path.lexists(self.path):
            opening.create(
                self.path, self._hold.lock, self._hold.holder("offglass new"), self.clock
            )
        opening.look_from_outside(self.path)
        # Whoever forgets to close must not keep the lock until the process ends.
        weakref.finalize(self, self._hold.release)

    def __enter__(self) -> LedgerFile:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @property
    def read_only(self) -> bool:
        """Whether this person may only read: the file or its folder cannot be written to."""
        return self._hold.read_only

    @property
    def notice(self) -> str | None:
        """What the user must know about how the file is opened, in one line."""
        return self._hold.notice

    @property
    def last_change_known(self) -> int | None:
        """The number of the last change made here, as the lock file beside the ledger has it."""
        return self._hold.lock.last_change()

    @property
    def is_open(self) -> bool:
        """Whether it holds the file at the moment."""
        return self._hold.con is not None

    def idle_s(self) -> float:
        """Seconds since the last use of an open file; 0 while in use or not open."""
        if self._hold.con is None or self._hold.uses:
            return 0.0
        return time.monotonic() - self._hold.last_use

    @contextmanager
    def reading(self) -> Iterator[DuckDBPyConnection]:
        """A connection that can only read, with the temporary views in place.

        Inside `changing` it is the connection of the change. The file stays open afterwards, shared
        with other readers, until `release`, `close` or a change.

        Raises:
            LedgerError: busy, damaged, newer, or gone.
            Stopped: if `interrupt` was called meanwhile.
        """
        hold = self._hold
        with hold.turn:
            if self._changing and hold.con is not None:
                yield hold.con
                return
            con = hold.to_read(linger_s=_LINGER_S)
            with hold.in_use(), translated(self.name):
                fenced = hold.mode == "write" and hold.uses == 1
                if fenced:
                    con.execute(sql("connection", "begin_reading"))
                try:
                    yield con
                finally:
                    if fenced:
                        self._leave_fence(con)

    @contextmanager
    def changing(self, what: str, *, touches: Collection[str] = ()) -> Iterator[DuckDBPyConnection]:
        """A connection inside one transaction: kept whole at the end, or not at all.

        Args:
            what: the work in a few words, such as `offglass import`; others in the way read it.
            touches: of a small change the only tables it adds to or takes from. It is kept in the
                log beside the file, which is written out when the file is let go.

        Raises:
            LedgerError: busy, damaged, newer, read-only, or the disk is full.
            Stopped: if `interrupt` was called before the change was kept.
        """
        hold = self._hold
        with hold.turn:
            if hold.uses:
                raise RuntimeError("a change cannot begin inside another use of the ledger")
            con = hold.to_write(what)
            with hold.in_use():
                self._changing = True
                try:
                    with translated(self.name):
                        con.execute(sql("connection", "begin"))
                        yield con
                        known = self._left[1] if self._left[0] is con else None
                        left = opening.keep(con, touches, known, stop_asked=lambda: hold.stop_asked)
                except BaseException:
                    self._undo_all(con)
                    raise
                finally:
                    self._changing = False
                self._left, self.last_kept = (con, left), left[0]
                hold.lock.note_change(left[0])
                if not touches:
                    self._write_out(con)

    def interrupt(self) -> None:
        """Stop the statement that is running, from any thread; a change then keeps nothing."""
        con = self._hold.con
        if self._hold.uses and con is not None:
            self._hold.stop_asked = True
            con.interrupt()

    def release(self) -> bool:
        """Close an idle connection and let others in; it is opened again when needed.

        Returns:
            False if it is in use, and stays open.
        """
        return self._hold.release()

    def close(self) -> None:
        """Stop what is running, close, and stay closed."""
        self._hold.closed = True
        self.interrupt()
        with self._hold.turn:
            if not self._hold.uses:
                self._hold.shut()

    @contextmanager
    def alone(self, what: str) -> Iterator[str]:
        """Keep changes of others out while the file is closed here: for a backup or a merge.

        Args:
            what: the work in a few words.

        Yields:
            The real path of the file, which may be attached elsewhere meanwhile.

        Raises:
            LedgerError: if somebody else has it.
        """
        hold = self._hold
        with hold.turn:
            if hold.uses:
                raise RuntimeError("the ledger is in use")
            with self.reading():
                # Looked over, brought up to date and known to be a ledger before it is copied.
                pass
            hold.shut()
            hold.claim()
            if self.read_only:
                hold.share()
            else:
                hold.lock.take(hold.holder(what))
            try:
                with hold.in_use(), translated(self.name):
                    yield str(self.path)
            finally:
                hold.lock.release()

    def _undo_all(self, con: DuckDBPyConnection) -> None:
        try:
            con.execute(sql("connection", "rollback"))
        except Exception:
            # A full disk or a stop leaves a connection that can do nothing more.
            self._hold.shut()

    def _leave_fence(self, con: DuckDBPyConnection) -> None:
        try:
            con.execute(sql("connection", "commit"))
        except Exception:
            with suppress(Exception):
                con.execute(sql("connection", "rollback"))

    def _write_out(self, con: DuckDBPyConnection) -> None:
        try:
            con.execute(sql("connection", "checkpoint"))
        except Exception:
            # Kept in the log beside the file: closing tries once more, and mostly succeeds.
            self._hold.shut()
            if any(map(os.path.exists, beside(str(self.path)))):
                raise LedgerError(
                    f"the change is kept, but {self.name} could not be written out whole: "
                    "make room on the disk, then type offglass check"
                ) from None
