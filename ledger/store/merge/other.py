"""The other ledger as frames: read by a process of its own, held to what a ledger may hold."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import polars as pl

from ledger.errors import LedgerBusy, LedgerDamaged, UseError
from ledger.store import opened, opening
from ledger.store.allowlist import schema
from ledger.store.merge.child import error_of
from ledger.store.merge.mark import Nobody

# A ledger of a million attempts takes some ten seconds; a file made to take forever is stopped.
TIME_LIMIT_S = 900.0
_ROOT = str(Path(__file__).resolve().parents[3])
_KINDS: dict[str, pl.DataType] = {
    "VARCHAR": pl.String(),
    "TINYINT": pl.Int8(),
    "SMALLINT": pl.Int16(),
    "INTEGER": pl.Int32(),
    "BIGINT": pl.Int64(),
    "DOUBLE": pl.Float64(),
    "BOOLEAN": pl.Boolean(),
    "DATE": pl.Date(),
    "TIMESTAMP": pl.Datetime("us"),
}


@dataclass(frozen=True, slots=True)
class Other:
    """A colleague's ledger.

    Attributes:
        name: its file name.
        sha256: hash of its bytes.
        size: bytes.
        tables: every table as a frame; empty where `sha256` was known already.
    """

    name: str
    sha256: str
    size: int
    tables: dict[str, pl.DataFrame]


def found(path: str | os.PathLike[str], own: Path) -> Path:
    """Where the other ledger lies, looked at from outside.

    Raises:
        LedgerError: if there is none, or it is no plain file with something in it.
        UseError: if it is this ledger itself.
        LedgerBusy: if this program has it in use.
    """
    place = opening.real_path(path)
    opening.look_from_outside(place)
    if os.path.samefile(place, own):
        raise UseError(f"{place.name} is this ledger itself: name a colleague's")
    if not opened.clear_the_way(opened.key_of(str(place)), Nobody()):
        raise LedgerBusy(f"{place.name} is in use in this program: close it first")
    return place


@contextmanager
def reading(place: Path, known: Sequence[str], *, limit: float = TIME_LIMIT_S) -> Iterator[Other]:
    """The other ledger; its tables lie in a private folder while this lasts.

    Args:
        place: from `found`.
        known: hashes of files whose tables are not wanted again.
        limit: seconds after which reading is ended.

    Raises:
        LedgerError: busy, damaged, newer, or not to be read under the limits.
    """
    with tempfile.TemporaryDirectory(prefix="offglass-merge-", ignore_cleanup_errors=True) as name:
        folder = Path(os.path.realpath(name))
        request: dict[str, object] = {
            "path": str(place),
            "name": place.name,
            "folder": str(folder),
            "known": list(known),
        }
        reply = _asked(request, limit)
        if "error" in reply:
            raise error_of(reply)
        sha256, size = str(reply["sha256"]), int(str(reply["size"]))
        tables = {} if sha256 in known else _tables(folder, place.name)
        yield Other(place.name, sha256, size, tables)


def _asked(request: dict[str, object], limit: float) -> dict[str, object]:
    path = [_ROOT, *filter(None, [os.environ.get("PYTHONPATH")])]
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(path)}
    process = subprocess.Popen(
        # -P: a file in the current folder must not pass for one of the program's modules.
        [sys.executable, "-P", "-m", "ledger.store.merge.child"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env=env,
    )
    name = request["name"]
    try:
        out, _ = process.communicate(json.dumps(request).encode() + b"\n", timeout=limit)
    except subprocess.TimeoutExpired:
        raise LedgerDamaged(
            f"{name} took longer than {limit:g} seconds to read and was left alone: "
            "ask for its export instead"
        ) from None
    finally:
        if process.poll() is None:
            process.kill()
            process.communicate()
    try:
        reply: dict[str, object] = json.loads(out)
    except ValueError:
        how = f"signal {-process.returncode}" if process.returncode < 0 else "an error"
        raise LedgerDamaged(
            f"{name} could not be read: the process that read it was ended by {how}; "
            "ask for its export instead"
        ) from None
    return reply


def _tables(folder: Path, name: str) -> dict[str, pl.DataFrame]:
    tables = {}
    for table, columns in schema().columns.items():
        shape = {c.name: _KINDS[c.type] for c in columns}
        frame = pl.read_parquet(folder / f"{table}.parquet", glob=False)
        if dict(frame.schema) != shape:
            raise LedgerDamaged(f"{name}: its table {table} was not read as a ledger has it")
        tables[table] = frame
    return tables
