"""The process that opens a colleague's ledger, so that this program never does.

A database from elsewhere can end the process that opens it, or make it work without end; so it is
opened here, under limits, as a private copy, and only after its catalogue was compared with that of
a ledger. What goes back are plain tables in a private folder, and one line of JSON on the output:
`sha256`, `size`, `version`, or `error` with its `kind`.
"""

from __future__ import annotations

import hashlib
import json
import os
import stat
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

from ledger import errors
from ledger.errors import LedgerBusy, LedgerDamaged, LedgerError, OffglassError
from ledger.store.merge import limits

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

LARGEST = 4 * 2**30
_MAGIC_AT, _MAGIC = 8, b"DUCK"
_PIECE = 2**20


def main() -> None:
    """Answer one request: `path`, `name`, `folder` and `known` on the input, as a line of JSON."""
    limits.narrow()
    replies = os.fdopen(os.dup(1), "w", encoding="utf-8")
    # A library that prints must not be able to garble the reply.
    os.dup2(2, 1)
    try:
        reply = answer(json.loads(sys.stdin.readline()))
    except OffglassError as error:
        reply = {"error": error.message, "kind": type(error).__name__}
    except MemoryError:
        reply = {"error": "it needs more memory than a ledger may", "kind": LedgerError.__name__}
    replies.write(json.dumps(reply) + "\n")
    replies.flush()


def answer(request: dict[str, Any]) -> dict[str, Any]:
    """Copy, look over and write out one ledger.

    Args:
        request: `path`, the ledger; `name`, as the user knows it; `folder`, a private one; `known`,
            hashes of files that need not be read again.

    Raises:
        LedgerError: busy, damaged, newer, or not to be read.
    """
    folder, name = Path(request["folder"]), str(request["name"])
    copy = folder / "other.duckdb"
    sha256, size = _copied(request["path"], copy, name)
    if sha256 in request["known"]:
        return {"sha256": sha256, "size": size, "version": 0}
    version = _written_out(copy, folder, name)
    return {"sha256": sha256, "size": size, "version": version}


def error_of(reply: dict[str, Any]) -> OffglassError:
    """The error that a reply tells of."""
    kind = getattr(errors, str(reply.get("kind")), LedgerError)
    if not (isinstance(kind, type) and issubclass(kind, OffglassError)):
        kind = LedgerError
    made: OffglassError = kind(str(reply["error"])[:2000])
    return made


def _copied(path: str, copy: Path, name: str) -> tuple[str, int]:
    """Copy the file and the log beside it while no program can change them."""
    with _opened(path, name) as file:
        _let_in(file, name)
        found = os.fstat(file.fileno())
        head = file.read(_MAGIC_AT + len(_MAGIC))
        if head[_MAGIC_AT:] != _MAGIC:
            raise LedgerDamaged(f"{name} is no ledger: name a file made by offglass")
        if found.st_size > LARGEST:
            raise LedgerDamaged(
                f"{name} is larger than {LARGEST // 2**30} GB: ask for an export of a part of it"
            )
        digest = hashlib.sha256()
        file.seek(0)
        size = _poured(file, copy, digest, name)
        log = f"{path}.wal"
        if os.path.lexists(log):
            with _opened(log, f"{name}.wal") as beside:
                size += _poured(beside, Path(f"{copy}.wal"), digest, name)
        return digest.hexdigest(), size


def _opened(path: str, name: str) -> BinaryIO:
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0)
    flags |= getattr(os, "O_BINARY", 0)
    try:
        file = os.fdopen(os.open(path, flags), "rb")
    except OSError as e:
        raise LedgerError(f"{name} cannot be opened: {e.strerror}") from None
    if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
        file.close()
        raise LedgerDamaged(f"{name} is no plain file: name a ledger file")
    return file


def _let_in(file: BinaryIO, name: str) -> None:
    """Hold the file as readers of it do: nobody can write to it until it is closed."""
    try:
        import fcntl
    except ImportError:
        return
    try:
        fcntl.lockf(file, fcntl.LOCK_SH | fcntl.LOCK_NB)
    except OSError as e:
        if isinstance(e, (BlockingIOError, PermissionError)):
            raise LedgerBusy(
                f"{name} is open in another program: try again when it has let go"
            ) from None
        # A disk without locks: the copy is looked over all the same.


def _poured(file: BinaryIO, copy: Path, digest: Any, name: str) -> int:
    size = 0
    try:
        with open(copy, "xb") as out:
            while piece := file.read(_PIECE):
                size += len(piece)
                if size > LARGEST:
                    raise LedgerDamaged(f"{name} grew while it was read: try again")
                digest.update(piece)
                out.write(piece)
    except OSError as e:
        raise LedgerError(
            f"{name} could not be copied ({e.strerror}): make room on the disk and try again"
        ) from None
    return size


def _written_out(copy: Path, folder: Path, name: str) -> int:
    """Look the copy over and write its tables; the format version it had."""
    from ledger.store import allowlist, migrations
    from ledger.store.connection import attach, settle, translated
    from ledger.store.ledger_file import utc_now

    with translated(name):
        con = attach(str(copy), read_only=True)
        try:
            version = allowlist.admit(con, name)
            if version == migrations.newest():
                settle(con)
                _tables(con, folder, name)
                return version
        finally:
            con.close()
        con = attach(str(copy), read_only=False)
        try:
            settle(con)
            migrations.migrate(con, utc_now, have=version, finish=_kept)
            _tables(con, folder, name)
        finally:
            con.close()
    return version


def _kept(con: DuckDBPyConnection) -> None:
    from ledger.store import fingerprint

    fingerprint.keep(con)


def _tables(con: DuckDBPyConnection, folder: Path, name: str) -> None:
    import polars as pl

    from ledger.store.allowlist import tables
    from ledger.store.check import check_tables
    from ledger.store.statements import for_table, sql

    wrong = check_tables(con)
    if wrong:
        more = f" (and {len(wrong) - 1} more)" if len(wrong) > 1 else ""
        raise LedgerDamaged(
            f"{name} does not fit together{more}: {wrong[0].what} in {wrong[0].where}; "
            "type offglass check where it comes from"
        )
    for table in tables():
        frame = pl.DataFrame(con.sql(for_table(sql("package", "read"), table)))
        frame.write_parquet(folder / f"{table}.parquet", compression="lz4", statistics=False)


if __name__ == "__main__":
    main()
