# ruff: noqa: E501  tables of bytes are as long as they are
"""Ways to damage a file of any form, for property tests."""

from __future__ import annotations

import copy
import io
import json
import random
import zipfile
import zlib
from collections.abc import Callable

Mutation = Callable[[bytes, random.Random], bytes]

PIECES = (
    b"", b",", b";", b"\t", b"|", b"\n", b"\r", b"\r\n", b'"', b'""', b"'", b"\\", b"\0", b"\x1b", b"\xe9",
    b"\xff\xfe", b"\xef\xbb\xbf", b"x", b"1", b"-", b"7-9", b"2 of 2", b"{", b"}", b"[", b"]", b":", b"null",
    "é".encode(), "\u202e".encode(), "\ufdd0".encode(), b" ", b"9" * 30, b"MISS ", b"#N/A", b"=1+1",
)  # fmt: skip
ENCODINGS = ("utf-16", "utf-16-le", "utf-16-be", "utf-8-sig", "cp1252", "cp1253", "utf-32", "cp037")
# Values that a record of JSON may hold instead of its own.
VALUES: tuple[object, ...] = (
    None, True, False, 0, -1, 2, 7.5, 1e300, 12345678901234567890123, "", " ", "x", "1", "=1+1", "a\nb", "a\0b",
    "\u202ex", "\ufdd0", [], [1, "a"], {}, {"name": "x"}, [[1]], "y" * 300, "2023-13-45", "GOOD", "MISS", "🏀",
)  # fmt: skip


def bytes_changed(data: bytes, dice: random.Random) -> bytes:
    """A few bytes cut out, put in, doubled or flipped."""
    for _ in range(dice.randint(1, 4)):
        start = dice.randrange(len(data) + 1)
        length = dice.choice((0, 0, 1, 2, 9, 70))
        piece = dice.choice((*PIECES, data[start : start + length] * 2))
        if dice.random() < 0.2 and start < len(data):
            length, piece = 1, bytes([data[start] ^ (1 << dice.randrange(8))])
        data = data[:start] + piece + data[start + length :]
    return data


def lines_changed(data: bytes, dice: random.Random) -> bytes:
    """Whole lines dropped, doubled, swapped, cut, joined, or put in upside down."""
    lines = data.split(b"\n")
    for _ in range(dice.randint(1, 3)):
        at, other = dice.randrange(len(lines)), dice.randrange(len(lines))
        what = dice.randrange(7)
        if what == 0 and len(lines) > 1:
            del lines[at]
        elif what == 1:
            lines.insert(at, lines[other])
        elif what == 2:
            lines[at], lines[other] = lines[other], lines[at]
        elif what == 3:
            lines[at] = lines[at][: dice.randrange(len(lines[at]) + 1)]
        elif what == 4:
            lines[at] += lines[other]
        elif what == 5:
            lines[at] = dice.choice(PIECES) + lines[at] + dice.choice(PIECES)
        else:
            lines.insert(at, b"")
    return b"\n".join(lines)


def cells_changed(data: bytes, dice: random.Random) -> bytes:
    """Cells of two lines swapped, quoted, blanked or filled with something else."""
    separator = max((b",", b";", b"\t", b"|"), key=data.count)
    rows = [line.split(separator) for line in data.split(b"\n")]
    for _ in range(dice.randint(1, 4)):
        row, other = dice.choice(rows), dice.choice(rows)
        at, to = dice.randrange(len(row)), dice.randrange(len(other))
        what = dice.randrange(5)
        if what == 0:
            row[at], other[to] = other[to], row[at]
        elif what == 1:
            row[at] = b'"' + row[at] + b'"'
        elif what == 2:
            row[at] = dice.choice(PIECES)
        elif what == 3:
            row.insert(at, dice.choice(PIECES))
        else:
            row[at] += dice.choice(PIECES)
    return b"\n".join(separator.join(row) for row in rows)


def cut(data: bytes, dice: random.Random) -> bytes:
    """The file ends too early."""
    return data[: dice.randrange(len(data) + 1)]


def written_otherwise(data: bytes, dice: random.Random) -> bytes:
    """The same text in another encoding, whatever the file says of itself."""
    text = data.decode(errors="replace")
    return text.encode(dice.choice(ENCODINGS), errors="replace")


