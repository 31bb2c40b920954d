"""A workbook's zip archive, looked at before anything in it is unpacked or parsed."""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from typing import IO

from ledger.errors import RefusedInput

MAX_ENTRIES = 10_000
MAX_UNPACKED = 512 * 1024 * 1024
MAX_RATIO = 60
# Small workbooks pack well; below this size the ratio says nothing.
RATIO_FLOOR = 32 * 1024 * 1024
MAX_PART = 8 * 1024 * 1024
WORKBOOK = "xl/workbook.xml"
_ENTRY = b"PK\x01\x02"
_DECLARED = re.compile(rb"<!(?:DOCTYPE|ENTITY)")
_ENCODING = re.compile(rb"\W*<\?xml[^>]*?encoding\s*=\s*[\"']([^\"']*)")
_PLAIN = (b"utf-8", b"utf-16", b"us-ascii", b"ascii")
_PIECE = 1024 * 1024
_ISO_ONLY = b"purl.oclc.org/ooxml"
_DATA_PARTS = ("xl/worksheets/", "xl/sharedStrings", "xl/media/", "xl/drawings/", "xl/charts/")

DAMAGE = (
    *(KeyError, ValueError, TypeError, AttributeError, IndexError, OSError, EOFError),
    *(NotImplementedError, RuntimeError, SyntaxError, zipfile.BadZipFile, zlib.error),
)


def opened(data: bytes, name: str) -> zipfile.ZipFile:
    """The archive of a workbook that may be parsed.

    Raises:
        RefusedInput: if it is damaged, locked, of another kind, or unpacks to too much.
    """
    if data.count(_ENTRY) > MAX_ENTRIES:
        raise RefusedInput(f"{name}: an archive of more than {MAX_ENTRIES} parts; no workbook")
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except DAMAGE:
        raise damaged(name) from None
    entries = archive.infolist()
    names = [entry.filename for entry in entries]
    if any(entry.flag_bits & 1 for entry in entries):
        raise RefusedInput(f"{name}: locked with a password; save it without one")
    if len(set(names)) < len(names):
        raise damaged(name)
    _refuse_other_books(names, name)
    unpacked = sum(entry.file_size for entry in entries)
    most = min(MAX_UNPACKED, max(RATIO_FLOOR, MAX_RATIO * len(data)))
    if unpacked > most:
        raise RefusedInput(
            f"{name}: unpacks to {unpacked // 2**20} MiB from {len(data) / 2**20:.1f} MiB, at most"
            f" {most // 2**20} are read; save the sheet alone in a new workbook"
        )
    _refuse_parts(archive, entries, name)
    return archive


def plain_xml(archive: zipfile.ZipFile, part: str) -> IO[bytes]:
    """A part opened for parsing, once it is known to declare no entity: without one XML is safe.

    The kept safe parser does the same for the small parts; for those of millions of cells it is
    five times slower than the standard library's.

    Raises:
        ValueError: if the part declares anything, or is in a rare encoding that could hide it.
        one of `DAMAGE`: if it cannot be unpacked.
    """
    with archive.open(part) as stream:
        piece = stream.read(_PIECE)
        top, ends, _ = piece[:400].replace(b"\0", b"").partition(b"?>")
        encoding = _ENCODING.match(top)
        if encoding is not None and encoding[1].lower() not in _PLAIN:
            raise ValueError("another encoding")
        if b"<?xml" in top and not ends:
            raise ValueError("a declaration without end")
        end = b""
        while piece:
            # The sign may begin in one piece and end in the next.
            if _DECLARED.search((end + piece).replace(b"\0", b"")):
                raise ValueError("declares entities")
            end = piece[-64:]
            piece = stream.read(_PIECE)
    return archive.open(part)


def damaged(name: str) -> RefusedInput:
    """The refusal of a workbook that cannot be read."""
    return RefusedInput(
        f"{name}: a damaged workbook; open it in a spreadsheet program and save it anew as .xlsx"
    )


def _refuse_other_books(names: list[str], name: str) -> None:
    if WORKBOOK in names:
        return
    if "xl/workbook.bin" in names:
        raise RefusedInput(f"{name}: a binary workbook (.xlsb); save it as .xlsx")
    raise damaged(name)


def _refuse_parts(archive: zipfile.ZipFile, entries: list[zipfile.ZipInfo], name: str) -> None:
    """Parts that are parsed whole stay small and declare nothing."""
    for entry in entries:
        if entry.filename.startswith(_DATA_PARTS) and not entry.filename.endswith(".rels"):
            continue
        if not entry.filename.endswith((".xml", ".rels")):
            continue
        if entry.file_size > MAX_PART:
            if entry.filename.startswith(("xl/styles", "xl/workbook", "[Content", "_rels", "xl/_")):
                raise RefusedInput(
                    f"{name}: its part {entry.filename} is larger than {MAX_PART // 2**20} MiB;"
                    " copy the sheet into a new workbook"
                )
            continue
        try:
            part = archive.read(entry).replace(b"\0", b"")
        except DAMAGE:
            raise damaged(name) from None
        if _DECLARED.search(part):
            raise RefusedInput(f"{name}: declares entities, which no workbook needs; not read")
        if entry.filename == WORKBOOK and _ISO_ONLY in part:
            raise RefusedInput(
                f"{name}: saved as Strict Open XML; save it as a plain Excel workbook (.xlsx)"
            )
