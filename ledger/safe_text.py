"""Text from a file or a person, made harmless before anything shows or writes it.

A name may hold escape sequences, reversed writing, invisible letters or a spreadsheet formula.
Everything the program prints goes through `safe`, every text cell it exports through
`safe_cell`, every file named after a league through `safe_file_name`.
"""

from __future__ import annotations

import hashlib
import re
import unicodedata
from functools import lru_cache

_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")
# Letters by category that nevertheless show nothing.
_BLANK_LETTERS = frozenset("\u115f\u1160\u17b4\u17b5\u3164\uffa0\u034f")
_DEVICES = re.compile(r"(?i)^(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])$")
_NAME_BYTES = 80


def _shown(character: str) -> str:
    """One character that must not reach a terminal, as signs that may."""
    code = ord(character)
    category = unicodedata.category(character)
    if category == "Zs":
        return " "
    if code < 0x20:
        return chr(0x2400 + code)
    if code == 0x7F:
        return "␡"
    if code <= 0xFF:
        return f"\\x{code:02x}"
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"


def _acts(character: str) -> bool:
    if character in _BLANK_LETTERS:
        return True
    # Private-use letters show as a box at worst; everything else unprintable may act or hide.
    return not character.isprintable() and unicodedata.category(character) != "Co"


def safe(text: str) -> str:
    r"""The text with every character that could act or hide shown as a visible sign.

    Control codes become their pictures (`␛` for escape), direction marks, zero-width letters and
    lone halves of characters become `\u202e` and the like, special blanks become plain ones. The
    result is one line and holds only characters that print.

    >>> safe("A\x1b[31mB")
    'A␛[31mB'
    """
    if text.isprintable() and text.isascii():
        return text
    return "".join(_shown(c) if _acts(c) else c for c in text)


def safe_cell(text: str) -> str:
    """The text of a CSV cell that no spreadsheet takes for a formula.

    Only for text: a number such as -3 is not passed through here.

    >>> safe_cell("=1+1")
    "'=1+1"
    """
    return "'" + text if text.startswith(_FORMULA_SIGNS) else text


@lru_cache(maxsize=4096)
def _cells(character: str) -> int:
    if unicodedata.combining(character) or unicodedata.category(character) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(character) in ("W", "F") else 1


def width(text: str) -> int:
    """How many cells of a terminal the text takes (wide letters two, combining marks none)."""
    if text.isascii():
        return len(text)
    return sum(map(_cells, text))


def cut(text: str, cells: int) -> str:
    """The text in at most `cells` terminal cells, its end replaced by `…` where it is longer.

    >>> cut("abcdef", 4)
    'abc…'
    """
    if width(text) <= cells:
        return text
    if cells < 1:
        return ""
    if text.isascii():
        return text[: cells - 1] + "…"
    kept: list[str] = []
    room = cells - 1
    for character in text:
        need = _cells(character)
        if need > room:
            break
        kept.append(character)
        room -= need
    return "".join(kept) + "…"


def safe_file_name(text: str) -> str:
    """A file name (without ending) for something called `text`, safe on every system.

    No separators, no leading dot or dash, no device name, at most 80 bytes. Where anything had to
    change, a short mark of the whole text is added, so that two texts never share a file.

    >>> safe_file_name("Halma_League")
    'Halma_League'
    """
    plain = unicodedata.normalize("NFC", text)
    kept = re.sub(r"[^\w-]+", "_", plain).strip("_-")
    raw = kept.encode()[: _NAME_BYTES - 8].decode(errors="ignore")
    if raw and raw == text and not _DEVICES.match(raw):
        return raw
    mark = hashlib.sha256(text.encode(errors="surrogatepass")).hexdigest()[:6]
    return f"{raw or 'unnamed'}-{mark}"
