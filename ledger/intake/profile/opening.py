"""The cells of a profile's file, also where hardly any column of its header is known."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from ledger.errors import RefusedInput
from ledger.intake import encoding
from ledger.intake.forms import SEPARATORS, Form, Opened, open_table
from ledger.intake.mapping import header_form
from ledger.intake.snapshot import Snapshot

_LINES = 20
_BETWEEN = re.compile(r"[,;\t|]")


def open_known(taken: Snapshot, form: Form, known: Mapping[str, str], highest: int) -> Opened:
    """The table of a file whose columns a profile names.

    One known name is enough for a header here, and where there is none the first filled line is
    taken for it: what the profile misses can then be told by name.

    Args:
        taken: the file's bytes.
        form: its form.
        known: header form to column, from `known_columns`.
        highest: the highest place, where all columns go by place.

    Raises:
        RefusedInput: if it is no table at all.
    """
    try:
        return open_table(taken, form, known, highest)
    except RefusedInput:
        header = None
        if form.type in (None, "text") and form.header is None and known:
            header = _likely_header(taken, form, known)
        if header is None:
            raise
        told = form.separator or _separator(taken, form, header)
        return open_table(taken, replace(form, header=header, separator=told), known, highest)


def _top(taken: Snapshot, form: Form) -> list[str]:
    data = encoding.decode(taken.data, taken.name, form.encoding).data[: 1024 * 1024]
    return data.decode("utf-8", "replace").splitlines()[:_LINES]


def _likely_header(taken: Snapshot, form: Form, known: Mapping[str, str]) -> int | None:
    """The line (1 is the first) with most known names, else the first filled one."""
    best: tuple[int, int] | None = None
    for at, line in enumerate(_top(taken, form), 1):
        cells = [header_form(cell.strip().strip("\"'")) for cell in _BETWEEN.split(line)]
        score = sum(cell in known for cell in cells if cell)
        if line.strip() and (best is None or score > best[0]):
            best = (score, at)
    return best[1] if best is not None else None


def _separator(taken: Snapshot, form: Form, header: int) -> str | None:
    """The commonest separator of the header, where it has one."""
    line = _top(taken, form)[header - 1]
    many = {name: line.count(sign) for name, sign in SEPARATORS.items()}
    found = max(many, key=lambda name: many[name])
    return found if many[found] else None
