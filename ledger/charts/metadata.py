"""What a picture says to those who cannot see it: a title and a description inside the file."""

from __future__ import annotations

import struct
import zlib
from html import escape

_PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"
# The signature and the header chunk, which always comes first and has 13 bytes.
_PNG_HEAD = len(_PNG_SIGNATURE) + 12 + 13


def told_png(picture: bytes, title: str, description: str) -> bytes:
    """The PNG with its title and description as international text chunks."""
    chunks = _text_chunk("Title", title) + _text_chunk("Description", description)
    return picture[:_PNG_HEAD] + chunks + picture[_PNG_HEAD:]


def told_svg(picture: str, title: str, description: str) -> str:
    """The SVG with `<title>` and `<desc>` as its first children, which readers speak."""
    start = picture.index("<svg")
    end = picture.index(">", start)
    words = f"<title>{escape(title)}</title><desc>{escape(description)}</desc>"
    return f'{picture[:end]} role="img">{words}{picture[end + 1 :]}'


def _text_chunk(keyword: str, text: str) -> bytes:
    body = b"iTXt" + keyword.encode("latin-1") + b"\0\0\0\0\0" + text.encode()
    return struct.pack(">I", len(body) - 4) + body + struct.pack(">I", zlib.crc32(body))
