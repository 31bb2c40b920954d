"""The whole ledger as an open Data Package and back, nothing lost.

The durable form of a ledger: CSV with Table Schema outlives every database version. Loading trusts
nothing of it: names are compared with the ledger's own, files with their size and hash, cells with
their types, and the new ledger is checked before it takes its name.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ledger.errors import LedgerError, LedgerNewer, RefusedInput, UseError
from ledger.store import allowlist, cells, fingerprint, migrations, opening
from ledger.store.backup import discard, free_path, put_in_place
from ledger.store.check import check_tables
from ledger.store.connection import attach, settle, translated
from ledger.store.descriptor import Written, describe
from ledger.store.ledger_file import LedgerFile, utc_now
from ledger.store.lending import lent
from ledger.store.statements import for_table, sql

if TYPE_CHECKING:
    import polars as pl
    from duckdb import DuckDBPyConnection

DESCRIPTOR = "datapackage.json"
_LARGEST_DESCRIPTOR = 8 * 2**20
_LARGEST_FILE = 4 * 2**30


def export(ledger: LedgerFile, folder: str | os.PathLike[str]) -> Path:
    """Write every table as CSV and Parquet with its Table Schema.

    Removed rows, the journal and everything else go with it: `load` makes the same ledger again.

    Args:
        ledger: the ledger.
        folder: a folder that is new or empty.

    Returns:
        The folder.

    Raises:
        UseError: if the folder holds something or cannot be made.
        LedgerError: if the ledger cannot be read or the disk is full.
    """
    with new_folder(folder) as draft:
        (draft / "data").mkdir()
        with ledger.reading() as con:
            files = {table: _write(con, table, draft) for table in allowlist.tables()}
        created = ledger.clock().isoformat(timespec="seconds") + "Z"
        body = describe(ledger.name, created, migrations.newest(), files)
        text = json.dumps(body, ensure_ascii=False, indent=1) + "\n"
        (draft / DESCRIPTOR).write_text(text, encoding="utf-8")
    return opening.real_path(folder)


@contextmanager
def new_folder(folder: str | os.PathLike[str]) -> Iterator[Path]:
    """A folder to be filled, which gets its name when all of it is there, or not at all.

    Args:
        folder: one that is new or empty.

    Yields:
        Where to write meanwhile.

    Raises:
        UseError: if the folder holds something or cannot be made.
        LedgerError: if the disk is full.
    """
    target = opening.real_path(folder)
    _new_or_empty(target)
    draft = target.with_name(f".{target.name[:80]}.part-{os.getpid()}")
    try:
        draft.mkdir()
        yield draft
        if target.exists():
            target.rmdir()
        os.rename(draft, target)
    except OSError as e:
        raise LedgerError(
            f"{target} could not be written ({e.strerror}): nothing is left there; make room or "
            "name another folder"
        ) from None
    finally:
        shutil.rmtree(draft, ignore_errors=True)


def load(folder: str | os.PathLike[str], path: str | os.PathLike[str]) -> Path:
    """Make a new ledger from an export.

    Args:
        folder: what `export` wrote.
        path: the ledger file to make; nothing may be there yet.

    Returns:
        Its real path.

    Raises:
        RefusedInput: if the export is not whole, was changed, or does not fit together.
        LedgerNewer: if it comes from a newer program.
        UseError: if the ledger cannot be made there.
    """
    target = opening.real_path(path)
    free_path(target)
    home = opening.real_path(folder)
    version, found = _described(home)
    draft = target.with_name(f".{target.name[:80]}.part-{os.getpid()}")
    try:
        with translated(target.name):
            _fill(draft, version, home, found)
        put_in_place(draft, target)
    finally:
        discard(draft)
    return target


def _write(con: DuckDBPyConnection, table: str, draft: Path) -> tuple[Written, Written]:
    import polars as pl

    frame = pl.DataFrame(con.sql(for_table(sql("package", "read"), table)))
    csv, parquet = f"data/{table}.csv", f"data/{table}.parquet"
    data = cells.to_csv(frame)
    (draft / csv).write_bytes(data)
    frame.write_parquet(draft / parquet, compression="zstd", statistics=False)
    packed = (draft / parquet).read_bytes()
    return (
        Written(csv, len(data), hashlib.sha256(data).hexdigest(), len(frame)),
        Written(parquet, len(packed), hashlib.sha256(packed).hexdigest(), len(frame)),
    )


def _new_or_empty(target: Path) -> None:
    if target.is_dir():
        if any(target.iterdir()):
            raise UseError(f"{target} is not empty: name a new folder")
    elif os.path.lexists(target):
        raise UseError(f"{target} is no folder: name a new one")
    if not target.parent.is_dir():
        raise UseError(f"there is no folder {target.parent}: make it first")
    if not os.access(target.parent, os.W_OK):
        raise UseError(f"no permission to write in {target.parent}: name another folder")


def _described(home: Path) -> tuple[int, dict[str, dict[str, Any]]]:
    """The format version, and the resource of each table, all of them looked over."""
    if not home.is_dir():
        raise UseError(f"there is no folder {home}: name one that offglass export wrote")
    try:
        body = json.loads(_read(home, DESCRIPTOR, _LARGEST_DESCRIPTOR))
        version, resources = body["format_version"], body["resources"]
        named = {str(r["name"]): r for r in resources}
    except (ValueError, KeyError, TypeError):
        raise RefusedInput(
            f"{home / DESCRIPTOR} is no description of a ledger: name a folder that "
            "offglass export wrote; what came of export --share is imported instead: "
            "offglass import attempts.csv, then offglass import tags.csv --as tags"
        ) from None
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise RefusedInput(f"{home / DESCRIPTOR} has no format version: export the ledger again")
    if version > migrations.newest():
        raise LedgerNewer(
            f"{home} has format {version} and this program knows {migrations.newest()}: "
            "update offglass"
        )
    known = set(allowlist.schema(version).columns)
    odd = sorted(set(named) - known) or sorted(known - set(named))
    if odd or len(named) != len(resources):
        says = "twice or not at all" if not odd or odd[0] in known else "that no ledger has"
        raise RefusedInput(
            f"{home / DESCRIPTOR} names a table {says}: {', '.join(odd[:5]) or 'see its names'}"
        )
    return version, named


def _fill(draft: Path, version: int, home: Path, found: dict[str, dict[str, Any]]) -> None:
    con = attach(str(draft), read_only=False)
    try:
        settle(con)
        migrations.migrate(con, utc_now, have=0, upto=version)
        con.execute(sql("connection", "begin"))
        for table, columns in allowlist.schema(version).columns.items():
            frame = _table(home, found[table], table, columns)
            con.execute(for_table(sql("package", "empty"), table))
            _insert(con, table, frame)
        con.execute(sql("connection", "commit"))
        _same_version(con, home, version)
        migrations.migrate(con, utc_now, have=version, finish=fingerprint.keep)
        wrong = check_tables(con)
        if wrong:
            more = f" (and {len(wrong) - 1} more)" if len(wrong) > 1 else ""
            raise RefusedInput(
                f"{home} does not fit together{more}: {wrong[0].what} in {wrong[0].where}"
            )
        con.execute(sql("connection", "checkpoint"))
    finally:
        con.close()


def _same_version(con: DuckDBPyConnection, home: Path, version: int) -> None:
    row = con.execute(sql("migrations", "version")).fetchone()
    if row is None or row[0] != str(version):
        raise RefusedInput(f"{home}: ledger_meta and {DESCRIPTOR} name two format versions")


def _table(
    home: Path, resource: dict[str, Any], table: str, columns: tuple[allowlist.ColumnRule, ...]
) -> pl.DataFrame:
    path = resource.get("path")
    if not isinstance(path, str):
        raise RefusedInput(f"{home / DESCRIPTOR} names no file for {table}")
    data = _read(home, path, _LARGEST_FILE)
    digest = "sha256:" + hashlib.sha256(data).hexdigest()
    if len(data) != resource.get("bytes") or digest != resource.get("hash"):
        raise RefusedInput(
            f"{path} is not as it was exported (its size or hash differs): get the folder again, "
            "or bring changed records in with offglass import"
        )
    frame = cells.from_csv(data, columns, path)
    if len(frame) != resource.get("rows"):
        raise RefusedInput(f"{path} has {len(frame)} rows, {resource.get('rows')} were exported")
    return frame


def _read(home: Path, name: str, largest: int) -> bytes:
    """A file inside the folder: no way out of it, no device, no link."""
    parts = Path(name).parts
    inside = bool(parts) and not Path(name).is_absolute() and ".." not in parts
    if not inside or Path(os.path.realpath(home / name)) != home / name:
        raise RefusedInput(f"{home / DESCRIPTOR} names a file outside its folder: {name!r}")
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0)
    try:
        with open(os.open(home / name, flags), "rb") as file:
            size = os.fstat(file.fileno()).st_size
            if not (home / name).is_file() or size > largest:
                raise RefusedInput(f"{home / name} is no plain file of a fit size")
            return file.read(largest + 1)
    except OSError as e:
        raise RefusedInput(f"{home / name} cannot be read: {e.strerror}") from None


def _insert(con: DuckDBPyConnection, table: str, frame: pl.DataFrame) -> None:
    import duckdb

    try:
        with lent(con, incoming=frame):
            con.execute(for_table(sql("package", "insert"), table))
    except duckdb.ConstraintException:
        raise RefusedInput(f"{table}.csv holds an id twice or lacks a value") from None
