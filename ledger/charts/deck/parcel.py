"""The bytes of an office file: the same ones for the same content."""

from __future__ import annotations

import io
import re
import zipfile
from datetime import UTC, date, datetime
from typing import Any

# The first moment that a zip can tell.
_MOMENT = (1980, 1, 1, 0, 0, 0)
_CORE = "docProps/core.xml"
_MODIFIED = re.compile(rb"(<dcterms:(?:modified|created)[^>]*>)[^<]*(<)")


def settled(blob: bytes, day: date | None) -> bytes:
    """The same file with no clock in it: fixed times of its parts, `day` as its date.

    Args:
        blob: an office file.
        day: when its content was last changed; the first day a zip can tell unless given.
    """
    stamp = moment(day).strftime("%Y-%m-%dT%H:%M:%SZ").encode()
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(blob)) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            body = old.read(name)
            if name == _CORE:
                body = _MODIFIED.sub(rb"\g<1>" + stamp + rb"\g<2>", body)
            info = zipfile.ZipInfo(name, _MOMENT)
            # Pictures are packed already.
            packed = name.endswith(".png")
            info.compress_type = zipfile.ZIP_STORED if packed else zipfile.ZIP_DEFLATED
            new.writestr(info, body)
    return out.getvalue()


def moment(day: date | None) -> datetime:
    """The day as a moment in UTC."""
    known = day or date(*_MOMENT[:3])
    return datetime(known.year, known.month, known.day, tzinfo=UTC)


def without(presentation: Any, *kinds: str) -> None:
    """Take parts of these kinds of relation out of a presentation, wherever they hang."""
    package = presentation.part.package
    for owner in (package, presentation.part):
        rels = owner._rels
        for number in [n for n in rels if rels[n].reltype in kinds]:
            rels.pop(number)
