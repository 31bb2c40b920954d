"""Before a ledger is used: the look from outside, the look inside, the first tables."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Collection
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from ledger.errors import LedgerDamaged, LedgerError, LedgerReadOnly, Stopped
from ledger.store import allowlist, fingerprint, migrations, opened
from ledger.store.connection import attach, beside, settle, translated
from ledger.store.lock import FileLock, Holder
from ledger.store.statements import exists, sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_MAGIC_AT, _MAGIC = 8, b"DUCK"


class OutOfDate(LedgerError):
    """The ledger has an older format, and this way of opening it cannot change that."""


def real_path(path: str | os.PathLike[str]) -> Path:
    """Where a path leads, whatever links are in it.

    Raises:
        LedgerError: if it cannot be a path.
    """
    text = os.fspath(path)
    if not text or "\0" in text:
        raise LedgerError(f"{text!r} cannot be the name of a ledger: name a file")
    return Path(os.path.realpath(text))


def look_from_outside(path: Path) -> None:
    """What can be told of a file without opening it.

    Raises:
        LedgerError: if there is none, or it is no plain file with something in it.
    """
    try:
        found = os.stat(path)
    except (FileNotFoundError, NotADirectoryError):
        raise LedgerError(
            f"there is no ledger {path}: type offglass new PATH to make one, or offglass demo"
        ) from None
    except (OSError, ValueError) as e:
        why = e.strerror if isinstance(e, OSError) else "its name cannot be used"
        raise LedgerError(f"{path} cannot be opened: {why}") from None
    if stat.S_ISDIR(found.st_mode):
        raise LedgerDamaged(f"{path} is a folder: name the ledger file in it")
    if not stat.S_ISREG(found.st_mode):
        raise LedgerDamaged(f"{path} is no plain file: name a ledger file")
    if found.st_size == 0:
        raise LedgerDamaged(
            f"{path.name} is empty: delete it and type offglass new, or go back to a copy"
        )


def connect(path: Path, read_only: bool, clock: Callable[[], datetime]) -> DuckDBPyConnection:
    """A connection to a ledger that has been looked over, brought up to date, its views in place.

    The caller holds the lock, and nobody in this process has the file open.

    Raises:
        LedgerError: damaged, newer, or older than can be read without writing.
        duckdb.Error: as DuckDB puts it.
    """
    key = opened.key_of(str(path))
    con = None
    if not opened.looked_over(key, str(path)):
        con = _look_over(path, clock, read_only=read_only)
        opened.mark(key, str(path))
    if con is None:
        con = attach(str(path), read_only=read_only)
    try:
        settle(con)
        if exists("views"):
            con.execute(sql("views"))
    except BaseException:
        con.close()
        raise
    return con


def create(path: Path, lock: FileLock, holder: Holder, clock: Callable[[], datetime]) -> None:
    """Make an empty ledger: whole under another name first, then in its place.

    Raises:
        LedgerError: if its folder is missing or cannot be written to.
    """
    if not path.parent.is_dir():
        raise LedgerError(f"there is no folder {path.parent}: make it first")
    lock.take(holder)
    draft = path.with_name(f".{path.name[:80]}.new-{os.getpid()}")
    try:
        if os.path.lexists(path):
            return
        with translated(path.name):
            con = attach(str(draft), read_only=False)
            try:
                settle(con)
                migrations.migrate(con, clock, have=0)
                con.execute(sql("connection", "checkpoint"))
            finally:
                con.close()
        os.rename(draft, path)
    except OSError as e:
        raise LedgerReadOnly(f"{path.name} cannot be made in {path.parent}: {e.strerror}") from None
    finally:
        for left in (str(draft), *beside(str(draft))):
            with suppress(OSError):
                os.unlink(left)
        lock.release()


def keep(
    con: DuckDBPyConnection,
    touched: Collection[str] = (),
    known: fingerprint.Kept | None = None,
    *,
    stop_asked: Callable[[], bool],
) -> fingerprint.Kept:
    """End a change: count it, keep the fingerprint, commit.

    Args:
        con: the connection of the change.
        touched: the only tables it has added to or taken from, all unless given.
        known: the fingerprint there is, where nobody else can have changed it.
        stop_asked: whether somebody wants it stopped.

    Returns:
        The number of the change, and the rows of each table.

    Raises:
        Stopped: if somebody asked to stop before.
    """
    kept = fingerprint.keep(con, touched, known)
    if stop_asked():
        raise Stopped("stopped: nothing of it was kept")
    con.execute(sql("connection", "commit"))
    return kept


def _magic(path: Path) -> None:
    fd = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
    try:
        head = os.pread(fd, 16, 0) if hasattr(os, "pread") else os.read(fd, 16)
    finally:
        os.close(fd)
    if head[_MAGIC_AT : _MAGIC_AT + 4] != _MAGIC:
        raise LedgerDamaged(
            f"{path.name} is no ledger: type offglass new PATH to make one, "
            "or offglass import FILE to bring a file of records in"
        )


def _look_over(
    path: Path, clock: Callable[[], datetime], *, read_only: bool
) -> DuckDBPyConnection | None:
    # The connection it was looked over with, where that is the kind that is wanted.
    _magic(path)
    con = attach(str(path), read_only=True)
    try:
        version = allowlist.admit(con, path.name)
    except BaseException:
        con.close()
        raise
    if version == migrations.newest() and read_only:
        return con
    con.close()
    if version == migrations.newest():
        return None
    if read_only:
        raise OutOfDate(
            f"{path.name} has the older format {version} and must be brought up to date once: "
            "open it where it can be written to"
        )
    _migrate(path, clock, version)
    return None


def bring_up_to_date(path: Path, clock: Callable[[], datetime]) -> None:
    """Run the migrations a ledger lacks; the caller holds the lock alone.

    Raises:
        LedgerError: damaged or newer.
        duckdb.Error: as DuckDB puts it.
    """
    _look_over(path, clock, read_only=False)


def _migrate(path: Path, clock: Callable[[], datetime], have: int) -> None:
    con = attach(str(path), read_only=False)
    try:
        settle(con)
        migrations.migrate(con, clock, have=have, finish=fingerprint.keep)
        con.execute(sql("connection", "checkpoint"))
    finally:
        con.close()
