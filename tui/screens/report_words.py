"""What came of a file, in words for the screen; every number is the report's."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from ledger.questions.wording import count, counted

if TYPE_CHECKING:
    from ledger.intake.report import Report


_TYPED_BACK = re.compile(r"; to take it back: offglass undo \d+")


def way_back(line: str, instead: str = "") -> str:
    """A line that says what to type to take it back, with what does so on the screens.

    >>> way_back("6 rows stored; to take it back: offglass undo 75", "F4 takes it back")
    '6 rows stored; F4 takes it back'
    >>> way_back("it is there already", "F4 takes it back")
    'it is there already'
    """
    return _TYPED_BACK.sub(f"; {instead}" if instead else "", line)


def report_words(report: Report, *, stored: bool) -> tuple[str, ...]:
    """Every row accounted for, then what is new and why rows were refused."""
    what = report.stored_words()
    told = f"{count(report.stored)} {'stored' if stored else 'would be stored'}"
    parts = [f"{told} ({what})" if what else told]
    rest = (
        (report.rejected, "refused", "refused"),
        (report.skipped, "holds no record", "hold no record"),
        (report.already_there, "already there", "already there"),
        (report.contradicting, "contradicts the ledger", "contradict the ledger"),
    )
    parts += [counted(number, one, many) for number, one, many in rest if number]
    lines = [f"{counted(report.rows, 'row')}: {', '.join(parts)}."]
    if report.new:
        new = [counted(number, name.removesuffix("s"), name) for name, number in report.new.items()]
        lines.append(f"New: {', '.join(new)}.")
    if report.reasons:
        why = [
            f"{code.replace('_', ' ')} {count(number)}" for code, number in report.reasons.items()
        ]
        lines.append(f"Refused: {', '.join(why)}.")
    return tuple(lines)
