"""A template of the staff's own: opened with care, emptied of its slides."""

from __future__ import annotations

import io
import os
import stat
import zipfile
from pathlib import Path
from typing import Any

from pptx import Presentation
from pptx.opc.constants import RELATIONSHIP_TYPE as RT
from pptx.oxml.ns import qn

from ledger.charts.deck.parcel import without
from ledger.errors import UseError

# Larger ones hold films; unpacked so much more is no office file.
MOST_BYTES = 200 * 1024 * 1024
_MOST_UNPACKED = 1024 * 1024 * 1024
# Lists of slides by number, which would point at nothing.
_LISTS = ("p:custShowLst", "p:extLst")


def opened(path: Path) -> Any:
    """The template without its slides: its masters, layouts, sizes, letters and colours.

    Raises:
        UseError: in one line, if it cannot be read or is no presentation.
    """
    blob = _read(path)
    called = repr(path.name)
    try:
        with zipfile.ZipFile(io.BytesIO(blob)) as zipped:
            unpacked = sum(info.file_size for info in zipped.infolist())
        if unpacked > _MOST_UNPACKED:
            raise UseError(f"the template {called} unpacks to more than a presentation would")
        presentation = Presentation(io.BytesIO(blob))
        layouts = [layout for m in presentation.slide_masters for layout in m.slide_layouts]
        sized = presentation.slide_width and presentation.slide_height
        _emptied(presentation)
    except UseError:
        raise
    # What a damaged file makes the library raise is anything: not one of it is the user's doing.
    except Exception:
        raise UseError(
            f"the template {called} is no presentation that can be read: open it in your office "
            "program and save it as .pptx"
        ) from None
    if not layouts or not sized:
        raise UseError(f"the template {called} has no layout: take a .pptx with a slide master")
    without(presentation, RT.THUMBNAIL)
    return presentation


def _read(path: Path) -> bytes:
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
    except OSError as error:
        raise UseError(f"the template {str(path)!r} cannot be read: {error.strerror}") from None
    facts = os.fstat(handle)
    if not stat.S_ISREG(facts.st_mode):
        os.close(handle)
        raise UseError(f"the template {str(path)!r} is no ordinary file")
    with os.fdopen(handle, "rb") as file:
        if facts.st_size > MOST_BYTES:
            raise UseError(f"the template {str(path)!r} is larger than 200 MB")
        return file.read()


def _emptied(presentation: Any) -> None:
    ids = presentation.slides._sldIdLst
    for slide in list(ids):
        presentation.part.drop_rel(slide.rId)
        ids.remove(slide)
    for name in _LISTS:
        for listed in presentation.element.findall(qn(name)):
            presentation.element.remove(listed)
