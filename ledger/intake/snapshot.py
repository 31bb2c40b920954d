"""One private copy of a stranger's file, read once and hashed.

The path is opened here and nowhere else: no library sees it, so that no glob, no address and no
named pipe in a file's name can do anything. What is plainly no table is refused by its first
bytes.
"""

from __future__ import annotations

import hashlib
import os
import stat
import zlib
from dataclasses import dataclass
from pathlib import Path

from ledger import safe_text
from ledger.errors import RefusedInput

MAX_BYTES = 512 * 1024 * 1024
MAX_RATIO = 20
# Plain tables of one league pack well; below this size the ratio says nothing.
RATIO_FLOOR = 16 * 1024 * 1024
_PIECE = 8 * 1024 * 1024
_OLE = b"\xd0\xcf\x11\xe0"

_MAGICS: tuple[tuple[int, bytes, str], ...] = (
    (8, b"DUCK", "a ledger or another database, not a table; type offglass merge for a ledger"),
    (0, b"SQLite format 3\0", "a database, not a table; export the table as CSV"),
    (0, b"%PDF", "a PDF, not a table; ask the source for CSV"),
    (0, b"PAR1", "a Parquet file; save it as CSV"),
    (0, b"BZh", "packed with bzip2; unpack it first"),
    (0, b"\xfd7zXZ", "packed with xz; unpack it first"),
    (0, b"\x28\xb5\x2f\xfd", "packed with zstd; unpack it first"),
    (0, b"7z\xbc\xaf\x27\x1c", "a 7z archive; unpack it first"),
    (0, b"Rar!", "a rar archive; unpack it first"),
    (257, b"ustar", "a tar archive; unpack it first"),
    (0, b"\x89PNG", "a picture, not a table"),
    (0, b"\xff\xd8\xff", "a picture, not a table"),
    (0, b"GIF8", "a picture, not a table"),
    (0, b"\x7fELF", "a program, not a table"),
    (0, b"{\\rtf", "a text document; save the table as CSV"),
)


@dataclass(frozen=True, slots=True)
class Snapshot:
    """A file as it was at one moment.

    Attributes:
        name: the file's own name, safe to show.
        data: its bytes, unpacked where it was gzip.
        sha256: hash of the bytes on disk (packed, where it was packed).
        size: bytes on disk.
        kind: `plain` or `gzip`.
    """

    name: str
    data: bytes
    sha256: str
    size: int
    kind: str


def take(path: str | os.PathLike[str]) -> Snapshot:
    """Read the file once into memory.

    Raises:
        RefusedInput: if it cannot be read, is no regular file, is too large, changed while it was
            read, or plainly is no table.
    """
    name = safe_text.safe(Path(path).name or str(path))
    return of_bytes(_read(path, name), name)


def of_bytes(data: bytes, name: str) -> Snapshot:
    """The same for bytes that came another way, such as over a pipe.

    Raises:
        RefusedInput: if there are none, or they plainly are no table.
    """
    digest = hashlib.sha256(data).hexdigest()
    if not data:
        raise RefusedInput(f"{name}: the file is empty; nothing to import")
    size = len(data)
    kind = "plain"
    if data[:2] == b"\x1f\x8b":
        kind = "gzip"
        data = _inflated(data, name)
        if not data:
            raise RefusedInput(f"{name}: the gzip file holds nothing; nothing to import")
    _refuse_other_kinds(data, name)
    return Snapshot(name, data, digest, size, kind)


def _read(path: str | os.PathLike[str], name: str) -> bytes:
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    try:
        descriptor = os.open(path, flags | getattr(os, "O_CLOEXEC", 0))
    except FileNotFoundError:
        raise RefusedInput(f"{name}: no such file; check the path") from None
    except PermissionError:
        raise RefusedInput(f"{name}: no permission to read it; check its rights") from None
    except (OSError, ValueError) as problem:
        reason = problem.strerror if isinstance(problem, OSError) else str(problem)
        raise RefusedInput(f"{name}: cannot be opened ({reason}); check the path") from None
    try:
        before = os.fstat(descriptor)
        _refuse_by_status(before, name)
        data = _drained(descriptor, before.st_size)
        after = os.fstat(descriptor)
    except OSError as problem:
        raise RefusedInput(f"{name}: cannot be read ({problem.strerror})") from None
    finally:
        os.close(descriptor)
    if len(data) != before.st_size or (after.st_size, after.st_mtime_ns) != (
        before.st_size,
        before.st_mtime_ns,
    ):
        raise RefusedInput(f"{name}: changed while it was read; import it again")
    return data


