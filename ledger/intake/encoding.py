"""Bytes to text, never by a guess.

UTF-8 is checked, UTF-16 and UTF-32 go by their mark, anything else must be named. A few lines
with stray bytes in a file that is otherwise UTF-8 are marked and rejected row by row; a file in
another encoding is refused whole, with candidates to try.
"""

from __future__ import annotations

import codecs
import re
from dataclasses import dataclass

from ledger.errors import RefusedInput, UseError

# A code point that no text may hold: it stands for bytes that could not be read.
MARK = "\ufdd0"
MARK_BYTES = MARK.encode()

_NO_TEXT = frozenset(
    [
        *("idna", "punycode", "unicode_escape", "raw_unicode_escape", "undefined"),
        *("mbcs", "oem", "utf_7", "charmap"),
    ]
)
_BOMS = (
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_STRAY_SHARE = 0.1
_SAMPLE = 256 * 1024
_CELL_ENDS = re.compile(rb'[,;\t|"]')
# Control codes that no table holds by the dozen; those found in damaged names are left out.
_BINARY = bytes(set(range(0x20)) - set(b"\0\t\n\r\x0b\x0c\x07\x08\x1b"))


@dataclass(frozen=True, slots=True)
class Text:
    """A file's text as checked UTF-8.

    Attributes:
        data: UTF-8 without a mark at its start; unreadable bytes are `MARK`.
        encoding: the encoding the file was read in.
        unreadable: how many lines hold a `MARK`.
        warnings: what the reader of the report should know.
    """

    data: bytes
    encoding: str
    unreadable: int = 0
    warnings: tuple[str, ...] = ()


def _marked(problem: UnicodeError) -> tuple[str, int]:
    if isinstance(problem, UnicodeDecodeError):
        return MARK, problem.end
    raise problem


codecs.register_error("offglass-mark", _marked)


def decode(data: bytes, name: str, named: str | None = None) -> Text:
    """The text of a file.

    Args:
        data: its bytes.
        name: the file's name for messages.
        named: what the user typed after `--encoding`.

    Raises:
        UseError: if there is no such encoding.
        RefusedInput: if the bytes are no text, or text in an encoding that must be named.
    """
    codec = _codec(named) if named is not None else None
    # An old end-of-file mark, written by some programs after the last line.
    data = data.removesuffix(b"\x1a")
    for mark, wide in _BOMS:
        if data.startswith(mark):
            return _wide(data, name, wide)
    if codec is not None and codec not in ("utf-8", "utf-8-sig"):
        return _in_named(data, name, codec)
    _refuse_binary(data, name)
    body = data.removeprefix(codecs.BOM_UTF8)
    if _is_utf8(body):
        return Text(body, "utf-8")
    return _mostly_utf8(body, name, insist=codec is not None)


def _codec(named: str) -> str:
    try:
        info = codecs.lookup(named)
    except (LookupError, ValueError, UnicodeError):
        info = None
    if info is None or not getattr(info, "_is_text_encoding", True) or _no_text(info.name):
        raise UseError(
            f"--encoding {named}: no such encoding; try utf-8, cp1252, cp1250, cp1251, cp949,"
            " shift_jis or gb18030"
        )
    return info.name


def _no_text(name: str) -> bool:
    return name.replace("-", "_") in _NO_TEXT


def _is_utf8(data: bytes) -> bool:
    if data.isascii():
        return True
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def _wide(data: bytes, name: str, encoding: str) -> Text:
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError:
        raise RefusedInput(
            f"{name}: starts like {encoding.upper()} but is damaged; fetch it again"
        ) from None
    return Text(text.encode(), encoding)


def _in_named(data: bytes, name: str, codec: str) -> Text:
    if data.startswith(codecs.BOM_UTF8):
        raise UseError(f"{name}: the file says itself that it is UTF-8; leave --encoding out")
    warnings: tuple[str, ...] = ()
    if not data.isascii() and _is_utf8(data) and not codec.startswith("utf"):
        warnings = (
            f"the file is whole UTF-8 and was read as {codec} because you said so; look at the"
            " names, and leave --encoding out if they look wrong",
        )
    try:
        return Text(data.decode(codec).encode(), codec, 0, warnings)
    except UnicodeEncodeError:
        raise RefusedInput(f"{name}: holds no whole text in {codec}; check --encoding") from None
    except UnicodeDecodeError:
        if codec.startswith(("utf-16", "utf-32")):
            raise RefusedInput(f"{name}: is not {codec}; leave --encoding out to see why") from None
    marked = data.decode(codec, "offglass-mark").encode()
    lines = marked.splitlines()
    bad = sum(MARK_BYTES in line for line in lines)
    if bad > max(1, _STRAY_SHARE * len(lines)):
        raise RefusedInput(
            f"{name}: {bad} of {len(lines)} lines are no text in {codec}; check --encoding"
        )
    return Text(marked, codec, bad, warnings)


def _mostly_utf8(data: bytes, name: str, insist: bool) -> Text:
    """UTF-8 with a few unreadable lines, or a refusal that names candidates."""
    lines = data.splitlines()
    bad: list[bytes] = []
    wide = 0
    for line in lines:
        if line.isascii():
            continue
        if _is_utf8(line):
            wide += 1
        else:
            bad.append(line)
    cells = [cell for line in bad for cell in _CELL_ENDS.split(line) if not _is_utf8(cell)]
    # Players shoot often: the same unreadable name on several lines is an encoding, not a damage.
    repeated = len(set(cells)) < len(cells)
    few = len(bad) <= max(1, _STRAY_SHARE * (len(lines) - 1))
    if few and (insist or wide >= len(bad) or not repeated):
        return Text(data.decode("utf-8", "offglass-mark").encode(), "utf-8", len(bad))
    raise RefusedInput(f"{name}: not UTF-8 ({len(bad)} of {len(lines)} lines); {_candidates(data)}")


def _candidates(data: bytes) -> str:
    from charset_normalizer import from_bytes

    # Only the lines that say anything about it: a long plain start would drown them.
    telling = b"\n".join(line for line in data.splitlines() if not line.isascii())[:_SAMPLE]
    tries: list[str] = []
    for match in from_bytes(telling):
        if match.encoding not in ("utf_8", "ascii") and len(tries) < 3:
            piece = next(
                (w for w in str(match).replace("\n", ",").split(",") if not w.isascii()), ""
            )
            tries.append(f"--encoding {match.encoding} if {piece.strip()[:40]!r} is right")
    if not tries:
        return "type --encoding NAME, or save it as UTF-8"
    return "type " + ", or ".join(tries) + ", or save it as UTF-8"


def _refuse_binary(data: bytes, name: str) -> None:
    sample = data[:_SAMPLE]
    nulls = sample.count(0)
    if nulls > 0.3 * len(sample):
        even = sample[::2].count(0)
        guess = "utf-16-be" if even > nulls - even else "utf-16-le"
        half = nulls < 0.6 * len(sample) and abs(2 * even - nulls) > 0.8 * nulls
        if half:
            raise RefusedInput(
                f"{name}: looks like UTF-16 without its mark; type --encoding {guess}"
            )
        raise RefusedInput(f"{name}: not text; ask the source for CSV")
    odd = len(sample) - len(sample.translate(None, _BINARY))
    # A rare control code is a damaged row; one byte in fifty is no text at all.
    if odd > 0.02 * len(sample) and (odd > 0.3 * len(sample) or not _is_utf8(data)):
        raise RefusedInput(f"{name}: not text; ask the source for CSV")
