"""A workbook opened for reading: its sheets, its texts and how its numbers are shown."""

from __future__ import annotations

import difflib
import io
import re
import warnings
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from typing import IO, Any
from xml.etree.ElementTree import iterparse

from ledger.errors import RefusedInput, UseError
from ledger.intake import findings
from ledger.intake.forms import archive, number_formats
from ledger.intake.forms.grid import whole
from ledger.intake.mapping import header_form

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_DEEPEST = 50
_MOST_PIECES = 200_000
_CODE = re.compile(r"_x([0-9A-Fa-f]{4})_")


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of a workbook: its name, where it is, and whether it is shown."""

    name: str
    part: str
    hidden: bool


@dataclass(frozen=True, slots=True)
class Workbook:
    """A workbook that was looked at; nothing of its sheets is read yet.

    Attributes:
        archive: its zip archive.
        sheets: its sheets of cells in order.
        texts: the part that holds its shared texts, if any.
        shows: how a number is shown, by the style of its cell.
        macros, links: whether it holds macros, and links to other workbooks.
    """

    archive: zipfile.ZipFile
    sheets: tuple[Sheet, ...]
    texts: str | None
    shows: tuple[number_formats.Show, ...]
    macros: bool
    links: bool


def opened(data: bytes, name: str) -> Workbook:
    """The workbook in some bytes.

    Raises:
        RefusedInput: if it cannot be read.
    """
    zipped = archive.opened(data, name)
    try:
        return _looked_at(zipped, data)
    except archive.DAMAGE:
        raise archive.damaged(name) from None


def _looked_at(zipped: zipfile.ZipFile, data: bytes) -> Workbook:
    from openpyxl.reader.excel import ExcelReader
    from openpyxl.styles.numbers import BUILTIN_FORMATS
    from openpyxl.styles.stylesheet import apply_stylesheet
    from openpyxl.utils.datetime import CALENDAR_MAC_1904
    from openpyxl.xml.constants import SHARED_STRINGS

    # Its loader would read the texts of the whole book at once: only the parts needed are.
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        reader: Any = ExcelReader(io.BytesIO(data), read_only=True, keep_links=False)
        reader.read_manifest()
        reader.read_workbook()
        apply_stylesheet(reader.archive, reader.wb)
        sheets = [
            Sheet(str(sheet.name), rel.target, sheet.state != "visible")
            for sheet, rel in reader.parser.find_sheets()
            if rel.Type.endswith("/worksheet") and rel.target in reader.valid_files
        ]
    own = reader.wb._number_formats
    codes: list[str | None] = []
    for style in reader.wb._cell_styles:
        number = style.numFmtId
        codes.append(own[number - 164] if number >= 164 else BUILTIN_FORMATS.get(number))
    from_1904 = reader.wb.epoch == CALENDAR_MAC_1904
    made = {code: number_formats.shower(code, from_1904) for code in dict.fromkeys(codes)}
    texts: Any = reader.package.find(SHARED_STRINGS)
    return Workbook(
        zipped,
        tuple(sheets),
        texts.PartName.lstrip("/") if texts is not None else None,
        tuple(made[code] for code in codes),
        any(part.lower().endswith("vbaproject.bin") for part in reader.valid_files),
        any(part.startswith("xl/externalLinks/") for part in reader.valid_files),
    )


def chosen(book: Workbook, wanted: str | None, name: str) -> Sheet:
    """The sheet that was named, else the first that is shown.

    Raises:
        RefusedInput: if the workbook has no sheet of cells.
        UseError: if it has none of that name.
    """
    if not book.sheets:
        raise RefusedInput(f"{name}: a workbook without a sheet of cells")
    if wanted is None:
        return next((sheet for sheet in book.sheets if not sheet.hidden), book.sheets[0])
    exact = [sheet for sheet in book.sheets if sheet.name == wanted]
    alike = exact or [s for s in book.sheets if header_form(s.name) == header_form(wanted)]
    if len(alike) == 1:
        return alike[0]
    names = [sheet.name for sheet in book.sheets]
    near = difflib.get_close_matches(wanted, names, 1)
    there = ", ".join(findings.show(each) for each in names[:20])
    hint = f"did you mean {findings.show(near[0])}?" if near else f"its sheets: {there}"
    raise UseError(f"{name}: no sheet {findings.show(wanted)}; {hint}")


def shared_texts(book: Workbook) -> list[str]:
    """The texts that cells refer to by number.

    Raises:
        one of `archive.DAMAGE`: if the part is damaged.
    """
    if book.texts is None or book.texts not in book.archive.namelist():
        return []
    found: list[str] = []
    with archive.plain_xml(book.archive, book.texts) as part:
        found += [text_of(element) for _, element in elements(part, (f"{MAIN}si",))]
    return found


def elements(part: IO[bytes], wanted: tuple[str, ...]) -> Iterator[tuple[str, Any]]:
    """The elements of some names as they end, each with what is in it; nothing else is kept.

    Args:
        part: from `archive.plain_xml`, which lets no entity pass.
        wanted: names of elements.

    Raises:
        one of `archive.DAMAGE`: if the part is damaged.
    """
    around: list[Any] = []
    depth = pieces = 0
    for event, element in iterparse(part, events=("start", "end")):
        if event == "start":
            if depth:
                depth += 1
                pieces += 1
                if depth > _DEEPEST or pieces > _MOST_PIECES:
                    raise ValueError("an element without end")
                continue
            around.append(element)
            if len(around) > _DEEPEST:
                raise ValueError("nested too deep")
            if element.tag in wanted:
                depth, pieces = 1, 0
        elif depth > 1:
            depth -= 1
        else:
            if depth:
                depth = 0
                yield element.tag, element
            around.pop()
            if around:
                del around[-1][:]


def text_of(element: Any) -> str:
    """The text of a shared or inline text, without readings above it."""
    parts: list[str] = []
    for child in element:
        if child.tag == f"{MAIN}t":
            parts.append(child.text or "")
        elif child.tag == f"{MAIN}r":
            parts += [piece.text or "" for piece in child if piece.tag == f"{MAIN}t"]
    return unescaped("".join(parts))


def unescaped(text: str) -> str:
    """Text with its coded characters (`_x000D_`) as they are, and one kind of line end."""
    if "_x" in text:
        text = _CODE.sub(lambda match: chr(int(match[1], 16)), text)
    return whole(text.replace("\r\n", "\n") if "\r" in text else text)