def structure_changed(data: bytes, dice: random.Random) -> bytes:
    """Members of a JSON document dropped, renamed, doubled or replaced."""
    try:
        body = json.loads(data)
    except (ValueError, RecursionError):
        return bytes_changed(data, dice)
    for _ in range(dice.randint(1, 4)):
        _change_somewhere(body, dice)
    text = json.dumps(body, ensure_ascii=dice.random() < 0.5)
    if dice.random() < 0.2:
        text = text.replace(dice.choice('{}[],:"'), dice.choice(("", "NaN", ",,", "//")), 1)
    if dice.random() < 0.1:
        text = "[" * dice.choice((1, 40, 3000)) + text
    return text.encode(errors="replace")


def _change_somewhere(body: object, dice: random.Random) -> None:
    at = body
    while True:
        inner = _members(at)
        deeper = [value for _, value in inner if isinstance(value, dict | list) and value]
        if not deeper or dice.random() < 0.3:
            break
        at = dice.choice(deeper)
    if not inner:
        return
    key, value = dice.choice(inner)
    what = dice.randrange(4)
    if isinstance(at, dict):
        if what == 0:
            del at[key]
        elif what == 1:
            at[f"{key}{dice.choice(('x', '.', '', ' '))}"] = at.pop(key)
        else:
            at[key] = dice.choice(VALUES)
    elif isinstance(at, list) and isinstance(key, int):
        if what == 0:
            del at[key]
        elif what == 1:
            at.insert(key, copy.deepcopy(value))
        else:
            at[key] = dice.choice(VALUES)


def _members(at: object) -> list[tuple[object, object]]:
    if isinstance(at, dict):
        return list(at.items())
    return list(enumerate(at)) if isinstance(at, list) else []


def archive_changed(data: bytes, dice: random.Random) -> bytes:
    """Parts of a workbook dropped, doubled, renamed, or changed inside."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = [(name, archive.read(name)) for name in archive.namelist()]
    except (
        zipfile.BadZipFile,
        zlib.error,
        EOFError,
        OSError,
        ValueError,
        NotImplementedError,
        RuntimeError,
    ):
        return bytes_changed(data, dice)
    for _ in range(dice.randint(1, 2)):
        at = dice.randrange(len(parts))
        name, body = parts[at]
        what = dice.randrange(6)
        if what == 0 and len(parts) > 1:
            del parts[at]
        elif what == 1:
            parts[at] = (name + dice.choice(("x", "/../x", "")), body)
        elif what == 2:
            parts[at] = (name, body[: dice.randrange(len(body) + 1)])
        elif what == 3:
            parts[at] = (name, bytes_changed(body, dice))
        elif what == 4:
            parts[at] = (name, _markup_changed(body, dice))
        else:
            parts[at] = (name, parts[dice.randrange(len(parts))][1])
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, body in dict(parts).items():
            archive.writestr(name, body)
    return bytes_changed(out.getvalue(), dice) if dice.random() < 0.15 else out.getvalue()


def _markup_changed(body: bytes, dice: random.Random) -> bytes:
    swaps = (
        (b't="s"', b't="n"'), (b't="s"', b't="str"'), (b't="n"', b't="e"'), (b't="n"', b't="b"'),
        (b"<v>", b"<v>9"), (b"<row r=", b"<row q="), (b'r="A', b'r="Z'), (b'r="C', b'r="B'), (b"<c ", b"<d "),
        (b"<?xml", b'<!DOCTYPE x [<!ENTITY y "z">]><?xml'), (b"</row>", b"</row><row/>"), (b"<t>", b"<t>&y;"),
        (b'<row r="6"', b'<row r="5"'), (b"</sheetData>", b""), (b"<v>", b"<f>1+1</f><v>"), (b"<t>", b"<t> "),
    )  # fmt: skip
    old, new = dice.choice(swaps)
    return body.replace(old, new, dice.choice((1, 1, -1)))


TEXT: tuple[Mutation, ...] = (bytes_changed, lines_changed, cells_changed, cut, written_otherwise)
JSON: tuple[Mutation, ...] = (
    structure_changed,
    structure_changed,
    bytes_changed,
    lines_changed,
    cut,
)
SHEET: tuple[Mutation, ...] = (
    archive_changed,
    archive_changed,
    archive_changed,
    bytes_changed,
    cut,
)


def mutations_of(form: str) -> tuple[Mutation, ...]:
    """The ways to damage a file of a form."""
    return {"sheet": SHEET, "json": JSON, "json lines": (*TEXT, lines_changed)}.get(form, TEXT)
