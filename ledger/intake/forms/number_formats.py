"""Numbers of a sheet as they are shown, as far as that loses no digit.

A plain format (0000, 0.00, 0%) is followed, dates become ISO dates, times and clocks stand as the
format has them. Where a format would round a digit away the number is given in full: a share of
0.83 must never come in as 1.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Callable
from decimal import Decimal

Show = Callable[[str], str | None]

_WHOLE = re.compile(r"-?\d{1,18}")
_PLAIN = re.compile(r"(0+)(?:\.(0+))?(%?)")
# Colours, languages and conditions in brackets; [h], [m] and [s] are elapsed times.
_ASIDE = re.compile(r"\[(?!h+\]|m+\]|s+\])[^\]]*\]", re.IGNORECASE)
_LITERAL = re.compile(r'"[^"]*"|\\.|_.|\*.')
_TIME_SIGN = re.compile(
    r"\[(?P<elapsed>h+|m+|s+)\]|(?P<half>am/pm|a/p)|(?P<part>h+|m+|s+)|\.(?P<fraction>0+)"
    r"|(?P<other>.)",
    re.IGNORECASE,
)
_DAY = 86_400
_LONGEST = 255


def shower(code: str | None, from_1904: bool) -> Show:
    """How the cells of one number format are shown.

    Args:
        code: the format, such as `0.00` or `yyyy-mm-dd`.
        from_1904: whether the workbook counts days from 1904.

    Returns:
        From a stored number to its text; `None` where no such date exists.
    """
    if code is None or len(code) > _LONGEST:
        return general
    first = _ASIDE.sub("", code.split(";")[0]).strip()
    bare = _LITERAL.sub("", first)
    if first.lower() == "general" or first == "@" or not bare:
        return general
    if re.search(r"[dmyhs]", bare, re.IGNORECASE):
        date = re.search(r"[dy]", bare, re.IGNORECASE) or not re.search(r"[hs]", bare, re.I)
        if not date:
            return lambda raw: _time(raw, first, from_1904)
        with_time = re.search(r"[hs]", bare, re.IGNORECASE) is not None
        return lambda raw: _date(raw, with_time, from_1904)
    plain = _PLAIN.fullmatch(first)
    if plain is None:
        return general
    return lambda raw: _as_plain(raw, len(plain[1]), len(plain[2] or ""), bool(plain[3]))


def general(raw: str) -> str | None:
    """A number without a format: the fifteen digits that a sheet holds, never an exponent."""
    if _WHOLE.fullmatch(raw):
        return raw
    value = float(raw)
    if not math.isfinite(value):
        return None
    return format(Decimal(f"{value:.15g}"), "f")


def _as_plain(raw: str, whole: int, decimals: int, percent: bool) -> str | None:
    text = general(raw)
    if text is None:
        return None
    value = Decimal(text) * (100 if percent else 1)
    shown = f"{value:.{decimals}f}"
    if Decimal(shown) != value:
        shown = format(value.normalize(), "f")
    sign, digits = ("-", shown[1:]) if shown.startswith("-") else ("", shown)
    front, dot, back = digits.partition(".")
    return f"{sign}{front.zfill(whole)}{dot}{back}" + ("%" if percent else "")


def _moment(days: float, from_1904: bool) -> dt.datetime | None:
    """The moment a serial number stands for; 1900 counts a 29 February that never was."""
    if days < 0:
        return None
    first = dt.datetime(1899, 12, 31 if days < 60 else 30)
    start = dt.datetime(1904, 1, 1) if from_1904 else first
    try:
        return start + dt.timedelta(days=int(days), seconds=round((days % 1) * _DAY))
    except OverflowError:
        return None


def _date(raw: str, with_time: bool, from_1904: bool) -> str | None:
    days = float(raw)
    if not math.isfinite(days) or (not from_1904 and 60 <= days < 61):
        return None
    moment = _moment(days, from_1904)
    if moment is None:
        return None
    if with_time and moment.time() != dt.time():
        return moment.isoformat(" ")
    return moment.date().isoformat()


def _time(raw: str, code: str, from_1904: bool) -> str | None:
    days = float(raw)
    if not math.isfinite(days) or days < 0:
        return None
    signs = list(_TIME_SIGN.finditer(_LITERAL.sub("", code)))
    elapsed = any(sign["elapsed"] for sign in signs)
    if days >= 1 and not elapsed:
        return _date(raw, True, from_1904)
    digits = max((len(sign["fraction"] or "") for sign in signs), default=0)
    ticks = round(days * _DAY * 10**digits)
    seconds, fraction = divmod(ticks, 10**digits)
    half = any(sign["half"] for sign in signs)
    return "".join(_sign(sign, seconds, fraction, half) for sign in signs).strip()


def _sign(sign: re.Match[str], seconds: int, fraction: int, half: bool) -> str:
    if sign["elapsed"]:
        many = {"h": seconds // 3600, "m": seconds // 60, "s": seconds}
        return str(many[sign["elapsed"][0].lower()]).zfill(len(sign["elapsed"]))
    if sign["part"]:
        hour = seconds // 3600 % 24
        hour = (hour - 1) % 12 + 1 if half else hour
        parts = {"h": hour, "m": seconds // 60 % 60, "s": seconds % 60}
        return str(parts[sign["part"][0].lower()]).zfill(min(len(sign["part"]), 2))
    if sign["half"]:
        return "AM" if seconds // 3600 % 24 < 12 else "PM"
    if sign["fraction"]:
        return "." + str(fraction).zfill(len(sign["fraction"]))
    return sign["other"]