def _refuse_by_status(status: os.stat_result, name: str) -> None:
    if stat.S_ISDIR(status.st_mode):
        raise RefusedInput(f"{name}: a folder, not a file; name the files in it")
    if not stat.S_ISREG(status.st_mode):
        raise RefusedInput(f"{name}: not a regular file; save it to a file first")
    if status.st_size > MAX_BYTES:
        raise RefusedInput(f"{name}: larger than 512 MiB; split it by season")


def _drained(descriptor: int, size: int) -> bytes:
    """All bytes, at most one more than `size` (a file that grows is noticed by that one)."""
    pieces: list[bytes] = []
    left = size + 1
    while left > 0:
        piece = os.read(descriptor, left)
        if not piece:
            break
        pieces.append(piece)
        left -= len(piece)
    return b"".join(pieces)


def _inflated(packed: bytes, name: str) -> bytes:
    most = min(MAX_BYTES, max(RATIO_FLOOR, MAX_RATIO * len(packed)))
    out = bytearray()
    rest = packed
    try:
        while rest:
            unpacker = zlib.decompressobj(wbits=31)
            piece = unpacker.decompress(rest, _PIECE)
            while True:
                out += piece
                if len(out) > most:
                    raise RefusedInput(
                        f"{name}: inflates to more than {most // 2**20} MiB from"
                        f" {len(packed) / 2**20:.1f} MiB; unpack it and look at it first"
                    )
                if unpacker.eof:
                    break
                if not piece and not unpacker.unconsumed_tail:
                    raise zlib.error("cut")
                piece = unpacker.decompress(unpacker.unconsumed_tail, _PIECE)
            # Padding of zero bytes after the last member is allowed.
            rest = unpacker.unused_data.lstrip(b"\0")
    except zlib.error:
        raise RefusedInput(f"{name}: a damaged or cut gzip file; fetch it again") from None
    return bytes(out)


def _refuse_other_kinds(data: bytes, name: str) -> None:
    if data[:4] in (b"PK\x03\x04", b"PK\x05\x06", b"PK\x07\x08"):
        _refuse_other_archives(data, name)
    if data[:4] == _OLE:
        locked = "EncryptedPackage".encode("utf-16-le") in data
        what = (
            "a workbook locked with a password; open it and save it without one"
            if locked
            else "an old spreadsheet workbook (.xls); save it as .xlsx"
        )
        raise RefusedInput(f"{name}: {what}")
    for place, magic, what in _MAGICS:
        if data[place : place + len(magic)] == magic:
            raise RefusedInput(f"{name}: {what}")
    if data[:2] == b"\x1f\x8b":
        raise RefusedInput(f"{name}: packed twice; unpack it first")
    start = data[:1024].replace(b"\0", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n").lower()
    if start.startswith((b"<!doctype", b"<html", b"<head", b"<body", b"<!--")):
        raise RefusedInput(f"{name}: a web page, not a table; sign in and download the CSV again")
    if start.startswith((b"<?xml", b"<svg")):
        raise RefusedInput(f"{name}: an XML file, not a table; ask the source for CSV")


def _refuse_other_archives(data: bytes, name: str) -> None:
    """Let only what may be a workbook pass; it is looked at closely where it is opened."""
    head = data[:65536]
    if b"opendocument" in head:
        raise RefusedInput(f"{name}: an OpenDocument file; save the sheet as .xlsx")
    if b"xl/" in data:
        return
    if b"word/" in data or b"ppt/" in data:
        raise RefusedInput(f"{name}: an office document, not a table; save the table as .xlsx")
    raise RefusedInput(f"{name}: a zip archive; unpack it and import the files in it")
