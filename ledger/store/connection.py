"""The only door to DuckDB: every connection of the project is made, shut in and translated here."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

from ledger.errors import (
    LedgerBusy,
    LedgerDamaged,
    LedgerError,
    LedgerNewer,
    LedgerReadOnly,
    Stopped,
)
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_MEMORY_SHARE = 0.5
_MEMORY_MOST = 4 * 2**30
_STORAGE = re.compile(r"storage version number (\d+).*between (\d+) and (\d+)", re.DOTALL)
_HOLDER = re.compile(r"\(PID (\d+)\)")


def in_memory(*, spill: str | None = None) -> DuckDBPyConnection:
    """An empty connection that loads nothing, downloads nothing and prints nothing.

    Args:
        spill: folder for what does not fit in memory; nothing is spilled without one.
    """
    import duckdb

    connection = duckdb.connect(
        ":memory:",
        config={
            "threads": str(max(2, min(8, os.cpu_count() or 2))),
            "memory_limit": f"{_memory()}B",
            "temp_directory": spill or "",
            "autoinstall_known_extensions": "false",
            "autoload_known_extensions": "false",
            "allow_community_extensions": "false",
            "python_enable_replacements": "false",
        },
    )
    connection.execute(sql("connection", "no_progress_bar"))
    return connection


def attach(path: str, *, read_only: bool) -> DuckDBPyConnection:
    """A connection with one file attached as `ledger`, shut in, but not yet in use.

    Names still resolve against the empty memory database, so that nothing in the file can stand
    in for a built-in function while the file is checked; `settle` makes it the default.

    Raises:
        duckdb.Error: as DuckDB puts it; `translated` turns it into one line.
    """
    connection = in_memory(spill=f"{path}.tmp-{os.getpid()}")
    try:
        way = "attach_to_read" if read_only else "attach_to_write"
        connection.execute(sql("connection", way), {"path": path})
        shut_in(connection, beside(path))
    except BaseException:
        connection.close()
        raise
    return connection


def beside(path: str) -> list[str]:
    """The files DuckDB may make beside a database, by the names it gives them: its log first.

    It takes a `?` for the start of options and puts its endings before it.
    """
    stem, mark, rest = path.partition("?")
    return [f"{stem}{end}{mark}{rest}" for end in (".wal", ".wal.checkpoint", ".wal.recovery")]


def shut_in(connection: DuckDBPyConnection, allowed: Sequence[str] = ()) -> None:
    """No file (but those allowed), network or setting can be reached from here on."""
    if allowed:
        connection.execute(sql("connection", "allow"), {"paths": list(allowed)})
    connection.execute(sql("connection", "no_external_access"))
    connection.execute(sql("connection", "lock_configuration"))


def settle(connection: DuckDBPyConnection) -> None:
    """Make the checked ledger what unqualified names mean."""
    connection.execute(sql("connection", "use"))


@contextmanager
def translated(name: str) -> Iterator[None]:
    """Turn what DuckDB says about the file, the disk or the memory into one line.

    Errors of a statement itself stay as they are: they are faults of this program.

    Args:
        name: the ledger as the user knows it.

    Raises:
        LedgerError: one of its kinds.
        Stopped: if the statement was interrupted.
    """
    import duckdb

    try:
        yield
    except duckdb.InterruptException:
        raise Stopped(f"stopped: nothing of it was kept in {name}") from None
    except duckdb.OutOfMemoryException:
        raise LedgerError(
            f"{name} needs more memory than there is: ask about one league or season, "
            "or bring the file in in parts"
        ) from None
    except (duckdb.IOException, duckdb.PermissionException, duckdb.ResourceInUseException) as e:
        raise _file_trouble(name, str(e)) from None
    except (duckdb.FatalException, duckdb.InternalException, duckdb.SerializationException):
        raise _damaged(name) from None
    except duckdb.Error as e:
        if "Could not write file" in str(e) or "No space left" in str(e):
            raise _disk_full(name) from None
        # Checksum failures arrive as the bare base class.
        if type(e) is duckdb.Error or "orrupt" in str(e):
            raise _damaged(name) from None
        raise


def _file_trouble(name: str, text: str) -> LedgerError:
    storage = _STORAGE.search(text)
    if storage:
        written, _, newest = (int(n) for n in storage.groups())
        if written > newest:
            return LedgerNewer(
                f"{name} was written by a newer DuckDB than this program has: update offglass"
            )
        return LedgerDamaged(
            f"{name} was written by a DuckDB too old to read: open it with the program that wrote "
            "it, export it there, then type: offglass load FOLDER"
        )
    if "lock on file" in text or "already attached" in text or "already open" in text:
        holder = _HOLDER.search(text)
        process = f" (process {holder.group(1)})" if holder else ""
        return LedgerBusy(
            f"{name} is open in another program{process}: try again when it has let go"
        )
    if "No space left" in text or "Could not write file" in text:
        return _disk_full(name)
    if "ermission denied" in text or "ead-only file system" in text:
        return LedgerReadOnly(f"{name} cannot be opened: no permission for the file or its folder")
    return _damaged(name)


def _disk_full(name: str) -> LedgerError:
    return LedgerError(
        f"{name} could not be written, the disk is full: make room and try again; "
        "nothing of this change was kept"
    )


def _damaged(name: str) -> LedgerDamaged:
    return LedgerDamaged(
        f"{name} is damaged or not whole: go back to a copy made with offglass backup, "
        "or load the last export into a new ledger"
    )


def _memory() -> int:
    try:
        total = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES")
    except (AttributeError, ValueError, OSError):
        total = 2 * _MEMORY_MOST
    return int(min(_MEMORY_MOST, total * _MEMORY_SHARE))
