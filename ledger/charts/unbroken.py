"""What stands together on one line: a figure and its unit, the two ends of an interval.

Only the blanks change. Alternative texts, rows and answers keep theirs: a reader aloud, a search
and a copy need no such care.
"""

from __future__ import annotations

import re

BLANK = "\u00a0"
_NUMBER = r"\d[\d,.]*"
_END = rf"[+\u2212\u2013-]?{_NUMBER}(?: %)?"
_UNITS = (
    "%|per 100|points?|makes?|miss(?:es)?|attempts?|games?|sessions?|players?|seasons?|shooters?"
    "|leagues?|shots?|trips?|times"
)
_TOGETHER = tuple(
    re.compile(pattern)
    for pattern in (
        # An estimate and its interval, which then is held together itself.
        rf"{_NUMBER}(?: %)? (?=\({_END} to {_END}\))",
        rf"(?<![\w.,]){_END} to {_END}",
        rf"(?<=\d) (?=(?:{_UNITS})\b|%)",
        rf"(?<=\d\)) (?=(?:{_UNITS})\b)",
        r"\bper (?=100\b)",
    )
)


def unbroken(text: str) -> str:
    """The text with blanks that no line may end at.

    >>> unbroken("10 more per 100 (2 to 17)").replace(BLANK, "_")
    '10 more per_100_(2_to_17)'
    """
    for pattern in _TOGETHER:
        text = pattern.sub(lambda found: found[0].replace(" ", BLANK), text)
    return text
